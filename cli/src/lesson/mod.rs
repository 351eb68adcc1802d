//! The lesson as one HTML file that needs nothing else: words, questions, blanks, moving pictures.
//!
//! Order and questions are the shop's; the numbers are those of the record. Answers stand apart at
//! the end, hidden on the screen until asked for and on a sheet of their own in print.

mod page;
mod told;
mod answers;
mod cards;
mod cut_steps;
mod end_steps;
mod first_steps;

use std::fmt::Write;

use serde_json::{Value, json};
use tautway_sim::caution::{Caution, NOT_AN_INSPECTION};
use tautway_sim::lesson::{Lesson, Taught, Tried};
use tautway_sim::scenario::Scenario;

use crate::markup::escaped;
use crate::page::picture::of_motion;
use crate::plan::LessonFormat;
use crate::screen::words::Tapers;
use page::Step;
use told::Told;

const LOOK: &str = include_str!("look.css");
const DRAWING: &str = include_str!("../page/assets/drawing.css");
/// What draws and plays the motion, in the order in which one needs the other.
const PLAYER: [&str; 4] = [
    include_str!("../page/assets/ink.js"),
    include_str!("../page/assets/drive.js"),
    include_str!("../page/assets/track.js"),
    include_str!("../page/assets/player.js"),
];
const SCRIPT: &str = include_str!("lesson.js");
/// Frames of a cut that a picture holds at most.
const MOST_TURNS: usize = 240;
/// What every lesson has near its beginning.
const OPENING: &str = "<meta name=\"generator\" content=\"tautway lesson";
/// First key of a lesson as JSON.
const JSON_OPENING: &str = "a_tautway_lesson";

/// Whether a file's text is a lesson that this program wrote.
pub fn is_lesson(text: &str) -> bool {
    let beginning = text.lines().take(8).collect::<Vec<_>>().join("\n");
    beginning.contains(OPENING) || beginning.contains(JSON_OPENING)
}

/// The lesson in the form asked for; `job` is the job file's name, as it would be typed.
pub fn written(lesson: &Lesson, scenario: &Scenario, job: &str, format: LessonFormat) -> String {
    match format {
        LessonFormat::Html => html(lesson, scenario, job),
        LessonFormat::Json => {
            let whole = json!({
                JSON_OPENING: {
                    "version": lesson.version,
                    "units": "SI: m, N; tapers as change of diameter over length",
                },
                "lesson": lesson,
                "not_an_inspection": NOT_AN_INSPECTION,
            });
            format!("{whole:#}\n")
        }
    }
}

fn steps(told: &Told<'_>) -> Vec<Step> {
    let mut steps = first_steps::all(told);
    steps.extend(cut_steps::all(told));
    steps.extend(end_steps::all(told));
    // What is left of the cautions stands where the first cut is made.
    let left: Vec<Caution> = told
        .lesson
        .cautions
        .iter()
        .filter(|caution| {
            !steps
                .iter()
                .any(|step| step.cautions.iter().any(|other| other.id == caution.id))
        })
        .copied()
        .collect();
    if let Some(cut) = steps.iter_mut().find(|step| step.number == 7) {
        cut.cautions.extend(left);
    }
    steps
}

fn html(lesson: &Lesson, scenario: &Scenario, job: &str) -> String {
    let told = Told {
        lesson,
        units: lesson.units,
        tapers: Tapers::within(&lesson.sheet.drawing.tolerance, lesson.units),
        job,
    };
    let steps = steps(&told);
    let mut html = format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         {OPENING} {}\">\n\
         <meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; \
         style-src 'unsafe-inline'; script-src 'unsafe-inline'\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <title>Lesson: {}</title>\n<style>\n{LOOK}{DRAWING}</style>\n</head>\n<body>\n",
        escaped(lesson.version),
        escaped(&lesson.job),
    );
    head(&mut html, &told, &steps);
    html.push_str("<main>\n");
    for step in &steps {
        page::write_step(&mut html, step);
    }
    answers::true_or_false(&mut html);
    answers::assessment(&mut html, &told);
    answers::write(&mut html, &told, &steps);
    let _ = write!(
        html,
        "</main>\n<footer>\n<p><b>{}</b></p>\n<p>Numbers are predictions for one described lathe \
         and job, middle of every range; a measured number that differs is the lathe telling you \
         something. tautway {}, seed {}.</p>\n</footer>\n",
        escaped(NOT_AN_INSPECTION),
        escaped(lesson.version),
        lesson.seed
    );
    let pictures = pictures(lesson, scenario)
        .to_string()
        .replace('<', "\\u003c");
    let _ = write!(
        html,
        "<script type=\"application/json\" id=\"pictures\">{pictures}</script>\n\
         <script type=\"module\">\n{}{SCRIPT}</script>\n</body>\n</html>\n",
        player()
    );
    html
}

fn head(html: &mut String, told: &Told<'_>, steps: &[Step]) {
    let lesson = told.lesson;
    let note = lesson.note.as_deref().unwrap_or_default();
    let _ = write!(
        html,
        "<a class=\"skip\" href=\"#step-0\">Skip to the first step</a>\n<header>\n\
         <h1>Where the motion goes: a lesson on the taper attachment</h1>\n\
         <p><b>{}</b> on <b>{}</b>. {}</p>\n",
        escaped(&lesson.job),
        escaped(&lesson.lathe),
        escaped(note)
    );
    if lesson.preload_left_off {
        html.push_str(
            "<p>The job's own preload is left off in this lesson; step 11 is about it.</p>\n",
        );
    }
    if told.plain() {
        html.push_str(
            "<p>This is a plain attachment: the cross nut is let go and the guide moves the slide \
             by itself; depth is set with the top slide. The steps say so where it matters.</p>\n",
        );
    }
    html.push_str(
        "<p class=\"who\"><label>Name <input type=\"text\" autocomplete=\"off\"></label> \
         <label>Date <input type=\"text\" autocomplete=\"off\"></label> \
         <label>Trainer <input type=\"text\" autocomplete=\"off\"></label></p>\n\
         <p class=\"small\">Write the measured number beside the expected one. What you type stays \
         in this page only and is gone when you close it: print it to keep it.</p>\n\
         <div class=\"tools\"><button type=\"button\" id=\"print\">Print the hand-out</button></div>\n\
         <nav aria-label=\"Steps\"><ol start=\"0\">\n",
    );
    for step in steps {
        let _ = writeln!(
            html,
            "<li><a href=\"#step-{}\">{}</a></li>",
            step.number,
            page::marked(step.title)
        );
    }
    html.push_str("</ol></nav>\n</header>\n");
}

/// The scripts of the moving picture, joined by nothing.
fn player() -> String {
    PLAYER
        .iter()
        .flat_map(|script| script.lines())
        .filter(|line| !line.starts_with("import ") && !line.starts_with("export {"))
        .map(|line| line.strip_prefix("export ").unwrap_or(line).to_owned() + "\n")
        .collect()
}

/// The records that the pictures are drawn from, by name, each with what is said where there is
/// none.
fn pictures(lesson: &Lesson, scenario: &Scenario) -> Value {
    let one = |taught: &Taught| {
        let motion = taught.motion.clone()?;
        Some(of_motion(scenario, &taught.setup, motion, MOST_TURNS))
    };
    let mut all = serde_json::Map::new();
    let chosen = if lesson.chosen.pull() == lesson.pulled.pull {
        "pulled"
    } else {
        "drawn"
    };
    all.insert("chosen".to_owned(), json!(chosen));
    let mut put = |name: &str, taught: Option<&Taught>| {
        all.insert(name.to_owned(), json!(taught.and_then(one)));
    };
    put("pulled", Some(&lesson.pulled));
    put("drawn", Some(&lesson.drawn));
    put(
        "snugged",
        lesson.snugged.as_ref().map(|snugged| snugged.most()),
    );
    for (name, which) in [
        ("weak", Tried::Weak),
        ("right", Tried::Right),
        ("wrong", Tried::Wrong),
    ] {
        let tried = lesson.preload.as_ref().and_then(|p| p.tried(which));
        put(name, tried.map(|tried| &tried.cut));
    }
    Value::Object(all)
}
