//! Steps nought to five: safety and names, where the motion goes, the slacks, the zero, the guide,
//! which way it pulls.

use tautway_sim::quantity::Quantity;
use tautway_sim::scenario::{End, Kind, Toward};
use tautway_sim::setup::{Face, Rotation, Side};

use super::cards;
use super::page::{self, State, Step, measure, say};
use super::told::{Told, picture};
use tautway_screens::screen::words;
use tautway_words::{Block, Words};

pub fn all(told: &Told<'_>) -> Vec<Step> {
    vec![
        safety(told),
        reversal(told),
        slacks(told),
        zero(told),
        guide(told),
        pull(told),
    ]
}

fn safety(told: &Told<'_>) -> Step {
    let mut cautions = told.cautions(&[
        "hand-moves-at-rest",
        "guards",
        "end-of-travel",
        "lock-and-feed",
        "carriage-tied",
    ]);
    cautions.extend(told.caution("air-on"));
    cautions.extend(told.caution("lock-uncoupled"));
    Step {
        number: 0,
        title: "Safety, and the names of the parts",
        state: State::Off,
        question: "Where is the main switch? Which part is which, and which of them can hurt you?"
            .to_owned(),
        cautions,
        hands: [
            "Main switch off, and it stays off until a step says that the spindle turns.",
            "Tool out, or well clear; slide unable to run into the work.",
            "Air off and bled, weight or spring off, before anything is uncoupled or slackened.",
            "Pull and push from the operator's side. No loose rope or scale line near the chuck. \
             Never reach over a turning chuck, not for slack, chips or gauging.",
            "Wind the whole stroke by hand: guide, slide and screw must not come to their ends.",
            "Touch each part of the drawing on your lathe, say its name, tick it.",
        ]
        .map(str::to_owned)
        .to_vec(),
        pieces: vec![cards::parts(told.plain())],
        answer: vec![say(
            "The motion goes: bed, foot and rod, guide bar, shoe, screw (or draw bar), nut, slide, \
             tool. Every joint of it has slack; the lesson is about who takes it up and when. What \
             can hurt: a slide that flies when it is let go under air or a weight, a stroke that \
             runs off the guide, a foot clamped with the shoe locked, and a turning chuck.",
        )],
    }
}

fn reversal(told: &Told<'_>) -> Step {
    let lesson = told.lesson;
    let taper = told.taper(lesson.sheet.drawing.aim.si());
    let lost = told.travel(lesson.lost.total);
    let toward = words::toward(lesson.chosen.feed);
    let biggest = lesson
        .lost
        .parts
        .iter()
        .max_by(|a, b| a.1.total_cmp(&b.1))
        .map(|(name, travel)| format!("the most of it at: {name}, {}", told.travel(*travel)));
    let parts: Vec<String> = lesson
        .lost
        .parts
        .iter()
        .map(|(name, travel)| format!("{name} {}", told.travel(*travel)))
        .collect();
    Step {
        number: 1,
        title: "Where does the motion go?",
        state: State::Off,
        question: "You turn the carriage round. How far does it go before the slide follows?"
            .to_owned(),
        cautions: Vec::new(),
        hands: vec![
            format!("Attachment coupled, guide at {taper}, no cut."),
            "Indicator on the slide, reading against the carriage (or the readout). A second one \
             on the carriage against the bed, or the carriage's dial."
                .to_owned(),
            format!(
                "Move the carriage {toward} until both move steadily, and 1 in (25 mm) more. Zero both."
            ),
            "Move it back until the slide has moved 0.001 in (0.02 mm). Read the carriage."
                .to_owned(),
            "Three times; then the other way round, and at other places of the guide.".to_owned(),
        ],
        pieces: vec![
            page::measures(
                ["first time", "second time", "third time", "other way round"]
                    .map(|time| {
                        measure(
                            format!("Carriage travel before the slide follows, {time}"),
                            lost.clone(),
                        )
                    })
                    .into(),
            ),
            picture(
                &[(
                    "chosen",
                    "Watch the slide and the ways beside it: when does it stand still?".to_owned(),
                )],
                true,
            ),
        ],
        answer: vec![
            say(format!(
                "It is lost at every joint, one after the other: {}; together *{lost}*, {}.",
                parts.join(", "),
                biggest.unwrap_or_default()
            )),
            say(
                "The slide's drag holds it still until the last gap is closed. What you \
                 wait for the slide to show adds a little: more at a slow taper.",
            ),
        ],
    }
}

fn slacks(told: &Told<'_>) -> Step {
    let slacks = &told.lesson.slacks;
    let mut rows: Vec<[Words; 3]> = slacks
        .parts
        .iter()
        .map(|(name, slack)| measure(format!("Slack across the bed: {name}"), told.slack(*slack)))
        .collect();
    rows.push(measure("Sum of these", told.slack(slacks.sum)));
    rows.push(measure(
        "Foot and rod, along the bed",
        told.slack(slacks.foot),
    ));
    let half = match told.units {
        tautway_sim::quantity::Units::Inch => "taper in in/ft / 24",
        tautway_sim::quantity::Units::Metric => "half the taper",
    };
    rows.push(measure(
        format!("From step 1: (lost - foot) x {half}"),
        told.slack(slacks.from_reversal),
    ));
    let dial = if told.plain() {
        "Carriage locked, indicator on the tool post. Wind the top slide's handle to and fro until \
         the post moves each way: its screw's slack. (Locked and pushed one way, it has none.)"
    } else {
        "Carriage locked, indicator on the slide. Turn the cross dial to and fro until the slide \
         moves each way: nut backlash and thrust float together."
    };
    let mut hands = vec![dial.to_owned()];
    if !told.plain() {
        hands.push(
            "Indicator on the screw's end or yoke; push and pull the slide: thrust float. The \
             first less this is the nut."
                .to_owned(),
        );
    }
    hands.push("Indicator from the shoe to the guide bar, square to the bar: the shoe.".to_owned());
    hands.push(
        "Indicator from the bed to the end of the guide bar, along the bed; reverse as in step 1: \
         the travel before the bar stands still is the foot's."
            .to_owned(),
    );
    let mut pieces = Vec::new();
    if slacks.shared_by_guess {
        pieces.push(say(
            "The lathe file gives only the whole slack. How the parts share it is a guess: here \
             your measuring is better than the file.",
        ));
    }
    pieces.push(page::measures(rows));
    pieces.push(page::choose(
        "Do parts and step 1 agree within 20 %?",
        &["yes", "no"],
    ));
    pieces.push(page::blank("If not, which part was missed?"));
    Step {
        number: 2,
        title: "Find each slack: do they add up?",
        state: State::Off,
        question: "Which joint is loose, and do the joints explain all that step 1 lost?"
            .to_owned(),
        cautions: Vec::new(),
        hands,
        pieces,
        answer: vec![say(format!(
            "Here the joints come to {}, step 1 to {}: the rest is wind-up of the drive under the \
             slide's own drag, which no feeler finds. More than 20 % apart, and something was \
             missed: mostly the foot, or a screw worn in its middle.",
            told.slack(slacks.sum),
            told.slack(slacks.from_reversal)
        ))],
    }
}

fn zero(told: &Told<'_>) -> Step {
    let mut pieces = Vec::new();
    let mut answer = Vec::new();
    let mut hands = Vec::new();
    let question = if let Some(zero) = &told.lesson.zero {
        let (run, run_in) = (told.travel(zero.travel), told.travel(zero.run_in));
        let toward = words::toward(told.lesson.chosen.feed);
        hands.push(format!(
            "Carriage well back. Turn round, zero the readout *at once*, run {run} {toward}, read."
        ));
        hands.push(format!(
            "Back past the start. Turn round, run in {run_in} first, *then* zero, run {run}, read."
        ));
        pieces.push(page::measures(vec![
            measure(
                format!("Readout on diameter over {run}, zeroed too early"),
                told.slack(2.0 * zero.early),
            ),
            measure(
                format!("The same, zeroed after a run-in of {run_in}"),
                told.slack(2.0 * zero.late),
            ),
        ]));
        pieces.push(page::blank(
            "What taper does each of the two readings seem to mean?",
        ));
        answer.push(say(format!(
            "Too early it looks like {}, after the run-in it is {}. The readout was right both \
             times: it tells where the slide went, and the slide stood still for part of the way. \
             Zero after the run-in, going the way you feed.",
            told.taper(zero.early_taper),
            told.taper(zero.late_taper)
        )));
        format!("The same {run} of carriage, read twice. Which reading do you believe?")
    } else {
        answer.push(say(
            "The guide has no room for run-in and travel together: seat the slide by hand (spindle \
             stopped, tool clear), then zero.",
        ));
        "This guide is too short for a run-in and a travel to read over. How would you zero here?"
            .to_owned()
    };
    Step {
        number: 3,
        title: "Zero too early, and after the run-in",
        state: State::Off,
        question,
        cautions: Vec::new(),
        hands,
        pieces,
        answer,
    }
}

fn guide(told: &Told<'_>) -> Step {
    let lesson = told.lesson;
    let guide = &lesson.sheet.guide;
    let travel = told.travel(guide.travel);
    let reading = told.slack(lesson.misread.reading);
    let (low, high) = guide.proves.map_or_else(
        || (told.slack(guide.limits.0), told.slack(guide.limits.1)),
        |(low, high)| (told.slack(low), told.slack(high)),
    );
    let proves = if guide.proves.is_some() {
        "Readings that prove the taper, from / to"
    } else {
        "Limits (this readout is too coarse to prove them), from / to"
    };
    let nudge = format!(
        "{} on diameter over {travel} is *{}* at the guide's end ({} from the pivot).",
        told.slack(guide.nudge.reading),
        told.slack(guide.nudge.at_end),
        words::length(guide.nudge.radius, told.units),
    );
    let toward = side(lesson.misread.toward);
    let misread = &lesson.misread;
    Step {
        number: 4,
        title: "Set the guide from the readout",
        state: State::Off,
        question: format!(
            "The readout shows {reading} on diameter over {travel}. What does it mean?"
        ),
        cautions: Vec::new(),
        hands: vec![
            format!("Run in, zero both, run {travel}, read the slide on diameter."),
            "Turn the guide by its end, run in again, zero again, read again, until it is inside."
                .to_owned(),
        ],
        pieces: vec![
            page::measures(vec![
                measure(
                    format!("Readout on diameter over {travel}: aim"),
                    told.slack(guide.aim),
                ),
                measure(proves, format!("{low} / {high}")),
            ]),
            say(nudge),
            page::blank(format!("{reading} over {travel}: what taper on diameter?")),
            page::blank("And per side?"),
            page::choose("Inside the drawing?", &["yes", "no"]),
            page::choose(
                "The guide's tailstock end goes",
                &["toward you", "away from you"],
            ),
            page::blank("How far?"),
        ],
        answer: vec![say(format!(
            "{reading} over {travel} is *{}* on diameter, half of that ({}) per side: too steep \
             here (the drawing allows {} and {}). The guide's tailstock end goes *{toward}*, by \
             *{}*. The drawing's taper is on diameter; a readout that shows what the slide moves \
             shows half.",
            told.taper(misread.taper),
            told.taper(0.5 * misread.taper),
            told.taper(lesson.sheet.drawing.taper.si()),
            told.tapers.band(&lesson.sheet.drawing.tolerance),
            told.slack(misread.nudge),
        ))],
    }
}

fn side(toward: Toward) -> &'static str {
    match toward {
        Toward::Operator => "toward you",
        Toward::Away => "away from you",
    }
}

fn pull(told: &Told<'_>) -> Step {
    let behind = &told.lesson.behind;
    let mut pieces = vec![cards::four(&told.lesson.cards)];
    pieces.push(page::blank("So the rule, in one line:"));
    pieces.push(say(
        "*Now move the tool to the back of the same work, same feed.* Tick what changes:",
    ));
    for what in CHANGES {
        pieces.push(page::choose(what, &["changes", "stays"]));
    }
    let screw = |load| match load {
        tautway_sim::setup::ScrewLoad::Tension => "pulled",
        tautway_sim::setup::ScrewLoad::Compression => "pushed",
    };
    let row = |name: &str, stance: &tautway_sim::lesson::Stance| {
        vec![
            name.to_owned(),
            words::pull(stance.pull).to_owned(),
            match stance.setup.rotation {
                Rotation::Forward => "forward",
                Rotation::Reverse => "reversed",
            }
            .to_owned(),
            match stance.setup.face {
                Face::Up => "up",
                Face::Down => "down",
            }
            .to_owned(),
            match stance.hand {
                tautway_sim::scenario::Hand::Right => "right",
                tautway_sim::scenario::Hand::Left => "left",
            }
            .to_owned(),
            screw(stance.screw).to_owned(),
            match stance.press {
                tautway_sim::setup::Press::Down => "pressed down",
                tautway_sim::setup::Press::Lift => "lifted",
            }
            .to_owned(),
        ]
    };
    let head = [
        "",
        "the guide",
        "spindle",
        "tool face",
        "thread",
        "screw",
        "slide",
    ]
    .map(str::to_owned)
    .to_vec();
    let [front, rear] = &behind.cut;
    let mut answer = vec![
        cards_answer(told),
        say(
            "*The rule: the guide pulls the tool in when it feeds toward the end where the tool \
             has to stand deeper in the metal: outside from the big end to the small end, a bore \
             from the small end to the big end. The other way it draws the tool away.* Which side \
             of the work the tool stands on is not in it.",
        ),
        page::table(
            head,
            vec![
                row("tool in front", &behind.front),
                row("at the back, upside down", &behind.upside_down),
                row("at the back, spindle reversed", &behind.reversed),
            ],
        ),
        say(format!(
            "*At the back nothing changes* in what the guide does: seen from the tool, guide and \
             work are turned round together. Cut on the model, front and back with the spindle \
             reversed: takes {} and {} of the {} set, waves {} and {}. (The guide itself leans the \
             other way for the same taper, and a screw in push is a little softer than one in \
             pull.)",
            told.height(front.taken),
            told.height(rear.taken),
            told.height(front.set),
            told.height(front.waves),
            told.height(rear.waves),
        )),
    ];
    if behind.front.setup.side == Side::Front {
        answer.push(cards::plans(told));
    }
    Step {
        number: 5,
        title: "Which way does it pull?",
        state: State::Screen,
        question: "Does the guide pull the tool into the work, or draw it away? Four cards, then \
                   one line."
            .to_owned(),
        cautions: told.cautions(&["reverse-chuck", "tool-upside-down", "lifting-cut"]),
        hands: Vec::new(),
        pieces,
        answer,
    }
}

/// What may change when the tool goes to the back.
pub const CHANGES: [&str; 6] = [
    "Pulled in or drawn away",
    "Spindle's rotation, or which way up the tool is",
    "Hand of the thread it would cut",
    "Cross screw pulled or pushed",
    "Which way the guide bar leans",
    "Run-in needed",
];

fn cards_answer(told: &Told<'_>) -> Block {
    let rows = told
        .lesson
        .cards
        .iter()
        .map(|card| {
            let kind = match card.kind {
                Kind::Outside => "outside",
                Kind::Inside => "bore",
            };
            let end = match card.big_end {
                End::Headstock => "left",
                End::Tailstock => "right",
            };
            vec![
                format!("{kind}, big end {end}"),
                words::pull(card.pulls[0]).to_owned(),
                words::pull(card.pulls[1]).to_owned(),
            ]
        })
        .collect();
    page::table(
        [
            "card",
            "fed toward the headstock",
            "fed toward the tailstock",
        ]
        .map(str::to_owned)
        .to_vec(),
        rows,
    )
}
