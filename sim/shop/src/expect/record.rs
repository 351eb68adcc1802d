//! What is found of a way, and the rule for its last pass: what every voice reads.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::plan::{End, Limits};
use crate::arithmetic::max;
use crate::setup::Setup;

/// A last pass that follows less than this of a turn of the dial can't be set by gauging.
pub(super) const FLOATS: f64 = 0.5;

/// A chance among lathes, with what so many lathes leave open.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct Share {
    /// Share of the lathes, 0 to 1.
    pub met: f64,
    /// From here ...
    pub low: f64,
    /// ... to here (95 of 100).
    pub high: f64,
}

/// The same with the plan's gauging.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct Gauging {
    /// Share in tolerance, and its doubt.
    #[serde(flatten)]
    pub share: Share,
    /// Share cut too far: nothing brings these back.
    pub scrap: f64,
    /// Share with metal left on and nothing else wrong: another pass.
    pub rework: f64,
}

/// What 95 of 100 lathes come to.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct Middle {
    /// Median.
    pub median: f64,
    /// From here ...
    pub low: f64,
    /// ... to here.
    pub high: f64,
}

impl Middle {
    /// Of such values.
    pub(crate) fn of(mut values: Vec<f64>) -> Self {
        values.sort_by(f64::total_cmp);
        let at = |share: f64| {
            let place = (share * (values.len() - 1) as f64 + 0.5) as usize;
            values[place]
        };
        if values.is_empty() {
            return Self::default();
        }
        Self {
            median: at(0.5),
            low: at(0.025),
            high: at(0.975),
        }
    }
}

/// Whether the drawing is in reach.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Reach {
    /// By the dial alone.
    InReach,
    /// With the work gauged before the last pass.
    InReachIfGauged,
    /// So close to 80 of 100 that these lathes can't tell.
    OnTheEdge,
    /// No.
    OutOfReach,
}

impl Reach {
    /// Whether the drawing is, by the dial or gauged.
    pub fn is_reached(self) -> bool {
        matches!(self, Self::InReach | Self::InReachIfGauged)
    }
}

/// What the drawing asks for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Asked {
    /// The taper within its tolerance.
    Taper,
    /// The size within its own.
    Size,
    /// Waves no higher than allowed.
    Finish,
}

/// What to expect of one way. Lengths in m per side, tapers on diameter as ratio, shares 0 to 1.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Expect {
    /// The way.
    pub way: Setup,
    /// Lathes it was played on.
    pub lathes: u64,
    /// The dial set for what such lathes usually leave, nothing gauged between.
    pub by_dial: Share,
    /// The whole plan; as by the dial where nothing is gauged.
    pub with_gauging: Gauging,
    /// Whether the drawing gave no size tolerance, so that half a thou per side was taken.
    pub size_taken: bool,
    /// What those before the gauge leave of their depth, positive left on.
    pub left: Middle,
    /// Taper on diameter at the end.
    pub taper: Middle,
    /// Waves of the body.
    pub waves: Middle,
    /// Lathes on which one would see them, of all.
    pub wavy: f64,
    /// Mark where the tool comes in, positive dug in.
    pub entry: Middle,
    /// Size error of the body at the end, positive into the work.
    pub body: Middle,
    /// Mark where it goes out.
    pub exit: Middle,
    /// Whether the drawing is in reach.
    pub verdict: Reach,
    /// What is missed most, where anything is.
    pub decided_by: Option<Asked>,
    /// Time at the lathe for one piece, min.
    pub minutes: f64,
    /// Passes alike at its end, the last of them after the gauge.
    pub alike: usize,
    /// Depth set for each of them.
    pub set: f64,
    /// What the gauge reads before the last, as metal left on per side, and how far to turn the
    /// dial in for the last; empty where gauging doesn't mend it.
    pub last_pass: Vec<[f64; 2]>,
    /// How that follows from what was gauged.
    pub rule: LastPass,
    /// Share of a turn of the dial that such lathes follow: little where the slide floats.
    pub follows: f64,
    /// Expected time with what goes wrong in it, min.
    pub cost: Cost,
    /// The piece of each lathe: what a test or a change is weighed by.
    #[serde(skip)]
    pub(crate) pieces: Vec<Piece>,
    /// Whether something is gauged before the last pass.
    #[serde(skip)]
    pub(crate) gauged: bool,
}

/// One lathe's piece.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Piece {
    /// What the first pass left of its depth, m.
    pub(super) left: f64,
    /// What the gauge read after it: metal left on per side, m.
    pub(super) read: f64,
    /// Nothing gauged: the dial set for what such lathes usually leave.
    pub(crate) by_dial: End,
    /// As planned.
    pub(crate) with_gauge: End,
    pub(super) entry: f64,
    pub(super) exit: f64,
}

impl Piece {
    /// How it ends.
    pub(crate) fn end(&self, gauged: bool) -> End {
        if gauged {
            self.with_gauge
        } else {
            self.by_dial
        }
    }
}

impl Expect {
    /// The chance to go by: with the plan's gauging.
    pub fn met(&self) -> Share {
        self.with_gauging.share
    }

    /// What these lathes leave open of the cost, min.
    pub fn doubt(&self) -> f64 {
        let met = self.met();
        max(0.5 * (met.high - met.low) * self.cost.spoilt, 0.5)
    }

    /// What a piece that ends so costs, min.
    pub(crate) fn costs(&self, limits: &Limits, end: &End) -> f64 {
        let helps = self.gauging_helps() && self.gauged;
        let more = if limits.met(end) {
            0.0
        } else if helps && limits.mends(end) {
            self.cost.pass
        } else {
            self.cost.spoilt
        };
        self.cost.minutes + more
    }

    /// What each lathe's piece costs, min.
    pub(crate) fn each_costs(&self, limits: &Limits) -> Vec<f64> {
        let ends = self.pieces.iter().map(|piece| piece.end(self.gauged));
        ends.map(|end| self.costs(limits, &end)).collect()
    }

    /// Whether the slide floats in the last pass, which then follows no dial.
    pub fn floats(&self) -> bool {
        self.follows < FLOATS
    }

    /// Whether a gauge between the passes brings the size: the last pass follows the dial.
    pub fn gauging_helps(&self) -> bool {
        !self.last_pass.is_empty()
    }
}

/// What a way costs, min a piece.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Cost {
    /// At the lathe when all goes well.
    pub minutes: f64,
    /// What a spoilt piece costs: another blank, and all of it again.
    pub spoilt: f64,
    /// Another pass with gauging.
    pub pass: f64,
    /// Expected, with the chances of both.
    pub expected: f64,
}

/// What a way takes, min.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Times {
    /// Setting up and putting back, once for all pieces.
    pub set_up: f64,
    /// A finishing pass, from run-in to the dial set for the next.
    pub pass: f64,
}

/// How far to turn the dial for the last pass.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema, Deserialize)]
pub struct LastPass {
    /// A reading in the middle, metal left on per side, m ...
    pub read: f64,
    /// ... and the turn of the dial for it, per side, m.
    pub dial: f64,
    /// How much further for how much more.
    pub each: f64,
}

impl LastPass {
    /// The turn of the dial, m, for what the gauge reads, m; never outward.
    pub fn turn(&self, read: f64) -> f64 {
        max(self.dial + self.each * (read - self.read), 0.0)
    }

    /// What was read is turned.
    pub(super) fn plain(read: f64) -> Self {
        Self {
            read,
            dial: read,
            each: 1.0,
        }
    }
}

/// A rule with what it rests on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fitted {
    pub(super) last_pass: LastPass,
    /// How much of a turn of the dial such lathes follow.
    pub(super) follows: f64,
    /// What the first pass usually leaves of its depth, m.
    pub(super) usually_left: f64,
    /// Whether gauging brings the size.
    pub(super) helps: bool,
}
