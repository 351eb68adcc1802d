//! A lathe file and a job file to start from, with a comment on every line worth one.

mod answers;

use std::fmt::Write as _;

pub use answers::{JobAnswers, LatheAnswers, StartAnswer, ThreadAnswer};

use super::numbers::{About, Number, attachment, with_attachment, without_attachment};
use super::readings::Reads;
use super::{AttachmentKind, Condition, End, Kind, SpindleNose};
use crate::quantity::Units;

const DONT_KNOW: &str = "don't know";

/// A line of names goes no further than this.
const WIDTH: usize = 84;

/// Writes `key = "value"  # comment`.
#[derive(Default)]
struct Page {
    text: String,
    table: &'static str,
    /// `slide.drag` for each line.
    written: Vec<String>,
}

impl Page {
    /// Opens a table.
    fn table(&mut self, table: &'static str) {
        self.text(&format!("\n[{table}]"));
        self.table = table;
    }

    /// The numbers of a table that have no line.
    fn further(
        &self,
        table: &str,
        rows: impl Iterator<Item = &'static dyn Number>,
    ) -> Vec<&'static str> {
        rows.map(|row| row.about())
            .filter(|about| about.table() == table)
            .filter(|about| !self.written.iter().any(|key| key == about.key))
            .map(About::name)
            .collect()
    }

    /// A remark, on as many lines as it needs.
    fn remark(&mut self, text: &str) {
        let mut line = "#".to_owned();
        for word in text.split(' ') {
            if line.len() + 1 + word.len() > WIDTH {
                self.text(&std::mem::replace(&mut line, "#".to_owned()));
            }
            line.push(' ');
            line.push_str(word);
        }
        self.text(&line);
    }

    fn line(&mut self, key: &str, value: &str, comment: &str) {
        let quoted = toml::Value::from(value).to_string();
        self.bare(key, &quoted, comment);
    }

    fn open(&mut self, key: &str, value: Option<&String>, comment: &str) {
        self.line(key, value.map_or(DONT_KNOW, String::as_str), comment);
    }

    fn flag(&mut self, key: &str, value: Option<bool>, comment: &str) {
        match value {
            Some(flag) => self.bare(key, if flag { "true" } else { "false" }, comment),
            None => self.line(key, DONT_KNOW, comment),
        }
    }

    fn bare(&mut self, key: &str, value: &str, comment: &str) {
        self.written.push(format!("{}.{key}", self.table));
        let line = format!("{key} = {value}");
        // Writing to a String can't fail.
        let _ = if comment.is_empty() {
            writeln!(self.text, "{line}")
        } else {
            writeln!(self.text, "{line:<42} # {comment}")
        };
    }

    fn text(&mut self, text: &str) {
        self.text.push_str(text);
        self.text.push('\n');
    }
}

fn quoted(text: &str) -> String {
    toml::Value::from(text).to_string()
}

/// A lathe file from what is known.
pub fn lathe(answers: &LatheAnswers) -> String {
    let mut page = Page::default();
    page.text("# One lathe with its taper attachment. Write \"don't know\" wherever nobody does:");
    page.text("# the condition then stands in. A spread is written \"0.06 in +- 0.01 in\" or");
    page.text("# \"0.05 in to 0.07 in\".");
    page.line("name", &answers.name, "what the shop calls it");
    let units = match answers.units {
        Units::Inch => "inch",
        Units::Metric => "metric",
    };
    page.line("units", units, "inch or metric: what answers come in");
    let condition = answers.condition.map_or(DONT_KNOW, |c| match c {
        Condition::Good => "good",
        Condition::Ordinary => "ordinary",
        Condition::Worn => "worn",
        Condition::Junk => "junk",
    });
    page.line("condition", condition, "good, ordinary, worn or junk");
    page.table("attachment");
    if answers.no_attachment {
        page.line("kind", "none", "telescoping, plain or none");
    } else {
        attachment_table(&mut page, answers);
    }
    page.table("slide");
    page.open(
        "drag",
        answers.drag.as_ref(),
        "by hand, once moving (test 4)",
    );
    page.open(
        "breakaway",
        answers.breakaway.as_ref(),
        "to start it over to keep it moving, 1 or more",
    );
    let further = page.further("slide", with_attachment());
    page.remark(&format!(
        "Also known here: gib_drag, {}.",
        further.join(", ")
    ));
    page.table("spindle");
    let nose = answers.nose.map_or(DONT_KNOW, |n| match n {
        SpindleNose::ScrewedOn => "screwed on",
        SpindleNose::CamLock => "cam lock",
        SpindleNose::KeyDrive => "key drive",
        SpindleNose::Bolted => "bolted",
    });
    page.line("nose", nose, "screwed on, cam lock, key drive or bolted");
    page.flag("reverse", answers.reverse, "can it run backward?");
    page.table("posts");
    page.flag("rear", answers.rear_post, "a tool post behind the work?");
    page.table("readout");
    page.open(
        "step",
        answers.readout_step.as_ref(),
        "of the readout or indicator on the slide, as it shows",
    );
    let reads = answers.readout_reads.map_or(DONT_KNOW, |r| match r {
        Reads::Diameter => "diameter",
        Reads::Radius => "radius",
        Reads::Indicator => "indicator",
    });
    page.line(
        "reads",
        reads,
        "diameter (twice the slide's movement), radius or indicator",
    );
    let mut tables: Vec<_> = with_attachment()
        .filter(|row| row.is_of_lathe())
        .map(|row| row.about().table())
        .filter(|table| !["attachment", "slide"].contains(table))
        .collect();
    tables.dedup();
    let further: Vec<_> = tables
        .iter()
        .filter_map(|table| {
            let mut names = page.further(table, with_attachment());
            if *table == "top_slide" {
                names.push("locked");
            }
            names.extend(page.further(table, without_attachment()));
            if *table == "tailstock" {
                names.push("offset_centre");
            }
            (!names.is_empty()).then(|| format!("[{table}] {}", names.join(", ")))
        })
        .collect();
    page.text("");
    page.remark(&format!("Further tables: {};", further.join("; ")));
    page.text("# [measured], which `tautway lathe` writes: what gave each number.");
    page.text
}

fn attachment_table(page: &mut Page, answers: &LatheAnswers) {
    let kind = answers.kind.map_or(DONT_KNOW, |k| match k {
        AttachmentKind::Telescoping => "telescoping",
        AttachmentKind::Plain => "plain",
    });
    page.line(
        "kind",
        kind,
        "telescoping: the cross dial works; plain: the nut is let go; or none",
    );
    page.open(
        "slack",
        answers.slack.as_ref(),
        "all of it along the cross-slide (test 1)",
    );
    page.open(
        "foot_slack",
        answers.foot_slack.as_ref(),
        "foot and rod, along the bed (test 2)",
    );
    page.open(
        "drive_spring",
        answers.drive_spring.as_ref(),
        "whole drive, seated (test 5)",
    );
    page.open(
        "guide_travel",
        answers.guide_travel.as_ref(),
        "usable, along the guide",
    );
    page.open("steepest", answers.steepest.as_ref(), "on diameter");
    let parts = attachment::TOTAL_SLACK.about.overrides;
    let further = page.further(
        "attachment",
        with_attachment().filter(|row| !parts.contains(&row.about().key)),
    );
    let parts: Vec<_> = page.further(
        "attachment",
        with_attachment().filter(|row| parts.contains(&row.about().key)),
    );
    page.remark(&format!(
        "Parts, if measured (test 3): {}. Also known here: {}.",
        parts.join(", "),
        further.join(", ")
    ));
}

/// A job file from what is known.
pub fn job(answers: &JobAnswers) -> String {
    let mut page = Page::default();
    page.text("# One taper to make. Write \"don't know\" wherever nobody does.");
    page.line("name", &answers.name, "");
    page.line("lathe", &answers.lathe, "the lathe file, beside this one");
    page.table("work");
    let kind = match answers.kind {
        Kind::Outside => "outside",
        Kind::Inside => "inside",
    };
    page.line("kind", kind, "outside or inside");
    let big_end = match answers.big_end {
        End::Headstock => "headstock",
        End::Tailstock => "tailstock",
    };
    page.line(
        "big_end",
        big_end,
        "which end is big: headstock or tailstock",
    );
    page.line(
        "taper",
        &answers.taper,
        "on diameter, unless it says per side",
    );
    page.open(
        "tolerance",
        answers.tolerance.as_ref(),
        "on the taper, with its signs",
    );
    if !answers.length.is_empty() {
        page.line("length", &answers.length, "of the taper, along the axis");
    }
    page.open(
        "gauge_plane",
        answers.gauge_plane.as_ref(),
        "or how far from the big end",
    );
    if !answers.diameter.is_empty() {
        page.line("diameter", &answers.diameter, "there");
    }
    page.open(
        "size_tolerance",
        answers.size_tolerance.as_ref(),
        "on that diameter",
    );
    page.line("material", &answers.material, "");
    page.open(
        "held",
        answers.held.as_ref(),
        "chuck, chuck and centre, between centres; and steady rest",
    );
    if let Some(at) = &answers.steady_at {
        let table = format!("{{ at = {} }}", quoted(at));
        page.bare("steady", &table, "from the jaws to its band");
    }
    page.open(
        "from_jaws",
        answers.from_jaws.as_ref(),
        "from the jaws to the taper",
    );
    page.open(
        "room_headstock",
        answers.room_headstock.as_ref(),
        "room to run past that end",
    );
    page.open(
        "room_tailstock",
        answers.room_tailstock.as_ref(),
        "room to run past that end",
    );
    match &answers.start {
        Some(StartAnswer::Straight(diameter)) => {
            let table = format!("{{ straight = {} }}", quoted(diameter));
            page.bare("start", &table, "or { roughed = \"0.020 in\" } per side");
        }
        Some(StartAnswer::Roughed(stock)) => {
            let table = format!("{{ roughed = {} }}", quoted(stock));
            page.bare("start", &table, "per side; or { straight = \"...\" }");
        }
        Some(StartAnswer::Tapered(taper, diameter)) => {
            let table = format!(
                "{{ taper = {}, diameter = {} }}",
                quoted(taper),
                quoted(diameter)
            );
            page.bare(
                "start",
                &table,
                "the taper that is there, at the gauge plane",
            );
        }
        None => page.line(
            "start",
            DONT_KNOW,
            "{ straight = \"...\" } or { roughed = \"...\" }",
        ),
    }
    page.open(
        "surface",
        answers.surface.as_ref(),
        "turned in this setting, re-chucked in a ...",
    );
    let further = page.further("work", with_attachment()).join(", ");
    page.remark(&format!(
        "Also known here: waves_allowed, beyond, outside_diameter, {further}; between_centres, the \
         length between the centres' points, if it can be held so."
    ));
    page.table("tool");
    page.open("nose_radius", answers.nose_radius.as_ref(), "");
    page.open(
        "shape",
        answers.shape.as_ref(),
        "insert shape, or hss; or give entering_angle",
    );
    page.open("edge", answers.edge.as_ref(), "fresh, used or dull");
    if answers.kind == Kind::Inside {
        let of = |value: &Option<String>| quoted(value.as_deref().unwrap_or(DONT_KNOW));
        let bar = format!(
            "{{ diameter = {}, stick_out = {} }}",
            of(&answers.bar_diameter),
            of(&answers.bar_stick_out)
        );
        page.bare(
            "bar",
            &bar,
            "and edge_out: how far the edge stands out of its side",
        );
    }
    let further = page.further("tool", with_attachment()).join(", ");
    page.remark(&format!("Also known here: material, {further}."));
    page.table("passes");
    page.open("rough", answers.rough.as_ref(), "depth per side");
    if answers.finish.is_empty() {
        page.line("finish", DONT_KNOW, "last passes in order, per side");
    } else {
        let list: Vec<_> = answers.finish.iter().map(|depth| quoted(depth)).collect();
        page.bare(
            "finish",
            &format!("[{}]", list.join(", ")),
            "last passes in order, per side",
        );
    }
    page.open("feed", answers.feed.as_ref(), "finishing, per turn");
    page.open("speed", answers.speed.as_ref(), "rpm or sfm");
    page.bare("spring", "0", "passes at the end with the dial left alone");
    let further = page.further("passes", with_attachment()).join(", ");
    page.remark(&format!(
        "Also known here: touch_off (paper, feel, blue or indicator), {further}."
    ));
    page.text("\n# A force that holds the slide to one side, when there is one:");
    page.text("# [preload]");
    page.text("# toward = \"toward the operator\"");
    page.text("# weight = \"40 lbf\"");
    let mut further = page.further("cutting", with_attachment());
    further.insert(1, "exponent");
    page.text("");
    page.remark(&format!(
        "Better known than the table of materials: [cutting] {}.",
        further.join(", ")
    ));
    thread_table(&mut page, answers.thread.as_ref());
    page.text
}

fn thread_table(page: &mut Page, thread: Option<&ThreadAnswer>) {
    page.text(
        "\n# A thread on the taper, when there is one; the diameter is then that over the crests.",
    );
    let Some(thread) = thread else {
        page.text("# [thread]");
        page.text("# hand = \"right\"");
        page.text(
            "# form = \"taper pipe\"  # 60 degree, 55 degree rounded, V-0.040 and the like, own",
        );
        page.text("# threads_per_inch = \"11-1/2\"  # or pitch");
        page.text("# passes = 12  # or each by its depth; all keys: tautway thread --help");
        return;
    };
    page.text("[thread]");
    page.table = "thread";
    page.line("hand", thread.hand.as_deref().unwrap_or("right"), "");
    if let Some(form) = &thread.form {
        page.line("form", form, "taper pipe, 60 degree, 55 degree rounded ...");
    }
    if let Some(threads) = &thread.threads_per_inch {
        page.line("threads_per_inch", threads, "or pitch");
    }
    page.text("# All keys: tautway thread --help");
}
