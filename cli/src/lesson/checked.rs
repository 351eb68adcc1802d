//! What the blanks of a lesson should say, how near is near enough, and under which name it is kept.

use serde_json::{Map, Value, json};
use tautway_sim::quantity::Units;
use tautway_sim::scenario::{End, Kind, Toward};
use tautway_sim::setup::Pull;

use super::answers;
use super::told::Told;
use crate::texts;

/// Share that counts as right of what is measured by hand, and of what is reckoned or read off.
const MEASURED: f64 = 0.2;
const RECKONED: f64 = 0.01;
/// Steps whose numbers are reckoned or read off a readout.
const BY_RECKONING: [usize; 3] = [3, 4, 12];

/// For the scripts; nothing in it ends the element.
pub fn written(told: &Told<'_>, read: &texts::Read) -> String {
    let lesson = told.lesson;
    let units = match told.units {
        Units::Inch => "inch",
        Units::Metric => "metric",
    };
    let [job, lathe] = &read.texts;
    let same = fingerprint(&[&job.text, &lathe.text]);
    let key = format!(
        "tautway lesson {} {} {units} {same:016x}",
        lesson.job, lesson.lathe
    );
    let about = format!("Lesson: {} on {}", lesson.job, lesson.lathe);
    let checked = json!({ "key": key, "about": about, "units": units, "steps": steps(told) });
    checked.to_string().replace('<', "\\u003c")
}

/// Tells one text from another; the same on every build.
fn fingerprint(texts: &[&str]) -> u64 {
    let bytes = texts.iter().flat_map(|text| text.bytes().chain([0]));
    bytes.fold(0xcbf2_9ce4_8422_2325, |sum, byte| {
        (sum ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
    })
}

fn steps(told: &Told<'_>) -> Value {
    let mut steps = Map::new();
    for number in 0..=13 {
        let within = if BY_RECKONING.contains(&number) {
            RECKONED
        } else {
            MEASURED
        };
        let blanks = blanks(number, told);
        steps.insert(
            format!("step-{number}"),
            json!({ "within": within, "blanks": blanks }),
        );
    }
    let ideas = json!({ "within": MEASURED, "blanks": answers::judged() });
    steps.insert("true-or-false".to_owned(), ideas);
    Value::Object(steps)
}

/// What is asked, as it stands on the page, and what is right.
fn blanks(step: usize, told: &Told<'_>) -> Vec<(String, String)> {
    let lesson = told.lesson;
    let side = |toward: Toward| match toward {
        Toward::Operator => "toward you",
        Toward::Away => "away from you",
    };
    let is = |asked: &str, right: String| (asked.to_owned(), right);
    match step {
        3 => lesson
            .zero
            .iter()
            .map(|zero| {
                let both = [zero.early_taper, zero.late_taper].map(|taper| told.taper(taper));
                is(
                    "What taper does each of the two readings seem to mean?",
                    both.join(" / "),
                )
            })
            .collect(),
        4 => {
            let misread = &lesson.misread;
            let (reading, travel) = (
                told.slack(misread.reading),
                told.travel(lesson.sheet.guide.travel),
            );
            vec![
                (
                    format!("{reading} over {travel}: what taper on diameter?"),
                    told.taper(misread.taper),
                ),
                is("And per side?", told.taper(0.5 * misread.taper)),
                is("Inside the drawing?", "no".to_owned()),
                is(
                    "The guide's tailstock end goes",
                    side(misread.toward).to_owned(),
                ),
                is("How far?", told.slack(misread.nudge)),
            ]
        }
        5 => lesson
            .cards
            .iter()
            .map(|card| {
                let kind = match card.kind {
                    Kind::Outside => "Outside",
                    Kind::Inside => "Bore",
                };
                let end = match card.big_end {
                    End::Headstock => "left",
                    End::Tailstock => "right",
                };
                let toward = if card.pulls[0] == Pull::In {
                    "\u{2190} toward the headstock"
                } else {
                    "toward the tailstock \u{2192}"
                };
                (
                    format!("{kind}, big end {end}. It pulls in when fed"),
                    toward.to_owned(),
                )
            })
            .collect(),
        6 => lesson
            .depths
            .rows
            .iter()
            .map(|row| {
                let wins = if row.push_off > row.drag {
                    "push-off"
                } else {
                    "drag"
                };
                (
                    format!("{}, Your guess", super::cut_steps::depth(told, row.depth)),
                    wins.to_owned(),
                )
            })
            .collect(),
        11 => lesson
            .preload
            .iter()
            .flat_map(|preload| {
                let strong = preload
                    .advised
                    .map(|force| is("How strong should it be?", told.force(force)));
                let way = is(
                    "Which way must it push the slide here?",
                    side(preload.toward).to_owned(),
                );
                strong.into_iter().chain([way])
            })
            .collect(),
        12 => {
            let standoff = &lesson.sheet.standoff;
            let gauge = standoff.get(2).or_else(|| standoff.first()).map(|row| {
                let off = told.slack(row.standoff);
                [
                    (
                        format!(
                            "The gauge stands off {off} too much. Metal still to take, on diameter:"
                        ),
                        told.slack(row.on_diameter),
                    ),
                    is("And on a dial per side:", told.slack(row.per_side)),
                ]
            });
            let blue = is(
                "Blue comes off at the big end only: the guide's tailstock end goes",
                side(lesson.sheet.bears_big).to_owned(),
            );
            gauge.into_iter().flatten().chain([blue]).collect()
        }
        _ => Vec::new(),
    }
}
