//! Named standard tapers, with their ends where the standard fixes them, and their source.

mod pipe;

use schemars::JsonSchema;
use serde::Serialize;

pub use pipe::{FLAT_CRESTS, PipeThread, pitch_diameters as pipe_pitch_diameters, runs_out};

use crate::arithmetic::tan;
use crate::quantity::{DEGREE, INCH, INCH_PER_FOOT, Length, Quantity, Taper};
use pipe::INCH_SOURCE as PIPE;

/// A taper that the trade knows by a name.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
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
    /// The thread that goes with it.
    pub thread: Option<PipeThread>,
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
            thread: None,
        }
    }

    fn ends(mut self, unit: f64, large: f64, small: f64, length: f64) -> Self {
        self.large = Some(Length::from_si(large * unit));
        self.small = Some(Length::from_si(small * unit));
        self.length = Some(Length::from_si(length * unit));
        self
    }

    fn big(mut self, unit: f64, large: f64) -> Self {
        self.large = Some(Length::from_si(large * unit));
        self
    }

    fn thread(mut self, thread: PipeThread) -> Self {
        self.thread = Some(thread);
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

/// What a standard fixes of a piece that a job names by it, m.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Piece {
    /// Along the axis.
    pub length: Option<f64>,
    /// Over or between the crests of a thread, else of the cone.
    pub diameter: f64,
    /// Measured at the small end; else at the big one.
    pub at_small_end: bool,
}

impl StandardTaper {
    /// The piece outside or inside that is named by it, where it fixes one.
    pub fn piece(&self, inside: bool) -> Option<Piece> {
        Some(match (self.thread, self.large) {
            (Some(thread), _) if inside => Piece {
                length: Some(thread.depth),
                diameter: thread.bore,
                at_small_end: false,
            },
            (Some(thread), _) => Piece {
                length: Some(thread.length),
                diameter: thread.crest,
                at_small_end: true,
            },
            (None, Some(large)) => Piece {
                length: self.length.map(Length::si),
                diameter: large.si(),
                at_small_end: false,
            },
            (None, None) => return None,
        })
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
const R8: &str = "16 deg 51 min included and a head of 1-1/4 in, as trade books print it";
const STEEP: &str = "ISO 7388-1 and ASME B5.50";
const CHUCKS: &str = "the chuck tapers of ASME B5.10's appendix, as trade books print them";

/// In/ft on diameter, sizes 0 to 7.
const MORSE_IN_PER_FT: [f64; 8] = [
    0.62460, 0.59858, 0.59941, 0.60235, 0.62326, 0.63151, 0.62565, 0.62400,
];

/// Big end of the socket, small end of the plug and plug depth, in, sizes 0 to 7. From memory, and
/// each gives its taper again (ASME B5.10).
const MORSE_ENDS: [[f64; 3]; 8] = [
    [0.3561, 0.252, 2.0],
    [0.475, 0.369, 2.125],
    [0.700, 0.572, 2.5625],
    [0.938, 0.778, 3.1875],
    [1.231, 1.020, 4.0625],
    [1.748, 1.475, 5.1875],
    [2.494, 2.116, 7.25],
    [3.270, 2.750, 10.0],
];

/// Name, taper in/ft, big end, small end and length in. From memory; each gives its taper again.
const JACOBS: [(&str, f64, [f64; 3]); 9] = [
    ("0", 0.59145, [0.2500, 0.228_44, 0.4375]),
    ("1", 0.92508, [0.3840, 0.333_41, 0.656_25]),
    ("2", 0.97861, [0.5590, 0.487_64, 0.875]),
    ("2 short", 0.97861, [0.5488, 0.487_64, 0.75]),
    ("3", 0.63898, [0.8110, 0.746_10, 1.218_75]),
    ("4", 0.62886, [1.1240, 1.0372, 1.6563]),
    ("5", 0.62010, [1.4130, 1.3161, 1.875]),
    ("6", 0.62292, [0.6760, 0.6241, 1.0]),
    ("33", 0.76194, [0.6240, 0.5605, 1.0]),
];

/// Number and gauge diameter in.
const STEEP_SIZES: [(u32, f64); 6] = [
    (20, 0.875),
    (30, 1.25),
    (40, 1.75),
    (45, 2.25),
    (50, 2.75),
    (60, 4.25),
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
        let [large, small, length] = MORSE_ENDS[size];
        add(
            StandardTaper::new(format!("Morse {size}"), rate * INCH_PER_FOOT, MORSE)
                .ends(INCH, large, small, length)
                .note(
                    "tolerance 0.002 in/ft: shanks may only be steeper, sockets only shallower; \
                     ends from memory",
                ),
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
        StandardTaper::new(
            "bearing seat 1:12",
            1.0 / 12.0,
            "ISO 492, or the bearing's maker",
        )
        .remembered(),
        &["bearingbore".into(), "bearingseat".into()],
    );
    add(
        StandardTaper::new("pipe thread", pipe::TAPER, PIPE).note(
            "the cone of the pitch diameter; 11/16 to 7/8 in/ft is allowed on it (from memory)",
        ),
        &[
            "npt".into(),
            "pipe".into(),
            "pipes".into(),
            "pipethreads".into(),
        ],
    );
    for size in pipe::inch() {
        let [large, small, engaged] = size.ends;
        let name = size.name;
        add(
            StandardTaper::new(format!("pipe thread {name}"), pipe::TAPER, PIPE)
                .ends(1.0, large, small, engaged)
                .thread(size.thread)
                .remembered()
                .note("ends are pitch diameters E1 and E0, length is L1, tight by hand"),
            &[
                format!("npt{name}"),
                format!("{name}npt"),
                format!("pipe{name}"),
            ],
        );
    }
    for size in pipe::metric() {
        let [large, small, to_gauge] = size.ends;
        let name = size.name;
        add(
            StandardTaper::new(
                format!("BSP taper thread {name}"),
                pipe::TAPER,
                pipe::METRIC_SOURCE,
            )
            .ends(1.0, large, small, to_gauge)
            .thread(size.thread)
            .remembered()
            .note("ends are over the crests, at the gauge plane and at the pipe's end"),
            &[
                format!("bspt{name}"),
                format!("{name}bspt"),
                format!("r{name}"),
                format!("rc{name}"),
                format!("bspthread{name}"),
                format!("metricpipe{name}"),
                format!("metricpipethread{name}"),
            ],
        );
    }
    for (name, rate, [large, small, length]) in JACOBS {
        add(
            StandardTaper::new(format!("Jacobs {name}"), rate * INCH_PER_FOOT, CHUCKS)
                .ends(INCH, large, small, length)
                .remembered(),
            &[format!("jt{name}"), format!("{name}jt"), format!("j{name}")],
        );
    }
    add(
        // 16 deg 51 min across the whole cone.
        StandardTaper::new("R8", 2.0 * tan(0.5 * (16.0 + 51.0 / 60.0) * DEGREE), R8)
            .big(INCH, 1.25)
            .remembered(),
        &["r8collet".into()],
    );
    for (number, large) in STEEP_SIZES {
        add(
            StandardTaper::new(format!("7:24 No. {number}"), 7.0 / 24.0, STEEP)
                .big(INCH, large)
                .remembered()
                .note("the big end is at the gauge line"),
            &[
                format!("7/24{number}"),
                format!("nmtb{number}"),
                format!("bt{number}"),
                format!("sk{number}"),
                format!("iso{number}"),
                format!("steepmachine{number}"),
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

/// What a family offers when the size is missing or none of its own.
const FAMILIES: [(&[&str], &str); 8] = [
    (&["jacobs", "jt"], "Jacobs 0 to Jacobs 6, Jacobs 33"),
    (
        &["bspt", "bsp", "bsptaperthread", "rc", "metricpipe"],
        "BSP taper thread 1/16 to BSP taper thread 6",
    ),
    (&["nmtb", "bt", "sk", "iso"], "7:24 No. 20 to 7:24 No. 60"),
    (&["morse", "mt"], "Morse 0 to Morse 7"),
    (&["jarno"], "Jarno 2 to Jarno 20"),
    (
        &["pipe", "npt", "pipethread"],
        "pipe thread 1/16 to pipe thread 8",
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
