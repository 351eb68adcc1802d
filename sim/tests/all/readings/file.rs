//! Files of readings: shop numbers, units, faults pointed at, and the engine's own reversal.

use crate::given::readings_made::{IN_FT, INCH, Pattern, Truth};
use crate::given::scenario_texts;
use tautway_sim::cut::{Operation, Options, reversal};
use tautway_sim::quantity::{Angle, Length, Quantity, Taper, Units};
use tautway_sim::readings::{
    Evaluation, LostRead, Reading, Remedy, ScaleSense, Source as NoiseSource, TestCut, Use,
    Verdict, evaluate,
};
use tautway_sim::scenario::{Band, Diagnostic, End, Source, Toward, decode, decode_readings};
use tautway_sim::setup::{Feed, Setup, Side};

const GUIDE: &str = include_str!("../given/guide.toml");

const SHOP: &str = r#"name = "shop test"
units = "inch"

[wanted]
taper = "2 in/ft"
tolerance = "+0.000 -0.030 in/ft"
big_end = "tailstock"

[readout]
reads = "diameter"
step = "0.0005 in"

[readings]
rows = """
carriage in   slide in   direction
  0.000        0.0000     headstock
  3.000        0.5020     headstock
"""
"#;

fn found(text: &str) -> Vec<Diagnostic> {
    let source = Source {
        name: "r.toml",
        text,
    };
    match decode_readings(source) {
        Ok((_, warnings)) => warnings,
        Err(faults) => faults,
    }
}

fn told(text: &str) -> Evaluation {
    let source = Source {
        name: "r.toml",
        text,
    };
    let (set, warnings) = decode_readings(source).unwrap_or_else(|f| panic!("{f:#?}"));
    assert!(warnings.is_empty(), "{warnings:#?}");
    evaluate(&set).expect("a line goes through")
}

fn near(a: f64, b: f64, within: f64) {
    assert!((a - b).abs() <= within, "{a} is not {b} within {within}");
}

#[test]
fn shop_test_reads_two_thou_in_three_inches_out_inside_in_on_a_plug() {
    let inside = told(SHOP);
    // Common practice, no source: 0.502 on a diameter readout over 3 in is 0.002 in too much.
    near(inside.error.value * 3.0 * INCH / INCH, 0.002, 1e-5);
    // Common practice, no source: that is +0.008 in/ft.
    near(inside.error.value / IN_FT, 0.008, 1e-4);
    // Common practice, no source: steps of 0.0005 in over 3 in are +-0.002 in/ft.
    near(inside.steps / IN_FT, 0.002, 1e-9);
    let verdict = |e: &Evaluation| e.judgement.as_ref().map(|j| j.verdict);
    assert_eq!(verdict(&inside), Some(Verdict::Failed));
    let plug = told(&SHOP.replace("+0.000 -0.030", "+0.030 -0.000"));
    assert_eq!(verdict(&plug), Some(Verdict::Proven));
    assert_eq!(inside.lost, LostRead::OneDirection);
    assert_eq!(inside.repeatability.source, NoiseSource::Assumed);
}

#[test]
fn metric_and_radius_readings_tell_the_same_taper() {
    let metric = SHOP
        .replace("units = \"inch\"", "units = \"metric\"")
        .replace("carriage in   slide in", "carriage (mm), slide (mm),")
        .replace("  0.000        0.0000     head", "0, 0, head")
        .replace("  3.000        0.5020     head", "76.2, 6.3754, head")
        .replace("reads = \"diameter\"", "reads = \"radius\"")
        .replace("step = \"0.0005 in\"", "step = \"0.0001 mm\"");
    let e = told(&metric);
    assert_eq!(e.units, Units::Metric);
    near(e.taper.value, told(SHOP).taper.value, 1e-6);
}

#[test]
fn a_guide_read_both_ways_names_the_wild_row_and_the_one_before_the_slack_was_up() {
    let e = told(GUIDE);
    let rows = |taken: Use| -> Vec<usize> {
        e.readings
            .iter()
            .filter(|r| r.taken == taken)
            .map(|r| r.reading.row)
            .collect()
    };
    assert_eq!(rows(Use::Wild), [11]);
    assert_eq!(rows(Use::NotTakenUp), [8]);
    let LostRead::Known { travel, across } = e.lost else {
        panic!("{:?}", e.lost)
    };
    assert!(travel.low < travel.value && travel.value < travel.high);
    near(across.value / travel.value, e.guide_taper.value / 2.0, 1e-4);
    assert_eq!(e.scale.map(|s| s.sense), Some(ScaleSense::PerSide));
    // Too steep: the tailstock end, which stands toward the operator, goes away from him.
    let nudge = e.nudge.expect("the end is given");
    assert_eq!((nudge.end, nudge.toward), (End::Tailstock, Toward::Away));
    // The same file twice gives the same answer.
    assert_eq!(e, told(GUIDE));
}

#[test]
fn the_nudge_turns_the_guide_by_what_is_off() {
    let truth = Truth {
        noise: 1e-8,
        step: 1e-6,
        pattern: Pattern::OneWay,
        ..Truth::plain(2.01 * IN_FT)
    };
    for (big_end, side, end, toward) in [
        (End::Tailstock, Side::Front, End::Tailstock, Toward::Away),
        (
            End::Tailstock,
            Side::Front,
            End::Headstock,
            Toward::Operator,
        ),
        (
            End::Headstock,
            Side::Front,
            End::Tailstock,
            Toward::Operator,
        ),
        (End::Tailstock, Side::Rear, End::Tailstock, Toward::Operator),
    ] {
        let mut set = truth.readings(1);
        set.wanted = Taper::from_si(2.0 * IN_FT);
        set.big_end = Some(big_end);
        set.side = side;
        set.nudged_end = end;
        set.end_radius = Some(Length::from_si(10.0 * INCH));
        let nudge = evaluate(&set).ok().and_then(|e| e.nudge).expect("a nudge");
        assert_eq!(nudge.toward, toward, "{big_end:?} {side:?} {end:?}");
        // 0.01 in/ft on diameter is 0.00042 in an inch on one side: 4.17 thou at 10 in, less the
        // cosine squared of 4 deg 46 min.
        near(nudge.distance.value / INCH, 0.004_167 * 0.9931, 2e-5);
    }
}

#[test]
fn a_straight_test_cut_adds_to_what_the_guide_gives() {
    let mut set = Truth {
        noise: 1e-8,
        step: 1e-6,
        ..Truth::plain(2.0 * IN_FT)
    }
    .readings(1);
    set.test_cut = Some(TestCut {
        apart: Length::from_si(6.0 * INCH),
        at_headstock: Length::from_si(2.0 * INCH),
        at_tailstock: Length::from_si(2.002 * INCH),
        gauge_error: Length::from_si(0.0001 * INCH),
    });
    let e = evaluate(&set).expect("a line");
    // 0.002 in over 6 in is 0.004 in/ft.
    near(e.taper.value / IN_FT, 2.004, 2e-4);
    near(e.guide_taper.value / IN_FT, 2.0, 1e-4);
    assert!(e.taper.half() > 3.0 * e.guide_taper.half());
    set.big_end = Some(End::Headstock);
    near(
        evaluate(&set).expect("a line").taper.value / IN_FT,
        1.996,
        2e-4,
    );
}

#[test]
fn a_scale_that_reads_the_included_angle_is_found() {
    let mut set = Truth {
        step: 1e-6,
        ..Truth::plain(2.0 * IN_FT)
    }
    .readings(1);
    // Half angle of 2 in/ft: atan(1/12) = 4.7636 deg.
    for (degrees, sense) in [
        (4.8, ScaleSense::PerSide),
        (9.4, ScaleSense::Included),
        (7.0, ScaleSense::Neither),
    ] {
        set.scale = Some(Angle::from_si(f64::to_radians(degrees)));
        let scale = evaluate(&set).ok().and_then(|e| e.scale).expect("a scale");
        assert_eq!(scale.sense, sense);
    }
}

#[test]
fn steps_are_not_averaged_out_by_repeats_but_by_travel_and_a_finer_indicator() {
    let mut set = Truth {
        noise: 0.000_01 * INCH,
        step: 0.000_25 * INCH,
        span: 3.0 * INCH,
        places: 4,
        pattern: Pattern::OneWay,
        ..Truth::plain(2.0 * IN_FT)
    }
    .readings(3);
    set.repeatability = Some(0.000_01 * INCH);
    set.wanted = Taper::from_si(evaluate(&set).expect("a line").taper.value);
    set.tolerance = Some(Band {
        lower: Taper::from_si(-0.0013 * IN_FT),
        upper: Taper::from_si(0.0013 * IN_FT),
    });
    let e = evaluate(&set).expect("a line");
    let j = e.judgement.expect("a tolerance");
    assert_eq!(j.verdict, Verdict::NotProven, "{j:?}");
    for s in &j.settles {
        let wanted = match s.remedy {
            Remedy::MoreReadings { .. } => false,
            Remedy::LongerTravel { .. } | Remedy::FinerIndicator { .. } => true,
        };
        assert_eq!(s.enough, wanted, "{j:?}");
    }
    assert_eq!(j.settles.len(), 3);
}

#[test]
fn readings_along_the_engines_reversal_give_its_lost_motion() {
    let (job, lathe) = (scenario_texts::JOB, scenario_texts::LATHE);
    let source = |name, text| Source { name, text };
    let (scenario, _) =
        decode(source("job.toml", job), source("lathe.toml", lathe)).expect("in order");
    let work = &scenario.job.work;
    let setup = Setup::all(work.kind, work.big_end)[0];
    let operation = Operation::new(&scenario, setup, Options::default());
    let record = reversal(&operation.machine, setup.pull().sign());
    let step = 0.000_02 * INCH;
    let mut set = Truth::plain(work.taper.si()).readings(1);
    set.step = step;
    set.readings.clear();
    // Two legs, on and back; one reading of each stands where the slack is not yet taken up.
    let leg = record.carriage.len() / 2;
    let shares = [0.2, 0.55, 0.62, 0.69, 0.76, 0.83, 0.9, 0.97];
    for i in [0, leg]
        .into_iter()
        .flat_map(|from| shares.map(|share| from + (share * leg as f64) as usize))
    {
        let on = record.carriage[i] > record.carriage[i - 1];
        set.readings.push(Reading {
            row: set.readings.len() + 1,
            carriage: record.carriage[i],
            slide: (record.slide[i] / step).round() * step,
            feed: if on { Feed::Tailstock } else { Feed::Headstock },
        });
    }
    let e = evaluate(&set).expect("a line");
    let LostRead::Known { travel, .. } = e.lost else {
        panic!("{:?}", e.lost)
    };
    // The record counts what it takes to start the slide, readings what moves it: with drag that
    // is a little less wind-up.
    let share = travel.value / record.lost.total;
    assert!((0.95..=1.0).contains(&share), "{share}");
    near(e.taper.value, 2.0 * operation.machine.slope, 2e-4);
    let lag: Vec<usize> = e
        .readings
        .iter()
        .filter(|r| r.taken != Use::Used)
        .map(|r| r.reading.row)
        .collect();
    assert_eq!(lag, [1, 9]);
}

#[test]
fn faults_are_pointed_at_with_what_would_be_right() {
    let line = |text: &str, part: &str| 1 + text.lines().position(|l| l.contains(part)).unwrap();
    for (from, to, pointed, message, hint) in [
        ("0.5020 ", "0.5O20 ", "O", "row 2", ""),
        (
            "slide in ",
            "slyde in ",
            "slyde",
            "neither a column",
            "did you mean `slide`?",
        ),
        (
            "  3.000        0.5020     headstock",
            "  3.000 headstock",
            "3.000",
            "2 entries",
            "decimals",
        ),
        (
            "     headstock\n\"",
            "     sideways\n\"",
            "sideways",
            "direction",
            "headstock or tailstock",
        ),
        ("   direction", "", "carriage in", "", ""),
        (
            "carriage in ",
            "carriage ",
            "carriage",
            "`carriage` taken as 0.000 in",
            "unit",
        ),
        (
            "  3.000 ",
            "  0.000 ",
            "0.000",
            "one place",
            "move the carriage",
        ),
        (
            "reads = \"diameter\"",
            "",
            "",
            "`reads` is missing",
            "reads =",
        ),
        (
            "step = \"0.0005 in\"",
            "step = 5",
            "5",
            "may be 5 in or",
            "write the unit",
        ),
        (
            "0.5020",
            "0.5021",
            "0.5021",
            "no whole number of steps",
            "digits",
        ),
    ] {
        assert!(SHOP.contains(from), "{from:?}");
        let text = SHOP.replacen(from, to, 1);
        let found = found(&text);
        assert!(!found.is_empty(), "{from:?} -> {to:?}");
        let first = &found[0];
        assert!(first.message.contains(message), "{first:#?}");
        assert!(first.hint.contains(hint), "{first:#?}");
        assert!(text[first.span.clone()].contains(pointed), "{first:#?}");
        if !pointed.is_empty()
            && pointed != "O"
            && pointed != "0.0005"
            && pointed != "0.000"
            && pointed != "carriage in"
        {
            assert_eq!(first.line(&text), line(&text, pointed), "{first:#?}");
        }
    }
}

#[test]
fn a_nudge_needs_the_big_end() {
    let text = SHOP.replace("big_end = \"tailstock\"\n", "").replace(
        "[readings]",
        "[guide]\nend_radius = \"10 in\"\n\n[readings]",
    );
    let found = found(&text);
    assert_eq!(found.len(), 1, "{found:#?}");
    assert!(found[0].message.contains("which end is big"));
}
