//! Named standard tapers, with their ends where the standard fixes them, and their source.

use serde::Serialize;

use crate::quantity::{INCH, INCH_PER_FOOT, Length, Quantity, Taper};

/// A taper that the trade knows by a name.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StandardTaper {
    /// Its name: `Morse 2`.
    pub name: String,
    /// On diameter.
    pub taper: Taper,
    /// Diameter of the big end, where the source fixes it.
    pub large: Option<Length>,
    /// Diameter of the small end.
    pub small: Option<Length>,
    /// Between the two ends, along the axis.
    pub length: Option<Length>,
    /// Where the numbers come from.
    pub source: &'static str,
    /// The numbers were set down from memory: look them up before relying on them.
    pub from_memory: bool,
    /// What to know besides.
    pub note: Option<&'static str>,
}

impl StandardTaper {
    fn new(name: impl Into<String>, taper: f64, source: &'static str) -> Self {
        Self {
            name: name.into(),
            taper: Taper::from_si(taper),
            large: None,
            small: None,
            length: None,
            source,
            from_memory: false,
            note: None,
        }
    }

    fn ends(mut self, unit: f64, large: f64, small: f64, length: f64) -> Self {
        self.large = Some(Length::from_si(large * unit));
        self.small = Some(Length::from_si(small * unit));
        self.length = Some(Length::from_si(length * unit));
        self
    }

    fn remembered(mut self) -> Self {
        self.from_memory = true;
        self
    }

    fn note(mut self, note: &'static str) -> Self {
        self.note = Some(note);
        self
    }
}

/// No standard taper has this name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct UnknownTaper {
    /// What its family offers (`Morse 0 to Morse 7`), or the names that look most like it.
    pub nearest: Vec<String>,
}

const NAVEDTRA: &str = "US Navy NAVEDTRA 14345";
const MORSE: &str = "ISO 296 and ASME B5.10";
const ROTARY: &str = "API Spec 7-2";
const PIPE: &str = "ASME B1.20.1";

/// In/ft on diameter, sizes 0 to 7.
const MORSE_IN_PER_FT: [f64; 8] = [
    0.62460, 0.59858, 0.59941, 0.60235, 0.62326, 0.63151, 0.62565, 0.62400,
];

/// Nominal size, outside diameter in, threads per inch, L1 in.
const PIPE_SIZES: [(&str, f64, f64, f64); 9] = [
    ("1/8", 0.405, 27.0, 0.1615),
    ("1/4", 0.540, 18.0, 0.2278),
    ("3/8", 0.675, 18.0, 0.240),
    ("1/2", 0.840, 14.0, 0.320),
    ("3/4", 1.050, 14.0, 0.339),
    ("1", 1.315, 11.5, 0.400),
    ("1-1/4", 1.660, 11.5, 0.420),
    ("1-1/2", 1.900, 11.5, 0.420),
    ("2", 2.375, 11.5, 0.436),
];

/// Number, taper on diameter, large, small and length in mm.
const ROTARY_SIZES: [(u32, f64, f64, f64, f64); 3] = [
    (38, 1.0 / 6.0, 102.01, 85.06, 101.61),
    (50, 1.0 / 6.0, 133.35, 114.30, 114.31),
    (56, 1.0 / 4.0, 149.25, 117.50, 127.01),
];

/// A taper with the plain spellings, besides its own name, that it answers to.
type Entry = (StandardTaper, Vec<String>);

fn entries() -> Vec<Entry> {
    let mut all = Vec::new();
    let mut add = |taper: StandardTaper, spellings: &[String]| {
        all.push((taper, spellings.to_vec()));
    };
    for (size, rate) in MORSE_IN_PER_FT.into_iter().enumerate() {
        add(
            StandardTaper::new(format!("Morse {size}"), rate * INCH_PER_FOOT, MORSE)
                .note("tolerance 0.002 in/ft: shanks may only be steeper, sockets only shallower"),
            &[
                format!("mt{size}"),
                format!("m{size}"),
                format!("{size}mt"),
                format!("{size}morse"),
            ],
        );
    }
    for size in 2..=20_u32 {
        let n = f64::from(size);
        add(
            StandardTaper::new(format!("Jarno {size}"), 0.6 * INCH_PER_FOOT, NAVEDTRA).ends(
                INCH,
                n / 8.0,
                n / 10.0,
                n / 2.0,
            ),
            &[],
        );
    }
    add(
        StandardTaper::new("Brown and Sharpe 10", 0.5161 * INCH_PER_FOOT, NAVEDTRA),
        &["b&s10".into(), "bs10".into(), "brown&sharpe10".into()],
    );
    add(
        StandardTaper::new("Brown and Sharpe", 0.5 * INCH_PER_FOOT, NAVEDTRA)
            .note("every size but No. 10, which is 0.5161 in/ft"),
        &["b&s".into(), "bs".into(), "brown&sharpe".into()],
    );
    add(
        StandardTaper::new("taper pin", 0.25 * INCH_PER_FOOT, NAVEDTRA),
        &["pins".into(), "inchpin".into()],
    );
    add(
        StandardTaper::new("metric taper pin", 1.0 / 50.0, "ISO 2339").remembered(),
        &["metricpins".into()],
    );
    add(
        StandardTaper::new("7:24", 7.0 / 24.0, "the ratio is its name; ISO 7388-1")
            .note("half angle 8.2971 deg; 8.1301 deg, found in places, is a mistake"),
        &["7/24".into(), "7in24".into(), "steepmachine".into()],
    );
    add(
        StandardTaper::new("metric 1:20", 1.0 / 20.0, "ISO 296, metric sizes").remembered(),
        &["metric".into(), "metric1/20".into()],
    );
    add(
        StandardTaper::new("bearing seat 1:12", 1.0 / 12.0, "ISO 15, tapered bores").remembered(),
        &["bearingbore".into(), "bearingseat".into()],
    );
    add(
        StandardTaper::new("pipe thread", 1.0 / 16.0, PIPE).note(
            "the cone of the pitch diameter; 11/16 to 7/8 in/ft is allowed on it (from memory)",
        ),
        &[
            "npt".into(),
            "pipe".into(),
            "pipes".into(),
            "pipethreads".into(),
        ],
    );
    for (size, outside, threads, engaged) in PIPE_SIZES {
        let (small, large) = pipe_pitch_diameters(outside, threads, engaged);
        add(
            StandardTaper::new(format!("pipe thread {size}"), 1.0 / 16.0, PIPE)
                .ends(INCH, large, small, engaged)
                .remembered()
                .note("ends are pitch diameters E1 and E0, length is L1, tight by hand"),
            &[
                format!("npt{size}"),
                format!("{size}npt"),
                format!("pipe{size}"),
            ],
        );
    }
    for (size, taper, large, small, length) in ROTARY_SIZES {
        add(
            StandardTaper::new(format!("NC{size}"), taper, ROTARY)
                .ends(1e-3, large, small, length)
                .note("rotary shouldered; pins may only be steeper, boxes only shallower (from memory)"),
            &[format!("rotaryshoulderednc{size}")],
        );
    }
    for (rate, taper) in [("2", 1.0 / 6.0), ("3", 1.0 / 4.0)] {
        add(
            StandardTaper::new(format!("rotary shouldered {rate} in/ft"), taper, ROTARY)
                .note("pins may only be steeper, boxes only shallower (from memory)"),
            &[format!("rotaryshouldered{rate}"), format!("rotary{rate}")],
        );
    }
    all
}

/// Pitch diameters of a taper pipe thread at its small end and tight by hand, in inches:
/// `E0 = D - (0.05 D + 1.1) / n`, `E1 = E0 + L1 / 16`.
///
/// Source: ASME B1.20.1, from memory.
pub fn pipe_pitch_diameters(outside: f64, threads: f64, engaged: f64) -> (f64, f64) {
    let small = outside - (0.05 * outside + 1.1) / threads;
    (small, small + engaged / 16.0)
}

/// What a family offers when the size is missing or none of its own.
const FAMILIES: [(&[&str], &str); 5] = [
    (&["morse", "mt"], "Morse 0 to Morse 7"),
    (&["jarno"], "Jarno 2 to Jarno 20"),
    (
        &["pipe", "npt", "pipethread"],
        "pipe thread 1/8 to pipe thread 2",
    ),
    (&["nc"], "NC38, NC50 or NC56"),
    (
        &["rotary", "rotaryshouldered"],
        "rotary shouldered 2 in/ft or 3 in/ft",
    ),
];

/// A name without what people put in or leave out: capitals, blanks, "taper", "No.".
fn plain(name: &str) -> String {
    name.to_lowercase()
        .replace('#', " ")
        .replace('&', " and ")
        .split(|c: char| c.is_whitespace() || matches!(c, '_' | ',' | '(' | ')'))
        .map(|word| word.trim_matches(|c| matches!(c, '.' | '-')))
        .filter(|word| {
            !matches!(
                *word,
                "taper" | "tapers" | "tapered" | "no" | "number" | "size" | "the" | "on"
            )
        })
        .map(without_hyphens)
        .collect()
}

/// "mt-2" is MT2, but "1-1/4" stays a mixed number.
fn without_hyphens(word: &str) -> String {
    let mut before_is_digit = false;
    let mut rest = word.chars().peekable();
    let mut kept = String::new();
    while let Some(c) = rest.next() {
        let between_digits = before_is_digit && rest.peek().is_some_and(char::is_ascii_digit);
        if c != '-' || between_digits {
            kept.push(c);
        }
        before_is_digit = c.is_ascii_digit();
    }
    kept
}

/// Every standard taper known here.
pub fn all() -> Vec<StandardTaper> {
    entries().into_iter().map(|(taper, _)| taper).collect()
}

/// The standard taper of a name as a person writes it: `morse 2`, `MT2`, `Morse taper No. 2`,
/// `jarno 10`, `7:24`, `taper pin`.
///
/// # Errors
/// [`UnknownTaper`] with the nearest names.
pub fn find(name: &str) -> Result<StandardTaper, UnknownTaper> {
    let wanted = plain(name);
    let entries = entries();
    let spelled: Vec<Vec<String>> = entries
        .iter()
        .map(|(taper, others)| {
            let mut keys: Vec<String> = others.iter().map(|key| plain(key)).collect();
            keys.push(plain(&taper.name));
            keys
        })
        .collect();
    if let Some(place) = spelled.iter().position(|keys| keys.contains(&wanted)) {
        return Ok(entries[place].0.clone());
    }
    let family = wanted.trim_end_matches(|c: char| c.is_ascii_digit() || ".-/".contains(c));
    if let Some((_, offer)) = FAMILIES.iter().find(|(keys, _)| keys.contains(&family)) {
        return Err(UnknownTaper {
            nearest: vec![(*offer).to_owned()],
        });
    }
    let mut near: Vec<(usize, &str)> = entries
        .iter()
        .zip(&spelled)
        .map(|((taper, _), keys)| {
            let distance = keys
                .iter()
                .map(|key| strsim::osa_distance(key, &wanted))
                .min();
            (distance.unwrap_or(usize::MAX), taper.name.as_str())
        })
        .collect();
    near.sort_by_key(|(distance, _)| *distance);
    Err(UnknownTaper {
        nearest: near
            .into_iter()
            .take(3)
            .map(|(_, name)| name.to_owned())
            .collect(),
    })
}

/// The standard tapers that are this taper, within a part in a hundred thousand.
pub fn same_as(taper: Taper) -> Vec<StandardTaper> {
    all()
        .into_iter()
        .filter(|one| (one.taper.si() - taper.si()).abs() <= 1e-5 * taper.si().abs())
        .collect()
}
