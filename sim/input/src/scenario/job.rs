//! The work and the cut: one taper, wanted once.

use super::known::Known;
use super::thread::Thread;
use crate::quantity::{
    Angle, EdgeLoad, Force, Length, Pressure, Quantity, Ratio, Speed, Stiffness, Taper, Units,
};
use crate::setup::{End, Kind, Toward};
use schemars::JsonSchema;
use serde::Serialize;

/// How the work is held.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub enum Holding {
    /// In a chuck or on a faceplate, free at the other end.
    #[serde(rename = "chuck")]
    Chuck,
    /// In a chuck with a tailstock centre.
    #[serde(rename = "chuck and centre")]
    ChuckAndCentre,
    /// Between centres.
    #[serde(rename = "between centres")]
    Centres,
}

/// What the taper is cut from.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub enum StartSurface {
    /// A straight bore or bar of this diameter.
    Straight {
        /// Its diameter.
        diameter: Length,
    },
    /// Another taper, big toward the same end: a worn seat, or one cut before.
    Tapered {
        /// On diameter.
        taper: Taper,
        /// Its diameter at the gauge plane of the job.
        diameter: Length,
    },
    /// Already roughed to the taper, with this stock left per side.
    Roughed {
        /// Stock per side.
        stock: Length,
    },
}

/// A tolerance with its signs kept: `lower <= upper`, either may be zero.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Band<Q> {
    /// Signed lower limit, relative to the nominal.
    pub lower: Q,
    /// Signed upper limit, relative to the nominal.
    pub upper: Q,
}

/// Slots along the work that the tool crosses at every turn: keyways, ports.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Slots {
    /// How many, evenly round the work.
    pub count: u32,
    /// Width of each.
    pub width: Length,
}

/// A groove cut beforehand at an end of the taper, in which the tool starts or comes out: at a blind
/// bottom or a shoulder.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Relief {
    /// At which end of the taper.
    pub at: End,
    /// Along the axis.
    pub width: Length,
    /// Below the finished taper there, per side.
    pub depth: Length,
}

/// A steady rest: three pads clamped to the bed that bear on a true band of the work.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Steady {
    /// From the jaws (or headstock centre) to the band, along the axis.
    pub at: Length,
    /// Spring of the rest, from the pads to the bed.
    pub spring: Known<Stiffness>,
    /// How far off the spindle's line it holds the work, toward the operator.
    pub set: Known<Length>,
}

/// The work.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Work {
    /// Outside or inside.
    pub kind: Kind,
    /// Which end is big.
    pub big_end: End,
    /// Nominal taper, on diameter, positive.
    pub taper: Taper,
    /// Tolerance on the taper, on diameter.
    pub tolerance: Band<Taper>,
    /// How far the taper wanted itself may be off, where it was read off a sample; none from a
    /// drawing.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub taper_doubt: Option<Known<Taper>>,
    /// Length of the taper along the axis.
    pub length: Length,
    /// Where the size is measured: distance from the big end.
    pub gauge_plane: Length,
    /// Diameter at the gauge plane.
    pub diameter: Length,
    /// Tolerance on that diameter, if the drawing gives one.
    pub size_tolerance: Option<Band<Length>>,
    /// Waves allowed, peak to valley per side, if the drawing or the fit gives a limit.
    pub waves_allowed: Option<Length>,
    /// What is cut.
    pub material: String,
    /// Young's modulus of the material.
    pub modulus: Pressure,
    /// How it is held.
    pub holding: Holding,
    /// From the jaws (or headstock centre) to the headstock-side end of the taper.
    pub from_jaws: Length,
    /// From the tailstock-side end of the taper to the free end or the tailstock centre.
    pub beyond: Length,
    /// Between the points of the centres, where it is held between them or can be.
    pub between_centres: Option<Known<Length>>,
    /// The steady rest that it bears on, if it does.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub steady: Option<Steady>,
    /// Outside diameter of a bored piece, if given: how stiff it stands.
    pub outside_diameter: Option<Length>,
    /// The surface it starts from.
    pub start: StartSurface,
    /// Run-out of that surface, total indicator reading.
    pub run_out: Known<Length>,
    /// Out-of-round of that surface in two lobes, peak to valley on radius.
    pub ovality: Known<Length>,
    /// Three lobes sprung in by the jaws, peak to valley on radius, standing after unclamping.
    pub lobing: Known<Length>,
    /// Slots along its whole length, if it is interrupted.
    pub slots: Option<Slots>,
    /// A relief at one of its ends.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub relief: Option<Relief>,
    /// Room to run the carriage past the headstock-side end of the taper.
    pub room_headstock: Length,
    /// Room to run the carriage past the tailstock-side end of the taper.
    pub room_tailstock: Length,
}

/// What the material asks of the tool: force law and its unevenness.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct CuttingData {
    /// Specific cutting force at 1 mm chip thickness, Kienzle's kc1.1.
    pub specific_force: Known<Pressure>,
    /// Kienzle's exponent, mc.
    pub exponent: f64,
    /// In-plane force (push-off and feed together) over the main force as found in cuts, the edge's
    /// share in it; negative for a tool that hooks in. A pair with the next: of one edge.
    pub push_ratio: Known<Ratio>,
    /// What the edge pushes along its engaged length as the chip goes to nothing.
    pub edge_force: Known<EdgeLoad>,
    /// Unevenness of the material as force, standard deviation.
    pub unevenness: Known<Ratio>,
    /// Length over which it changes.
    pub patch: Known<Length>,
}

/// A boring bar.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Bar {
    /// Diameter.
    pub diameter: Length,
    /// Sticking out of the holder.
    pub stick_out: Length,
    /// How far the cutting edge stands out of the bar's side, if given.
    pub edge_out: Option<Length>,
    /// Carbide instead of steel.
    pub carbide: bool,
    /// Real spring over that of a perfectly clamped bar.
    pub holder_factor: Known<Ratio>,
}

/// The tool.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Tool {
    /// Nose radius.
    pub nose_radius: Length,
    /// Entering angle of the main edge, from the direction of feed.
    pub entering_angle: Angle,
    /// Included angle of the point, between main edge and back edge, where it is known.
    pub included_angle: Option<Angle>,
    /// Radius of the cutting edge itself: chips much thinner than this are not cut.
    pub edge_radius: Known<Length>,
    /// Above (positive) or below the centre, seen with the tool's face as the top.
    pub height: Known<Length>,
    /// Share of the bar's swing in the side slack of the slide's gib that was not yet taken up
    /// when the tool was touched off: 0 as the last cut left it, 1 pushed right into the cut.
    pub swing_left: Known<Ratio>,
    /// The boring bar, when there is one.
    pub bar: Option<Bar>,
}

impl Tool {
    /// How far the back edge stands from the spindle axis behind the nose, rad: `180 deg - K -
    /// included angle`. Not known where that angle isn't.
    pub fn back_edge(&self) -> Option<f64> {
        let included = self.included_angle?.si();
        Some(std::f64::consts::PI - self.entering_angle.si() - included)
    }
}

/// The passes, per side.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Passes {
    /// Depth of a roughing pass at most; as many as the stock needs.
    pub rough: Length,
    /// Roughing feed per turn.
    pub rough_feed: Length,
    /// The last passes, in order.
    pub finish: Vec<Length>,
    /// Finishing feed per turn.
    pub feed: Length,
    /// Passes at the end with the dial left alone.
    pub spring: u32,
    /// Spindle speed.
    pub speed: Speed,
    /// Whether nobody told it, so that it goes by material and tool.
    pub speed_assumed: bool,
}

/// What a person does anew each time, and how well it repeats: touching off, and setting the dial.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ByHand {
    /// How far the edge is from the work when it counts as touching, positive into the cut.
    pub touch_off: Known<Length>,
    /// How far the last pass with a set depth is off what was to be set, positive into the cut.
    pub dial: Known<Length>,
    /// What else is drawn in a trial.
    #[serde(skip)]
    pub chance: HandDraws,
}

/// What a trial draws for each run-in and each setting of the dial. Outside a trial it is empty,
/// and everything stands in its middle.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct HandDraws {
    /// Where stick-slip leaves the slide, as a share of all places where it can: 0 just after a
    /// slip, 1 just before; before touching off, then before each pass.
    pub run_ins: Vec<f64>,
    /// Errors of the dial before the passes that aren't the last set one, m.
    pub dials: Vec<f64>,
}

impl HandDraws {
    /// Place in `run_ins` of the run-in before touching off; the passes follow.
    pub const TOUCH_OFF: usize = 0;

    /// Where stick-slip leaves the slide before touching off.
    pub fn touch_off(&self) -> f64 {
        self.run_in(Self::TOUCH_OFF)
    }

    /// The same before a pass, counted from 0.
    pub fn before_pass(&self, pass: usize) -> f64 {
        self.run_in(Self::TOUCH_OFF + 1 + pass)
    }

    fn run_in(&self, place: usize) -> f64 {
        self.run_ins.get(place).copied().unwrap_or(0.5)
    }
}

impl ByHand {
    /// Error of the dial in a pass, counted from 0, where the last pass with a set depth is
    /// `last_set`; after that the dial is left alone.
    pub fn dial_error(&self, pass: usize, last_set: usize) -> f64 {
        if pass >= last_set {
            self.dial.si()
        } else {
            self.chance.dials.get(pass).copied().unwrap_or(0.0)
        }
    }
}

/// What a person gauges the work with.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Gauge {
    /// The kind; none where the size goes by the dial alone.
    pub kind: Option<GaugeKind>,
    /// How well one reading holds, either way, 95 of 100, on diameter.
    pub within: Length,
}

/// Kinds of gauges.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum GaugeKind {
    /// Outside micrometer.
    Micrometer,
    /// Bore gauge with an indicator.
    BoreGauge,
    /// Telescoping gauge and micrometer.
    TelescopingGauge,
    /// Caliper.
    Caliper,
    /// Taper plug or ring, by its standoff.
    PlugOrRing,
}

/// What makes the preload.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub enum PreloadSource {
    /// A weight on a cord, or a constant-force spring.
    Constant(Known<Force>),
    /// A spring: force at mid stroke and its rate.
    Spring {
        /// Force with the tool at the middle of the taper.
        force: Known<Force>,
        /// Rate.
        rate: Known<Stiffness>,
    },
    /// An air cylinder.
    Cylinder {
        /// Bore.
        bore: Length,
        /// Rod diameter on the pressed side, zero when the plain side is pressed.
        rod: Length,
        /// Gauge pressure.
        pressure: Known<Pressure>,
        /// Share of the force its seals take; it adds to the drag.
        seal_share: Known<Ratio>,
    },
}

/// A force that holds the slide to one side.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Preload {
    /// Which way.
    pub toward: Toward,
    /// From what.
    pub source: PreloadSource,
}

/// One taper to be made.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Job {
    /// What it is.
    pub name: String,
    /// A line on what it teaches or where it comes from; shown with the result.
    pub note: Option<String>,
    /// The person's units, the lathe's unless the job says otherwise.
    pub units: Units,
    /// The work.
    pub work: Work,
    /// Force law of its material with this tool.
    pub cutting: CuttingData,
    /// The tool.
    pub tool: Tool,
    /// The passes.
    pub passes: Passes,
    /// Touching off and setting the dial.
    pub by_hand: ByHand,
    /// What the work is gauged with.
    pub gauge: Gauge,
    /// How many such pieces are to be made.
    pub pieces: u64,
    /// Whether a spoilt piece can be made again.
    pub replaceable: bool,
    /// A force on the slide, if any.
    pub preload: Option<Preload>,
    /// The thread on it, if there is one.
    pub thread: Option<Thread>,
}

impl Work {
    /// Diameters of the taper itself at its big and its small end.
    pub fn end_diameters(&self) -> (Length, Length) {
        let big = self.diameter.si() + self.taper.si() * self.gauge_plane.si();
        let small = big - self.taper.si() * self.length.si();
        (Length::from_si(big), Length::from_si(small))
    }

    /// How far from its big end outside work is thinner than the taper, along the axis, m: a thread
    /// that runs out in stock of its own diameter has flat crests there. Zero where it isn't.
    pub fn thin_at_big_end(&self) -> f64 {
        let [big, _] = self.stock_at_ends();
        match (self.kind, self.start) {
            (Kind::Outside, StartSurface::Straight { .. }) if big < 0.0 => {
                -2.0 * big / self.taper.si()
            }
            _ => 0.0,
        }
    }

    /// Stock per side at the big and at the small end, m; less than none where nothing is cut.
    pub fn stock_at_ends(&self) -> [f64; 2] {
        let (big, small) = self.end_diameters();
        let [to_big, to_small] = [
            self.gauge_plane.si(),
            self.gauge_plane.si() - self.length.si(),
        ];
        let over = match self.kind {
            Kind::Outside => 0.5,
            Kind::Inside => -0.5,
        };
        let blank = match self.start {
            StartSurface::Roughed { stock } => return [stock.si(); 2],
            StartSurface::Straight { diameter } => [diameter.si(); 2],
            StartSurface::Tapered { taper, diameter } => {
                [to_big, to_small].map(|along| diameter.si() + taper.si() * along)
            }
        };
        [(blank[0] - big.si()) * over, (blank[1] - small.si()) * over]
    }
}
