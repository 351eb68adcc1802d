//! Invented records of many lathes: shares by part, and what the ways come to.

use tautway_sim::{
    scenario::{Source, Work, decode},
    spread::{Coverage, GroupIndices, Index, Interval, OutputIndices},
    study::{Chance, Mend, MendPart, Outlook, Part, WayOutlook},
};

use super::THOU;

/// Every part, hard spots first as the engine has them.
pub const PARTS: [Part; 15] = [
    Part::Luck,
    Part::Guide,
    Part::Wear,
    Part::Foot,
    Part::DriveSlack,
    Part::DriveSpring,
    Part::Drag,
    Part::Gib,
    Part::TopSlide,
    Part::Bar,
    Part::Holding,
    Part::Material,
    Part::ToolHeight,
    Part::Blank,
    Part::Preload,
];

/// Share of a part alone and in all, give or take a tenth.
pub fn share(first: f64, total: f64) -> GroupIndices {
    let index = |value: f64| Index {
        value,
        interval: Interval {
            lower: value - 0.1,
            upper: value + 0.1,
        },
    };
    GroupIndices {
        first: index(first),
        total: index(total),
    }
}

/// The first `count` of [`PARTS`], each with less than the one before, in other steps an output.
pub fn parts(count: usize) -> Mend {
    let output = |number: usize| OutputIndices {
        variance: (THOU * (number + 1) as f64).powi(2),
        groups: Some(
            (0..count)
                .map(|index| {
                    let total = 0.9 * 0.7_f64.powi((index * (number + 1)) as i32);
                    share(0.6 * total, total)
                })
                .collect(),
        ),
    };
    Mend {
        trials: 64,
        numbers: Vec::new(),
        decides: 0,
        parts: PARTS[..count]
            .iter()
            .map(|&part| MendPart {
                part,
                keys: Vec::new(),
                tests: Vec::new(),
            })
            .collect(),
        outputs: (0..5).map(output).collect(),
    }
}

/// A coverage of 95 in 100 about a mean.
fn coverage(estimate: f64, half: f64) -> Coverage {
    let interval = Interval {
        lower: estimate - half,
        upper: estimate + half,
    };
    Coverage {
        estimate,
        standard_uncertainty: half / 2.0,
        symmetric: interval,
        shortest: interval,
    }
}

fn chance(in_trials: u64) -> Chance {
    let share = in_trials as f64 / 200.0;
    Chance {
        in_trials,
        share,
        interval: Interval {
            lower: (share - 0.07).max(0.0),
            upper: (share + 0.07).min(1.0),
        },
    }
}

/// So many ways, each worse than the one before.
pub fn outlook(ways: usize) -> Outlook {
    let way = |index: usize| {
        let worse = 1.0 + index as f64;
        let met = 200 / (index as u64 + 1);
        WayOutlook {
            taper: coverage(1.985 / 12.0, 0.005 / 12.0 * worse),
            size_error: coverage(-THOU * worse, 0.8 * THOU * worse),
            taken: coverage(9.0 * THOU, THOU),
            waves: coverage(0.2 * THOU * worse, 0.15 * THOU * worse),
            roundness: coverage(0.1 * THOU, 0.05 * THOU),
            straight_part: coverage(0.0, 0.0),
            entry: coverage(0.0, 0.0),
            exit: coverage(0.0, 0.0),
            taper_met: chance(met),
            met: chance(met),
            steady: chance(met),
            against_first: None,
        }
    };
    Outlook {
        trials: 200,
        seed: 1,
        probability: 0.95,
        ways: (0..ways).map(way).collect(),
    }
}

/// The work of a scenario: 2 in/ft, +0.000 -0.030 in/ft, nothing else limited.
pub fn work() -> Work {
    let source = |name, text| Source { name, text };
    let (scenario, _) = decode(
        source(
            "tapered-socket.toml",
            include_str!("../../../../scenarios/tapered-socket.toml"),
        ),
        source(
            "worn-lathe.toml",
            include_str!("../../../../scenarios/worn-lathe.toml"),
        ),
    )
    .expect("in order");
    scenario.job.work
}
