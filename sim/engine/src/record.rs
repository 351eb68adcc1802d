//! What the engine found, as plain values: figures and words read these and compute nothing.
//!
//! Lengths in m, forces in N. `z` is the distance along the axis from the headstock-side end of
//! the taper, positive toward the tailstock. `depth` figures are along n, into the cut; heights
//! are relative to the finished cone, positive into the work (cut too deep), negative where
//! stock still stands.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::setup::{Pull, Setup};

/// On which side of its slack the slide runs.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, JsonSchema, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Seat {
    /// First face: the iron pushes the tool into the cut.
    First,
    /// Other face: the iron holds the tool back, a slack deeper against the guide.
    Other,
    /// In the slack: friction alone decides where it stands.
    #[default]
    Floating,
}

impl Seat {
    /// The seat held at most steps, of first face, other face and floating.
    pub fn most(steps: [usize; 3]) -> Self {
        let most = (0..3).max_by_key(|&i| (steps[i], 2 - i)).unwrap_or(0);
        [Self::First, Self::Other, Self::Floating][most]
    }
}

/// The slide at one place of the last pass, as the mean over one turn (the seat is the one that
/// held most of the turn).
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct TurnSample {
    /// Place along the axis, m.
    pub z: f64,
    /// Where the first face would hold the unloaded tool, relative to the finished cone, m.
    pub first_face: f64,
    /// Where the other face would hold it, m (`first_face` plus the slack).
    pub other_face: f64,
    /// Where the slide stands, m.
    pub slide: f64,
    /// Where the edge stands: the slide less what the tool and work give way, m.
    pub edge: f64,
    /// Depth being cut, m.
    pub depth: f64,
    /// Push-off, N.
    pub push_off: f64,
    /// Drag while cutting (friction limit), N.
    pub drag: f64,
    /// Force in the drive, positive on the first face, N.
    pub drive: f64,
    /// Seat.
    pub seat: Seat,
    /// Whether the whole edge was in the cut for the whole turn: not at the ends, not in air.
    pub cutting: bool,
}

/// One pass along the work.
#[derive(Clone, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct PassRecord {
    /// 1, 2, 3 ...
    pub number: usize,
    /// Finishing or spring pass, not roughing.
    pub finishing: bool,
    /// What was set on the dial for this pass, per side, m (0 for a spring pass).
    pub set: f64,
    /// Feed per turn, m.
    pub feed: f64,
    /// What it took on average at the gauge plane, per side, m.
    pub taken: f64,
    /// A sample a turn, in the order cut.
    pub turns: Vec<TurnSample>,
    /// Travel from the start of the pass at which the load first pushed the foot off its seat, m.
    pub foot_leaves: Option<f64>,
    /// Places where the seat changed for good (held three turns), m, in the order cut.
    pub seat_changes: Vec<SeatChange>,
    /// Solver's counters.
    pub counters: Counters,
}

/// Means of a pass over the turns in which the whole edge cuts, and where its slide ran.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PassMeans {
    /// Push-off, N.
    pub push_off: f64,
    /// The slide's drag, N.
    pub drag: f64,
    /// Its seat: on a face if nearly all turns were, floating if most were; none if it changed.
    pub seat: Option<Seat>,
}

impl PassRecord {
    /// Means over the turns in which the whole edge cuts; nothing pushes where there are none.
    pub fn means(&self) -> PassMeans {
        let whole: Vec<&TurnSample> = self.turns.iter().filter(|turn| turn.cutting).collect();
        let count = whole.len().max(1) as f64;
        let mean =
            |of: fn(&TurnSample) -> f64| whole.iter().map(|turn| of(turn)).sum::<f64>() / count;
        let share = |seat: Seat| {
            let on = whole.iter().filter(|turn| turn.seat == seat).count();
            on as f64 / count
        };
        let least = [
            (Seat::First, 0.95),
            (Seat::Other, 0.95),
            (Seat::Floating, 0.5),
        ];
        let held = least
            .into_iter()
            .find(|(seat, least)| share(*seat) > *least);
        PassMeans {
            push_off: mean(|turn| turn.push_off),
            drag: mean(|turn| turn.drag),
            seat: held.map(|(seat, _)| seat),
        }
    }
}

/// How the roughing went.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Roughing {
    /// Passes the plan asked for.
    pub planned: usize,
    /// Passes more, at the same dial, while it still took metal.
    pub extra: usize,
    /// How far the roughed surface strays from its height at the gauge plane, m.
    pub left: f64,
    /// Whether that is little enough to finish from. If not, the finishing passes start from an
    /// even stock, as after roughing another way.
    pub came_even: bool,
}

impl Roughing {
    /// No roughing was asked for.
    pub const NONE: Self = Self {
        planned: 0,
        extra: 0,
        left: 0.0,
        came_even: true,
    };
}

/// A change of seat.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SeatChange {
    /// Where, m.
    pub z: f64,
    /// From.
    pub from: Seat,
    /// To.
    pub to: Seat,
}

/// What the solver did.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Counters {
    /// Steps along the cut.
    pub steps: u64,
    /// Steps on which the slide stayed where it was.
    pub stuck: u64,
    /// Root-finding iterations.
    pub iterations: u64,
    /// Steps where more than one balance was possible and the first was taken.
    pub ambiguous: u64,
    /// Steps where the balance was not found to the tolerance (should be 0).
    pub unconverged: u64,
}

impl std::iter::Sum for Counters {
    fn sum<I: Iterator<Item = Self>>(all: I) -> Self {
        all.fold(Self::default(), |sum, one| Self {
            steps: sum.steps + one.steps,
            stuck: sum.stuck + one.stuck,
            iterations: sum.iterations + one.iterations,
            ambiguous: sum.ambiguous + one.ambiguous,
            unconverged: sum.unconverged + one.unconverged,
        })
    }
}

/// Surface error of the finished piece along its length.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Profile {
    /// Places along the axis, evenly spaced, ascending, m.
    pub z: Vec<f64>,
    /// Mean over the circumference of the height relative to the finished cone, m.
    pub mean: Vec<f64>,
    /// The same on one meridian, with the feed marks, m.
    pub meridian: Vec<f64>,
    /// Peak to valley round the circumference without the mean, m.
    pub roundness: Vec<f64>,
}

/// Lost motion on reversal, as carriage travel, by part.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LostMotion {
    /// Total carriage travel, m.
    pub total: f64,
    /// Shop name of the part and its share, m of carriage travel.
    pub parts: Vec<(String, f64)>,
    /// Whether the seat changes face on reversal (a preload may prevent it).
    pub changes_face: bool,
}

/// The slide against the carriage over one reversal in air.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ReversalLoop {
    /// Carriage travel, m.
    pub carriage: Vec<f64>,
    /// What the guide asks of the slide, m along the cross-slide.
    pub guide: Vec<f64>,
    /// Where the slide is, m along the cross-slide.
    pub slide: Vec<f64>,
    /// Lost motion.
    pub lost: LostMotion,
}

/// What gauges read of one way's work; by default of work that nothing cut.
#[derive(Clone, Debug, Default, PartialEq, Serialize, JsonSchema, Deserialize)]
pub struct Measures {
    /// Taper on diameter as least-squares line of the body, ratio.
    pub taper: f64,
    /// Taper less the nominal, ratio on diameter.
    pub taper_error: f64,
    /// What was set for the last cutting pass, per side, m.
    pub set: f64,
    /// What the last cutting pass took at the gauge plane, per side, m.
    pub taken: f64,
    /// Size error of the body's line at the gauge plane per side, positive into the work, m.
    pub size_error: f64,
    /// Waves of the body, peak to valley per side, m.
    pub waves: f64,
    /// Their spacing, m, when there are any.
    pub wave_spacing: Option<f64>,
    /// Largest step from a change of seat in the last pass, m per side.
    pub step: Option<(f64, f64)>,
    /// Length left straight at the start, m.
    pub straight_part: f64,
    /// Largest roundness error, peak to valley, m.
    pub roundness: f64,
    /// Seat that held most of the last cutting pass.
    pub seat: Seat,
    /// Least force that holds the slide against the guide; 0 when it floats or changes, N.
    pub seat_margin: f64,
    /// Push-off over the last cutting pass, least and most, N.
    pub push_off: (f64, f64),
    /// Drag while cutting over the last cutting pass, least and most, N.
    pub drag: (f64, f64),
    /// Standoff from the size error, m along the axis.
    pub standoff: f64,
    /// What the tool left where it came into the cut, where one would notice it.
    pub entry: Option<EndMark>,
    /// The same where it left.
    pub exit: Option<EndMark>,
    /// What a plug or ring of the taper aimed at reads: it rests on marks as well as on the body.
    pub gauge_reads: GaugeRests,
}

/// A mark at an end of the work.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, JsonSchema, Deserialize)]
pub struct EndMark {
    /// Its most against the body's line per side, m: positive dug in, negative left standing.
    pub depth: f64,
    /// Where that is, m.
    pub z: f64,
    /// How far it reaches from the end, m.
    pub length: f64,
}

/// Where a plug or ring comes to rest.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, JsonSchema, Deserialize)]
pub struct GaugeRests {
    /// Size error it tells per side, positive into the work, m.
    pub height: f64,
    /// Where it touches, m.
    pub z: f64,
}

/// What one way gives: what gauges read, and what a profile tracer would.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Outcome {
    /// What gauges read.
    #[serde(flatten)]
    pub measures: Measures,
    /// Roughness Ra, m.
    pub ra: f64,
    /// Roughness Rz, m.
    pub rz: f64,
    /// Waviness Wa, m.
    pub wa: f64,
    /// Waviness Wt, m.
    pub wt: f64,
}

impl std::ops::Deref for Outcome {
    type Target = Measures;

    fn deref(&self) -> &Measures {
        &self.measures
    }
}

/// What the slide's mass makes of one way, beside the quasi-static answer.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Inertia {
    /// Mass of the slide and what stands on it, kg.
    pub mass: f64,
    /// At which the slide would swing on the cutting force alone, Hz.
    pub floating_frequency: f64,
    /// Of the spindle at the gauge plane, 1/s.
    pub turns_per_second: f64,
    /// Whether the slide floats or changes its seat and is too slow for the turn: roundness and
    /// where it changes aren't to be relied on.
    pub too_slow: bool,
    /// The last pass made again with the mass, where that was asked for.
    pub tried: Option<WithInertia>,
}

/// The last pass, made again with the slide's mass: nobody knows what oil and chip damp, so with
/// as little and as much as may be, and in between.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct WithInertia {
    /// What comes of it, the least damped first.
    pub damped: Vec<Damped>,
    /// Size per side, waves and roundness, each held against what would still be the same answer.
    pub held: [Held; 3],
    /// Whether one of them comes out otherwise, whatever the damping.
    pub differs: bool,
    /// Whether one of them does with some of the damping tried.
    pub may_differ: bool,
}

/// The last pass with the slide's mass and one damping.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Damped {
    /// Damping over that at which the slide on its cutting force alone no longer swings.
    pub ratio: f64,
    /// What gauges read then.
    pub measures: Measures,
    /// Share of the cut's time in which inertia takes more than a fifth of the drag.
    pub counts: f64,
    /// Steps through time.
    pub substeps: u64,
}

/// A measure with the slide's mass, held against the one without.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Held {
    /// From here, m ...
    pub from: f64,
    /// ... to here it would be the same answer, m.
    pub to: f64,
    /// Least and most over the damping, m.
    pub least: f64,
    /// Likewise.
    pub most: f64,
    /// What says so.
    pub by: Yardstick,
    /// Whether it lies outside, whatever the damping.
    pub differs: bool,
    /// Whether it does with some of it.
    pub may_differ: bool,
}

/// What says how far two answers may be apart and still be one.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Yardstick {
    /// The coverage interval of the lathes tried.
    Lathes,
    /// A share of the drawing's tolerance.
    Drawing,
    /// What one would see.
    Sight,
}

/// A way that was run.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Run {
    /// The way.
    pub setup: Setup,
    /// Pulled in or drawn away.
    pub pull: Pull,
    /// How the roughing went.
    pub roughing: Roughing,
    /// Every pass.
    pub passes: Vec<PassRecord>,
    /// The last pass with a set depth, counted from 0 in `passes`.
    pub last_set: usize,
    /// The finished surface.
    pub profile: Profile,
    /// Lost motion.
    pub reversal: ReversalLoop,
    /// What comes out.
    pub outcome: Outcome,
    /// Whether the slide's mass matters.
    pub inertia: Inertia,
}

/// How size and waves depend on drag and slack, for the last cutting pass drawn away.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct RegimeMap {
    /// Drag while cutting over push-off at the set depth: the columns.
    pub drag_over_push_off: Vec<f64>,
    /// Slack over set depth: the rows.
    pub slack_over_depth: Vec<f64>,
    /// Share of the set depth left standing, by row then column.
    pub size_loss: Vec<Vec<f64>>,
    /// Waves over set depth, by row then column.
    pub waves: Vec<Vec<f64>>,
    /// Boundary `F = Fp(a0 - g)`: for each row, the drag ratio (the other boundary, `F = Fp(a0)`,
    /// is at 1).
    pub seats_again: Vec<f64>,
    /// This job: drag over push-off, slack over depth.
    pub job: (f64, f64),
}
