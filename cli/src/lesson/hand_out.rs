//! The lesson on paper: questions and blanks first, the answers on sheets of their own.

use tautway_paper::Print;
use tautway_screens::sheet::Paper;
use tautway_sim::caution::NOT_AN_INSPECTION;
use tautway_sim::lesson::Lesson;
use tautway_words::{Block, Document, Fact, Facts, Group, Layout, Words, plain, strong};

use super::answers;
use super::bench_step::{self, OnTheBench};
use super::page::{Step, say};
use super::told::Told;

/// Who fills it in, and when.
pub const WHO: [&str; 3] = ["Name", "Date", "Trainer"];

/// What it is a lesson on, on which job and lathe.
pub fn head(told: &Told<'_>) -> Vec<Block> {
    let lesson = told.lesson;
    let note = plain(lesson.note.as_deref().unwrap_or_default());
    let [job, lathe] = [&lesson.job, &lesson.lathe].map(|name| strong(&plain(name)));
    let mut page = Document::new();
    page.title("Where the motion goes: a lesson on the taper attachment");
    page.say("", format!("{job} on {lathe}. {note}"));
    if lesson.preload_left_off {
        page.say(
            "",
            "The job's own preload is left off in this lesson; step 11 is about it.",
        );
    }
    if told.plain() {
        page.say(
            "",
            "This is a plain attachment: the cross nut is let go and the guide moves the slide by \
             itself; depth is set with the top slide. The steps say so where it matters.",
        );
    }
    page.blocks
}

/// What its numbers are, and what they are not.
pub fn foot(lesson: &Lesson) -> Vec<Block> {
    let mut page = Document::new();
    page.say("", strong(NOT_AN_INSPECTION));
    page.say(
        "",
        format!(
            "Numbers are predictions for one described lathe and job, middle of every range; a \
             measured number that differs is the lathe telling you something. tautway {}, seed {}.",
            lesson.version, lesson.seed
        ),
    );
    page.blocks
}

/// The hand-out as PDF, on the paper asked for, or on what goes with the units.
pub fn written(told: &Told<'_>, steps: &[Step], bench: &OnTheBench) -> Vec<u8> {
    let lesson = told.lesson;
    let print = Print {
        kind: "lesson",
        version: lesson.version,
        title: &format!("Lesson: {}", plain(&lesson.job)),
        paper: told.paper.unwrap_or(Paper::of(told.units)).size(),
    };
    print.pages(&document(told, steps, bench))
}

fn document(told: &Told<'_>, steps: &[Step], bench: &OnTheBench) -> Document {
    let mut blocks = head(told);
    let blank = |who: &str| Fact {
        label: who.into(),
        value: Words::blank(),
        small: Words::default(),
    };
    blocks.push(Block::Facts(Facts {
        layout: Layout::Row,
        of: WHO.map(blank).to_vec(),
    }));
    blocks.push(say("Write the measured number beside the expected one."));
    // Safety first; the bench comes before the first thing done at the lathe.
    for step in steps {
        blocks.push(step.printed());
        if step.number == 0 {
            blocks.push(OnTheBench::printed());
        }
    }
    blocks.push(answers::true_or_false().printed());
    blocks.push(answers::assessment(told).printed());
    blocks.extend(foot(told.lesson));
    blocks.push(Block::PageBreak);
    blocks.push(Block::Heading("Answers, for the trainer".into()));
    let mut answered = answers::all(told, steps);
    answered.insert(1, bench.answered(told));
    blocks.push(Block::Group(Group {
        layout: Layout::Columns,
        blocks: answered,
        ..Group::default()
    }));
    blocks.push(Block::Group(Group {
        heading: bench_step::TITLE.into(),
        blocks: bench.drawn(),
        ..Group::default()
    }));
    Document { blocks }
}
