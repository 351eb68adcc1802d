//! What a number may be, and beyond which it is taken for a slip.

use crate::quantity::{Quantity, Units};

/// What a number may be, in SI.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// The least it may be.
    pub least: f64,
    /// Whether that least itself is out.
    pub above: bool,
    /// The most it may be.
    pub most: f64,
    /// Beyond this it is taken for a slip, and said so.
    pub doubt: f64,
}

impl Limits {
    /// Anything.
    pub const ANY: Self = Self {
        least: f64::NEG_INFINITY,
        above: false,
        most: f64::INFINITY,
        doubt: f64::INFINITY,
    };
    /// Zero or more.
    pub const NOT_NEGATIVE: Self = Self {
        least: 0.0,
        ..Self::ANY
    };
    /// More than zero.
    pub const POSITIVE: Self = Self {
        least: 0.0,
        above: true,
        ..Self::ANY
    };
    /// A share, 0 to 1.5.
    pub const SHARE: Self = Self {
        least: 0.0,
        most: 1.5,
        ..Self::ANY
    };
    /// In-plane force over main force: a tool that hooks in has a negative one.
    pub const PUSH: Self = Self {
        least: -1.0,
        most: 3.0,
        ..Self::ANY
    };
    /// Entering angle, up to about 120 degrees.
    pub const ENTERING: Self = Self {
        least: 0.0,
        above: true,
        most: 2.1,
        ..Self::ANY
    };
    /// One or more.
    pub const ONE_OR_MORE: Self = Self {
        least: 1.0,
        ..Self::ANY
    };

    /// The same, in doubt beyond this.
    pub const fn doubt_above(self, doubt: f64) -> Self {
        Self { doubt, ..self }
    }

    /// The same without its least.
    pub const fn not_zero(self) -> Self {
        Self {
            above: true,
            ..self
        }
    }

    /// Whether it can't be this.
    pub fn keep_out(&self, si: f64) -> bool {
        si < self.least || (self.above && si <= self.least) || si > self.most
    }

    pub(super) fn words<Q: Quantity>(&self, units: Units) -> String {
        let show = |si: f64| Q::from_si(si).show(units);
        match (self.least, self.most) {
            (0.0, f64::INFINITY) if self.above => "write something above zero".to_owned(),
            (0.0, f64::INFINITY) => "write zero or more".to_owned(),
            (least, f64::INFINITY) => format!("write {} or more", show(least)),
            (least, most) => format!("write something from {} to {}", show(least), show(most)),
        }
    }
}
