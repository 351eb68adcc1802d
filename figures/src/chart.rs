//! A plot with its axes on the sheet; plotters lays the grid, the ticks and the curves.

use std::{error::Error, ops::Range};

use tautway_sim::arithmetic::{clamp, log10, max, min, powf};

use plotters::{
    coord::ranged1d::{KeyPointHint, NoDefaultFormatting, Ranged, ValueFormatter},
    prelude::*,
    series::{DashedLineSeries, LineSeries},
    style::RGBColor,
};

use crate::{
    font::FAMILY,
    ink::{Ink, Place, Stroke},
    scale::number,
};

/// plotters places by whole pixels: on a finer grid curves stay smooth however far one zooms in.
const FINE: f64 = 20.0;
/// Size of the numbers at the ticks, px.
const TICK_LETTER: f64 = 18.0;
/// Room for the numbers left of a plot, px.
pub(crate) const LEFT: f64 = 68.0;
/// Room for the numbers below a plot, px.
pub(crate) const BELOW: f64 = 30.0;

/// One axis: its range and where its ticks stand.
#[derive(Clone, Debug)]
pub(crate) struct Axis {
    pub low: f64,
    pub high: f64,
    ticks: Vec<f64>,
    decimals: usize,
    /// Numbers without their sign, where words beside the axis say which way.
    unsigned: bool,
    numbered: bool,
}

impl Axis {
    /// An axis over all finite `values`, with room of `spare` of the span added below and above,
    /// and about `count` ticks.
    pub(crate) fn over(
        values: impl IntoIterator<Item = f64>,
        spare: (f64, f64),
        count: usize,
    ) -> Self {
        let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
        for value in values.into_iter().filter(|value| value.is_finite()) {
            low = min(low, value);
            high = max(high, value);
        }
        if low > high {
            (low, high) = (0.0, 1.0);
        }
        let least = max(1e-9 * max(low.abs(), high.abs()), 1e-9);
        if high - low < least {
            let half = if low == 0.0 && high == 0.0 {
                0.5
            } else {
                max(least, 0.1 * low.abs())
            };
            low -= half;
            high += half;
        }
        let span = high - low;
        low -= spare.0 * span;
        high += spare.1 * span;
        let rough = (high - low) / count.max(1) as f64;
        let decade = powf(10f64, log10(rough).floor());
        let step = [1.0, 2.0, 2.5, 5.0, 10.0]
            .map(|m| m * decade)
            .into_iter()
            .find(|&step| step >= rough * 0.999)
            .unwrap_or(10.0 * decade);
        let first = (low / step).ceil();
        let ticks = (0..=2 * count)
            .map(|index| (first + index as f64) * step)
            .take_while(|&tick| tick <= high + 1e-6 * step)
            .collect();
        let places = -log10(decade).round()
            + match step / decade {
                times if (times - 2.5).abs() < 0.1 => 1.0,
                times if times > 9.0 => -1.0,
                _ => 0.0,
            };
        let decimals = clamp(places, 0.0, 10.0) as usize;
        Self {
            low,
            high,
            ticks,
            decimals,
            unsigned: false,
            numbered: true,
        }
    }

    pub(crate) fn unsigned(self) -> Self {
        Self {
            unsigned: true,
            ..self
        }
    }

    pub(crate) fn unnumbered(self) -> Self {
        Self {
            numbered: false,
            ..self
        }
    }

    /// Ticks and what is written at each.
    pub(crate) fn labels(&self) -> impl Iterator<Item = (f64, String)> + '_ {
        self.ticks
            .iter()
            .map(|&tick| (tick, self.format_ext(&tick)))
    }

    /// Where a value lies, 0 at the low end and 1 at the high.
    pub(crate) fn share(&self, value: f64) -> f64 {
        (value - self.low) / (self.high - self.low)
    }
}

impl Ranged for Axis {
    type FormatOption = NoDefaultFormatting;
    type ValueType = f64;

    fn map(&self, value: &f64, (from, to): (i32, i32)) -> i32 {
        (f64::from(from) + self.share(*value) * f64::from(to - from)).round() as i32
    }

    fn key_points<Hint: KeyPointHint>(&self, hint: Hint) -> Vec<f64> {
        if hint.weight().allow_light_points() {
            Vec::new()
        } else {
            self.ticks.clone()
        }
    }

    fn range(&self) -> Range<f64> {
        self.low..self.high
    }
}

impl ValueFormatter<f64> for Axis {
    fn format_ext(&self, value: &f64) -> String {
        let value = if self.unsigned { value.abs() } else { *value };
        number(value, self.decimals)
    }
}

/// A curve in the units of the axes.
pub(crate) struct Curve {
    pub points: Vec<(f64, f64)>,
    pub stroke: Stroke,
}

/// A plot: its inner box on the sheet, px, and its axes.
pub(crate) struct Plot {
    pub left: f64,
    pub top: f64,
    pub width: f64,
    pub height: f64,
    pub x: Axis,
    pub y: Axis,
}

impl Plot {
    pub(crate) fn right(&self) -> f64 {
        self.left + self.width
    }

    pub(crate) fn bottom(&self) -> f64 {
        self.top + self.height
    }

    /// Where a value stands on the sheet.
    pub(crate) fn at(&self, x: f64, y: f64) -> Place {
        (
            self.left + self.x.share(x) * self.width,
            self.bottom() - self.y.share(y) * self.height,
        )
    }

    /// Draws frame, grid and numbers, and the curves over them.
    pub(crate) fn draw(&self, ink: &mut Ink, curves: &[Curve]) {
        let svg = self
            .svg(curves)
            .expect("plotters draws into a string, which can't fail");
        // Only the elements: the sheet has its own svg element.
        let inner = svg
            .split_once('>')
            .and_then(|(_, rest)| rest.rsplit_once("</svg>"))
            .map_or("", |(inner, _)| inner);
        ink.paste(&format!(
            "<g transform=\"translate({:.2} {:.2}) scale({})\">{inner}</g>",
            self.left - LEFT,
            self.top,
            1.0 / FINE
        ));
    }

    fn svg(&self, curves: &[Curve]) -> Result<String, Box<dyn Error>> {
        let fine = |px: f64| (px * FINE).round() as u32;
        let below = if self.x.numbered { BELOW } else { 0.0 };
        let size = (fine(LEFT + self.width), fine(self.height + below));
        let mut text = String::new();
        {
            let sheet = SVGBackend::with_string(&mut text, size).into_drawing_area();
            let mut chart = ChartBuilder::on(&sheet)
                .set_label_area_size(LabelAreaPosition::Left, fine(LEFT))
                .set_label_area_size(LabelAreaPosition::Bottom, fine(below))
                .build_cartesian_2d(self.x.clone(), self.y.clone())?;
            // plotters' SVG lettering comes out smaller than asked for, by this factor of its own.
            let letters = (FAMILY, TICK_LETTER * FINE * 1.24).into_font();
            let grid = RGBColor(0xd8, 0xd8, 0xd8).stroke_width(fine(1.0));
            chart
                .configure_mesh()
                .bold_line_style(grid)
                .light_line_style(TRANSPARENT)
                .axis_style(BLACK.stroke_width(fine(1.2)))
                .label_style(letters)
                .set_all_tick_mark_size(fine(5.0))
                .draw()?;
            for curve in curves {
                let style = style(curve.stroke);
                for run in curve
                    .points
                    .split(|(x, y)| !(x.is_finite() && y.is_finite()))
                {
                    let points = run.iter().copied();
                    match curve.stroke.dash {
                        None => chart.draw_series(LineSeries::new(points, style))?,
                        Some((dash, gap)) => chart.draw_series(DashedLineSeries::new(
                            points,
                            fine(dash),
                            fine(gap),
                            style,
                        ))?,
                    };
                }
            }
            sheet.present()?;
        }
        Ok(text)
    }
}

fn style(stroke: Stroke) -> ShapeStyle {
    let channel = |from: usize| u8::from_str_radix(&stroke.colour[from..from + 2], 16).unwrap_or(0);
    RGBColor(channel(1), channel(3), channel(5))
        .stroke_width(max((stroke.width * FINE).round(), 1.0) as u32)
}

/// Keeps the least and the most of every one of `columns` stretches of x, in their order, so that
/// a long record stays small and no wave is lost.
pub(crate) fn thinned(points: &[(f64, f64)], columns: usize) -> Vec<(f64, f64)> {
    if points.len() <= 2 * columns {
        return points.to_vec();
    }
    let mut kept = Vec::with_capacity(2 * columns + 2);
    let stretch = points.len().div_ceil(columns);
    for part in points.chunks(stretch) {
        let order = |&a: &usize, &b: &usize| part[a].1.total_cmp(&part[b].1);
        let least = (0..part.len()).min_by(order).unwrap_or(0);
        let most = (0..part.len()).max_by(order).unwrap_or(0);
        kept.push(part[least.min(most)]);
        if least != most {
            kept.push(part[least.max(most)]);
        }
    }
    if let (Some(&first), Some(&last)) = (points.first(), points.last()) {
        if kept.first() != Some(&first) {
            kept.insert(0, first);
        }
        if kept.last() != Some(&last) {
            kept.push(last);
        }
    }
    kept
}
