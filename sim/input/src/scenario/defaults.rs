//! What is assumed of a lathe, a tool or a surface that nobody measured: middles with their ranges.
//!
//! Nothing here was measured for this program. Marks: [mem] from memory of trade books, [calc]
//! worked from the model, [guess] judgement. The ordinary column is an ordinary used lathe of 13
//! to 16 in swing; good, worn and junk are scaled from it by judgement so that all slack along
//! the cross-slide comes to about 0.008, 0.014 to 0.018, 0.06 and 0.1 in.

use std::marker::PhantomData;

use super::known::Known;
use super::lathe::Condition;
use crate::arithmetic::max;
use crate::quantity::{
    Angle, EdgeLoad, Force, INCH, INCH_PER_FOOT, LBF, LBF_PER_THOU, Length, Pressure, Quantity,
    Ratio, Stiffness, Taper,
};

/// N/m in a newton per mm of edge.
const N_PER_MM: f64 = 1000.0;
const MM: f64 = 0.001;
const DEGREE: f64 = std::f64::consts::PI / 180.0;

/// A number that goes with the lathe's condition: low, middle and high for each.
pub struct ByCondition<Q> {
    /// SI in one of the units the rows are written in.
    unit: f64,
    /// Good, ordinary, worn, junk.
    rows: [[f64; 3]; 4],
    quantity: PhantomData<Q>,
}

impl<Q: Quantity> ByCondition<Q> {
    const fn new(unit: f64, rows: [[f64; 3]; 4]) -> Self {
        Self {
            unit,
            rows,
            quantity: PhantomData,
        }
    }

    const fn same(unit: f64, row: [f64; 3]) -> Self {
        Self::new(unit, [row; 4])
    }

    /// The default for a lathe in this condition.
    pub fn of(&self, condition: Condition) -> Known<Q> {
        let row = match condition {
            Condition::Good => 0,
            Condition::Ordinary => 1,
            Condition::Worn => 2,
            Condition::Junk => 3,
        };
        assumed(self.unit, self.rows[row])
    }
}

/// A default written in some unit: low, middle, high.
fn assumed<Q: Quantity>(unit: f64, [low, middle, high]: [f64; 3]) -> Known<Q> {
    Known::assumed(low * unit, middle * unit, high * unit)
}

/// Ordinary [mem], the rest [guess].
pub const FOOT_SLACK: ByCondition<Length> = ByCondition::new(
    INCH,
    [
        [0.0, 0.001, 0.005],
        [0.0, 0.005, 0.060],
        [0.002, 0.020, 0.080],
        [0.010, 0.060, 0.150],
    ],
);
/// Ordinary [mem], the rest [guess].
pub const FOOT_SPRING: ByCondition<Stiffness> = ByCondition::new(
    LBF_PER_THOU,
    [
        [50.0, 100.0, 200.0],
        [20.0, 60.0, 150.0],
        [15.0, 40.0, 100.0],
        [8.0, 20.0, 60.0],
    ],
);
/// [guess]: an oiled bar of some 30 to 60 lb on its bracket.
pub const BAR_DRAG: ByCondition<Force> = ByCondition::new(
    LBF,
    [
        [3.0, 8.0, 20.0],
        [3.0, 10.0, 30.0],
        [3.0, 12.0, 40.0],
        [2.0, 15.0, 60.0],
    ],
);
/// Ordinary [mem], the rest [guess].
pub const SHOE_SLACK: ByCondition<Length> = ByCondition::new(
    INCH,
    [
        [0.0003, 0.001, 0.002],
        [0.0005, 0.002, 0.010],
        [0.003, 0.010, 0.025],
        [0.005, 0.020, 0.050],
    ],
);
/// Ordinary [mem], the rest [guess].
pub const THRUST_SLACK: ByCondition<Length> = ByCondition::new(
    INCH,
    [
        [0.0003, 0.001, 0.003],
        [0.0005, 0.002, 0.015],
        [0.003, 0.010, 0.025],
        [0.005, 0.020, 0.050],
    ],
);
/// Ordinary [mem], the rest [guess].
pub const NUT_SLACK: ByCondition<Length> = ByCondition::new(
    INCH,
    [
        [0.002, 0.006, 0.010],
        [0.003, 0.010, 0.040],
        [0.015, 0.040, 0.070],
        [0.025, 0.060, 0.120],
    ],
);
/// Ordinary [mem], the rest [guess].
pub const SHOE_SPRING: ByCondition<Stiffness> = ByCondition::new(
    LBF_PER_THOU,
    [
        [120.0, 260.0, 450.0],
        [80.0, 200.0, 400.0],
        [60.0, 150.0, 300.0],
        [40.0, 90.0, 200.0],
    ],
);
/// Thrust bearing, screw and nut together. Ordinary [mem], the rest [guess].
pub const SCREW_SPRING: ByCondition<Stiffness> = ByCondition::new(
    LBF_PER_THOU,
    [
        [80.0, 170.0, 350.0],
        [50.0, 120.0, 300.0],
        [35.0, 85.0, 200.0],
        [20.0, 50.0, 130.0],
    ],
);
/// [guess]: a bent or slender rod pushed is half as stiff or less.
pub const SCREW_PUSH_SHARE: ByCondition<Ratio> = ByCondition::new(
    1.0,
    [
        [0.7, 0.9, 1.0],
        [0.5, 0.8, 1.0],
        [0.4, 0.7, 1.0],
        [0.3, 0.6, 1.0],
    ],
);
/// [mem].
pub const GUIDE_TRAVEL: ByCondition<Length> = ByCondition::same(INCH, [7.0, 10.0, 16.0]);
/// [mem].
pub const STEEPEST: ByCondition<Taper> = ByCondition::same(INCH_PER_FOOT, [2.5, 3.0, 4.0]);
/// [mem].
pub const GUIDE_END: ByCondition<Length> = ByCondition::same(INCH, [6.0, 10.0, 14.0]);
/// [calc]: readout steps of 0.0005 in over 3 in are 0.002 in/ft; twice that, for a guide that
/// creeps when its bolts are drawn up, is [guess].
pub const SETTING_ERROR: ByCondition<Taper> =
    ByCondition::same(INCH_PER_FOOT, [-0.004, 0.0, 0.004]);

/// A slide stays turned as the last cut left it, unless something pushes the bar's tip in between
/// [guess].
pub fn swing_left() -> Known<Ratio> {
    Known::assumed(0.0, 0.0, 1.0)
}

/// [guess].
pub const GUIDE_BOW: ByCondition<Length> = ByCondition::new(
    INCH,
    [
        [-0.0003, 0.0, 0.0003],
        [-0.0007, 0.0, 0.0007],
        [-0.0015, 0.0, 0.0015],
        [-0.003, 0.0, 0.003],
    ],
);

/// Ordinary [mem], the rest [guess].
pub const DRAG: ByCondition<Force> = ByCondition::new(
    LBF,
    [
        [8.0, 18.0, 40.0],
        [8.0, 20.0, 60.0],
        [5.0, 18.0, 60.0],
        [2.0, 15.0, 80.0],
    ],
);
/// Ordinary [mem], the rest [guess].
pub const BREAKAWAY: ByCondition<Ratio> = ByCondition::new(
    1.0,
    [
        [1.05, 1.2, 1.5],
        [1.05, 1.3, 1.8],
        [1.05, 1.4, 2.0],
        [1.1, 1.5, 2.2],
    ],
);
/// [mem].
pub const WEIGHT: ByCondition<Force> = ByCondition::same(LBF, [45.0, 80.0, 130.0]);
/// [mem]; published values of cast iron on cast iron run from 0.07 greasy to 0.21.
pub const FRICTION: ByCondition<Ratio> = ByCondition::same(1.0, [0.08, 0.15, 0.20]);
/// [guess]: as the ways.
pub const SIDE_FRICTION: ByCondition<Ratio> = ByCondition::same(1.0, [0.08, 0.15, 0.20]);
/// [guess].
pub const OVERHANG: ByCondition<Ratio> = ByCondition::new(
    1.0,
    [
        [1.0, 1.15, 1.4],
        [1.0, 1.2, 1.6],
        [1.0, 1.3, 1.8],
        [1.0, 1.4, 2.0],
    ],
);
/// [mem].
pub const DRAG_LEFT_CUTTING: ByCondition<Ratio> = ByCondition::same(1.0, [0.3, 0.6, 0.9]);
/// Ordinary [mem], the rest [guess].
pub const DRAG_CHANGE: ByCondition<Ratio> = ByCondition::new(
    1.0,
    [
        [0.03, 0.10, 0.25],
        [0.05, 0.20, 0.50],
        [0.10, 0.30, 0.60],
        [0.15, 0.40, 0.80],
    ],
);
/// Ordinary [mem], the rest [guess].
pub const GIB_SLACK: ByCondition<Length> = ByCondition::new(
    INCH,
    [
        [0.0003, 0.0007, 0.0015],
        [0.0005, 0.0015, 0.005],
        [0.0015, 0.004, 0.008],
        [0.003, 0.008, 0.015],
    ],
);
/// [mem].
pub const GIB_LENGTH: ByCondition<Length> = ByCondition::same(INCH, [8.0, 9.0, 10.0]);
/// [guess].
pub const SLIDE_TRAVEL: ByCondition<Length> = ByCondition::same(INCH, [5.0, 7.0, 10.0]);

/// Ordinary [mem], the rest [guess].
pub const TOP_SLIDE_SLACK: ByCondition<Length> = ByCondition::new(
    INCH,
    [
        [0.001, 0.003, 0.006],
        [0.002, 0.005, 0.020],
        [0.005, 0.012, 0.030],
        [0.010, 0.025, 0.060],
    ],
);
/// Ordinary [mem], the rest [guess].
pub const TOP_SLIDE_SPRING: ByCondition<Stiffness> = ByCondition::new(
    LBF_PER_THOU,
    [
        [60.0, 130.0, 300.0],
        [40.0, 100.0, 250.0],
        [30.0, 80.0, 200.0],
        [20.0, 50.0, 140.0],
    ],
);
/// [guess] of 12 to 16 in lathes.
pub const TOP_SLIDE_TRAVEL: ByCondition<Length> = ByCondition::same(INCH, [2.5, 3.5, 5.0]);
/// Marks a half or a whole degree apart, read to a tenth (common practice, no source).
pub const GRADUATION: ByCondition<Angle> = ByCondition::same(DEGREE, [-0.1, 0.0, 0.1]);
/// [guess]: a tenth and a half either way on an indicator, and what it shifts when clamped.
pub const TOP_SLIDE_SETTING: ByCondition<Length> = ByCondition::same(INCH, [-0.0005, 0.0, 0.0005]);
/// [guess].
pub const TOP_SLIDE_GIB_SLACK: ByCondition<Length> = ByCondition::new(
    INCH,
    [
        [0.0001, 0.0003, 0.001],
        [0.0002, 0.0007, 0.002],
        [0.0005, 0.0015, 0.004],
        [0.001, 0.003, 0.008],
    ],
);
/// [guess]: two hands on a small crank.
pub const HAND_FEED: ByCondition<Ratio> = ByCondition::same(1.0, [0.15, 0.30, 0.50]);

/// [mem].
pub const SETOVER: ByCondition<Length> = ByCondition::same(INCH, [0.25, 0.5, 1.0]);
/// [guess]: set by an indicator on the quill; clamping moves it, and straight was not quite known.
pub const SETOVER_ERROR: ByCondition<Length> = ByCondition::new(
    INCH,
    [
        [-0.001, 0.0, 0.001],
        [-0.0015, 0.0, 0.0015],
        [-0.003, 0.0, 0.003],
        [-0.006, 0.0, 0.006],
    ],
);
/// A maker's inspection sheet in the pattern of ISO 1708 allows 0.04 mm; the rest [guess].
pub const CENTRE_HEIGHT: ByCondition<Length> = ByCondition::new(
    MM,
    [
        [-0.04, 0.0, 0.04],
        [-0.06, 0.0, 0.06],
        [-0.12, 0.0, 0.12],
        [-0.25, 0.0, 0.25],
    ],
);
/// [guess]: a quarter of the depth of an ordinary centre hole.
pub const CENTRE_SEATING: ByCondition<Length> = ByCondition::same(INCH, [-0.03, 0.0, 0.03]);

/// Ordinary [mem], the rest [guess].
pub const SPINDLE_SPRING: ByCondition<Stiffness> = ByCondition::new(
    LBF_PER_THOU,
    [
        [180.0, 400.0, 700.0],
        [120.0, 300.0, 600.0],
        [90.0, 220.0, 450.0],
        [60.0, 150.0, 350.0],
    ],
);
/// Ordinary [mem], the rest [guess].
pub const TAILSTOCK_SPRING: ByCondition<Stiffness> = ByCondition::new(
    LBF_PER_THOU,
    [
        [70.0, 150.0, 320.0],
        [50.0, 120.0, 300.0],
        [40.0, 90.0, 220.0],
        [25.0, 60.0, 150.0],
    ],
);
/// [mem].
pub const READOUT_STEP: ByCondition<Length> = ByCondition::same(INCH, [0.0001, 0.0005, 0.001]);

/// Length between centres by rule, from the bottom of one centre hole to the other: to 1/32 in
/// [guess]. Where nobody said what stands beside the taper, to an inch [guess].
pub fn between_centres(length: f64, told: bool) -> Known<Length> {
    let within = if told { INCH / 32.0 } else { INCH };
    Known::assumed(max(length - within, 0.5 * length), length, length + within)
}

/// Real stiffness of a held bar over that of a perfectly clamped one [mem].
pub fn holder_factor() -> Known<Ratio> {
    assumed(1.0, [0.4, 0.6, 0.85])
}

/// A tool set on centre by eye or scale [guess].
pub fn tool_height() -> Known<Length> {
    assumed(INCH, [-0.005, 0.0, 0.005])
}

/// Share of a cylinder's force that its seals take: 10 to 20 % is published, the wider range is
/// for small and old cylinders [guess].
pub fn seal_share() -> Known<Ratio> {
    assumed(1.0, [0.05, 0.15, 0.25])
}

/// A spring picked from the drawer: its rate [guess].
pub fn preload_rate() -> Known<Stiffness> {
    assumed(LBF / INCH, [1.0, 5.0, 20.0])
}

/// How keen the edge is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Edge {
    /// New or freshly honed.
    Fresh,
    /// It has cut for a while.
    Used,
    /// It should be changed.
    Dull,
}

/// What a tool is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ToolMaterial {
    /// High-speed steel, ground by hand.
    HighSpeedSteel,
    /// Carbide insert or brazed tip.
    Carbide,
}

/// Edge force in ordinary steel, [mem] 20 (10 to 50) N/mm; split by keenness [guess].
pub fn edge_force(edge: Option<Edge>) -> Known<EdgeLoad> {
    assumed(
        N_PER_MM,
        match edge {
            Some(Edge::Fresh) => [10.0, 15.0, 25.0],
            Some(Edge::Used) => [12.0, 25.0, 40.0],
            Some(Edge::Dull) => [25.0, 45.0, 60.0],
            None => [10.0, 20.0, 50.0],
        },
    )
}

/// In-plane force over main force in a fine cut, [mem] 0.5 sharp, 0.3 to 1.0 dull; split [guess].
pub fn push_ratio(edge: Option<Edge>) -> Known<Ratio> {
    assumed(
        1.0,
        match edge {
            Some(Edge::Fresh) => [0.3, 0.5, 0.7],
            Some(Edge::Used) => [0.4, 0.6, 0.85],
            Some(Edge::Dull) => [0.5, 0.85, 1.1],
            None => [0.3, 0.5, 1.0],
        },
    )
}

/// Radius of the cutting edge [guess]: honed carbide some 0.03 mm, a stoned edge some 0.01 mm.
pub fn edge_radius(edge: Option<Edge>, material: ToolMaterial) -> Known<Length> {
    use ToolMaterial::{Carbide, HighSpeedSteel};
    assumed(
        MM,
        match (material, edge) {
            (Carbide, Some(Edge::Fresh)) => [0.015, 0.030, 0.050],
            (Carbide, Some(Edge::Used)) => [0.020, 0.040, 0.070],
            (Carbide, Some(Edge::Dull)) => [0.040, 0.070, 0.120],
            (Carbide, None) => [0.015, 0.035, 0.080],
            (HighSpeedSteel, Some(Edge::Fresh)) => [0.005, 0.010, 0.020],
            (HighSpeedSteel, Some(Edge::Used)) => [0.010, 0.020, 0.040],
            (HighSpeedSteel, Some(Edge::Dull)) => [0.020, 0.050, 0.100],
            (HighSpeedSteel, None) => [0.005, 0.015, 0.060],
        },
    )
}

/// The surface the first pass meets.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Surface {
    /// Turned or bored without letting go of it.
    SameSetting,
    /// Put back and dialled in a four-jaw.
    FourJaw,
    /// Put back in a three-jaw.
    ThreeJaw,
    /// Cold-drawn bar.
    ColdDrawn,
    /// Hot-rolled bar with its skin.
    BlackBar,
    /// A forging.
    Forging,
    /// A casting.
    Casting,
    /// Flame-cut.
    FlameCut,
    /// Built up by welding.
    Weld,
}

/// Run-out, ovality and lobing of a start surface: total indicator reading, then peak to valley
/// on radius twice. `thin` is a ring that three jaws spring.
///
/// Run-out of the settings, of black bar and the thin ring's lobes are [mem], with a third to
/// three times as range; the rest is [guess].
pub fn roundness(surface: Surface, thin: bool) -> [Known<Length>; 3] {
    let about = |inch: f64| assumed(INCH, [inch * 0.3, inch, inch * 3.0]);
    let up_to = |inch: f64| assumed(INCH, [0.0, inch * 0.3, inch]);
    let lobes = match (surface, thin) {
        (Surface::ThreeJaw, true) => assumed(INCH, [0.0003, 0.001, 0.004]),
        (Surface::ThreeJaw, false) => up_to(0.0003),
        _ => up_to(0.0001),
    };
    let (run_out, ovality) = match surface {
        Surface::SameSetting => (about(0.0005), up_to(0.0002)),
        Surface::FourJaw => (about(0.001), up_to(0.0003)),
        Surface::ThreeJaw => (about(0.003), up_to(0.0003)),
        Surface::ColdDrawn => (about(0.003), about(0.0005)),
        Surface::BlackBar => (about(0.015), about(0.005)),
        Surface::Forging => (about(0.030), about(0.015)),
        Surface::Casting => (about(0.040), about(0.020)),
        Surface::FlameCut => (about(0.060), about(0.030)),
        Surface::Weld => (about(0.030), about(0.015)),
    };
    [run_out, ovality, lobes]
}

/// Unevenness of a surface that is harder in places whatever it is made of: flame-cut and weld
/// [mem] 30 %, half to double; elsewhere the material's own counts.
pub fn uneven_surface(surface: Surface) -> Option<Known<Ratio>> {
    matches!(surface, Surface::FlameCut | Surface::Weld).then(|| assumed(1.0, [0.15, 0.30, 0.60]))
}

/// Length over which hardness changes [mem].
pub fn patch() -> Known<Length> {
    assumed(INCH, [0.1, 0.5, 2.0])
}

/// Specific cutting force from a table row and the spread between tables.
pub fn specific_force(pascal: f64, spread: f64) -> Known<Pressure> {
    assumed(pascal, [1.0 - spread, 1.0, 1.0 + spread])
}
