//! What readings can't show, and whether it is said: small slips, and slack nearly as long as the
//! travel that was read. Made-up readings with known truth.

use crate::given::readings_made::{IN_FT, INCH, Pattern, Truth, case};
use tautway_sim::readings::{Evaluation, LostRead, Use, evaluate};
use tautway_sim::setup::Feed;

fn found(truth: &Truth, seed: u64) -> Evaluation {
    evaluate(&truth.readings(seed)).expect("a line goes through")
}

/// Cases with a slip, of all sorts.
fn slipped() -> impl Iterator<Item = (u64, Truth, usize, f64)> {
    (0..600).filter_map(|seed| {
        let truth = case(seed);
        let (row, slip) = truth.slip?;
        Some((seed, truth, row, slip.signum()))
    })
}

/// Share of slips of so many times the scatter that are named.
fn share_found(times: f64) -> f64 {
    let (mut seen, mut of) = (0, 0);
    for (seed, truth, row, sign) in slipped() {
        // As a person sees it: noise and steps together.
        let scatter = truth.noise.hypot(truth.step / 12f64.sqrt());
        let truth = Truth {
            slip: Some((row, sign * times * scatter)),
            ..truth
        };
        seen += usize::from(found(&truth, seed).readings[row].taken == Use::Wild);
        of += 1;
    }
    assert!(of > 120, "{of}");
    let share = f64::from(seen as u32) / f64::from(of);
    println!("{times} times the scatter: {seen} of {of}");
    share
}

/// Measured, and as `readings/wild.rs` says: this is a record of what the search can do. Were it
/// to get better or worse, the words there would no longer be true.
#[test]
fn slips_are_found_as_often_as_the_words_say() {
    for (times, low, high) in [
        (3.0, 0.0, 0.12),
        (5.0, 0.22, 0.45),
        (10.0, 0.75, 0.92),
        (20.0, 0.90, 1.0),
    ] {
        let share = share_found(times);
        assert!((low..=high).contains(&share), "{times}: {share}");
    }
}

#[test]
fn the_size_said_to_be_unseen_is_the_size_that_is_missed() {
    let (mut below, mut at, mut above, mut of) = (0, 0, 0, 0);
    for (seed, truth, row, sign) in slipped() {
        let clean = Truth {
            slip: None,
            ..truth
        };
        let Some(unseen) = found(&clean, seed).repeatability.unseen else {
            continue;
        };
        let named = |share: f64| {
            let slip = Some((row, sign * share * unseen));
            let e = found(&Truth { slip, ..truth }, seed);
            usize::from(e.readings[row].taken == Use::Wild)
        };
        below += named(0.4);
        at += named(1.0);
        above += named(2.0);
        of += 1;
    }
    println!("of {of}: {below} at 0.4, {at} at 1, {above} at 2 of the size said");
    assert!(of > 120);
    assert!(below * 100 < 25 * of, "{below} of {of}");
    assert!(at * 100 > 75 * of, "{at} of {of}");
    assert!(above * 100 > 95 * of, "{above} of {of}");
}

fn turned(lost: f64, places: usize, pattern: Pattern) -> Truth {
    Truth {
        lost: lost * 3.0 * INCH,
        span: 3.0 * INCH,
        places,
        pattern,
        noise: 0.0001 * INCH,
        step: 0.00025 * INCH,
        ..Truth::plain(2.0 * IN_FT)
    }
}

#[test]
fn slack_close_to_the_travel_is_said_and_never_makes_a_wrong_answer_look_right() {
    let (mut wrong, mut of, mut silent) = (0, 0, Vec::new());
    for places in 2..=9 {
        for tenths in 1..=16 {
            let lost = 0.1 * f64::from(tenths);
            for seed in 0..10 {
                let truth = turned(lost, places, Pattern::Turned);
                let e = found(&truth, seed);
                let covers = e.taper.low <= truth.taper && truth.taper <= e.taper.high;
                let lost_covers = match e.lost {
                    LostRead::Known { travel, .. } => {
                        travel.low <= truth.lost && truth.lost <= travel.high
                    }
                    LostRead::OneDirection => true,
                    LostRead::Ahead { .. } => false,
                };
                of += 1;
                wrong += usize::from(!covers || !lost_covers);
                // Whether the travel back leaves fewer than half of it seated.
                if lost > 0.55 && e.unseated.is_empty() {
                    silent.push((places, tenths, seed));
                }
                if lost < 0.45 && places > 5 {
                    assert!(e.unseated.is_empty(), "{places} {lost} {:?}", e.unseated);
                }
                for said in &e.unseated {
                    assert_eq!(said.feed, Feed::Headstock, "it is the way back");
                    let stood = truth.lost.min(truth.span);
                    assert!(
                        (said.stood - stood).abs() < 0.03 * truth.span,
                        "{places} {lost}: {said:?}"
                    );
                    assert!(said.run_past > said.stood);
                }
                // An answer no use to anybody is no answer either.
                assert!(
                    e.taper.half() < 0.5 * IN_FT,
                    "{places} places, {lost} lost: {:?}",
                    e.taper
                );
            }
        }
    }
    println!("wrong {wrong} of {of}");
    assert!(silent.is_empty(), "{silent:?}");
    // Two intervals of 95 % each.
    assert!(wrong * 100 <= 10 * of, "{wrong} of {of}");
}

#[test]
fn run_past_far_enough_no_length_of_slack_is_warned_of() {
    for places in 2..=9 {
        for lost in [0.2, 0.6, 0.9, 1.1, 1.6] {
            for seed in 0..10 {
                let truth = turned(lost, places, Pattern::Past);
                let e = found(&truth, seed);
                assert!(e.unseated.is_empty(), "{places} {lost}: {:?}", e.unseated);
                assert!(matches!(e.lost, LostRead::Known { .. }));
            }
        }
    }
}

#[test]
fn ordinary_readings_are_not_warned_of() {
    let mut warned = 0;
    for seed in 0..500 {
        let truth = case(seed);
        let close = truth.lost > 0.4 * truth.span && truth.pattern == Pattern::Turned;
        if !close && !found(&truth, seed).unseated.is_empty() {
            warned += 1;
            println!("{truth:?}");
        }
    }
    assert!(warned <= 5, "{warned}");
}

/// Ten readings one way, with scatter of my own on them, the fourth of them off by so much more.
fn ten(slip: f64) -> tautway_sim::readings::ReadingSet {
    let mut set = Truth {
        places: 10,
        pattern: Pattern::OneWay,
        ..Truth::plain(2.0 * IN_FT)
    }
    .readings(1);
    let scatter = [0.6, -0.9, 0.3, 0.0, -0.5, 1.1, -0.2, -0.7, 0.8, -0.4];
    for (reading, off) in set.readings.iter_mut().zip(scatter) {
        reading.slide += 0.0001 * INCH * off;
    }
    set.readings[WILD].slide += slip;
    set
}

const WILD: usize = 3;

/// Least squares through all but the wild one: its residual there, scatter, and leverage.
fn against_the_other_nine(slip: f64) -> (f64, f64, f64) {
    let set = ten(slip);
    let others = || set.readings.iter().enumerate().filter(|(i, _)| *i != WILD);
    let mean = |of: fn(&tautway_sim::readings::Reading) -> f64| {
        others().map(|(_, reading)| of(reading)).sum::<f64>() / 9.0
    };
    let (x, y) = (mean(|r| r.carriage), mean(|r| r.slide));
    let (mut xx, mut xy) = (0.0, 0.0);
    for (_, r) in others() {
        xx += (r.carriage - x).powi(2);
        xy += (r.carriage - x) * (r.slide - y);
    }
    let off = |r: &tautway_sim::readings::Reading| r.slide - y - xy / xx * (r.carriage - x);
    let squares: f64 = others().map(|(_, r)| off(r).powi(2)).sum();
    let wild = &set.readings[WILD];
    let lever = 1.0 / 9.0 + (wild.carriage - x).powi(2) / xx;
    (off(wild), (squares / 7.0).sqrt(), lever)
}

#[test]
fn a_reading_is_wild_beyond_students_two_sided_limit_either_way() {
    // Student's t, a table of the trade, from memory: 0.001 on both sides together, 7 to spare:
    // 5.408 (on one side alone 4.785). A hundredth of a chance shared by ten readings.
    let t = 5.408;
    for side in [1.0, -1.0] {
        let wild = |slip: f64| {
            let e = evaluate(&ten(side * slip)).expect("a line goes through");
            assert!(
                e.readings
                    .iter()
                    .enumerate()
                    .all(|(i, reading)| i == WILD || reading.taken != Use::Wild)
            );
            e.readings[WILD].taken == Use::Wild
        };
        let (mut least, mut most) = (0.0, 0.01 * INCH);
        assert!(!wild(least) && wild(most));
        while most - least > 1e-10 {
            let middle = 0.5 * (least + most);
            if wild(middle) {
                most = middle;
            } else {
                least = middle;
            }
        }
        let (off, scatter, lever) = against_the_other_nine(side * most);
        let found = off.abs() / (scatter * (1.0 + lever).sqrt());
        assert!((found - t).abs() < 2e-3, "{side}: {found}");
    }
}

/// Measured, and as `readings/wild.rs` says.
#[test]
fn a_clean_set_is_taken_to_hold_a_wild_reading_as_often_as_the_words_say() {
    let mut alarms = 0;
    for seed in 0..1000 {
        let clean = Truth {
            noise: 0.0001 * INCH,
            places: 10,
            pattern: Pattern::OneWay,
            ..Truth::plain(2.0 * IN_FT)
        };
        let taken = found(&clean, seed).readings;
        alarms += u32::from(taken.iter().any(|reading| reading.taken == Use::Wild));
    }
    println!("{alarms} of 1000");
    assert!((15..=35).contains(&alarms), "{alarms}");
}
