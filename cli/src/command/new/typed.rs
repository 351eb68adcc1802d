//! What a shop types, each way of writing it at the keyboard and in a file.

use tautway_sim::quantity::{INCH, INCH_PER_FOOT as PER_FOOT, LBF, MM, Quantity, Units};
use tautway_sim::scenario::{End, Kind, Scenario, Severity, SpindleNose};

use super::tests::{DRAWING, Scripted, asked, decoded};
use super::*;

/// A way of writing: typed, the question it answers, its line of which file, and what comes of it.
struct Row {
    typed: &'static str,
    question: &'static str,
    file: File,
    table: &'static str,
    key: &'static str,
    read: fn(&Scenario) -> f64,
    wanted: f64,
}

const fn row(
    typed: &'static str,
    question: &'static str,
    (file, table, key): (File, &'static str, &'static str),
    read: fn(&Scenario) -> f64,
    wanted: f64,
) -> Row {
    Row {
        typed,
        question,
        file,
        table,
        key,
        read,
        wanted,
    }
}

const WORK: File = File::Job;
const TAPER: (File, &str, &str) = (WORK, "[work]", "taper");
const DRAG: (File, &str, &str) = (File::Lathe, "[slide]", "drag");
const STEP: (File, &str, &str) = (File::Lathe, "[readout]", "step");
const FOOT: (File, &str, &str) = (File::Lathe, "[attachment]", "foot_slack");
const FOOT_ASKED: &str = "Slack of the foot";
const TAPER_ASKED: &str = "The taper, on diameter";
const DRAG_ASKED: &str = "keeps the cross-slide moving";

fn taper(s: &Scenario) -> f64 {
    s.job.work.taper.si()
}

fn drag(s: &Scenario) -> f64 {
    s.lathe.slide.drag.si()
}

fn foot(s: &Scenario) -> f64 {
    s.lathe.attachment.foot_slack.si()
}

fn step(s: &Scenario) -> f64 {
    s.lathe.readout_step.si()
}

const ROWS: &[Row] = &[
    row(
        ".938",
        "The diameter there",
        (WORK, "[work]", "diameter"),
        |s| s.job.work.diameter.si(),
        0.938 * INCH,
    ),
    row(
        "3 1/4",
        "How long is the taper",
        (WORK, "[work]", "length"),
        |s| s.job.work.length.si(),
        3.25 * INCH,
    ),
    row(
        "3¼",
        "How long is the taper",
        (WORK, "[work]", "length"),
        |s| s.job.work.length.si(),
        3.25 * INCH,
    ),
    row(
        "1/64",
        "nose radius",
        (WORK, "[tool]", "nose_radius"),
        |s| s.job.tool.nose_radius.si(),
        INCH / 64.0,
    ),
    row(
        ".020",
        "Depth of a roughing pass",
        (WORK, "[passes]", "rough"),
        |s| s.job.passes.rough.si(),
        0.020 * INCH,
    ),
    row("15", DRAG_ASKED, DRAG, drag, 15.0 * LBF),
    row(
        "inches",
        "inch or metric",
        (File::Lathe, "", "units"),
        |s| f64::from(u8::from(s.lathe.units == Units::Inch)),
        1.0,
    ),
    row(
        "threaded",
        "How is the chuck held",
        (File::Lathe, "[spindle]", "nose"),
        |s| f64::from(u8::from(s.lathe.spindle.nose == SpindleNose::ScrewedOn)),
        1.0,
    ),
    row(
        "bore",
        "outside or inside",
        (WORK, "[work]", "kind"),
        |s| f64::from(u8::from(s.job.work.kind == Kind::Inside)),
        1.0,
    ),
    row(
        "tailstock end",
        "Which end is big",
        (WORK, "[work]", "big_end"),
        |s| f64::from(u8::from(s.job.work.big_end == End::Tailstock)),
        1.0,
    ),
    row(
        "cold drawn",
        "What surface",
        (WORK, "[work]", "surface"),
        |s| s.job.work.run_out.si(),
        0.003 * INCH,
    ),
    row(
        "4 jaw",
        "What surface",
        (WORK, "[work]", "surface"),
        |s| s.job.work.run_out.si(),
        0.001 * INCH,
    ),
    row(
        "worn seat",
        "What surface",
        (WORK, "[work]", "surface"),
        |s| s.job.work.run_out.si(),
        0.003 * INCH,
    ),
    row(".602 per foot", TAPER_ASKED, TAPER, taper, 0.602 * PER_FOOT),
    row("5/8 per foot", TAPER_ASKED, TAPER, taper, 0.625 * PER_FOOT),
    row("3/4 TPF", TAPER_ASKED, TAPER, taper, 0.75 * PER_FOOT),
    row("3/4", TAPER_ASKED, TAPER, taper, 0.75 * PER_FOOT),
    row("1 in 10", TAPER_ASKED, TAPER, taper, 0.1),
    row("No. 3 Morse", TAPER_ASKED, TAPER, taper, 0.60235 * PER_FOOT),
    row("#3 Morse", TAPER_ASKED, TAPER, taper, 0.60235 * PER_FOOT),
    row("3MT", TAPER_ASKED, TAPER, taper, 0.60235 * PER_FOOT),
    row("Morse 3", TAPER_ASKED, TAPER, taper, 0.60235 * PER_FOOT),
    row("pipe thread 1-1/2", TAPER_ASKED, TAPER, taper, 1.0 / 16.0),
    row("3\" per ft", TAPER_ASKED, TAPER, taper, 3.0 * PER_FOOT),
    row("1 1/2 in/ft", TAPER_ASKED, TAPER, taper, 1.5 * PER_FOOT),
    row("about 15 lb", DRAG_ASKED, DRAG, drag, 15.0 * LBF),
    row("15 lb", DRAG_ASKED, DRAG, drag, 15.0 * LBF),
    row(
        "half a thou",
        "step of the readout",
        STEP,
        step,
        0.0005 * INCH,
    ),
    row("5 tenths", "step of the readout", STEP, step, 0.0005 * INCH),
    row("1 thou", "step of the readout", STEP, step, 0.001 * INCH),
    row("5 micron", "step of the readout", STEP, step, 0.005 * MM),
    row("2 thou TIR", FOOT_ASKED, FOOT, foot, 0.002 * INCH),
    row(
        "plus or minus 2 thou",
        "tolerance on that diameter",
        (WORK, "[work]", "size_tolerance"),
        |s| s.job.work.size_tolerance.expect("given").upper.si(),
        0.002 * INCH,
    ),
    row("0,3 mm", FOOT_ASKED, FOOT, foot, 0.3 * MM),
    row(
        "50,8 mm",
        "The diameter there",
        (WORK, "[work]", "diameter"),
        |s| s.job.work.diameter.si(),
        50.8 * MM,
    ),
    row(
        "“50,8 mm”",
        "The diameter there",
        (WORK, "[work]", "diameter"),
        |s| s.job.work.diameter.si(),
        50.8 * MM,
    ),
    row(
        "mild steel",
        "The material",
        (WORK, "[work]", "material"),
        |s| s.job.cutting.exponent,
        0.21,
    ),
    row(
        "C45",
        "The material",
        (WORK, "[work]", "material"),
        |s| s.job.cutting.exponent,
        0.22,
    ),
];

/// The two files as they are, with one line of one of them otherwise.
fn files(file: File, table: &str, key: &str, typed: &str) -> [String; 2] {
    let answers = JobAnswers {
        kind: if key == "kind" {
            Kind::Inside
        } else {
            Kind::Outside
        },
        big_end: End::Headstock,
        gauge_plane: None,
        start: None,
        room_headstock: None,
        ..JobAnswers::default()
    };
    let mut texts = [
        template::job(&answers),
        template::lathe(&LatheAnswers::default()),
    ];
    let text = &mut texts[usize::from(file == File::Lathe)];
    let quoted = match typed.starts_with('\u{201c}') {
        true => typed.to_owned(),
        false if typed.contains('\'') => format!("\"{typed}\""),
        false => format!("'{typed}'"),
    };
    let mut inside = table.is_empty();
    let lines: Vec<String> = text
        .lines()
        .map(|line| {
            if line.starts_with('[') {
                inside = line == table;
            }
            match inside && line.starts_with(&format!("{key} =")) {
                true => format!("{key} = {quoted}"),
                false => line.to_owned(),
            }
        })
        .collect();
    let changed = lines.join("\n");
    assert_ne!(changed, *text, "{table} {key}");
    *text = changed;
    texts
}

/// Reads them as the program reads files.
fn read(texts: &[String; 2]) -> Result<(Scenario, Vec<Diagnostic>), Vec<Diagnostic>> {
    let room = tempfile::tempdir().expect("a directory");
    let read = ["job.toml", "lathe.toml"].map(|name| room.path().join(name));
    let texts: Vec<Text> = read
        .iter()
        .zip(texts)
        .map(|(path, text)| {
            fs::write(path, text).expect("written");
            Text::read(path).unwrap_or_else(|failure| panic!("{failure:?}"))
        })
        .collect();
    decode(texts[0].source(), texts[1].source())
}

#[test]
fn what_a_shop_types_is_taken_at_the_keyboard_and_in_a_file() {
    for row in ROWS {
        let Row { typed, wanted, .. } = row;
        let close = |found: f64| (found - wanted).abs() <= 1e-9 * wanted.abs();

        let mut answers: Vec<(&str, &[&str])> = vec![(row.question, std::slice::from_ref(typed))];
        answers.extend(DRAWING.iter().filter(|(words, _)| *words != row.question));
        let mut person = Scripted::new(&answers);
        let asked = asked(&mut person, None).expect("answers enough");
        assert!(!person.said.contains("Needed"), "{typed}: {}", person.said);
        let found = (row.read)(&decoded(&asked));
        assert!(
            close(found),
            "{typed} at the keyboard: {found}, not {wanted}"
        );

        let texts = files(row.file, row.table, row.key, typed);
        let (scenario, told) = read(&texts).unwrap_or_else(|found| panic!("{typed}: {found:#?}"));
        let found = (row.read)(&scenario);
        assert!(close(found), "{typed} in a file: {found}, not {wanted}");
        // What stands without a unit is read back, in the file's.
        if typed.ends_with(|c: char| c.is_ascii_digit()) && row.table != "[work]" {
            let said = told.iter().find_map(Diagnostic::taken_as);
            assert!(
                said.is_some_and(|said| said.starts_with(typed)),
                "{typed}: {told:#?}"
            );
            assert!(
                person.said.contains(&format!("Taken as {typed} ")),
                "{}",
                person.said
            );
        }
    }
}

/// What can't be meant, or means two things, is refused in either place, and says why.
#[test]
fn what_can_t_be_meant_is_refused_in_either_place() {
    for (typed, question, (file, table, key), says) in [
        ("5 deg", TAPER_ASKED, TAPER, "per side"),
        ("3 in", DRAG_ASKED, DRAG, "a force is wanted"),
        ("3 in 4 mm", FOOT_ASKED, FOOT, "wanted"),
        (
            "steady rest",
            "How is it held",
            (WORK, "[work]", "held"),
            "bears",
        ),
        (
            "chuck and follower rest",
            "How is it held",
            (WORK, "[work]", "held"),
            "on a taper that changes",
        ),
        ("15", FOOT_ASKED, FOOT, "15 thou"),
        ("400", "Speed", (WORK, "[passes]", "speed"), "400 rpm"),
    ] {
        let lines = [typed, ""];
        let mut answers: Vec<(&str, &[&str])> = vec![(question, &lines)];
        answers.extend(DRAWING.iter().filter(|(words, _)| *words != question));
        if question == TAPER_ASKED {
            answers[0] = (question, &["5 deg", "3/4 in/ft"]);
        }
        let mut person = Scripted::new(&answers);
        asked(&mut person, None).expect("answers enough");
        let needed = person.said.lines().find(|line| line.contains("Needed"));
        assert!(
            needed.is_some_and(|line| line.contains(says)),
            "{typed}: {}",
            person.said
        );

        let told = read(&files(file, table, key, typed)).expect_err(typed);
        let told: Vec<String> = told
            .iter()
            .filter(|d| d.severity == Severity::Error)
            .map(|d| format!("{}: {}", d.message, d.hint))
            .collect();
        assert!(
            told.iter().any(|line| line.contains(says)),
            "{typed}: {told:#?}"
        );
    }
    // No DRO, where a step is asked for, is an answer.
    let (scenario, _) =
        read(&files(File::Lathe, "[readout]", "step", "no DRO")).expect("no readout");
    let (unknown, _) = read(&files(File::Lathe, "[readout]", "step", "don't know")).expect("open");
    assert_eq!(scenario.lathe.readout_step, unknown.lathe.readout_step);
}
