//! Draws of a study: a trial by itself, ways on the same draws, and numbers that shift no other.

use crate::given::many;
use crate::given::many::{drawn, study, unmeasured, ways, with};
use crate::given::worked;
use tautway_sim::cut::{Operation, Options, Scratch, finish_batch};
use tautway_sim::measure::gauge_turned;
use tautway_sim::scenario::Scenario;
use tautway_sim::study::{PER_TURN, Study};

#[test]
fn a_trial_is_the_same_before_and_after_others_and_in_another_study_alike() {
    let scenario = unmeasured();
    let ways = &ways(&scenario)[..2];
    let one = study(&scenario, ways, 7);
    let alone = one.trial(40);
    let up: Vec<_> = (1..=45).map(|n| one.trial(n)).collect();
    let down: Vec<_> = (1..=45).rev().map(|n| one.trial(n)).collect();
    assert!(up.iter().eq(down.iter().rev()));
    assert_eq!(up[39], alone);
    assert_eq!(study(&scenario, ways, 7).trial(40), alone);
    // Trials differ from each other, and seeds too: it is not the same lathe ever again.
    assert!(up.windows(2).all(|two| two[0].values != two[1].values));
    assert!(up.windows(2).all(|two| two[0].luck != two[1].luck));
    let other = study(&scenario, ways, 8).trial(40);
    assert_ne!(other.values, alone.values);
    assert_ne!(other.luck, alone.luck);
}

#[test]
fn the_scenario_of_a_trial_makes_the_very_cut_of_that_trial() {
    for scenario in [unmeasured(), worked::scenario("tapered-socket.toml")] {
        let ways = ways(&scenario);
        let study = study(&scenario, &ways, 3);
        for number in [1, 2, 17, 1000] {
            let trial = study.trial(number);
            let (alone, luck) = study.scenario_of(number);
            assert_eq!(luck, trial.luck);
            for (at, way) in ways.iter().enumerate() {
                let options = Options {
                    per_turn: PER_TURN,
                    seed: luck,
                    run_in: study.run_in(at),
                };
                let operations = [Operation::new(&alone, *way, options)];
                let turned = finish_batch(&operations, &mut Scratch::default()).remove(0);
                let measures = gauge_turned(&alone, way, &operations[0], turned);
                assert_eq!(measures, trial.ways[at].measures, "trial {number}, {way:?}");
            }
        }
    }
}

#[test]
fn ways_meet_the_same_draws_in_any_order_and_with_any_of_them_left_out() {
    let scenario = unmeasured();
    let mut ways = ways(&scenario);
    ways.truncate(4);
    assert_eq!(ways.len(), 4);
    let all = study(&scenario, &ways, 5);
    let back: Vec<_> = ways.iter().rev().copied().collect();
    let backward = study(&scenario, &back, 5);
    let fewer = study(&scenario, &[ways[1], ways[3]], 5);
    for number in 1..=20 {
        let (all, backward) = (all.trial(number), backward.trial(number));
        let fewer = fewer.trial(number);
        assert_eq!((&all.values, all.luck), (&backward.values, backward.luck));
        assert_eq!((&all.values, all.luck), (&fewer.values, fewer.luck));
        assert!(all.ways.iter().eq(backward.ways.iter().rev()));
        assert_eq!(
            [&all.ways[1], &all.ways[3]],
            [&fewer.ways[0], &fewer.ways[1]]
        );
    }
}

/// Keys and values of a trial.
fn values(study: &Study, number: u64) -> Vec<(&'static str, f64)> {
    let keys = study.quantities().iter().map(|quantity| quantity.key);
    keys.map(|key| (key, drawn(study, key, number))).collect()
}

fn fixed(mut scenario: Scenario, keys: &[&str]) -> Scenario {
    for parameter in scenario.parameters_mut() {
        if keys.contains(&parameter.key) {
            let [_, middle, _] = parameter.value.range_si();
            parameter.set_range_si(&mut scenario, [middle; 3]);
        }
    }
    scenario
}

#[test]
fn a_number_given_exactly_shifts_the_draws_of_no_other() {
    let scenario = unmeasured();
    let way = &ways(&scenario)[..1];
    let before = study(&scenario, way, 11);
    let keys: Vec<_> = before
        .quantities()
        .iter()
        .filter(|quantity| quantity.varies())
        .map(|quantity| quantity.key)
        .collect();
    assert!(keys.len() > 20, "{keys:?}");
    for key in keys {
        let after = study(&fixed(scenario.clone(), &[key]), way, 11);
        for number in [1, 2, 3] {
            let pairs = values(&before, number)
                .into_iter()
                .zip(values(&after, number));
            for (before, after) in pairs {
                assert_eq!(before.0, after.0);
                if before.0 == key {
                    assert_ne!(before.1, after.1, "{key} is still drawn");
                } else {
                    assert_eq!(before.1, after.1, "{} shifted with {key}", before.0);
                }
            }
        }
    }
}

#[test]
fn the_last_slack_left_to_assume_keeps_its_draws_when_the_others_are_measured() {
    let scenario = unmeasured();
    let way = &ways(&scenario)[..1];
    let before = study(&scenario, way, 11);
    let slacks: Vec<_> = before
        .quantities()
        .iter()
        .map(|quantity| quantity.key)
        .filter(|key| key.ends_with("slack") && *key != "attachment.nut_slack")
        .collect();
    assert!(slacks.len() >= 3, "{slacks:?}");
    let after = study(&fixed(scenario, &slacks), way, 11);
    for number in 1..=5 {
        let nut = |study| drawn(study, "attachment.nut_slack", number);
        assert_eq!(nut(&before), nut(&after), "trial {number}");
    }
}

#[test]
fn a_measured_total_takes_the_place_of_its_parts_and_shifts_nothing_else() {
    let parts = [
        "attachment.shoe_slack",
        "attachment.thrust_slack",
        "attachment.nut_slack",
    ];
    let scenario = unmeasured();
    let way = &ways(&scenario)[..1];
    let apart = study(&scenario, way, 2);
    let total = study(&with("attachment", "slack = \"1.2 mm +- 0.2 mm\""), way, 2);
    for number in [1, 2, 3] {
        let (apart, total) = (values(&apart, number), values(&total, number));
        for key in parts {
            assert!(apart.iter().any(|(k, _)| *k == key), "{key}");
            assert!(total.iter().all(|(k, _)| *k != key), "{key} is drawn");
        }
        let others = |values: &[(&'static str, f64)]| -> Vec<(&'static str, f64)> {
            let mut values = values.to_vec();
            values.retain(|(key, _)| !parts.contains(key) && *key != "attachment.slack");
            values
        };
        assert_eq!(others(&apart), others(&total));
        assert!(total.iter().any(|(key, _)| *key == "attachment.slack"));
    }
}

/// Ranks as normal scores would order them; Spearman's correlation of two lists.
fn rank_correlation(left: &[f64], right: &[f64]) -> f64 {
    let ranks = |values: &[f64]| -> Vec<f64> {
        let mut order: Vec<usize> = (0..values.len()).collect();
        order.sort_by(|a, b| values[*a].total_cmp(&values[*b]));
        let mut ranks = vec![0.0; values.len()];
        for (rank, at) in order.into_iter().enumerate() {
            ranks[at] = rank as f64;
        }
        ranks
    };
    let (left, right) = (ranks(left), ranks(right));
    let middle = 0.5 * (left.len() - 1) as f64;
    let sum = |a: &[f64], b: &[f64]| -> f64 {
        a.iter()
            .zip(b)
            .map(|(a, b)| (a - middle) * (b - middle))
            .sum()
    };
    sum(&left, &right) / sum(&left, &left)
}

#[test]
fn slacks_picked_by_condition_go_together_and_measured_ones_by_themselves() {
    const TRIALS: u64 = 3000;
    let keys = [
        "attachment.shoe_slack",
        "attachment.thrust_slack",
        "attachment.nut_slack",
        "top_slide.slack",
    ];
    let measured = with(
        "attachment",
        "shoe_slack = \"0.3 mm +- 0.1 mm\"\nthrust_slack = \"0.3 mm +- 0.1 mm\"\n\
         nut_slack = \"1 mm +- 0.3 mm\"",
    );
    let lists = |scenario: &Scenario| -> Vec<Vec<f64>> {
        let study = study(scenario, &ways(scenario)[..1], 1);
        keys.iter()
            .map(|key| many::all_drawn(&study, key, TRIALS))
            .collect()
    };
    let (picked, given) = (lists(&unmeasured()), lists(&measured));
    // Normal scores correlated by 0.5 have rank correlation 6/pi asin(0.25), from memory; the
    // deviation of 3000 pairs' is about 1/sqrt(3000) at most, and five of these are allowed.
    let wanted = 6.0 / std::f64::consts::PI * 0.25f64.asin();
    let allowed = 5.0 / (TRIALS as f64).sqrt();
    for a in 0..keys.len() {
        for b in 0..a {
            let found = rank_correlation(&picked[a], &picked[b]);
            let pair = (keys[a], keys[b]);
            assert!((found - wanted).abs() < allowed, "{pair:?}: {found}");
            let found = rank_correlation(&given[a], &given[b]);
            assert!(found.abs() < allowed, "measured {pair:?}: {found}");
        }
    }
    // Nothing else goes with them.
    let study = study(&unmeasured(), &ways(&unmeasured())[..1], 1);
    for key in ["slide.breakaway", "attachment.shoe_spring"] {
        let other = many::all_drawn(&study, key, TRIALS);
        let found = rank_correlation(&picked[0], &other);
        assert!(found.abs() < allowed, "{key}: {found}");
    }
}
