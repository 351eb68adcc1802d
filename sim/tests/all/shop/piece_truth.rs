//! Pieces with one trouble planted in each: how often the piece tells it.

use std::collections::BTreeMap;

use crate::given::worked::scenario;
use tautway_sim::learn::Gauged;
use tautway_sim::piece::{Bank, Cause, Cut, Piece, diagnose};
use tautway_sim::scenario::Scenario;
use tautway_sim::setup::{Feed, Setup};

const CUTS: u64 = 150;

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

fn plain(scenario: &Scenario, feed: Feed) -> Setup {
    Setup::all(scenario.job.work.kind, scenario.job.work.big_end)
        .into_iter()
        .find(|setup| setup.feed == feed && setup.cuts())
        .expect("there is a plain setup")
}

fn bank(scenario: &Scenario, setup: Setup, seed: u64) -> Bank {
    let piece = nothing_read(scenario, setup.feed);
    Bank::new(scenario, setup, &piece, seed).expect("ranges that can be")
}

fn all_cuts(bank: &Bank) -> Vec<Cut> {
    bank.causes()
        .flat_map(|cause| (1..=CUTS).map(move |number| (cause, number)))
        .map(|(cause, number)| bank.cut(cause, number))
        .collect()
}

#[test]
fn a_planted_trouble_is_among_the_first_two() {
    let mut told = 0;
    let mut made = 0;
    let mut confused: BTreeMap<String, usize> = BTreeMap::new();
    for (file, feed) in [
        ("tapered-socket.toml", Feed::Tailstock),
        ("snug-slide-socket.toml", Feed::Headstock),
        ("taper-sleeve.toml", Feed::Headstock),
    ] {
        let scenario = scenario(file);
        let setup = plain(&scenario, feed);
        let bank_ = bank(&scenario, setup, 1);
        let cuts = all_cuts(&bank_);
        let other = bank(&scenario, setup, 2);
        for cause in bank_.causes().filter(|cause| *cause != Cause::AsDescribed) {
            for number in 1..=4 {
                let gauged = nothing_read(&scenario, feed).gauged;
                let piece = other.on_the_bench(cause, number, gauged);
                let found = diagnose(&scenario, &setup, &piece, &cuts).expect("readings");
                let place = found.causes.iter().position(|l| l.cause == cause);
                made += 1;
                if place.is_some_and(|place| place < 2) {
                    told += 1;
                } else {
                    let first: Vec<_> = found.causes[..3]
                        .iter()
                        .map(|l| format!("{:?} {:.2}", l.cause, l.probability))
                        .collect();
                    println!(
                        "{file} {cause:?} {number}: {first:?} misses {:.1}",
                        found.misses
                    );
                    *confused
                        .entry(format!("{cause:?} as {:?}", found.causes[0].cause))
                        .or_default() += 1;
                }
            }
        }
    }
    println!("{told} of {made}; {confused:#?}");
    assert!(told * 10 >= made * 9, "{told} of {made}: {confused:#?}");
}
