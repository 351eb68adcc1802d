//! What is assumed of a lathe, a tool or a surface that nobody measured: middles with their ranges.
//!
//! Where it goes with the lathe's condition alone it stands in the number's row. Marks as there.

use super::job::GaugeKind;
use super::known::Known;
use crate::arithmetic::max;
use crate::quantity::{EdgeLoad, INCH, Length, MM, Pressure, Quantity, Ratio};

/// N/m in a newton per mm of edge.
const N_PER_MM: f64 = 1000.0;

/// A default written in some unit: low, middle, high.
fn assumed<Q: Quantity>(unit: f64, [low, middle, high]: [f64; 3]) -> Known<Q> {
    Known::assumed(low * unit, middle * unit, high * unit)
}

/// Length between centres by rule, from the bottom of one centre hole to the other: to 1/32 in
/// [guess]. Where nobody said what stands beside the taper, to an inch [guess].
pub fn between_centres(length: f64, told: bool) -> Known<Length> {
    let within = if told { INCH / 32.0 } else { INCH };
    Known::assumed(max(length - within, 0.5 * length), length, length + within)
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

/// What the edge alone pushes in ordinary steel as the chip goes to nothing, [mem] 20 (10 to 50)
/// N/mm; split by keenness [guess]. It makes a pair with [`push_ratio`] of the same keenness: as
/// the force law takes them, each holds the edge's push where the other ends, so that it counts
/// once. That both are of one edge in one series of cuts nobody measured [guess].
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

/// In-plane force over main force in a fine cut, the edge's push in it: [mem] 0.5 sharp, 0.3 to 1.0
/// dull; split [guess]. In steel at a chip of 0.05 mm a used edge's is some 100 N/mm, of which its
/// [`edge_force`] is a quarter. A tool with top rake in brass or bronze can hook in: a ratio below
/// 0, which the job must give.
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
    /// A taper that was in use, put back and dialled.
    WornSeat,
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
        Surface::WornSeat => (about(0.003), about(0.002)),
    };
    [run_out, ovality, lobes]
}

/// Unevenness of a surface that is harder in places whatever it is made of: flame-cut and weld
/// [mem] 30 %, half to double; elsewhere the material's own counts.
pub fn uneven_surface(surface: Surface) -> Option<Known<Ratio>> {
    matches!(surface, Surface::FlameCut | Surface::Weld).then(|| assumed(1.0, [0.15, 0.30, 0.60]))
}

/// Specific cutting force from a table row and the spread between tables.
pub fn specific_force(pascal: f64, spread: f64) -> Known<Pressure> {
    assumed(pascal, [1.0 - spread, 1.0, 1.0 + spread])
}

/// How well a reading holds, either way, on diameter: [mem] for those with a scale, [guess] for a
/// plug or ring, whose standoff is felt to some 5 thou at 2 in/ft.
pub fn gauge_within(kind: GaugeKind) -> Length {
    let within = match kind {
        GaugeKind::Micrometer => 0.0002,
        GaugeKind::BoreGauge => 0.0003,
        GaugeKind::TelescopingGauge => 0.001,
        GaugeKind::Caliper => 0.002,
        GaugeKind::PlugOrRing => 0.0005,
    };
    Length::from_si(within * INCH)
}

/// How the edge is brought to touch the work.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TouchOff {
    /// A slip of thin paper, pulled until it drags.
    Paper,
    /// By eye and ear: the first chip.
    Feel,
    /// A film of blue that is scratched.
    Blue,
    /// An indicator on the slide against a gauged surface.
    Indicator,
}

/// How well a touch-off repeats, either way [guess]: a thin paper is about a thou thick and drags
/// over a third of it, a film of blue is a few tenths, an indicator is read to a tenth.
pub fn touch_off(how: TouchOff) -> Known<Length> {
    let within = match how {
        TouchOff::Paper => 0.0003,
        TouchOff::Feel => 0.0006,
        TouchOff::Blue => 0.0002,
        TouchOff::Indicator => 0.0001,
    };
    assumed(INCH, [-within, 0.0, within])
}
