//! A sample swept in the lathe: closed forms, and a cone in space read by a plunger.

use crate::given::even_work::{exactly, near};
use crate::given::worked::{scenario, text};
use tautway_sim::cut::Options;
use tautway_sim::quantity::{INCH, INCH_PER_FOOT, Length, Quantity, Units};
use tautway_sim::readings::{Copied, NotCopied, Reading, TiltBy, copied};
use tautway_sim::scenario::sample::{SampleSweep, Sweep};
use tautway_sim::scenario::{End, Kind, Source, Toward, decode_sample};
use tautway_sim::setup::{Feed, Pull, Side};
use tautway_sim::verdict::judge;

/// A cone whose radius grows by `s` along its own axis, which leans in space.
#[derive(Clone, Copy)]
struct Cone {
    radius: f64,
    s: f64,
    /// Drift of its axis along `+Z`: toward the operator, and upward.
    lean: [f64; 2],
}

impl Cone {
    /// Where a plunger along `X` at the height of the spindle meets it, from the front (`side` +1) or
    /// from behind, inside or outside: by bisection on the distance to the axis.
    fn surface(&self, z: f64, side: f64) -> f64 {
        let inside = |across: f64| {
            let [lx, ly] = self.lean;
            let norm = (1.0 + lx * lx + ly * ly).sqrt();
            let point = [side * across, 0.0, z];
            let along = (point[0] * lx + point[1] * ly + point[2]) / norm;
            let square: f64 = point.iter().map(|x| x * x).sum::<f64>() - along * along;
            square.max(0.0).sqrt() < self.radius + self.s * along
        };
        let (mut low, mut high) = (0.0, 4.0 * self.radius);
        for _ in 0..200 {
            let middle = 0.5 * (low + high);
            if inside(middle) {
                low = middle
            } else {
                high = middle
            }
        }
        side * low
    }

    /// What the indicator reads, more as its plunger goes in.
    fn sweep(&self, kind: Kind, side: f64) -> Sweep {
        let into = match kind {
            Kind::Outside => side,
            Kind::Inside => -side,
        };
        let zero = self.surface(0.0, side);
        let readings = (0..6_u32).map(|i| {
            let z = 0.012 * f64::from(i);
            Reading {
                row: i as usize + 1,
                carriage: z,
                slide: into * (self.surface(z, side) - zero),
                feed: Feed::Tailstock,
            }
        });
        Sweep {
            readings: readings.collect(),
            carriage_sign: 1.0,
        }
    }
}

fn sample(kind: Kind, big_end: End, swept: Sweep) -> SampleSweep {
    SampleSweep {
        name: "any".to_owned(),
        units: Units::Inch,
        kind,
        big_end,
        side: Side::Front,
        step: 1e-7,
        carriage_step: 0.0,
        repeatability: Some(1e-7),
        coupled: false,
        swept,
        turned: None,
        behind: None,
        run_out: Some(Length::from_si(0.0)),
        out_of_line: exactly(0.0),
        end_radius: None,
        nudged_end: End::Tailstock,
    }
}

fn own(found: &Copied) -> f64 {
    found
        .own
        .as_ref()
        .expect("the slide stood still")
        .taper
        .value
}

#[test]
fn a_cone_that_leans_and_tilts_gives_its_own_taper_from_either_pair_of_sweeps() {
    let (lean, tilt) = (0.8e-4, 2.0e-4);
    for (kind, big_end) in [
        (Kind::Outside, End::Headstock),
        (Kind::Outside, End::Tailstock),
        (Kind::Inside, End::Headstock),
        (Kind::Inside, End::Tailstock),
    ] {
        let s = match big_end {
            End::Headstock => -0.06,
            End::Tailstock => 0.06,
        };
        let cone = |toward: f64| Cone {
            radius: 0.03,
            s,
            lean: [toward, 1e-4],
        };
        let (first, half_on) = (cone(lean + tilt), cone(lean - tilt));
        let mut sample = sample(kind, big_end, first.sweep(kind, 1.0));
        sample.turned = Some(half_on.sweep(kind, 1.0));
        sample.out_of_line = exactly(2.0 * lean);
        let found = copied(&sample).expect("a taper");
        near(own(&found), 2.0 * s.abs(), 1e-5);
        near(found.tilt.value, 2.0 * tilt, 1e-2);
        assert_eq!(found.tilt_by, TiltBy::Turned);
        // The guide that copies it on this side has the lean in it.
        let sign = s.signum();
        let guide = found.own.as_ref().expect("own").guide.value;
        near(guide, 2.0 * (s.abs() + sign * lean), 1e-5);
        // From behind, nothing of either has to be known.
        sample.turned = None;
        sample.out_of_line = exactly(0.0);
        sample.behind = Some(first.sweep(kind, -1.0));
        let found = copied(&sample).expect("a taper");
        near(own(&found), 2.0 * s.abs(), 1e-5);
        // All three tell lean and tilt apart.
        sample.turned = Some(half_on.sweep(kind, 1.0));
        let found = copied(&sample).expect("a taper");
        near(own(&found), 2.0 * s.abs(), 1e-5);
        near(found.lean.value, sign * 2.0 * lean, 1e-2);
        assert!(found.lean_seen);
    }
}

#[test]
fn what_was_not_looked_at_is_in_the_doubt_closed_form() {
    let cone = Cone {
        radius: 0.03,
        s: -0.05,
        lean: [0.0, 0.0],
    };
    let mut sample = sample(
        Kind::Outside,
        End::Headstock,
        cone.sweep(Kind::Outside, 1.0),
    );
    let half = |sample: &SampleSweep| {
        let found = copied(sample).expect("a taper");
        found.own.expect("own").taper.half()
    };
    let bare = half(&sample);
    assert!(bare < 1e-5, "{bare}");
    // A run-out of 0.05 mm over 60 mm: half of it on radius, so as much on diameter as it swings.
    sample.run_out = Some(Length::from_si(0.05e-3));
    near(half(&sample), 0.05e-3 / 0.06, 2e-3);
    // A thou is taken where nobody looked.
    sample.run_out = None;
    near(half(&sample), 0.001 * INCH / 0.06, 2e-3);
    sample.run_out = Some(Length::from_si(0.0));
    sample.out_of_line.low = Quantity::from_si(-1e-4);
    sample.out_of_line.high = Quantity::from_si(1e-4);
    near(half(&sample), 1e-4, 1e-2);
}

#[test]
fn a_guide_that_follows_the_sample_stands_still_and_one_that_is_short_is_nudged() {
    let at = |rows: &[(f64, f64)]| Sweep {
        readings: rows
            .iter()
            .enumerate()
            .map(|(i, (carriage, slide))| Reading {
                row: i + 1,
                carriage: carriage * INCH,
                slide: slide * INCH,
                feed: Feed::Tailstock,
            })
            .collect(),
        carriage_sign: 1.0,
    };
    let coupled = |swept: Sweep| {
        let mut sample = sample(Kind::Outside, End::Tailstock, swept);
        sample.coupled = true;
        sample.end_radius = Some(Length::from_si(10.0 * INCH));
        sample.step = 0.0001 * INCH;
        copied(&sample).expect("it tells")
    };
    let still = coupled(at(&[(0.0, 0.0), (1.5, 0.0), (3.0, 0.0)]));
    assert!(still.own.is_none());
    assert!(still.nudge.expect("a radius was given").within_reading);
    // Big at the tailstock, plug at the front: 3 thou more over 3 in is a thou an inch per side that
    // the slide has to come further out, so the tailstock end goes 10 thou toward the operator.
    let short = coupled(at(&[(0.0, 0.0), (1.5, 0.0015), (3.0, 0.003)]));
    near(short.short.expect("coupled").value, 0.002, 1e-6);
    let nudge = short.nudge.expect("a radius was given");
    near(nudge.distance.value, 0.010 * INCH, 1e-4);
    assert_eq!(nudge.toward, Toward::Operator);
}

#[test]
fn what_does_not_go_together_is_refused() {
    let cone = Cone {
        radius: 0.03,
        s: -0.05,
        lean: [0.0, 0.0],
    };
    let swept = cone.sweep(Kind::Outside, 1.0);
    let wrong_end = sample(Kind::Outside, End::Tailstock, swept.clone());
    assert_eq!(copied(&wrong_end), Err(NotCopied::OtherEnd));
    let mut apart = sample(Kind::Outside, End::Headstock, swept);
    apart.turned = Some(Cone { s: -0.02, ..cone }.sweep(Kind::Outside, 1.0));
    assert_eq!(copied(&apart), Err(NotCopied::Apart));
}

#[test]
fn the_worked_example_by_hand() {
    let text = text("old-plug.sample");
    let source = Source {
        name: "sample",
        text: &text,
    };
    let (sample, warnings) = decode_sample(source).expect("it is right");
    assert!(warnings.is_empty(), "{warnings:#?}");
    let found = copied(&sample).expect("a taper");
    // Least squares by hand, thou per half inch: swept 23.929, turned 24.186, behind 24.271.
    let slope = |per_half_inch: f64| 12.0 * 2.0 * 2.0 * per_half_inch / 1000.0 * INCH_PER_FOOT;
    near(own(&found), slope(0.5 * (23.929 + 24.271)), 1e-4);
    let guide = found.own.expect("own").guide.value;
    near(guide, slope(0.5 * (23.929 + 24.186)), 1e-4);
}

#[test]
fn a_job_holds_the_cut_against_what_the_sample_really_is() {
    let mut job = scenario("plug-cock.toml");
    let setup = tautway_sim::setup::Setup::all(job.job.work.kind, job.job.work.big_end)
        .into_iter()
        .find(|setup| setup.cuts() && setup.pull() == Pull::In)
        .expect("a way");
    let operation = tautway_sim::cut::Operation::new(&job, setup, Options::default());
    let mut found =
        tautway_sim::measure::gauge(&job, &setup, &operation, &operation.run_finishing());
    let width = job.job.work.tolerance.upper.si();
    found.taper = job.job.work.taper.si() + 0.9 * width;
    assert!(judge(&job, &setup, &found).taper);
    // The sample was less of a taper than was read off it: too much now.
    job.job.work.taper_doubt = Some(exactly(-0.2 * width));
    assert!(!judge(&job, &setup, &found).taper);
    job.job.work.taper_doubt = Some(exactly(0.2 * width));
    assert!(judge(&job, &setup, &found).taper);
}
