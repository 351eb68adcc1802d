//! What the parts of the drive have in common.

use crate::balance::Link;

/// A share of the drive's slack, as the shop names it.
#[derive(Clone, Debug, PartialEq)]
pub struct SlackPart {
    /// Shop name.
    pub name: &'static str,
    /// Slack along the cross-slide, m.
    pub slack: f64,
}

/// A link that neither gives nor has slack.
pub const RIGID: Link = Link {
    slack: 0.0,
    first: f64::INFINITY,
    other: f64::INFINITY,
};
