//! What a rehearsal found: plain values, move by move.

use schemars::JsonSchema;
use serde::Serialize;

use super::Move;
use super::hazard::Hazard;
use super::notice::Notice;
use crate::caution::Caution;
use crate::scenario::{End, Toward};

/// Which side of a gap bears.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Bearing {
    /// It pushes the slide toward the operator.
    Operator,
    /// It holds the slide away from the operator.
    Away,
    /// The stop on the headstock's side of the foot.
    Headstock,
    /// The stop on the tailstock's side of the foot.
    Tailstock,
    /// Neither: the gap is open, or lets go.
    Open,
}

/// One gap of the drive.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Gap {
    /// Shop name of the part.
    pub name: &'static str,
    /// Its slack, m.
    pub slack: f64,
    /// Which side bears.
    pub bears: Bearing,
}

/// Where everything stands, SI; signs as in the module.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Stand {
    /// Carriage along the bed, m.
    pub carriage: f64,
    /// Guide bar in the slack of its foot, m from the middle.
    pub bar: f64,
    /// Usable guide left toward headstock and tailstock, m.
    pub guide_room: (f64, f64),
    /// Slide across the bed, m.
    pub slide: f64,
    /// Tool across the bed, m.
    pub tool: f64,
    /// Cross dial since it was zeroed, m: what the hand has turned.
    pub dial: f64,
    /// Readout of the slide since it was zeroed, m, to its step.
    pub readout: f64,
    /// Force that the drive puts on the slide, N.
    pub drive: f64,
    /// Force of the air on the slide, N.
    pub air: f64,
    /// How far the slide can float toward the operator and away before a face meets it, m.
    pub float: (f64, f64),
    /// Every gap.
    pub gaps: Vec<Gap>,
}

/// What a carriage move with the attachment at work lost.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Lost {
    /// Carriage travel before the slide began to move, m; all of it when it never did.
    pub stood_still: f64,
    /// Share of that that foot and rod took, m.
    pub at_foot: f64,
    /// What the slide fell short of what the guide asks for the whole move, m across.
    pub short: f64,
}

/// One move made.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Step {
    /// Number of the move, from 1.
    pub number: usize,
    /// Line in the moves file.
    pub line: usize,
    /// As it stands there.
    pub words: String,
    /// What was done.
    pub action: Move,
    /// Where everything stands afterwards.
    pub stand: Stand,
    /// How far the slide moved, m.
    pub slide_moved: f64,
    /// How far the tool moved, m.
    pub tool_moved: f64,
    /// What a carriage move lost, while coupled with the foot clamped.
    pub lost: Option<Lost>,
    /// Carriage and slide at every corner of the move, m.
    pub path: Vec<(f64, f64)>,
    /// What to know about it.
    pub notices: Vec<Notice>,
}

/// The move that would break something, where the rehearsal ends.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Broken {
    /// Number of the move, from 1.
    pub number: usize,
    /// Line in the moves file.
    pub line: usize,
    /// As it stands there.
    pub words: String,
    /// What would break, and what to do.
    pub hazard: Hazard,
}

/// A rehearsal, up to its end or to the move that would break something.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Rehearsal {
    /// Name.
    pub name: String,
    /// A line on what it teaches.
    pub note: Option<String>,
    /// Name of the lathe.
    pub lathe: String,
    /// Taper that the guide is set to, on diameter.
    pub taper: f64,
    /// End where a front tool stands farther out.
    pub big_end: End,
    /// Before the first move.
    pub start: Stand,
    /// The moves made.
    pub steps: Vec<Step>,
    /// The move that was not made.
    pub broken: Option<Broken>,
    /// What can hurt.
    pub cautions: Vec<Caution>,
    /// Version of the program.
    pub version: &'static str,
}

/// A direction across the bed as a sign.
pub(super) fn across(toward: Toward) -> f64 {
    match toward {
        Toward::Operator => 1.0,
        Toward::Away => -1.0,
    }
}
