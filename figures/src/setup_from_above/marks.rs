//! What is marked on the plan: directions, run-in, and the view from the end.

use tautway_sim::arithmetic::{max, min};
use tautway_sim::{
    quantity::{Length, Quantity, show},
    scenario::{End, Kind, Toward},
    setup::{Feed, Pull},
};

use super::{ARROW, OUTLINE, Plan, SLIDE, TAPER};
use crate::{
    font,
    ink::{Anchor, Ink, LETTER, Lettering, Stroke, WIDTH, arc, colour},
};

impl Plan<'_> {
    pub(super) fn axis_line(&self, ink: &mut Ink) {
        let chain = Stroke::dashed(colour::GREY, 1.3, 22.0, 6.0);
        let from = if self.setup.kind == Kind::Inside {
            TAPER.0 - 100.0
        } else {
            100.0
        };
        ink.line(&[(from, self.axis), (WIDTH - 20.0, self.axis)], chain);
    }

    pub(super) fn ends(&self, ink: &mut Ink) {
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

    /// Run-in before the starting end, on the side away from the tool; beside a bored piece
    /// always at the rear, as the feed's words stand at the front.
    pub(super) fn run_in(&self, ink: &mut Ink) {
        let run = self.run_in_px();
        if run <= 0.0 {
            return;
        }
        let (end, from) = match self.setup.starts_at() {
            End::Headstock => (TAPER.0, TAPER.0 - run),
            End::Tailstock => (TAPER.1, TAPER.1 + run),
        };
        let out = match self.setup.kind {
            // Above the chuck, which the words may reach over.
            Kind::Outside => self.big,
            Kind::Inside => self.body(),
        };
        let away = match self.setup.kind {
            Kind::Outside => -self.side,
            Kind::Inside => -1.0,
        };
        let off = |x: f64, out: f64| (x, self.axis + away * out);
        let witness = Stroke::solid(colour::BLACK, 1.2);
        for x in [end, from] {
            ink.line(&[off(x, out + 5.0), off(x, out + 36.0)], witness);
        }
        ink.dimension(off(from, out + 28.0), off(end, out + 28.0));
        let text = format!(
            "run-in {}",
            show::carriage_travel(Length::from_si(self.view.run_in), self.view.units)
        );
        let at = off(f64::midpoint(from, end), out + 50.0);
        // A boring slide stands close: the words keep clear of it.
        let half = font::width(&text, LETTER, true) / 2.0;
        let x = if self.slide > TAPER.1 {
            min(at.0, self.slide - SLIDE - half - 6.0)
        } else {
            at.0
        };
        ink.text((x, at.1 + 7.0), &text, Lettering::BOLD.at(Anchor::Middle));
    }

    pub(super) fn feed(&self, ink: &mut Ink) {
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
            Lettering {
                size: 18.0,
                ..Lettering::BOLD.at(anchor)
            },
        );
    }

    /// What the guide does at the tool: into the work or out of it.
    pub(super) fn pull(&self, ink: &mut Ink) {
        let way = match self.setup.pull() {
            _ if self.view.slope == 0.0 => return,
            Pull::Neither => return,
            pull => pull.sign() * self.setup.inward(),
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
        let x = self.tool - 27.0;
        match self.setup.kind {
            Kind::Outside => {
                let r = self.radius(x);
                let (near, far) = (r + 3.0, r + 49.0);
                let ends = if way < 0.0 { (far, near) } else { (near, far) };
                ink.arrow(&[self.off(x, ends.0), self.off(x, ends.1)], stroke);
                // The words reach to the left, where the cone may be bigger.
                let clear = max(r, self.radius(x - 110.0)) + 30.0;
                let at = self.off(x - 24.0, clear);
                let lift = if self.side > 0.0 { -4.0 } else { -24.0 };
                ink.lines((at.0, at.1 + lift), &words, lettering.at(Anchor::End));
            }
            Kind::Inside => {
                let r = self.radius(x);
                let (near, far) = (r - 58.0, r - 4.0);
                let ends = if way > 0.0 { (near, far) } else { (far, near) };
                ink.arrow(&[self.off(x, ends.0), self.off(x, ends.1)], stroke);
                let text = format!("{} {}", words[0], words[1]);
                // Clear of the run-in, which may stand on the same side.
                let aside = match self.setup.starts_at() {
                    End::Headstock => 60.0,
                    End::Tailstock => -40.0,
                };
                let at = self.off(x + aside, self.body() + 28.0);
                ink.line(
                    &[self.off(x, r - 2.0), self.off(x, self.body() + 12.0)],
                    Stroke::solid(colour::VERMILION, 1.4),
                );
                ink.text((at.0, at.1 + 7.0), &text, lettering.at(Anchor::Middle));
            }
        }
    }

    pub(super) fn preload(&self, ink: &mut Ink) {
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
    pub(super) fn end_view(&self, ink: &mut Ink) {
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
}
