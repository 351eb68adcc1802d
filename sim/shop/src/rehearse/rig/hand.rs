//! One hand move: what it does to the lathe, what it loses, or what it would break.

use super::{Outcome, Rig, along_the_slide};
use crate::arithmetic::{clamp, max, min};
use crate::caution::PRELOAD_WARNED;
use crate::machine::preload::cylinder;
use crate::quantity::{INCH, Quantity};
use crate::rehearse::record::{Lost, across};
use crate::rehearse::{Cylinder, Hazard, Move, Notice, Push};
use crate::scenario::Toward;
use crate::setup::Feed;

/// Less than this across the bed no dial or readout shows, m: a tenth of a thou.
const NOT_SEEN: f64 = 0.0001 * INCH;
/// How hard a hand pushes that wants to move the slide and no more, over what starts it [guess].
const HAND_PUSH: f64 = 1.25;
/// Halvings in the search for the place where the slide starts.
const HALVINGS: usize = 60;

impl Rig<'_> {
    /// Makes one move. `next` is the carriage's direction in the next carriage move, this one
    /// included.
    ///
    /// # Errors
    /// What would break; then the rig is not for use any more.
    pub fn make(&mut self, action: Move, next: Option<Feed>) -> Result<Outcome, Hazard> {
        let (slide, tool, carriage) = (self.slide(), self.tool(), self.carriage);
        let mut out = Outcome {
            path: vec![(carriage, slide)],
            ..Outcome::default()
        };
        match action {
            Move::Carriage { toward, travel } => self.carriage(toward, travel, &mut out)?,
            Move::Dial { toward, by } => self.dial(toward, by, &mut out)?,
            Move::TopSlide { toward, by } => self.top_slide(toward, by, &mut out)?,
            Move::Bump { toward, push } => self.bump(toward, push, &mut out),
            Move::AirOn { pressure } => self.air_on(pressure, &mut out)?,
            Move::AirOff => self.air_off(&mut out),
            Move::ZeroReadout => self.zero_readout(next, &mut out),
            Move::ZeroDial => self.dial_zero = self.dial,
            Move::Couple | Move::Uncouple => self.couple(action == Move::Couple, &mut out)?,
            Move::SlideLock { locked } => self.slide_lock(locked, &mut out)?,
            Move::TopSlideLock { locked } => set(&mut self.top_locked, locked, &mut out),
            Move::ShoeLock { locked } => {
                set(&mut self.shoe_locked, locked, &mut out);
                if self.shoe_locked && self.foot_clamped {
                    out.notices.push(Notice::Tied);
                }
            }
            Move::Foot { clamped } => self.foot(clamped, &mut out)?,
            Move::CrossFeed { engaged } => {
                set(&mut self.feed_in, engaged, &mut out);
                if self.feed_in && self.coupled {
                    out.notices.push(Notice::FeedCoupled);
                }
            }
        }
        let after = self.slide();
        let moved = after - slide;
        let rooms = self.slide_rooms(after);
        let before = self.slide_rooms(slide);
        if moved > 0.0 && rooms.0 < 0.0 || moved < 0.0 && rooms.1 < 0.0 {
            let (toward, room) = if moved > 0.0 {
                (Toward::Operator, before.0)
            } else {
                (Toward::Away, before.1)
            };
            return Err(Hazard::SlideEnd { toward, room });
        }
        out.path.push((self.carriage, after));
        out.path.dedup();
        out.slide_moved = moved + 0.0;
        out.tool_moved = self.tool() - tool + 0.0;
        Ok(out)
    }

    /// The carriage by hand, as far as the foot takes it and then over the guide.
    fn carriage(&mut self, toward: Feed, travel: f64, out: &mut Outcome) -> Result<(), Hazard> {
        if self.shoe_locked && self.foot_clamped {
            return Err(Hazard::CarriageTied);
        }
        if self.guide_drives() && self.feed_in {
            return Err(Hazard::FeedEngaged);
        }
        if self.guide_drives() && self.slide_locked {
            return Err(Hazard::SlideLocked);
        }
        let way = toward.sign();
        let stop = 0.5 * self.foot.slack;
        let bar = if self.foot_clamped {
            clamp(self.bar + way * travel, -stop, stop)
        } else {
            self.bar
        };
        let at_foot = min((bar - self.bar).abs(), travel);
        let over = if self.foot_clamped {
            max(travel - at_foot, 0.0)
        } else {
            0.0
        };
        let all = self.script.lathe.attachment.guide_travel.si();
        let room = match toward {
            Feed::Headstock => self.script.room_headstock + self.on_guide,
            Feed::Tailstock => all - self.script.room_headstock - self.on_guide,
        };
        if over > room {
            return Err(Hazard::GuideEnd {
                toward,
                room,
                asked: over,
            });
        }
        let start = (self.carriage, self.slide());
        if self.guide_drives() {
            let pull = along_the_slide(self.script, toward).pull().sign();
            let by = pull * self.slope * over;
            let onset = self.onset(by);
            let stood_still = match onset {
                Some((share, hopped)) => {
                    let stood = at_foot + share * over;
                    let place = start.0 + way * stood;
                    out.path.push((place, start.1));
                    out.path.push((place, hopped));
                    stood
                }
                None => travel,
            };
            self.rest(self.guide + by, 0.0);
            let asked = self.slope * travel;
            out.lost = Some(Lost {
                stood_still,
                at_foot,
                short: max(asked - pull * (self.slide() - start.1), 0.0),
            });
        } else if self.coupled {
            out.notices.push(Notice::Idle);
        }
        self.bar = bar;
        self.on_guide += way * over;
        self.carriage += way * travel;
        self.reads_as(toward, out);
        Ok(())
    }

    /// Share of a displacement of the guide at which the slide starts, and where it then stops.
    fn onset(&self, by: f64) -> Option<(f64, f64)> {
        let tried = |share: f64| {
            let mut rig = self.clone();
            let moved = rig
                .rest(self.guide + share * by, 0.0)
                .is_some_and(|rested| rested.moved != 0);
            moved.then(|| rig.slide())
        };
        let mut place = tried(1.0)?;
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..HALVINGS {
            let middle = f64::midpoint(low, high);
            match tried(middle) {
                Some(there) => (high, place) = (middle, there),
                None => low = middle,
            }
        }
        Some((high, place))
    }

    /// What taper the readout gives, as long as the carriage has gone one way since zero.
    fn reads_as(&mut self, toward: Feed, out: &mut Outcome) {
        let Some((from, way)) = self.zeroed else {
            return;
        };
        if way.is_some_and(|way| way != toward) {
            self.zeroed = None;
            return;
        }
        self.zeroed = Some((from, Some(toward)));
        let over = (self.carriage - from).abs();
        if self.guide_drives() && over > 0.0 {
            out.notices.push(Notice::ReadsAs {
                taper: 2.0 * self.stand().readout.abs() / over,
                guide: self.script.taper.si(),
                over,
            });
        }
    }

    fn zero_readout(&mut self, next: Option<Feed>, out: &mut Outcome) {
        self.readout_zero = self.slide();
        self.zeroed = Some((self.carriage, None));
        let Some(toward) = next else {
            return;
        };
        if !self.guide_drives() || self.slide_locked || self.shoe_locked {
            return;
        }
        // Far enough for everything to be taken up, whatever guide and slide allow.
        let slack = self.link.map_or(0.0, |link| link.slack);
        let wound = self.link.map_or(0.0, |link| {
            4.0 * self.force_to_start() / min(link.first, link.other)
        });
        let stop = 0.5 * self.foot.slack;
        let at_foot = stop - toward.sign() * self.bar;
        let by = 2.0 * (slack + wound) + 1e-3;
        let pull = along_the_slide(self.script, toward).pull().sign();
        let Some((share, _)) = self.onset(pull * by) else {
            return;
        };
        let mut ahead = self.clone();
        ahead.rest(self.guide + pull * by, 0.0);
        let short = by - pull * (ahead.slide() - self.slide()) + at_foot * self.slope;
        if short > NOT_SEEN {
            out.notices.push(Notice::ZeroedEarly {
                toward,
                still: at_foot + share * by / self.slope,
                short,
            });
        }
    }

    /// Force that starts the slide, the air's help or hindrance aside, N.
    fn force_to_start(&self) -> f64 {
        self.levels().start * self.drag().hand() + self.air.abs()
    }

    fn dial(&mut self, toward: Toward, by: f64, out: &mut Outcome) -> Result<(), Hazard> {
        if self.feed_in {
            return Err(Hazard::DialAgainstFeed);
        }
        let sign = across(toward);
        self.dial += sign * by;
        if !self.telescoping() {
            out.notices.push(Notice::DialDead);
            return Ok(());
        }
        let from = self.slide();
        self.rest(self.guide + sign * by, 0.0);
        let starts = self.levels().start * self.drag().hand();
        if self.slide_locked && self.drive.abs() > starts {
            return Err(Hazard::ScrewAgainstLock);
        }
        let followed = sign * (self.slide() - from);
        if by - followed > NOT_SEEN {
            out.notices.push(Notice::DialInSlack {
                turned: by,
                followed,
                floats: self.drive == 0.0,
            });
        }
        Ok(())
    }

    /// Its screw's backlash is taken up by the handle; the post rubs and stays.
    fn top_slide(&mut self, toward: Toward, by: f64, out: &mut Outcome) -> Result<(), Hazard> {
        if self.top_locked {
            return Err(Hazard::TopSlideLocked);
        }
        let sign = across(toward);
        let half = 0.5 * self.script.lathe.top_slide.slack.si();
        let from = self.top;
        self.handle += sign * by;
        self.top = clamp(self.top, self.handle - half, self.handle + half);
        let followed = sign * (self.top - from);
        if by - followed > NOT_SEEN {
            out.notices.push(Notice::TopSlideInSlack {
                turned: by,
                followed: max(followed, 0.0),
            });
        }
        Ok(())
    }

    fn bump(&mut self, toward: Toward, push: Push, out: &mut Outcome) {
        let sign = across(toward);
        if self.slide_locked {
            out.notices.push(Notice::PushedLocked);
            return;
        }
        if self.link.is_none() {
            match push {
                Push::By(length) => self.body.shift(sign * length),
                Push::ToFace | Push::With(_) => out.notices.push(Notice::NothingToMeet),
            }
            return;
        }
        let from = self.slide();
        let against = max(-sign * self.air, 0.0);
        let force = match push {
            Push::With(force) => force,
            Push::ToFace | Push::By(_) => {
                HAND_PUSH * (self.levels().start * self.drag().hand() + against)
            }
        };
        self.rest(self.guide, sign * force);
        if let Push::By(length) = push {
            let over = sign * (self.slide() - from) - length;
            if over > 0.0 {
                self.body.shift(-sign * over);
            }
        }
        // The hand lets go.
        self.rest(self.guide, 0.0);
        if sign * (self.slide() - from) < NOT_SEEN {
            out.notices.push(Notice::PushedInVain);
        }
    }

    fn air_on(&mut self, pressure: f64, out: &mut Outcome) -> Result<(), Hazard> {
        let Some(Cylinder {
            bore,
            rod,
            toward,
            seal_share,
        }) = self.script.cylinder
        else {
            return Ok(());
        };
        if self.link.is_none() && !self.slide_locked {
            return Err(Hazard::FreeUnderAir);
        }
        let force = cylinder(bore.si(), rod.si(), pressure);
        self.air = across(toward) * force;
        self.seal = seal_share * force;
        self.body.levels = self.levels();
        if force > PRELOAD_WARNED {
            out.notices.push(Notice::StrongAir { force });
        }
        let starts = self.levels().start * self.drag().hand();
        if force < starts {
            out.notices.push(Notice::WeakAir { force, starts });
        }
        self.rest(self.guide, 0.0);
        Ok(())
    }

    fn air_off(&mut self, out: &mut Outcome) {
        if self.air == 0.0 {
            out.notices.push(Notice::Already);
        }
        self.air = 0.0;
        self.seal = 0.0;
        self.rest(self.guide, 0.0);
    }

    fn couple(&mut self, coupled: bool, out: &mut Outcome) -> Result<(), Hazard> {
        if coupled == self.coupled {
            out.notices.push(Notice::Already);
            return Ok(());
        }
        if !coupled && self.air != 0.0 {
            return Err(Hazard::LetGoUnderAir);
        }
        self.coupled = coupled;
        self.zeroed = None;
        self.tie();
        if !coupled {
            out.notices.push(Notice::Uncoupled {
                free: self.link.is_none(),
            });
            return Ok(());
        }
        out.notices.push(Notice::CoupledMidSlack);
        if self.slide_locked {
            out.notices.push(Notice::LockedCoupled);
        }
        if self.feed_in {
            out.notices.push(Notice::FeedCoupled);
        }
        self.rest(self.guide, 0.0);
        Ok(())
    }

    fn slide_lock(&mut self, locked: bool, out: &mut Outcome) -> Result<(), Hazard> {
        set(&mut self.slide_locked, locked, out);
        if !locked && self.link.is_none() && self.air != 0.0 {
            return Err(Hazard::FreeUnderAir);
        }
        if locked && self.coupled {
            out.notices.push(Notice::LockedCoupled);
        }
        self.rest(self.guide, 0.0);
        Ok(())
    }

    fn foot(&mut self, clamped: bool, out: &mut Outcome) -> Result<(), Hazard> {
        if !clamped && self.coupled && self.air != 0.0 {
            return Err(Hazard::LetGoUnderAir);
        }
        set(&mut self.foot_clamped, clamped, out);
        if self.foot_clamped && self.shoe_locked {
            out.notices.push(Notice::Tied);
        }
        if !clamped {
            self.zeroed = None;
            out.notices.push(Notice::Idle);
        }
        Ok(())
    }
}

/// Sets a switch, and notes when it stood so already.
fn set(switch: &mut bool, to: bool, out: &mut Outcome) {
    if *switch == to {
        out.notices.push(Notice::Already);
    }
    *switch = to;
}
