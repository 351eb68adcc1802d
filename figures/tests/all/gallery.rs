//! Every figure on several records: written where `FIGURE_GALLERY` says, for looking at.

use std::{env, fs, path::PathBuf};

use crate::records;
use crate::records::{INCH, THOU, Temper, map, outlook, reversal, run, setup, work};
use tautway_figures::{
    Drawing, SetupView, bore, cut, lost_motion, mend, readings, regime_map, rehearsal,
    setup_from_above, spread, surfaces,
};
use tautway_sim::{
    quantity::Units,
    readings::evaluate,
    record::Seat,
    scenario::{End, Kind, Source, Toward, decode_readings},
    setup::{Feed, Setup},
};

fn view() -> SetupView {
    SetupView {
        slope: 1.0 / 24.0,
        length: 4.0 * INCH,
        big_diameter: 2.25 * INCH,
        run_in: 0.85 * INCH,
        preload: None,
        units: Units::Inch,
    }
}

fn gallery() -> Vec<(String, Drawing)> {
    let mut all: Vec<(String, Drawing)> = Vec::new();
    let parts = [
        ("shoe", 0.15),
        ("screw end float", 0.15),
        ("cross nut", 0.6),
        ("foot and rod", 0.1),
    ];
    for (name, lost, slope, units) in [
        ("down", 0.48, -1.0 / 24.0, Units::Inch),
        ("up", 0.96, 1.0 / 24.0, Units::Metric),
        ("small", 0.08, 1.0 / 8.0, Units::Inch),
        ("none", 0.0, 1.0 / 24.0, Units::Inch),
        ("huge", 3.4, 1.0 / 96.0, Units::Inch),
    ] {
        let record = reversal(lost * INCH, slope, &parts);
        all.push((format!("lost-{name}"), lost_motion(&record, units)));
    }
    let outside = setup(Kind::Outside, Feed::Headstock);
    let inside = setup(Kind::Inside, Feed::Tailstock);
    let steady = run(outside, Temper::Steady, 18.0 * THOU, 1000);
    let floats = run(outside, Temper::Floats, 60.0 * THOU, 1000);
    let changes = run(inside, Temper::Changes, 9.0 * THOU, 1000);
    let other = run(inside, Temper::OtherFace, 5.0 * THOU, 1000);
    for (name, record, units) in [
        ("steady", &steady, Units::Inch),
        ("floats", &floats, Units::Inch),
        ("changes", &changes, Units::Metric),
        ("other", &other, Units::Inch),
    ] {
        all.push((format!("cut-{name}"), cut(record, units)));
    }
    let ways = [
        (
            "Toward the headstock, front tool (drawn away)".to_owned(),
            &steady,
        ),
        (
            "Toward the tailstock, front tool (pulled in)".to_owned(),
            &floats,
        ),
        ("Bored from the inside out".to_owned(), &changes),
    ];
    all.push(("surfaces-three".into(), surfaces(&ways, Units::Inch)));
    all.push(("surfaces-one".into(), surfaces(&ways[..1], Units::Metric)));
    for (name, job, widest, deepest) in [
        ("floats", (0.62, 0.9), 2.0, 2.0),
        ("steady", (1.7, 0.4), 2.0, 1.5),
        ("pushed", (0.2, 0.3), 2.0, 2.0),
        ("off", (4.0, 3.0), 3.0, 2.0),
    ] {
        all.push((
            format!("map-{name}"),
            regime_map("draw-away toward the headstock", &map(job, widest, deepest)),
        ));
    }
    for (name, slope, run_in) in [
        ("straight", 0.0, 0.2),
        ("steep", 0.7, 9.0),
        ("slow", 1.0 / 96.0, 0.0),
    ] {
        let view = SetupView {
            slope,
            run_in: run_in * INCH,
            units: Units::Metric,
            ..view()
        };
        all.push((
            format!("view-{name}-out"),
            setup_from_above(&outside, &view),
        ));
        all.push((format!("view-{name}-in"), setup_from_above(&inside, &view)));
    }
    for (name, moves, units) in [
        ("zero", records::ZERO_TOO_EARLY, Units::Inch),
        ("reversal", records::REVERSAL, Units::Metric),
    ] {
        let drawing = rehearsal(&records::rehearsed(moves), units);
        all.push((format!("rehearsal-{name}"), drawing));
    }
    let drawing = bore(&records::room(), Units::Inch).expect("a bar in a bore");
    all.push(("bore".to_owned(), drawing));
    for (name, count, units) in [
        ("one", 1, Units::Inch),
        ("some", 7, Units::Metric),
        ("all", 15, Units::Inch),
    ] {
        let drawing = mend(
            "Toward the headstock, front tool",
            &records::parts(count),
            units,
        );
        all.push((format!("mend-{name}"), drawing));
        let drawing = spread(&outlook(count), &[], &work(), units);
        all.push((format!("spread-{name}"), drawing));
    }
    let mut patchy = run(outside, Temper::Floats, 9.0 * THOU, 6000);
    for (index, turn) in patchy.passes[1].turns.iter_mut().enumerate() {
        turn.slide += if index % 7 < 3 { 1.0 } else { -1.0 } * THOU;
        turn.drive = if index % 900 < 100 { 30.0 } else { -0.5 };
        turn.seat = if index % 900 < 100 {
            Seat::First
        } else {
            Seat::Other
        };
    }
    all.push(("cut-patchy".into(), cut(&patchy, Units::Inch)));
    let many: Vec<_> = (0..6)
        .map(|n| {
            (
                format!("Way {n}"),
                if n % 2 == 0 { &steady } else { &changes },
            )
        })
        .collect();
    all.push(("surfaces-six".into(), surfaces(&many, Units::Inch)));
    for kind in [Kind::Outside, Kind::Inside] {
        for big_end in [End::Headstock, End::Tailstock] {
            for way in Setup::all(kind, big_end).into_iter().filter(Setup::cuts) {
                let name = format!(
                    "setup-{kind:?}-{big_end:?}-{:?}-{:?}-{:?}",
                    way.side, way.rotation, way.feed
                );
                let preload = match (way.side.sign() > 0.0, way.rotation.sign() > 0.0) {
                    (true, true) => None,
                    (true, false) => Some(Toward::Operator),
                    _ => Some(Toward::Away),
                };
                let view = SetupView { preload, ..view() };
                all.push((name, setup_from_above(&way, &view)));
            }
        }
    }
    let set = |text: &str| {
        let source = Source {
            name: "guide.toml",
            text,
        };
        let (set, _) = decode_readings(source).expect("in order");
        evaluate(&set).expect("a line goes through")
    };
    let both = set(GUIDE);
    all.push(("readings-both".into(), readings(&both, Units::Inch)));
    all.push(("readings-metric".into(), readings(&both, Units::Metric)));
    let one: String = GUIDE
        .lines()
        .filter(|line| !line.contains("     headstock"))
        .map(|line| format!("{line}\n"))
        .collect();
    all.push(("readings-one-way".into(), readings(&set(&one), Units::Inch)));
    all
}

const GUIDE: &str = include_str!("../../../sim/tests/all/given/guide.toml");

#[test]
fn readings_are_drawn_with_what_the_record_says() {
    let source = Source {
        name: "guide.toml",
        text: GUIDE,
    };
    let (set, _) = decode_readings(source).expect("in order");
    let record = evaluate(&set).expect("a line goes through");
    let drawing = readings(&record, Units::Inch);
    let taper = format!("{:.4} in/ft on diameter", 12.0 * record.taper.value);
    assert!(drawing.title.contains(&taper), "{}", drawing.title);
    for part in ["Ringed: wild", "Hollow: slack", "0.250 thou", "are lost"] {
        assert!(drawing.caption.contains(part), "{}", drawing.caption);
    }
    assert_eq!(drawing, readings(&record, Units::Inch));
}

#[test]
fn every_figure_is_drawn() {
    let shown = env::var_os("FIGURE_GALLERY").map(PathBuf::from);
    for (name, drawing) in gallery() {
        let png = drawing.png(900).expect("a PNG of 900 px");
        assert!(png.len() > 8000, "{name} looks empty");
        if let Some(room) = &shown {
            fs::create_dir_all(room).expect("a directory for the gallery");
            fs::write(room.join(format!("{name}.png")), png).expect("writing a PNG");
            fs::write(room.join(format!("{name}.svg")), &drawing.svg).expect("writing an SVG");
        }
    }
}
