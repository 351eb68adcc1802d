//! Top slide, post and boring bar: how far the edge gives way under push-off.

use crate::arithmetic::powi;
use crate::lanes::Lanes;
use crate::quantity::Quantity;
use crate::scenario::{Bar, CrossSlide, TopSlide};

/// Young's modulus of steel, Pa.
pub const STEEL: f64 = 205e9;
/// Young's modulus of cemented carbide, Pa (from memory: 550 to 650 GPa by grade).
pub const CARBIDE: f64 = 600e9;

/// Spring rate of a round bar clamped at one end, N/m: `3 E I / L^3`.
pub fn cantilever(diameter: f64, stick_out: f64, modulus: f64) -> f64 {
    let inertia = std::f64::consts::PI * powi(diameter, 4) / 64.0;
    3.0 * modulus * inertia / powi(stick_out, 3)
}

/// Real spring rate of a boring bar, N/m: the holder takes its share.
pub fn bar_spring(bar: &Bar) -> f64 {
    let modulus = if bar.carbide { CARBIDE } else { STEEL };
    cantilever(bar.diameter.si(), bar.stick_out.si(), modulus) * bar.holder_factor.si()
}

/// How far the tip of a bar swings when the slide turns in the side slack of its gib, m:
/// `slack * overhang / guided length`.
///
/// In the cut the push-off holds the tip at one end of it; what of it was left when the tool was
/// touched off, the cut is short by. A tool without a bar stands over the slide and hardly swings.
pub fn swing(slide: &CrossSlide, bar: Option<&Bar>) -> f64 {
    bar.map_or(0.0, |bar| {
        slide.gib_slack.si() * bar.stick_out.si() / slide.gib_length.si()
    })
}

/// How far the edge gives way, m/N: all of it, and the bar's share.
pub fn gives(top_slide: &TopSlide, bar: Option<&Bar>) -> (f64, f64) {
    let bar = bar.map_or(0.0, |bar| 1.0 / bar_spring(bar));
    (1.0 / top_slide.spring.si() + bar, bar)
}

/// Radius cut by an edge `h` off centre height that cuts `r0` and then moves out by `dx`, m:
/// `sqrt((sqrt(r0^2 - h^2) + dx)^2 + h^2)`.
pub fn off_centre_radius<R: Lanes>(r0: f64, dx: f64, h: R) -> R {
    // A root alone: no radius of work is so small or large that its square is not a number.
    let at_height = (R::splat(r0 * r0) - h * h).higher(R::zero()).simd_sqrt();
    let x = at_height + R::splat(dx);
    (x * x + h * h).simd_sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tool_off_centre_cuts_a_flatter_taper_closed_form() {
        // Above or below alike: Colvin, Turning and Boring Tapers (1902). Closed form:
        // h 1, r 5, a step of 5 mm -> 9.949362 instead of 10.
        for h in [1.0, -1.0] {
            assert!((off_centre_radius(5.0, 5.0, h) - 9.949362).abs() < 5e-7);
        }
    }

    #[test]
    fn steel_bars_of_the_usual_sizes() {
        // 3 E I / L^3 worked by hand to two digits: diameter and length in inches, lbf per thou.
        for (diameter, length, rate) in [
            (0.5, 4.0, 4.3),
            (0.75, 4.0, 22.0),
            (0.75, 6.0, 6.5),
            (1.0, 4.0, 69.0),
            (1.0, 6.0, 20.0),
            (1.0, 8.0, 8.6),
            (1.25, 6.0, 50.0),
            (1.5, 8.0, 44.0),
        ] {
            let ours = cantilever(diameter * 0.0254, length * 0.0254, STEEL) / 175_126.8;
            assert!(
                (ours / rate - 1.0).abs() < 0.03,
                "{diameter} x {length}: {ours} for {rate}"
            );
        }
    }
}
