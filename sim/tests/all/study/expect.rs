//! What to expect of a way: the plan played, its rule for the last pass, the promise and the order
//! of the ways that follows from it.

use tautway_sim::compare::{Way, compare};
use tautway_sim::cut::Options;
use tautway_sim::expect::{Expect, Reach, depth_of, expect, planned, size_band};
use tautway_sim::quantity::{Length, Quantity};
use tautway_sim::scenario::{Band, Scenario, StartSurface};
use tautway_sim::setup::Pull;
use tautway_sim::sheet::{Sheet, Stage};
use tautway_sim::study::{PER_TURN, Study};

use crate::given::even_work::{even, exactly};
use crate::given::worked::{THOU, plain_setup, scenario, seeded};

fn of(scenario: &Scenario, pull: Pull, seed: u64) -> Expect {
    expect(scenario, &plain_setup(scenario, pull), seeded(seed)).expect("ranges are right")
}

#[test]
fn gauged_and_nothing_added_the_pieces_are_those_of_the_trials() {
    let scenario = planned(&scenario("close-bore.toml"), 2);
    let setup = plain_setup(&scenario, Pull::In);
    let options = Options {
        per_turn: PER_TURN,
        ..Options::default()
    };
    let study = Study::new(&scenario, &[setup], options).expect("ranges are right");
    let gauged = study.gauged(0, 3..14, &|_, _| 0.0);
    let trials = study.trials(3..14);
    for (gauged, trial) in gauged.iter().zip(&trials) {
        assert_eq!(gauged[1], trial.ways[0].measures);
        // A pass more takes what the one before left for it, and a little.
        assert!(gauged[0].size_error < gauged[1].size_error);
    }
}

#[test]
fn pulled_in_a_gauge_holds_the_size_and_drawn_away_it_does_not() {
    let scenario = scenario("tapered-socket.toml");
    for seed in 1..=3 {
        let (pulled, drawn) = (
            of(&scenario, Pull::In, seed),
            of(&scenario, Pull::Away, seed),
        );
        assert!(pulled.met().met > 0.85, "{:?}", pulled.with_gauging);
        assert!(pulled.met().met > pulled.by_dial.met + 0.2);
        assert_eq!(pulled.verdict, Reach::InReachIfGauged);
        assert!(drawn.met().met < 0.2, "{:?}", drawn.with_gauging);
        assert_eq!(drawn.verdict, Reach::OutOfReach);
        // It follows no dial, so no table is given for it.
        assert!(drawn.follows < 0.2 && !drawn.gauging_helps());
        assert!(pulled.size_taken);
    }
}

#[test]
fn the_table_is_the_rule_and_lies_over_what_lathes_read() {
    let found = of(&scenario("tapered-socket.toml"), Pull::In, 1);
    let rows = &found.last_pass;
    assert!(rows.len() >= 3);
    // To the nearest step that a hand can dial.
    for row in rows {
        assert!((row[1] - found.rule.turn(row[0])).abs() <= 0.1 * THOU + 1e-12);
        let steps = row[1] / (0.2 * THOU);
        assert!((steps - steps.round()).abs() < 1e-9);
    }
    for pair in rows.windows(2) {
        assert!(pair[1][0] > pair[0][0] && pair[1][1] > pair[0][1]);
    }
    // What stands yet is the depth of the last pass and what the first left.
    assert!(rows[0][0] < found.set + found.left.median);
    assert!(rows[rows.len() - 1][0] > found.set + found.left.median);
    // A pass that takes more springs off more: more is turned than was read.
    assert!(found.rule.turn(found.rule.read) > found.rule.read - 0.2 * THOU);
    assert_eq!(found.rule.turn(-1.0), 0.0);
}

#[test]
fn rows_close_to_each_other_still_ask_for_different_turns() {
    for (file, pull) in [
        ("plug-cock.toml", Pull::Away),
        ("taper-sleeve.toml", Pull::In),
    ] {
        let found = of(&scenario(file), pull, 1);
        assert!(found.last_pass.len() >= 3, "{file}");
        for pair in found.last_pass.windows(2) {
            assert!(pair[1][1] > pair[0][1], "{file}: {pair:?}");
        }
    }
}

#[test]
fn a_promise_is_kept_on_other_lathes() {
    for (file, pull) in [
        ("tapered-socket.toml", Pull::In),
        ("close-bore.toml", Pull::In),
        ("plug-cock.toml", Pull::Away),
        ("taper-sleeve.toml", Pull::In),
    ] {
        let scenario = scenario(file);
        let found: Vec<Expect> = (1..=6).map(|seed| of(&scenario, pull, seed)).collect();
        let met = |e: &Expect| e.met().met;
        let mean = found.iter().map(met).sum::<f64>() / found.len() as f64;
        for one in &found {
            // Its own doubt, and as much again for the rule that was fitted on few.
            let doubt = 2.0 * (0.5 * (one.met().high - one.met().low) + 0.005);
            assert!(
                (met(one) - mean).abs() < doubt,
                "{file}: {} {mean}",
                met(one)
            );
            assert!(one.met().low <= met(one) && met(one) <= one.met().high);
        }
    }
}

#[test]
fn the_same_files_seed_and_way_give_the_same_record_whatever_the_threads() {
    let scenario = scenario("plug-cock.toml");
    let alone = rayon::ThreadPoolBuilder::new()
        .num_threads(1)
        .build()
        .expect("a thread");
    let one = alone.install(|| of(&scenario, Pull::In, 7));
    assert_eq!(one, of(&scenario, Pull::In, 7));
    assert_ne!(one.body, of(&scenario, Pull::In, 8).body);
}

#[test]
fn without_a_gauge_it_goes_by_the_dial_and_a_better_gauge_is_no_worse() {
    let mut scenario = scenario("tapered-socket.toml");
    let usual = of(&scenario, Pull::In, 1);
    scenario.job.gauge.within = Length::from_si(0.02 * THOU);
    scenario.job.by_hand.dial = exactly(0.0);
    let exact = of(&scenario, Pull::In, 1);
    assert!(exact.met().met >= usual.met().met);
    scenario.job.gauge.kind = None;
    let none = of(&scenario, Pull::In, 1);
    assert_eq!(none.with_gauging.share, none.by_dial);
    assert!(none.last_pass.is_empty());
    // Nobody finds what is left on: it is as good as spoilt.
    let bad = 1.0 - none.met().met;
    let cost = none.cost;
    assert!((cost.expected - cost.minutes - bad * cost.spoilt).abs() < 1e-9);
    // So a way that floats is no cheaper for leaving much on.
    let drawn = of(&scenario, Pull::Away, 1);
    assert!(drawn.cost.expected > none.cost.expected);
    assert!(none.met().met < usual.met().met - 0.2);
}

#[test]
fn size_limits_count_per_side_into_the_work() {
    let mut scenario = scenario("tapered-socket.toml");
    scenario.job.work.size_tolerance = Some(Band {
        lower: Length::from_si(-THOU),
        upper: Length::from_si(3.0 * THOU),
    });
    // A bore may be bigger by 3 thou, so 1.5 a side deeper.
    let near = |found: ([f64; 2], bool), wanted: [f64; 2]| {
        assert!(!found.1);
        for (a, b) in found.0.into_iter().zip(wanted) {
            assert!((a - b * THOU).abs() < 1e-12, "{found:?}");
        }
    };
    near(size_band(&scenario.job.work), [-0.5, 1.5]);
    scenario.job.work.kind = tautway_sim::scenario::Kind::Outside;
    near(size_band(&scenario.job.work), [-1.5, 0.5]);
}

#[test]
fn ways_are_ordered_by_what_they_cost_and_the_plainest_of_those_alike_is_first() {
    for file in [
        "tapered-socket.toml",
        "plug-cock.toml",
        "air-into-the-cut.toml",
    ] {
        let scenario = scenario(file);
        let mut comparison = compare(&scenario, seeded(1));
        comparison
            .weigh(&scenario, seeded(1), &|_, _| true)
            .expect("ranges are right");
        let costs: Vec<f64> = comparison
            .feasible()
            .filter(|way| !way.forbidden)
            .map(|way| way.expect.as_ref().expect("it was played").cost.expected)
            .collect();
        let least = costs.iter().copied().fold(f64::INFINITY, f64::min);
        let first = comparison.ways[0].expect.as_ref().expect("played");
        assert!(costs[0] <= least + first.doubt() + 5.0, "{file}: {costs:?}");
        for pair in costs[1..].windows(2) {
            assert!(pair[0] <= pair[1], "{file}: {costs:?}");
        }
        assert!(!comparison.ways[0].forbidden);
    }
}

#[test]
fn what_cannot_be_replaced_weighs_its_scrap_more() {
    let mut scenario = scenario("close-bore.toml");
    let may = of(&scenario, Pull::In, 1);
    scenario.job.replaceable = false;
    let may_not = of(&scenario, Pull::In, 1);
    assert_eq!(may.with_gauging, may_not.with_gauging);
    assert!(may_not.cost.spoilt > 5.0 * may.cost.spoilt);
    assert!(may_not.cost.expected > may.cost.expected);
    // The guide's setting is shared by the pieces.
    scenario.job.pieces = 10;
    assert!(of(&scenario, Pull::In, 1).minutes < may.minutes - 5.0);
}

#[test]
fn the_sheet_leaves_for_the_plan_what_the_plan_takes() {
    let scenario = scenario("tapered-socket.toml");
    let mut comparison = compare(&scenario, seeded(1));
    comparison
        .weigh(&scenario, seeded(1), &|_, _| true)
        .expect("ranges are right");
    let way = comparison.best().expect("a way to take");
    let sheet = |way| Sheet::new(&scenario, way, None, seeded(1)).expect("it was run");
    let takes = |sheet: &Sheet, rough: bool| -> Vec<f64> {
        let stage = |stage| matches!(stage, Stage::Rough | Stage::Again) == rough;
        let passes = sheet.passes.iter().filter(|pass| stage(pass.stage));
        passes.map(|pass| pass.set).collect()
    };
    let planned = sheet(way);
    let as_run = sheet(&Way {
        expect: None,
        ..way.clone()
    });
    let sum =
        |sheet: &Sheet| -> f64 { takes(sheet, true).iter().chain(&takes(sheet, false)).sum() };
    assert!((sum(&planned) - sum(&as_run)).abs() < 1e-9);
    let expect = way.expect.as_ref().expect("played");
    assert_eq!(takes(&planned, false), vec![expect.set; expect.alike]);
    assert_eq!(
        planned.passes.last().map(|pass| pass.stage),
        Some(Stage::Last)
    );
    // No spring pass after one that goes by the gauge.
    assert!(
        planned
            .passes
            .iter()
            .all(|pass| pass.stage != Stage::Spring)
    );
}

#[test]
fn where_the_stock_has_no_room_for_another_pass_those_alike_share_it() {
    // Roughed to just what the one finishing pass takes.
    let scenario = even();
    let [one, two] = [1, 2].map(|alike| depth_of(&scenario, alike));
    assert!((one - 2.0 * two).abs() < 1e-12, "{one} {two}");
    let mut more = even();
    more.job.work.start = StartSurface::Roughed {
        stock: Length::from_si(1e-3),
    };
    assert_eq!(depth_of(&more, 2), one);
}
