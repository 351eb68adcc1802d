//! What is known of a lathe and of a job, as a person answers it.

use crate::quantity::Units;
use crate::scenario::readings::Reads;
use crate::scenario::{AttachmentKind, Condition, End, Kind, SpindleNose};

/// What is known of a lathe; texts are in shop notation, `None` is "don't know".
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LatheAnswers {
    /// What the shop calls it.
    pub name: String,
    /// The person's units.
    pub units: Units,
    /// One word for the whole machine.
    pub condition: Option<Condition>,
    /// There is no taper attachment: what is said of it says nothing.
    pub no_attachment: bool,
    /// Telescoping or plain.
    pub kind: Option<AttachmentKind>,
    /// All slack along the cross-slide.
    pub slack: Option<String>,
    /// Slack of the foot along the bed.
    pub foot_slack: Option<String>,
    /// Spring of the whole drive.
    pub drive_spring: Option<String>,
    /// Usable travel of the guide.
    pub guide_travel: Option<String>,
    /// Steepest taper.
    pub steepest: Option<String>,
    /// Hand drag of the cross-slide.
    pub drag: Option<String>,
    /// To start it over to keep it moving.
    pub breakaway: Option<String>,
    /// How the chuck is held.
    pub nose: Option<SpindleNose>,
    /// Whether the spindle runs backward.
    pub reverse: Option<bool>,
    /// Whether there is a rear tool post.
    pub rear_post: Option<bool>,
    /// Step of the readout.
    pub readout_step: Option<String>,
    /// What it counts.
    pub readout_reads: Option<Reads>,
}

impl Default for LatheAnswers {
    /// An example; its numbers are invented.
    fn default() -> Self {
        let text = |t: &str| Some(t.to_owned());
        Self {
            name: "the worn 15 inch lathe".to_owned(),
            units: Units::Inch,
            condition: Some(Condition::Worn),
            no_attachment: false,
            kind: Some(AttachmentKind::Telescoping),
            slack: text("0.064 in +- 0.008 in"),
            foot_slack: text("0.015 in"),
            drive_spring: None,
            guide_travel: text("11 in"),
            steepest: text("3 in/ft"),
            drag: text("14 lbf to 22 lbf"),
            breakaway: None,
            nose: Some(SpindleNose::CamLock),
            reverse: Some(true),
            rear_post: Some(false),
            readout_step: text("0.0005 in"),
            readout_reads: Some(Reads::Diameter),
        }
    }
}

/// The stock a job starts from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum StartAnswer {
    /// A plain bore or bar of this diameter.
    Straight(String),
    /// The taper roughed, with this left per side.
    Roughed(String),
    /// Another taper, and its diameter at the gauge plane.
    Tapered(String, String),
}

/// What is known of a thread.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ThreadAnswer {
    /// Its form.
    pub form: Option<String>,
    /// Threads per inch.
    pub threads_per_inch: Option<String>,
    /// Right or left.
    pub hand: Option<String>,
}

/// What is known of a job; texts are in shop notation, `None` is "don't know".
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct JobAnswers {
    /// What it is.
    pub name: String,
    /// The lathe file.
    pub lathe: String,
    /// Outside or inside.
    pub kind: Kind,
    /// Which end is big.
    pub big_end: End,
    /// Taper, on diameter.
    pub taper: String,
    /// Its tolerance with signs.
    pub tolerance: Option<String>,
    /// Length along the axis.
    pub length: String,
    /// Where the size is measured.
    pub gauge_plane: Option<String>,
    /// The size there.
    pub diameter: String,
    /// Tolerance on the size.
    pub size_tolerance: Option<String>,
    /// Material.
    pub material: String,
    /// How it is held.
    pub held: Option<String>,
    /// From the jaws to the band that a steady rest bears on, if there is one.
    pub steady_at: Option<String>,
    /// From the jaws to the taper.
    pub from_jaws: Option<String>,
    /// Run-in room at the headstock end.
    pub room_headstock: Option<String>,
    /// Run-in room at the tailstock end.
    pub room_tailstock: Option<String>,
    /// What is there to cut from.
    pub start: Option<StartAnswer>,
    /// How that surface came about.
    pub surface: Option<String>,
    /// Nose radius.
    pub nose_radius: Option<String>,
    /// Insert shape, or hss.
    pub shape: Option<String>,
    /// Fresh, used or dull.
    pub edge: Option<String>,
    /// Diameter of the boring bar (inside work only).
    pub bar_diameter: Option<String>,
    /// How far it sticks out.
    pub bar_stick_out: Option<String>,
    /// Depth of a roughing pass.
    pub rough: Option<String>,
    /// The finishing passes in order; empty is "don't know".
    pub finish: Vec<String>,
    /// Finishing feed.
    pub feed: Option<String>,
    /// Speed.
    pub speed: Option<String>,
    /// The thread, where there is one.
    pub thread: Option<ThreadAnswer>,
}

impl Default for JobAnswers {
    /// An example; its numbers are invented.
    fn default() -> Self {
        let text = |t: &str| Some(t.to_owned());
        Self {
            name: "bore of a tapered coupling".to_owned(),
            lathe: "lathe.toml".to_owned(),
            kind: Kind::Inside,
            big_end: End::Tailstock,
            taper: "1-1/2 in/ft".to_owned(),
            tolerance: text("+0.000 -0.030 in/ft"),
            length: "2-1/2 in".to_owned(),
            gauge_plane: text("at the big end"),
            diameter: "3.000 in".to_owned(),
            size_tolerance: text("+-0.005 in"),
            material: "4140 30 HRC".to_owned(),
            held: text("chuck"),
            steady_at: None,
            from_jaws: text("1 in"),
            room_headstock: text("1-1/4 in"),
            room_tailstock: text("4 in"),
            start: Some(StartAnswer::Straight("2.400 in".to_owned())),
            surface: text("turned in this setting"),
            nose_radius: text("1/32 in"),
            shape: text("80 degree diamond"),
            edge: text("fresh"),
            bar_diameter: text("1-1/4 in"),
            bar_stick_out: text("6 in"),
            rough: text("0.040 in"),
            finish: vec!["0.010 in".to_owned(), "0.005 in".to_owned()],
            feed: text("0.005 in"),
            speed: text("250 sfm"),
            thread: None,
        }
    }
}
