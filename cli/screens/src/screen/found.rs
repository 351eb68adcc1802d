//! Results with their error, rounded as a person would: no digit that the error has eaten.

use tautway_sim::arithmetic::{max, powi, tan};
use tautway_sim::gauging::Found;
use tautway_sim::quantity::show::TaperForms;
use tautway_sim::quantity::{INCH, INCHES_PER_FOOT, Quantity, Taper, Units};

/// The finest decimals worth saying: 0.0001 in or 0.001 mm.
fn length_scale(units: Units) -> (f64, usize, &'static str) {
    match units {
        Units::Inch => (1.0 / INCH, 4, "in"),
        Units::Metric => (1e3, 3, "mm"),
    }
}

fn taper_scale(units: Units) -> (f64, usize, &'static str) {
    match units {
        Units::Inch => (INCHES_PER_FOOT, 4, "in/ft"),
        Units::Metric => (1e3, 3, "mm/m"),
    }
}

/// A length of known size, to the finest decimals.
pub fn fine_length(m: f64, units: Units) -> String {
    let (scale, finest, unit) = length_scale(units);
    format!("{} {unit}", plain(m * scale, finest))
}

/// `0.0083 +- 0.0002 in`.
pub fn length(found: &Found, units: Units) -> String {
    length_of(found.value, found.half, units)
}

/// The same of a number and its half-width, m.
pub fn length_of(value: f64, half: f64, units: Units) -> String {
    with_error(value, half, length_scale(units))
}

/// The half-width of a length alone.
pub fn length_half(half: f64, units: Units) -> String {
    let (scale, finest, unit) = length_scale(units);
    let (decimals, half) = rounded_up(half * scale, finest);
    format!("{half:.decimals$} {unit}")
}

/// `2.008 +- 0.004 in/ft`.
pub fn taper(found: &Found, units: Units) -> String {
    with_error(found.value, found.half, taper_scale(units))
}

/// A taper's half-width alone.
pub fn taper_half(half: f64, units: Units) -> String {
    let (scale, finest, unit) = taper_scale(units);
    let (decimals, half) = rounded_up(half * scale, finest);
    format!("{half:.decimals$} {unit}")
}

/// `4 deg 45 min 49.1 sec per side +- 12 sec`, from the angle of one side.
pub fn half_angle(found: &Found) -> String {
    let forms = TaperForms::of(Taper::from_si(2.0 * tan(found.value)));
    let seconds = found.half.to_degrees() * 3600.0;
    let half = match seconds {
        s if s <= 0.0 => return forms.half_angle,
        s if s < 120.0 => format!("{} sec", s.ceil()),
        s => format!("{} min", (s / 60.0).ceil()),
    };
    format!("{} +- {half}", forms.half_angle)
}

fn with_error(value: f64, half: f64, (scale, finest, unit): (f64, usize, &str)) -> String {
    if half <= 0.0 {
        return format!("{} {unit}", plain(value * scale, finest));
    }
    let (decimals, half) = rounded_up(half * scale, finest);
    format!(
        "{} +- {half:.decimals$} {unit}",
        plain(value * scale, decimals)
    )
}

/// Decimals that an error leaves standing, and the error rounded up to them: one digit that
/// counts, two when the first is a one.
fn rounded_up(half: f64, finest: usize) -> (usize, f64) {
    let mut decimals = 0;
    // A hair under is the arithmetic, not the error.
    while decimals < finest && half * powi(10_f64, decimals as i32) < 2.0 - 1e-9 {
        decimals += 1;
    }
    let step = powi(10_f64, -(decimals as i32));
    (decimals, max((half / step - 1e-9).ceil(), 1.0) * step)
}

/// Never "-0.000".
fn plain(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    match text.strip_prefix('-') {
        Some(rest) if rest.bytes().all(|byte| matches!(byte, b'0' | b'.')) => rest.to_owned(),
        _ => text,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(value: f64, half: f64) -> Found {
        Found {
            value: value * 0.0254,
            half: half * 0.0254,
            shares: Vec::new(),
        }
    }

    // Worked by hand: an error is rounded up, and the value to its last decimal.
    #[test]
    fn the_error_decides_the_digits() {
        let inch = |value, half| length(&found(value, half), Units::Inch);
        assert_eq!(inch(1.234_56, 0.000_33), "1.2346 +- 0.0004 in");
        assert_eq!(inch(1.234_56, 0.0002), "1.2346 +- 0.0002 in");
        assert_eq!(inch(1.234_56, 0.0034), "1.235 +- 0.004 in");
        assert_eq!(inch(1.234_56, 0.0014), "1.2346 +- 0.0014 in");
        assert_eq!(inch(1.234_56, 0.000_003), "1.2346 +- 0.0001 in");
        assert_eq!(inch(-0.000_01, 0.0), "0.0000 in");
        assert_eq!(
            length(&found(1.0, 0.001), Units::Metric),
            "25.40 +- 0.03 mm"
        );
    }
}
