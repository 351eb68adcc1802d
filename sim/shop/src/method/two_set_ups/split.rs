//! Where the cone is parted, how far the bed clamp goes on, and the two sections as works of their own.

use crate::arithmetic::{atan, clamp, cos, min};
use crate::cut::{Options, aimed_taper, approach};
use crate::feasibility::depth_on_cross_dial;
use crate::method::way::{Obstacle, TwoSetUps};
use crate::quantity::{INCH, Length, Quantity, Units};
use crate::scenario::{End, Scenario, StartSurface};
use crate::setup::{Pull, Setup};

/// Least of the finished section that the indicator is carried along, m: an inch (a guess: less
/// hardly tells an angle).
const LEAST_SWEPT: f64 = INCH;
/// What an indicator carried along or over finished work leaves open per side, m, 95 of 100 (two
/// tenths; a guess).
pub const INDICATED: f64 = 0.0002 * INCH;

impl TwoSetUps {
    /// The longest first section that the guide has room for, in round figures: it leaves most to
    /// carry the indicator along. With the clamp on by the second section the guide reaches back
    /// over `2 first + run-in - length` of the first.
    pub(super) fn new(
        scenario: &Scenario,
        setup: &Setup,
        options: Options,
    ) -> Result<Self, Obstacle> {
        let work = &scenario.job.work;
        let length = work.length.si();
        let slope = aimed_taper(scenario) / 2.0;
        let along = scenario.lathe.attachment.guide_travel.si() * cos(atan(slope));
        let (_, approach) = approach(scenario, setup, options);
        let run_in = approach.run_in();
        let round = match scenario.job.units {
            Units::Inch => 0.25 * INCH,
            Units::Metric => 0.005,
        };
        let first = round * ((along - run_in) / round + 1e-9).floor();
        let swept = 2.0 * first + run_in - length;
        if first <= 0.0 || swept < LEAST_SWEPT {
            return Err(Obstacle::TooLongForTwo {
                needs: length,
                has: 2.0 * first + run_in - LEAST_SWEPT,
            });
        }
        let second = length - first;
        let from = setup.starts_at();
        let into = match setup.pull() {
            Pull::In => 1.0,
            _ => -1.0,
        };
        Ok(Self {
            from,
            first,
            second,
            joint: match from {
                End::Headstock => first,
                End::Tailstock => second,
            },
            lost: approach.lost.total,
            start: (approach.how != crate::cut::RunIn::ByHand).then_some(run_in),
            clamp_moves: second,
            dial: into * slope * second,
            on_cross_dial: depth_on_cross_dial(scenario),
            swept: min(swept, first),
            indicated: INDICATED,
            further: 0.0,
        })
    }

    /// Places of both sections, from the headstock-side end of the taper, in the order they are cut.
    pub(super) fn places(&self) -> [[f64; 2]; 2] {
        let length = self.first + self.second;
        match self.from {
            End::Headstock => [[0.0, self.joint], [self.joint, length]],
            End::Tailstock => [[self.joint, length], [0.0, self.joint]],
        }
    }

    /// Where the first section is gauged: at the drawing's plane, or as near to it as it goes.
    pub(super) fn gauged_at(&self, scenario: &Scenario, setup: &Setup) -> f64 {
        let [[from, to], _] = self.places();
        clamp(gauge_plane(scenario, setup), from, to)
    }

    /// From there to the drawing's plane, m along `z`.
    pub(in crate::method) fn beyond_gauge(&self, scenario: &Scenario, setup: &Setup) -> f64 {
        gauge_plane(scenario, setup) - self.gauged_at(scenario, setup)
    }

    /// Both sections as works of their own, in the order they are cut: the first gauged as near to
    /// the drawing's plane as it goes, the other at the joint, where it is picked up.
    pub fn sections(&self, scenario: &Scenario, setup: &Setup) -> [Scenario; 2] {
        let [first, second] = self.places();
        let gauged = self.gauged_at(scenario, setup);
        let mut sections = [
            section(scenario, setup, first, gauged),
            section(scenario, setup, second, self.joint),
        ];
        // Where the joint is there is stock or finished work, and no room to start in.
        let none = Length::from_si(0.0);
        let other = match self.from {
            End::Headstock => End::Tailstock,
            End::Tailstock => End::Headstock,
        };
        for (one, at) in sections.iter_mut().zip([other, self.from]) {
            let work = &mut one.job.work;
            match at {
                End::Headstock => work.room_headstock = none,
                End::Tailstock => work.room_tailstock = none,
            }
        }
        sections
    }
}

/// The drawing's plane, from the headstock-side end of the taper, m.
pub(super) fn gauge_plane(scenario: &Scenario, setup: &Setup) -> f64 {
    let work = &scenario.job.work;
    match setup.big_end {
        End::Headstock => work.gauge_plane.si(),
        End::Tailstock => work.length.si() - work.gauge_plane.si(),
    }
}

/// A part of the taper, gauged at `at`; all places from the headstock-side end of the whole.
fn section(scenario: &Scenario, setup: &Setup, [from, to]: [f64; 2], at: f64) -> Scenario {
    let mut section = scenario.clone();
    let whole = &scenario.job.work;
    let work = &mut section.job.work;
    // Toward the big end diameters grow.
    let on = setup.slope_sign() * (at - gauge_plane(scenario, setup));
    let moved = |diameter: Length, taper: f64| Length::from_si(diameter.si() + taper * on);
    work.diameter = moved(whole.diameter, whole.taper.si());
    if let StartSurface::Tapered { taper, diameter } = whole.start {
        work.start = StartSurface::Tapered {
            taper,
            diameter: moved(diameter, taper.si()),
        };
    }
    work.length = Length::from_si(to - from);
    work.gauge_plane = Length::from_si(match setup.big_end {
        End::Headstock => at - from,
        End::Tailstock => to - at,
    });
    work.from_jaws = Length::from_si(whole.from_jaws.si() + from);
    work.beyond = Length::from_si(whole.beyond.si() + whole.length.si() - to);
    work.relief = whole.relief.filter(|relief| match relief.at {
        End::Headstock => from <= 0.0,
        End::Tailstock => to >= whole.length.si(),
    });
    section
}
