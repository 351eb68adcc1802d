//! The lesson as one HTML file that needs nothing else: words, questions, blanks, moving pictures.
//!
//! Order and questions are the shop's; the numbers are those of the record. Answers stand apart at
//! the end, hidden on the screen until asked for and on a sheet of their own in print.

mod page;
mod picture;
mod told;
mod answers;
mod bench_step;
mod cards;
mod cut_steps;
mod end_steps;
mod first_steps;
mod checked;
mod hand_out;

use maud::{Markup, PreEscaped, html};
use schemars::JsonSchema;
use serde::Serialize;
use serde_json::{Value, json};
use tautway_sim::caution::{Caution, NOT_AN_INSPECTION};
use tautway_sim::cut::Options;
use tautway_sim::expect::Expect;
use tautway_sim::lesson::{Lesson, Taught, Tried};
use tautway_sim::scenario::Scenario;
use tautway_words::html::{Page, Read, inner_blocks, opening, words};
use tautway_words::starred;

use crate::bench::POLICY;
use crate::plan::LessonFormat;
use crate::texts;
use bench_step::OnTheBench;
use page::Step;
use picture::of_motion;
use tautway_screens::screen::words::Tapers;
use tautway_screens::sheet::Paper;
use told::Told;

const LOOK: &str = include_str!("look.css");
const DRAWING: &str = include_str!("assets/drawing.css");
/// What draws and plays the motion, in the order in which one needs the other.
const PLAYER: [&str; 6] = [
    include_str!("../bench/assets/ink.js"),
    include_str!("assets/drive.js"),
    include_str!("assets/track.js"),
    include_str!("assets/player.js"),
    include_str!("assets/kept.js"),
    include_str!("assets/screens.js"),
];
const SCRIPT: &str = include_str!("lesson.js");
/// Frames of a cut that a picture holds at most.
const MOST_TURNS: usize = 240;
/// First key of a lesson as JSON.
const JSON_OPENING: &str = "a_tautway_lesson";

/// A lesson as JSON.
#[derive(Serialize, JsonSchema)]
pub struct Record<'a> {
    /// By what it was made.
    a_tautway_lesson: Head,
    /// What to expect.
    expect: &'a Option<Expect>,
    /// Its numbers.
    lesson: &'a Lesson,
    /// What it is not.
    not_an_inspection: &'static str,
}

/// By what it was made.
#[derive(Serialize, JsonSchema)]
struct Head {
    /// Version of the program.
    version: &'static str,
    /// Units of the numbers.
    #[schemars(extend("const" = UNITS))]
    units: &'static str,
}

const UNITS: &str = "SI: m, N; tapers as change of diameter over length";

/// Whether a file's text is a lesson that this program wrote.
pub fn is_lesson(text: &str) -> bool {
    let beginning = text.lines().take(8).collect::<Vec<_>>().join("\n");
    beginning.contains(&opening("lesson"))
        || beginning.contains(JSON_OPENING)
        || tautway_paper::is_ours(text, "lesson")
}

/// The lesson in the form asked for; `job` is the job file's name, as it would be typed, and the
/// options those that it was worked out with; printed on this paper, if any was asked for.
pub fn written(
    lesson: &Lesson,
    read: &texts::Read,
    options: Options,
    job: &str,
    (format, paper): (LessonFormat, Option<Paper>),
) -> Vec<u8> {
    let told = Told {
        lesson,
        units: lesson.units,
        tapers: Tapers::within(&lesson.sheet.drawing.tolerance, lesson.units),
        job,
        paper,
    };
    let bench = || OnTheBench::new(lesson, read, options);
    let text = match format {
        LessonFormat::Pdf => return hand_out::written(&told, &steps(&told), &bench()),
        LessonFormat::Html => page_of(&told, read, &bench()),
        LessonFormat::Json => {
            let a_tautway_lesson = Head {
                version: lesson.version,
                units: UNITS,
            };
            let whole = json!(Record {
                a_tautway_lesson,
                expect: &lesson.sheet.expect,
                lesson,
                not_an_inspection: NOT_AN_INSPECTION,
            });
            format!("{whole:#}\n")
        }
    };
    text.into_bytes()
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

fn page_of(told: &Told<'_>, read: &texts::Read, bench: &OnTheBench) -> String {
    let lesson = told.lesson;
    let steps = steps(told);
    // Safety is the very first page; the bench comes before the first thing done at the lathe.
    let (safety, rest) = steps.split_at(1);
    let asked = |step: &Step| step.asked(&bench.at_step(step.number, told));
    let mut answered = answers::all(told, &steps);
    answered.insert(1, bench.answered(told));
    let pictures = pictures(lesson, &read.scenario)
        .to_string()
        .replace('<', "\\u003c");
    Page {
        kind: "lesson",
        version: lesson.version,
        title: &format!("Lesson: {}", lesson.job),
        policy: Some(POLICY),
        look: &format!("{LOOK}{DRAWING}{}", told.paper.map_or("", Paper::rule)),
        before: head(told, &steps),
        main: html! {
            @for step in safety { (asked(step)) }
            (bench.asked())
            @for step in rest { (asked(step)) }
            (answers::true_or_false().asked())
            (answers::assessment(told).asked())
            section class="card" id="answers-asked" aria-label="Answers" {
                p { "The answers stand apart. For the trainer, or when every blank is filled." }
                button type="button" id="show-answers" aria-controls="answers" aria-expanded="false" {
                    "Show the answers"
                }
            }
            section class="card" id="answers" aria-labelledby="title-answers" hidden {
                h2 id="title-answers" { "Answers, for the trainer" }
                div class="within" { (inner_blocks(&answered, Read::OnScreen)) }
            }
        },
        after: html! {
            div id="screen-bar" class="on-screen" role="toolbar" aria-label="Steps" hidden {
                button type="button" id="screen-back" aria-label="The step before" { "\u{2190}" }
                span id="screen-at" role="status" {}
                button type="button" id="screen-on" aria-label="The next step" { "\u{2192}" }
                button type="button" class="turn-large" aria-pressed="false" { "Large letters" }
                button type="button" class="turn-screens" { "All steps" }
            }
            footer {
                (inner_blocks(&hand_out::foot(lesson), Read::OnScreen))
            }
            script type="application/json" id="pictures" { (PreEscaped(pictures)) }
            script type="application/json" id="checked" { (PreEscaped(checked::written(told, read))) }
            // Before the lesson's own script, which tells it of a guess that stands already.
            (bench.moving())
            script type="module" { (PreEscaped(player())) (PreEscaped(SCRIPT)) }
        },
    }
    .write()
}

fn head(told: &Told<'_>, steps: &[Step]) -> Markup {
    html! {
        a class="skip" href="#step-0" { "Skip to the first step" }
        header {
            (inner_blocks(&hand_out::head(told), Read::OnScreen))
            p class="who" {
                @for field in hand_out::WHO {
                    label { (field) " " input type="text" autocomplete="off"; } " "
                }
            }
            p class="small" {
                "Write the measured number beside the expected one, and let it be checked when you \
                 like. What you type is kept in this browser, for this job alone, and goes nowhere."
            }
            div class="tools" {
                button type="button" class="turn-screens" { "One step a screen" }
                button type="button" class="turn-large" aria-pressed="false" { "Large letters" }
                button type="button" id="print" { "Print the hand-out" }
                button type="button" id="copy-kept" { "Copy my answers" }
                button type="button" id="save-kept" { "Save my answers" }
                button type="button" id="clear-kept" { "Clear my answers" }
                span id="kept-status" role="status" {}
                textarea id="kept-text" aria-label="Your answers as text" rows="6" readonly hidden {}
            }
            nav aria-label="Steps" {
                ol start="0" {
                    @for step in steps {
                        @if step.number == 1 {
                            li class="between" { a href="#step-bench" { (bench_step::TITLE) } }
                        }
                        li value=(step.number) {
                            a href=(format!("#step-{}", step.number)) { (words(&starred(step.title))) }
                        }
                    }
                }
            }
        }
    }
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
