//! What the shop tests gave, reading by reading, with the repeats.

use schemars::JsonSchema;
use serde::Serialize;

use super::job::Job;
use super::readings::Reads;
use crate::quantity::Units;

/// How finely each gauge reads, SI; half of it counts either way.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct Steps {
    /// Indicator or readout on the slide, m of its movement.
    pub slide: f64,
    /// What the gauge on the slide counts, where that was said.
    pub reads: Option<Reads>,
    /// Carriage travel, m.
    pub carriage: f64,
    /// Spring scale, N.
    pub scale: f64,
    /// Micrometer or bore gauge, m.
    pub gauge: f64,
}

/// Test 1 at one taper; travels of the carriage, m.
#[derive(Clone, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct Reversal {
    /// Taper the guide stood at, ratio on diameter.
    pub taper: f64,
    /// How far the slide was let move before the carriage was read, m.
    pub slide_moved: f64,
    /// Lost in the middle of the guide.
    pub middle: Vec<f64>,
    /// Lost near the headstock end of the guide.
    pub headstock_end: Vec<f64>,
    /// Lost near the tailstock end of the guide.
    pub tailstock_end: Vec<f64>,
}

/// Test 3, m along the cross-slide.
#[derive(Clone, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct Parts {
    /// Dial from where the slide moves one way to where it moves the other: nut and thrust.
    pub dial: Vec<f64>,
    /// The same with the slide far forward or back, where the screw is worn otherwise.
    pub dial_at_ends: Vec<f64>,
    /// End float of screw or yoke.
    pub thrust: Vec<f64>,
    /// Shoe on the guide, square to the bar.
    pub shoe: Vec<f64>,
}

/// Test 4, pulls in N.
#[derive(Clone, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct Pulls {
    /// To start it, toward the operator.
    pub start_toward: Vec<f64>,
    /// To start it, away.
    pub start_away: Vec<f64>,
    /// To keep it creeping, toward the operator.
    pub running_toward: Vec<f64>,
    /// To keep it creeping, away.
    pub running_away: Vec<f64>,
    /// To keep it creeping, at places along the stroke.
    pub along: Vec<f64>,
    /// To keep it creeping with the spindle running.
    pub spindle_running: Vec<f64>,
}

/// Test 5: pulls and how far the slide and the tool post went, run after run.
#[derive(Clone, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct Springs {
    /// The pulls of one run, N, all above the drag.
    pub forces: Vec<f64>,
    /// Tool post, pulled toward the operator, m: a place for each force, run after run.
    pub post_pulled: Vec<f64>,
    /// Tool post, pushed away.
    pub post_pushed: Vec<f64>,
    /// Slide, pulled.
    pub slide_pulled: Vec<f64>,
    /// Slide, pushed.
    pub slide_pushed: Vec<f64>,
}

/// Test 6: a pull and how far a thing went under it, and the bar wagged without force.
#[derive(Clone, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct Tips {
    /// Pull at the chuck jaws, N.
    pub chuck_force: f64,
    /// How far the work moved there, m.
    pub chuck_moved: Vec<f64>,
    /// Pull at the tailstock centre, N.
    pub centre_force: f64,
    /// How far the work moved there, m.
    pub centre_moved: Vec<f64>,
    /// Pull at the bar's tip, N.
    pub tip_force: f64,
    /// How far the tip moved, m.
    pub tip_moved: Vec<f64>,
    /// How far the tip wags without force, m.
    pub wag: Vec<f64>,
    /// From the tip to the middle of the slide's gib, m.
    pub reach: f64,
}

/// What was set for a pass and what it took, m per side.
#[derive(Clone, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct SetTaken {
    /// Set on the dial, once more on the even surface of a pass before.
    pub set: f64,
    /// Taken.
    pub taken: Vec<f64>,
}

/// Test 12: one pass that the guide pulls in and one that it draws away, on scrap turned outside.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct TwoCuts {
    /// The cut as a job: its material, tool and feed.
    pub job: Box<Job>,
    /// Pulled in.
    pub pulled_in: SetTaken,
    /// Drawn away.
    pub drawn_away: SetTaken,
}

/// A filled-in form: what was not done is empty.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ShopTests {
    /// What the shop calls the lathe.
    pub name: Option<String>,
    /// The person's units.
    pub units: Units,
    /// How finely each gauge reads.
    pub steps: Steps,
    /// Test 1, at one taper or more.
    pub reversals: Vec<Reversal>,
    /// Test 2: carriage travel before the guide bar stands still, m.
    pub foot: Vec<f64>,
    /// Test 3.
    pub parts: Parts,
    /// Test 4.
    pub drag: Pulls,
    /// Test 5.
    pub spring: Springs,
    /// Test 6.
    pub bar: Tips,
    /// Test 7: taper read with the guide set for none, ratio on diameter.
    pub guide_zero: Vec<f64>,
    /// Test 8: diameter at the headstock end of a straight cut, m.
    pub straight_headstock_end: Vec<f64>,
    /// Test 8: diameter at its tailstock end, m.
    pub straight_tailstock_end: Vec<f64>,
    /// Test 8: how far apart those two are, m.
    pub straight_apart: f64,
    /// Test 9: diameter after the cut toward the headstock, m.
    pub two_way_headstock: Vec<f64>,
    /// Test 9: diameter after the cut toward the tailstock, m.
    pub two_way_tailstock: Vec<f64>,
    /// Test 9: whether waves were seen.
    pub waves_seen: Option<bool>,
    /// Test 10: set, per side, m.
    pub set: f64,
    /// Test 10: taken, per side, m.
    pub taken: Vec<f64>,
    /// Test 11: how far the tool post moves along the cross-slide between a push at either end of
    /// the carriage, m.
    pub rock: Vec<f64>,
    /// Test 12: a pass each way.
    pub two_cuts: Option<TwoCuts>,
}

/// A shop test, by its number on the form.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Test {
    /// 1.
    Reversal,
    /// 2.
    Foot,
    /// 3.
    Parts,
    /// 4.
    Drag,
    /// 5.
    Spring,
    /// 6.
    BarTip,
    /// 7.
    GuideTrue,
    /// 8.
    StraightCut,
    /// 9.
    TwoWayCut,
    /// 10.
    SetAgainstTaken,
    /// 11.
    CarriageRock,
    /// 12.
    TwoCuts,
}

impl Test {
    /// All, in the form's order.
    pub const ALL: [Self; 12] = [
        Self::Reversal,
        Self::Foot,
        Self::Parts,
        Self::Drag,
        Self::Spring,
        Self::BarTip,
        Self::GuideTrue,
        Self::StraightCut,
        Self::TwoWayCut,
        Self::SetAgainstTaken,
        Self::CarriageRock,
        Self::TwoCuts,
    ];

    /// Number on the form.
    pub fn number(self) -> usize {
        self as usize + 1
    }

    /// As [`crate::scenario::Parameter::test`] names it.
    pub fn name(self) -> &'static str {
        match self {
            Self::Reversal => "test 1, reversal",
            Self::Foot => "test 2, foot",
            Self::Parts => "test 3, which part is loose",
            Self::Drag => "test 4, drag",
            Self::Spring => "test 5, push-pull spring",
            Self::BarTip => "test 6, bar tip",
            Self::GuideTrue => "test 7, guide true",
            Self::StraightCut => "test 8, headstock and tailstock",
            Self::TwoWayCut => "test 9, two-way cut",
            Self::SetAgainstTaken => "test 10, set against taken",
            Self::CarriageRock => "test 11, rock of the carriage",
            Self::TwoCuts => "test 12, set and taken each way",
        }
    }

    /// Whether it belongs to the least that should be done.
    pub fn is_minimum(self) -> bool {
        matches!(self, Self::Reversal | Self::Drag | Self::TwoWayCut)
    }

    /// Minutes it takes [guess].
    pub fn minutes(self) -> u32 {
        match self {
            Self::Reversal
            | Self::Foot
            | Self::Drag
            | Self::BarTip
            | Self::SetAgainstTaken
            | Self::CarriageRock => 5,
            Self::Parts | Self::Spring | Self::GuideTrue => 10,
            Self::StraightCut => 15,
            Self::TwoWayCut | Self::TwoCuts => 20,
        }
    }
}

impl ShopTests {
    /// The tests that were done.
    pub fn done(&self) -> Vec<Test> {
        Test::ALL.into_iter().filter(|t| done(self, *t)).collect()
    }
}

fn done(tests: &ShopTests, test: Test) -> bool {
    match test {
        Test::Reversal => tests.reversals.iter().any(|r| !r.middle.is_empty()),
        Test::Foot => !tests.foot.is_empty(),
        Test::Parts => !tests.parts.dial.is_empty() || !tests.parts.shoe.is_empty(),
        Test::Drag => {
            let d = &tests.drag;
            ![
                &d.start_toward,
                &d.start_away,
                &d.running_toward,
                &d.running_away,
            ]
            .iter()
            .all(|list| list.is_empty())
        }
        Test::Spring => !tests.spring.forces.is_empty(),
        Test::BarTip => {
            let bar = &tests.bar;
            ![
                &bar.chuck_moved,
                &bar.centre_moved,
                &bar.tip_moved,
                &bar.wag,
            ]
            .iter()
            .all(|list| list.is_empty())
        }
        Test::GuideTrue => !tests.guide_zero.is_empty(),
        Test::StraightCut => !tests.straight_headstock_end.is_empty(),
        Test::TwoWayCut => !tests.two_way_headstock.is_empty(),
        Test::SetAgainstTaken => !tests.taken.is_empty(),
        Test::CarriageRock => !tests.rock.is_empty(),
        Test::TwoCuts => tests.two_cuts.is_some(),
    }
}
