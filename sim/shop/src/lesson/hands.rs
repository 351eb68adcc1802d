//! Hand moves of the lesson, rehearsed: the readout zeroed too early, and a dial in the slack.

use schemars::JsonSchema;
use serde::Serialize;

use crate::arithmetic::cos;
use crate::compare::Way;
use crate::quantity::{INCH, Units};
use crate::rehearse::{Move, Script, Spoken, Step, rehearse};
use crate::scenario::{AttachmentKind, End, Scenario, Toward};
use crate::setup::{Feed, Side};
use crate::sheet::Sheet;

/// What the dial is turned, m: 0.010 in or 0.25 mm.
const TURNED: (f64, f64) = (0.010 * INCH, 250e-6);

/// The same carriage travel read twice.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ZeroTwice {
    /// Carriage travel, m.
    pub travel: f64,
    /// Run-in before the second zero, m.
    pub run_in: f64,
    /// Readout of the slide, as it moved, zeroed as the carriage turned: m across.
    pub early: f64,
    /// Zeroed after the run-in.
    pub late: f64,
    /// Taper that the early reading seems to mean, on diameter.
    pub early_taper: f64,
    /// Taper that the late reading means.
    pub late_taper: f64,
}

/// The dial turned once in the slack and once after the run-in.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct DialTwice {
    /// It is the top slide's handle, as the nut is let go.
    pub top_slide: bool,
    /// Carriage travel after the turn at which the slack is half taken up, m.
    pub half: f64,
    /// There.
    pub in_slack: DialTurned,
    /// After the run-in.
    pub after: DialTurned,
}

/// What became of a turn of the dial.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct DialTurned {
    /// What was turned, into the cut, m.
    pub turned: f64,
    /// How far the tool moved into the cut, m.
    pub tool: f64,
}

/// A bench for hand moves at this way's setting.
struct Bench<'a> {
    scenario: &'a Scenario,
    way: &'a Way,
    sheet: &'a Sheet,
    stroke: f64,
}

impl Bench<'_> {
    /// Makes the moves, from the end of a stroke of this length in the middle of the guide; none
    /// where one of them can't be made.
    fn makes(&self, moves: &[Move]) -> Option<Vec<Step>> {
        let lathe = &self.scenario.lathe;
        let setup = &self.way.setup;
        let usable = lathe.attachment.guide_travel.si() * cos(self.sheet.drawing.aim.half_angle());
        let spare = 0.5 * (usable - self.stroke);
        if spare < 0.0 {
            return None;
        }
        let big_end = match (setup.side, setup.big_end) {
            (Side::Front, end) => end,
            (Side::Rear, End::Headstock) => End::Tailstock,
            (Side::Rear, End::Tailstock) => End::Headstock,
        };
        let done = rehearse(&Script {
            name: String::new(),
            note: None,
            units: self.sheet.units,
            lathe: lathe.clone(),
            taper: self.sheet.drawing.aim,
            big_end,
            room_headstock: match setup.feed {
                Feed::Headstock => spare,
                Feed::Tailstock => spare + self.stroke,
            },
            room_operator: 0.5 * lathe.slide.travel.si(),
            cylinder: None,
            moves: moves
                .iter()
                .enumerate()
                .map(|(at, action)| Spoken {
                    action: *action,
                    words: String::new(),
                    span: 0..0,
                    line: at + 1,
                })
                .collect(),
        });
        (done.broken.is_none()).then_some(done.steps)
    }

    fn back(&self, travel: f64) -> Move {
        Move::Carriage {
            toward: match self.way.setup.feed {
                Feed::Headstock => Feed::Tailstock,
                Feed::Tailstock => Feed::Headstock,
            },
            travel,
        }
    }

    fn on(&self, travel: f64) -> Move {
        Move::Carriage {
            toward: self.way.setup.feed,
            travel,
        }
    }
}

impl ZeroTwice {
    pub(super) fn new(scenario: &Scenario, way: &Way, sheet: &Sheet) -> Option<Self> {
        let (travel, run_in) = (sheet.guide.travel, way.start.wanted);
        let stroke = travel + run_in;
        let bench = Bench {
            scenario,
            way,
            sheet,
            stroke,
        };
        let steps = bench.makes(&[
            bench.back(stroke),
            Move::ZeroReadout,
            bench.on(travel),
            bench.on(run_in),
            bench.back(stroke),
            bench.on(run_in),
            Move::ZeroReadout,
            bench.on(travel),
        ])?;
        let [early, late] = [2, 7].map(|at| steps[at].stand.readout.abs());
        Some(Self {
            travel,
            run_in,
            early,
            late,
            early_taper: 2.0 * early / travel,
            late_taper: 2.0 * late / travel,
        })
    }
}

impl DialTwice {
    pub(super) fn new(scenario: &Scenario, way: &Way, sheet: &Sheet) -> Option<Self> {
        let half = 0.5 * way.start.lost;
        let stroke = way.start.wanted;
        let bench = Bench {
            scenario,
            way,
            sheet,
            stroke,
        };
        let by = match scenario.job.units {
            Units::Inch => TURNED.0,
            Units::Metric => TURNED.1,
        };
        let toward = way.setup.toward_in_x(false);
        let top_slide = scenario.lathe.attachment.kind == AttachmentKind::Plain;
        let turn = if top_slide {
            Move::TopSlide { toward, by }
        } else {
            Move::Dial { toward, by }
        };
        let turned_after = |on: f64| {
            let steps = bench.makes(&[bench.back(stroke), bench.on(on), turn])?;
            let into = match toward {
                Toward::Operator => 1.0,
                Toward::Away => -1.0,
            };
            Some(DialTurned {
                turned: by,
                tool: into * steps[2].tool_moved + 0.0,
            })
        };
        Some(Self {
            top_slide,
            half,
            in_slack: turned_after(half)?,
            after: turned_after(stroke)?,
        })
    }
}
