//! The machine, described once: attachment, slide, spindle, and how loose each part is.

use super::known::Known;
use super::readings::Reads;
use super::thread::LeadScrew;
use crate::quantity::{Angle, Force, Length, Ratio, Stiffness, Taper, Units};
use schemars::JsonSchema;
use serde::Serialize;

/// One word for the whole machine; every number not given takes its default from it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Condition {
    /// Little used or freshly fitted.
    Good,
    /// The usual shop lathe.
    Ordinary,
    /// Loose, and known to be.
    Worn,
    /// Everything rattles.
    Junk,
}

/// How the follower drives the cross-slide.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum AttachmentKind {
    /// The cross screw stays in the drive; its bearing rides with the shoe.
    Telescoping,
    /// The nut is let go and the shoe bolted to the slide: depth is set with the top slide.
    Plain,
}

/// How the chuck is held on the spindle.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub enum SpindleNose {
    /// Screwed on: can unscrew in reverse.
    #[serde(rename = "screwed on")]
    ScrewedOn,
    /// Cam lock.
    #[serde(rename = "cam lock")]
    CamLock,
    /// Key drive, long taper with a nut.
    #[serde(rename = "key drive")]
    KeyDrive,
    /// Bolted flange.
    #[serde(rename = "bolted")]
    Bolted,
}

/// The taper attachment, from the bed to the cross screw.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Attachment {
    /// Whether the lathe has one at all. Where it hasn't, the rest says nothing.
    pub fitted: bool,
    /// Telescoping or plain.
    pub kind: AttachmentKind,
    /// Slack of the foot and its rod, along the bed.
    pub foot_slack: Known<Length>,
    /// Spring of foot, clamp and rod, along the bed.
    pub foot_spring: Known<Stiffness>,
    /// Friction of the guide bar on the carriage, along the bed: what lets the bar ride with the
    /// carriage until the foot stops it.
    pub bar_drag: Known<Force>,
    /// Slack of the shoe on the guide, square to the guide.
    pub shoe_slack: Known<Length>,
    /// End float of the thrust bearing or yoke.
    pub thrust_slack: Known<Length>,
    /// Backlash of cross screw and nut (telescoping only).
    pub nut_slack: Known<Length>,
    /// All slack along the cross-slide as measured in one go; overrides shoe, thrust and nut.
    pub total_slack: Option<Known<Length>>,
    /// Spring of shoe and guide bar, square to the guide.
    pub shoe_spring: Known<Stiffness>,
    /// Spring of thrust bearing, screw and nut, pulled.
    pub screw_spring: Known<Stiffness>,
    /// The same pushed, as a share of the pulled value.
    pub screw_push_share: Known<Ratio>,
    /// Spring of the whole seated drive as measured; overrides shoe and screw.
    pub drive_spring: Option<Known<Stiffness>>,
    /// Usable travel along the guide.
    pub guide_travel: Known<Length>,
    /// Steepest taper the guide swings to.
    pub steepest: Known<Taper>,
    /// From the guide's pivot to the end where it is nudged.
    pub guide_end: Known<Length>,
    /// How far the guide may be off the taper that was aimed at, on diameter, with its sign: the
    /// middle is zero unless an offset was measured.
    pub setting_error: Known<Taper>,
    /// How far the middle of the guide's usable travel stands out of a straight line through its
    /// ends, seen on the slide: positive toward the operator. Zero unless measured.
    pub guide_bow: Known<Length>,
    /// How much more slack there is near the headstock end of the guide's usable travel than in its
    /// middle, negative where there is less, if somebody measured it.
    pub wear_headstock_end: Option<Known<Length>>,
    /// The same near its tailstock end.
    pub wear_tailstock_end: Option<Known<Length>>,
}

/// The cross-slide on its ways.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct CrossSlide {
    /// Hand drag once moving: everything that rubs, no cut, spindle stopped.
    pub drag: Known<Force>,
    /// Force to start it over force to keep it moving.
    pub breakaway: Known<Ratio>,
    /// Weight that rides on the ways.
    pub weight: Known<Force>,
    /// Friction coefficient of the ways, oiled.
    pub friction: Known<Ratio>,
    /// Friction coefficient against the side of the ways, for the feed force.
    pub side_friction: Known<Ratio>,
    /// How much overhang raises the reactions on the ways (at least 1).
    pub overhang: Known<Ratio>,
    /// Drag left while cutting, as a share of the hand drag.
    pub drag_left_cutting: Known<Ratio>,
    /// Change of drag along the stroke, as a share (half of the swing).
    pub drag_change: Known<Ratio>,
    /// Side slack at the gib.
    pub gib_slack: Known<Length>,
    /// Guided length of the slide.
    pub gib_length: Known<Length>,
    /// Travel of the slide.
    pub travel: Known<Length>,
}

/// The top slide and tool post.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct TopSlide {
    /// Backlash of its screw: in the drive of a plain attachment unless locked.
    pub slack: Known<Length>,
    /// Spring of top slide and post.
    pub spring: Known<Stiffness>,
    /// Locked while cutting.
    pub locked: bool,
    /// Travel by hand.
    pub travel: Known<Length>,
    /// How far it may be off an angle set by its degree marks.
    pub graduation: Known<Angle>,
    /// How far it may be off over its whole travel, set by an indicator along a master.
    pub setting: Known<Length>,
    /// Slack of its gib, square to its ways.
    pub gib_slack: Known<Length>,
    /// Unevenness of a feed by hand, standard deviation of the feed per turn.
    pub hand_feed: Known<Ratio>,
}

/// The tailstock and its centre.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Tailstock {
    /// How far it goes over, either way.
    pub setover: Known<Length>,
    /// How far the centre may be off the offset that was aimed at: reading, clamping, and where
    /// straight was to begin with. Positive toward the operator.
    pub setover_error: Known<Length>,
    /// Height of its centre over the headstock's.
    pub centre_height: Known<Length>,
    /// How far along the axis the place where the work bears on a centre may lie from where the
    /// length between centres was measured to: set over, a centre bears on an edge of its hole.
    pub seating: Known<Length>,
    /// How far an offset centre goes over, where there is one to put into the tailstock.
    pub offset_centre: Option<Length>,
}

/// Spindle and what it can do.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Spindle {
    /// How the chuck is held.
    pub nose: SpindleNose,
    /// Whether the spindle can be run backward.
    pub reverse: bool,
    /// Spring of spindle and chuck at the jaws.
    pub spring: Known<Stiffness>,
    /// Taper on diameter of a straight cut by a tool in front, work in the chuck alone: positive
    /// where it is big at the headstock. Zero unless measured.
    pub out_of_line: Known<Taper>,
}

/// The carriage on the bed.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Carriage {
    /// How far the tool post stands, toward the operator while the feed goes toward the headstock,
    /// from where it stood when the tool was touched off: half of what it rocks, either way.
    pub rock: Known<Length>,
}

/// A lathe with its taper attachment.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Lathe {
    /// What the shop calls it.
    pub name: String,
    /// The person's units.
    pub units: Units,
    /// One word for the whole machine.
    pub condition: Condition,
    /// The taper attachment.
    pub attachment: Attachment,
    /// The cross-slide.
    pub slide: CrossSlide,
    /// The top slide.
    pub top_slide: TopSlide,
    /// The spindle.
    pub spindle: Spindle,
    /// The carriage.
    pub carriage: Carriage,
    /// Spring of the tailstock centre.
    pub tailstock_spring: Known<Stiffness>,
    /// How far the tailstock goes over, and how well.
    pub tailstock: Tailstock,
    /// Lead screw and thread dial.
    pub lead_screw: LeadScrew,
    /// Whether there is a tool post behind the work.
    pub rear_post: bool,
    /// Step of the readout or indicator on the slide, as it shows.
    pub readout_step: Known<Length>,
    /// What that step counts: the diameter or the slide's own movement.
    pub readout_reads: Reads,
    /// Which numbers a test or a finished job gave.
    pub measured: Vec<Measured>,
}

/// Where a number of the lathe file came from.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Measured {
    /// The key in the lathe file: `slide.drag`.
    pub key: String,
    /// The tests or the finished job, in words.
    pub by: String,
}

impl Lathe {
    /// One step of the readout as change of the diameter, m.
    pub fn step_on_diameter(&self) -> f64 {
        2.0 * self.step_of_slide()
    }

    /// One step of the readout as movement of the slide, m.
    pub fn step_of_slide(&self) -> f64 {
        self.readout_reads.movement() * self.readout_step.si()
    }

    /// What gave a number, by its key.
    pub fn measured_by(&self, key: &str) -> Option<&str> {
        let found = self.measured.iter().find(|measured| measured.key == key);
        found.map(|measured| measured.by.as_str())
    }
}
