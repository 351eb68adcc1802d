//! A virtual shop: invented jobs on invented lathes, made by hands that see nothing but what is
//! promised and what their gauge reads.
//!
//! `cargo run --release -p tautway-tests --example virtual_shop -- [JOBS] [LATHES] [SEED]` plays four
//! hands on each hidden lathe and prints how many pieces come out good beside what was promised,
//! then the same with truths that the advice doesn't know of. The hidden lathes and the hands' errors
//! are drawn by seeds of their own. All numbers are invented.

use std::fmt::Write as _;

use tautway_sim::compare::{Comparison, compare};
use tautway_sim::cut::Options;
use tautway_sim::expect::{Expect, expect, planned, size_band};
use tautway_sim::quantity::Quantity;
use tautway_sim::record::Measures;
use tautway_sim::scenario::{Kind, Origin, Scenario, Source, decode};
use tautway_sim::setup::{Pull, Setup};
use tautway_sim::special::normal_quantile;
use tautway_sim::spread::Draws;
use tautway_sim::study::{PER_TURN, Study};

const INCH: f64 = 0.0254;
/// Seed of the jobs: frozen before anything was tuned.
const JOBS: u64 = 7001;

/// Uniform numbers one after another.
struct Dice {
    draws: Draws,
    trial: u64,
    place: u32,
}

impl Dice {
    fn roll(&mut self) -> f64 {
        self.place += 1;
        self.draws.uniform(self.trial, self.place)
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.roll()
    }

    fn one_of<T: Copy>(&mut self, of: &[T]) -> T {
        of[((self.roll() * of.len() as f64) as usize).min(of.len() - 1)]
    }
}

/// An invented job with its lathe.
fn invented(number: u64) -> Option<Scenario> {
    let mut dice = Dice {
        draws: Draws { seed: JOBS },
        trial: number,
        place: 0,
    };
    let inside = dice.roll() < 0.5;
    let taper = dice.between(0.5, 3.0);
    let length = dice.between(1.0, 3.0);
    let diameter = dice.between(2.0, 3.5);
    let width = dice.between(0.006, 0.06);
    let size = dice.between(0.0004, 0.0015);
    let depth = dice.one_of(&[0.004, 0.006, 0.010, 0.015]);
    let feed = dice.one_of(&[0.003, 0.004, 0.005]);
    let material = dice.one_of(&["1018", "4140 30 HRC", "4140 annealed", "grey iron", "6061"]);
    let condition = dice.one_of(&["ordinary", "ordinary", "worn", "junk"]);
    let edge = dice.one_of(&["fresh", "used", "used", "dull"]);
    let big_end = dice.one_of(&["headstock", "tailstock"]);
    let slack = dice.between(0.01, 0.08);
    let drag = dice.between(8.0, 30.0);
    let small = diameter - taper / 12.0 * length;
    let (kind, start, bar) = if inside {
        let stick_out = length + dice.between(1.0, 3.0);
        let thick = dice.one_of(&["3/4", "1"]);
        let bar =
            format!("bar = {{ diameter = \"{thick} in\", stick_out = \"{stick_out:.2} in\" }}");
        let outer = diameter + 1.5;
        (
            "inside",
            format!("outside_diameter = \"{outer:.3} in\"\n"),
            bar,
        )
    } else {
        ("outside", String::new(), String::new())
    };
    if small < 0.8 {
        return None;
    }
    let lathe = format!(
        "name = \"a lathe\"\nunits = \"inch\"\ncondition = \"{condition}\"\n[attachment]\n\
         kind = \"telescoping\"\nslack = \"{slack:.3} in\"\nguide_travel = \"14 in\"\n[slide]\n\
         drag = \"{drag:.0} lbf +- 25 %\"\n[spindle]\nnose = \"cam lock\"\nreverse = false\n[posts]\nrear = false\n"
    );
    let job = format!(
        "name = \"job {number}\"\nlathe = \"lathe.toml\"\n[work]\nkind = \"{kind}\"\n\
         big_end = \"{big_end}\"\ntaper = \"{taper:.3} in/ft\"\ntolerance = \"+-{half:.4} in/ft\"\n\
         size_tolerance = \"+-{size:.4} in\"\nlength = \"{length:.2} in\"\n\
         gauge_plane = \"at the big end\"\ndiameter = \"{diameter:.3} in\"\n{start}\
         material = \"{material}\"\nheld = \"chuck\"\nfrom_jaws = \"0.5 in\"\n\
         room_headstock = \"4 in\"\nroom_tailstock = \"8 in\"\n\
         start = {{ roughed = \"0.04 in\" }}\nsurface = \"turned in this setting\"\n[tool]\n\
         nose_radius = \"0.031 in\"\nentering_angle = \"95 deg\"\nedge = \"{edge}\"\n{bar}\n\
         [passes]\nfinish = [\"{depth} in\"]\nfeed = \"{feed} in\"\nspeed = \"300 rpm\"\n",
        half = 0.5 * width,
    );
    let source = |name, text| Source { name, text };
    match decode(source("job.toml", &job), source("lathe.toml", &lathe)) {
        Ok((scenario, _)) => Some(scenario),
        Err(faults) => panic!("job {number}: {faults:#?}\n{job}"),
    }
}

/// What is true that the advice doesn't know of.
#[derive(Clone, Copy)]
struct Truth {
    name: &'static str,
    /// Keys that begin so and end so are multiplied.
    scaled: &'static [(&'static str, &'static str, f64)],
    /// The gauge's own error beyond what it is taken for, on diameter, m.
    gauge: f64,
    /// How much warmer than the gauge the work is when it is gauged, K.
    warm: f64,
    /// By how much more the edge pushes off from pass to pass, at the most.
    dulls: f64,
    /// By what the exponent of force over chip is multiplied.
    exponent: f64,
    /// Whether each slack is drawn by itself, none worn alike.
    apart: bool,
}

const AS_TOLD: Truth = Truth {
    name: "as told",
    scaled: &[],
    gauge: 0.0,
    warm: 0.0,
    dulls: 0.1,
    exponent: 1.0,
    apart: false,
};

/// Growth of steel by warmth, 1/K (handbook figure, from memory).
const STEEL: f64 = 11.5e-6;

const OTHERWISE: [Truth; 10] = [
    Truth {
        name: "slacks unlike",
        apart: true,
        ..AS_TOLD
    },
    Truth {
        name: "exponent 0.7 of it",
        exponent: 0.7,
        ..AS_TOLD
    },
    Truth {
        name: "edge dulls by 0.4",
        dulls: 0.4,
        ..AS_TOLD
    },
    Truth {
        name: "gauged 30 F warm",
        warm: 30.0 / 1.8,
        ..AS_TOLD
    },
    Truth {
        name: "slack twice",
        scaled: &[("attachment.", "slack", 2.0)],
        ..AS_TOLD
    },
    Truth {
        name: "drag half",
        scaled: &[("slide.drag", "drag", 0.5)],
        ..AS_TOLD
    },
    Truth {
        name: "force 40 % more",
        scaled: &[("cutting.specific_force", "", 1.4)],
        ..AS_TOLD
    },
    Truth {
        name: "force 40 % less",
        scaled: &[("cutting.specific_force", "", 0.6)],
        ..AS_TOLD
    },
    Truth {
        name: "dial 0.6 thou",
        scaled: &[("passes.dial_within", "", 2.0)],
        ..AS_TOLD
    },
    Truth {
        name: "gauge 0.3 thou off",
        gauge: 0.0003 * INCH,
        ..AS_TOLD
    },
];

impl Truth {
    fn of(&self, scenario: &Scenario) -> Scenario {
        let mut truth = scenario.clone();
        for parameter in truth.parameters_mut() {
            for (begins, ends, by) in self.scaled {
                if parameter.key.starts_with(begins) && parameter.key.ends_with(ends) {
                    let range = parameter.value.range_si().map(|si| si * by);
                    parameter.set_range_si(&mut truth, range);
                }
            }
        }
        if self.apart {
            let a = &mut truth.lathe.attachment;
            for slack in [
                &mut a.shoe_slack,
                &mut a.thrust_slack,
                &mut a.nut_slack,
                &mut a.foot_slack,
            ] {
                slack.origin = Origin::Given;
            }
        }
        truth.job.cutting.exponent *= self.exponent;
        truth
    }
}

/// Pieces good, scrapped and made.
#[derive(Clone, Copy, Default)]
struct Pieces {
    good: u64,
    scrap: u64,
    of: u64,
}

impl Pieces {
    fn add(&mut self, [good, scrap]: [bool; 2]) {
        self.good += u64::from(good);
        self.scrap += u64::from(scrap);
        self.of += 1;
    }

    fn share(&self) -> f64 {
        self.good as f64 / self.of.max(1) as f64
    }
}

/// One hidden lathe after another.
struct Hidden<'a> {
    truth: &'a Scenario,
    setup: Setup,
    study: Study,
    luck: Draws,
    lathes: u64,
    /// What the gauge reads too much of metal left on, per side, m.
    misreads: f64,
    dulls: f64,
    set: f64,
}

impl Hidden<'_> {
    fn normal(&self, number: u64, place: u32) -> f64 {
        normal_quantile(self.luck.uniform(number, place))
    }

    /// Metal left on per side as this hand's gauge reads it, m.
    fn read(&self, number: u64, found: &Measures) -> f64 {
        let deviation = 0.5 * self.truth.job.gauge.within.si() / 1.96;
        let own = 0.5_f64.sqrt() * (self.normal(number, 1) + self.normal(number, 2));
        -found.size_error + deviation * own + self.misreads
    }

    fn play(&self, dial: &(dyn Fn(f64) -> f64 + Sync)) -> Vec<[Measures; 2]> {
        let further = |number: u64, found: &Measures| dial(self.read(number, found)) - self.set;
        self.study.gauged(0, 1..self.lathes + 1, &further)
    }

    /// Good, scrap.
    fn judged(&self, number: u64, found: &[Measures; 2], proven: bool) -> [bool; 2] {
        let work = &self.truth.job.work;
        let [before, after] = found;
        let mut taper = after.taper - work.taper.si();
        let band = work.tolerance;
        let width = band.upper.si() - band.lower.si();
        if proven {
            // Two diameters, four fifths of the length apart; nudged if outside of the middle half.
            let deviation = self.truth.job.gauge.within.si() / 1.96;
            let reads =
                before.taper_error + deviation * self.normal(number, 3) / (0.8 * work.length.si());
            if reads.abs() > 0.25 * width {
                let step = self.truth.lathe.readout_step.si();
                taper -= reads + (self.luck.uniform(number, 4) - 0.5) * 2.0 * step / 0.15;
            }
        }
        let ([low, high], _) = size_band(work);
        let left = (-before.size_error - self.set).max(0.0);
        let size = after.size_error - self.dulls * self.luck.uniform(number, 5) * left;
        let taper_met = (band.lower.si()..=band.upper.si()).contains(&taper);
        [taper_met && (low..=high).contains(&size), size > high]
    }
}

/// From the rows of the table, straight between them and beyond.
fn by_table(rows: &[[f64; 2]], read: f64) -> f64 {
    let at = rows.iter().position(|row| row[0] >= read);
    let after = at.unwrap_or(rows.len() - 1).clamp(1, rows.len() - 1);
    let ([a, b], [c, d]) = (rows[after - 1], rows[after]);
    (b + (d - b) * (read - a) / (c - a)).max(0.0)
}

/// Pieces by hand: by the drawing, by the dial as advised, what is left added, the whole plan, and
/// the best that the gauge allows.
type ByHand = [Pieces; 5];

fn shop(scenario: &Scenario, found: &Expect, truth: &Truth, (lathes, seed): (u64, u64)) -> ByHand {
    let told = planned(scenario, found.alike);
    let real = truth.of(&told);
    let options = Options {
        seed,
        per_turn: PER_TURN,
        ..Options::default()
    };
    let study = Study::new(&real, &[found.way], options).expect("ranges make distributions");
    // Warm, work outside reads as if more were left on, a bore as if less.
    let work = &real.job.work;
    let outward = if work.kind == Kind::Outside {
        1.0
    } else {
        -1.0
    };
    let grown = outward * 0.5 * work.diameter.si() * STEEL * truth.warm;
    let hidden = Hidden {
        truth: &real,
        setup: found.way,
        study,
        luck: Draws {
            seed: seed ^ 0x5a5a,
        },
        lathes,
        misreads: 0.5 * truth.gauge + grown,
        dulls: truth.dulls,
        set: found.set,
    };
    assert_eq!(hidden.setup, found.way);
    let mut pieces = ByHand::default();
    let mut tell = |hand: usize, made: &[[Measures; 2]], proven: bool| {
        for (number, found) in (1..).zip(made) {
            pieces[hand].add(hidden.judged(number, found, proven));
        }
    };
    tell(0, &hidden.play(&|_| found.set), false);
    let usual = found.set + found.left.median;
    tell(1, &hidden.play(&|_| usual), false);
    let plain = hidden.play(&|read| read);
    tell(2, &plain, true);
    if found.gauging_helps() {
        tell(
            3,
            &hidden.play(&|read| by_table(&found.last_pass, read)),
            true,
        );
    } else {
        tell(3, &plain, true);
    }
    // Knows what its lathe makes of a plain last pass, but for what its gauge misreads.
    let mut known = plain.clone();
    for (number, found) in (1..).zip(&mut known) {
        let misread = hidden.read(number, &found[0]) + found[0].size_error;
        if found[1].size_error.abs() < 0.5 * hidden.set {
            let dial = hidden.study.scenario_of(number).0.job.by_hand.dial.si();
            found[1].size_error = misread + dial;
        }
    }
    tell(4, &known, true);
    pieces
}

fn main() {
    let mut args = std::env::args().skip(1).map(|arg| {
        arg.parse::<u64>()
            .unwrap_or_else(|_| panic!("`{arg}` is not a whole number: JOBS LATHES SEED"))
    });
    let jobs = args.next().unwrap_or(200);
    let lathes = args.next().unwrap_or(50);
    let seed = args.next().unwrap_or(90_001);
    let mut all: Vec<Made> = Vec::new();
    let mut others = vec![(ByHand::default(), 0.0); OTHERWISE.len()];
    let mut number = 0;
    while (all.len() as u64) < jobs && number < 20 * jobs {
        number += 1;
        let Some(scenario) = invented(number) else {
            continue;
        };
        let comparison = compare(&scenario, Options::default());
        let Some((best, away)) = both(&comparison) else {
            continue;
        };
        let played = |setup: &Setup| expect(&scenario, setup, Options::default());
        let Ok(found) = played(&best) else { continue };
        let run = (lathes, seed + number);
        let made = shop(&scenario, &found, &AS_TOLD, run);
        let drawn = away.map(|away| played(&away).expect("ranges make distributions"));
        let of_drawn = drawn.as_ref().map_or(ByHand::default(), |drawn| {
            shop(&scenario, drawn, &AS_TOLD, run)
        });
        if number % 5 == 0 {
            for (truth, (sum, promised)) in OTHERWISE.iter().zip(&mut others) {
                let made = shop(&scenario, &found, truth, run);
                for (sum, of) in sum.iter_mut().zip(made) {
                    sum.good += of.good;
                    sum.scrap += of.scrap;
                    sum.of += of.of;
                }
                *promised += found.met().met * lathes as f64;
            }
        }
        all.push((found, made, of_drawn, drawn));
        eprint!("\r{} of {jobs} jobs", all.len());
    }
    eprintln!();
    print!("{}", told(&all, &others));
}

/// The ways pulled in and drawn away, the plainest first.
fn both(comparison: &Comparison) -> Option<(Setup, Option<Setup>)> {
    let of = |pull| {
        let mut ways = comparison.feasible().filter(move |way| way.run.is_some());
        ways.find(|way| way.pull == pull && !way.forbidden)
            .map(|way| way.setup)
    };
    of(Pull::In).map(|pulled| (pulled, of(Pull::Away)))
}

/// One job: what was promised and made pulled in, and made and promised drawn away.
type Made = (Expect, ByHand, ByHand, Option<Expect>);

fn told(all: &[Made], others: &[(ByHand, f64)]) -> String {
    const HANDS: [&str; 5] = [
        "dials the drawing",
        "dial as advised",
        "gauges, adds what is left",
        "the whole plan",
        "knows its lathe",
    ];
    let mut text = String::new();
    let sum = |of: &dyn Fn(&Made) -> Pieces| {
        all.iter()
            .map(of)
            .fold(Pieces::default(), |sum, one| Pieces {
                good: sum.good + one.good,
                scrap: sum.scrap + one.scrap,
                of: sum.of + one.of,
            })
    };
    let per_100 = |pieces: Pieces, of: fn(&Pieces) -> u64| {
        100.0 * of(&pieces) as f64 / pieces.of.max(1) as f64
    };
    let _ = writeln!(
        text,
        "{:<28}{:>12}{:>12}",
        "good of 100", "pulled in", "drawn away"
    );
    for (hand, name) in HANDS.iter().enumerate() {
        let (pulled, drawn) = (sum(&|one| one.1[hand]), sum(&|one| one.2[hand]));
        let [a, b] = [pulled, drawn].map(|pieces| per_100(pieces, |p| p.good));
        let _ = writeln!(text, "{name:<28}{a:>12.1}{b:>12.1}");
    }
    let count = all.len().max(1) as f64;
    let promised = 100.0 * all.iter().map(|one| one.0.met().met).sum::<f64>() / count;
    let by_dial = 100.0 * all.iter().map(|one| one.0.by_dial.met).sum::<f64>() / count;
    let drawn: Vec<f64> = all
        .iter()
        .filter_map(|one| one.3.as_ref())
        .map(|e| e.met().met)
        .collect();
    let away = 100.0 * drawn.iter().sum::<f64>() / drawn.len().max(1) as f64;
    let _ = writeln!(
        text,
        "promised, whole plan        {promised:>12.1}{away:>12.1}"
    );
    let _ = writeln!(text, "promised, dial as advised   {by_dial:>12.1}");
    let closed = |hand: usize| {
        let [from, to, at] = [0, 4, hand].map(|hand| sum(&|one| one.1[hand]).share());
        100.0 * (at - from) / (to - from)
    };
    let _ = writeln!(
        text,
        "of the way from the first hand to the last, the whole plan goes {:.0} %",
        closed(3)
    );
    let worst = all
        .iter()
        .map(|one| 100.0 * (one.1[3].share() - one.1[2].share()))
        .fold(f64::INFINITY, f64::min);
    let _ = writeln!(
        text,
        "on no job worse than adding what is left by more than {:.0} of 100",
        -worst
    );
    let brier = |promise: &dyn Fn(&Expect) -> f64| {
        let each = all.iter().map(|one| {
            let (p, kept) = (promise(&one.0), one.1[3].share());
            kept * (1.0 - p) * (1.0 - p) + (1.0 - kept) * p * p
        });
        each.sum::<f64>() / count
    };
    let mean = sum(&|one| one.1[3]).share();
    let _ = writeln!(
        text,
        "Brier score {:.4}, of the mean alone {:.4}",
        brier(&|e| e.met().met),
        brier(&|_| mean)
    );
    for (low, high) in [
        (0.0, 0.5),
        (0.5, 0.7),
        (0.7, 0.8),
        (0.8, 0.9),
        (0.9, 0.96),
        (0.96, 1.01),
    ] {
        let bin: Vec<_> = all
            .iter()
            .filter(|one| (low..high).contains(&one.0.met().met))
            .collect();
        let (kept, of) = bin
            .iter()
            .fold((0, 0), |(k, n), one| (k + one.1[3].good, n + one.1[3].of));
        let promise = bin.iter().map(|one| one.0.met().met).sum::<f64>() / bin.len().max(1) as f64;
        let kept = kept as f64 / f64::from(of as u32).max(1.0);
        let off: Vec<f64> = bin
            .iter()
            .map(|one| one.1[3].share() - one.0.met().met)
            .collect();
        let spread = (off.iter().map(|o| o * o).sum::<f64>()).sqrt() / off.len().max(1) as f64;
        let _ = writeln!(
            text,
            "promised {:>5.1} to {:>5.1}: {:>4} jobs, promised {:>5.1}, kept {:>5.1}, z {:>5.1}",
            100.0 * low,
            100.0 * high.min(1.0),
            bin.len(),
            100.0 * promise,
            100.0 * kept,
            (kept - promise) / spread.max(1e-9)
        );
    }
    for (truth, (made, promised)) in OTHERWISE.iter().zip(others) {
        let plan = made[3];
        let _ = writeln!(
            text,
            "{:<22} promised {:>5.1}, kept {:>5.1}, scrap {:>4.1}, adding what is left {:>5.1}",
            truth.name,
            100.0 * promised / plan.of.max(1) as f64,
            per_100(plan, |p| p.good),
            per_100(plan, |p| p.scrap),
            per_100(made[2], |p| p.good)
        );
    }
    let _ = writeln!(text, "{} jobs, all invented", all.len());
    text
}
