//! Shop tests made up from the engine with a known truth: what is written covers it as often as
//! it says, and what doesn't add up is said. All numbers are invented.

use crate::given::scenario_texts::{INCH, LBF, decoded};
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, Normal};
use tautway_sim::cut::{Options, lost_motion};
use tautway_sim::machine::Machine;
use tautway_sim::quantity::{Force, Length, Quantity, Ratio, Units};
use tautway_sim::scenario::{Known, Scenario, Source, decode_shop_tests};
use tautway_sim::sensitivity::sensitivity;
use tautway_sim::setup::{Feed, Rotation, Setup, Side};
use tautway_sim::shop_tests::repeats::of_repeats;
use tautway_sim::shop_tests::{Found, NoteKind, ShopTests, Test, findings, form, with_findings};

/// A worn lathe of which nobody knows anything.
const WORN: &str = "name = \"a worn lathe\"\nunits = \"inch\"\ncondition = \"worn\"\n\
                    [spindle]\nnose = \"cam lock\"\nreverse = true\n";
const JOB: &str = include_str!("../../../../scenarios/tapered-socket.toml");
const CASES: usize = 500;
/// A binomial of 500 at 0.95 is above this 99.9 times in 100: 0.95 - 3.1 sqrt(0.95 0.05 / 500).
const AT_LEAST: f64 = 0.92;

fn worn_job() -> Scenario {
    decoded(JOB, WORN).0
}

fn inside_out() -> Setup {
    Setup::all(worn_job().job.work.kind, worn_job().job.work.big_end)
        .into_iter()
        .find(|s| {
            s.cuts()
                && s.side == Side::Front
                && s.feed == Feed::Tailstock
                && s.rotation == Rotation::Forward
        })
        .expect("an ordinary way")
}

fn blank() -> ShopTests {
    let text = form::blank(Units::Inch);
    let source = Source {
        name: "tests.toml",
        text: &text,
    };
    let (tests, warnings) = decode_shop_tests(source).expect("the blank reads");
    assert!(warnings.is_empty(), "{warnings:?}");
    tests
}

/// The truth: slack along the slide, foot, drag, breakaway.
const SLACK: f64 = 0.060 * INCH;
const FOOT: f64 = 0.020 * INCH;
const DRAG: f64 = 22.0 * LBF;
const BREAKAWAY: f64 = 1.35;

fn truth() -> Scenario {
    let mut scenario = worn_job();
    let a = &mut scenario.lathe.attachment;
    a.total_slack = Some(Known::given(Length::from_si(SLACK)));
    a.foot_slack = Known::given(Length::from_si(FOOT));
    scenario.lathe.slide.drag = Known::given(Force::from_si(DRAG));
    scenario.lathe.slide.breakaway = Known::given(Ratio::from_si(BREAKAWAY));
    scenario
}

/// Repeats of a truth, scattered and read off in steps.
fn read(luck: &mut ChaCha8Rng, truth: f64, scatter: f64, step: f64, count: usize) -> Vec<f64> {
    let noise = Normal::new(truth, scatter).expect("a spread");
    (0..count)
        .map(|_| (noise.sample(luck) / step).round() * step)
        .collect()
}

/// Carriage travel that the engine loses at a taper, and what the slide is let move besides.
fn loses(scenario: &Scenario, taper: f64, moved: f64) -> f64 {
    let setup = inside_out();
    let machine = Machine::new(scenario, &setup, taper / 2.0);
    lost_motion(&machine, setup.pull().sign()).total + moved / (taper / 2.0)
}

fn range_of(found: &Found, key: &str) -> Option<[f64; 3]> {
    found
        .findings
        .iter()
        .find(|f| f.key == key)
        .map(|f| f.range)
}

fn says(found: &Found, kind: NoteKind, test: Test) -> Option<&str> {
    found
        .notes
        .iter()
        .find(|note| note.kind == kind && note.test == test)
        .map(|note| note.words.as_str())
}

#[test]
fn repeats_alone_cover_as_often_as_they_say() {
    let mut luck = ChaCha8Rng::seed_from_u64(11);
    let cases = 4000;
    let covered = (0..cases)
        .filter(|_| {
            let noise = Normal::new(1.0, 0.05).expect("a spread");
            let values: Vec<f64> = (0..3).map(|_| noise.sample(&mut luck)).collect();
            let told = of_repeats(&values, 0.0).expect("three");
            (told.middle - 1.0).abs() <= told.half()
        })
        .count() as f64
        / cases as f64;
    // Three standard deviations of a binomial at 0.95.
    assert!((covered - 0.95).abs() < 0.0104, "{covered}");
}

#[test]
fn two_tapers_and_a_scale_cover_the_truth_as_often_as_they_say() {
    let (truth, worn) = (truth(), worn_job().lathe);
    let [fast, slow] = [2.0 / 12.0, 0.5 / 12.0];
    let mut luck = ChaCha8Rng::seed_from_u64(5);
    let keys = [
        ("attachment.slack", SLACK),
        ("attachment.foot_slack", FOOT),
        ("slide.drag", DRAG),
        ("slide.breakaway", BREAKAWAY),
    ];
    let mut covered = [0.0; 4];
    let mut widths = [0.0; 4];
    for _ in 0..CASES {
        let mut tests = blank();
        tests.reversals = [fast, slow]
            .map(|taper| tautway_sim::shop_tests::Reversal {
                taper,
                slide_moved: 0.001 * INCH,
                middle: read(
                    &mut luck,
                    loses(&truth, taper, 0.001 * INCH),
                    0.012 * INCH,
                    0.01 * INCH,
                    4,
                ),
                ..Default::default()
            })
            .to_vec();
        let start = DRAG * BREAKAWAY;
        tests.drag.start_toward = read(&mut luck, start, 1.5 * LBF, LBF, 3);
        tests.drag.start_away = read(&mut luck, start, 1.5 * LBF, LBF, 3);
        tests.drag.running_toward = read(&mut luck, DRAG, LBF, LBF, 3);
        tests.drag.running_away = read(&mut luck, DRAG, LBF, LBF, 3);
        let found = findings(&tests, &worn);
        assert!(says(&found, NoteKind::CannotTell, Test::Reversal).is_none());
        for (i, (key, true_value)) in keys.iter().enumerate() {
            let [low, middle, high] = range_of(&found, key).expect("measured");
            assert!(low <= middle && middle <= high);
            covered[i] += f64::from(u8::from(low <= *true_value && *true_value <= high));
            widths[i] += (high - low) / true_value / CASES as f64;
        }
    }
    for ((key, _), (count, width)) in keys.iter().zip(covered.iter().zip(widths)) {
        let share = count / CASES as f64;
        assert!(share >= AT_LEAST, "{key} is covered {share}");
        // Covering by being endless would be no use: these are the widths that such scatter makes.
        let most = if *key == "attachment.foot_slack" {
            2.5
        } else {
            0.5
        };
        assert!(width < most, "{key} is {width} wide");
    }
}

#[test]
fn springs_from_pulls_cover_the_truth_as_often_as_they_say() {
    let worn = worn_job().lathe;
    // Invented: drive 70 lbf/thou pulled, 0.8 of it pushed; top slide and post 90.
    let unit = LBF / (0.001 * INCH);
    let (pulled, pushed, post) = (70.0 * unit, 56.0 * unit, 90.0 * unit);
    let forces = [30.0, 45.0, 60.0, 75.0].map(|f| f * LBF);
    let mut luck = ChaCha8Rng::seed_from_u64(8);
    let mut covered = [0.0; 3];
    for _ in 0..CASES {
        let mut tests = blank();
        tests.steps.slide = 0.0001 * INCH;
        tests.spring.forces = forces.to_vec();
        // Half the slack, then what the pull beyond the drag makes of it.
        let mut runs = |rate: f64| -> Vec<f64> {
            (0..3)
                .flat_map(|_| forces)
                .flat_map(|f| {
                    let moved = 0.5 * SLACK + (f - DRAG) / rate;
                    read(&mut luck, moved, 0.00005 * INCH, 0.0001 * INCH, 1)
                })
                .collect()
        };
        tests.spring.slide_pulled = runs(pulled);
        tests.spring.slide_pushed = runs(pushed);
        tests.spring.post_pulled = runs(1.0 / (1.0 / pulled + 1.0 / post));
        let found = findings(&tests, &worn);
        for (i, (key, true_value)) in [
            ("attachment.drive_spring", pulled),
            ("attachment.screw_push_share", 0.8),
            ("top_slide.spring", post),
        ]
        .iter()
        .enumerate()
        {
            let [low, _, high] = range_of(&found, key).expect("measured");
            covered[i] += f64::from(u8::from(low <= *true_value && *true_value <= high));
        }
    }
    for share in covered.map(|count| count / CASES as f64) {
        assert!(share >= AT_LEAST, "{covered:?}");
    }
}

/// Test 1 at 2 in/ft: an inch lost.
fn inch_lost() -> ShopTests {
    let mut tests = blank();
    tests.reversals = vec![tautway_sim::shop_tests::Reversal {
        taper: 2.0 / 12.0,
        middle: vec![INCH; 3],
        ..Default::default()
    }];
    tests
}

#[test]
fn one_taper_alone_cannot_tell_foot_from_slack() {
    let worn = worn_job().lathe;
    let found = findings(&inch_lost(), &worn);
    let said = says(&found, NoteKind::CannotTell, Test::Reversal).expect("it says so");
    assert!(said.contains("can't be told apart"), "{said}");
    // With its range: (1 - foot) 2 / 24 for the worn foot of 0.002 to 0.080 in.
    assert!(
        said.contains("0.0832 in") && said.contains("0.0767 in"),
        "{said}"
    );
    let [low, _, high] = range_of(&found, "attachment.slack").expect("a slack");
    assert!(low < 0.077 * INCH && high > 0.0817 * INCH, "{low} {high}");
    assert!(range_of(&found, "attachment.foot_slack").is_none());

    // Common practice, no source: 1.00 in lost with 0.10 in at the foot is 0.075 in.
    let mut tests = inch_lost();
    tests.foot = vec![0.1 * INCH; 3];
    let found = findings(&tests, &worn);
    assert!(says(&found, NoteKind::CannotTell, Test::Reversal).is_none());
    let said = says(&found, NoteKind::Told, Test::Reversal).expect("told");
    assert!(
        said.starts_with("0.0750 in is lost across the slide"),
        "{said}"
    );
    let [low, middle, high] = range_of(&found, "attachment.slack").expect("a slack");
    // What is left of it once the spring is taken off.
    assert!(
        (0.073..0.0751).contains(&(middle / INCH)),
        "{}",
        middle / INCH
    );
    assert!(high - low < 0.004 * INCH);
}

#[test]
fn parts_that_do_not_add_up_are_said_with_what_is_likely_missed() {
    let worn = worn_job().lathe;
    let parts = |dial: f64, shoe: f64, foot: Option<f64>| {
        let mut tests = inch_lost();
        tests.foot = foot.map(|foot| vec![foot * INCH; 3]).unwrap_or_default();
        tests.parts.dial = vec![dial * INCH; 3];
        tests.parts.thrust = vec![0.008 * INCH; 3];
        tests.parts.shoe = vec![shoe * INCH; 3];
        findings(&tests, &worn)
    };
    // 0.075 of slack less a thou of spring: 0.050 and 0.015 are within a fifth.
    let fits = parts(0.050, 0.015, Some(0.1));
    assert!(says(&fits, NoteKind::DoesNotAddUp, Test::Parts).is_none());
    let nut = range_of(&fits, "attachment.nut_slack").expect("a nut");
    assert!((nut[1] - 0.042 * INCH).abs() < 1e-9);

    let foot = parts(0.040, 0.010, None);
    let said = says(&foot, NoteKind::DoesNotAddUp, Test::Parts).expect("said");
    assert!(
        said.contains("the foot") && said.contains("Do test 2"),
        "{said}"
    );
    let joint = parts(0.040, 0.010, Some(0.1));
    let said = says(&joint, NoteKind::DoesNotAddUp, Test::Parts).expect("said");
    assert!(said.contains("yoke"), "{said}");
    let twice = parts(0.080, 0.020, Some(0.1));
    let said = says(&twice, NoteKind::DoesNotAddUp, Test::Parts).expect("said");
    assert!(said.contains("twice"), "{said}");
    // The whole is used all the same.
    assert_eq!(
        range_of(&twice, "attachment.slack"),
        range_of(&fits, "attachment.slack")
    );
}

#[test]
fn wear_along_the_guide_stays_in_the_range_whatever_the_cut_says() {
    let worn = worn_job().lathe;
    let mut tests = inch_lost();
    tests.foot = vec![0.1 * INCH; 3];
    tests.reversals[0].headstock_end = vec![0.76 * INCH; 3];
    tests.two_way_headstock = vec![1.985 * INCH; 3];
    tests.two_way_tailstock = vec![(1.985 + 0.152) * INCH; 3];
    let found = findings(&tests, &worn);
    let [low, middle, high] = range_of(&found, "attachment.slack").expect("a slack");
    assert!((0.073..0.077).contains(&(middle / INCH)));
    // 0.24 in less at 2 in/ft: 0.020 in.
    assert!(low < middle - 0.0199 * INCH && high < middle + 0.005 * INCH);
    assert!(
        found
            .findings
            .iter()
            .any(|f| f.tests.contains(&Test::TwoWayCut))
    );
}

#[test]
fn a_two_way_cut_that_uses_no_slack_or_half_of_it_is_said() {
    let worn = worn_job().lathe;
    let cut = |differs: f64| {
        let mut tests = inch_lost();
        tests.foot = vec![0.1 * INCH; 3];
        tests.two_way_headstock = vec![1.985 * INCH; 3];
        tests.two_way_tailstock = vec![(1.985 + differs) * INCH; 3];
        findings(&tests, &worn)
    };
    let still = cut(0.0);
    assert!(still.notes.iter().any(|n| n.words.contains("on one face")));
    let half = cut(0.075);
    let said = says(&half, NoteKind::DoesNotAddUp, Test::TwoWayCut).expect("said");
    assert!(said.contains("floats"), "{said}");
}

#[test]
fn notes_of_the_two_way_cut_never_say_the_one_and_the_other() {
    let worn = worn_job().lathe;
    for differs in [0.0, 0.005, 0.02, 0.075, 0.15, 0.3] {
        for waves in [None, Some(false), Some(true)] {
            for lost in [0.0, 0.1, 1.0] {
                let mut tests = inch_lost();
                tests.foot = vec![0.1 * INCH; 3];
                tests.reversals[0].middle = vec![lost * INCH; 3];
                tests.two_way_headstock = vec![1.985 * INCH; 3];
                tests.two_way_tailstock = vec![(1.985 + differs) * INCH; 3];
                tests.waves_seen = waves;
                let found = findings(&tests, &worn);
                let says = |words: &str| found.notes.iter().any(|n| n.words.contains(words));
                let one_face = says("on one face") || says("they are no float");
                let floats = says("it floats in its slack") || says("floats part of the way");
                assert!(
                    !(one_face && floats),
                    "{differs} {waves:?} {lost}: {:?}",
                    found.notes
                );
                let yet = says("waves were seen, yet");
                assert_eq!(yet, one_face && waves == Some(true), "{:?}", found.notes);
            }
        }
    }
}

#[test]
fn a_wild_repeat_of_the_reversal_is_named() {
    let worn = worn_job().lathe;
    let with = |readings: [f64; 4]| {
        let mut tests = inch_lost();
        tests.reversals[0].middle = readings.map(|inch| inch * INCH).to_vec();
        let found = findings(&tests, &worn);
        says(&found, NoteKind::DoesNotAddUp, Test::Reversal).map(str::to_owned)
    };
    let wild = with([1.02, 1.00, 0.40, 1.01]).expect("it is named");
    assert!(wild.contains("0.40") || wild.contains("0.400"), "{wild}");
    assert!(wild.contains("read it again"), "{wild}");
    for honest in [[1.02, 1.00, 0.99, 1.01], [1.0; 4], [0.9, 1.0, 1.1, 1.05]] {
        assert_eq!(with(honest), None, "{honest:?}");
    }
}

/// Tests 1, 4 and 7 of the true lathe.
fn three_tests() -> ShopTests {
    let truth = truth();
    let mut luck = ChaCha8Rng::seed_from_u64(3);
    let mut tests = blank();
    let lost = |taper| loses(&truth, taper, 0.0);
    tests.reversals = [2.0 / 12.0, 0.5 / 12.0]
        .map(|taper| tautway_sim::shop_tests::Reversal {
            taper,
            middle: read(&mut luck, lost(taper), 0.01 * INCH, 0.01 * INCH, 4),
            ..Default::default()
        })
        .to_vec();
    tests.drag.start_toward = read(&mut luck, DRAG * BREAKAWAY, LBF, LBF, 3);
    tests.drag.running_toward = read(&mut luck, DRAG, LBF, LBF, 3);
    let zero = [0.0003, -0.0002, 0.0001, 0.0002];
    tests.guide_zero = zero.map(|rate| rate / 12.0).to_vec();
    tests.steps.slide = 0.0001 * INCH;
    tests
}

#[test]
fn three_tests_narrow_the_same_job_on_a_worn_lathe() {
    let before = worn_job();
    let mut after = before.clone();
    let found = findings(&three_tests(), &before.lathe);
    assert_eq!(found.done, [Test::Reversal, Test::Drag, Test::GuideTrue]);
    after.lathe = with_findings(&before.lathe, &found.findings);
    let of =
        |scenario: &Scenario| sensitivity(scenario, &inside_out(), Options::default(), Units::Inch);
    let (wide, narrow) = (of(&before), of(&after));
    assert!(
        narrow.taper < 0.7 * wide.taper,
        "{} {}",
        narrow.taper,
        wide.taper
    );
    assert!(narrow.size < wide.size, "{} {}", narrow.size, wide.size);
    let keys = |likely: &tautway_sim::sensitivity::Likely| -> Vec<_> {
        likely.matters.iter().map(|m| m.key).collect()
    };
    assert!(keys(&wide).contains(&"attachment.setting_error"));
}

#[test]
fn a_straight_cut_covers_the_spindle_s_lean_as_often_as_it_says() {
    let worn = worn_job().lathe;
    // Invented: 0.0015 in/ft, big at the tailstock.
    let (lean, apart) = (-0.0015 / 12.0, 6.0 * INCH);
    let mut luck = ChaCha8Rng::seed_from_u64(21);
    let (mut covered, mut width) = (0.0, 0.0);
    for _ in 0..CASES {
        let mut tests = blank();
        tests.steps.gauge = 0.0001 * INCH;
        tests.straight_apart = apart;
        let mut mike = |d: f64| read(&mut luck, d, 0.00005 * INCH, 0.0001 * INCH, 3);
        tests.straight_headstock_end = mike(1.5 * INCH);
        tests.straight_tailstock_end = mike(1.5 * INCH - lean * apart);
        let found = findings(&tests, &worn);
        assert_eq!(found.done, [Test::StraightCut]);
        let [low, middle, high] = range_of(&found, "spindle.out_of_line").expect("a lean");
        covered += f64::from(u8::from(low <= lean && lean <= high));
        width += (high - low) / CASES as f64;
        // It is put in its place with its sign.
        let after = with_findings(&worn, &found.findings);
        assert_eq!(after.spindle.out_of_line.si(), middle);
    }
    assert!(covered / CASES as f64 >= AT_LEAST, "{covered}");
    // A third of what a worn lathe may lean.
    assert!(width < 0.0015 / 12.0, "{}", width * 12.0);
}

#[test]
fn the_post_s_rock_is_a_range_to_either_side_and_blurs_the_two_way_cut() {
    let worn = worn_job().lathe;
    let with = |rock: f64| {
        let mut tests = inch_lost();
        tests.foot = vec![0.1 * INCH; 3];
        // The slack that test 1 gives, and what gives way.
        tests.two_way_headstock = vec![1.985 * INCH; 3];
        tests.two_way_tailstock = vec![(1.985 + 0.150) * INCH; 3];
        tests.rock = vec![rock * INCH; 3];
        findings(&tests, &worn)
    };
    let (little, much) = (with(0.0002), with(0.012));
    // Half of it, and of half a step of the indicator.
    let half = 0.5 * (0.012 + 0.5 * 0.0005) * INCH;
    let [low, middle, high] = range_of(&much, "carriage.rock").expect("a rock");
    assert_eq!((low, middle), (-high, 0.0));
    assert!((high - half).abs() < 1e-9, "{high}");
    let after = with_findings(&worn, &much.findings);
    assert_eq!(after.carriage.rock.high.si(), high);
    // What rocks can't be told from slack.
    let slack = |found: &Found| range_of(found, "attachment.slack").expect("a slack");
    let wide = |range: [f64; 3]| range[2] - range[0];
    assert!(wide(slack(&little)) < wide(slack(&much)));
}

#[test]
fn three_places_of_the_guide_are_numbers_for_the_march_and_say_where_to_work() {
    let worn = worn_job().lathe;
    let read = |headstock: Option<f64>, tailstock: f64| {
        let mut tests = inch_lost();
        tests.foot = vec![0.1 * INCH; 3];
        tests.reversals[0].headstock_end = headstock.map_or(Vec::new(), |m| vec![m * INCH; 3]);
        tests.reversals[0].tailstock_end = vec![tailstock * INCH; 3];
        findings(&tests, &worn)
    };
    // 0.24 and 0.12 in less of carriage travel at 2 in/ft: 0.020 and 0.010 in.
    let found = read(Some(0.76), 0.88);
    let of = |key: &str| range_of(&found, key).expect("three places")[1] / INCH;
    assert!((of("attachment.wear_headstock_end") + 0.020).abs() < 1e-6);
    assert!((of("attachment.wear_tailstock_end") + 0.010).abs() < 1e-6);
    let after = with_findings(&worn, &found.findings).attachment;
    let end = after.wear_headstock_end.expect("put in its place");
    assert!((end.si() / INCH + 0.020).abs() < 1e-6);
    // The less worn of the two, once.
    let there: Vec<_> = found
        .notes
        .iter()
        .filter(|n| n.words.contains("work there"))
        .collect();
    assert_eq!(there.len(), 1, "{there:?}");
    assert!(there[0].words.contains("headstock end"));

    // Where the middle is the least worn, nobody is sent elsewhere.
    let middle = read(Some(1.2), 1.1);
    assert!(!middle.notes.iter().any(|n| n.words.contains("work there")));
    // Two places make no parabola.
    let two = read(None, 0.88);
    assert!(range_of(&two, "attachment.wear_tailstock_end").is_none());
}

#[test]
fn a_screw_less_worn_near_its_ends_is_worked_there() {
    let worn = worn_job().lathe;
    let said = |ends: f64| {
        let mut tests = blank();
        tests.parts.dial = vec![0.040 * INCH; 3];
        tests.parts.thrust = vec![0.008 * INCH; 3];
        tests.parts.dial_at_ends = vec![ends * INCH; 3];
        let found = findings(&tests, &worn);
        says(&found, NoteKind::Told, Test::Parts).map(str::to_owned)
    };
    assert!(said(0.025).expect("said").contains("work near the ends"));
    assert!(said(0.055).expect("said").contains("work in mid stroke"));
    assert_eq!(said(0.040), None);
}
