//! Which way of making the cut: side, feed and rotation as typed.

use clap::{Args, ValueEnum};
use tautway_sim::setup::{Feed, Rotation, Side};

use crate::plan;

/// Which way.
#[derive(Args, Clone, Copy, Debug)]
pub struct Choice {
    /// Where the tool meets the work: seen by the operator.
    #[arg(long, value_enum)]
    pub side: Option<SideArg>,
    /// Which way the carriage feeds.
    #[arg(long, value_enum)]
    pub feed: Option<FeedArg>,
    /// Which way the spindle turns.
    #[arg(long, value_enum)]
    pub rotation: Option<RotationArg>,
}

impl From<Choice> for plan::Choice {
    fn from(typed: Choice) -> Self {
        Self {
            side: typed.side.map(Into::into),
            feed: typed.feed.map(Into::into),
            rotation: typed.rotation.map(Into::into),
        }
    }
}

/// Side as typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum SideArg {
    /// On the operator's side.
    Front,
    /// On the far side.
    Rear,
}

/// Feed as typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum FeedArg {
    /// Toward the headstock.
    Headstock,
    /// Toward the tailstock.
    Tailstock,
}

/// Rotation as typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum RotationArg {
    /// The ordinary way.
    Forward,
    /// Reversed.
    Reverse,
}

impl From<SideArg> for Side {
    fn from(typed: SideArg) -> Self {
        match typed {
            SideArg::Front => Self::Front,
            SideArg::Rear => Self::Rear,
        }
    }
}

impl From<FeedArg> for Feed {
    fn from(typed: FeedArg) -> Self {
        match typed {
            FeedArg::Headstock => Self::Headstock,
            FeedArg::Tailstock => Self::Tailstock,
        }
    }
}

impl From<RotationArg> for Rotation {
    fn from(typed: RotationArg) -> Self {
        match typed {
            RotationArg::Forward => Self::Forward,
            RotationArg::Reverse => Self::Reverse,
        }
    }
}
