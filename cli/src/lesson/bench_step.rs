//! The first thing to do: a minute on the bench, both cuts, guessed before they are seen.
//!
//! It stands between safety and step 1 and has no number, so that the steps keep theirs.

use maud::{Markup, html};
use serde_json::Value;
use tautway_browser_engine::bench::{Bench, Cut, both};
use tautway_browser_engine::edit;
use tautway_browser_engine::knobs::Stands;
use tautway_figures::Drawing;
use tautway_sim::compare::way;
use tautway_sim::cut::Options;
use tautway_sim::lesson::Lesson;
use tautway_sim::quantity::Units;
use tautway_sim::record::Seat;
use tautway_sim::scenario::{Scenario, decode};
use tautway_sim::setup::Setup;
use tautway_sim::verdict::NOT_SEEN;
use tautway_words::html::{Read as Reading, inner_blocks};
use tautway_words::{Block, Figure, Group, Role};
use toml_edit::DocumentMut;

use super::page::{self, State, said_as, say};
use super::told::Told;
use crate::bench::{self, Begins};
use crate::texts::{Read, Text};
use tautway_screens::screen::words;

/// What the list of steps calls it.
pub const TITLE: &str = "One minute on the bench: which cut holds?";
/// What a force does to the slide.
const PUSHES: [&str; 2] = ["off the work, as the cut does", "into the work, against it"];

/// The bench of a lesson.
pub struct OnTheBench {
    record: Value,
    bench: Bench,
    still: Vec<Drawing>,
}

impl OnTheBench {
    /// Both cuts of the lesson's job, without a preload, as everywhere in the lesson.
    pub fn new(lesson: &Lesson, read: &Read, options: Options) -> Self {
        let mut scenario = read.scenario.clone();
        scenario.job.preload = None;
        let taught = if lesson.pulled.outcome.is_some() {
            &lesson.pulled
        } else {
            &lesson.drawn
        };
        let setup = taught.setup;
        let [job, lathe] = &read.texts;
        let (job, scenario) = as_taught(job, lathe, scenario, &read.scenario);
        Self {
            record: bench::begun(&job, lathe, &scenario, &setup, options),
            still: still(&scenario, &setup, options),
            bench: Bench::new(&scenario, &setup, None, options),
        }
    }

    /// What is asked.
    fn before() -> Vec<Block> {
        let (how, state) = State::Screen.words();
        vec![
            said_as(Role::State(how), state),
            said_as(
                Role::Question,
                "The same job on the same lathe at the same dial, cut twice: which cut holds its \
                 size? Guess first.",
            ),
            say(
                "*Pulled in:* the guide moves the slide into the work as the carriage feeds. \
                 *Drawn away:* fed the other way, it moves the slide off the work. Drag is the \
                 ways' friction on the slide; in both the cut pushes the tool off the work.",
            ),
            page::choose(
                "Which cut holds its size?",
                &["pulled in", "drawn away", "both", "neither"],
            ),
            page::choose("Pulled in, the drag pushes the slide", &PUSHES),
            page::choose("Drawn away, the drag pushes the slide", &PUSHES),
        ]
    }

    /// The same for the hand-out.
    pub fn printed() -> Block {
        Block::Group(Group {
            heading: TITLE.into(),
            blocks: Self::before(),
            ..Group::default()
        })
    }

    /// The figures that tell it, for the answers of the hand-out.
    pub fn drawn(&self) -> Vec<Block> {
        let figures = self.still.iter().map(|drawing| {
            let svg = drawing.svg.clone();
            Block::Figure(Figure { svg })
        });
        figures.collect()
    }

    /// What is asked, and the place of the bench.
    pub fn asked(&self) -> Markup {
        let still = html! {
            p { "The bench that can be dragged needs scripts. Guess first: these stand still and tell it." }
            (bench::shown(&self.still))
        };
        html! {
            section id="step-bench" class="step" aria-labelledby="title-step-bench" {
                h2 id="title-step-bench" { (TITLE) }
                (inner_blocks(&Self::before(), Reading::OnScreen))
                div id="bench-live" {
                    p id="bench-waits" class="on-screen" {
                        "Mark all three; then the bench is yours, and the answer stands below it."
                    }
                    p id="bench-drag" class="on-screen" hidden {
                        b { "Now drag" } " the carriage: watch the pin and the arrows. Then turn \
                        slack and drag."
                    }
                    (bench::place(Begins::Guessed, still))
                }
                div class="on-screen" id="bench-told" aria-live="polite" {}
            }
        }
    }

    /// The answer, told after the guess and among the answers.
    pub fn answered(&self, told: &Told<'_>) -> Block {
        let [pulled, drawn] = &self.bench.cuts[..] else {
            return say("");
        };
        let names = ["pulled in", "drawn away"];
        let rows = names.iter().zip(&self.bench.cuts).map(|(name, cut)| {
            vec![
                (*name).to_owned(),
                words::forces((cut.push_off[0], cut.push_off[1]), told.units),
                format!(
                    "{}, {}",
                    words::forces((cut.drag[0], cut.drag[1]), told.units),
                    if cut.pull > 0.0 {
                        "off the work"
                    } else {
                        "into the work"
                    }
                ),
                size(told, cut),
                waves(told, cut),
            ]
        });
        let head = ["", "cut pushes off", "drag pushes", "size", "waves"];
        let mut blocks = vec![
            say(which(pulled, drawn)),
            say(
                "Drag works against the way the slide moves. Pulled in, the slide moves into the \
                 work: drag pushes it *off*, as the cut does. Drawn away it moves off the work: \
                 drag pushes it *in*, against the cut.",
            ),
            page::table(head.map(str::to_owned).to_vec(), rows.collect()),
        ];
        for (name, cut) in names.iter().zip(&self.bench.cuts) {
            if !cut.out.is_empty() {
                let why = cut.out.join("; ");
                blocks.push(say(format!("On this lathe {name} can't be cut: {why}.")));
            }
        }
        Block::Group(Group {
            id: "answer-bench".to_owned(),
            class: "answer-to",
            heading: TITLE.into(),
            blocks,
            ..Group::default()
        })
    }

    /// What can be tried on the bench at a step that speaks of a cut; the same two cuts.
    pub fn at_step(&self, number: usize, told: &Told<'_>) -> Markup {
        let snugged = told.lesson.snugged.as_ref().map(|gib| gib.hand[1]);
        let (knob, set, say) = match (number, snugged) {
            (6, _) => (
                "depth",
                Vec::new(),
                "Turn the depth. Drawn away, cut and drag push against each other: at which depth \
                 does neither win?",
            ),
            (7, _) => (
                "slack",
                Vec::new(),
                "The two cuts of this step. Drag the carriage from end to end, then close the slack.",
            ),
            (8, Some(hand)) => (
                "drag",
                self.turned("drag", hand),
                "The drag is set to what the snugged gib gives; the thin line is the cut before. \
                 Turn it to and fro.",
            ),
            (9, _) => (
                "depth",
                Vec::new(),
                "Turn the depth down, toward a spring pass: the cut pushes less and less. What \
                 holds the slide then?",
            ),
            (11, _) => (
                "weight",
                Vec::new(),
                "Put weight on the cord, out of the cut: from which force on does the pin, drawn \
                 away, stay on one wall?",
            ),
            _ => return html! {},
        };
        html! {
            details class="on-bench on-screen" {
                summary { "Guess first; then see it on the bench" }
                p { (say) }
                (bench::one_more(&format!("bench-{number}"), knob, &set))
            }
        }
    }

    /// A knob turned to a value in SI.
    fn turned(&self, id: &'static str, si: f64) -> Vec<(&'static str, String)> {
        let knob = self.bench.knobs.iter().find(|knob| knob.id == id);
        let at = |knob: &Stands| format!("{:.*} {}", knob.decimals, si / knob.si, knob.unit);
        knob.map(|knob| (id, at(knob))).into_iter().collect()
    }

    /// What moves it.
    pub fn moving(&self) -> Markup {
        bench::part(&self.record)
    }
}

/// The job's text as the lesson takes it: without its preload, in the units asked for. Where the
/// text can't say that, the bench keeps the file's units.
fn as_taught(job: &Text, lathe: &Text, taught: Scenario, read: &Scenario) -> (Text, Scenario) {
    let Ok(mut document) = job.text.parse::<DocumentMut>() else {
        return (job.clone(), read.clone());
    };
    let mut changed = false;
    if read.job.preload.is_some() {
        edit::remove(&mut document, &["preload"]);
        changed = true;
    }
    let text = |document: &DocumentMut, changed: bool| Text {
        name: job.name.clone(),
        text: if changed {
            document.to_string()
        } else {
            job.text.clone()
        },
    };
    let says = |text: &Text| decode(text.source(), lathe.source()).map(|(scenario, _)| scenario);
    let plain = text(&document, changed);
    if says(&plain).is_ok_and(|said| said == taught) {
        return (plain, taught);
    }
    let units = match taught.job.units {
        Units::Inch => "inch",
        Units::Metric => "metric",
    };
    edit::put(&mut document, &["units"], units);
    let other = text(&document, true);
    match says(&other) {
        Ok(said) if said == taught => (other, taught),
        _ => says(&plain).map_or_else(|_| (job.clone(), read.clone()), |said| (plain, said)),
    }
}

/// For whoever runs no scripts.
fn still(scenario: &Scenario, setup: &Setup, options: Options) -> Vec<Drawing> {
    let ways = both(setup).map(|setup| way(scenario, setup, Vec::new(), Vec::new(), options));
    let run: Vec<_> = ways.iter().filter_map(|way| way.run.as_ref()).collect();
    bench::drawings(&run, scenario.job.units)
}

fn holds(cut: &Cut) -> bool {
    cut.seat != Seat::Floating && cut.seat_margin > 0.0
}

fn loses(cut: &Cut) -> &'static str {
    if cut.seat == Seat::Floating {
        "the slide floats in its slack"
    } else {
        "the pin changes walls of its slot on the way"
    }
}

/// Which holds, and why.
fn which(pulled: &Cut, drawn: &Cut) -> String {
    let tight = "the pin stays tight on one wall of its slot from end to end";
    match (holds(pulled), holds(drawn)) {
        (true, true) => {
            let wins = if drawn.seat == Seat::Other {
                "the drag is the stronger all the way, and the pin rides on the back wall"
            } else {
                "the cut is the stronger all the way"
            };
            format!(
                "*Both hold here:* {tight}. Pulled in, cut and drag add up; drawn away they work \
                 against each other, but {wins}."
            )
        }
        (true, false) => format!(
            "*Pulled in holds its size:* cut and drag add up, and {tight}. Drawn away they work \
             against each other, and {}.",
            loses(drawn)
        ),
        (false, true) => format!(
            "*Drawn away holds its size:* {tight}. Pulled in, {}.",
            loses(pulled)
        ),
        (false, false) => format!(
            "*Neither holds its size:* pulled in, {}; drawn away, {}.",
            loses(pulled),
            loses(drawn)
        ),
    }
}

fn size(told: &Told<'_>, cut: &Cut) -> String {
    let off = told.height(cut.size_error.abs());
    if off == told.height(0.0) {
        "to size".to_owned()
    } else if cut.size_error < 0.0 {
        format!("{off} left on")
    } else {
        format!("{off} too deep")
    }
}

fn waves(told: &Told<'_>, cut: &Cut) -> String {
    if cut.waves <= NOT_SEEN {
        "none you would see".to_owned()
    } else {
        told.height(cut.waves)
    }
}
