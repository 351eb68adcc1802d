//! What is asked about the lathe.

use tautway_sim::quantity::Units;
use tautway_sim::readings::Reads;
use tautway_sim::scenario::{AttachmentKind, Condition, SpindleNose};

use super::answers::{Answers, nothing_of_a_lathe};
use super::question::{File, Question, choice};

const YES_NO: &[(&str, bool)] = &[("yes", true), ("no", false)];

fn picked<T: Copy>(answer: Option<String>, words: &[(&str, T)]) -> Result<Option<T>, String> {
    answer.map(|said| choice(&said, words)).transpose()
}

/// A question that is left to its default in most.
const PLAIN: Question = Question {
    key: "",
    file: File::Lathe,
    first: None,
    group: "the lathe",
    words: "",
    such_as: ["", ""],
    list: &[],
    help: "",
    set: |_, _| Ok(()),
    applies: Answers::asks_of_the_lathe,
    needed: |_| false,
};

const OF_ATTACHMENT: Question = Question {
    group: "the attachment",
    applies: |a| a.asks_of_the_lathe() && !a.lathe.no_attachment,
    ..PLAIN
};

/// The questions; of those that are not among the first, what tells most in general comes first.
pub const QUESTIONS: &[Question] = &[
    Question {
        key: "units",
        first: Some(1),
        words: "Do you think in inch or metric",
        list: &["inch", "metric"],
        help: "The units that numbers without one are in, and that answers come in.",
        set: |a, said| {
            let words = &[("inch", Units::Inch), ("metric", Units::Metric)];
            a.lathe.units = picked(said, words)?.unwrap_or(Units::Inch);
            Ok(())
        },
        ..PLAIN
    },
    Question {
        key: "condition",
        first: Some(2),
        words: "What state is it in",
        list: &["good", "ordinary", "worn", "junk"],
        help: "One word for the whole machine: it stands in for every number nobody measured.",
        set: |a, said| {
            let words = &[
                ("good", Condition::Good),
                ("ordinary", Condition::Ordinary),
                ("worn", Condition::Worn),
                ("junk", Condition::Junk),
            ];
            a.lathe.condition = picked(said, words)?;
            Ok(())
        },
        ..PLAIN
    },
    Question {
        key: "attachment.kind",
        first: Some(3),
        words: "Is the taper attachment telescoping (the cross dial still works), plain (the \
                cross nut is let go), or is there none",
        list: &["telescoping", "plain", "none"],
        help: "Telescoping: the cross-feed screw stretches, and the dial sets the depth. Plain: \
               the cross-feed nut is disconnected, and the top slide sets the depth.",
        set: |a, said| {
            let words = &[
                ("telescoping", Some(AttachmentKind::Telescoping)),
                ("plain", Some(AttachmentKind::Plain)),
                ("none", None),
            ];
            let kind = picked(said, words)?;
            a.lathe.no_attachment = kind == Some(None);
            a.lathe.kind = kind.flatten();
            Ok(())
        },
        ..PLAIN
    },
    Question {
        key: "slide.drag",
        words: "The pull that keeps the cross-slide moving by hand",
        such_as: ["14 lbf to 22 lbf", "60 N to 100 N"],
        help: "Hook a spring scale to the tool post, nut and attachment free, and pull level: what \
               it reads while the slide creeps.",
        set: |a, said| {
            a.lathe.drag = said;
            Ok(())
        },
        ..PLAIN
    },
    Question {
        key: "attachment.slack",
        words: "All slack along the cross-slide, if you have measured it",
        such_as: ["0.060 in +- 0.010 in", "1.5 mm +- 0.25 mm"],
        help: "With the attachment coupled, what the slide can be pushed and pulled before \
               anything holds it.",
        set: |a, said| {
            a.lathe.slack = said;
            Ok(())
        },
        ..OF_ATTACHMENT
    },
    Question {
        key: "attachment.foot_slack",
        words: "Slack of the foot and its rod, along the bed",
        such_as: ["0.015 in", "0.4 mm"],
        help: "The foot is the clamp on the bed that holds the guide bar back: how far the bar can \
               be pushed along the bed.",
        set: |a, said| {
            a.lathe.foot_slack = said;
            Ok(())
        },
        ..OF_ATTACHMENT
    },
    Question {
        key: "attachment.drive_spring",
        words: "Pull for one thou of spring (Enter if never measured)",
        such_as: ["60 lbf/thou", "10 N/um"],
        help: "How hard one pulls the slide, its slack taken up, to move it by one thou.",
        set: |a, said| {
            a.lathe.drive_spring = said;
            Ok(())
        },
        ..OF_ATTACHMENT
    },
    Question {
        key: "attachment.guide_travel",
        words: "How long is the usable guide",
        such_as: ["11 in", "280 mm"],
        help: "How far the shoe can slide along the guide bar.",
        set: |a, said| {
            a.lathe.guide_travel = said;
            Ok(())
        },
        ..OF_ATTACHMENT
    },
    Question {
        key: "attachment.steepest",
        words: "The steepest taper the guide swings to, on diameter",
        such_as: ["3 in/ft", "250 mm/m"],
        help: "What the scale at the guide's end goes up to.",
        set: |a, said| {
            a.lathe.steepest = said;
            Ok(())
        },
        ..OF_ATTACHMENT
    },
    Question {
        key: "slide.breakaway",
        words: "Starting pull divided by running pull",
        such_as: ["1.3", "1.3"],
        help: "The pull that just starts the slide, over the pull that keeps it moving.",
        set: |a, said| {
            a.lathe.breakaway = said;
            Ok(())
        },
        ..PLAIN
    },
    Question {
        key: "spindle.reverse",
        words: "Can the spindle run backward",
        list: &["yes", "no"],
        help: "Some ways are cut with the spindle in reverse and the tool turned over.",
        set: |a, said| {
            a.lathe.reverse = picked(said, YES_NO)?;
            Ok(())
        },
        ..PLAIN
    },
    Question {
        key: "spindle.nose",
        words: "How is the chuck held",
        list: &["screwed on", "cam lock", "key drive", "bolted"],
        help: "A chuck that is screwed on may come off when the spindle runs backward.",
        set: |a, said| {
            let words = &[
                ("screwed on", SpindleNose::ScrewedOn),
                ("threaded", SpindleNose::ScrewedOn),
                ("cam lock", SpindleNose::CamLock),
                ("key drive", SpindleNose::KeyDrive),
                ("bolted", SpindleNose::Bolted),
            ];
            a.lathe.nose = picked(said, words)?;
            Ok(())
        },
        ..PLAIN
    },
    Question {
        key: "posts.rear",
        words: "Is there a tool post behind the work",
        list: &["yes", "no"],
        help: "A post on the far side cuts from behind, which holds the slide the other way.",
        set: |a, said| {
            a.lathe.rear_post = picked(said, YES_NO)?;
            Ok(())
        },
        ..PLAIN
    },
    Question {
        key: "readout.step",
        words: "The step of the readout or indicator on the slide",
        such_as: ["0.0005 in", "0.01 mm"],
        help: "The finest it shows. No DRO: press Enter, or give the dial's finest mark.",
        set: |a, said| {
            a.lathe.readout_step =
                said.filter(|said| !matches!(&*said.to_lowercase(), "no dro" | "none"));
            Ok(())
        },
        ..PLAIN
    },
    Question {
        key: "readout.reads",
        words: "Move the cross-slide 0.100 by the dial's per-side marks: the readout shows 0.200 \
                (diameter), 0.100 (radius), or it is an indicator",
        list: &["diameter", "radius", "indicator"],
        help: "Whether its numbers are of the diameter or of the slide itself.",
        set: |a, said| {
            let words = &[
                ("diameter", Reads::Diameter),
                ("radius", Reads::Radius),
                ("indicator", Reads::Indicator),
            ];
            a.lathe.readout_reads = picked(said, words)?;
            Ok(())
        },
        ..PLAIN
    },
    Question {
        key: "name",
        words: "What does the shop call this lathe",
        help: "The name that answers and sheets give it.",
        set: |a, said| {
            a.lathe.name = said.unwrap_or_else(|| nothing_of_a_lathe().name);
            Ok(())
        },
        ..PLAIN
    },
];
