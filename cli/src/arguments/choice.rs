//! Which way of making the cut: side, feed and rotation as typed.

use clap::{Args, ValueEnum};
use tautway_sim::setup::{Feed, Rotation, Setup, Side};

/// Which way.
#[derive(Args, Clone, Copy, Debug)]
pub struct Choice {
    /// Where the tool meets the work, seen by the operator.
    #[arg(long, value_enum)]
    pub side: Option<SideArg>,
    /// Which way the carriage feeds.
    #[arg(long, value_enum)]
    pub feed: Option<FeedArg>,
    /// Which way the spindle turns.
    #[arg(long, value_enum)]
    pub rotation: Option<RotationArg>,
}

impl Choice {
    /// Whether nothing was chosen.
    pub fn is_open(&self) -> bool {
        self.side.is_none() && self.feed.is_none() && self.rotation.is_none()
    }

    /// Whether a way is as chosen.
    pub fn admits(&self, setup: &Setup) -> bool {
        let side = self.side.is_none_or(|side| match side {
            SideArg::Front => setup.side == Side::Front,
            SideArg::Rear => setup.side == Side::Rear,
        });
        let feed = self.feed.is_none_or(|feed| match feed {
            FeedArg::Headstock => setup.feed == Feed::Headstock,
            FeedArg::Tailstock => setup.feed == Feed::Tailstock,
        });
        let rotation = self.rotation.is_none_or(|rotation| match rotation {
            RotationArg::Forward => setup.rotation == Rotation::Forward,
            RotationArg::Reverse => setup.rotation == Rotation::Reverse,
        });
        side && feed && rotation
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
