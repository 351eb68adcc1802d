//! What trials come to: ranges and chances that hold as often as they say, and ways in pairs.

use crate::given::many::{only, study, unmeasured, ways};
use crate::given::worked;
use tautway_sim::quantity::{Quantity, Taper};
use tautway_sim::scenario::{Band, Scenario};
use tautway_sim::setup::{Pull, Setup};
use tautway_sim::spread::Proportion;
use tautway_sim::study::{Outlook, Trial, outlook};
use tautway_sim::verdict::{NOT_SEEN, trouble};

const STUDIES: u64 = 200;
const TRIALS: u64 = 60;

/// A study small enough to be repeated, and one more trial of it.
fn small(scenario: &Scenario, way: Setup, seed: u64) -> (Outlook, Trial) {
    let study = study(scenario, &[way], seed);
    let mut trials: Vec<Trial> = study.trials(1..TRIALS + 2);
    let next = trials.pop().expect("one more");
    let found = outlook(&study, &trials, 0.95).expect("enough trials");
    (found, next)
}

/// Whether so many of so many, each with this chance, are what they should be: within four
/// deviations.
fn assert_count(found: u64, chance: f64) {
    let studies = STUDIES as f64;
    let allowed = 4.0 * (studies * chance * (1.0 - chance)).sqrt();
    let off = (found as f64 - studies * chance).abs();
    assert!(off < allowed, "{found} of {STUDIES}, wanted {chance}");
}

#[test]
fn the_range_of_sixty_lathes_holds_the_next_one_as_often_as_it_says() {
    let scenario = unmeasured();
    let way = ways(&scenario)[0];
    let mut held = [0; 2];
    for seed in 1..=STUDIES {
        let (found, next) = small(&scenario, way, seed);
        let (way, next) = (&found.ways[0], &next.ways[0].measures);
        held[0] += u64::from(way.taper.symmetric.holds(next.taper));
        held[1] += u64::from(way.taken.symmetric.holds(next.taken));
    }
    // Of 60 values in order the range ends on two that are 57 steps apart, and the next value is
    // as likely to fall into any of the 61 gaps.
    for held in held {
        assert_count(held, 57.0 / 61.0);
    }
}

/// Only the setting of the guide is uncertain, and the taper follows it one to one.
fn setting_alone() -> (Scenario, Setup) {
    let even = worked::without_stick_slip(worked::evened(unmeasured()));
    let scenario = only(even, "attachment.setting_error");
    let way = ways(&scenario)[0];
    (scenario, way)
}

#[test]
fn the_range_and_the_chance_of_a_known_taper_hold_as_often_as_they_say() {
    let (mut scenario, way) = setting_alone();
    let exact = study(&scenario, &[way], 1);
    let at = exact.quantities().iter().position(|q| q.varies());
    let at = at.expect("one number is uncertain");
    let setting = exact.quantities()[at].distribution.clone();
    let point = |n| {
        let trial = exact.trial(n);
        (trial.values[at], trial.ways[0].measures.taper)
    };
    // The taper follows the setting in a straight line: two trials tell it, more confirm it, and
    // the taper's distribution is known from the setting's.
    let (one, two) = (point(1), point(2));
    let rise = (two.1 - one.1) / (two.0 - one.0);
    let taper_of = |setting: f64| one.1 + rise * (setting - one.0);
    let deviation = rise.abs() * setting.standard_deviation();
    for n in 3..=20 {
        let (setting, taper) = point(n);
        assert!((taper - taper_of(setting)).abs() < 1e-3 * deviation);
    }

    // A tolerance that some of the lathes meet; the guide is aimed at its middle, which stays.
    let nominal = scenario.job.work.taper.si();
    let wide = (taper_of(setting.mean()) - nominal).abs() + 0.8 * deviation;
    scenario.job.work.tolerance = Band {
        lower: Taper::from_si(-wide),
        upper: Taper::from_si(wide),
    };
    let setting_of = |taper: f64| (taper - one.1) / rise + one.0;
    let share_to = |taper: f64| setting.cdf(setting_of(taper));
    let chance = (share_to(nominal + wide) - share_to(nominal - wide)).abs();
    assert!((0.1..0.9).contains(&chance), "{chance}");

    let (mut content, mut mean_held, mut share_held) = (0.0, 0, 0);
    for seed in 1..=STUDIES {
        let (found, _) = small(&scenario, way, seed);
        let way = &found.ways[0];
        let held = way.taper.symmetric;
        content += (share_to(held.upper) - share_to(held.lower)).abs();
        let off = way.taper.estimate - taper_of(setting.mean());
        // t for 59 degrees of freedom at 97.5 %: 2.001. Source: any table of t.
        let half = 2.001 * way.taper.standard_uncertainty / (TRIALS as f64).sqrt();
        mean_held += u64::from(off.abs() <= half);
        share_held += u64::from(way.taper_met.interval.holds(chance));
        let share = way.taper_met.in_trials as f64 / TRIALS as f64;
        assert!((way.taper_met.share - share).abs() < 1e-12);
    }
    // The share between the 2nd and 59th of 60 is a beta number of mean 57 / 61 and variance
    // 57 * 4 / (61^2 * 62), from memory.
    let error = (57.0 * 4.0 / (61.0f64.powi(2) * 62.0) / STUDIES as f64).sqrt();
    let content = content / STUDIES as f64;
    assert!((content - 57.0 / 61.0).abs() < 4.0 * error, "{content}");
    assert_count(mean_held, 0.95);
    // How often Wilson's interval covers this very share, summed over all that can happen.
    assert_count(share_held, wilson_covers(chance));
    assert!(wilson_covers(chance) > 0.9);
}

fn wilson_covers(chance: f64) -> f64 {
    let mut probability = (1.0 - chance).powi(TRIALS as i32);
    let mut covers = 0.0;
    for count in 0..=TRIALS {
        let proportion = Proportion { count, of: TRIALS };
        let interval = proportion.wilson(0.95).expect("trials");
        covers += if interval.holds(chance) {
            probability
        } else {
            0.0
        };
        probability *= (TRIALS - count) as f64 / (count + 1) as f64 * chance / (1.0 - chance);
    }
    covers
}

#[test]
fn a_way_against_itself_is_never_worse_and_always_alike() {
    let scenario = unmeasured();
    let way = ways(&scenario)[0];
    let study = study(&scenario, &[way, way], 1);
    let trials: Vec<Trial> = study.trials(1..TRIALS + 1);
    let found = outlook(&study, &trials, 0.95).expect("enough trials");
    assert!(found.ways[0].against_first.is_none());
    let paired = found.ways[1].against_first.expect("there are two");
    assert_eq!(paired.first_better.count, 0);
    assert_eq!(paired.second_better.count, 0);
    assert_eq!((paired.alike.count, paired.alike.of), (TRIALS, TRIALS));
    assert_eq!((paired.mean, paired.deviation), (0.0, 0.0));
    assert_eq!(found.ways[0].taper, found.ways[1].taper);
}

#[test]
fn on_a_worn_lathe_pulling_in_beats_drawing_away_on_most_lathes_as_counted_by_hand() {
    let scenario = worked::scenario("tapered-socket.toml");
    let ways = [Pull::In, Pull::Away].map(|pull| worked::plain_setup(&scenario, pull));
    let study = study(&scenario, &ways, 1);
    let trials: Vec<Trial> = study.trials(1..TRIALS + 1);
    let found = outlook(&study, &trials, 0.95).expect("enough trials");
    let paired = found.ways[1].against_first.expect("there are two");
    let mut counted = [0; 3];
    for trial in &trials {
        let [pulled, drawn] = [0, 1].map(|at| trouble(&trial.ways[at].measures));
        let at = if (pulled - drawn).abs() <= NOT_SEEN {
            2
        } else {
            usize::from(pulled > drawn)
        };
        counted[at] += 1;
    }
    let told = [
        paired.first_better.count,
        paired.second_better.count,
        paired.alike.count,
    ];
    assert_eq!(told, counted);
    assert_eq!(counted.iter().sum::<u64>(), TRIALS);
    // What the scenario teaches; loosely, for its numbers are invented.
    assert!(counted[0] > TRIALS / 2, "{counted:?}");
    assert!(counted[1] < TRIALS / 4, "{counted:?}");
    assert!(paired.mean < 0.0 && paired.mean_interval.upper < 0.0);
    // Chances are counts too.
    for (at, way) in found.ways.iter().enumerate() {
        let met = trials.iter().filter(|t| t.ways[at].verdict.met()).count();
        assert_eq!(way.met.in_trials, met as u64);
        let taper = trials.iter().filter(|t| t.ways[at].verdict.taper).count();
        assert_eq!(way.taper_met.in_trials, taper as u64);
    }
}
