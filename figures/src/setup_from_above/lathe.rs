//! The lathe and the work as they stand: headstock, chuck, work, guide, slide and tool.

use tautway_sim::arithmetic::{hypot, max, min};
use tautway_sim::{
    scenario::{End, Kind},
    setup::{Feed, Rotation},
};

use super::{ARROW, HIDDEN, NOSE, OUTLINE, Plan, SLIDE, TAPER, face, spindle};
use crate::ink::{Anchor, Ink, Lettering, Place, Stroke, arc, colour};

impl Plan<'_> {
    pub(super) fn headstock(&self, ink: &mut Ink) {
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
        let bend: Vec<Place> = arc((20.0, a), 135.0, -28.0, 28.0, 12)
            .into_iter()
            .map(|(x, y)| (x, a + way * (y - a)))
            .collect();
        ink.arrow(&bend, ARROW);
        let text = match self.setup.rotation {
            Rotation::Forward => "toward you",
            Rotation::Reverse => "away from you",
        };
        ink.lines(
            (20.0, a - 196.0),
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

    pub(super) fn outside_work(&self, ink: &mut Ink) {
        let (left, right) = TAPER;
        let start = self.setup.starts_at();
        let run = if start == End::Headstock {
            self.run_in_px()
        } else {
            0.0
        };
        let neck = max(self.radius(left), 24.0);
        let relief = max(min(self.radius(left), self.radius(left - run)) - 8.0, 10.0);
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

    pub(super) fn bored_work(&self, ink: &mut Ink) {
        let (left, right) = TAPER;
        let body = self.body();
        let start = self.setup.starts_at();
        let run = if start == End::Headstock {
            self.run_in_px()
        } else {
            0.0
        };
        let relief = max(self.radius(left), self.radius(left - run)) + 5.0;
        let hole = min(self.radius(left), self.radius(right)) - 20.0;
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

    pub(super) fn cross_slide(&self, ink: &mut Ink) {
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
    pub(super) fn guide(&self, ink: &mut Ink) {
        let lean = self.side * self.slope;
        let on = |x: f64, across: f64| {
            let long = hypot(lean, 1.0);
            (
                x - across * lean / long,
                self.rail + lean * (x - self.slide) + across / long,
            )
        };
        let (left, right) = (
            max(self.slide - 260.0, 225.0),
            min(self.slide + 260.0, 880.0),
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

    pub(super) fn tool(&self, ink: &mut Ink) {
        let tip = self.off(self.tool, self.radius(self.tool));
        let name = ["tool,", face(self.setup)];
        let steel = Some(OUTLINE);
        match self.setup.kind {
            Kind::Outside => {
                let out = (tip.1 - self.axis).abs();
                let shank = [
                    tip,
                    self.off(self.tool - 10.0, out + 16.0),
                    self.off(self.tool - 10.0, out + 70.0),
                    self.off(self.tool + 10.0, out + 70.0),
                    self.off(self.tool + 10.0, out + 16.0),
                ];
                ink.area(&shank, colour::WHITE, steel);
                let post = self.off(self.tool, out + 82.0);
                ink.box_(
                    (post.0 - 25.0, post.1 - 25.0),
                    (50.0, 50.0),
                    "#d9d9d9",
                    steel,
                );
                let at = self.off(self.tool + SLIDE + 12.0, out + 34.0);
                let lift = if self.side > 0.0 { -6.0 } else { -16.0 };
                ink.lines((at.0, at.1 + lift), &name, Lettering::BOLD);
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
}

/// The whole outline from its upper half: distances from the axis.
fn mirrored(half: &[(f64, f64)], axis: f64) -> Vec<Place> {
    let above = half.iter().map(|&(x, r)| (x, axis - r));
    let below = half.iter().rev().map(|&(x, r)| (x, axis + r));
    above.chain(below).collect()
}
