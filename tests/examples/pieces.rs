//! How well a finished piece tells what made it so: pieces with known troubles, cut on hidden lathes
//! and gauged, are held against the stories.
//!
//! `cargo run --release -p tautway-tests --example pieces -- [PIECES] [SEED]` makes pieces of every
//! trouble, of two at once and of none, in tolerance and out, on worked examples by turns, and
//! prints how often the right cause stands first and among the first three, and told probabilities
//! against how often they were right. All numbers are invented.

use std::collections::BTreeMap;

use rayon::prelude::*;
use tautway_sim::learn::Gauged;
use tautway_sim::piece::{Bank, Cause, Cut, Diagnosis, Piece, diagnose, met as met_by};
use tautway_sim::scenario::{Scenario, Source, decode, lathe_named_in};
use tautway_sim::setup::{Feed, Setup};

/// Cuts of each story.
const CUTS: u64 = 150;
/// Of 200 pieces so many have two troubles, are sound in tolerance, and sound out of it; the others
/// have one trouble each, by turns.
const TWO: u64 = 28;
const SOUND_IN: u64 = 72;
const SOUND_OUT: u64 = 10;
const ALL: u64 = 200;
/// The taper tolerance of the last shop's drawing.
const CLOSE: &str = "+-0.003 in/ft";
const IN: &str = "sound, in tolerance";
const OUT: &str = "sound, out of tolerance";
/// A sound piece in or out of tolerance is looked for among so many.
const LOOKED: u64 = 400;
/// Ends of the bins of told probability.
const BINS: [f64; 7] = [0.05, 0.2, 0.4, 0.6, 0.8, 0.95, 1.01];

/// A worked example with the cuts of its stories.
struct Shop {
    scenario: Scenario,
    setup: Setup,
    hidden: Bank,
    cuts: Vec<Cut>,
    causes: Vec<Cause>,
}

fn nothing_read(scenario: &Scenario, feed: Feed) -> Piece {
    Piece {
        job: None,
        gauged: Gauged {
            units: scenario.job.units,
            side: None,
            feed,
            rotation: None,
            taken: None,
            taper: None,
            waves: None,
            other: None,
        },
        started: None,
        diameters: Vec::new(),
        diameter_off: 0.0,
        spacing: None,
        straight: None,
        step: None,
        roundness: None,
        guide: None,
    }
}

impl Shop {
    /// Of an example, its drawing as it is or with this taper tolerance.
    fn new(file: &str, feed: Feed, tolerance: Option<&str>, seed: u64) -> Self {
        let read = |name: &str| {
            let path = format!("{}/../scenarios/{name}", env!("CARGO_MANIFEST_DIR"));
            std::fs::read_to_string(path).expect("a worked example")
        };
        let mut job = read(file);
        if let Some(tolerance) = tolerance {
            let given = job.lines().find(|line| line.starts_with("tolerance = "));
            let given = given.expect("a tolerance").to_owned();
            job = job.replace(&given, &format!("tolerance = \"{tolerance}\""));
        }
        let source = |name, text| Source { name, text };
        let Ok(named) = lathe_named_in(source(file, &job)) else {
            panic!("{file} names no lathe");
        };
        let lathe = read(&named);
        let scenario = match decode(source(file, &job), source("lathe", &lathe)) {
            Ok((scenario, _)) => scenario,
            Err(faults) => panic!("{faults:#?}"),
        };
        let setup = Setup::all(scenario.job.work.kind, scenario.job.work.big_end)
            .into_iter()
            .find(|setup| setup.feed == feed && setup.cuts())
            .expect("a plain way");
        let bank = |seed: u64| {
            let piece = nothing_read(&scenario, feed);
            Bank::new(&scenario, setup, &piece, seed).expect("ranges")
        };
        let stories = bank(1);
        let causes: Vec<Cause> = stories.causes().collect();
        let cuts = causes
            .iter()
            .flat_map(|cause| (1..=CUTS).map(|number| stories.cut(*cause, number)))
            .collect();
        Self {
            hidden: bank(seed),
            cuts,
            causes,
            setup,
            scenario,
        }
    }

    fn piece(&self, causes: &[Cause], number: u64) -> Piece {
        let gauged = nothing_read(&self.scenario, self.setup.feed).gauged;
        self.hidden.with_all(causes, number, gauged)
    }

    fn told(&self, piece: &Piece) -> Diagnosis {
        diagnose(&self.scenario, &self.setup, piece, &self.cuts).expect("readings")
    }

    /// A sound piece in tolerance or out, from this number on.
    fn sound(&self, met: bool, from: u64) -> Option<Piece> {
        (from..from + LOOKED)
            .map(|number| self.piece(&[Cause::AsDescribed], number))
            .find(|piece| {
                let likely = met_by(&self.scenario, piece).unwrap_or(0.0);
                if met { likely > 0.5 } else { likely < 0.5 }
            })
    }
}

/// Of pieces of one kind.
#[derive(Default)]
struct Score {
    made: u32,
    first: u32,
    in_three: u32,
    instead: BTreeMap<String, u32>,
}

/// What a piece is, by its place in a round of all kinds: its name and what was planted.
fn planted(shop: &Shop, n: u64) -> (String, Vec<Cause>) {
    // In an order that has nothing to do with the shops'.
    let kind = n * 37 % ALL;
    let turn = |by: u64| {
        let can = |cause: &&Cause| shop.causes[1..].contains(cause);
        let all: Vec<&Cause> = Cause::ALL.iter().filter(can).collect();
        *all[by as usize % all.len()]
    };
    if kind < TWO {
        let causes = vec![turn(kind), turn(kind + 1 + kind / 9)];
        ("two at once".to_owned(), causes)
    } else if kind < TWO + SOUND_IN {
        (IN.to_owned(), vec![Cause::AsDescribed])
    } else if kind < TWO + SOUND_IN + SOUND_OUT {
        (OUT.to_owned(), vec![Cause::AsDescribed])
    } else {
        let cause = turn(kind - TWO - SOUND_IN - SOUND_OUT);
        (format!("{cause:?}"), vec![cause])
    }
}

/// A piece made and told; none where no sound one was found in or out of tolerance.
fn made(shop: &Shop, close: &Shop, n: u64) -> (String, Vec<Cause>, Option<Diagnosis>) {
    let (name, causes) = planted(shop, n);
    // Only a drawing that asks for more than such lathes hold is missed by a sound one.
    let shop = if name == OUT { close } else { shop };
    let number = 1 + n * LOOKED;
    let piece = match name.as_str() {
        IN => shop.sound(true, number),
        OUT => shop.sound(false, number),
        _ => Some(shop.piece(&causes, number)),
    };
    let told = piece.map(|piece| shop.told(&piece));
    (name, causes, told)
}

fn main() {
    let typed: Vec<u64> = std::env::args()
        .skip(1)
        .filter_map(|a| a.parse().ok())
        .collect();
    let pieces = typed.first().copied().unwrap_or(ALL);
    let seed = typed.get(1).copied().unwrap_or(9002);
    let shops: Vec<Shop> = [
        ("tapered-socket.toml", Feed::Tailstock, None),
        ("snug-slide-socket.toml", Feed::Headstock, None),
        ("taper-sleeve.toml", Feed::Headstock, None),
        ("tapered-socket.toml", Feed::Tailstock, Some(CLOSE)),
    ]
    .into_par_iter()
    .map(|(file, feed, tolerance)| Shop::new(file, feed, tolerance, seed))
    .collect();
    let all: Vec<(String, Vec<Cause>, Option<Diagnosis>)> = (0..pieces)
        .into_par_iter()
        .map(|n| {
            made(
                &shops[n as usize / 3 % shops.len()],
                &shops[shops.len() - 1],
                n,
            )
        })
        .collect();
    let mut scores: BTreeMap<String, Score> = BTreeMap::new();
    let mut bins = [(0_u32, 0.0, 0_u32); BINS.len()];
    for (name, causes, told) in all {
        let score = scores.entry(name).or_default();
        let Some(told) = told else {
            *score.instead.entry("none found".to_owned()).or_default() += 1;
            continue;
        };
        let right = |cause: &Cause| causes.contains(cause);
        let place = told.causes.iter().position(|likely| right(&likely.cause));
        score.made += 1;
        score.first += u32::from(place == Some(0));
        score.in_three += u32::from(place.is_some_and(|place| place < 3));
        if place != Some(0) {
            let first = format!("{:?}", told.causes[0].cause);
            *score.instead.entry(first).or_default() += 1;
        }
        if causes.len() > 1 {
            continue;
        }
        for likely in &told.causes {
            let bin = BINS.iter().position(|end| likely.probability < *end);
            let bin = &mut bins[bin.unwrap_or(BINS.len() - 1)];
            bin.0 += 1;
            bin.1 += likely.probability;
            bin.2 += u32::from(right(&likely.cause));
        }
    }
    println!("{:26} made first in three, instead", "planted");
    let (mut made, mut first, mut three) = (0, 0, 0);
    for (name, score) in &scores {
        made += score.made;
        first += score.first;
        three += score.in_three;
        let instead: Vec<String> = score
            .instead
            .iter()
            .map(|(what, count)| format!("{what} {count}"))
            .collect();
        println!(
            "{name:26} {:4} {:5} {:8}  {}",
            score.made,
            score.first,
            score.in_three,
            instead.join(", ")
        );
    }
    let share = |of: u32| 100.0 * f64::from(of) / f64::from(made);
    println!(
        "all {made}: right first {:.0} of 100, among the first three {:.0}",
        share(first),
        share(three)
    );
    println!("\ntold, of 100   times   was right, of 100");
    for (count, told, right) in bins.iter().filter(|bin| bin.0 > 0) {
        println!(
            "{:12.1} {count:7} {:19.1}",
            100.0 * told / f64::from(*count),
            100.0 * f64::from(*right) / f64::from(*count)
        );
    }
}
