//! Steps ten to thirteen: slower tapers, preload, gauging, putting back.

use tautway_sim::lesson::{PreloadLesson, Tried};
use tautway_sim::quantity::{INCHES_PER_FOOT, Units};
use tautway_sim::scenario::Toward;

use super::page::{self, State, Step, measure, say};
use super::told::{Told, pictures};
use tautway_words::{Block, Instead, Pictures, starred};

pub fn all(told: &Told<'_>) -> Vec<Step> {
    vec![slower(told), preload(told), gauge(told), put_back(told)]
}

fn taper_name(ratio: f64, units: Units) -> String {
    match units {
        Units::Inch => {
            let per_foot = INCHES_PER_FOOT * ratio;
            match per_foot {
                x if (x - 0.75).abs() < 1e-9 => "3/4 in/ft".to_owned(),
                x if (x - 0.25).abs() < 1e-9 => "1/4 in/ft".to_owned(),
                x => format!("{x:.0} in/ft"),
            }
        }
        Units::Metric => format!("1:{:.0}", 1.0 / ratio),
    }
}

fn slower(told: &Told<'_>) -> Step {
    let rows: Vec<Vec<String>> = told
        .lesson
        .tapers
        .iter()
        .map(|row| {
            let name = taper_name(row.taper, told.units);
            vec![
                if row.within_guide {
                    name
                } else {
                    format!("{name} (beyond this guide)")
                },
                told.travel_in_a_column(row.lost),
                told.travel_in_a_column(row.run_in),
                String::new(),
            ]
        })
        .collect();
    let ratio = |from: f64, to: f64| {
        let of = |taper: f64| {
            told.lesson
                .tapers
                .iter()
                .find(|row| (row.taper - taper / INCHES_PER_FOOT).abs() < 1e-9)
                .map_or(1.0, |row| row.lost - row.foot)
        };
        of(to) / of(from)
    };
    let costs = ratio(2.0, 0.75);
    let (steep, slow) = (
        taper_name(2.0 / INCHES_PER_FOOT, told.units),
        taper_name(0.75 / INCHES_PER_FOOT, told.units),
    );
    let answer = if costs.is_finite() {
        format!(
            "The slack across the bed is the same; the guide needs more carriage to cross it. From \
             {steep} to {slow} it costs *{costs:.1} times* the travel, foot aside. The slack \
             doesn't change the taper: it shifts the start and the size."
        )
    } else {
        "This drive has no slack: nothing but the foot's is lost, at any taper.".to_owned()
    };
    Step {
        number: 10,
        title: "A slower taper, the same slack",
        state: State::Off,
        question: "The guide goes from a steep taper to a slow one. What becomes of the run-in?"
            .to_owned(),
        cautions: Vec::new(),
        hands: vec![
            "Set the guide to one more taper of the table and repeat step 1.".to_owned(),
            "Before you choose a way: is there so much room at the starting end?".to_owned(),
        ],
        pieces: vec![page::table(
            [
                "Taper",
                "Lost on reversal",
                "Start before the taper",
                "Measured",
            ]
            .map(str::to_owned)
            .to_vec(),
            rows,
        )],
        answer: vec![say(answer)],
    }
}

fn preload(told: &Told<'_>) -> Step {
    let lesson = told.lesson;
    let mut cautions = told.cautions(&["preload-on", "preload-strong", "preload-into-cut"]);
    cautions.splice(0..0, told.caution("air-on"));
    let mut step = Step {
        number: 11,
        title: "Hold the slide: none, too weak, right, wrong way",
        state: State::Screen,
        question: "A weight or cylinder on the slide: how strong, and which way?".to_owned(),
        cautions,
        hands: vec![
            "Look at the pictures. At the lathe only a weight on a cord, tool clear of the work, \
             main switch off: repeat step 1 with it, out of the cut."
                .to_owned(),
            "Take it off before anything is uncoupled or slackened; air off and bled first."
                .to_owned(),
        ],
        pieces: Vec::new(),
        answer: Vec::new(),
    };
    let Some(preload) = &lesson.preload else {
        step.pieces.push(say(format!(
            "A preload is for a slide that is drawn away, and that can't be cut here ({}). Pulled \
             in, guide and cut push the same way and none is needed.",
            told.out(&lesson.drawn)
        )));
        return step;
    };
    step.pieces.push(forces(told, preload));
    step.pieces.push(page::measures(vec![
        measure("To start the slide (step 6)", told.force(preload.starts)),
        measure("Twice that", told.force(preload.plain_rule)),
    ]));
    step.pieces.push(page::blank("How strong should it be?"));
    step.pieces.push(page::choose(
        "Which way must it push the slide here?",
        &["toward you", "away from you"],
    ));
    step.pieces.push(page::blank(
        "The wrong way may read steady. Why is it still never used?",
    ));
    step.answer = preload_answer(told, preload);
    step
}

/// The four to look at, one at a time.
fn forces(told: &Told<'_>, preload: &PreloadLesson) -> Block {
    let instead = |name: &str, label: String, warning: &str| Instead {
        name: name.to_owned(),
        label: label.into(),
        warning: starred(warning),
    };
    let mut all = vec![instead("drawn", "none".to_owned(), "")];
    for tried in &preload.tried {
        let (name, words, warning) = match tried.tried {
            Tried::Weak => ("weak", "too weak", ""),
            Tried::Right => ("right", "right", ""),
            Tried::Wrong => (
                "wrong",
                "wrong way (screen only)",
                "*ON THE SCREEN ONLY. Never cut like this:* the preload pushes the tool into the \
                 work. If anything lets go, it digs in.",
            ),
        };
        let label = format!("{words}: {}", told.force(tried.force.abs()));
        all.push(instead(name, label, warning));
    }
    let caption = "Drawn away, held by the force chosen above".to_owned();
    Block::Pictures(Pictures {
        instead: all,
        ..pictures(&[("drawn", caption)], false)
    })
}

fn preload_answer(told: &Told<'_>, preload: &PreloadLesson) -> Vec<Block> {
    let mut rows = Vec::new();
    let mut row = |name: &str, force: Option<f64>, cut: &tautway_sim::lesson::Taught| {
        let (taken, waves) = cut.outcome.as_ref().map_or_else(
            || ("not cut".to_owned(), String::from("-")),
            |o| (told.height(o.taken), told.height(o.waves)),
        );
        rows.push(vec![
            name.to_owned(),
            force.map_or_else(|| "0".to_owned(), |n| told.force(n.abs())),
            taken,
            waves,
            if cut.is_steady() {
                "steady"
            } else {
                "floats or changes"
            }
            .to_owned(),
        ]);
    };
    row("none", None, &told.lesson.drawn);
    for tried in &preload.tried {
        let name = match tried.tried {
            Tried::Weak => "too weak",
            Tried::Right => "right",
            Tried::Wrong => "wrong way, never cut",
        };
        row(name, Some(tried.force), &tried.cut);
    }
    let toward = match preload.toward {
        Toward::Operator => "toward you",
        Toward::Away => "away from you",
    };
    let right = preload.advised.map_or_else(
        || "No force is right on this job: pull in instead.".to_owned(),
        |force| format!("Right here: *{}*.", told.force(force)),
    );
    let weak = if preload.weak_is_worse {
        "Too weak is worse than none here: it nearly balances the drag, and then the push-off \
         alone decides."
    } else {
        "Too weak does nothing good: it nearly balances the drag, and then the push-off alone \
         decides."
    };
    vec![
        page::table(
            ["preload", "force", "took per side", "waves", "slide"]
                .map(str::to_owned)
                .to_vec(),
            rows,
        ),
        say(format!(
            "It must push *out of the cut, {toward}*, with at least twice the force that starts \
             the slide: {}. {right} {weak} More air is not better: above 100 lbf (445 N) it can \
             break a hand.",
            told.force(preload.plain_rule)
        )),
        say(
            "The wrong way may read steady because it also holds the slide on one face, but the \
             one that lets the tool fall into the work. It is shown, never cut.",
        ),
    ]
}

fn gauge(told: &Told<'_>) -> Step {
    let sheet = &told.lesson.sheet;
    let example = sheet.standoff.get(2).or_else(|| sheet.standoff.first());
    let mut pieces = Vec::new();
    let mut answer = Vec::new();
    if let Some(row) = example {
        let off = told.slack(row.standoff);
        pieces.push(page::blank(format!(
            "The gauge stands off {off} too much. Metal still to take, on diameter:"
        )));
        pieces.push(page::blank("And on a dial per side:"));
        answer.push(say(format!(
            "{off} of standoff is *{}* on diameter, *{}* per side: standoff times the taper on \
             diameter.",
            told.slack(row.on_diameter),
            told.slack(row.per_side)
        )));
    }
    pieces.push(page::blank("Your gauge's standoff, work cool:"));
    pieces.push(page::choose(
        "Blue comes off at the big end only: the guide's tailstock end goes",
        &["toward you", "away from you"],
    ));
    answer.push(page::table(
        ["standoff", "on diameter", "per side"]
            .map(str::to_owned)
            .to_vec(),
        sheet
            .standoff
            .iter()
            .map(|row| {
                vec![
                    told.slack(row.standoff),
                    told.slack(row.on_diameter),
                    told.slack(row.per_side),
                ]
            })
            .collect(),
    ));
    let (big, small) = match sheet.bears_big {
        Toward::Operator => ("toward you", "away from you"),
        Toward::Away => ("away from you", "toward you"),
    };
    answer.push(say(format!(
        "Blue at the big end only: guide's tailstock end *{big}*; at the small end only: *{small}*."
    )));
    Step {
        number: 12,
        title: "Gauge, standoff to dial, blue, correct",
        state: State::Off,
        question: "The gauge doesn't go home. How much is that on the dial, and is it the size or \
                   the taper?"
            .to_owned(),
        cautions: Vec::new(),
        hands: vec![
            "Spindle stopped, work cool and clean. Try the gauge, measure the standoff.".to_owned(),
            "Blue the gauge thinly, turn it a little, see where it bears.".to_owned(),
        ],
        pieces,
        answer,
    }
}

/// What is put back, and what forgetting it does.
fn put_back(told: &Told<'_>) -> Step {
    let mut things: Vec<(&str, &str)> = vec![
        (
            "Air off and bled, weight or spring off, first of all",
            "The slide flies when the guide is let go.",
        ),
        (
            "Uncoupled slide locked before the spindle starts",
            "Nothing holds the slide; the first cut throws it.",
        ),
        (
            "Foot free",
            "With the shoe locked too, the carriage is tied to the bed: something breaks.",
        ),
        ("Guide at zero", "The next straight job comes out tapered."),
    ];
    if told.plain() {
        things.push((
            "Cross nut back in",
            "The dial moves nothing, and the slide is held by nobody.",
        ));
    }
    things.extend([
        (
            "Slide gib as it was",
            "The slide drags; on the next reversal everything winds up more.",
        ),
        (
            "Top slide back to its mark",
            "Every depth of the next job is off.",
        ),
        (
            "Tailstock at zero",
            "The next job between centres comes out tapered.",
        ),
        (
            "Cross feed and slide lock as they belong, attachment idle",
            "Lock on or feed in with the attachment coupled breaks something.",
        ),
    ]);
    Step {
        number: 13,
        title: "Put back",
        state: State::Off,
        question: "What has to be put back, and what happens if one forgets it?".to_owned(),
        cautions: Vec::new(),
        hands: vec!["Main switch off. Put back one thing after the other, tick it.".to_owned()],
        pieces: vec![
            page::ticks(things.iter().map(|(what, _)| *what)),
            page::table(
                vec!["Forgotten".to_owned(), "What happens".to_owned()],
                things
                    .iter()
                    .map(|(what, _)| vec![(*what).to_owned(), String::new()])
                    .collect(),
            ),
        ],
        answer: vec![page::table(
            vec!["Forgotten".to_owned(), "What happens".to_owned()],
            things
                .iter()
                .map(|(what, so)| vec![(*what).to_owned(), (*so).to_owned()])
                .collect(),
        )],
    }
}
