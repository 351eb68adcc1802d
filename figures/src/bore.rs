//! The boring bar in its bore where it comes closest: from the side and from the mouth, to scale.

use tautway_sim::arithmetic::{max, min};
use tautway_sim::{
    bore_room::{BoreRoom, Tight, Wall, bar_size, gap, reach, when},
    quantity::Units,
};

use crate::{
    Drawing, font,
    ink::{Anchor, Ink, LETTER, Lettering, MARGIN, Place, Stroke, WIDTH, colour},
};

const OUTLINE: Stroke = Stroke::solid(colour::BLACK, 2.2);
const FINE: Stroke = Stroke::solid(colour::GREY, 1.2);
const AXIS: Stroke = Stroke::dashed(colour::GREY, 1.2, 14.0, 5.0);
/// Fill of the work's wall and of the bar.
const WALL: &str = "#e9e5dc";
const STEEL: &str = "#c9dff0";
/// Height of the drawn bore with its walls at most, px.
const HIGH: f64 = 330.0;
const HEADSTOCK: &str = "headstock side";
/// Between the two views, px.
const BETWEEN: f64 = 50.0;

/// The bar in the bore at its tightest; `None` if it never is in the bore.
pub fn bore(room: &BoreRoom, units: Units) -> Option<Drawing> {
    let tight = room.tightest()?;
    let title = if tight.gap < 0.0 {
        format!(
            "The bar would rub {} by {}",
            tight.wall.words(),
            gap(tight.gap, units)
        )
    } else {
        format!(
            "At its tightest the bar clears {} by {}",
            tight.wall.words(),
            gap(tight.gap, units)
        )
    };
    let (mut ink, y) = Ink::titled(&title);
    let view = View::new(room, tight, y + 40.0);
    view.side_view(&mut ink, room, tight, units);
    view.mouth_view(&mut ink, room, tight);
    let assumed = if room.assumed {
        format!(
            " How far the edge stands out of the bar's side was assumed ({}): measure it.",
            gap(room.edge_out, units)
        )
    } else {
        String::new()
    };
    let thickest = room.thickest.common.map_or(String::new(), |bar| {
        format!(
            " Thickest common bar that keeps room for chips: {}.",
            bar_size(bar, units)
        )
    });
    let caption = format!(
        "Bar of {} in the bore, seen from above and from the mouth, to one scale: {}.{assumed}{thickest}",
        bar_size(room.bar, units),
        when(tight.first_pass, tight.stretch, room.depth(tight), units)
    );
    Some(ink.captioned("bore", view.bottom + 16.0, &caption))
}

/// The scale, and where the bore's axis lies.
struct View {
    scale: f64,
    /// Left end of the bore's axis on the sheet, px, and its place along the work, m.
    left: (f64, f64),
    axis: f64,
    /// Middle of the view from the mouth, px.
    end: f64,
    /// Half the height of the work drawn, px.
    half: f64,
    bottom: f64,
}

impl View {
    fn new(room: &BoreRoom, tight: &Tight, top: f64) -> Self {
        let widest = room.outline.iter().map(|p| p.1).fold(0.0, max);
        let half = 1.35 * max(widest, room.bar);
        let first = room.outline.first().map_or(0.0, |p| p.0);
        let long = max(room.mouth - first, tight.edge_z + 0.2 * room.out - first);
        // Side by side in the sheet's width; the bar shows a little beyond the mouth.
        let across = WIDTH - 2.0 * MARGIN - BETWEEN - 30.0;
        let scale = min(across / (1.12 * long + 2.0 * half), HIGH / (2.0 * half));
        let half_px = scale * half;
        Self {
            scale,
            left: (MARGIN + 10.0, first),
            axis: top + half_px,
            end: WIDTH - MARGIN - half_px - 6.0,
            half: half_px,
            bottom: top + 2.0 * half_px,
        }
    }

    /// A place along the work and across it, the cut side downward as seen from above.
    fn at(&self, z: f64, across: f64) -> Place {
        (
            self.left.0 + self.scale * (z - self.left.1),
            self.axis + self.scale * across,
        )
    }

    fn side_view(&self, ink: &mut Ink, room: &BoreRoom, tight: &Tight, units: Units) {
        for side in [-1.0, 1.0] {
            let mut wall: Vec<Place> = room
                .outline
                .iter()
                .map(|&(z, radius)| self.at(z, side * radius))
                .collect();
            let (first, last) = (wall[0].0, wall[wall.len() - 1].0);
            let outside = self.axis + side * self.half;
            let edge = wall.clone();
            wall.extend([(last, outside), (first, outside)]);
            ink.area(&wall, WALL, None);
            ink.hatch(&wall, 14.0, true, FINE);
            ink.line(&edge, OUTLINE);
            ink.line(&[edge[edge.len() - 1], (last, outside)], OUTLINE);
        }
        let mouth = self.at(room.mouth, 0.0).0;
        let bar_end = min(mouth + 70.0, self.end - self.half - 20.0);
        ink.line(
            &[(self.left.0, self.axis), (max(bar_end, mouth), self.axis)],
            AXIS,
        );
        // The bar from its edge outward, a broken end beyond the mouth.
        let back = tight.edge_radius - room.edge_out;
        let (x, near) = self.at(tight.edge_z, back);
        let far = self.at(tight.edge_z, back - room.bar).1;
        let bar_end = max(bar_end, x + 40.0);
        ink.area(
            &[
                (x, near),
                (bar_end, near),
                (bar_end - 9.0, (2.0 * near + far) / 3.0),
                (bar_end + 5.0, (near + 2.0 * far) / 3.0),
                (bar_end, far),
                (x, far),
            ],
            STEEL,
            Some(OUTLINE),
        );
        let tip = self.at(tight.edge_z, tight.edge_radius);
        ink.area(
            &[tip, (tip.0 + 22.0, near), (tip.0, near)],
            colour::BLACK,
            None,
        );
        ink.text(
            (0.5 * (x + bar_end), 0.5 * (near + far) + 6.0),
            "bar",
            Lettering::BOLD.at(Anchor::Middle),
        );
        // The gap, where it is.
        let spot = self.at(max(tight.spot_z, tight.edge_z), 0.0).0 + 3.0;
        let (from, to) = match tight.wall {
            Wall::Far => (far, self.at(0.0, -tight.bore_radius).1),
            Wall::Cut => (near, self.at(0.0, tight.bore_radius).1),
        };
        let mark = Stroke::solid(colour::VERMILION, 4.0);
        ink.line(&[(spot, from), (spot, to)], mark);
        let sign = if tight.gap < 0.0 { "-" } else { "" };
        let text = format!("{sign}{}", gap(tight.gap, units));
        let label = match tight.wall {
            Wall::Far => min(from, to) - 10.0,
            Wall::Cut => max(from, to) + LETTER + 6.0,
        };
        ink.text(
            (spot + 8.0, label),
            &text,
            Lettering {
                colour: colour::VERMILION,
                ..Lettering::BOLD
            },
        );
        let above = self.axis - self.half - 8.0;
        ink.text((self.left.0, above), HEADSTOCK, Lettering::PLAIN);
        let depth = format!("edge {} deep", reach(room.depth(tight), units));
        // Ends at the mouth, unless the bore is too short to have both over it.
        let [first, second] = [HEADSTOCK, &depth].map(|text| font::width(text, LETTER, false));
        let left = max(mouth - second, self.left.0 + first + 24.0);
        ink.text((left, above), &depth, Lettering::PLAIN);
    }

    fn mouth_view(&self, ink: &mut Ink, room: &BoreRoom, tight: &Tight) {
        let centre = (self.end, self.axis);
        ink.circle(centre, self.half, WALL, Some(FINE));
        ink.circle(
            centre,
            self.scale * tight.bore_radius,
            colour::WHITE,
            Some(OUTLINE),
        );
        let axis = tight.edge_radius - room.edge_out - 0.5 * room.bar;
        let bar = (self.end, self.axis + self.scale * axis);
        ink.circle(bar, self.scale * 0.5 * room.bar, STEEL, Some(OUTLINE));
        let side = bar.1 + self.scale * 0.5 * room.bar;
        let tip = self.axis + self.scale * tight.edge_radius;
        ink.area(
            &[
                (self.end - 7.0, side),
                (self.end, tip),
                (self.end + 7.0, side),
            ],
            colour::BLACK,
            None,
        );
        ink.circle(centre, 2.5, colour::GREY, None);
        ink.text(
            (self.end, self.axis - self.half - 8.0),
            "from the mouth",
            Lettering::PLAIN.at(Anchor::Middle),
        );
    }
}
