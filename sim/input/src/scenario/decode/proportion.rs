//! Numbers of two keys held against each other: what would be odd in a shop, whatever each is alone.
//!
//! As in [`super::check`], a number that could not be read is not-a-number and fires nothing.

use super::reading::Reading;
use crate::arithmetic::max;
use crate::quantity::{INCH, Length, Quantity, Speed};
use crate::scenario::defaults::ToolMaterial;
use crate::scenario::material::Material;
use crate::scenario::{Holding, Kind, Origin, PreloadSource, Scenario, Severity, StartSurface};

/// Length over diameter of a bar that sticks out, beyond which it is doubted [memory of trade
/// books: four to five of steel, eight of carbide]; an eighth of an inch more is no matter.
const LONG_BAR: (f64, f64) = (5.0, 8.0);
/// Beyond this no bar bores [guess].
const LONGEST_BAR: f64 = 30.0;
/// Work out of a chuck over its diameter: three or four without a centre, and some ten on one
/// [memory of trade books]; doubted from twice that on [guess].
const LONG_WORK: (f64, f64) = (8.0, 24.0);

struct Proportion<'a> {
    reading: &'a Reading<'a>,
    scenario: &'a Scenario,
}

/// Compares what was read in different places. Findings point into the job.
pub(super) fn across(reading: &Reading<'_>, scenario: &Scenario) {
    // What doesn't go with a faulty number is its echo.
    if reading.is_faulty() {
        return;
    }
    let held = Proportion { reading, scenario };
    held.bar();
    held.work();
    held.stock();
    held.passes();
    held.speed();
    held.gauge();
    held.preload();
    held.slack();
    held.thread();
}

impl Proportion<'_> {
    fn say(&self, severity: Severity, path: &str, what: String, label: String, hint: &str) {
        self.reading
            .report(severity, self.reading.place(path), what, label, hint);
    }

    fn warn(&self, path: &str, what: impl Into<String>, label: impl Into<String>, hint: &str) {
        self.say(Severity::Warning, path, what.into(), label.into(), hint);
    }

    fn show(&self, si: f64) -> String {
        Length::from_si(si).show(self.scenario.job.units)
    }

    /// Stick-out of a bar over its diameter, and what stands out of it.
    fn bar(&self) {
        let job = &self.scenario.job;
        let Some(bar) = job.tool.bar.filter(|_| job.work.kind == Kind::Inside) else {
            return;
        };
        let (out, through) = (bar.stick_out.si(), bar.diameter.si());
        let times = out / through;
        let what = || format!("the bar sticks out {times:.1} times its diameter");
        let label = format!("the bar is {} through", self.show(through));
        let long = match bar.carbide {
            true => LONG_BAR.1,
            false => LONG_BAR.0,
        };
        if times > LONGEST_BAR {
            self.say(
                Severity::Error,
                "tool.bar.stick_out",
                what(),
                label,
                "no bar that long bores: thirty times is where it ends; check the digits and the \
                 unit of both",
            );
        } else if times > long {
            self.warn(
                "tool.bar.stick_out",
                what(),
                label,
                "steel bars chatter from about five on, carbide from eight: take a thicker bar, or \
                 let it out less",
            );
        } else if times < 1.0 {
            self.warn(
                "tool.bar.stick_out",
                "the bar is thicker than it sticks out",
                label,
                "check the digits and the unit of both",
            );
        }
        if let Some(edge) = bar.edge_out
            && edge.si() > through
        {
            self.warn(
                "tool.bar.edge_out",
                "the edge stands out of the bar by more than the bar is thick",
                format!("the bar is {} through", self.show(through)),
                "edge_out is how far the edge stands out of the bar's side",
            );
        }
    }

    /// Length, diameter and wall of the piece.
    fn work(&self) {
        let work = &self.scenario.job.work;
        let (big, small) = work.end_diameters();
        let (big, small) = (big.si(), small.si());
        let length = work.length.si();
        if length < 0.06 * big && work.taper.si() < 1.0 {
            self.warn(
                "work.length",
                "the taper is very short for its diameter",
                format!("it is {} through", self.show(big)),
                "check the digits and the unit of both",
            );
        }
        let (out, most, hint) = match (work.kind, work.holding) {
            (Kind::Inside, _) => (
                length,
                12.0,
                "a bore that deep is drilled and reamed: check the digits and the unit of both",
            ),
            // On a steady rest it doesn't hang from the chuck alone.
            (Kind::Outside, Holding::Chuck) if work.steady.is_none() => (
                length + work.from_jaws.si(),
                LONG_WORK.0,
                "work that long out of a chuck wants a centre: check the digits and the unit of \
                 both",
            ),
            (Kind::Outside, _) => (
                length,
                LONG_WORK.1,
                "work that long wants a steady: check the digits and the unit of both",
            ),
        };
        if small > 0.0 && out > most * max(small, 0.5 * big) {
            self.warn(
                "work.length",
                "the piece is very long for its diameter",
                format!("it is {} to {} through", self.show(small), self.show(big)),
                hint,
            );
        }
        if let Some(outside) = work.outside_diameter
            && work.kind == Kind::Inside
            && outside.si() > 8.0 * big
        {
            self.warn(
                "work.outside_diameter",
                "the piece is many times as thick as its bore",
                format!("the bore is {} at its big end", self.show(big)),
                "check the digits and the unit of both",
            );
        }
        if let Some(between) = &work.between_centres
            && between.origin == Origin::Given
            && self.reading.has("work.from_jaws")
            && self.reading.has("work.beyond")
            && between.si() > 3.0 * (work.from_jaws.si() + length + work.beyond.si())
        {
            self.warn(
                "work.between_centres",
                "the length between centres is several times what stands between them",
                format!(
                    "the taper with what is beside it takes {}",
                    self.show(work.from_jaws.si() + length + work.beyond.si())
                ),
                "check the digits and the unit of all",
            );
        }
        for (path, room) in [
            ("work.room_headstock", work.room_headstock),
            ("work.room_tailstock", work.room_tailstock),
            ("work.from_jaws", work.from_jaws),
            ("work.beyond", work.beyond),
        ] {
            let far = max(30.0 * max(length, big), 24.0 * INCH);
            if self.reading.has(path) && room.si() > far {
                self.warn(
                    path,
                    format!(
                        "that is {:.0} times the length of the taper",
                        room.si() / length
                    ),
                    format!("the taper is {} long", self.show(length)),
                    "check the digits and the unit of both",
                );
            }
        }
    }

    /// What the start surface leaves to be cut.
    fn stock(&self) {
        let work = &self.scenario.job.work;
        let (big, small) = work.end_diameters();
        let (big, small) = (big.si(), small.si());
        match (work.start, work.kind) {
            (StartSurface::Straight { diameter }, Kind::Outside) if diameter.si() > 2.5 * big => {
                self.warn(
                    "work.start.straight",
                    "most of the bar would go into chips",
                    format!("the big end is {}", self.show(big)),
                    "check the digits and the unit of both",
                );
            }
            (StartSurface::Straight { diameter }, Kind::Inside) if diameter.si() < 0.3 * small => {
                self.warn(
                    "work.start.straight",
                    "the hole is a small part of the bore",
                    format!("the small end is {}", self.show(small)),
                    "check the digits and the unit of both",
                );
            }
            (StartSurface::Roughed { stock }, _) if stock.si() > 0.25 * small => {
                self.warn(
                    "work.start.roughed",
                    "the stock is a large part of the piece",
                    format!("the small end is {}", self.show(small)),
                    "stock is what was left on the taper per side",
                );
            }
            _ => {}
        }
    }

    /// Depths against the nose, the bar and the readout; feeds against depths.
    fn passes(&self) {
        let job = &self.scenario.job;
        let nose = job.tool.nose_radius.si();
        let step = self.scenario.lathe.step_of_slide();
        let last = job.passes.finish.last().map_or(f64::NAN, |pass| pass.si());
        if self.reading.has("passes.finish") && last < step {
            self.warn(
                "passes.finish",
                "the last pass is less than a step of the readout",
                format!("the slide moves {} for a step", self.show(step)),
                "set a pass that can be read off, or give the step of the dial it is set by",
            );
        }
        let edge = job.tool.edge_radius.si();
        if self.reading.has("tool.edge_radius") && edge > 3.0 * last {
            self.warn(
                "tool.edge_radius",
                "the edge is rounder than the last pass is deep",
                format!("the last pass is {}", self.show(last)),
                "such an edge rubs and does not cut: check the digits and the unit of both",
            );
        }
        if self.reading.has("passes.rough") {
            let rough = job.passes.rough.si();
            let through = match job.work.kind {
                Kind::Inside => job.tool.bar.map_or(f64::NAN, |bar| bar.diameter.si()),
                Kind::Outside => f64::NAN,
            };
            if rough > 40.0 * nose || rough > 0.5 * through {
                self.warn(
                    "passes.rough",
                    "the roughing pass is deep for this tool",
                    format!("the nose radius is {}", self.show(nose)),
                    "check the digits and the unit of depth, nose and bar",
                );
            }
        }
        for (path, feed) in [
            ("passes.feed", job.passes.feed),
            ("passes.rough_feed", job.passes.rough_feed),
        ] {
            if self.reading.has(path) && feed.si() > 0.1 * job.work.length.si() {
                self.warn(
                    path,
                    "fewer than ten turns make the whole taper",
                    format!("the taper is {} long", self.show(job.work.length.si())),
                    "check the digits and the unit of both",
                );
            }
        }
        if self.reading.has("passes.rough_feed")
            && self.reading.has("passes.feed")
            && job.passes.feed.si() > 3.0 * job.passes.rough_feed.si()
        {
            self.warn(
                "passes.feed",
                "finishing feeds several times as fast as roughing",
                format!("roughing feeds {}", self.show(job.passes.rough_feed.si())),
                "check the digits and the unit of both",
            );
        }
    }

    /// The cutting speed that turns make at the big end, against the material.
    fn speed(&self) {
        let job = &self.scenario.job;
        if job.passes.speed_assumed {
            return;
        }
        let (big, _) = job.work.end_diameters();
        let at_the_cut = match job.passes.speed {
            Speed::Turns(turns) => std::f64::consts::PI * big.si() * turns,
            Speed::Surface(speed) => speed,
        };
        let Some(material) = Material::named(&job.work.material) else {
            return;
        };
        let (slow, fast) = (
            material.speed(ToolMaterial::HighSpeedSteel),
            material.speed(ToolMaterial::Carbide),
        );
        let shown = |si: f64| Speed::Surface(si).show(job.units);
        if at_the_cut > 4.0 * fast || at_the_cut < slow / 40.0 {
            self.warn(
                "passes.speed",
                format!(
                    "{} at the cut is {} for this material",
                    shown(at_the_cut),
                    if at_the_cut > fast {
                        "very fast"
                    } else {
                        "very slow"
                    }
                ),
                format!("the big end is {}", self.show(big.si())),
                "check speed, diameter and their units",
            );
            return;
        }
        let turns = at_the_cut / (std::f64::consts::PI * big.si());
        if job.work.holding != Holding::Chuck && turns > 4000.0 / 60.0 {
            self.warn(
                "passes.speed",
                "that is more turns than a tailstock centre stands",
                format!("{} rpm", (turns * 60.0).round()),
                "check speed, diameter and their units",
            );
        }
    }

    /// Whether the gauge tells what the drawing asks.
    fn gauge(&self) {
        let job = &self.scenario.job;
        let gauge = &job.gauge;
        let within = gauge.within.si();
        if gauge.kind.is_none() {
            return;
        }
        if let Some(size) = job.work.size_tolerance
            && size.upper.si() - size.lower.si() < within
        {
            self.warn(
                "work.size_tolerance",
                "the gauge can't tell a band this narrow",
                format!("it is good within {}", self.show(within)),
                "check the digits and the unit, or take a finer gauge and say so in [gauge]",
            );
        }
        let band = job.work.tolerance.upper.si() - job.work.tolerance.lower.si();
        let over = band * job.work.length.si();
        if self.reading.sound("work.tolerance") && over < within {
            self.warn(
                "work.tolerance",
                "the gauge can't tell a band this narrow",
                format!(
                    "over the taper's length it is {} on diameter, and the gauge is good within {}",
                    self.show(over),
                    self.show(within)
                ),
                "check the digits and the unit, or take a finer gauge and say so in [gauge]",
            );
        }
    }

    /// Preload and drag against the slide.
    fn preload(&self) {
        let slide = &self.scenario.lathe.slide;
        let drag = &slide.drag;
        let Some(preload) = &self.scenario.job.preload else {
            return;
        };
        let (path, force) = match preload.source {
            PreloadSource::Constant(force) if self.reading.has("preload.weight") => {
                ("preload.weight", force.si())
            }
            PreloadSource::Constant(force) => ("preload.constant", force.si()),
            PreloadSource::Spring { force, .. } => ("preload.spring", force.si()),
            PreloadSource::Cylinder { bore, pressure, .. } => (
                "preload.cylinder.bore",
                std::f64::consts::FRAC_PI_4 * bore.si() * bore.si() * pressure.si(),
            ),
        };
        let shown = |si: f64| crate::quantity::Force::from_si(si).show(self.scenario.job.units);
        if force > 15.0 * drag.high.si() || force < 0.1 * drag.low.si() {
            self.warn(
                path,
                format!("a preload of {} is out of proportion", shown(force)),
                format!("the slide drags {}", shown(drag.si())),
                "about twice the drag is enough, and less than the drag is worse than none",
            );
        }
        if let PreloadSource::Cylinder { bore, rod, .. } = preload.source
            && rod.si() > 0.0
            && rod.si() < 0.1 * bore.si()
        {
            self.warn(
                "preload.cylinder.rod",
                "the rod is very thin for its cylinder",
                format!("the bore is {}", self.show(bore.si())),
                "check the digits and the unit of both",
            );
        }
    }

    /// Slack against the taper and the room there is to take it up.
    fn slack(&self) {
        let work = &self.scenario.job.work;
        let attachment = &self.scenario.lathe.attachment;
        let Some(total) = &attachment.total_slack else {
            return;
        };
        let lost = 2.0 * total.si() / work.taper.si();
        if attachment.fitted && lost > 60.0 * INCH {
            self.warn(
                "work.taper",
                format!(
                    "the lathe's slack takes {} of travel on this taper",
                    self.show(lost)
                ),
                format!("its slack is {}", self.show(total.si())),
                "check the taper, and the slack in the lathe file",
            );
        }
    }

    /// The flats and roots of a thread against its pitch.
    fn thread(&self) {
        let Some(cut) = self
            .scenario
            .job
            .thread
            .as_ref()
            .and_then(|t| t.cut.as_ref())
        else {
            return;
        };
        let pitch = cut.lead.si();
        let turns = self.scenario.job.work.length.si() / pitch;
        if turns > 300.0 {
            self.warn(
                match self.reading.has("thread.pitch") {
                    true => "thread.pitch",
                    false => "thread.threads_per_inch",
                },
                format!("the thread has {turns:.0} turns over this taper"),
                format!(
                    "the taper is {} long",
                    self.show(self.scenario.job.work.length.si())
                ),
                "check the pitch, the length and their units",
            );
        }
        for key in ["crest_flat", "root_flat"] {
            let path = format!("thread.{key}");
            let flat = match (key, cut.form.root) {
                ("crest_flat", _) => cut.form.crest_flat.si(),
                (_, crate::scenario::Root::Flat(flat)) => flat.si(),
                (_, crate::scenario::Root::Round(_)) => continue,
            };
            // The narrowest flat of a standard form is a sixteenth to a thirtieth of its pitch.
            if self.reading.has(&path) && flat > 0.0 && flat < pitch / 60.0 {
                self.warn(
                    &path,
                    "that flat is next to none for this pitch",
                    format!("the pitch is {}", self.show(pitch)),
                    "write 0 for an edge; else check the digits and the unit of both",
                );
            }
        }
    }
}

/// The lathe alone: its parts against each other. Findings point into the lathe file.
pub(super) fn of_the_lathe(reading: &Reading<'_>, lathe: &crate::scenario::Lathe) {
    let warn = |path: &str, what: String, label: String, hint: &str| {
        reading.report(Severity::Warning, reading.place(path), what, label, hint);
    };
    if reading.is_faulty() {
        return;
    }
    let units = lathe.units;
    let length = |si: f64| Length::from_si(si).show(units);
    let force = |si: f64| crate::quantity::Force::from_si(si).show(units);
    let slide = &lathe.slide;
    if slide.drag.origin == Origin::Given && slide.weight.origin == Origin::Given {
        let (drag, weight) = (slide.drag.si(), slide.weight.si());
        if drag > 2.0 * weight || drag < 0.03 * weight {
            warn(
                "slide.drag",
                format!(
                    "a drag of {} doesn't go with this slide's weight",
                    force(drag)
                ),
                format!("it weighs {}", force(weight)),
                "an oiled slide drags a tenth to a fifth of its weight, and its gib as much again: \
                 check the digits and the unit of both",
            );
        }
    }
    let attachment = &lathe.attachment;
    if let Some(total) = &attachment.total_slack {
        // Parts of a lathe in this condition, at their best and at their worst.
        let parts = [
            &crate::scenario::numbers::attachment::SHOE_SLACK,
            &crate::scenario::numbers::attachment::THRUST_SLACK,
            &crate::scenario::numbers::attachment::NUT_SLACK,
        ]
        .map(|row| row.of(lathe.condition));
        let (low, high) = parts.iter().fold((0.0, 0.0), |(low, high), part| {
            (low + part.low.si(), high + part.high.si())
        });
        if reading.sound("condition")
            && (total.high.si() < 0.2 * low || total.low.si() > 4.0 * high)
        {
            warn(
                "attachment.slack",
                format!(
                    "a slack of {} doesn't go with this condition",
                    length(total.si())
                ),
                format!("such lathes have {} to {}", length(low), length(high)),
                "check the digits and the unit, or say another condition",
            );
        }
    }
    if reading.has("attachment.guide_end")
        && reading.has("attachment.guide_travel")
        && !(0.2..=4.0).contains(&(attachment.guide_end.si() / attachment.guide_travel.si()))
    {
        warn(
            "attachment.guide_end",
            "the guide's end and its travel don't go together".to_owned(),
            format!("usable travel is {}", length(attachment.guide_travel.si())),
            "guide_end is from the pivot to the end of the bar: check the digits and the units",
        );
    }
}
