//! A pass pulled in and a pass drawn away on hidden lathes: the closed form against the engine, and
//! what the pair tells of a truth. All numbers are invented.

use crate::given::scenario_texts::INCH;
use crate::given::worked::{THOU, evened, plain_setup};
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, Normal};
use rayon::prelude::*;
use tautway_sim::after_test::as_if_done;
use tautway_sim::cut::Options;
use tautway_sim::learn::{Gauged, Learned, Measured, OtherCut, learn};
use tautway_sim::quantity::{Quantity, Units};
use tautway_sim::scenario::{
    Lathe, Scenario, Source, decode_finished, decode_lathe, decode_shop_tests,
};
use tautway_sim::sensitivity::finishing;
use tautway_sim::setup::{Pull, Setup};
use tautway_sim::shop_tests::{Finding, Found, NoteKind, ShopTests, Test, findings, form};
use tautway_sim::steady::Steady;
use tautway_sim::study::Study;

/// A lathe of which little is known, and how deep the pair is cut on it.
struct Case {
    lathe: &'static str,
    set: f64,
}

const ORDINARY: Case = Case {
    lathe: "condition = \"ordinary\"\n",
    set: 10.0 * THOU,
};
const WORN: Case = Case {
    lathe: "condition = \"worn\"\n",
    set: 10.0 * THOU,
};
/// The same cut deeper, so that the push-off beats the drag more often.
const DEEPER: Case = Case {
    set: 12.5 * THOU,
    ..ORDINARY
};
/// A slide that moves freely, cut deep: drawn away it gives up its face, however little its push-off.
const FREE: Case = Case {
    lathe: "condition = \"good\"\n[attachment]\nslack = \"0.004 in to 0.020 in\"\n[slide]\ndrag = \"2 \
            lbf to 6 lbf\"\n",
    set: 30.0 * THOU,
};

fn lathe(case: &Case) -> Lathe {
    let text = format!(
        "name = \"any\"\nunits = \"inch\"\n{}[spindle]\nnose = \"cam lock\"\nreverse = true\n",
        case.lathe
    );
    let source = Source {
        name: "lathe.toml",
        text: &text,
    };
    decode_lathe(source).expect("it reads").0
}

/// The form with the cut written in, and what was taken each way, m.
fn filled(set: f64, pulled: &[f64], drawn: &[f64]) -> String {
    let inch = |m: f64| format!("\"{:.5} in\"", m / INCH);
    let list = |values: &[f64]| {
        let all: Vec<_> = values.iter().map(|m| inch(*m)).collect();
        format!("[{}]", all.join(", "))
    };
    let (set, pulled, drawn) = (inch(set), list(pulled), list(drawn));
    let mut text = form::blank(Units::Inch);
    for (key, value) in [
        ("material", "\"1018\""),
        ("taper", "\"2 in/ft\""),
        ("nose_radius", "\"1/32 in\""),
        ("feed", "\"0.004 in\""),
        ("pulled_in_set", &set),
        ("pulled_in_taken", &pulled),
        ("drawn_away_set", &set),
        ("drawn_away_taken", &drawn),
    ] {
        write(&mut text, key, value);
    }
    text.replace("gauge = \"0.0002 in\"", "gauge = \"0.0001 in\"")
}

/// Writes a value in place of "not done", in the last table that has the key.
fn write(text: &mut String, key: &str, value: &str) {
    let at = text.rfind(&format!("\n{key} = ")).expect(key) + 1;
    let from = at + text[at..].find('=').expect(key) + 2;
    let to = from
        + text[from..]
            .find("  #")
            .or(text[from..].find('\n'))
            .expect(key);
    let to = to.min(from + text[from..].find('\n').unwrap_or(text.len() - from));
    text.replace_range(from..to, value);
}

fn decoded(text: &str) -> ShopTests {
    let source = Source {
        name: "tests.toml",
        text,
    };
    match decode_shop_tests(source) {
        Ok((tests, _)) => tests,
        Err(faults) => panic!("{faults:#?}"),
    }
}

/// The cut as a job on a lathe.
fn scenario(case: &Case) -> Scenario {
    let tests = decoded(&filled(case.set, &[case.set], &[case.set]));
    Scenario {
        lathe: lathe(case),
        job: *tests.two_cuts.expect("two cuts").job,
    }
}

fn ways(scenario: &Scenario) -> [Setup; 2] {
    [Pull::In, Pull::Away].map(|pull| plain_setup(scenario, pull))
}

/// Hidden lathes with hidden cuts.
fn hidden(scenario: &Scenario) -> Study {
    Study::new(scenario, &ways(scenario), Options::default()).expect("ranges")
}

#[test]
fn the_closed_form_takes_what_the_engine_takes_of_an_even_piece_whatever_the_seat() {
    let mut seats = [0; 3];
    for case in [ORDINARY, WORN, FREE] {
        let scenario = scenario(&case);
        let study = hidden(&scenario);
        for number in 1..=40 {
            let lathe = evened(study.scenario_of(number).0);
            for setup in ways(&lathe) {
                let cut = finishing(&lathe, &setup, Options::default());
                let told = Steady::new(&lathe, &setup).taken(case.set);
                assert!(
                    (told - cut.taken).abs() < 0.3e-6,
                    "{number} {:?} {:?}: {told} {}",
                    setup.pull(),
                    cut.seat,
                    cut.taken
                );
                if setup.pull() == Pull::Away {
                    seats[cut.seat as usize] += 1;
                }
            }
        }
    }
    // Against the guide, on the far face, afloat.
    assert!(seats.iter().all(|count| *count > 8), "{seats:?}");
}

/// Three readings on a mike of 0.0001 in, of a hand that scatters as much.
fn gauged(luck: &mut ChaCha8Rng, truth: f64) -> Vec<f64> {
    let noise = Normal::new(truth, 0.1 * THOU).expect("a spread");
    let step = 0.1 * THOU;
    (0..3)
        .map(|_| ((noise.sample(luck) / step).round() * step).max(0.0))
        .collect()
}

/// What hidden lathes came to: of push-off over drag and of each number how often its range held the
/// truth, and how wide it was over what it was before.
#[derive(Debug, Default)]
struct Score {
    made: f64,
    covered: [f64; 4],
    width: [f64; 4],
}

const KEYS: [&str; 3] = ["attachment.slack", "slide.drag", "slide.drag_left_cutting"];

fn range_in(lathe: &Lathe, key: &str) -> [f64; 3] {
    let attachment = &lathe.attachment;
    let parts = [
        attachment.shoe_slack,
        attachment.thrust_slack,
        attachment.nut_slack,
    ];
    let three = |low, middle, high| [low, middle, high];
    match key {
        "attachment.slack" => match attachment.total_slack {
            Some(total) => three(total.low.si(), total.si(), total.high.si()),
            None => [
                parts.map(|p| p.low.si()).iter().sum(),
                parts.map(|p| p.si()).iter().sum(),
                parts.map(|p| p.high.si()).iter().sum(),
            ],
        },
        "slide.drag" => three(
            lathe.slide.drag.low.si(),
            lathe.slide.drag.si(),
            lathe.slide.drag.high.si(),
        ),
        _ => {
            let left = &lathe.slide.drag_left_cutting;
            three(left.low.si(), left.si(), left.high.si())
        }
    }
}

/// One hidden lathe: for push-off over drag and each number whether its range holds the truth, and
/// its width over what it was.
fn play(case: &Case, scenario: &Scenario, study: &Study, number: u64) -> Option<[(bool, f64); 4]> {
    let (truth, seed) = study.scenario_of(number);
    let options = Options {
        seed,
        per_turn: 12,
        ..Options::default()
    };
    let mut luck = ChaCha8Rng::seed_from_u64(1000 + number);
    let [pulled, drawn] =
        ways(&truth).map(|way| gauged(&mut luck, finishing(&truth, &way, options).taken));
    let found = findings(
        &decoded(&filled(case.set, &pulled, &drawn)),
        &scenario.lathe,
    );
    let ratio = found.push_over_drag?;
    let real = Steady::new(&truth, &ways(&truth)[1]).push_over_drag(case.set);
    let told = |before: [f64; 3], after: [f64; 3], real: f64| {
        let width = |range: [f64; 3]| range[2] - range[0];
        let held = after[0] <= real && real <= after[2];
        (held, width(after) / width(before))
    };
    let number = |key| {
        let before = range_in(&scenario.lathe, key);
        let after = found.findings.iter().find(|f| f.key == key);
        let real = range_in(&truth.lathe, key)[1];
        told(before, after.map_or(before, |f| f.range), real)
    };
    let [slack, drag, left] = KEYS.map(number);
    Some([told(ratio.before, ratio.after, real), slack, drag, left])
}

fn played(case: &Case, pieces: u64) -> Score {
    let scenario = scenario(case);
    let study = hidden(&scenario);
    let all: Vec<_> = (1..=pieces)
        .into_par_iter()
        .filter_map(|number| play(case, &scenario, &study, number))
        .collect();
    let made = all.len() as f64;
    let of = |of: fn(&(bool, f64)) -> f64| {
        std::array::from_fn(|i| all.iter().map(|piece| of(&piece[i])).sum())
    };
    let widths: [f64; 4] = of(|told| told.1);
    Score {
        made,
        covered: of(|told| f64::from(u8::from(told.0))),
        width: widths.map(|sum| sum / made),
    }
}

/// Pieces played; a binomial of 80 at 0.95 is at 70 or above 99.8 times in 100.
const PIECES: u64 = 80;
const AT_LEAST: f64 = 70.0 / 80.0;

#[test]
fn drawn_away_on_one_face_or_afloat_the_pair_narrows_push_off_over_drag() {
    let score = played(&DEEPER, PIECES);
    assert!(score.made >= 0.97 * PIECES as f64, "{score:?}");
    assert!(
        score.covered.iter().all(|n| n / score.made >= AT_LEAST),
        "{score:?}"
    );
    let [ratio, _, drag, left] = score.width;
    assert!(ratio < 0.6 && drag < 0.85 && left < 0.93, "{score:?}");
}

#[test]
fn drawn_away_through_its_slack_the_pair_narrows_that() {
    let score = played(&FREE, PIECES);
    assert!(score.made >= 0.95 * PIECES as f64, "{score:?}");
    assert!(
        score.covered.iter().all(|n| n / score.made >= AT_LEAST),
        "{score:?}"
    );
    assert!(score.width[1] < 0.35, "{score:?}");
}

fn taken(case: &Case, pulled: f64, drawn: f64) -> (ShopTests, Found) {
    let read = |thou: f64| vec![thou * THOU; 3];
    let tests = decoded(&filled(case.set, &read(pulled), &read(drawn)));
    let found = findings(&tests, &lathe(case));
    (tests, found)
}

#[test]
fn more_left_on_drawn_away_is_more_push_off_over_drag() {
    let ratio = |drawn: f64| {
        let (tests, found) = taken(&ORDINARY, 9.7, drawn);
        assert_eq!(tests.done(), [Test::TwoCuts]);
        found.push_over_drag.expect("told").after
    };
    let (steady, floats) = (ratio(9.6), ratio(5.0));
    assert!(steady[1] < floats[0], "{steady:?} {floats:?}");
    // Afloat at a depth, the drag is the push-off there: below that of what was set.
    assert!(steady[2] < 1.1 && floats[1] > 1.0, "{steady:?} {floats:?}");
}

#[test]
fn tests_done_before_are_where_the_pair_begins_and_it_is_named_beside_them() {
    let mut text = filled(FREE.set, &[29.6 * THOU], &[20.0 * THOU]);
    for (key, value) in [
        ("lost", "[\"0.000 in\", \"0.000 in\"]"),
        ("middle", "[\"0.10 in\", \"0.12 in\", \"0.16 in\"]"),
    ] {
        let at = text.find(&format!("\n{key} = \"not done\"")).expect(key);
        let at = at + text[at..].find("\"not done\"").expect(key);
        text.replace_range(at..at + "\"not done\"".len(), value);
    }
    let of = |text: &str| {
        let found = findings(&decoded(text), &lathe(&FREE));
        found
            .findings
            .into_iter()
            .find(|f| f.key == "attachment.slack")
    };
    let both = of(&text).expect("a slack");
    assert_eq!(both.tests.last(), Some(&Test::TwoCuts), "{both:?}");
    assert!(both.tests.contains(&Test::Reversal));
    write(&mut text, "pulled_in_set", "\"not done\"");
    write(&mut text, "pulled_in_taken", "\"not done\"");
    write(&mut text, "drawn_away_set", "\"not done\"");
    write(&mut text, "drawn_away_taken", "\"not done\"");
    let alone = of(&text).expect("a slack");
    let width = |f: &Finding| f.range[2] - f.range[0];
    assert!(width(&both) < 0.8 * width(&alone), "{both:?} {alone:?}");
}

#[test]
fn cuts_exchanged_and_cuts_that_no_lathe_makes_are_said_and_not_used() {
    for (pulled, drawn, says) in [(5.0, 9.6, "exchanged"), (1.0, 0.9, "no lathe")] {
        let (_, found) = taken(&ORDINARY, pulled, drawn);
        let note = found.notes.iter().find(|note| note.test == Test::TwoCuts);
        let note = note.expect("it is said");
        assert_eq!(note.kind, NoteKind::DoesNotAddUp, "{note:?}");
        assert!(note.words.contains(says), "{note:?}");
        assert!(found.push_over_drag.is_none());
        let of_pair = |f: &Finding| f.tests.contains(&Test::TwoCuts);
        assert!(!found.findings.iter().any(of_pair), "{:?}", found.findings);
    }
}

#[test]
fn one_cut_alone_more_than_was_set_and_a_cut_half_told_are_faults_with_their_places() {
    let set = ORDINARY.set;
    let good = filled(set, &[set], &[set]);
    for (changes, says, key) in [
        (
            &[
                ("drawn_away_set", "\"not done\""),
                ("drawn_away_taken", "\"not done\""),
            ][..],
            "`drawn_away_set` is missing",
            "[two_cuts]",
        ),
        (
            &[("pulled_in_set", "\"not done\"")],
            "`pulled_in_set` is missing",
            "[two_cuts]",
        ),
        (
            &[("nose_radius", "\"not done\"")],
            "`nose_radius` is missing",
            "[two_cuts]",
        ),
        (
            &[("drawn_away_taken", "[\"0.0130 in\"]")],
            "more than was set",
            "drawn_away_taken",
        ),
        (
            &[("material", "\"1081\"")],
            "not in the table of materials",
            "material",
        ),
        (&[("feed", "\"-0.004 in\"")], "can't be", "feed"),
    ] {
        let mut text = good.clone();
        for (key, value) in changes {
            write(&mut text, key, value);
        }
        let source = Source {
            name: "tests.toml",
            text: &text,
        };
        let faults = decode_shop_tests(source).expect_err(says);
        let fault = faults.iter().find(|f| f.message.contains(says));
        let fault = fault.unwrap_or_else(|| panic!("{says}: {faults:#?}"));
        let line = text.lines().nth(fault.line(&text) - 1).expect("a line");
        assert!(line.starts_with(key), "{says} at {line}");
    }
}

/// What `learn` says of the slack from what was taken, pulled in alone or each way.
fn learned(truth: &Scenario, scenario: &Scenario, seed: u64, each_way: bool) -> Learned {
    let coarse = |seed| Options {
        seed,
        per_turn: 8,
        ..Options::default()
    };
    let [into, away] = ways(scenario);
    let measured = |way: &Setup| Measured {
        value: finishing(truth, way, coarse(seed)).taken,
        off: 0.2 * THOU,
    };
    let gauged = Gauged {
        units: Units::Inch,
        side: None,
        feed: into.feed,
        rotation: None,
        taken: Some(measured(&into)),
        taper: None,
        waves: None,
        other: each_way.then(|| OtherCut {
            set: None,
            taken: measured(&away),
        }),
    };
    learn(scenario, &into, &gauged, coarse(1), 500, |_| {}).expect("it learns")
}

#[test]
fn a_finished_job_with_a_pass_back_tells_the_slack_that_one_cut_does_not() {
    let scenario = scenario(&FREE);
    let study = hidden(&scenario);
    let mut covered = 0;
    for number in 1..=8 {
        let (truth, seed) = study.scenario_of(number);
        let slack = |each_way| {
            let learned = learned(&truth, &scenario, seed, each_way);
            assert_eq!(learned.push_over_drag.is_some(), each_way);
            let found = learned.numbers.into_iter().find(|n| n.key == KEYS[0]);
            found.expect("in doubt")
        };
        let (alone, both) = (slack(false), slack(true));
        let width = |range: [f64; 3]| range[2] - range[0];
        assert!(!alone.changed, "{alone:?}");
        assert!(
            both.changed && width(both.after) < 0.6 * width(both.before),
            "{both:?}"
        );
        let real = range_in(&truth.lathe, KEYS[0])[1];
        covered += usize::from(both.after[0] <= real && real <= both.after[2]);
    }
    // 95 in 100 of eight: fewer than six has a chance of 0.006.
    assert!(covered >= 6, "{covered}");
}

#[test]
fn a_pass_back_in_a_finished_job_s_file_wants_its_fellow_and_no_more_than_was_set() {
    let read = |gauged: &str, back: &str| {
        let text = format!(
            "units = \"inch\"\n[way]\nfeed = \"tailstock\"\n[gauged]\n{gauged}\n[other_way]\n{back}\n"
        );
        let source = Source {
            name: "gauged.toml",
            text: &text,
        };
        decode_finished(source).map(|(piece, _)| piece.gauged.other)
    };
    let taken = "taken = \"0.0085 in +- 0.0003 in\"";
    let other = read(
        taken,
        "set = \"0.010 in\"\ntaken = \"0.0062 in +- 0.0003 in\"",
    );
    let other = other.expect("right").expect("there");
    assert!((other.taken.value - 6.2 * THOU).abs() < 1e-12);
    assert!((other.set.expect("set") - 10.0 * THOU).abs() < 1e-12);
    let waves = "waves = \"0.0002 in +- 0.0001 in\"";
    let set = "set = \"0.010 in\"";
    for (gauged, back, says, line) in [
        (waves, taken, "`taken` is missing", 4),
        (taken, set, "`taken` is missing", 6),
        (
            taken,
            "set = \"0.005 in\"\ntaken = \"0.0085 in +- 0.0003 in\"",
            "more than was set",
            8,
        ),
        (taken, "taken = \"0.0085 in\"", "its gauge's own error", 7),
    ] {
        let faults = read(gauged, back).expect_err(says);
        let text = format!(
            "units = \"inch\"\n[way]\nfeed = \"tailstock\"\n[gauged]\n{gauged}\n[other_way]\n{back}\n"
        );
        let fault = faults.iter().find(|f| f.message.contains(says));
        let fault = fault.unwrap_or_else(|| panic!("{says}: {faults:#?}"));
        assert_eq!(fault.line(&text), line, "{says}: {fault:?}");
    }
}

#[test]
fn the_next_test_counts_on_the_pair_for_the_slack_only_where_the_cut_uses_it() {
    for (case, tells_slack) in [(ORDINARY, false), (FREE, true)] {
        let before = scenario(&case);
        let after = as_if_done(&before, Test::TwoCuts);
        let width = |lathe: &Lathe, key| {
            let range = range_in(lathe, key);
            range[2] - range[0]
        };
        let kept = |key| width(&after.lathe, key) / width(&before.lathe, key);
        assert_eq!(kept(KEYS[0]) < 0.5, tells_slack, "{}", kept(KEYS[0]));
        assert_eq!(kept(KEYS[1]) < 0.95, !tells_slack, "{}", kept(KEYS[1]));
    }
}
