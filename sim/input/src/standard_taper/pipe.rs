//! Taper pipe threads by their size: pitch cone, cone over the crests, lengths.

use schemars::JsonSchema;
use serde::Serialize;

use crate::quantity::{INCH, MM, MM_PER_INCH};

/// Where the numbers of either family come from.
pub const INCH_SOURCE: &str = "ASME B1.20.1";
pub const METRIC_SOURCE: &str = "ISO 7-1";
/// Change of diameter over length of both.
pub const TAPER: f64 = 1.0 / 16.0;

/// Nominal size, outside diameter of the pipe in, threads per inch, L1 in. From memory.
const INCH_SIZES: [(&str, f64, f64, f64); 17] = [
    ("1/16", 0.3125, 27.0, 0.160),
    ("1/8", 0.405, 27.0, 0.1615),
    ("1/4", 0.540, 18.0, 0.2278),
    ("3/8", 0.675, 18.0, 0.240),
    ("1/2", 0.840, 14.0, 0.320),
    ("3/4", 1.050, 14.0, 0.339),
    ("1", 1.315, 11.5, 0.400),
    ("1-1/4", 1.660, 11.5, 0.420),
    ("1-1/2", 1.900, 11.5, 0.420),
    ("2", 2.375, 11.5, 0.436),
    ("2-1/2", 2.875, 8.0, 0.682),
    ("3", 3.500, 8.0, 0.766),
    ("3-1/2", 4.000, 8.0, 0.821),
    ("4", 4.500, 8.0, 0.844),
    ("5", 5.563, 8.0, 0.937),
    ("6", 6.625, 8.0, 0.958),
    ("8", 8.625, 8.0, 1.063),
];

/// Nominal size, diameter over the crests at the gauge plane mm, threads per inch, gauge length mm,
/// useful thread mm. From memory.
const METRIC_SIZES: [(&str, f64, f64, f64, f64); 15] = [
    ("1/16", 7.723, 28.0, 4.0, 6.5),
    ("1/8", 9.728, 28.0, 4.0, 6.5),
    ("1/4", 13.157, 19.0, 6.0, 9.7),
    ("3/8", 16.662, 19.0, 6.4, 10.1),
    ("1/2", 20.955, 14.0, 8.2, 13.2),
    ("3/4", 26.441, 14.0, 9.5, 14.5),
    ("1", 33.249, 11.0, 10.4, 16.8),
    ("1-1/4", 41.910, 11.0, 0.5 * MM_PER_INCH, 19.1),
    ("1-1/2", 47.803, 11.0, 0.5 * MM_PER_INCH, 19.1),
    ("2", 59.614, 11.0, 15.9, 23.4),
    ("2-1/2", 75.184, 11.0, 17.5, 26.7),
    ("3", 87.884, 11.0, 20.6, 29.8),
    ("4", 113.030, 11.0, MM_PER_INCH, 35.8),
    ("5", 138.430, 11.0, 28.6, 40.1),
    ("6", 163.830, 11.0, 28.6, 40.1),
];

/// What a size of taper pipe thread fixes, m.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct PipeThread {
    /// Its form, as a job names it.
    pub form: &'static str,
    /// Threads per inch.
    pub threads: f64,
    /// Diameter over the crests at the small end of one outside.
    pub crest: f64,
    /// Its length, to where the crests run out into the pipe.
    pub length: f64,
    /// Diameter between the crests at the big end of one inside.
    pub bore: f64,
    /// Its length.
    pub depth: f64,
}

/// Threads at the big end of an outside one whose crests the standard counts as usable though they
/// are not full: what `L2` has more than the cone over the crests takes to come to the pipe's own
/// diameter, `(0.8 D + 6.8) / n - 16 (0.05 D + 0.3) / n` [ASME B1.20.1, from memory].
pub const FLAT_CRESTS: f64 = 2.0;
/// Threads over which it vanishes behind them, where a die of the usual chamfer cuts it: `V = 3.47 p`
/// [ASME B1.20.1, from memory].
pub const VANISHING: f64 = 3.47;

/// Flat crests and vanishing threads of a form by its name, where its standard tells them.
pub fn runs_out(form: &str) -> Option<(f64, f64)> {
    (form == "taper pipe").then_some((FLAT_CRESTS, VANISHING))
}

/// A size: its name, what is told of it as a taper (big end, small end, between them) and its
/// thread.
pub struct Size {
    pub name: &'static str,
    pub ends: [f64; 3],
    pub thread: PipeThread,
}

/// Pitch diameters of a taper pipe thread at its small end and tight by hand, in inches:
/// `E0 = D - (0.05 D + 1.1) / n`, `E1 = E0 + L1 / 16`.
///
/// Source: ASME B1.20.1, from memory.
pub fn pitch_diameters(outside: f64, threads: f64, engaged: f64) -> (f64, f64) {
    let small = outside - (0.05 * outside + 1.1) / threads;
    (small, small + engaged * TAPER)
}

/// 60 degrees: threads are 0.8 of the pitch high, the effective thread is
/// `L2 = (0.8 D + 6.8) / n` long, and inside three threads go on past L1 [ASME B1.20.1, from
/// memory].
pub fn inch() -> impl Iterator<Item = Size> {
    INCH_SIZES.iter().map(|&(name, outside, threads, engaged)| {
        let (small, large) = pitch_diameters(outside, threads, engaged);
        let high = 0.8 / threads;
        Size {
            name,
            ends: [large, small, engaged].map(|end| end * INCH),
            thread: PipeThread {
                form: "taper pipe",
                threads,
                crest: (small + high) * INCH,
                length: (0.8 * outside + 6.8) / threads * INCH,
                bore: (large - high) * INCH,
                depth: (engaged + 3.0 / threads) * INCH,
            },
        }
    })
}

/// 55 degrees: threads are 0.640327 of the pitch high [ISO 7-1, from memory].
pub fn metric() -> impl Iterator<Item = Size> {
    METRIC_SIZES
        .iter()
        .map(|&(name, gauge, threads, to_gauge, useful)| {
            let small = gauge - to_gauge * TAPER;
            let high = 0.640_327 * MM_PER_INCH / threads;
            Size {
                name,
                ends: [gauge, small, to_gauge].map(|end| end * MM),
                thread: PipeThread {
                    form: "55 degree rounded",
                    threads,
                    crest: small * MM,
                    length: useful * MM,
                    bore: (gauge - 2.0 * high) * MM,
                    depth: useful * MM,
                },
            }
        })
}
