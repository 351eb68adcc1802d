//! What a row says of an uncertain number: its name, its place, what stands in for it, how it is
//! drawn.

use std::marker::PhantomData;

use schemars::JsonSchema;
use serde::Serialize;

use crate::quantity::{Dimension, Quantity};
use crate::scenario::job::Job;
use crate::scenario::known::{Known, Vary};
use crate::scenario::lathe::{Condition, Lathe};
use crate::scenario::limits::Limits;
use crate::scenario::shop_tests::Test;

/// What a number belongs to, as a person would mend it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Part {
    /// Slacks that nobody measured: one wear in all of them.
    Wear,
    /// Foot, clamp and rod.
    Foot,
    /// Shoe, thrust bearing, screw and nut: their slack.
    DriveSlack,
    /// The same: their spring.
    DriveSpring,
    /// The guide bar: setting and straightness.
    Guide,
    /// The slide: what it drags.
    Drag,
    /// The slide's side slack at the gib, and the bar's swing in it.
    Gib,
    /// Top slide and post.
    TopSlide,
    /// Boring bar.
    Bar,
    /// Spindle, chuck and tailstock.
    Holding,
    /// Material and the state of the edge.
    Material,
    /// The spindle's line against the bed.
    Headstock,
    /// The carriage in its clearance on the bed.
    Carriage,
    /// Height of the tool.
    ToolHeight,
    /// The surface it starts from.
    Blank,
    /// The part that it has to fit.
    Mate,
    /// Preload.
    Preload,
    /// Touching off and setting the dial.
    Hand,
    /// Hard spots and the like: what no care with the lathe mends.
    Luck,
}

impl Part {
    /// What the shop calls it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Wear => "slack all over, not measured",
            Self::Foot => "foot and rod",
            Self::DriveSlack => "slack of shoe, screw and nut",
            Self::DriveSpring => "spring of the drive",
            Self::Guide => "setting and bow of the guide",
            Self::Drag => "drag of the slide",
            Self::Gib => "swing of the bar in the slide's gib",
            Self::TopSlide => "top slide and post",
            Self::Bar => "boring bar",
            Self::Holding => "chuck and centre",
            Self::Material => "material and edge",
            Self::Headstock => "headstock out of line with the bed",
            Self::Carriage => "rock of the carriage",
            Self::ToolHeight => "height of the tool",
            Self::Blank => "run-out of the blank",
            Self::Mate => "taper of the sample",
            Self::Preload => "preload",
            Self::Hand => "touching off and setting the dial",
            Self::Luck => "hard spots: no mending helps",
        }
    }
}

/// Where a default comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Basis {
    /// From memory of trade books.
    Memory,
    /// Worked from the model.
    Calculated,
    /// Read off something published, named beside the row.
    Published,
    /// Judgement.
    Guess,
}

/// The ordinary lathe from memory of trade books, the others scaled from it by judgement.
pub(super) const ORDINARY_FROM_MEMORY: [Basis; 4] =
    [Basis::Guess, Basis::Memory, Basis::Guess, Basis::Guess];

/// What is said of a number in words and marks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct About {
    /// Its number, the same in every scenario and version: random draws go by it. A new one takes
    /// the next free number, wherever it stands; none is ever used again for something else.
    pub number: u32,
    /// The key in the person's files: `slide.drag`.
    pub key: &'static str,
    /// What the shop calls it.
    pub words: &'static str,
    /// What it belongs to.
    pub part: Part,
    /// What it may be.
    pub limits: Limits,
    /// An error either way round a nominal of zero: one value counts both ways.
    pub both_ways: bool,
    /// The keys of the parts that it stands for: where it is given they change nothing.
    pub overrides: &'static [&'static str],
    /// The shop test that measures it, if one does.
    pub test: Option<Test>,
    /// Half-width that three repeats of that test give, as a share of the number [guess].
    pub repeats: Option<f64>,
    /// A slack: what nobody measured is worn as the rest of the lathe is.
    pub wears: bool,
    /// No draw lies outside, SI; none where only the sign binds.
    pub drawn_within: Option<[f64; 2]>,
}

impl About {
    /// Nothing said; number, key, words, part and limits are each row's own.
    pub(super) const NOTHING: Self = Self {
        number: 0,
        key: "",
        words: "",
        part: Part::Luck,
        limits: Limits::ANY,
        both_ways: false,
        overrides: &[],
        test: None,
        repeats: None,
        wears: false,
        drawn_within: None,
    };

    /// Its key within its table: `drag` of `slide.drag`.
    pub fn name(&self) -> &'static str {
        self.key.rsplit('.').next().unwrap_or(self.key)
    }

    /// Its table: `slide` of `slide.drag`.
    pub fn table(&self) -> &'static str {
        self.key.rsplit_once('.').map_or("", |(table, _)| table)
    }
}

/// Where a number stands. There is none where a part is not there, or where a measured total
/// overrides the part: it would change nothing.
pub(super) enum Place<Q> {
    Lathe(fn(&mut Lathe) -> Option<&mut Known<Q>>),
    Job(fn(&mut Job) -> Option<&mut Known<Q>>),
}

/// A default that goes with the lathe's condition: low, middle and high for each.
#[derive(Clone, Copy, Debug)]
pub struct ByCondition<Q> {
    /// SI in one of the units the rows are written in.
    unit: f64,
    /// For good, ordinary, worn, junk.
    basis: [Basis; 4],
    rows: [[f64; 3]; 4],
    quantity: PhantomData<fn() -> Q>,
}

impl<Q> ByCondition<Q> {
    pub(super) const fn new(unit: f64, basis: [Basis; 4], rows: [[f64; 3]; 4]) -> Self {
        Self {
            unit,
            basis,
            rows,
            quantity: PhantomData,
        }
    }

    /// The same whatever the condition.
    pub(super) const fn same(unit: f64, basis: Basis, row: [f64; 3]) -> Self {
        Self::new(unit, [basis; 4], [row; 4])
    }
}

/// No default of its own: it is there only when given, or what stands in for it depends on more
/// than the lathe's condition and is worked out where the text is read.
#[derive(Clone, Copy, Debug)]
pub struct Elsewhere;

/// What stands in for a number that nobody gave.
pub trait StandIn: Sync {
    /// Low, middle and high in SI, and where they come from.
    fn assumed_si(&self, condition: Condition) -> Option<([f64; 3], Basis)>;
}

impl<Q> StandIn for ByCondition<Q> {
    fn assumed_si(&self, condition: Condition) -> Option<([f64; 3], Basis)> {
        let row = condition as usize;
        Some((
            self.rows[row].map(|value| value * self.unit),
            self.basis[row],
        ))
    }
}

impl StandIn for Elsewhere {
    fn assumed_si(&self, _: Condition) -> Option<([f64; 3], Basis)> {
        None
    }
}

/// One uncertain number of a lathe or a job.
pub struct Row<Q, D = ByCondition<Q>> {
    /// What is said of it.
    pub about: About,
    pub(super) place: Place<Q>,
    pub(super) default: D,
}

impl<Q: Quantity> Row<Q> {
    /// The default for a lathe in this condition.
    pub fn of(&self, condition: Condition) -> Known<Q> {
        let row = condition as usize;
        let [low, middle, high] = self.default.rows[row];
        let unit = self.default.unit;
        Known::assumed(low * unit, middle * unit, high * unit)
    }

    /// The default of a number that doesn't go with the condition.
    pub fn always(&self) -> Known<Q> {
        self.of(Condition::Ordinary)
    }
}

/// A [`Row`] seen without its dimension, so that one loop can go through all.
pub trait Number: Sync {
    /// What is said of it.
    fn about(&self) -> &About;
    /// What it measures.
    fn dimension(&self) -> Dimension;
    /// Whether it belongs to the lathe, not to the job.
    fn is_of_lathe(&self) -> bool;
    /// What stands in for it on a lathe in this condition, and where that comes from.
    fn assumed_si(&self, condition: Condition) -> Option<([f64; 3], Basis)>;
    /// The number itself, where there is one.
    fn find<'a>(&self, lathe: &'a mut Lathe, job: &'a mut Job) -> Option<&'a mut dyn Vary>;
}

impl<Q: Quantity, D: StandIn> Number for Row<Q, D> {
    fn about(&self) -> &About {
        &self.about
    }
    fn dimension(&self) -> Dimension {
        Q::DIMENSION
    }
    fn is_of_lathe(&self) -> bool {
        matches!(self.place, Place::Lathe(_))
    }
    fn assumed_si(&self, condition: Condition) -> Option<([f64; 3], Basis)> {
        self.default.assumed_si(condition)
    }
    fn find<'a>(&self, lathe: &'a mut Lathe, job: &'a mut Job) -> Option<&'a mut dyn Vary> {
        let known = match self.place {
            Place::Lathe(find) => find(lathe),
            Place::Job(find) => find(job),
        };
        known.map(|known| known as &mut dyn Vary)
    }
}
