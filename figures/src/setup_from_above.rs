//! One way to make the cut, from above: what stands where and which way everything goes.

use tautway_sim::{
    quantity::Units,
    scenario::{End, Kind, Toward},
    setup::{Face, Feed, Press, Pull, Rotation, Setup, Side},
};

use crate::{
    Drawing, font,
    ink::{Anchor, Ink, LETTER, Lettering, Place, Stroke, WIDTH, arc, colour},
    scale::{Scale, number},
};

/// What the drawing needs to know beside the directions.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SetupView {
    /// Change of radius over length, without sign; 0 for a straight cut.
    pub slope: f64,
    /// Length of the taper along the axis, m.
    pub length: f64,
    /// Diameter at the big end, m.
    pub big_diameter: f64,
    /// Run-in needed before the starting end, m.
    pub run_in: f64,
    /// Which way the preload pushes the slide, if there is one.
    pub preload: Option<Toward>,
    /// The person's units.
    pub units: Units,
}

const OUTLINE: Stroke = Stroke::solid(colour::BLACK, 1.8);
const HIDDEN: Stroke = Stroke::dashed(colour::GREY, 1.4, 8.0, 5.0);
const ARROW: Stroke = Stroke::solid(colour::BLACK, 4.0);
/// Left and right end of the taper on the sheet, px.
const TAPER: (f64, f64) = (285.0, 585.0);
const NOSE: f64 = 190.0;
/// Half the width of the cross-slide, px.
const SLIDE: f64 = 42.0;

/// The plan of one way. Lengths are not to scale; angles may be larger or smaller than life, and
/// the caption then says by how much.
pub fn setup_from_above(setup: &Setup, view: &SetupView) -> Drawing {
    let (mut ink, y) = Ink::titled(&title(setup));
    let plan = Plan::new(setup, view, y);
    plan.cross_slide(&mut ink);
    plan.guide(&mut ink);
    plan.headstock(&mut ink);
    match setup.kind {
        Kind::Outside => plan.outside_work(&mut ink),
        Kind::Inside => plan.bored_work(&mut ink),
    }
    plan.axis_line(&mut ink);
    plan.tool(&mut ink);
    plan.ends(&mut ink);
    plan.run_in(&mut ink);
    plan.feed(&mut ink);
    plan.pull(&mut ink);
    plan.preload(&mut ink);
    plan.end_view(&mut ink);
    let bottom = plan.axis + 305.0;
    ink.captioned("setup", bottom, &plan.caption())
}

fn title(setup: &Setup) -> String {
    let work = match (setup.kind, setup.side) {
        (Kind::Outside, Side::Front) => "Outside taper, tool at the front",
        (Kind::Outside, Side::Rear) => "Outside taper, tool at the rear",
        (Kind::Inside, Side::Front) => "Bored taper, tool on the front wall",
        (Kind::Inside, Side::Rear) => "Bored taper, tool on the rear wall",
    };
    let (face, spindle, feed) = (face(setup), spindle(setup), toward(setup.feed));
    format!("From above. {work}, {face}, {spindle}, feed toward the {feed}")
}

fn face(setup: &Setup) -> &'static str {
    match setup.face {
        Face::Up => "face up",
        Face::Down => "face down",
    }
}

fn spindle(setup: &Setup) -> &'static str {
    match setup.rotation {
        Rotation::Forward => "spindle forward",
        Rotation::Reverse => "spindle reversed",
    }
}

fn toward(feed: Feed) -> &'static str {
    match feed {
        Feed::Headstock => "headstock",
        Feed::Tailstock => "tailstock",
    }
}

/// Where everything stands on the sheet, px.
struct Plan<'a> {
    setup: &'a Setup,
    view: &'a SetupView,
    /// y of the spindle axis.
    axis: f64,
    /// +1 where the tool's side is drawn below the axis (the front), -1 above.
    side: f64,
    /// Change of radius per px along the axis, as drawn and signed.
    slope: f64,
    /// How many times larger than life the angle is drawn.
    larger: f64,
    /// Radius at the big end.
    big: f64,
    /// x of the tool's point and of the cross-slide's middle.
    tool: f64,
    slide: f64,
    /// y of the guide's middle, above the slide.
    rail: f64,
}

impl<'a> Plan<'a> {
    fn new(setup: &'a Setup, view: &'a SetupView, top: f64) -> Self {
        let (range, big, slide) = match setup.kind {
            Kind::Outside => ((0.1, 0.18), 78.0, 435.0),
            // A bar has to pass through the small end.
            Kind::Inside => ((0.06, 0.1), 78.0, 715.0),
        };
        let larger = enlargement(view.slope, range);
        let size = if view.slope.is_finite() {
            view.slope.abs() * larger
        } else {
            0.0
        };
        Self {
            setup,
            view,
            axis: top + 322.0,
            side: setup.side.sign(),
            slope: setup.slope_sign() * size.min(range.1),
            larger,
            big,
            tool: 435.0,
            slide,
            rail: top + 60.0,
        }
    }

    /// Radius of the cone at `x`, also beyond its ends.
    fn radius(&self, x: f64) -> f64 {
        let big_at = match self.setup.big_end {
            End::Headstock => TAPER.0,
            End::Tailstock => TAPER.1,
        };
        self.big + self.slope * (x - big_at)
    }

    /// A place `out` px from the axis on the tool's side.
    fn off(&self, x: f64, out: f64) -> Place {
        (x, self.axis + self.side * out)
    }

    fn run_in_px(&self) -> f64 {
        let drawn = self.view.run_in / self.view.length * (TAPER.1 - TAPER.0);
        if drawn > 0.0 {
            drawn.clamp(24.0, 82.0)
        } else {
            0.0
        }
    }

    fn headstock(&self, ink: &mut Ink) {
        let a = self.axis;
        ink.box_(
            (20.0, a - 105.0),
            (100.0, 210.0),
            colour::WHITE,
            Some(OUTLINE),
        );
        let lettering = Lettering {
            turn: -90.0,
            ..Lettering::PLAIN.at(Anchor::Middle)
        };
        ink.text((52.0, a), "headstock", lettering);
        ink.box_(
            (120.0, a - 90.0),
            (56.0, 180.0),
            colour::WHITE,
            Some(OUTLINE),
        );
        // From above one sees the top of the chuck: it moves toward the operator when the work's
        // front comes down.
        let way = self.setup.rotation.sign();
        let bend: Vec<Place> = arc((148.0, a), 62.0, -90.0, 90.0, 24)
            .into_iter()
            .map(|(x, y)| (148.0 + 0.16 * (x - 148.0), a + way * (y - a)))
            .collect();
        ink.arrow(&bend, ARROW);
        let text = match self.setup.rotation {
            Rotation::Forward => "toward you",
            Rotation::Reverse => "away from you",
        };
        ink.lines(
            (20.0, a - 174.0),
            &[spindle(self.setup), "top turns", text],
            Lettering::PLAIN,
        );
        for out in [-46.0, 20.0] {
            ink.box_(
                (176.0, a + out),
                (NOSE - 162.0, 26.0),
                colour::WHITE,
                Some(OUTLINE),
            );
        }
    }

    fn axis_line(&self, ink: &mut Ink) {
        let chain = Stroke::dashed(colour::GREY, 1.3, 22.0, 6.0);
        let from = if self.setup.kind == Kind::Inside {
            TAPER.0 - 100.0
        } else {
            100.0
        };
        ink.line(&[(from, self.axis), (WIDTH - 20.0, self.axis)], chain);
    }

    fn outside_work(&self, ink: &mut Ink) {
        let (left, right) = TAPER;
        let start = self.setup.starts_at();
        let run = if start == End::Headstock {
            self.run_in_px()
        } else {
            0.0
        };
        let neck = self.radius(left).max(24.0);
        let relief = (self.radius(left).min(self.radius(left - run)) - 8.0).max(10.0);
        let mut half = vec![(NOSE, neck)];
        if run > 0.0 {
            half.extend([(left - run, neck), (left - run, relief), (left, relief)]);
        }
        half.extend([(left, self.radius(left)), (right, self.radius(right))]);
        let outline = mirrored(&half, self.axis);
        ink.area(&outline, colour::WHITE, Some(OUTLINE));
        for x in [left, right] {
            let r = self.radius(x);
            ink.line(
                &[(x, self.axis - r), (x, self.axis + r)],
                Stroke::solid(colour::BLACK, 1.0),
            );
        }
    }

    fn bored_work(&self, ink: &mut Ink) {
        let (left, right) = TAPER;
        let body = self.body();
        let start = self.setup.starts_at();
        let run = if start == End::Headstock {
            self.run_in_px()
        } else {
            0.0
        };
        let relief = self.radius(left).max(self.radius(left - run)) + 5.0;
        let hole = self.radius(left).min(self.radius(right)) - 20.0;
        let mut bore = vec![(NOSE, hole)];
        if run > 0.0 {
            bore.extend([(left - run, hole), (left - run, relief), (left, relief)]);
        } else {
            bore.push((left, hole));
        }
        bore.extend([(left, self.radius(left)), (right, self.radius(right))]);
        ink.box_(
            (NOSE, self.axis - body),
            (right - NOSE, 2.0 * body),
            colour::WHITE,
            Some(OUTLINE),
        );
        for way in [-1.0, 1.0] {
            let mut wall = vec![(NOSE, self.axis + way * body)];
            wall.extend(bore.iter().map(|&(x, r)| (x, self.axis + way * r)));
            wall.push((right, self.axis + way * body));
            ink.hatch(&wall, 13.0, true, Stroke::solid(colour::GREY, 1.0));
            ink.area(&wall, "none", Some(OUTLINE));
        }
        let r = self.radius(left);
        ink.line(
            &[(left, self.axis - r), (left, self.axis + r)],
            Stroke::solid(colour::BLACK, 1.0),
        );
    }

    fn body(&self) -> f64 {
        self.big + 34.0
    }

    fn cross_slide(&self, ink: &mut Ink) {
        let size = (2.0 * SLIDE, self.axis + 200.0 - self.rail);
        ink.box_(
            (self.slide - SLIDE, self.rail),
            size,
            "#f3f3f3",
            Some(OUTLINE),
        );
        let (x, anchor) = match self.setup.feed {
            Feed::Headstock => (self.slide + SLIDE + 12.0, Anchor::Start),
            Feed::Tailstock => (self.slide - SLIDE - 12.0, Anchor::End),
        };
        ink.text(
            (x, self.axis + 196.0),
            "cross-slide",
            Lettering::PLAIN.at(anchor),
        );
    }

    /// The guide bar at the rear: the slide's X follows `side * slope` along the bed.
    fn guide(&self, ink: &mut Ink) {
        let lean = self.side * self.slope;
        let on = |x: f64, across: f64| {
            let long = lean.hypot(1.0);
            (
                x - across * lean / long,
                self.rail + lean * (x - self.slide) + across / long,
            )
        };
        let (left, right) = (
            (self.slide - 260.0).max(225.0),
            (self.slide + 260.0).min(880.0),
        );
        let bar = [
            on(left, -9.0),
            on(right, -9.0),
            on(right, 9.0),
            on(left, 9.0),
        ];
        ink.area(&bar, colour::WHITE, Some(OUTLINE));
        let s = self.slide;
        let shoe = [
            on(s - 34.0, -19.0),
            on(s + 34.0, -19.0),
            on(s + 34.0, 19.0),
            on(s - 34.0, 19.0),
        ];
        ink.area(&shoe, "#d9d9d9", Some(OUTLINE));
        ink.circle((s, self.rail), 5.0, colour::BLACK, None);
        // Parallel to the axis through the shoe: against it one sees which way the bar swings.
        ink.line(&[(left, self.rail), (right, self.rail)], HIDDEN);
        // Named on the outer side of the swing, where the dashed line isn't.
        let name = |ink: &mut Ink, x: f64, text: &str| {
            let high = lean * (x - s) <= 0.0;
            let y = on(x, 0.0).1;
            let y = if high { y - 24.0 } else { y + 36.0 };
            ink.text((x, y), text, Lettering::PLAIN.at(Anchor::Middle));
        };
        name(ink, f64::midpoint(left, s - 34.0) - 20.0, "guide bar");
        name(ink, s + 76.0, "shoe");
    }

    fn tool(&self, ink: &mut Ink) {
        let tip = self.off(self.tool, self.radius(self.tool));
        let name = ["tool,", face(self.setup)];
        let steel = Some(OUTLINE);
        match self.setup.kind {
            Kind::Outside => {
                let out = (tip.1 - self.axis).abs();
                let shank = [
                    tip,
                    self.off(self.tool - 10.0, out + 16.0),
                    self.off(self.tool - 10.0, out + 60.0),
                    self.off(self.tool + 10.0, out + 60.0),
                    self.off(self.tool + 10.0, out + 16.0),
                ];
                ink.area(&shank, colour::WHITE, steel);
                let post = self.off(self.tool, out + 70.0);
                ink.box_(
                    (post.0 - 25.0, post.1 - 25.0),
                    (50.0, 50.0),
                    "#d9d9d9",
                    steel,
                );
                let at = self.off(self.tool + SLIDE + 12.0, out + 34.0);
                ink.lines((at.0, at.1 - 6.0), &name, Lettering::BOLD);
            }
            Kind::Inside => {
                let r = self.radius(self.tool);
                let (near, far) = (r - 14.0, r - 32.0);
                let bar = [
                    tip,
                    self.off(self.tool + 12.0, near),
                    self.off(self.slide, near),
                    self.off(self.slide, far),
                    self.off(self.tool - 10.0, far),
                    self.off(self.tool - 10.0, near),
                ];
                ink.area(&bar, colour::WHITE, steel);
                let post = self.off(self.slide, r - 23.0);
                ink.box_(
                    (post.0 - 27.0, post.1 - 27.0),
                    (54.0, 54.0),
                    "#d9d9d9",
                    steel,
                );
                let at = self.off(self.slide + SLIDE + 10.0, r - 23.0);
                let lift = if self.side > 0.0 { 0.0 } else { -14.0 };
                ink.lines((at.0, at.1 + lift), &name, Lettering::BOLD);
            }
        }
    }

    fn ends(&self, ink: &mut Ink) {
        if self.view.slope == 0.0 {
            return;
        }
        let (left, right) = match self.setup.big_end {
            End::Headstock => ("big end", "small end"),
            End::Tailstock => ("small end", "big end"),
        };
        let y = match self.setup.kind {
            Kind::Outside => self.axis + 7.0,
            Kind::Inside => self.off(0.0, -22.0).1 + 7.0,
        };
        ink.text((TAPER.0 + 8.0, y), left, Lettering::PLAIN);
        ink.text((TAPER.1 - 8.0, y), right, Lettering::PLAIN.at(Anchor::End));
    }

    /// Run-in before the starting end, on the side away from the tool.
    fn run_in(&self, ink: &mut Ink) {
        let run = self.run_in_px();
        if run <= 0.0 {
            return;
        }
        let (end, from) = match self.setup.starts_at() {
            End::Headstock => (TAPER.0, TAPER.0 - run),
            End::Tailstock => (TAPER.1, TAPER.1 + run),
        };
        let out = match self.setup.kind {
            Kind::Outside => self.radius(end).max(24.0),
            Kind::Inside => self.body(),
        };
        let witness = Stroke::solid(colour::BLACK, 1.2);
        for x in [end, from] {
            ink.line(
                &[self.off(x, -(out + 5.0)), self.off(x, -(out + 36.0))],
                witness,
            );
        }
        ink.dimension(self.off(from, -(out + 28.0)), self.off(end, -(out + 28.0)));
        let text = format!(
            "run-in {}",
            Scale::length(self.view.units).show(self.view.run_in)
        );
        let at = self.off(f64::midpoint(from, end), -(out + 50.0));
        ink.text(
            (at.0, at.1 + 7.0),
            &text,
            Lettering::BOLD.at(Anchor::Middle),
        );
    }

    fn feed(&self, ink: &mut Ink) {
        let way = self.setup.feed.sign();
        let y = self.axis + 140.0;
        let from = self.slide + way * (SLIDE + 12.0);
        ink.arrow(&[(from, y), (from + way * 100.0, y)], ARROW);
        let (at, anchor) = if way > 0.0 {
            (from, Anchor::Start)
        } else {
            (from, Anchor::End)
        };
        let end = match self.setup.feed {
            Feed::Headstock => "the headstock",
            Feed::Tailstock => "the tailstock",
        };
        ink.lines(
            (at, y + 28.0),
            &["feed toward", end],
            Lettering::BOLD.at(anchor),
        );
    }

    /// What the guide does at the tool: into the work or out of it.
    fn pull(&self, ink: &mut Ink) {
        let way = match self.setup.pull() {
            _ if self.view.slope == 0.0 => return,
            Pull::Neither => return,
            pull => pull.sign() * self.setup.into(),
        };
        let words = match self.setup.pull() {
            Pull::In => ["guide", "pulls in"],
            _ => ["guide", "draws away"],
        };
        let lettering = Lettering {
            colour: colour::VERMILION,
            ..Lettering::BOLD
        };
        let stroke = Stroke::solid(colour::VERMILION, 5.0);
        let x = self.tool - 28.0;
        match self.setup.kind {
            Kind::Outside => {
                let r = self.radius(x);
                let (near, far) = (r + 6.0, r + 56.0);
                let ends = if way < 0.0 { (far, near) } else { (near, far) };
                ink.arrow(&[self.off(x, ends.0), self.off(x, ends.1)], stroke);
                let at = self.off(x - 24.0, r + 30.0);
                ink.lines((at.0, at.1 - 4.0), &words, lettering.at(Anchor::End));
            }
            Kind::Inside => {
                let r = self.radius(x);
                let (near, far) = (r - 58.0, r - 4.0);
                let ends = if way > 0.0 { (near, far) } else { (far, near) };
                ink.arrow(&[self.off(x, ends.0), self.off(x, ends.1)], stroke);
                let text = format!("{} {}", words[0], words[1]);
                let at = self.off(x, self.body() + 28.0);
                ink.line(
                    &[self.off(x, r - 2.0), self.off(x, self.body() + 12.0)],
                    Stroke::solid(colour::VERMILION, 1.4),
                );
                ink.text((at.0, at.1 + 7.0), &text, lettering.at(Anchor::Middle));
            }
        }
    }

    fn preload(&self, ink: &mut Ink) {
        let Some(toward) = self.view.preload else {
            return;
        };
        let (near, far) = (self.axis + 206.0, self.axis + 258.0);
        let (from, to, text) = match toward {
            Toward::Operator => (near, far, "preload pulls toward you"),
            Toward::Away => (far, near, "preload pushes away from you"),
        };
        let stroke = Stroke::solid(colour::BLUE, 5.0);
        ink.arrow(&[(self.slide, from), (self.slide, to)], stroke);
        let lettering = Lettering {
            colour: colour::BLUE,
            ..Lettering::BOLD
        };
        // Where the feed's words are not.
        let wide = font::width(text, LETTER, true);
        if self.slide + 20.0 + wide < WIDTH - 20.0 {
            ink.text((self.slide + 20.0, far - 4.0), text, lettering);
        } else {
            ink.text(
                (self.slide - 20.0, far - 4.0),
                text,
                lettering.at(Anchor::End),
            );
        }
    }

    /// The end of the work as seen from the tailstock: there the operator stands at the left, and
    /// the spindle turns counter-clockwise when it runs forward.
    fn end_view(&self, ink: &mut Ink) {
        let centre = (118.0, self.axis + 206.0);
        let left = -self.side;
        let up = -self.setup.face.sign();
        let steel = Some(OUTLINE);
        let (work, tip) = match self.setup.kind {
            Kind::Outside => (44.0, 44.0),
            Kind::Inside => (60.0, 44.0),
        };
        ink.circle(centre, work, "#e9e9e9", steel);
        if self.setup.kind == Kind::Inside {
            ink.circle(centre, tip, colour::WHITE, steel);
        }
        let at = |out: f64, down: f64| (centre.0 + left * out, centre.1 + down);
        let (back, clear) = match self.setup.kind {
            Kind::Outside => (tip + 46.0, tip + 8.0),
            Kind::Inside => (tip - 46.0, tip - 6.0),
        };
        let tool = [
            at(tip, 0.0),
            at(back, 0.0),
            at(back, -14.0 * up),
            at(clear, -14.0 * up),
        ];
        ink.area(&tool, "#bdbdbd", steel);
        ink.line(
            &[at(tip, 0.0), at(back, 0.0)],
            Stroke::solid(colour::VERMILION, 5.0),
        );
        let way = -self.setup.rotation.sign();
        // The arc keeps to the side away from the tool.
        let middle = if left > 0.0 { 180.0 } else { 0.0 };
        let radius = if self.setup.kind == Kind::Inside {
            33.0
        } else {
            28.0
        };
        let turn = arc(centre, radius, middle - way * 75.0, middle + way * 75.0, 20);
        ink.arrow(&turn, Stroke::solid(colour::BLACK, 3.5));
        let lettering = Lettering {
            size: 16.0,
            ..Lettering::PLAIN.at(Anchor::Middle)
        };
        ink.text(
            (centre.0, centre.1 + 84.0),
            "seen from the tailstock",
            lettering,
        );
        ink.text(
            (WIDTH - 20.0, self.axis + 300.0),
            "tailstock →",
            Lettering::PLAIN.at(Anchor::End),
        );
        ink.text(
            (450.0, self.axis + 300.0),
            "you stand here",
            Lettering::PLAIN.at(Anchor::Middle),
        );
    }

    fn caption(&self) -> String {
        let length = Scale::length(self.view.units);
        let comes = match self.setup.press() {
            Press::Down => "The work comes down on the tool and presses the slide down",
            Press::Lift => "The work comes up past the tool and lifts the slide",
        };
        let guide = match self.setup.pull() {
            _ if self.view.slope == 0.0 => "the cut is straight",
            Pull::In => "the guide pulls the tool in",
            Pull::Away => "the guide draws the tool away",
            Pull::Neither => "the guide does neither",
        };
        let scale = if self.view.slope == 0.0 || (self.larger - 1.0).abs() < 1e-9 {
            "Lengths not to scale; the angle is true.".to_owned()
        } else if self.larger > 1.0 {
            format!(
                "Lengths not to scale; angles drawn {} times larger than life.",
                number(self.larger, if self.larger.fract() == 0.0 { 0 } else { 1 })
            )
        } else {
            let smaller = 1.0 / self.larger;
            format!(
                "Lengths not to scale; angles drawn {} times smaller than life.",
                number(
                    smaller,
                    if (smaller - smaller.round()).abs() < 1e-9 {
                        0
                    } else {
                        1
                    }
                )
            )
        };
        format!(
            "{comes}; {guide}. Red edge: the face that cuts. Big end ⌀ {}, taper {} long. {scale}",
            length.show(self.view.big_diameter),
            length.show(self.view.length)
        )
    }
}

/// The whole outline from its upper half: distances from the axis.
fn mirrored(half: &[(f64, f64)], axis: f64) -> Vec<Place> {
    let above = half.iter().map(|&(x, r)| (x, axis - r));
    let below = half.iter().rev().map(|&(x, r)| (x, axis + r));
    above.chain(below).collect()
}

/// A round number of times larger (or smaller) than life that brings the slope into the range one
/// can see; 1 where it is there already.
fn enlargement(slope: f64, (least, most): (f64, f64)) -> f64 {
    const ROUND: [f64; 7] = [1.0, 1.5, 2.0, 2.5, 4.0, 5.0, 8.0];
    let slope = slope.abs();
    if !slope.is_finite() || slope <= 1e-9 || (least..=most).contains(&slope) {
        return 1.0;
    }
    let factors = || (0..10).flat_map(|decade| ROUND.map(|m| m * 10f64.powi(decade)));
    if slope < least {
        factors().find(|f| slope * f >= least).unwrap_or(1.0)
    } else {
        factors()
            .find(|f| slope / f <= most)
            .map_or(1.0, |f| 1.0 / f)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn enlarged_slopes_can_be_seen_and_fit() {
        for exponent in -60..60 {
            let slope = 10f64.powf(f64::from(exponent) / 20.0);
            for range in [(0.1, 0.18), (0.06, 0.1)] {
                let drawn = slope * enlargement(slope, range);
                assert!(
                    drawn >= range.0 * 0.6 && drawn <= range.1 * 1.001,
                    "{slope} is drawn as {drawn}"
                );
            }
        }
        assert_eq!(enlargement(0.12, (0.1, 0.18)), 1.0);
        assert_eq!(enlargement(0.0, (0.1, 0.18)), 1.0);
    }
}
