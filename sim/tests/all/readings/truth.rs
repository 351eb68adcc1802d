//! Readings made from a known truth: intervals cover as often as they say, slips are found.

use crate::given::readings_made::{IN_FT, INCH, Pattern, Truth, case};
use tautway_sim::readings::{Evaluation, LostRead, Suspicion, Use, evaluate};

const CASES: u64 = 500;

/// Whether a count of successes is one that this chance gives but once in a thousand, either way:
/// normal approximation, 3.29 standard deviations.
fn within(hits: usize, of: usize, chance: f64) -> bool {
    let (hits, n) = (hits as f64, of as f64);
    (hits - n * chance).abs() <= 3.29 * (n * chance * (1.0 - chance)).sqrt()
}

fn all() -> Vec<(Truth, Evaluation)> {
    (0..CASES)
        .map(|seed| {
            let truth = case(seed);
            let set = truth.readings(seed);
            (truth, evaluate(&set).expect("a line goes through"))
        })
        .collect()
}

#[test]
fn intervals_of_500_sets_cover_as_often_as_they_say_and_slips_are_found() {
    let all = all();
    let mut taper = 0;
    let (mut lost, mut lost_of) = (0, 0);
    let (mut noise, mut noise_of) = (0, 0);
    let (mut found, mut slips, mut alarms, mut clean) = (0, 0, 0, 0);
    let mut suspected = 0;
    let mut least = f64::INFINITY;
    let mut by_noise = std::collections::BTreeMap::<String, (usize, usize)>::new();
    for (truth, e) in &all {
        let covers = e.taper.low <= truth.taper && truth.taper <= e.taper.high;
        taper += usize::from(covers);
        let group = by_noise
            .entry(format!(
                "{:?} {:.2}",
                truth.pattern,
                truth.noise / truth.step
            ))
            .or_default();
        group.0 += usize::from(covers);
        group.1 += 1;
        least = least.min(e.draws);
        suspected += usize::from(!e.guide.is_empty());
        noise += usize::from(
            e.repeatability.sigma.low <= truth.noise && truth.noise <= e.repeatability.sigma.high,
        );
        noise_of += 1;
        match (truth.pattern, e.lost) {
            (Pattern::OneWay, kept) => assert_eq!(kept, LostRead::OneDirection),
            (_, LostRead::Known { travel, .. }) => {
                lost_of += 1;
                lost += usize::from(travel.low <= truth.lost && truth.lost <= travel.high);
            }
            (_, other) => {
                lost_of += 1;
                println!("{truth:?}: {other:?}");
            }
        }
        let wild: Vec<usize> = e
            .readings
            .iter()
            .filter(|r| r.taken == Use::Wild)
            .map(|r| r.reading.row - 1)
            .collect();
        if let Some((row, _)) = truth.slip {
            slips += 1;
            found += usize::from(wild.contains(&row));
            alarms += usize::from(wild.iter().any(|w| *w != row));
        } else {
            clean += 1;
            alarms += usize::from(!wild.is_empty());
        }
    }
    println!(
        "taper {taper}/{CASES}, lost {lost}/{lost_of}, noise {noise}/{noise_of}, slips found \
         {found}/{slips}, false alarms {alarms}/{}, suspected {suspected}, least draws {least:.0}",
        slips + clean
    );
    println!("{by_noise:?}");
    assert!(within(taper, CASES as usize, 0.95), "{taper} of {CASES}");
    assert!(within(lost, lost_of, 0.95), "{lost} of {lost_of}");
    // Slips are 20 or 40 times the scatter.
    assert!(found * 100 >= 95 * slips, "{found} of {slips}");
    assert!(alarms * 100 <= 4 * CASES as usize, "{alarms}");
    assert!(suspected * 100 <= 5 * CASES as usize, "{suspected}");
    assert!(least > 300.0, "{least}");
}

fn suspicions(truth: Truth, cases: u64) -> [usize; 3] {
    let mut count = [0; 3];
    for seed in 0..cases {
        let e = evaluate(&truth.readings(seed)).expect("a line goes through");
        for suspicion in &e.guide {
            count[match suspicion {
                Suspicion::Curved { .. } => 0,
                Suspicion::LooseEnd { .. } => 1,
                Suspicion::Climbing { .. } => 2,
            }] += 1;
        }
    }
    count
}

fn guide() -> Truth {
    Truth {
        lost: 0.2 * INCH,
        noise: 0.0001 * INCH,
        step: 0.00025 * INCH,
        ..Truth::plain(2.0 * IN_FT)
    }
}

#[test]
fn a_guide_is_suspected_when_its_fault_is_big_and_not_when_it_has_none() {
    let none = suspicions(guide(), 100);
    let bow = suspicions(
        Truth {
            bow: 0.001 * INCH,
            ..guide()
        },
        50,
    );
    let loose = suspicions(
        Truth {
            kink: 0.002,
            ..guide()
        },
        50,
    );
    let climb = suspicions(
        Truth {
            climb: 0.08 * INCH,
            ..guide()
        },
        50,
    );
    println!("none {none:?}, bow {bow:?}, loose {loose:?}, climb {climb:?}");
    assert!(none.iter().sum::<usize>() <= 5, "{none:?}");
    assert!(bow[0] >= 45, "{bow:?}");
    assert!(loose[1] >= 40, "{loose:?}");
    assert!(climb[2] >= 45, "{climb:?}");
}
