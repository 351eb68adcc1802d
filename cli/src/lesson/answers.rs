//! What stands at the end: wrong ideas to catch, the sheet to fill in, and the answers apart.

use maud::{Markup, html};
use tautway_sim::quantity::Quantity;
use tautway_sim::quantity::show::TaperForms;

use tautway_words::{Block, Group, Role};

use super::page::{self, Step, say};
use super::told::Told;
use tautway_screens::screen::words;

/// Ideas that sound right, and what is to be said of each.
const WRONG: [(&str, &str); 6] = [
    (
        "With the tool at the back, the guide pulls it in.",
        "False: step 5. The side is not in the rule; only feed, and outside or bore, decide.",
    ),
    (
        "The readout is wrong: it shows less than the guide is set to.",
        "False: step 3. It tells where the slide went; it was zeroed before the slack was out.",
    ),
    (
        "A spring pass is always safe.",
        "False: step 9. Drawn away it may go a whole slack deeper.",
    ),
    (
        "The taper on the drawing is per side.",
        "False: step 4. On diameter, unless the drawing says so; per side is half.",
    ),
    (
        "More air holds better.",
        "False: step 11. Twice what starts the slide is plenty; above 100 lbf (445 N) it can hurt.",
    ),
    (
        "Slack changes the taper.",
        "False: steps 7 and 10. It shifts the start and the size; slack that stays on one face \
         leaves the angle alone.",
    ),
];

/// A part of the page without a number.
pub struct Card {
    id: &'static str,
    heading: &'static str,
    blocks: Vec<Block>,
}

impl Card {
    /// On the page.
    pub fn asked(&self) -> Markup {
        let title = html! { (self.heading) };
        page::part(self.id, "card", &title, &self.blocks, false, &html! {})
    }

    /// For the hand-out.
    pub fn printed(self) -> Block {
        Block::Group(Group {
            heading: self.heading.into(),
            blocks: self.blocks,
            ..Group::default()
        })
    }
}

/// The wrong ideas, to be judged.
pub fn true_or_false() -> Card {
    let mut blocks = vec![say("Say why, with a number you measured.")];
    for (idea, _) in WRONG {
        blocks.push(page::choose(idea, &["true", "false"]));
        blocks.push(page::blank("Because"));
    }
    Card {
        id: "true-or-false",
        heading: "True or false?",
        blocks,
    }
}

/// Each, and how it is to be judged.
pub fn judged() -> Vec<(String, String)> {
    let each = WRONG.iter();
    each.map(|(idea, _)| ((*idea).to_owned(), "false".to_owned()))
        .collect()
}

/// What a finished setup sheet has on it, with the sheet's own numbers.
fn items(told: &Told<'_>) -> Vec<(String, String)> {
    let lesson = told.lesson;
    let sheet = &lesson.sheet;
    let forms = TaperForms::of(sheet.drawing.aim);
    let item = |what: &str, is: String| (what.to_owned(), is);
    let proves = sheet.guide.proves.map_or_else(
        || "this readout can't prove it".to_owned(),
        |(low, high)| format!("{} to {}", told.slack(low), told.slack(high)),
    );
    let last = sheet.passes.last().map_or_else(String::new, |pass| {
        format!(
            "set {} per side, dial {}",
            told.height(pass.set),
            told.height(pass.dial)
        )
    });
    let stop = sheet.cautions.first().map_or("", |caution| caution.stop_if);
    vec![
        item(
            "Taper aimed at, on diameter and per side",
            format!(
                "{}; {}",
                told.taper(sheet.drawing.aim.si()),
                forms.half_angle
            ),
        ),
        item(
            "The way: feed, side, tool face, spindle",
            words::way(&lesson.chosen),
        ),
        item("STOP IF", stop.to_owned()),
        item(
            "Guide needed, and what there is",
            format!(
                "{} of {}",
                told.travel(sheet.lathe_check.guide_needed),
                told.travel(sheet.lathe_check.guide_usable)
            ),
        ),
        item(
            "Run-in, every pass: start before the taper",
            if sheet.run_in.by_hand {
                format!(
                    "{} wanted, {} there is: seat by hand",
                    told.travel(sheet.run_in.wanted),
                    told.travel(sheet.run_in.room)
                )
            } else {
                told.travel(sheet.run_in.start)
            },
        ),
        item(
            "Guide: travel, aim on diameter, readings that prove it",
            format!(
                "{}; {}; {proves}",
                told.travel(sheet.guide.travel),
                told.slack(sheet.guide.aim)
            ),
        ),
        item(
            "Touch off: when, in which direction",
            "after the run-in, going the way you feed, at a marked place; dial to zero there"
                .to_owned(),
        ),
        item("Last pass", last),
        item(
            "One row of the standoff table",
            sheet.standoff.first().map_or_else(String::new, |row| {
                format!(
                    "{} off: {} on diameter",
                    told.slack(row.standoff),
                    told.slack(row.on_diameter)
                )
            }),
        ),
        item(
            "Put back",
            "air or weight off first; foot, guide, gib, top slide, tailstock, feed, lock"
                .to_owned(),
        ),
    ]
}

/// The sheet that the apprentice fills in.
pub fn assessment(told: &Told<'_>) -> Card {
    let rows = items(told).into_iter();
    let blocks = vec![
        say(
            "Fill it in from the drawing, the lathe and what you measured. The trainer checks it \
             against the program's.",
        ),
        page::table(
            vec!["On the sheet".to_owned(), "Yours".to_owned()],
            rows.map(|(what, _)| vec![what, String::new()]).collect(),
        ),
    ];
    Card {
        id: "assessment",
        heading: "Now alone: the setup sheet of this job",
        blocks,
    }
}

/// The answers.
pub fn all(told: &Told<'_>, steps: &[Step]) -> Vec<Block> {
    let mut blocks: Vec<Block> = steps.iter().filter_map(Step::answered).collect();
    let wrong = WRONG.map(|(idea, why)| vec![idea.to_owned(), why.to_owned()]);
    let checked = items(told).into_iter();
    let checked = checked.map(|(what, is)| vec![what, is]).collect();
    let of = |first: &str, second: &str| vec![first.to_owned(), second.to_owned()];
    blocks.push(Block::Group(Group {
        class: "answer-to",
        heading: "True or false?".into(),
        blocks: vec![
            page::table(of("Idea", "Answer"), wrong.to_vec()),
            say("*The setup sheet.* The whole of it is written by"),
            page::said_as(
                Role::Command,
                &format!("tautway sheet {} --out sheet.html", told.job),
            ),
            page::table(of("On the sheet", "Is"), checked),
        ],
        ..Group::default()
    }));
    if told.lesson.preload_left_off {
        blocks.push(say(
            "The job has a preload, which `tautway sheet` puts on its sheet and this lesson \
             leaves off.",
        ));
    }
    blocks
}
