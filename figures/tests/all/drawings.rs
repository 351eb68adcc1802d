//! Every drawing can be read, names itself, is the same each time, and bears any numbers.

use crate::records;
use crate::records::{
    INCH, LBF, THOU, Temper, check, map, outlook, parts, reversal, run, setup, work,
};
use proptest::prelude::*;
use resvg::usvg::{Options, Tree};
use tautway_figures::{
    Drawing, PngError, SetupView, bore, cut, lost_motion, mend, regime_map, rehearsal,
    setup_from_above, spread, surfaces,
};
use tautway_sim::{
    quantity::Units,
    record::{RegimeMap, Run},
    scenario::{End, Kind, Toward},
    setup::{Feed, Pull, Setup},
};

fn view() -> SetupView {
    SetupView {
        slope: 1.0 / 24.0,
        length: 4.0 * INCH,
        big_diameter: 2.25 * INCH,
        run_in: 0.85 * INCH,
        preload: Some(Toward::Operator),
        units: Units::Inch,
    }
}

fn ordinary() -> Run {
    let way = setup(Kind::Outside, Feed::Headstock);
    run(way, Temper::Changes, 9.0 * THOU, 300)
}

fn each_figure() -> Vec<Drawing> {
    let record = ordinary();
    vec![
        lost_motion(&record.reversal, Units::Inch),
        cut(&record, Units::Metric),
        surfaces(&[("One <way> & \"another\"".into(), &record)], Units::Inch),
        regime_map("", &map((0.6, 0.8), 2.0, 2.0)),
        setup_from_above(&record.setup, &view()),
        bore(&records::room(), Units::Inch).expect("a bar in a bore"),
        rehearsal(&records::rehearsed(records::REVERSAL), Units::Inch),
        mend("Toward the headstock", &parts(15), Units::Inch),
        spread(&outlook(3), &[], &work(), Units::Inch),
    ]
}

#[test]
fn drawings_read_without_a_font_and_name_themselves() {
    for drawing in each_figure() {
        check(&drawing);
    }
}

#[test]
fn drawings_are_the_same_each_time() {
    let (first, second) = (each_figure(), each_figure());
    assert_eq!(first, second);
    for (one, other) in first.iter().zip(&second) {
        assert_eq!(one.png(300), other.png(300));
    }
}

#[test]
fn ids_differ_between_drawings_of_one_page() {
    let id = |drawing: &Drawing| {
        let from = drawing.svg.find("<title id=\"").expect("a title") + 11;
        drawing.svg[from..].split('"').next().map(str::to_owned)
    };
    let mut ids: Vec<_> = each_figure().iter().map(id).collect();
    for way in Setup::all(Kind::Inside, End::Headstock) {
        ids.push(id(&setup_from_above(&way, &view())));
    }
    let count = ids.len();
    ids.sort();
    ids.dedup();
    assert_eq!(ids.len(), count);
}

#[test]
fn png_has_the_width_asked_for_and_the_shape_of_the_drawing() {
    for drawing in each_figure() {
        let size = Tree::from_str(&drawing.svg, &Options::default())
            .expect("SVG that can be read")
            .size();
        for width in [2, 400, 900, 1800] {
            let png = drawing.png(width).expect("a PNG");
            // Source: W3C PNG specification, 5.2 and 11.2.2: signature, then IHDR with width and
            // height as big-endian words at bytes 16 and 20.
            assert_eq!(&png[..8], b"\x89PNG\r\n\x1a\n");
            let word = |at: usize| u32::from_be_bytes(png[at..at + 4].try_into().expect("4 bytes"));
            assert_eq!(word(16), width);
            let high = f64::from(size.height()) * f64::from(width) / 900.0;
            assert!((f64::from(word(20)) - high).abs() <= 0.51);
        }
        assert_eq!(drawing.png(0), Err(PngError::Size(0)));
        assert_eq!(drawing.png(100_000), Err(PngError::Size(100_000)));
    }
}

#[test]
fn a_changed_svg_is_refused_with_the_reason() {
    let broken = Drawing {
        lettered: String::new(),
        svg: "<svg".into(),
        title: String::new(),
        caption: String::new(),
    };
    assert!(matches!(broken.png(400), Err(PngError::Svg(_))));
}

#[test]
fn captions_tell_the_record_in_the_persons_units() {
    let record = reversal(
        0.48 * INCH,
        -1.0 / 24.0,
        &[("shoe", 0.25), ("cross nut", 0.75)],
    );
    let inch = lost_motion(&record, Units::Inch);
    assert!(inch.title.contains("0.480 in"), "{}", inch.title);
    assert!(
        inch.caption.contains("shoe 0.120 in, cross nut 0.360 in"),
        "{}",
        inch.caption
    );
    let metric = lost_motion(&record, Units::Metric);
    assert!(metric.title.contains("12.2 mm"), "{}", metric.title);
    let drawing = cut(&ordinary(), Units::Inch);
    assert!(
        drawing
            .caption
            .contains("set 8.0 thou per side, took 6.4 thou"),
        "{}",
        drawing.caption
    );
}

#[test]
fn the_last_cutting_pass_is_drawn_and_not_the_spring_pass() {
    let mut record = ordinary();
    let before = cut(&record, Units::Inch);
    record.passes[2].turns = record.passes[1].turns[..5].to_vec();
    assert_eq!(before, cut(&record, Units::Inch));
    record.passes.truncate(2);
    assert_eq!(before, cut(&record, Units::Inch));
}

#[test]
fn every_way_says_its_own_directions() {
    for kind in [Kind::Outside, Kind::Inside] {
        for big_end in [End::Headstock, End::Tailstock] {
            for way in Setup::all(kind, big_end).into_iter().filter(Setup::cuts) {
                let drawing = setup_from_above(&way, &view());
                check(&drawing);
                let pulls = drawing.caption.contains("guide pulls the tool in");
                assert_eq!(pulls, way.pull() == Pull::In);
                let lifts = drawing.caption.contains("lifts the slide");
                assert_eq!(lifts, way.press().sign() < 0.0);
            }
        }
    }
}

#[test]
fn enlarged_angles_say_so() {
    let way = setup(Kind::Outside, Feed::Headstock);
    let caption = |slope: f64| setup_from_above(&way, &SetupView { slope, ..view() }).caption;
    assert!(caption(1.0 / 24.0).contains("angles drawn 2.5 times larger than life"));
    assert!(caption(0.12).contains("the angle is true"));
    assert!(caption(0.6).contains("angles drawn 4 times smaller than life"));
    assert!(caption(0.0).contains("the cut is straight"));
}

#[test]
fn the_job_is_placed_in_its_zone() {
    for (job, word) in [
        ((1.5, 0.5), "steady"),
        ((0.6, 1.5), "floats"),
        ((0.1, 0.2), "pushed back"),
    ] {
        let title = regime_map("", &map(job, 2.0, 2.0)).title;
        assert!(title.contains(word), "{job:?}: {title}");
    }
}

#[test]
fn words_of_the_theory_stay_off_the_sheet() {
    for drawing in each_figure() {
        let text = format!("{} {}", drawing.title, drawing.caption).to_lowercase();
        for word in [
            "meridian",
            "regime",
            "play",
            "quantile",
            "anchor",
            "clearance",
            "sobol",
            "index",
            "variance",
            "deviation",
        ] {
            assert!(!text.contains(word), "{word}: {text}");
        }
    }
}

#[test]
fn empty_records_are_drawn() {
    let mut record = ordinary();
    for list in [
        &mut record.profile.z,
        &mut record.profile.mean,
        &mut record.profile.meridian,
        &mut record.reversal.carriage,
        &mut record.reversal.slide,
        &mut record.reversal.guide,
    ] {
        list.clear();
    }
    record.reversal.lost.parts.clear();
    record.passes.clear();
    check(&cut(&record, Units::Inch));
    check(&lost_motion(&record.reversal, Units::Inch));
    check(&surfaces(&[("a way".into(), &record)], Units::Inch));
    check(&surfaces(&[], Units::Inch));
    check(&regime_map(
        "",
        &RegimeMap {
            drag_over_push_off: Vec::new(),
            slack_over_depth: Vec::new(),
            size_loss: Vec::new(),
            waves: Vec::new(),
            seats_again: Vec::new(),
            job: (0.0, 0.0),
        },
    ));
}

/// Turns every number of a run into `factor` times itself.
fn multiplied(record: &Run, factor: f64) -> Run {
    let mut record = record.clone();
    for pass in &mut record.passes {
        pass.set *= factor;
        for turn in &mut pass.turns {
            for value in [
                &mut turn.z,
                &mut turn.first_face,
                &mut turn.other_face,
                &mut turn.slide,
                &mut turn.edge,
                &mut turn.push_off,
                &mut turn.drag,
                &mut turn.drive,
            ] {
                *value *= factor;
            }
        }
    }
    let (profile, reversal) = (&mut record.profile, &mut record.reversal);
    for list in [
        &mut profile.z,
        &mut profile.mean,
        &mut profile.meridian,
        &mut reversal.carriage,
        &mut reversal.slide,
        &mut reversal.guide,
    ] {
        list.iter_mut().for_each(|value| *value *= factor);
    }
    reversal.lost.total *= factor;
    record
}

#[test]
fn numbers_of_any_size_are_drawn() {
    let record = ordinary();
    for factor in [
        0.0,
        1e-12,
        1e-4,
        1e4,
        1e30,
        1e300,
        f64::INFINITY,
        f64::NAN,
        -1.0,
    ] {
        let odd = multiplied(&record, factor);
        for units in [Units::Inch, Units::Metric] {
            check(&cut(&odd, units));
            check(&lost_motion(&odd.reversal, units));
            check(&surfaces(
                &[("odd".into(), &odd), ("plain".into(), &record)],
                units,
            ));
        }
        let odd = SetupView {
            slope: factor / 24.0,
            length: factor,
            run_in: factor * factor,
            ..view()
        };
        check(&setup_from_above(&record.setup, &odd));
        check(&regime_map("", &map((factor, 1.0), 2.0, 2.0)));
        check(&regime_map("", &map((0.5, 1.0), factor.abs(), 2.0)));
    }
}

#[test]
fn rehearsals_of_any_length_and_size_are_drawn() {
    let whole = records::rehearsed(records::ZERO_TOO_EARLY);
    let mut none = whole.clone();
    none.steps.clear();
    none.name.clear();
    check(&rehearsal(&none, Units::Inch));
    let mut long = whole.clone();
    for number in 0..200 {
        let mut step = whole.steps[number % whole.steps.len()].clone();
        step.number = number;
        long.steps.push(step);
    }
    check(&rehearsal(&long, Units::Metric));
    for factor in [0.0, 1e-12, 1e12, 1e300, f64::INFINITY, f64::NAN] {
        let mut odd = whole.clone();
        for step in &mut odd.steps {
            let stand = &mut step.stand;
            for value in [
                &mut stand.carriage,
                &mut stand.slide,
                &mut stand.tool,
                &mut stand.dial,
                &mut stand.readout,
            ] {
                *value *= factor;
            }
            for place in &mut step.path {
                *place = (place.0 * factor, place.1 * factor);
            }
        }
        check(&rehearsal(&odd, Units::Inch));
    }
}

#[test]
fn the_caption_of_hand_moves_names_the_longest_standstill() {
    let record = records::rehearsed(records::REVERSAL);
    let drawing = rehearsal(&record, Units::Inch);
    let longest = record
        .steps
        .iter()
        .filter_map(|step| step.lost)
        .map(|lost| lost.stood_still / INCH)
        .fold(0.0, f64::max);
    let wanted = format!("{longest:.3}\u{20}in of carriage travel");
    assert!(drawing.caption.contains(&wanted), "{}", drawing.caption);
}

#[test]
fn one_turn_is_drawn() {
    let way = setup(Kind::Inside, Feed::Tailstock);
    let mut record = run(way, Temper::Steady, 0.0, 1);
    record.profile.z.truncate(1);
    record.profile.mean.truncate(1);
    record.profile.meridian.truncate(1);
    check(&cut(&record, Units::Inch));
    check(&surfaces(&[("one turn".into(), &record)], Units::Metric));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn any_forces_and_heights_are_drawn(
        heights in prop::collection::vec(-1e-2..1e-2_f64, 1..40),
        forces in prop::collection::vec(-1e3..1e3_f64, 1..40),
        name in "\\PC{0,40}",
    ) {
        let mut record = ordinary();
        let turns = &mut record.passes[1].turns;
        turns.truncate(heights.len().min(forces.len()));
        for ((turn, height), force) in turns.iter_mut().zip(&heights).zip(&forces) {
            turn.slide = *height;
            turn.drive = *force * LBF;
        }
        check(&cut(&record, Units::Inch));
        check(&surfaces(&[(name, &record)], Units::Inch));
    }
}
