//! A strip: one bar on a scale that lies along it, as a table has them row by row.

use crate::{
    chart::Axis,
    font,
    ink::{Anchor, Ink, Lettering, Place, Stroke, colour, corners},
};
use tautway_sim::arithmetic::{clamp, max, min};

/// Size of the numbers over a column of strips, px.
const TICK_LETTER: f64 = 17.0;
/// How far a number may stand out beyond its column, px: less than half of what is between two.
const BEYOND: f64 = 10.0;
const GRID: Stroke = Stroke::solid("#d8d8d8", 1.2);

/// Left end and width of a column of strips on the sheet, px, and the scale they share.
pub(crate) struct Strip {
    pub left: f64,
    pub width: f64,
    pub axis: Axis,
}

impl Strip {
    /// A column on a scale over `values`, with as many ticks as have room for their numbers.
    pub(crate) fn over(left: f64, width: f64, values: &[f64]) -> Self {
        let axis = |count| Axis::over(values.iter().copied(), (0.06, 0.06), count);
        let fits = |axis: &Axis| {
            let labels: Vec<_> = axis.labels().collect();
            let wide: f64 = labels
                .iter()
                .map(|(_, label)| font::width(label, TICK_LETTER, false) + 12.0)
                .fold(0.0, max);
            labels
                .windows(2)
                .all(|pair| (axis.share(pair[1].0) - axis.share(pair[0].0)) * width >= wide)
        };
        let axis = (2..5).rev().map(axis).find(fits).unwrap_or_else(|| axis(1));
        Self { left, width, axis }
    }

    pub(crate) fn right(&self) -> f64 {
        self.left + self.width
    }

    /// Where a value stands, never beyond the ends.
    pub(crate) fn x(&self, value: f64) -> f64 {
        self.left + clamp(self.axis.share(value), 0.0, 1.0) * self.width
    }

    /// Writes the numbers of the scale on the line at `y`, those at its ends no farther out than
    /// leaves room for the next column's; one that has no room is left out.
    pub(crate) fn numbers(&self, ink: &mut Ink, y: f64) {
        let mut free = f64::NEG_INFINITY;
        for (tick, label) in self.axis.labels() {
            let half = font::width(&label, TICK_LETTER, false) / 2.0;
            let most = self.right() + BEYOND - half;
            let x = clamp(self.x(tick), min(self.left + half - BEYOND, most), most);
            if x - half < free {
                continue;
            }
            free = x + half + 6.0;
            let lettering = Lettering {
                size: TICK_LETTER,
                ..Lettering::PLAIN
            };
            ink.text((x, y), &label, lettering.at(Anchor::Middle));
        }
    }

    /// Draws the ground of one row: a frame, `shade` between two values, a line at every tick and
    /// a strong one at nought.
    pub(crate) fn ground(
        &self,
        ink: &mut Ink,
        (top, high): Place,
        shade: Option<(f64, f64, &'static str)>,
    ) {
        let upright = |value: f64| [(self.x(value), top), (self.x(value), top + high)];
        let size = (self.width, high);
        if let Some((low, up, fill)) = shade {
            let (from, to) = (self.x(low), self.x(up));
            ink.box_((from, top), (to - from, high), fill, None);
        }
        for (tick, _) in self.axis.labels() {
            ink.line(&upright(tick), GRID);
        }
        if let Some((low, up, _)) = shade {
            for limit in [low, up] {
                if self.holds(limit) {
                    ink.line(
                        &upright(limit),
                        Stroke::dashed(colour::BLACK, 1.6, 5.0, 3.0),
                    );
                }
            }
        }
        if self.holds(0.0) {
            ink.line(&upright(0.0), Stroke::solid(colour::BLACK, 1.6));
        }
        let frame = Stroke::solid("#b0b0b0", 1.2);
        ink.area(&corners((self.left, top), size), "none", Some(frame));
    }

    fn holds(&self, value: f64) -> bool {
        (self.axis.low..=self.axis.high).contains(&value)
    }
}
