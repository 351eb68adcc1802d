//! Changes: which apply, what they move, and that before and after are cut on the same lathes.

use crate::given::many;
use crate::given::worked::{by_hand as scenario, plain_setup, pressed};
use proptest::prelude::*;
use tautway_sim::advice::catalogue::{Holds, changes, drawn_away};
use tautway_sim::advice::change::{Arrangement, Change, Effect, SlackOf, Undone};
use tautway_sim::advice::gain::{Bought, Gain, Gains, Standing, Tried, Tryout};
use tautway_sim::advice::source::LINE;
use tautway_sim::advice::window::{Needs, Window, plain_rule};
use tautway_sim::cut::Options;
use tautway_sim::quantity::{Force, Length, Quantity, Units};
use tautway_sim::scenario::{Known, Scenario};
use tautway_sim::setup::Pull;
use tautway_sim::spread::Interval;
use tautway_sim::study::{Chance, PER_TURN, Study};

fn options() -> Options {
    Options {
        per_turn: PER_TURN,
        ..Options::default()
    }
}

fn now(scenario: &Scenario, pull: Pull) -> Arrangement {
    Arrangement {
        scenario: scenario.clone(),
        setup: plain_setup(scenario, pull),
        by_hand: false,
    }
}

fn listed(now: &Arrangement) -> Vec<Change> {
    let away = drawn_away(&now.setup);
    let needs = Needs::new(&now.scenario, &away, options(), None).expect("ranges");
    let asked: Vec<_> = (1..=100).map(|number| needs.of(number)).collect();
    let window = |seals| Window::of(&asked, 0.95, 0.2, seals).expect("lathes");
    let rule = plain_rule(&now.scenario, &away, options());
    let units = now.scenario.job.units;
    let holds = Holds::new([window(false), window(true)], rule, units, LINE);
    changes(now, Some(holds), options())
}

fn ids(changes: &[Change]) -> Vec<&'static str> {
    changes.iter().map(|change| change.id).collect()
}

#[test]
fn only_what_applies_is_listed_cheapest_first() {
    let socket = ids(&listed(&now(&scenario("tapered-socket.toml"), Pull::In)));
    for id in [
        "clean-and-oil",
        "snug-slide-gib",
        "feed-other-way",
        "seat-by-hand",
        "sharp-tool",
        "shoe-gib",
        "foot-bolts",
        "thrust-nut",
        "weight",
        "cylinder",
        "new-nut",
        "stiffer-foot",
        "straighten-guide",
    ] {
        assert!(socket.contains(&id), "{id} in {socket:?}");
    }
    // The nut stays in the drive there.
    assert!(!socket.contains(&"lock-top-slide"), "{socket:?}");
    // A bar as thick as the hole takes.
    let mut full = scenario("tapered-socket.toml");
    let bar = full.job.tool.bar.as_mut().expect("a bore has a bar");
    bar.diameter = Length::parse("1.5 in").expect("a length");
    let full = ids(&listed(&now(&full, Pull::In)));
    assert!(socket.contains(&"thicker-bar") && !full.contains(&"thicker-bar"));
    let long = ids(&listed(&now(&scenario("long-bar-socket.toml"), Pull::In)));
    assert!(long.contains(&"thicker-bar") && long.contains(&"shorter-bar"));
    // Outside, plain attachment, top slide locked, a fresh edge: no bar, nut or thrust.
    let plug = ids(&listed(&now(&scenario("plug-cock.toml"), Pull::Away)));
    for id in [
        "thicker-bar",
        "shorter-bar",
        "new-nut",
        "thrust-nut",
        "lock-top-slide",
        "sharp-tool",
    ] {
        assert!(!plug.contains(&id), "{id} in {plug:?}");
    }
    let mut loose = scenario("plug-cock.toml");
    loose.lathe.top_slide.locked = false;
    assert!(ids(&listed(&now(&loose, Pull::Away))).contains(&"lock-top-slide"));
    // A lathe in good order has little to take up.
    let sleeve = ids(&listed(&now(&scenario("taper-sleeve.toml"), Pull::In)));
    for id in ["shoe-gib", "thrust-nut", "new-nut", "straighten-guide"] {
        assert!(!sleeve.contains(&id), "{id} in {sleeve:?}");
    }
    // A preload that holds already is not offered again; one into the cut is turned round.
    let socket = scenario("tapered-socket.toml");
    let held = pressed(&socket, &plain_setup(&socket, Pull::Away), 400.0);
    let held = ids(&listed(&now(&held, Pull::Away)));
    assert!(!held.contains(&"weight"), "{held:?}");
    let wrong = listed(&now(&scenario("air-into-the-cut.toml"), Pull::Away));
    let weight = wrong.iter().find(|change| change.id == "weight");
    let after = weight
        .expect("it is listed")
        .applied(&now(&scenario("air-into-the-cut.toml"), Pull::Away));
    let toward = after.scenario.job.preload.expect("a preload").toward;
    assert!(after.setup.out_of_cut(toward) > 0.0);
    for list in [
        listed(&now(&scenario("tapered-socket.toml"), Pull::In)),
        listed(&now(&scenario("plug-cock.toml"), Pull::Away)),
    ] {
        assert!(list.is_sorted_by(|a, b| a.minutes <= b.minutes));
        assert!(list.iter().all(|change| change.minutes > 0.0));
    }
}

#[test]
fn a_change_moves_the_numbers_it_names_and_no_other() {
    for (file, pull) in [
        ("tapered-socket.toml", Pull::Away),
        ("long-bar-socket.toml", Pull::In),
        ("plug-cock.toml", Pull::Away),
    ] {
        let before = now(&scenario(file), pull);
        for change in listed(&before) {
            let mut after = change.applied(&before).scenario;
            let mut was = before.scenario.clone();
            let keys = change.keys();
            for (old, new) in was.parameters_mut().into_iter().zip(after.parameters_mut()) {
                assert_eq!(old.key, new.key);
                let [low, middle, high] = new.value.range_si();
                assert!(
                    low <= middle && middle <= high,
                    "{}: {}",
                    change.id,
                    new.key
                );
                assert_eq!(old.value.origin(), new.value.origin());
                if !keys.contains(&old.key) {
                    assert_eq!(old.value.range_si(), new.value.range_si(), "{}", change.id);
                }
            }
            assert!(change.does.len() > 10 && !change.words.is_empty());
        }
    }
}

#[test]
fn a_total_measured_in_one_go_comes_down_by_the_parts_share() {
    let before = now(&scenario("tapered-socket.toml"), Pull::In);
    let a = &before.scenario.lathe.attachment;
    let (shoe, thrust, nut) = (a.shoe_slack.si(), a.thrust_slack.si(), a.nut_slack.si());
    let list = listed(&before);
    let nut_change = list
        .iter()
        .find(|change| change.id == "new-nut")
        .expect("it is listed");
    let after = nut_change.applied(&before).scenario.lathe.attachment;
    let left = after.nut_slack.si();
    assert!(left < nut);
    // By hand: 0.080 in less the nut's part of it.
    let closed = 0.080 * 0.0254 * (shoe + thrust + left) / (shoe + thrust + nut);
    let total = after.total_slack.expect("it was measured").si();
    assert!((total - closed).abs() < 1e-12, "{total} for {closed}");
    // Locking the top slide of a plain attachment takes its whole part out.
    let mut plug = scenario("plug-cock.toml");
    plug.lathe.top_slide.locked = false;
    plug.lathe.attachment.total_slack = Some(Known::given(Length::from_si(1e-4)));
    let shoe = plug.lathe.attachment.shoe_slack.si();
    let top = plug.lathe.top_slide.slack.si();
    let lock = Change {
        id: "lock",
        words: String::new(),
        does: String::new(),
        minutes: 1.0,
        undone: Undone::Easily,
        effects: vec![Effect::LockTopSlide],
    };
    let after = lock.applied(&now(&plug, Pull::Away)).scenario.lathe;
    let total = after.attachment.total_slack.expect("it was measured").si();
    assert!((total - 1e-4 * shoe / (shoe + top)).abs() < 1e-15);
    assert!(after.top_slide.locked && !SlackOf::TopSlide.is_in(&after));
}

fn idle(id: &'static str) -> Change {
    Change {
        id,
        words: id.to_owned(),
        does: String::new(),
        minutes: 10.0,
        undone: Undone::Easily,
        effects: Vec::new(),
    }
}

#[test]
fn what_changes_nothing_gains_exactly_nothing_and_its_own_lathe_is_no_other() {
    let before = now(&many::unmeasured(), Pull::In);
    let lathe = Box::new(before.scenario.lathe.clone());
    let own = Change {
        effects: vec![Effect::Lathe { lathe }],
        ..idle("own")
    };
    let tryout = Tryout::new(&before, vec![idle("idle"), own], true, options()).expect("ranges");
    let cuts: Vec<_> = tryout.trials(1..13);
    for ways in &cuts {
        // Itself, the two, and the pair of them.
        assert_eq!(ways.len(), 4);
        assert!(ways.iter().all(|way| *way == ways[0]));
    }
    let bought = tryout.bought(&cuts).expect("trials enough");
    for tried in &bought.tried {
        let gains = tried.gains.expect("it can be cut");
        assert!(!gains.counts(bought.steps));
        for gain in gains.all() {
            assert_eq!(
                (gain.mean, gain.interval.lower, gain.interval.upper),
                (0.0, 0.0, 0.0)
            );
        }
    }
}

#[test]
fn a_number_drawn_keeps_its_place_in_its_range_through_a_change() {
    // Of a log-normal drag made k times as large without doubt every draw is k times as large:
    // then the paired difference has no noise of the draws.
    let before = now(&many::unmeasured(), Pull::Away);
    let twice = Change {
        effects: vec![Effect::Times {
            key: "slide.drag",
            share: [2.0; 3],
        }],
        ..idle("twice")
    };
    let after = twice.applied(&before);
    let drawn = |arrangement: &Arrangement| {
        let setup = [arrangement.setup];
        let study = tautway_sim::study::Study::new(&arrangement.scenario, &setup, options());
        let study = study.expect("ranges");
        (1..=20)
            .map(|number| study.scenario_of(number).0.lathe.slide.drag.si())
            .collect::<Vec<_>>()
    };
    for (one, two) in drawn(&before).into_iter().zip(drawn(&after)) {
        assert!((two / one - 2.0).abs() < 1e-9, "{one} {two}");
    }
}

#[test]
fn seated_by_hand_a_short_run_in_does_no_harm() {
    let mut socket = scenario("tapered-socket.toml");
    // More drag than the cut pushes off: the slack stays open where the run-in left it.
    socket.lathe.slide.drag = Known::given(Force::from_si(600.0));
    let before = now(&socket, Pull::In);
    let short = Options {
        run_in: Some(0.002),
        ..options()
    };
    let by_hand = Change {
        effects: vec![Effect::SeatByHand],
        ..idle("seat-by-hand")
    };
    assert!(by_hand.applied(&before).by_hand);
    let study = || Study::new(&before.scenario, &[before.setup], short).expect("ranges");
    let (started_short, by_hand) = (study(), study().seated_by_hand());
    for number in 1..=5 {
        let straight = |study: &Study| study.trial(number).ways[0].measures.straight_part;
        let (short, seated) = (straight(&started_short), straight(&by_hand));
        assert!(
            short > 0.005 && seated < 0.001,
            "{number}: {short} {seated}"
        );
    }
}

fn gain(mean: f64, half: f64) -> Gain {
    Gain {
        mean,
        interval: Interval {
            lower: mean - half,
            upper: mean + half,
        },
    }
}

fn tried(place: usize, minutes: f64, gains: [(f64, f64); 4]) -> Tried {
    let [met, taper, size, waves] = gains.map(|(mean, half)| gain(mean, half));
    Tried {
        changes: vec![place],
        minutes,
        out: Vec::new(),
        after: None,
        gains: Some(Gains {
            met,
            taper,
            size,
            waves,
        }),
        saved: None,
    }
}

fn bought(tried: Vec<Tried>) -> Bought {
    let chance = Chance {
        in_trials: 0,
        share: 0.0,
        interval: Interval {
            lower: 0.0,
            upper: 1.0,
        },
    };
    Bought {
        trials: 100,
        seed: 1,
        now: Standing {
            met: chance,
            steady: chance,
            taper_off: 0.0,
            size_off: 0.0,
            waves: 0.0,
        },
        tried,
        steps: [0.01, 1.0, 1.0, 1.0],
    }
}

#[test]
fn the_order_is_chance_then_taper_size_and_waves_and_an_hour_counts_the_time() {
    const SURE: f64 = 1e-9;
    let none = (0.0, SURE);
    let all = bought(vec![
        tried(0, 10.0, [none, none, (9.5, SURE), none]),
        tried(1, 240.0, [(0.30, 0.1), none, none, none]),
        tried(2, 5.0, [(0.05, 0.01), none, none, none]),
        // As much as the first, but it may be none.
        tried(3, 1.0, [none, (50.0, 60.0), none, none]),
        tried(4, 10.0, [none, (2.0, SURE), (-5.0, SURE), none]),
        tried(5, 2.0, [none, none, (-3.0, SURE), none]),
        // Less than a step.
        tried(
            6,
            60.0,
            [(0.004, SURE), (0.9, SURE), (0.9, SURE), (0.9, SURE)],
        ),
    ]);
    assert_eq!(all.by_gain(false), [1, 2, 4, 0, 3, 6, 5]);
    // 30 points in four hours are 7.5 an hour; 5 in five minutes are 60.
    assert_eq!(all.by_hour(false), [2, 1, 4, 0, 3, 6, 5]);
    assert!(all.by_gain(true).is_empty());
}

proptest! {
    #[test]
    fn no_range_of_a_multiplied_number_runs_backward_or_below_nothing(
        low in 0.0..1.0_f64, up in 0.0..2.0_f64, further in 0.0..2.0_f64,
        least in 0.1..1.0_f64, more in 0.0..1.0_f64, most in 0.0..1.0_f64,
    ) {
        let mut before = now(&many::unmeasured(), Pull::In);
        for parameter in before.scenario.parameters_mut() {
            if parameter.key == "slide.drag" {
                parameter.set_range_si(&mut before.scenario, [low, low + up, low + up + further]);
            }
        }
        let change = Change {
            effects: vec![Effect::Times {
                key: "slide.drag",
                share: [least, least + more, least + more + most],
            }],
            ..idle("times")
        };
        let mut after = change.applied(&before).scenario;
        let parameter = after.parameters_mut().into_iter().find(|parameter| parameter.key == "slide.drag");
        let [low, middle, high] = parameter.expect("it is there").value.range_si();
        prop_assert!(0.0 <= low && low <= middle && middle <= high);
    }
}

#[test]
fn metric_jobs_get_metric_sizes() {
    let plug = scenario("plug-cock.toml");
    assert_eq!(plug.job.units, Units::Metric);
    let list = listed(&now(&plug, Pull::Away));
    let cylinder = list
        .iter()
        .find(|change| change.id == "cylinder")
        .expect("it is listed");
    assert!(
        cylinder.words.contains("32 mm") && cylinder.words.contains("bar"),
        "{}",
        cylinder.words
    );
}
