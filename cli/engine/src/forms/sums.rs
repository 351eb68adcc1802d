//! What is typed into a gauging sum's form as the sum it asks for.

use std::collections::BTreeMap;
use std::str::FromStr;

use tautway_screens::gauging::{Balls, Bears, Blue, Diameters, Rolls, Standoff, Sum};
use tautway_sim::gauging::Gauge;
use tautway_sim::quantity::Units;
use tautway_sim::scenario::{End, Kind};
use tautway_sim::setup::Side;

use super::Form;
use super::fault::Fault;

const KINDS: [(&str, Kind); 2] = [("outside", Kind::Outside), ("inside", Kind::Inside)];
const ENDS: [(&str, End); 2] = [("headstock", End::Headstock), ("tailstock", End::Tailstock)];
const SIDES: [(&str, Side); 2] = [("front", Side::Front), ("rear", Side::Rear)];
const BEARS: [(&str, Bears); 4] = [
    ("big", Bears::Big),
    ("small", Bears::Small),
    ("all", Bears::All),
    ("uneven", Bears::Uneven),
];
const GAUGES: [(&str, Gauge); 4] = [
    ("mike", Gauge::Mike),
    ("bore-gauge", Gauge::BoreGauge),
    ("telescoping-gauge", Gauge::TelescopingGauge),
    ("caliper", Gauge::Caliper),
];

/// The fields, and what is wrong with them so far.
struct Typed<'a> {
    of: Form,
    units: Units,
    values: &'a BTreeMap<String, String>,
    faults: Vec<Fault>,
}

impl Typed<'_> {
    fn has(&self, path: &str) -> bool {
        self.values.contains_key(path)
    }

    fn fault(&mut self, path: &str, message: &str, hint: &str) {
        self.faults.push(Fault::of(path, message, hint));
    }

    /// A number, where it is typed.
    fn maybe<T: FromStr<Err = String>>(&mut self, path: &str) -> Option<T> {
        let read = self.values.get(path)?.parse::<T>();
        read.map_err(|why: String| self.faults.push(Fault::pointed(path, &why)))
            .ok()
    }

    /// A number that the sum can't do without.
    fn number<T: FromStr<Err = String>>(&mut self, path: &str) -> Option<T> {
        if !self.has(path) {
            self.needed(path);
        }
        self.maybe(path)
    }

    fn needed(&mut self, path: &str) {
        let row = self.of.row(path);
        let example = row.map_or("", |row| row.how.example(self.units));
        let hint = match example {
            "" => "choose one".to_owned(),
            example => format!("write it like {example}"),
        };
        self.fault(path, "this is needed", &hint);
    }

    /// Both or neither.
    fn together(&mut self, one: &str, other: &str) {
        for (there, lacks) in [(one, other), (other, one)] {
            if self.has(there) && !self.has(lacks) {
                self.needed(lacks);
            }
        }
    }

    /// One of these words, where one is chosen.
    fn word<T: Copy>(&mut self, path: &str, words: &[(&str, T)]) -> Option<T> {
        let typed = self.values.get(path)?;
        words
            .iter()
            .find(|(word, _)| word == typed)
            .map(|(_, one)| *one)
    }

    fn chosen<T: Copy>(&mut self, path: &str, words: &[(&str, T)]) -> Option<T> {
        if !self.has(path) {
            self.needed(path);
        }
        self.word(path, words)
    }
}

/// The sum, or what is wrong with its fields.
pub(super) fn sum(
    of: Form,
    units: Units,
    values: &BTreeMap<String, String>,
) -> Result<Sum, Vec<Fault>> {
    let mut typed = Typed {
        of,
        units,
        values,
        faults: Vec::new(),
    };
    let sum = match of {
        Form::Standoff => standoff(&mut typed),
        Form::Blue => blue(&mut typed),
        Form::Rolls => rolls(&mut typed),
        Form::Balls => balls(&mut typed),
        _ => diameters(&mut typed),
    };
    match sum {
        Some(sum) if typed.faults.is_empty() => Ok(sum),
        _ => Err(typed.faults),
    }
}

fn standoff(typed: &mut Typed<'_>) -> Option<Sum> {
    if typed.has("at_size") && !typed.has("read") {
        typed.needed("read");
    }
    let [read, at_size, step] = ["read", "at_size", "step"].map(|path| typed.maybe(path));
    let kind = typed.word("kind", &KINDS);
    Some(Sum::Standoff(Standoff {
        taper: typed.number("taper")?,
        read,
        at_size,
        kind,
        step,
    }))
}

fn blue(typed: &mut Typed<'_>) -> Option<Sum> {
    if typed.has("shake") {
        if !typed.has("over") {
            typed.needed("over");
        }
        if typed.has("mark") {
            typed.fault(
                "mark",
                "this and the rocking are two ways to the same",
                "leave one empty",
            );
        }
    }
    let bears = typed.chosen("bears", &BEARS);
    let taper = typed.number("taper");
    let kind = typed.chosen("kind", &KINDS);
    let big_end = typed.chosen("big_end", &ENDS);
    let lengths = ["shake", "over", "mark", "film", "guide_end"];
    let [shake, over, mark, film, guide_end] = lengths.map(|path| typed.maybe(path));
    Some(Sum::Blue(Blue {
        taper: taper?,
        kind: kind?,
        big_end: big_end?,
        side: typed.word("side", &SIDES).unwrap_or(Side::Front),
        bears: bears?,
        shake,
        over,
        mark,
        film,
        guide_end,
        nudge: typed.word("nudge", &ENDS).unwrap_or(End::Tailstock),
    }))
}

fn rolls(typed: &mut Typed<'_>) -> Option<Sum> {
    let known = typed.has("taper");
    if known {
        for path in ["high", "high_blocks"] {
            if typed.has(path) {
                typed.fault(
                    path,
                    "with the taper known one height is enough",
                    "leave this or the taper empty",
                );
            }
        }
    } else if !typed.has("high") && !typed.has("high_blocks") {
        typed.needed("high");
        typed.needed("high_blocks");
    }
    typed.together("high", "high_blocks");
    let (roll, low) = (typed.number("roll"), typed.number("low"));
    let lengths = ["low_blocks", "high", "high_blocks", "length"];
    let [low_blocks, high, high_blocks, length] = lengths.map(|path| typed.maybe(path));
    let taper = typed.maybe("taper");
    let wanted = typed.maybe("wanted").filter(|_| !known);
    Some(Sum::Rolls(Rolls {
        roll: roll?,
        low: low?,
        low_blocks,
        high,
        high_blocks,
        taper,
        big_end_up: typed.word("big_end_up", &[("yes", true), ("no", false)]) == Some(true),
        length,
        wanted,
    }))
}

fn balls(typed: &mut Typed<'_>) -> Option<Sum> {
    let known = typed.has("taper");
    if known && typed.has("small") {
        typed.fault(
            "small",
            "with the taper known the large ball is enough",
            "leave this or the taper empty",
        );
    } else if !known && !typed.has("small") && !typed.has("small_depth") {
        typed.needed("small");
        typed.needed("small_depth");
    }
    typed.together("small", "small_depth");
    let (large, large_depth) = (typed.number("big"), typed.number("big_depth"));
    let [small, small_depth] = ["small", "small_depth"].map(|path| typed.maybe(path));
    let taper = typed.maybe("taper");
    let wanted = typed.maybe("wanted").filter(|_| !known);
    Some(Sum::Balls(Balls {
        small,
        small_depth,
        large: large?,
        large_depth: large_depth?,
        taper,
        wanted,
    }))
}

fn diameters(typed: &mut Typed<'_>) -> Option<Sum> {
    let [big, small, apart] = ["big", "small", "apart"].map(|path| typed.number(path));
    let beyond = typed.maybe("beyond");
    let wanted = typed.maybe("wanted");
    Some(Sum::Diameters(Diameters {
        big: big?,
        small: small?,
        apart: apart?,
        beyond,
        gauge: typed.word("with", &GAUGES).unwrap_or(Gauge::Mike),
        wanted,
    }))
}
