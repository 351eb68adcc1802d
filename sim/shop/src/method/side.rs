//! A cut along the cone's side as the straight cut that it is.
//!
//! Where the tool runs along the side and the cross-slide stands still, nothing moves across the
//! cut: the piece is a straight one as long as the side, and depths count square to it. So the
//! scenario is rewritten as that straight piece (with a taper next to none, for the engine turns
//! with the slide) on a drive of cross screw and nut alone, seated by the dial. What is read off comes
//! back as readings of the cone: radial heights are `1 / cos a` larger, places along the axis `cos a`
//! closer, and how far the side stands off its angle, which moves slide and screw alike, is added.
//! Left out: roughing (the finishing passes run from an even stock), and the bow of the hyperbola
//! that heights make, of which the taper takes the straight part.

use super::way::{Setting, plain};
use super::{hand_feed, tailstock, top_slide};
use crate::arithmetic::{atan, cos, max, tan};
use crate::balance::Link;
use crate::cut::{Finished, Operation, Options, Turned, aimed_taper};
use crate::machine::work::Bench;
use crate::machine::{Machine, RIGID, SlackPart, screw};
use crate::measure::{gauge, gauge_turned, measure};
use crate::quantity::{Length, Quantity, Taper};
use crate::record::{EndMark, GaugeRests, Measures, Outcome};
use crate::scenario::{Band, End, Holding, Scenario, StartSurface, Vary as _, Work};
use crate::setup::Setup;

/// A taper so slight that a whole piece of it is an atom's breadth, on diameter.
const NEXT_TO_NONE: f64 = 1e-9;

/// One cone as a straight piece.
#[derive(Clone, Debug)]
pub struct SideCut {
    scenario: Scenario,
    setup: Setup,
    machine: Machine,
    /// Half angle aimed at, rad.
    angle: f64,
    /// How much steeper the side stands, rad.
    steeper: f64,
    /// -1 where the straight piece counts its ends the other way round.
    turned: f64,
    /// Evenness of a feed by hand; none by power.
    by_hand: Option<f64>,
}

impl SideCut {
    /// A scenario cut with this setting.
    pub fn new(scenario: &Scenario, setting: &Setting) -> Self {
        let real = plain(scenario);
        let slope = aimed_taper(scenario) / 2.0;
        let angle = atan(slope);
        let cos = cos(angle);
        let (steeper, offset) = match setting {
            Setting::Offset(set) => (tailstock::steeper(scenario, set), Some(set)),
            Setting::Swivel(set) => (top_slide::steeper(scenario, set), None),
            _ => (0.0, None),
        };
        let length = scenario.job.work.length.si();
        let [at_start, at_end] = [0.0, length].map(|z| tailstock::of_heights(scenario, offset, z));
        let steeper = steeper + real.slope_sign() * (at_end - at_start) / length * cos * cos;

        // Pulled in, so that the dial leaves the drive on its first face.
        let big_end = if real.inward() * real.feed.sign() > 0.0 {
            End::Tailstock
        } else {
            End::Headstock
        };
        let setup = Setup { big_end, ..real };
        let turned = real.slope_sign() * setup.slope_sign();
        let straight = straight(scenario, big_end, cos);

        let mut machine = Machine::new(&straight, &setup, 0.5 * NEXT_TO_NONE);
        machine.drive = dialled(scenario, &setup);
        machine.foot.slack = 0.0;
        let work = &scenario.job.work;
        let bench = match offset {
            Some(set) => Bench::new(&scenario.lathe, &between_centres(scenario, set), slope),
            None => Bench::new(&scenario.lathe, work, slope),
        };
        machine.bench = bench.along_side(cos);
        let bar = machine.bar_gives;
        machine.bar_gives = bar * cos * cos;
        machine.tool_gives += machine.bar_gives - bar;
        let mut by_hand = None;
        if let Setting::Swivel(_) = setting {
            // The carriage is locked.
            machine.rock = 0.0;
            top_slide::seen_square(&mut machine, scenario);
            by_hand = Some(scenario.lathe.top_slide.hand_feed.si());
        }
        machine.slack_parts = vec![SlackPart {
            name: "cross screw and nut",
            slack: machine.drive.slack,
        }];
        Self {
            scenario: straight,
            setup,
            machine,
            angle,
            steeper,
            turned,
            by_hand,
        }
    }

    /// The straight cut.
    pub fn operation(&self, options: Options) -> Operation<'_> {
        let options = Options {
            run_in: None,
            ..options
        };
        let operation =
            Operation::new(&self.scenario, self.setup, options).on(self.machine.clone());
        match self.by_hand {
            Some(deviation) => {
                hand_feed::uneven(operation, &self.scenario, deviation, options.seed)
            }
            None => operation,
        }
    }

    /// What gauges read of the cone.
    pub fn measures(&self, options: Options) -> Measures {
        let operation = self.operation(options);
        let finished = operation.run_finishing();
        self.of_cone(gauge(&self.scenario, &self.setup, &operation, &finished))
    }

    /// What gauges read of a cone whose straight cut was turned in a batch.
    pub(super) fn gauged(&self, operation: &Operation<'_>, turned: Turned) -> Measures {
        let straight = gauge_turned(&self.scenario, &self.setup, operation, turned);
        self.of_cone(straight)
    }

    /// A depth on the radius as depth square to the side, m.
    pub(super) fn square_to_side(&self, radial: f64) -> f64 {
        radial * cos(self.angle)
    }

    /// The same with what a profile tracer reads.
    pub fn outcome(&self, options: Options) -> Outcome {
        let (operation, finished) = self.cut(options);
        let (outcome, _) = measure(&self.scenario, &self.setup, &operation, &finished);
        let marks = self.by_hand.map_or([1.0; 2], hand_feed::marks);
        Outcome {
            measures: self.of_cone(outcome.measures),
            ra: outcome.ra * marks[0],
            rz: outcome.rz * marks[1],
            ..outcome
        }
    }

    /// The cut itself, finished.
    pub fn cut(&self, options: Options) -> (Operation<'_>, Finished) {
        let operation = self.operation(options);
        let finished = operation.run_finishing();
        (operation, finished)
    }

    fn of_cone(&self, straight: Measures) -> Measures {
        let cos = cos(self.angle);
        let aim = 2.0 * tan(self.angle);
        let off = 0.5 * straight.taper_error * self.turned + self.steeper;
        let taper = 2.0 * tan(self.angle + off);
        let radial = |height: f64| height / cos;
        let end = |mark: EndMark| EndMark {
            depth: radial(mark.depth),
            z: mark.z * cos,
            length: mark.length * cos,
        };
        Measures {
            taper,
            taper_error: taper - aim,
            set: radial(straight.set),
            taken: radial(straight.taken),
            size_error: radial(straight.size_error),
            waves: radial(straight.waves),
            wave_spacing: straight.wave_spacing.map(|spacing| spacing * cos),
            step: straight.step.map(|(height, z)| (radial(height), z * cos)),
            straight_part: 0.0,
            roundness: radial(straight.roundness),
            standoff: 2.0 * radial(straight.size_error).abs() / aim,
            entry: straight.entry.map(end),
            exit: straight.exit.map(end),
            gauge_reads: GaugeRests {
                height: radial(straight.gauge_reads.height),
                z: straight.gauge_reads.z * cos,
            },
            ..straight
        }
    }
}

/// What gauges and tracer read of a scenario cut with this setting.
pub(super) fn outcome(scenario: &Scenario, setting: &Setting, options: Options) -> Outcome {
    SideCut::new(scenario, setting).outcome(options)
}

/// The piece as long as its side, without taper.
fn straight(scenario: &Scenario, big_end: End, cos: f64) -> Scenario {
    let mut straight = scenario.clone();
    let work = &scenario.job.work;
    let length = work.length.si() / cos;
    let from_headstock = match work.big_end {
        End::Headstock => work.gauge_plane.si(),
        End::Tailstock => work.length.si() - work.gauge_plane.si(),
    } / cos;
    let gauge_plane = match big_end {
        End::Headstock => from_headstock,
        End::Tailstock => length - from_headstock,
    };
    let none = Length::from_si(0.0);
    // No guide is followed, and the spindle's lean is added to the angle where it counts.
    let lathe = &mut straight.lathe;
    for off in [
        &mut lathe.attachment.setting_error,
        &mut lathe.spindle.out_of_line,
    ] {
        off.set_si(0.0);
    }
    lathe.attachment.guide_bow.set_si(0.0);
    let finish: Vec<Length> = scenario
        .job
        .passes
        .finish
        .iter()
        .map(|depth| Length::from_si(depth.si() * cos))
        .collect();
    let stock = finish.iter().map(|depth| depth.si()).sum();
    straight.job.preload = None;
    straight.job.passes.finish = finish;
    straight.job.work = Work {
        big_end,
        taper: Taper::from_si(NEXT_TO_NONE),
        tolerance: Band {
            lower: Taper::from_si(0.0),
            upper: Taper::from_si(0.0),
        },
        length: Length::from_si(length),
        gauge_plane: Length::from_si(gauge_plane),
        start: StartSurface::Roughed {
            stock: Length::from_si(stock),
        },
        room_headstock: none,
        room_tailstock: none,
        ..work.clone()
    };
    // How far off the line it leans the work is in the setting.
    if let Some(rest) = &mut straight.job.work.steady {
        rest.set.set_si(0.0);
    }
    straight
}

/// Cross screw and nut alone hold the slide.
fn dialled(scenario: &Scenario, setup: &Setup) -> Link {
    let attachment = &scenario.lathe.attachment;
    let mut drive = RIGID;
    for (part, link) in [screw::thrust(attachment), screw::nut(attachment, setup)] {
        drive = drive.in_series(Link {
            slack: part.slack,
            ..link
        });
    }
    if let Some(measured) = &attachment.drive_spring {
        // With the shoe in it: softer than the screw alone, if anything.
        let (first, other) = screw::shares(attachment, setup);
        drive.first = measured.si() * first;
        drive.other = measured.si() * other;
    }
    drive
}

/// The piece held between centres.
fn between_centres(scenario: &Scenario, set: &tailstock::Offset) -> Work {
    let work = &scenario.job.work;
    let from = tailstock::from_centre(scenario, set.between);
    let beyond = max(set.between - from - work.length.si(), 0.0);
    Work {
        holding: Holding::Centres,
        from_jaws: Length::from_si(from),
        beyond: Length::from_si(beyond),
        steady: work.steady.filter(|_| work.holding == Holding::Centres),
        ..work.clone()
    }
}
