//! What no single key shows: whether work, tool, passes and lathe fit together.
//!
//! Every check fires on a comparison that holds, so that a number that could not be read, which
//! stands as not-a-number, fires none.

use super::reading::Reading;
use crate::arithmetic::{max, min, powi, tan};
use crate::quantity::{INCH, INCHES_PER_FOOT, LBF, Length, Pressure, Quantity, Taper};
use crate::scenario::{
    End, Holding, Kind, Known, Origin, PreloadSource, Scenario, Severity, StartSurface, ThreadCut,
};
use crate::standard_taper::runs_out;

/// Above this a preload is worth a warning, N [guess of shop practice]: 100 lbf.
const MUCH_PRELOAD: f64 = 100.0 * LBF;
/// A bar thicker than this share of the bore leaves chips no room [guess].
const TIGHT_BORE: f64 = 0.85;
/// Radius of the body of a tailstock centre, m: No. 3 Morse, 0.938 in through (from memory).
const CENTRE: f64 = 11.9e-3;
/// More turns of the work than this in all passes together are a slip: at 300 rpm they take more than
/// five hours, and here a run that seems to hang. A shaft of 24 in at 2 thou in eight passes has
/// 96,000.
const MOST_TURNS: f64 = 1e5;
/// Less than this is rounding of units, m.
const ROUNDING: f64 = 1e-8;

/// Compares what was read in different places. Findings point into the job.
pub(super) fn across(reading: &Reading<'_>, scenario: &Scenario) {
    let check = Check {
        reading,
        scenario,
        kind: reading.sound("work.kind").then_some(scenario.job.work.kind),
    };
    // A taper that can't be would make all that is measured against it look wrong.
    if check.taper() {
        check.start();
        check.bore();
        check.tool();
        check.turns();
    }
    check.holding();
    check.between_centres();
    check.preload();
    check.lathe();
}

struct Check<'a> {
    reading: &'a Reading<'a>,
    scenario: &'a Scenario,
    /// Outside or inside, if it could be read.
    kind: Option<Kind>,
}

impl Check<'_> {
    fn say(&self, severity: Severity, path: &str, message: String, label: String, hint: &str) {
        self.reading
            .report(severity, self.reading.place(path), message, label, hint);
    }

    fn error(&self, path: &str, message: impl Into<String>, label: impl Into<String>, hint: &str) {
        self.say(Severity::Error, path, message.into(), label.into(), hint);
    }

    fn warn(&self, path: &str, message: impl Into<String>, label: impl Into<String>, hint: &str) {
        self.say(Severity::Warning, path, message.into(), label.into(), hint);
    }

    fn show(&self, si: f64) -> String {
        Length::from_si(si).show(self.scenario.job.units)
    }

    fn ends(&self) -> (f64, f64) {
        let (big, small) = self.scenario.job.work.end_diameters();
        (big.si(), small.si())
    }

    /// Whether there can be such a taper.
    fn taper(&self) -> bool {
        let mut possible = true;
        let work = &self.scenario.job.work;
        let (big, small) = self.ends();
        if work.gauge_plane.si() > work.length.si() + ROUNDING {
            possible = false;
            self.error(
                "work.gauge_plane",
                "the gauge plane lies outside the taper",
                format!("the taper is {} long", self.show(work.length.si())),
                "give its distance from the big end, or \"at the big end\" or \"at the small end\"",
            );
        } else if small <= 0.0 {
            possible = false;
            self.error(
                "work.diameter",
                "the taper comes to a point before its small end",
                format!(
                    "{} at the big end is {} less at the small end",
                    self.show(big),
                    self.show(big - small)
                ),
                "check taper, length, diameter and where the gauge plane is",
            );
        }
        if work.tolerance.upper.si() - work.tolerance.lower.si() > 0.5 * work.taper.si() {
            self.warn(
                "work.tolerance",
                "the tolerance is as wide as half the taper",
                "is this meant?",
                "a tolerance on the taper is written in the same unit, on diameter",
            );
        }
        possible
    }

    fn start(&self) {
        let job = &self.scenario.job;
        let (big, small) = self.ends();
        let finish: f64 = job.passes.finish.iter().map(|pass| pass.si()).sum();
        let stock = match job.work.start {
            StartSurface::Roughed { stock } => stock.si(),
            StartSurface::Tapered { .. } if self.kind.is_none() => return,
            StartSurface::Tapered { .. } => {
                let [at_big, at_small] = job.work.stock_at_ends();
                let least = min(at_big, at_small);
                if least < -ROUNDING {
                    let end = if at_big < at_small { "big" } else { "small" };
                    self.error(
                        "work.start",
                        format!("the taper that is there leaves nothing to cut at the {end} end"),
                        format!("it is {} past the drawing there", self.show(-least)),
                        "check both tapers and their diameters at the gauge plane, or build it up",
                    );
                    return;
                }
                max(at_big, at_small)
            }
            StartSurface::Straight { diameter } => {
                let diameter = diameter.si();
                match self.kind {
                    Some(Kind::Outside) if diameter < big - ROUNDING => {
                        let bare = job.work.thin_at_big_end();
                        match job.thread.as_ref().and_then(|thread| thread.cut.as_ref()) {
                            Some(cut) if bare <= 0.5 * job.work.length.si() => {
                                self.runs_out(cut, bare);
                            }
                            _ => self.uncut("bar", "smaller than the big end", big, bare),
                        }
                        return;
                    }
                    Some(Kind::Inside) if diameter > small + ROUNDING => {
                        let bare = (diameter - small) / job.work.taper.si();
                        self.uncut("bore", "bigger than the small end", small, bare);
                        return;
                    }
                    Some(Kind::Outside) => (diameter - small) / 2.0,
                    Some(Kind::Inside) => (big - diameter) / 2.0,
                    None => return,
                }
            }
        };
        if finish > stock + ROUNDING {
            self.error(
                "passes.finish",
                "the finishing passes take more than there is",
                format!(
                    "they add up to {} per side, the stock is {}",
                    self.show(finish),
                    self.show(stock)
                ),
                "take lighter finishing passes, or leave more when roughing",
            );
        }
    }

    fn uncut(&self, what: &str, wrong: &str, end: f64, bare: f64) {
        let length = self.scenario.job.work.length.si();
        let (message, label) = if bare >= length {
            (
                format!("the {what} leaves nothing to cut"),
                format!(
                    "{wrong}, which is {}, by more than the whole taper",
                    self.show(end)
                ),
            )
        } else {
            (
                format!("part of the taper would stay uncut: the {what} is {wrong}"),
                format!(
                    "the end is {}: the last {} are not touched",
                    self.show(end),
                    self.show(bare)
                ),
            )
        };
        let hint = if what == "bar" {
            "start from a bar at least as thick as the big end"
        } else {
            "start from a bore no bigger than the small end"
        };
        self.error("work.start", message, label, hint);
    }

    /// A thread that runs out in the bar: more flat crests than its standard counts are a slip.
    fn runs_out(&self, cut: &ThreadCut, bare: f64) {
        let flat = bare / cut.lead.si();
        if let Some((counted, _)) = runs_out(&cut.form.name)
            && flat > counted + 0.25
        {
            self.warn(
                "work.start",
                format!("the last {flat:.1} threads have flat crests: the bar is thin for them"),
                format!("{counted:.0} are counted in by the standard"),
                "check the bar's diameter and the thread's length",
            );
        }
    }

    fn bore(&self) {
        let work = &self.scenario.job.work;
        if self.kind != Some(Kind::Inside) {
            return;
        }
        let (big, small) = self.ends();
        if let Some(outside) = work.outside_diameter
            && outside.si() <= big
        {
            self.error(
                "work.outside_diameter",
                "the piece has no wall",
                format!("the bore is {} at its big end", self.show(big)),
                "the outside diameter is bigger than the bore's big end",
            );
        }
        let Some(bar) = self.scenario.job.tool.bar else {
            return;
        };
        let least = match work.start {
            StartSurface::Straight { diameter } => min(diameter.si(), small),
            StartSurface::Roughed { stock } => small - 2.0 * stock.si(),
            StartSurface::Tapered { .. } => {
                let (big, [at_big, at_small]) = (self.ends().0, work.stock_at_ends());
                min(small - 2.0 * at_small, big - 2.0 * at_big)
            }
        };
        if bar.diameter.si() >= least {
            self.error(
                "tool.bar.diameter",
                "the bar doesn't go into the bore",
                format!("the bore starts at {}", self.show(least)),
                "take a thinner bar, or open the bore first",
            );
        } else if bar.diameter.si() > TIGHT_BORE * least {
            self.warn(
                "tool.bar.diameter",
                "the bar nearly fills the bore",
                format!("the bore starts at {}", self.show(least)),
                "leave room for chips and for drawing the tool back",
            );
        }
        if bar.stick_out < work.length {
            self.warn(
                "tool.bar.stick_out",
                "the bar sticks out less than the taper is long",
                format!("the taper is {} long", self.show(work.length.si())),
                "count from the holder to the tool, run-in included",
            );
        }
    }

    fn holding(&self) {
        let work = &self.scenario.job.work;
        if self.kind == Some(Kind::Inside) && work.holding != Holding::Chuck {
            self.error(
                "work.held",
                "a centre would stand in the bore",
                "not for inside work",
                "hold it in a chuck or on a faceplate: held = \"chuck\"",
            );
        }
        if self.kind == Some(Kind::Outside)
            && work.holding != Holding::Centres
            && work.room_headstock > work.from_jaws
        {
            self.warn(
                "work.room_headstock",
                "that room reaches into the jaws",
                format!("the jaws are {} away", self.show(work.from_jaws.si())),
                "room is how far the tool can run past the end of the taper before it hits \
                 something",
            );
        }
        self.centre();
    }

    /// Whether a run past the tailstock end takes the tool into the centre.
    fn centre(&self) {
        let work = &self.scenario.job.work;
        let past = work.room_tailstock.si();
        let centred = self.kind == Some(Kind::Outside) && work.holding != Holding::Chuck;
        if !centred || past <= work.beyond.si() + ROUNDING {
            return;
        }
        let (big, small) = self.ends();
        let rise = 0.5 * work.taper.si() * past;
        let radius = match work.big_end {
            End::Headstock => 0.5 * small - rise,
            End::Tailstock => 0.5 * big + rise,
        };
        if radius < CENTRE {
            self.warn(
                "work.room_tailstock",
                "that room reaches over the tailstock centre, and the tool is then lower than it",
                format!(
                    "the work ends {} past the taper; out there the tool stands at a radius of {}",
                    self.show(work.beyond.si()),
                    self.show(radius)
                ),
                "give the room up to the end of the work, unless the centre is slimmer than the \
                 tool stands off the axis",
            );
        }
    }

    fn between_centres(&self) {
        let work = &self.scenario.job.work;
        let Some(between) = &work.between_centres else {
            return;
        };
        let path = "work.between_centres";
        if work.kind == Kind::Inside {
            self.error(
                path,
                "a centre would stand in the bore",
                "not for inside work",
                "leave it out: inside work is held in a chuck or on a faceplate",
            );
            return;
        }
        let (least, why) = match work.holding {
            Holding::Centres => (
                work.from_jaws.si() + work.length.si() + work.beyond.si(),
                "the taper and what stands at its ends",
            ),
            _ => (work.length.si(), "the taper"),
        };
        if between.high.si() < least - ROUNDING {
            self.error(
                path,
                "the length between centres is too short",
                format!("{why} take {}", self.show(least)),
                "give the length from the bottom of one centre hole to the other",
            );
        }
    }

    fn tool(&self) {
        let job = &self.scenario.job;
        let (_, small) = self.ends();
        let nose = job.tool.nose_radius.si();
        if nose > job.work.length.si() {
            self.error(
                "tool.nose_radius",
                "the nose radius is bigger than the taper is long",
                format!("the taper is {} long", self.show(job.work.length.si())),
                "check the digits and the unit",
            );
        }
        let height = &job.tool.height;
        let off = max(height.low.si().abs(), height.high.si().abs());
        if small > 0.0 && off >= small / 2.0 {
            self.error(
                "tool.height",
                "the tool stands above or below the work, not at it",
                format!("the radius at the small end is {}", self.show(small / 2.0)),
                "height is how far the edge is off centre, a few thou",
            );
        } else if off > 0.05 * INCH {
            self.warn(
                "tool.height",
                "the tool is far off centre",
                "is this meant?",
                "height is how far the edge is off centre, a few thou",
            );
        }
        for (path, feed) in [
            ("passes.feed", job.passes.feed),
            ("passes.rough_feed", job.passes.rough_feed),
        ] {
            if feed.si() > 2.0 * nose {
                self.warn(
                    path,
                    "the feed is more than twice the nose radius",
                    format!("the nose radius is {}", self.show(nose)),
                    "the turns would stand apart like a thread: feed less, or take a bigger nose",
                );
            }
        }
        if job.passes.spring > 5 {
            self.warn(
                "passes.spring",
                "that many spring passes are rare",
                "is this meant?",
                "these are passes at the end with the dial left alone",
            );
        }
    }

    /// Whether the passes can be made in a day: a slip in a feed or depth makes billions of turns.
    fn turns(&self) {
        let (work, passes) = (&self.scenario.job.work, &self.scenario.job.passes);
        let finish: f64 = passes.finish.iter().map(|pass| pass.si()).sum();
        let [at_big, at_small] = work.stock_at_ends();
        let stock = max(at_big, at_small);
        let roughing = (max(stock - finish, 0.0) / passes.rough.si()).ceil();
        let finishing = passes.finish.len() as f64 + f64::from(passes.spring);
        // The trailing end of the edge goes as far past the taper as it is wide.
        let entering = self.scenario.job.tool.entering_angle.si();
        let past = |depth: f64| match entering < std::f64::consts::FRAC_PI_2 {
            true => depth / tan(entering),
            false => 0.0,
        };
        let deepest = passes.finish.iter().map(|pass| pass.si()).fold(0.0, max);
        let one = (work.length.si() + past(deepest)) / passes.feed.si();
        let one_rough = (work.length.si() + past(passes.rough.si())) / passes.rough_feed.si();
        let whole = finishing * one + roughing * one_rough;
        if whole <= MOST_TURNS || whole.is_nan() {
            return;
        }
        let (path, turns, what) = if finishing * one > MOST_TURNS / 2.0 {
            ("passes.feed", finishing * one, "finishing".to_owned())
        } else if roughing > 1000.0 {
            let what = format!("{} roughing passes", rounded(roughing));
            ("passes.rough", roughing * one_rough, what)
        } else {
            (
                "passes.rough_feed",
                roughing * one_rough,
                "roughing".to_owned(),
            )
        };
        self.error(
            path,
            format!("the passes take {} turns of the work", rounded(turns)),
            format!("{what} over {}", self.show(work.length.si())),
            "check the digits and the unit: a feed is a few thou a turn, a roughing pass some ten \
             thou deep; 100 thousand turns in all are the most",
        );
    }

    fn preload(&self) {
        let Some(preload) = &self.scenario.job.preload else {
            return;
        };
        let (path, force) = match preload.source {
            PreloadSource::Constant(force) => (self.weight_path(), force.si()),
            PreloadSource::Spring { force, .. } => ("preload.spring", force.si()),
            PreloadSource::Cylinder {
                bore,
                rod,
                pressure,
                ..
            } => {
                if rod >= bore {
                    self.error(
                        "preload.cylinder.rod",
                        "the rod is as thick as the bore",
                        format!("the bore is {}", self.show(bore.si())),
                        "leave rod out when the plain side is pressed",
                    );
                }
                ("preload.cylinder", push(bore, rod, &pressure))
            }
        };
        if force > MUCH_PRELOAD {
            let shown = crate::quantity::Force::from_si(force).show(self.scenario.job.units);
            self.warn(
                path,
                "a preload that strong is dangerous on a cross-slide",
                format!("this makes {shown}"),
                "about twice the drag is enough: a smaller cylinder, less pressure, or a weight \
                 on a cord",
            );
        }
    }

    fn weight_path(&self) -> &'static str {
        if self.reading.sound("preload.weight") {
            "preload.weight"
        } else {
            "preload.constant"
        }
    }

    fn lathe(&self) {
        let work = &self.scenario.job.work;
        let attachment = &self.scenario.lathe.attachment;
        let units = self.scenario.job.units;
        if attachment.fitted && work.taper.si() > attachment.steepest.high.si() {
            self.warn(
                "work.taper",
                "the taper is steeper than the guide swings",
                format!(
                    "this lathe goes to {}",
                    attachment.steepest.middle.show(units)
                ),
                "another way of making it is needed, such as the top slide",
            );
        }
        let reach = 2.0 * attachment.guide_travel.middle.si();
        if attachment.fitted && work.length.si() > reach {
            self.warn(
                "work.length",
                "the taper is longer than two set-ups of the guide reach",
                format!(
                    "usable travel of the guide is {}{}",
                    assumed(&attachment.guide_travel, "", "assumed to be "),
                    self.show(attachment.guide_travel.si())
                ),
                "another way of making it is needed: compare tells",
            );
        }
        if self.reading.sound("work.tolerance")
            && work.taper < Taper::from_si(0.001 / INCHES_PER_FOOT)
        {
            self.warn(
                "work.taper",
                "this is next to no taper",
                "is this meant?",
                "a taper is change of diameter over length: \"3/4 in/ft\" or \"1:16\"",
            );
        }
    }
}

/// A large count in words a person takes in.
fn rounded(count: f64) -> String {
    match count {
        c if c < 1e6 => format!("{:.0} thousand", c / 1e3),
        c if c < 1e9 => format!("{:.1} million", c / 1e6),
        c if c < 1e12 => format!("{:.1} billion", c / 1e9),
        c => format!("{c:.0e}"),
    }
}

fn assumed<Q>(known: &Known<Q>, given: &'static str, assumed: &'static str) -> &'static str {
    match known.origin {
        Origin::Given => given,
        Origin::Assumed => assumed,
    }
}

/// Force of an air cylinder, seals aside, N.
fn push(bore: Length, rod: Length, pressure: &Known<Pressure>) -> f64 {
    std::f64::consts::FRAC_PI_4 * (powi(bore.si(), 2) - powi(rod.si(), 2)) * pressure.si()
}
