//! One way to make the cut, from above: what stands where and which way everything goes.

mod lathe;
mod marks;

use tautway_sim::arithmetic::{clamp, min, powi};
use tautway_sim::{
    quantity::Units,
    scenario::{End, Kind, Toward},
    setup::{Face, Feed, Press, Pull, Rotation, Setup, Side},
};

use crate::{
    Drawing,
    ink::{Ink, Place, Stroke, colour},
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
    plan.draw(&mut ink);
    ink.captioned("setup", plan.bottom(), &plan.caption())
}

/// The same without title and caption on it, for a page that says those words itself; a screen
/// reader is told both.
pub fn setup_plan(setup: &Setup, view: &SetupView) -> Drawing {
    let (mut ink, y) = Ink::bare(&title(setup));
    let plan = Plan::new(setup, view, y);
    plan.draw(&mut ink);
    ink.uncaptioned("plan", plan.bottom(), &plan.caption())
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
            Kind::Inside => ((0.06, 0.1), 78.0, 705.0),
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
            slope: setup.slope_sign() * min(size, range.1),
            larger,
            big,
            tool: 435.0,
            slide,
            rail: top + 60.0,
        }
    }

    fn draw(&self, ink: &mut Ink) {
        self.cross_slide(ink);
        self.guide(ink);
        self.headstock(ink);
        match self.setup.kind {
            Kind::Outside => self.outside_work(ink),
            Kind::Inside => self.bored_work(ink),
        }
        self.axis_line(ink);
        self.tool(ink);
        self.ends(ink);
        self.run_in(ink);
        self.feed(ink);
        self.pull(ink);
        self.preload(ink);
        self.end_view(ink);
    }

    /// y below all that is drawn.
    fn bottom(&self) -> f64 {
        self.axis + 305.0
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
            clamp(drawn, 24.0, 82.0)
        } else {
            0.0
        }
    }

    fn body(&self) -> f64 {
        self.big + 34.0
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
            "{comes}; {guide}. Dashed: along the bed. Heavy edge: the face that cuts. Big end ⌀ {}, taper {} long. {scale}",
            length.show(self.view.big_diameter),
            length.show(self.view.length)
        )
    }
}

/// A round number of times larger (or smaller) than life that brings the slope into the range one
/// can see; 1 where it is there already.
fn enlargement(slope: f64, (least, most): (f64, f64)) -> f64 {
    const ROUND: [f64; 7] = [1.0, 1.5, 2.0, 2.5, 4.0, 5.0, 8.0];
    let slope = slope.abs();
    if !slope.is_finite() || slope <= 1e-9 || (least..=most).contains(&slope) {
        return 1.0;
    }
    let factors = || (0..10).flat_map(|decade| ROUND.map(|m| m * powi(10f64, decade)));
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
