//! Lines, areas, arrows and lettering on a sheet of 900 px: the hand that draws every figure.

use std::fmt::Write;

use crate::{
    drawing::Drawing,
    font::{self, FAMILY},
    markup::escape,
};
use tautway_sim::arithmetic::{clamp, cos, hypot, max, min, sin};

/// Width of every sheet, px.
pub(crate) const WIDTH: f64 = 900.0;
/// Left and right margin, px.
pub(crate) const MARGIN: f64 = 20.0;
/// Size of ordinary lettering, px: read on a phone at 400 px it is still 8 px.
pub(crate) const LETTER: f64 = 19.0;

/// Colours that stay apart for the colour-blind.
///
/// Source: Okabe and Ito, "Color Universal Design" (2008), the set of eight; from memory.
pub(crate) mod colour {
    pub(crate) const BLACK: &str = "#000000";
    pub(crate) const WHITE: &str = "#ffffff";
    pub(crate) const BLUE: &str = "#0072b2";
    pub(crate) const VERMILION: &str = "#d55e00";
    /// Leaders and fine marks.
    pub(crate) const GREY: &str = "#707070";
}

/// A place on the sheet, px, y down.
pub(crate) type Place = (f64, f64);

/// How a line is drawn.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Stroke {
    pub colour: &'static str,
    pub width: f64,
    /// Dash and gap, px; `None` for a solid line.
    pub dash: Option<(f64, f64)>,
}

impl Stroke {
    pub(crate) const fn solid(colour: &'static str, width: f64) -> Self {
        Self {
            colour,
            width,
            dash: None,
        }
    }

    pub(crate) const fn dashed(colour: &'static str, width: f64, dash: f64, gap: f64) -> Self {
        Self {
            colour,
            width,
            dash: Some((dash, gap)),
        }
    }

    fn attributes(self) -> String {
        let mut text = format!(
            "stroke=\"{}\" stroke-width=\"{}\"",
            self.colour,
            Px(self.width)
        );
        if let Some((dash, gap)) = self.dash {
            let _ = write!(text, " stroke-dasharray=\"{} {}\"", Px(dash), Px(gap));
        }
        text
    }
}

/// Which point of a line of text stands at the place given.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Anchor {
    Start,
    Middle,
    End,
}

/// How text is set.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Lettering {
    pub size: f64,
    pub bold: bool,
    pub anchor: Anchor,
    pub colour: &'static str,
    /// Turned by this many degrees about its place.
    pub turn: f64,
}

impl Lettering {
    pub(crate) const PLAIN: Self = Self {
        size: LETTER,
        bold: false,
        anchor: Anchor::Start,
        colour: colour::BLACK,
        turn: 0.0,
    };
    pub(crate) const BOLD: Self = Self {
        bold: true,
        ..Self::PLAIN
    };

    pub(crate) const fn at(self, anchor: Anchor) -> Self {
        Self { anchor, ..self }
    }
}

/// A number as SVG writes it: two decimals, and never one that isn't finite.
struct Px(f64);

impl std::fmt::Display for Px {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let value = if self.0.is_finite() {
            clamp(self.0, -1e5, 1e5)
        } else {
            0.0
        };
        write!(f, "{value:.2}")
    }
}

/// A sheet being drawn on; later strokes lie over earlier ones.
pub(crate) struct Ink {
    body: String,
    title: String,
}

impl Ink {
    /// A white sheet with its title, and the y below the title.
    pub(crate) fn titled(title: &str) -> (Self, f64) {
        const SIZE: f64 = 26.0;
        let mut ink = Self {
            body: String::new(),
            title: title.into(),
        };
        let mut y = 12.0;
        for line in font::wrap(title, SIZE, true, WIDTH - 2.0 * MARGIN) {
            y += SIZE * 1.2;
            let lettering = Lettering {
                size: SIZE,
                ..Lettering::BOLD
            };
            ink.text((MARGIN, y), &line, lettering);
        }
        (ink, y + 12.0)
    }

    /// A white sheet without its title, which is only told to a screen reader.
    pub(crate) fn bare(title: &str) -> (Self, f64) {
        let ink = Self {
            body: String::new(),
            title: title.into(),
        };
        (ink, 0.0)
    }

    /// Finishes the drawing at `y`; the caption is only told to a screen reader.
    pub(crate) fn uncaptioned(self, name: &str, y: f64, caption: &str) -> Drawing {
        self.finish(name, y, caption)
    }

    /// Sets the caption below `y` and finishes the drawing.
    pub(crate) fn captioned(mut self, name: &str, y: f64, caption: &str) -> Drawing {
        let mut y = y + 8.0;
        for line in font::wrap(caption, LETTER, false, WIDTH - 2.0 * MARGIN) {
            y += LETTER * 1.3;
            self.text((MARGIN, y), &line, Lettering::PLAIN);
        }
        self.finish(name, y + 18.0, caption)
    }

    fn finish(self, name: &str, height: f64, caption: &str) -> Drawing {
        let sheet = format!(
            "<rect width=\"{WIDTH}\" height=\"{}\" fill=\"#ffffff\"/>{}",
            height.ceil(),
            self.body
        );
        Drawing::close(name, &self.title, caption, &sheet, WIDTH, height)
    }

    /// Elements drawn by someone else in this sheet's coordinates.
    #[cfg(feature = "charts")]
    pub(crate) fn paste(&mut self, elements: &str) {
        self.body.push_str(elements);
    }

    fn path(&mut self, points: &[Place], closed: bool, attributes: &str) {
        if points.len() < 2 {
            return;
        }
        self.body.push_str("<path d=\"");
        for (index, &(x, y)) in points.iter().enumerate() {
            let verb = if index == 0 { 'M' } else { 'L' };
            let _ = write!(self.body, "{verb}{} {}", Px(x), Px(y));
        }
        let close = if closed { "Z" } else { "" };
        let _ = write!(
            self.body,
            "{close}\" stroke-linejoin=\"round\" {attributes}/>"
        );
    }

    pub(crate) fn line(&mut self, points: &[Place], stroke: Stroke) {
        let attributes = format!("fill=\"none\" {}", stroke.attributes());
        self.path(points, false, &attributes);
    }

    pub(crate) fn area(&mut self, points: &[Place], fill: &str, stroke: Option<Stroke>) {
        let edge = stroke.map(Stroke::attributes).unwrap_or_default();
        self.path(points, true, &format!("fill=\"{fill}\" {edge}"));
    }

    pub(crate) fn box_(&mut self, at: Place, size: Place, fill: &str, stroke: Option<Stroke>) {
        self.area(&corners(at, size), fill, stroke);
    }

    pub(crate) fn circle(&mut self, at: Place, radius: f64, fill: &str, stroke: Option<Stroke>) {
        let round: Vec<Place> = arc(at, radius, 0.0, 360.0, 96);
        self.area(&round[..96], fill, stroke);
    }

    /// Parallel lines rising to the right across the inside of `outline`, on one grid for the
    /// whole sheet so that hatched neighbours join.
    pub(crate) fn hatch(&mut self, outline: &[Place], spacing: f64, rising: bool, stroke: Stroke) {
        let way = if rising { 1.0 } else { -1.0 };
        let across = |p: Place| p.0 + way * p.1;
        let low = outline.iter().map(|&p| across(p)).fold(f64::INFINITY, min);
        let high = outline
            .iter()
            .map(|&p| across(p))
            .fold(f64::NEG_INFINITY, max);
        if !(high - low).is_finite() || high - low > 1e4 {
            return;
        }
        // Off the whole numbers, where the corners lie: a line through a corner would be counted
        // twice.
        let mut at = (low / spacing).ceil() * spacing + 0.317;
        while at < high {
            let mut hits: Vec<Place> = Vec::new();
            for (index, &a) in outline.iter().enumerate() {
                let b = outline[(index + 1) % outline.len()];
                let (sa, sb) = (across(a) - at, across(b) - at);
                if (sa < 0.0) != (sb < 0.0) {
                    let t = sa / (sa - sb);
                    hits.push((a.0 + t * (b.0 - a.0), a.1 + t * (b.1 - a.1)));
                }
            }
            hits.sort_by(|a, b| a.0.total_cmp(&b.0));
            for pair in hits.chunks_exact(2) {
                self.line(pair, stroke);
            }
            at += spacing;
        }
    }

    /// A line with a head at its end.
    pub(crate) fn arrow(&mut self, points: &[Place], stroke: Stroke) {
        let [.., before, tip] = points else {
            return;
        };
        let (dx, dy) = (tip.0 - before.0, tip.1 - before.1);
        let long = hypot(dx, dy);
        if long <= 0.0 {
            return;
        }
        let (ux, uy) = (dx / long, dy / long);
        let head = 7.0 + 3.2 * stroke.width;
        let half = 0.42 * head;
        let neck = (tip.0 - head * ux, tip.1 - head * uy);
        let mut shaft = points.to_vec();
        // The shaft ends inside the head, or its square end would show beside the point.
        if let Some(last) = shaft.last_mut() {
            *last = (tip.0 - 0.8 * head * ux, tip.1 - 0.8 * head * uy);
        }
        self.line(&shaft, stroke);
        self.area(
            &[
                *tip,
                (neck.0 - half * uy, neck.1 + half * ux),
                (neck.0 + half * uy, neck.1 - half * ux),
            ],
            stroke.colour,
            None,
        );
    }

    /// A dimension between two places: arrows outward where there is room, else inward.
    pub(crate) fn dimension(&mut self, from: Place, to: Place) {
        let stroke = Stroke::solid(colour::BLACK, 1.5);
        let (dx, dy) = (to.0 - from.0, to.1 - from.1);
        let long = hypot(dx, dy);
        if long >= 32.0 {
            let middle = (from.0 + dx / 2.0, from.1 + dy / 2.0);
            self.arrow(&[middle, from], stroke);
            self.arrow(&[middle, to], stroke);
        } else if long > 0.0 {
            let out = (24.0 * dx / long, 24.0 * dy / long);
            self.arrow(&[(from.0 - out.0, from.1 - out.1), from], stroke);
            self.arrow(&[(to.0 + out.0, to.1 + out.1), to], stroke);
        }
    }

    /// A line of text with a white rim, so that it reads over lines and hatching.
    pub(crate) fn text(&mut self, at: Place, text: &str, lettering: Lettering) {
        let anchor = match lettering.anchor {
            Anchor::Start => "start",
            Anchor::Middle => "middle",
            Anchor::End => "end",
        };
        let weight = if lettering.bold { "bold" } else { "normal" };
        let turn = if lettering.turn == 0.0 {
            String::new()
        } else {
            format!(
                " transform=\"rotate({} {} {})\"",
                Px(lettering.turn),
                Px(at.0),
                Px(at.1)
            )
        };
        let _ = write!(
            self.body,
            "<text x=\"{}\" y=\"{}\" font-family=\"{FAMILY}\" font-size=\"{}\" \
             font-weight=\"{weight}\" text-anchor=\"{anchor}\" fill=\"{}\" stroke=\"#ffffff\" \
             stroke-width=\"5\" stroke-linejoin=\"round\" paint-order=\"stroke\"{turn}>{}</text>",
            Px(at.0),
            Px(at.1),
            Px(lettering.size),
            lettering.colour,
            escape(text)
        );
    }

    /// Lines of text one below the other, the first at `at`.
    pub(crate) fn lines(&mut self, at: Place, lines: &[&str], lettering: Lettering) {
        for (index, line) in lines.iter().enumerate() {
            let y = at.1 + index as f64 * lettering.size * 1.2;
            self.text((at.0, y), line, lettering);
        }
    }
}

/// Corners of an upright box.
pub(crate) fn corners((x, y): Place, (wide, high): Place) -> [Place; 4] {
    [(x, y), (x + wide, y), (x + wide, y + high), (x, y + high)]
}

/// Points of an arc; degrees, clockwise on the sheet from the right.
pub(crate) fn arc(centre: Place, radius: f64, from: f64, to: f64, parts: usize) -> Vec<Place> {
    (0..=parts)
        .map(|part| {
            let angle = (from + (to - from) * part as f64 / parts as f64).to_radians();
            (
                centre.0 + radius * cos(angle),
                centre.1 + radius * sin(angle),
            )
        })
        .collect()
}

/// Moves label heights apart to at least `gap`, within `low..high` where they all fit, changing
/// their order never.
#[cfg(feature = "charts")]
pub(crate) fn spread(heights: &mut [f64], gap: f64, low: f64, high: f64) {
    let mut order: Vec<usize> = (0..heights.len()).collect();
    order.sort_by(|&a, &b| heights[a].total_cmp(&heights[b]));
    let mut floor = low;
    for &index in &order {
        heights[index] = max(heights[index], floor);
        floor = heights[index] + gap;
    }
    let mut ceiling = high;
    for &index in order.iter().rev() {
        heights[index] = min(heights[index], ceiling);
        ceiling = heights[index] - gap;
    }
}
