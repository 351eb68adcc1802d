//! What is asked about the lathe.

use tautway_sim::quantity::Units;
use tautway_sim::readings::Reads;
use tautway_sim::scenario::template::LatheAnswers;
use tautway_sim::scenario::{AttachmentKind, Condition, SpindleNose};

use super::question::{Question, choice};

/// Nothing known yet.
pub fn nothing() -> LatheAnswers {
    LatheAnswers {
        name: "the lathe".to_owned(),
        units: Units::Inch,
        condition: None,
        no_attachment: false,
        kind: None,
        slack: None,
        foot_slack: None,
        drive_spring: None,
        guide_travel: None,
        steepest: None,
        drag: None,
        breakaway: None,
        nose: None,
        reverse: None,
        rear_post: None,
        readout_step: None,
        readout_reads: None,
    }
}

const YES_NO: &[(&str, bool)] = &[("yes", true), ("no", false)];

fn picked<T: Copy>(answer: Option<String>, words: &[(&str, T)]) -> Result<Option<T>, String> {
    answer.map(|said| choice(&said, words)).transpose()
}

macro_rules! ask {
    ($key:literal, $words:literal, $such_as:expr, $set:expr) => {
        ask!($key, $words, $such_as, $set, |_| true)
    };
    ($key:literal, $words:literal, $such_as:expr, $set:expr, $applies:expr) => {
        Question {
            key: $key,
            words: $words,
            such_as: $such_as,
            set: $set,
            applies: $applies,
            needed: false,
        }
    };
}

/// The questions, in the order asked.
pub const QUESTIONS: &[Question<LatheAnswers>] = &[
    ask!(
        "name",
        "What does the shop call this lathe",
        ["", ""],
        |a, said| {
            a.name = said.unwrap_or_else(|| nothing().name);
            Ok(())
        }
    ),
    ask!(
        "units",
        "Do you think in inch or metric",
        ["", ""],
        |a, said| {
            let words = &[("inch", Units::Inch), ("metric", Units::Metric)];
            a.units = picked(said, words)?.unwrap_or(Units::Inch);
            Ok(())
        }
    ),
    ask!(
        "condition",
        "What state is it in: good, ordinary, worn or junk",
        ["", ""],
        |a, said| {
            let words = &[
                ("good", Condition::Good),
                ("ordinary", Condition::Ordinary),
                ("worn", Condition::Worn),
                ("junk", Condition::Junk),
            ];
            a.condition = picked(said, words)?;
            Ok(())
        }
    ),
    ask!(
        "attachment.kind",
        "Is the taper attachment telescoping (the cross dial still works), plain (the cross nut \
         is let go), or is there none",
        ["", ""],
        |a, said| {
            let words = &[
                ("telescoping", Some(AttachmentKind::Telescoping)),
                ("plain", Some(AttachmentKind::Plain)),
                ("none", None),
            ];
            let kind = picked(said, words)?;
            a.no_attachment = kind == Some(None);
            a.kind = kind.flatten();
            Ok(())
        }
    ),
    ask!(
        "attachment.slack",
        "All slack along the cross-slide, if you have measured it",
        ["0.060 in +- 0.010 in", "1.5 mm +- 0.25 mm"],
        |a, said| {
            a.slack = said;
            Ok(())
        },
        |a| !a.no_attachment
    ),
    ask!(
        "attachment.foot_slack",
        "Slack of the foot and its rod, along the bed",
        ["0.015 in", "0.4 mm"],
        |a, said| {
            a.foot_slack = said;
            Ok(())
        },
        |a| !a.no_attachment
    ),
    ask!(
        "attachment.drive_spring",
        "Pull for one thou of spring (Enter if never measured)",
        ["60 lbf/thou", "10 N/um"],
        |a, said| {
            a.drive_spring = said;
            Ok(())
        },
        |a| !a.no_attachment
    ),
    ask!(
        "attachment.guide_travel",
        "How long is the usable guide",
        ["11 in", "280 mm"],
        |a, said| {
            a.guide_travel = said;
            Ok(())
        },
        |a| !a.no_attachment
    ),
    ask!(
        "attachment.steepest",
        "The steepest taper the guide swings to, on diameter",
        ["3 in/ft", "250 mm/m"],
        |a, said| {
            a.steepest = said;
            Ok(())
        },
        |a| !a.no_attachment
    ),
    ask!(
        "slide.drag",
        "The pull that keeps the cross-slide moving by hand",
        ["14 lbf to 22 lbf", "60 N to 100 N"],
        |a, said| {
            a.drag = said;
            Ok(())
        }
    ),
    ask!(
        "slide.breakaway",
        "Starting pull divided by running pull",
        ["1.3", "1.3"],
        |a, said| {
            a.breakaway = said;
            Ok(())
        }
    ),
    ask!(
        "spindle.nose",
        "How is the chuck held: screwed on, cam lock, key drive or bolted",
        ["", ""],
        |a, said| {
            let words = &[
                ("screwed on", SpindleNose::ScrewedOn),
                ("threaded", SpindleNose::ScrewedOn),
                ("cam lock", SpindleNose::CamLock),
                ("key drive", SpindleNose::KeyDrive),
                ("bolted", SpindleNose::Bolted),
            ];
            a.nose = picked(said, words)?;
            Ok(())
        }
    ),
    ask!(
        "spindle.reverse",
        "Can the spindle run backward: yes or no",
        ["", ""],
        |a, said| {
            a.reverse = picked(said, YES_NO)?;
            Ok(())
        }
    ),
    ask!(
        "posts.rear",
        "Is there a tool post behind the work: yes or no",
        ["", ""],
        |a, said| {
            a.rear_post = picked(said, YES_NO)?;
            Ok(())
        }
    ),
    ask!(
        "readout.step",
        "The step of the readout or indicator on the slide",
        ["0.0005 in", "0.01 mm"],
        |a, said| {
            a.readout_step =
                said.filter(|said| !matches!(&*said.to_lowercase(), "no dro" | "none"));
            Ok(())
        }
    ),
    ask!(
        "readout.reads",
        "Move the cross-slide 0.100 by the dial's per-side marks: the readout shows 0.200 \
         (diameter), 0.100 (radius), or it is an indicator",
        ["diameter", "diameter"],
        |a, said| {
            let words = &[
                ("diameter", Reads::Diameter),
                ("radius", Reads::Radius),
                ("indicator", Reads::Indicator),
            ];
            a.readout_reads = picked(said, words)?;
            Ok(())
        }
    ),
];
