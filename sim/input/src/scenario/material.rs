//! What is known of the materials a shop cuts: force law, unevenness and a speed to start with.
//!
//! Published means a row of the VDI 3323 groups as printed in a turning catalogue of 2017, its maker unnamed. Other
//! published tables differ from it by 30 % and more, so every row carries that spread.

use super::{Known, defaults};
use crate::quantity::{FOOT, Pressure, Quantity, Ratio};
use crate::scenario::defaults::ToolMaterial;

/// A row of the table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Material {
    /// What the shop calls it.
    pub name: &'static str,
    /// Other words for it.
    pub also: &'static [&'static str],
    /// Kienzle's kc1.1, N/mm2.
    kc: f64,
    /// Kienzle's exponent mc.
    pub exponent: f64,
    /// Spread of kc1.1 between sources, as a share.
    spread: f64,
    /// Young's modulus, GPa (from memory of handbook tables).
    modulus: f64,
    /// Growth with warmth, 1e-6 of a length for a kelvin, round about room temperature (from memory
    /// of handbook tables; makers and alloys of one name differ by a tenth).
    expansion: f64,
    /// Unevenness as force, standard deviation as a share; half to double is the range.
    unevenness: f64,
    /// Edge force over that of ordinary steel.
    pub edge_share: f64,
    /// Speeds to start with, ft/min: high-speed steel, carbide.
    speeds: [f64; 2],
}

impl Material {
    /// Specific cutting force with the spread between sources.
    pub fn specific_force(&self) -> Known<Pressure> {
        defaults::specific_force(self.kc * 1e6, self.spread)
    }

    /// Young's modulus.
    pub fn modulus(&self) -> Pressure {
        Pressure::from_si(self.modulus * 1e9)
    }

    /// How much longer it grows for a kelvin, as a share.
    pub fn expansion(&self) -> f64 {
        1e-6 * self.expansion
    }

    /// Unevenness as force.
    pub fn unevenness(&self) -> Known<Ratio> {
        Known::assumed(
            self.unevenness / 2.0,
            self.unevenness,
            self.unevenness * 2.0,
        )
    }

    /// Speed to start with, m/s at the surface [guess]: the careful end of common practice.
    pub fn speed(&self, tool: ToolMaterial) -> f64 {
        let feet_per_minute = match tool {
            ToolMaterial::HighSpeedSteel => self.speeds[0],
            ToolMaterial::Carbide => self.speeds[1],
        };
        feet_per_minute * FOOT / 60.0
    }

    /// The row for a name in the shop's words, if there is one.
    pub fn named(name: &str) -> Option<&'static Material> {
        let said = plain(name);
        MATERIALS.iter().find(|row| {
            std::iter::once(&row.name)
                .chain(row.also)
                .any(|word| plain(word) == said)
        })
    }
}

/// How two names of a material are compared: letters and digits alone.
fn plain(name: &str) -> String {
    name.to_lowercase()
        .chars()
        .filter(|c| c.is_alphanumeric())
        .collect()
}

const fn row(
    name: &'static str,
    also: &'static [&'static str],
    [kc, exponent, spread, modulus, expansion]: [f64; 5],
    unevenness: f64,
    edge_share: f64,
    speeds: [f64; 2],
) -> Material {
    Material {
        name,
        also,
        kc,
        exponent,
        spread,
        modulus,
        expansion,
        unevenness,
        edge_share,
        speeds,
    }
}

/// Every material, steels first. Unevenness: bar 3 %, heat-treated 5 %, casting 8 % [mem]. Edge
/// shares [guess].
pub const MATERIALS: &[Material] = &[
    // Published: carbon steel under 0.25 % C.
    row(
        "1018",
        &[
            "1020",
            "mild steel",
            "low carbon steel",
            "cold rolled steel",
            "CRS",
            "hot rolled steel",
            "HRS",
            "1018 CRS",
            "EN3",
            "A36",
            "S235",
            "S355",
        ],
        [1350.0, 0.21, 0.30, 205.0, 11.7],
        0.03,
        1.0,
        [90.0, 350.0],
    ),
    // [guess]: a fifth below 1018.
    row(
        "12L14",
        &[
            "1215",
            "free machining steel",
            "free cutting steel",
            "leaded steel",
            "11SMn30",
            "EN1A",
        ],
        [1100.0, 0.21, 0.30, 205.0, 11.5],
        0.03,
        0.8,
        [150.0, 500.0],
    ),
    // Published: carbon steel 0.25 % C and over, annealed; a textbook row from memory is 30 %
    // higher at a chip of 0.2 mm.
    row(
        "1045",
        &[
            "1040",
            "1144",
            "medium carbon steel",
            "carbon steel",
            "C45",
            "EN8",
        ],
        [1500.0, 0.22, 0.30, 205.0, 11.5],
        0.03,
        1.0,
        [80.0, 320.0],
    ),
    // Published: low-alloy steel, annealed.
    row(
        "4140 annealed",
        &[
            "4140",
            "4130",
            "4340 annealed",
            "8620",
            "42CrMo4 annealed",
            "alloy steel",
            "chrome moly",
            "chromoly",
            "EN19",
        ],
        [1775.0, 0.24, 0.30, 205.0, 12.3],
        0.03,
        1.1,
        [70.0, 300.0],
    ),
    // Between the published 1675 (low-alloy steel at 275 HB) and 2500 from memory of a textbook.
    row(
        "4140 30 HRC",
        &[
            "4140 prehard",
            "4140 PH",
            "prehard",
            "pre-hardened 4140",
            "4140 HT",
            "4140 heat treated",
            "4145 30 HRC",
            "4340 30 HRC",
            "42CrMo4 30 HRC",
            "42CrMo4",
        ],
        [1950.0, 0.25, 0.30, 205.0, 12.3],
        0.05,
        1.25,
        [50.0, 240.0],
    ),
    // Published: austenitic stainless steel.
    row(
        "304",
        &[
            "304L",
            "303",
            "316",
            "316L",
            "stainless",
            "stainless steel",
            "austenitic stainless",
        ],
        [2150.0, 0.20, 0.30, 195.0, 17.0],
        0.03,
        1.3,
        [45.0, 220.0],
    ),
    // Published: about 1150/0.20; row names differ between editions.
    row(
        "grey iron",
        &[
            "gray iron",
            "cast iron",
            "iron",
            "gray cast iron",
            "grey cast iron",
            "class 30",
            "class 40",
            "GJL-250",
        ],
        [1150.0, 0.20, 0.30, 105.0, 10.5],
        0.08,
        0.9,
        [60.0, 250.0],
    ),
    // [guess]: between grey iron and steel.
    row(
        "ductile iron",
        &["nodular iron", "SG iron", "65-45-12", "80-55-06", "GJS-500"],
        [1400.0, 0.23, 0.30, 165.0, 11.5],
        0.08,
        1.0,
        [60.0, 250.0],
    ),
    // Published: wrought aluminium.
    row(
        "6061",
        &[
            "aluminium",
            "aluminum",
            "6061-T6",
            "6082",
            "2011",
            "2024",
            "7075",
        ],
        [700.0, 0.25, 0.30, 70.0, 23.6],
        0.03,
        0.5,
        [300.0, 800.0],
    ),
    // Published: brass.
    row(
        "360 brass",
        &["brass", "free cutting brass", "C360", "C36000", "CuZn39Pb3"],
        [700.0, 0.27, 0.25, 100.0, 20.5],
        0.03,
        0.5,
        [250.0, 600.0],
    ),
    // [guess]: a quarter above brass, cast.
    row(
        "bronze",
        &[
            "660 bronze",
            "SAE 660",
            "bearing bronze",
            "C932",
            "gunmetal",
        ],
        [900.0, 0.25, 0.30, 100.0, 18.0],
        0.05,
        0.6,
        [120.0, 400.0],
    ),
    // [guess]: twice brass; it is tough and gummy.
    row(
        "aluminium bronze",
        &[
            "aluminum bronze",
            "954 bronze",
            "C954",
            "nickel aluminium bronze",
        ],
        [1400.0, 0.25, 0.30, 110.0, 16.2],
        0.05,
        0.9,
        [80.0, 300.0],
    ),
];
