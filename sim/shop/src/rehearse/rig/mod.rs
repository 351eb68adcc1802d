//! The lathe under the hand: where everything on it stands, and how it comes to rest.

mod hand;

use super::record::{Bearing, Gap, Lost, Stand};
use super::{Notice, Script};
use crate::arithmetic::{clamp, max};
use crate::balance::{Body, Levels, Link, Rested};
use crate::cut::Air;
use crate::machine::foot::Foot;
use crate::machine::slide::Drag;
use crate::machine::{self, SlackPart};
use crate::record::Counters;
use crate::scenario::{AttachmentKind, Kind};
use crate::setup::{Face, Feed, Press, Rotation, Setup, Side};

/// What came of a move, besides where things then stand.
#[derive(Clone, Debug, Default)]
pub(super) struct Outcome {
    pub slide_moved: f64,
    pub tool_moved: f64,
    pub lost: Option<Lost>,
    pub path: Vec<(f64, f64)>,
    pub notices: Vec<Notice>,
}

/// The lathe and where everything on it stands.
#[derive(Clone, Debug)]
pub(super) struct Rig<'a> {
    script: &'a Script,
    slope: f64,
    foot: Foot,
    parts: Vec<SlackPart>,
    /// From what drives the slide to the slide; `None` when nothing does.
    link: Option<Link>,
    body: Body,
    /// Where guide and dial put the upstream end of the link.
    guide: f64,
    drive: f64,
    air: f64,
    seal: f64,
    carriage: f64,
    bar: f64,
    on_guide: f64,
    dial: f64,
    dial_zero: f64,
    readout_zero: f64,
    /// Carriage where the readout was zeroed, and which way it has gone since; `None` before it
    /// was zeroed and once it has turned back.
    zeroed: Option<(f64, Option<Feed>)>,
    handle: f64,
    top: f64,
    coupled: bool,
    foot_clamped: bool,
    shoe_locked: bool,
    slide_locked: bool,
    top_locked: bool,
    feed_in: bool,
    counters: Counters,
}

/// A bored taper, front tool: then into the cut is toward the operator, and [`Setup`]'s signs are
/// those of the cross-slide itself.
fn along_the_slide(script: &Script, feed: Feed) -> Setup {
    Setup {
        kind: Kind::Inside,
        big_end: script.big_end,
        side: Side::Front,
        feed,
        rotation: Rotation::Forward,
        face: Face::Up,
    }
}

impl<'a> Rig<'a> {
    pub fn new(script: &'a Script) -> Self {
        let slope = script.taper.slope();
        let mut rig = Self {
            script,
            slope,
            foot: Foot::new(&script.lathe.attachment),
            parts: Vec::new(),
            link: None,
            body: Body::new(machine::RIGID, Levels::ONE, 0.0),
            guide: 0.0,
            drive: 0.0,
            air: 0.0,
            seal: 0.0,
            carriage: 0.0,
            bar: 0.0,
            on_guide: 0.0,
            dial: 0.0,
            dial_zero: 0.0,
            readout_zero: 0.0,
            zeroed: None,
            handle: 0.0,
            top: 0.0,
            coupled: true,
            foot_clamped: true,
            shoe_locked: false,
            slide_locked: false,
            top_locked: false,
            feed_in: false,
            counters: Counters::default(),
        };
        rig.tie();
        rig
    }

    fn telescoping(&self) -> bool {
        self.script.lathe.attachment.kind == AttachmentKind::Telescoping
    }

    fn guide_drives(&self) -> bool {
        self.coupled && self.foot_clamped
    }

    fn slide(&self) -> f64 {
        self.body.position
    }

    fn tool(&self) -> f64 {
        self.slide() + self.top
    }

    fn drag(&self) -> Drag {
        Drag::new(&self.script.lathe.slide, Press::Down, self.seal)
    }

    fn levels(&self) -> Levels {
        Levels::breakaway(self.drag().breakaway, 0.0)
    }

    /// What acts on the slide besides the drive; `hand` is a push toward the operator, N.
    fn load(&self, hand: f64) -> Air {
        Air {
            preload: -(self.air + hand),
            rate: 0.0,
            limit: self.drag().hand(),
        }
    }

    /// Ties the slide where it stands to whatever drives it, in the middle of the slack.
    fn tie(&mut self) {
        let slide = self.slide();
        let setup = along_the_slide(self.script, Feed::Headstock);
        // The slide carries the top slide and isn't driven through it.
        let mut lathe = self.script.lathe.clone();
        lathe.top_slide.locked = true;
        let (drive, mut parts) = machine::drive(&lathe, &setup, self.slope);
        let link = match (self.coupled, self.telescoping()) {
            (true, _) => Some(drive),
            (false, true) => {
                // Let go from the guide, the screw's bearing is held by the carriage.
                parts.remove(0);
                let (_, screw) = machine::screw::nut(&lathe.attachment, &setup);
                Some(Link {
                    slack: parts.iter().map(|part| part.slack).sum(),
                    ..screw
                })
            }
            (false, false) => {
                parts.clear();
                None
            }
        };
        self.body = Body::new(link.unwrap_or(machine::RIGID), self.levels(), slide);
        self.guide = slide;
        self.drive = 0.0;
        self.link = link;
        self.parts = parts;
    }

    /// Brings the slide to rest under the drive, the air and the hand.
    fn rest(&mut self, guide: f64, hand: f64) -> Option<Rested> {
        self.guide = guide;
        let link = self.link?;
        if self.slide_locked {
            self.drive = link.force(guide - self.slide());
            return None;
        }
        let load = self.load(hand);
        let rested = self.body.advance(guide, &load, &mut self.counters);
        self.drive = rested.drive;
        Some(rested)
    }

    pub fn stand(&self) -> Stand {
        let script = self.script;
        let slide = self.slide();
        let step = script.lathe.step_of_slide();
        let reading = slide - self.readout_zero;
        let readout = if step > 0.0 {
            (reading / step).round() * step
        } else {
            reading
        };
        let half = self.link.map_or(f64::INFINITY, |link| 0.5 * link.slack);
        let ahead = |sign: f64, room: f64| {
            let gap = half + sign * (self.guide - slide);
            clamp(gap, 0.0, max(room, 0.0))
        };
        let rooms = self.slide_rooms(slide);
        let bears = |force: f64| {
            if force > 0.0 {
                Bearing::Operator
            } else if force < 0.0 {
                Bearing::Away
            } else {
                Bearing::Open
            }
        };
        let stop = 0.5 * self.foot.slack;
        let mut gaps = vec![Gap {
            name: "foot and rod",
            slack: self.foot.slack,
            bears: if !self.foot_clamped || stop == 0.0 {
                Bearing::Open
            } else if self.bar >= stop {
                Bearing::Tailstock
            } else if self.bar <= -stop {
                Bearing::Headstock
            } else {
                Bearing::Open
            },
        }];
        gaps.extend(self.parts.iter().map(|part| Gap {
            name: part.name,
            slack: part.slack,
            bears: bears(self.drive),
        }));
        let travel = script.lathe.attachment.guide_travel.si();
        // Adding zero takes the sign off a zero.
        Stand {
            carriage: self.carriage + 0.0,
            bar: self.bar + 0.0,
            guide_room: (
                script.room_headstock + self.on_guide,
                travel - script.room_headstock - self.on_guide,
            ),
            slide: slide + 0.0,
            tool: self.tool() + 0.0,
            dial: self.dial - self.dial_zero + 0.0,
            readout: readout + 0.0,
            drive: self.drive + 0.0,
            air: self.air + 0.0,
            float: (ahead(1.0, rooms.0), ahead(-1.0, rooms.1)),
            gaps,
        }
    }

    /// Slide travel left toward the operator and away, m.
    fn slide_rooms(&self, slide: f64) -> (f64, f64) {
        let room = self.script.room_operator;
        let travel = self.script.lathe.slide.travel.si();
        (room - slide, travel - room + slide)
    }
}
