//! Learning from made-up finished jobs with a known truth. All numbers are invented.

use crate::given::scenario_texts::decoded;
use tautway_sim::cut::Options;
use tautway_sim::learn::{
    Finished, Gauged, LEAST_WORTH, Learned, MODEL_SHARE, Measured, Refused, by_weighting, learn,
    learn_all,
};
use tautway_sim::quantity::Units;
use tautway_sim::scenario::{Scenario, Source, decode_finished};
use tautway_sim::sensitivity::finishing;
use tautway_sim::setup::{Feed, Rotation, Setup, Side};
use tautway_sim::special::normal_quantile;
use tautway_sim::spread::Draws;
use tautway_sim::study::{PER_TURN, Study};

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
        assert!(learned.effective >= LEAST_WORTH * 900.0);
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
            assert!(effective < LEAST_WORTH * 400.0 && draws == 400);
        }
        // The nearest of so few may miss by more than the gauge allows.
        Err(Refused::OutOfReach { .. }) => {}
        other => panic!("{other:?}"),
    }
}

/// What is read of a hidden lathe's piece by the worked example: taken within 0.0003 in, taper within
/// 0.002 in/ft, and the model off by as much as it is taken to be.
fn read(study: &Study, number: u64) -> (Gauged, Vec<f64>) {
    let trial = study.trial(number);
    let found = &trial.ways[0].measures;
    let gauge = Draws { seed: 77 };
    let off = |place: u32| normal_quantile(gauge.uniform(number, place));
    let read = |value: f64, within: f64, place: u32| Measured {
        value: value + within / 1.96 * off(place),
        off: within,
    };
    let model = MODEL_SHARE * found.set * off(9);
    let gauged = Gauged {
        taken: Some(read(found.taken + model, 0.0003 * INCH, 1)),
        taper: Some(read(found.taper, 0.002 / 12.0, 2)),
        ..nothing_gauged()
    };
    (gauged, trial.values)
}

fn worked() -> (Scenario, Setup, Study) {
    let scenario = crate::given::worked::scenario("tapered-socket.toml");
    let setup = inside_out(&scenario);
    let options = Options {
        per_turn: PER_TURN,
        seed: 4001,
        ..Options::default()
    };
    let study = Study::new(&scenario, &[setup], options).expect("ranges");
    (scenario, setup, study)
}

#[test]
fn ranges_cover_hidden_lathes_and_ranks_are_even() {
    let (scenario, setup, study) = worked();
    let (lathes, draws, bins) = (24, 200, 4);
    let (mut covered, mut asked) = (0, 0);
    let mut ranks = vec![0_usize; bins];
    let mut least = f64::INFINITY;
    for lathe in 1..=lathes {
        let (gauged, truth) = read(&study, lathe);
        let options = coarse(100 + lathe);
        let learned = learn(&scenario, &setup, &gauged, options, draws, |_| {}).expect("it learns");
        least = least.min(learned.effective);
        for (number, values) in learned.numbers.iter().zip(&learned.values) {
            let at = study.quantities().iter().position(|q| q.key == number.key);
            let truth = truth[at.expect("drawn")];
            asked += 1;
            covered += usize::from(number.after[0] <= truth && truth <= number.after[2]);
            if number.key == "attachment.setting_error" {
                let below = values.iter().filter(|value| **value < truth).count();
                ranks[(below * bins / (values.len() + 1)).min(bins - 1)] += 1;
            }
        }
    }
    assert!(least >= LEAST_WORTH * draws as f64, "{least}");
    // Numbers of one lathe hang together a little; of 24 lathes and some 40 numbers each.
    let share = f64::from(covered as u32) / f64::from(asked);
    assert!((0.93..0.97).contains(&share), "{share}");
    // Chi-square of 3 degrees: 16.3 is passed by 1 of 1000 (any table).
    let even = lathes as f64 / bins as f64;
    let square: f64 = ranks
        .iter()
        .map(|n| (*n as f64 - even).powi(2) / even)
        .sum();
    assert!(square < 16.3, "{ranks:?}");
}

#[test]
fn ends_stand_where_plain_weighting_of_many_draws_puts_them() {
    let (scenario, setup, study) = worked();
    let (mut ends, mut near, mut held) = (0, 0, 0);
    for lathe in 1..=5 {
        let (gauged, _) = read(&study, lathe);
        let piece = Finished {
            scenario: &scenario,
            setup,
            gauged: &gauged,
            started: None,
        };
        let plain = by_weighting(&[piece], coarse(9), 10_000).expect("draws");
        // Where a piece came out unusual too few plain draws come near to hold anything against.
        if plain.effective < 800.0 || held == 2 {
            continue;
        }
        held += 1;
        let mine = learn_all(&[piece], coarse(8), 600, |_| {}).expect("it learns");
        for (plain, mine) in plain.numbers.iter().zip(&mine.numbers) {
            if !plain.changed || !mine.changed {
                continue;
            }
            for end in [0, 2] {
                let off = (plain.after[end] - mine.after[end]).abs();
                ends += 1;
                near += usize::from(off <= 0.15 * (plain.after[2] - plain.after[0]));
            }
        }
    }
    assert!(
        held == 2 && ends >= 8 && near == ends,
        "{held}: {near} of {ends}"
    );
}

#[test]
fn what_lies_beyond_a_range_that_is_drawn_from_is_still_learned() {
    // 2.8 deviations out on the guide's setting, half of a range beyond its end.
    let plain = scenario();
    let key = "attachment.setting_error";
    let mut far = plain.clone();
    let end = {
        let all = far.parameters_mut();
        let parameter = all.iter().find(|p| p.key == key).expect("a number");
        let end = parameter.value.range_si()[2];
        parameter.set_si(&mut far, 1.45 * end);
        end
    };
    let outcome = finishing(&far, &inside_out(&plain), coarse(3));
    let gauged = Gauged {
        taper: Some(Measured {
            value: outcome.taper,
            off: 0.0005 / 12.0,
        }),
        ..nothing_gauged()
    };
    let learned = learned(&gauged, 500).expect("it learns");
    assert!(learned.effective >= LEAST_WORTH * 500.0);
    let told = number(&learned, key);
    assert!(told.after[2] > end, "{told:?} {end}");
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
