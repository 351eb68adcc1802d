//! What can make a preload: weight, springs, air cylinders, and how each suits a window of force.

use std::f64::consts::PI;

use schemars::JsonSchema;
use serde::Serialize;

use crate::caution::{PRELOAD_REFUSED, PRELOAD_WARNED};
use crate::machine::preload::cylinder;
use crate::quantity::{INCH, Length, Quantity, Units};

use super::window::Window;

/// Pressure below which a shop's regulator holds nothing steady, Pa (10 psi, a guess).
pub const COARSE: f64 = 68_948.0;
/// Pressure of the line where nobody says, Pa: 6 bar, of catalogues' tables.
pub const LINE: f64 = 6e5;

/// An air cylinder by its two diameters, m.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Cylinder {
    /// Bore.
    pub bore: f64,
    /// Rod.
    pub rod: f64,
    /// Of which list.
    pub series: Series,
}

/// Where a cylinder's sizes come from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Series {
    /// Small round-body bores in inches.
    SmallInch,
    /// ISO 15552.
    Iso15552,
    /// The person's own.
    Own,
}

/// Bores of [`Series::SmallInch`] with usual rods, in (rods: common practice, no source).
const SMALL: [(f64, f64); 4] = [(0.75, 0.25), (1.0625, 0.3125), (1.5, 0.4375), (2.0, 0.625)];
/// Bores and rods of ISO 15552, mm (rods of 40, 63 and 80 from memory).
const ISO: [(f64, f64); 6] = [
    (32.0, 12.0),
    (40.0, 16.0),
    (50.0, 20.0),
    (63.0, 20.0),
    (80.0, 25.0),
    (100.0, 25.0),
];

/// Every cylinder of the lists, smallest first, those of the person's units before the others.
pub fn cylinders(units: Units) -> Vec<Cylinder> {
    let of = |series, scale: f64, sizes: &[(f64, f64)]| -> Vec<Cylinder> {
        sizes
            .iter()
            .map(|(bore, rod)| Cylinder {
                bore: bore * scale,
                rod: rod * scale,
                series,
            })
            .collect()
    };
    let small = of(Series::SmallInch, INCH, &SMALL);
    let iso = of(Series::Iso15552, 1e-3, &ISO);
    match units {
        Units::Inch => [small, iso].concat(),
        Units::Metric => [iso, small].concat(),
    }
}

impl Cylinder {
    /// Its bore as it is sold.
    pub fn in_words(&self, units: Units) -> String {
        let sold_in = match self.series {
            Series::SmallInch => Units::Inch,
            Series::Iso15552 => Units::Metric,
            Series::Own => units,
        };
        size_in_words(self.bore, sold_in)
    }

    /// Force at this pressure (Pa), N, the rod's side pressed or the plain one, without seals.
    pub fn force(&self, pressure: f64, rod_side: bool) -> f64 {
        cylinder(self.bore, if rod_side { self.rod } else { 0.0 }, pressure)
    }

    /// Pressure for this force, Pa.
    pub fn pressure(&self, force: f64, rod_side: bool) -> f64 {
        let rod = if rod_side { self.rod } else { 0.0 };
        4.0 * force / (PI * (self.bore * self.bore - rod * rod))
    }
}

/// A size as it is sold: inches in sixteenths, else in the person's units.
pub fn size_in_words(m: f64, units: Units) -> String {
    let sixteenths = m / INCH * 16.0;
    let whole = sixteenths.round();
    if units == Units::Metric || (sixteenths - whole).abs() > 1e-6 {
        let text = Length::from_si(m).show(Units::Metric);
        let (number, unit) = text.split_once(' ').unwrap_or((&text, ""));
        let number = if number.contains('.') {
            number.trim_end_matches('0').trim_end_matches('.')
        } else {
            number
        };
        return format!("{number} {unit}");
    }
    let (mut over, mut under) = (whole as u64 % 16, 16);
    while over > 0 && over % 2 == 0 {
        (over, under) = (over / 2, under / 2);
    }
    match (whole as u64 / 16, over) {
        (0, _) => format!("{over}/{under} in"),
        (whole, 0) => format!("{whole} in"),
        (whole, _) => format!("{whole}-{over}/{under} in"),
    }
}

/// How a source suits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Suits {
    /// It gives the force.
    Well,
    /// It gives the force, above 100 lbf: with the warning.
    Strong,
    /// The line's pressure is too little for it.
    TooSmall,
    /// Its pressure would be too low for a regulator to hold.
    TooLow,
    /// Opened to the line's pressure it is above 200 lbf: refused.
    LineTooStrong,
    /// As it is set it is weaker than the window.
    TooWeak,
    /// As it is set it is above the window, though not above 100 lbf.
    Above,
    /// As it is set it is above 200 lbf: refused.
    Refused,
}

/// A cylinder on this job.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Offer {
    /// The cylinder.
    pub cylinder: Cylinder,
    /// Pressures that give the window's ends, plain side, Pa.
    pub pressures: (f64, f64),
    /// Pressure of the force advised, plain side, Pa.
    pub advised: f64,
    /// The same with the rod's side pressed, Pa.
    pub advised_rod_side: f64,
    /// Force at the line's pressure, plain side, N.
    pub at_line: f64,
    /// How it suits.
    pub suits: Suits,
}

/// Every cylinder against a window that counts seals, with the line at this pressure, Pa.
///
/// One that a slip of the regulator takes above 200 lbf is refused, whatever it could be set to.
pub fn offers(cylinders: &[Cylinder], window: &Window, advised: f64, line: f64) -> Vec<Offer> {
    cylinders
        .iter()
        .map(|cylinder| {
            let at_line = cylinder.force(line, false);
            let pressure = cylinder.pressure(advised, false);
            let suits = if at_line > PRELOAD_REFUSED {
                Suits::LineTooStrong
            } else if pressure > line {
                Suits::TooSmall
            } else if pressure < COARSE {
                Suits::TooLow
            } else if advised > PRELOAD_WARNED {
                Suits::Strong
            } else {
                Suits::Well
            };
            Offer {
                cylinder: *cylinder,
                pressures: (
                    cylinder.pressure(window.least, false),
                    cylinder.pressure(window.most, false),
                ),
                advised: pressure,
                advised_rod_side: cylinder.pressure(advised, true),
                at_line,
                suits,
            }
        })
        .collect()
}

/// A force as it is set against a window: least and most of it along the stroke, N.
pub fn judged((least, most): (f64, f64), window: &Window) -> Suits {
    if most > PRELOAD_REFUSED {
        Suits::Refused
    } else if least < window.least {
        Suits::TooWeak
    } else if most > PRELOAD_WARNED {
        Suits::Strong
    } else if most > window.most {
        Suits::Above
    } else {
        Suits::Well
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::LBF;

    fn iso(bore: f64) -> Cylinder {
        *cylinders(Units::Metric)
            .iter()
            .find(|c| c.series == Series::Iso15552 && (c.bore - bore * 1e-3).abs() < 1e-9)
            .expect("a size of the list")
    }

    #[test]
    fn listed_cylinders_at_six_bar_closed_form() {
        // p times area of bore and rod, out and back, N; 1 bar = 1e5 Pa exactly.
        for (bore, out, back) in [
            (32.0, 482.5, 414.7),
            (50.0, 1178.1, 989.6),
            (100.0, 4712.4, 4417.9),
        ] {
            let cylinder = iso(bore);
            assert!((cylinder.force(6e5, false) - out).abs() < 0.05);
            assert!((cylinder.force(6e5, true) - back).abs() < 0.05);
            assert!((cylinder.pressure(out, false) / 6e5 - 1.0).abs() < 2e-4);
            assert!((cylinder.pressure(back, true) / 6e5 - 1.0).abs() < 2e-4);
        }
    }

    #[test]
    fn sizes_are_said_as_they_are_sold() {
        for (inch, said) in [
            (0.75, "3/4 in"),
            (1.0625, "1-1/16 in"),
            (1.5, "1-1/2 in"),
            (2.0, "2 in"),
        ] {
            assert_eq!(size_in_words(inch * INCH, Units::Inch), said);
        }
        for (mm, said) in [(32.0, "32 mm"), (100.0, "100 mm"), (12.5, "12.5 mm")] {
            assert_eq!(size_in_words(mm * 1e-3, Units::Metric), said);
        }
        let small = cylinders(Units::Metric);
        assert_eq!(small[6].in_words(Units::Metric), "3/4 in");
    }

    #[test]
    fn forces_that_a_shop_knows_closed_form() {
        // p times area worked by hand, lbf; 1 psi = 6894.757 Pa (NIST SP 811 (2008), B.8).
        const PSI: f64 = 6894.757;
        let small = cylinders(Units::Inch);
        for (place, psi, lbf) in [(0, 90.0, 40.0), (1, 60.0, 53.0), (2, 40.0, 71.0)] {
            let force = small[place].force(psi * PSI, false) / LBF;
            assert!((force - lbf).abs() < 0.5, "{force} for {lbf}");
        }
        for (bore, lbf) in [(32.0, 108.0), (50.0, 265.0), (100.0, 1059.0)] {
            let force = iso(bore).force(LINE, false) / LBF;
            assert!((force - lbf).abs() < 0.7, "{force} for {lbf}");
        }
    }
}
