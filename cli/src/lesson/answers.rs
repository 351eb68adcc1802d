//! What stands at the end: wrong ideas to catch, the sheet to fill in, and the answers apart.

use tautway_sim::quantity::Quantity;
use tautway_sim::quantity::show::TaperForms;

use super::page::{Piece, Step, say, write_answer, write_pieces};
use super::told::Told;
use crate::screen::words;

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

/// The wrong ideas, to be judged.
pub fn true_or_false(html: &mut String) {
    html.push_str(
        "<section class=\"card\" id=\"true-or-false\" aria-labelledby=\"title-tf\">\n\
         <h2 id=\"title-tf\">True or false?</h2>\n<p>Say why, with a number you measured.</p>\n",
    );
    for (at, (idea, _)) in WRONG.iter().enumerate() {
        write_pieces(
            html,
            &[
                Piece::Choose((*idea).to_owned(), vec!["true", "false"]),
                Piece::Blank("Because".to_owned()),
            ],
            &format!("tf{at}"),
        );
    }
    html.push_str("</section>\n");
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
pub fn assessment(html: &mut String, told: &Told<'_>) {
    html.push_str(
        "<section class=\"card\" id=\"assessment\" aria-labelledby=\"title-as\">\n\
         <h2 id=\"title-as\">Now alone: the setup sheet of this job</h2>\n",
    );
    write_pieces(
        html,
        &[
            say(
                "Fill it in from the drawing, the lathe and what you measured. The trainer checks it \
                 against the program's.",
            ),
            Piece::Table(
                vec!["On the sheet".to_owned(), "Yours".to_owned()],
                items(told)
                    .into_iter()
                    .map(|(what, _)| vec![what, String::new()])
                    .collect(),
            ),
        ],
        "assessment",
    );
    html.push_str("</section>\n");
}

/// The answers, hidden on the screen until asked for.
pub fn write(html: &mut String, told: &Told<'_>, steps: &[Step]) {
    html.push_str(
        "<section class=\"card\" id=\"answers-asked\" aria-label=\"Answers\">\n\
         <p>The answers stand apart. For the trainer, or when every blank is filled.</p>\n\
         <button type=\"button\" id=\"show-answers\" aria-controls=\"answers\" \
         aria-expanded=\"false\">Show the answers</button>\n</section>\n\
         <section class=\"card\" id=\"answers\" aria-labelledby=\"title-answers\" hidden>\n\
         <h2 id=\"title-answers\">Answers, for the trainer</h2>\n",
    );
    for step in steps {
        write_answer(html, step);
    }
    html.push_str("<h3>True or false?</h3>\n");
    let rows = WRONG
        .iter()
        .map(|(idea, why)| vec![(*idea).to_owned(), (*why).to_owned()])
        .collect();
    let checked = items(told)
        .into_iter()
        .map(|(what, is)| vec![what, is])
        .collect();
    write_pieces(
        html,
        &[
            Piece::Table(vec!["Idea".to_owned(), "Answer".to_owned()], rows),
            say("*The setup sheet.* The whole of it is written by"),
            Piece::Drawn(format!(
                "<pre>tautway sheet {} --out sheet.html</pre>\n",
                crate::markup::escaped(told.job)
            )),
            Piece::Table(vec!["On the sheet".to_owned(), "Is".to_owned()], checked),
        ],
        "checked",
    );
    if told.lesson.preload_left_off {
        write_pieces(
            html,
            &[say(
                "The job has a preload, which `tautway sheet` puts on its sheet and this lesson \
                 leaves off.",
            )],
            "left-off",
        );
    }
    html.push_str("</section>\n");
}
