//! How well finished pieces teach: hidden lathes cut a job, are gauged, and what is learned of each is
//! held against what it truly is.
//!
//! `cargo run --release -p tautway-tests --example learning -- [LATHES] [SEED]` prints on how many of 20
//! seeds the worked example is learned from with ordinary gauging, how often ranges cover the truth and
//! whether its rank among the draws is even, and the ends of ranges against plain weighting of 200,000
//! draws. Readings are off by what the gauge may be and by what the model is taken to be. All numbers
//! are invented.

use std::time::Instant;

use tautway_sim::cut::Options;
use tautway_sim::learn::{
    Finished, Gauged, Learned, MODEL_SHARE, Measured, Number, OtherCut, Refused, by_weighting,
    fed_back, learn_all,
};
use tautway_sim::quantity::Units;
use tautway_sim::scenario::{Scenario, Source, decode};
use tautway_sim::sensitivity::finishing;
use tautway_sim::setup::{Feed, Setup};
use tautway_sim::special::normal_quantile;
use tautway_sim::spread::Draws;
use tautway_sim::study::{PER_TURN, Study};

const INCH: f64 = 0.0254;
const DRAWS: usize = 1000;
/// Plain draws, and how many they must be worth.
const PLAIN: usize = 200_000;
const PLAIN_WORTH: f64 = 4000.0;
/// Lathes whose ends are held against plain weighting.
const HELD: u64 = 6;
/// Ranks are counted in so many bins.
const BINS: usize = 10;
/// Chi-square of 9 degrees below which 99.9 of 100 lie: 27.88 (any table).
const EVEN: f64 = 27.88;

fn worked() -> Scenario {
    let read = |name: &str| {
        let path = format!("{}/../scenarios/{name}", env!("CARGO_MANIFEST_DIR"));
        std::fs::read_to_string(path).expect("a worked example")
    };
    let (job, lathe) = (read("tapered-socket.toml"), read("worn-lathe.toml"));
    let source = |name, text| Source { name, text };
    match decode(source("job", &job), source("lathe", &lathe)) {
        Ok((scenario, _)) => scenario,
        Err(faults) => panic!("{faults:#?}"),
    }
}

fn options(seed: u64) -> Options {
    Options {
        per_turn: PER_TURN,
        seed,
        ..Options::default()
    }
}

/// What a piece is brought with, by turns.
#[derive(Clone, Copy, Debug)]
enum Brought {
    PulledIn,
    DrawnAway,
    EachWay,
    TwoPieces,
}

const BROUGHT: [Brought; 4] = [
    Brought::PulledIn,
    Brought::DrawnAway,
    Brought::EachWay,
    Brought::TwoPieces,
];

/// A hidden lathe of the worked example, whose hand is another's each time.
struct Hidden<'a> {
    study: &'a Study,
    setup: Setup,
    gauge: Draws,
    number: u64,
}

impl Hidden<'_> {
    /// A pass of its own, with this luck, m per side and as taper; read off by the gauge and the model.
    fn cut(&self, setup: Setup, luck: u64, hand: u32) -> [Measured; 2] {
        let (mut scenario, _) = self.study.scenario_of(self.number);
        // Touching off and dialling is done anew.
        let other = self.number + 1_000_000 * u64::from(hand + 1);
        let (by_hand, _) = self.study.scenario_of(other);
        scenario.job.by_hand = by_hand.job.by_hand;
        let start = Study::new(&worked(), &[setup], options(0)).expect("ranges");
        let options = Options {
            run_in: start.run_in(0),
            ..options(luck)
        };
        let found = finishing(&scenario, &setup, options);
        let off = |place: u32| normal_quantile(self.gauge.uniform(self.number, 10 * hand + place));
        let read = |value: f64, within: f64, place: u32| Measured {
            value: value + within / 1.96 * off(place),
            off: within,
        };
        let model = MODEL_SHARE * found.set * off(3);
        [
            read(found.taken + model, 0.0003 * INCH, 1),
            read(found.taper, 0.002 / 12.0, 2),
        ]
    }

    /// What is brought of it: taken within 0.0003 in, taper within 0.002 in/ft.
    fn read(&self, brought: Brought) -> (Setup, Vec<Gauged>) {
        let luck = self.study.scenario_of(self.number).1;
        let setup = match brought {
            Brought::DrawnAway => fed_back(&self.setup),
            _ => self.setup,
        };
        let gauged = |luck: u64, hand: u32| {
            let [taken, taper] = self.cut(setup, luck, hand);
            Gauged {
                units: Units::Inch,
                side: None,
                feed: setup.feed,
                rotation: None,
                taken: Some(taken),
                taper: Some(taper),
                waves: None,
                other: None,
            }
        };
        let mut all = vec![gauged(luck, 0)];
        match brought {
            Brought::EachWay => {
                let [taken, _] = self.cut(fed_back(&setup), luck, 1);
                all[0].other = Some(OtherCut { set: None, taken });
            }
            Brought::TwoPieces => all.push(gauged(!luck, 1)),
            _ => {}
        }
        (setup, all)
    }
}

fn finished<'a>(scenario: &'a Scenario, setup: Setup, gauged: &'a [Gauged]) -> Vec<Finished<'a>> {
    let piece = |gauged| Finished {
        scenario,
        setup,
        gauged,
        started: None,
    };
    gauged.iter().map(piece).collect()
}

/// Of one number over hidden lathes.
#[derive(Clone, Default)]
struct Score {
    key: &'static str,
    changed: usize,
    /// What was learned holds the truth.
    covered: usize,
    narrowed: f64,
    ranks: [usize; BINS],
}

/// The worked example with what is hidden of it.
struct Shop {
    scenario: Scenario,
    setup: Setup,
    study: Study,
    gauge: Draws,
}

impl Shop {
    fn read(&self, number: u64, brought: Brought) -> (Setup, Vec<Gauged>) {
        let hidden = Hidden {
            study: &self.study,
            setup: self.setup,
            gauge: self.gauge,
            number,
        };
        hidden.read(brought)
    }

    fn learned(
        &self,
        (setup, gauged): &(Setup, Vec<Gauged>),
        seed: u64,
    ) -> Result<Learned, Refused> {
        let pieces = finished(&self.scenario, *setup, gauged);
        learn_all(&pieces, options(seed), DRAWS, |_| {})
    }

    /// By seeds of the drawing, one reading.
    fn seeds(&self) {
        let read = self.read(1, Brought::PulledIn);
        let begun = Instant::now();
        let all: Vec<Learned> = (1..=20)
            .filter_map(|seed| self.learned(&read, seed).ok())
            .collect();
        let least = all
            .iter()
            .map(|l| l.effective)
            .fold(f64::INFINITY, f64::min);
        println!(
            "seeds that learn: {} of 20; at least {least:.0} draws' worth of {DRAWS}; {:.1} s each",
            all.len(),
            begun.elapsed().as_secs_f64() / 20.0
        );
    }

    /// Coverage and ranks over hidden lathes.
    fn covers(&self, lathes: u64) {
        let mut scores: Vec<Score> = Vec::new();
        let (mut refused, mut least) = (0, f64::INFINITY);
        let begun = Instant::now();
        for number in 1..=lathes {
            let brought = BROUGHT[number as usize % BROUGHT.len()];
            let read = self.read(number, brought);
            let learned = match self.learned(&read, 1000 + number) {
                Ok(learned) => learned,
                Err(why) => {
                    println!("lathe {number}, {brought:?}: {why:?}");
                    refused += 1;
                    continue;
                }
            };
            least = least.min(learned.effective);
            scores.resize(learned.numbers.len(), Score::default());
            let truth = self.study.trial(number).values;
            let told = learned.numbers.iter().zip(&learned.values);
            for (score, (number, values)) in scores.iter_mut().zip(told) {
                let mut known = self.study.quantities().iter();
                let place = known.position(|q| q.key == number.key).expect("drawn");
                score.add(number, values, truth[place]);
            }
        }
        println!(
            "\n{lathes} hidden lathes, pulled in, drawn away, one cut each way, two pieces by turns: \
             {refused} refused, at least {least:.0} draws' worth, {:.1} s each",
            begun.elapsed().as_secs_f64() / lathes as f64
        );
        tell(scores, (lathes - refused) as f64);
    }

    /// Ends of ranges against plain weighting.
    fn ends(&self) {
        println!("\nends against plain weighting of {PLAIN} draws");
        let (mut ends, mut near, mut worst) = (0, 0, 0.0_f64);
        for number in 1..=HELD {
            let read = self.read(number, BROUGHT[number as usize % BROUGHT.len()]);
            let pieces = finished(&self.scenario, read.0, &read.1);
            let plain = by_weighting(&pieces, options(77 + number), PLAIN);
            let (plain, mine) = match (plain, self.learned(&read, number)) {
                (Ok(plain), Ok(mine)) if plain.effective >= PLAIN_WORTH => (plain, mine),
                (Ok(plain), _) => {
                    println!(
                        "lathe {number}: plain draws are worth {:.0} only: not held",
                        plain.effective
                    );
                    continue;
                }
                _ => {
                    println!("lathe {number}: refused");
                    continue;
                }
            };
            let mut most = 0.0_f64;
            let both = plain.numbers.iter().zip(&mine.numbers);
            for (a, b) in both.filter(|(a, b)| a.changed && b.changed) {
                for end in [0, 2] {
                    let off = (a.after[end] - b.after[end]).abs() / (a.after[2] - a.after[0]);
                    ends += 1;
                    near += usize::from(off <= 0.1);
                    most = most.max(off);
                }
            }
            worst = worst.max(most);
            println!(
                "lathe {number}: plain worth {:.0}, mine {:.0}; ends off by {most:.3} of the range at \
                 most",
                plain.effective, mine.effective
            );
        }
        println!("{near} of {ends} ends within a tenth of the range, the worst off by {worst:.3}");
    }
}

impl Score {
    fn add(&mut self, number: &Number, values: &[f64], truth: f64) {
        let within = |range: [f64; 3]| range[0] <= truth && truth <= range[2];
        let width = |range: [f64; 3]| range[2] - range[0];
        self.key = number.key;
        self.changed += usize::from(number.changed);
        self.covered += usize::from(within(number.after));
        self.narrowed += width(number.after) / width(number.before);
        let below = values.iter().filter(|value| **value < truth).count();
        self.ranks[(below * BINS / (values.len() + 1)).min(BINS - 1)] += 1;
    }
}

fn tell(mut scores: Vec<Score>, made: f64) {
    println!(
        "{:34} changed  width  covers of 100  chi-square of ranks",
        "number"
    );
    let (mut covered, mut uneven) = (0, 0);
    scores.sort_by_key(|score| std::cmp::Reverse(score.changed));
    for score in &scores {
        let even = made / BINS as f64;
        let squares = score
            .ranks
            .iter()
            .map(|n| (*n as f64 - even).powi(2) / even);
        let square: f64 = squares.sum();
        covered += score.covered;
        uneven += usize::from(square > EVEN);
        if score.changed > 0 {
            println!(
                "{:34} {:7} {:6.2} {:14.1} {square:20.1}",
                score.key,
                score.changed,
                score.narrowed / made,
                100.0 * score.covered as f64 / made
            );
        }
    }
    println!(
        "all {} numbers: ranges cover {:.1} of 100; ranks uneven (chi-square over {EVEN}) of {uneven}",
        scores.len(),
        100.0 * covered as f64 / (made * scores.len() as f64)
    );
}

fn main() {
    let typed: Vec<u64> = std::env::args()
        .skip(1)
        .filter_map(|a| a.parse().ok())
        .collect();
    let lathes = typed.first().copied().unwrap_or(200);
    let seed = typed.get(1).copied().unwrap_or(9001);
    let scenario = worked();
    let setup = Setup::all(scenario.job.work.kind, scenario.job.work.big_end)
        .into_iter()
        .find(|setup| setup.cuts() && setup.feed == Feed::Tailstock)
        .expect("a plain way");
    let shop = Shop {
        study: Study::new(&scenario, &[setup], options(seed)).expect("ranges"),
        scenario,
        setup,
        gauge: Draws {
            seed: seed ^ 0x6761_7567,
        },
    };
    shop.seeds();
    shop.covers(lathes);
    shop.ends();
}
