//! Learning from made-up finished jobs with a known truth. All numbers are invented.

use crate::given::scenario_texts::decoded;
use tautway_sim::cut::Options;
use tautway_sim::learn::{Gauged, LEAST_EFFECTIVE, Learned, Measured, Refused, learn};
use tautway_sim::quantity::Units;
use tautway_sim::scenario::{Scenario, Source, decode_finished};
use tautway_sim::sensitivity::finishing;
use tautway_sim::setup::{Feed, Rotation, Setup, Side};

const LATHE: &str = r#"name = "a lathe"
units = "inch"
condition = "worn"
[attachment]
slack = "0.050 in to 0.070 in"
[slide]
drag = "10 lbf to 30 lbf"
[spindle]
nose = "cam lock"
reverse = true
"#;
const JOB: &str = include_str!("../../../../scenarios/tapered-socket.toml");
const INCH: f64 = 0.0254;

fn scenario() -> Scenario {
    decoded(JOB, LATHE).0
}

fn inside_out(scenario: &Scenario) -> Setup {
    Setup::all(scenario.job.work.kind, scenario.job.work.big_end)
        .into_iter()
        .find(|s| {
            s.cuts()
                && s.side == Side::Front
                && s.feed == Feed::Tailstock
                && s.rotation == Rotation::Forward
        })
        .expect("an ordinary way")
}

/// Few steps a turn: enough for taper and size, and quick.
fn coarse(seed: u64) -> Options {
    Options {
        per_turn: 8,
        seed,
        ..Options::default()
    }
}

fn nothing_gauged() -> Gauged {
    Gauged {
        units: Units::Inch,
        side: None,
        feed: Feed::Tailstock,
        rotation: None,
        taken: None,
        taper: None,
        waves: None,
        other: None,
    }
}

fn learned(gauged: &Gauged, draws: usize) -> Result<Learned, Refused> {
    let scenario = scenario();
    let setup = inside_out(&scenario);
    learn(&scenario, &setup, gauged, coarse(1), draws, |_| {})
}

fn number<'a>(learned: &'a Learned, key: &str) -> &'a tautway_sim::learn::Number {
    learned
        .numbers
        .iter()
        .find(|n| n.key == key)
        .expect("in doubt")
}

#[test]
fn a_finished_job_narrows_toward_the_truth() {
    // The guide's setting shows in the taper almost alone: gauged to 0.001 in/ft it must close
    // in on whatever it truly is.
    let key = "attachment.setting_error";
    let plain = scenario();
    let setup = inside_out(&plain);
    let mut inside = 0;
    let truths = [-0.003, -0.001, 0.0, 0.002, 0.003];
    for truth in truths.map(|rate| rate / 12.0) {
        let mut true_lathe = plain.clone();
        for parameter in true_lathe.parameters_mut() {
            if parameter.key == key {
                parameter.set_si(&mut true_lathe, truth);
            }
        }
        let outcome = finishing(&true_lathe, &setup, coarse(77));
        let gauged = Gauged {
            taper: Some(Measured {
                value: outcome.taper,
                off: 0.001 / 12.0,
            }),
            ..nothing_gauged()
        };
        let learned = learned(&gauged, 900).expect("it learns");
        assert!(learned.effective >= LEAST_EFFECTIVE);
        let told = number(&learned, key);
        assert!(told.changed);
        let width = |range: [f64; 3]| range[2] - range[0];
        assert!(width(told.after) < 0.8 * width(told.before), "{told:?}");
        // Nearer than before, or at home from the start.
        let off = |range: [f64; 3]| (range[1] - truth).abs();
        assert!(
            off(told.after) <= off(told.before).max(0.0006 / 12.0),
            "{told:?} {truth}"
        );
        inside += usize::from(told.after[0] <= truth && truth <= told.after[2]);
        // The step of the readout has no say in the run, and keeps its range to the bit.
        let still = number(&learned, "readout.step");
        assert!(!still.changed && still.after == still.before);
    }
    // 95 in 100 of five: fewer than four has a chance of 0.02.
    assert!(inside >= 4, "{inside} of {}", truths.len());
}

#[test]
fn a_job_without_information_leaves_everything_as_it_was() {
    let gauged = Gauged {
        taken: Some(Measured {
            value: 0.01 * INCH,
            off: 1e6 * INCH,
        }),
        taper: Some(Measured {
            value: 2.0 / 12.0,
            off: 1e6,
        }),
        ..nothing_gauged()
    };
    let learned = learned(&gauged, 200).expect("nothing to refuse");
    assert!((learned.effective - 200.0).abs() < 1e-3);
    for number in &learned.numbers {
        assert!(!number.changed, "{number:?}");
        assert_eq!(number.before, number.after);
    }
}

#[test]
fn what_the_model_cannot_reach_and_what_is_too_fine_is_refused() {
    let far = Gauged {
        taper: Some(Measured {
            value: 2.2 / 12.0,
            off: 0.001 / 12.0,
        }),
        ..nothing_gauged()
    };
    assert!(matches!(
        learned(&far, 100),
        Err(Refused::OutOfReach { misses }) if misses > 3.0
    ));
    let plain = scenario();
    let outcome = finishing(&plain, &inside_out(&plain), coarse(1));
    let fine = Gauged {
        taper: Some(Measured {
            value: outcome.taper,
            off: 0.00001 / 12.0,
        }),
        ..nothing_gauged()
    };
    match learned(&fine, 400) {
        Err(Refused::TooFew { effective, draws }) => {
            assert!(effective < LEAST_EFFECTIVE && draws == 400);
        }
        // The nearest of so few may miss by more than the gauge allows.
        Err(Refused::OutOfReach { .. }) => {}
        other => panic!("{other:?}"),
    }
}

#[test]
fn the_same_seed_learns_the_same() {
    let gauged = Gauged {
        taken: Some(Measured {
            value: 0.0095 * INCH,
            off: 0.0005 * INCH,
        }),
        ..nothing_gauged()
    };
    assert_eq!(learned(&gauged, 150), learned(&gauged, 150));
}

#[test]
fn a_file_of_what_was_gauged_reads_and_its_faults_are_pointed_at() {
    let decode = |text: &str| {
        decode_finished(Source {
            name: "gauged.toml",
            text,
        })
        .map(|(gauged, _)| gauged)
    };
    let good = decode(
        "units = \"inch\"\n[way]\nfeed = \"tailstock\"\n[gauged]\n\
         taken = \"0.0085 in +- 0.0003 in\"\nwaves = \"0.0001 in +- 0.0002 in\"\n",
    )
    .expect("right");
    let off = |m: Option<Measured>| m.expect("gauged").off / INCH;
    assert!((off(good.gauged.taken) - 0.0003).abs() < 1e-9);
    // Its low end is cut off at zero; the gauge is as coarse as it was.
    assert!((off(good.gauged.waves) - 0.0002).abs() < 1e-9);
    assert!(good.gauged.taper.is_none() && good.gauged.side.is_none());

    let text = "units = \"inch\"\n[way]\n[gauged]\ntaken = \"0.0085 in\"\ntapr = \"2 in/ft\"\n";
    let faults = decode(text).expect_err("three faults");
    let lines: Vec<_> = faults.iter().map(|f| f.line(text)).collect();
    assert_eq!(lines, [2, 4, 5], "{faults:#?}");
    assert!(faults[1].message.contains("gauge"), "{:?}", faults[1]);
}
