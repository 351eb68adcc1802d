//! Every worked example decodes clean and shows what it says it teaches.

use crate::given::worked::{
    SEEDS, THOU, decoded, finishing, folder, is_plain, left, plain, plain_setup, run, scenario,
    seeded, text,
};
use tautway_sim::compare::{Advised, compare};
use tautway_sim::cut::{Operation, Options};
use tautway_sim::method::Method;
use tautway_sim::quantity::{Length, Quantity};
use tautway_sim::record::{PassMeans, Run, Seat};
use tautway_sim::scenario::{Known, Origin, Source, lathe_named_in};
use tautway_sim::sensitivity::{sensitivity, unsteady};
use tautway_sim::setup::Pull;

#[test]
fn every_file_is_used_and_says_what_it_teaches_and_that_it_is_invented() {
    let mut jobs = 0;
    let mut lathes_named = Vec::new();
    let mut lathes = Vec::new();
    for entry in std::fs::read_dir(folder()).expect("there are scenarios") {
        let entry = entry.expect("a file");
        if entry.path().is_dir() {
            continue;
        }
        let file = entry.file_name().into_string().expect("UTF-8");
        let written = text(&file);
        assert!(written.contains("invented"), "{file}");
        // Moves, readings and shop tests have their own decoders and tests.
        if !file.ends_with(".toml") {
            assert!(written.starts_with("# Teaches: "), "{file}");
            continue;
        }
        if !written.contains("[work]") {
            lathes.push(file);
            continue;
        }
        jobs += 1;
        assert!(written.starts_with("# Teaches: "), "{file}");
        let scenario = scenario(&file);
        let note = scenario.job.note.unwrap_or_default();
        assert!(note.contains("invented"), "{file}: {note}");
        lathes_named.extend(lathe_named_in(Source {
            name: &file,
            text: &written,
        }));
    }
    assert!(jobs >= 8, "{jobs}");
    for lathe in lathes {
        assert!(lathes_named.contains(&lathe), "no job names {lathe}");
    }
}

#[test]
fn every_way_of_every_scenario_finds_its_balance() {
    for file in [
        "tapered-socket.toml",
        "snug-slide-socket.toml",
        "plug-cock.toml",
        "taper-sleeve.toml",
        "air-out-of-the-cut.toml",
        "air-too-weak.toml",
        "air-into-the-cut.toml",
        "spring-held-cone.toml",
        "long-bar-socket.toml",
    ] {
        let comparison = compare(&scenario(file), Options::default());
        assert!(comparison.feasible().count() >= 4, "{file}");
        for way in comparison.feasible() {
            for pass in &run(way).passes {
                assert_eq!(pass.counters.unconverged, 0, "{file}");
            }
        }
    }
}

/// Closed form of what is left standing by a solid pulled-in cut: push-off over the springs, and
/// the drive's change between run-in (hand drag) and cut.
#[test]
fn pulled_in_the_worn_lathe_takes_what_was_set_but_for_spring() {
    let scenario = scenario("tapered-socket.toml");
    for seed in SEEDS {
        let comparison = compare(&scenario, seeded(seed));
        let best = comparison.best().expect("a way to take");
        assert_eq!(best.pull, Pull::In);
        assert!(is_plain(&best.setup), "{:?}", best.setup);
        let o = &run(best).outcome;
        assert_eq!(o.seat, Seat::First);
        assert!(!unsteady(o));
        assert!(o.seat_margin > 0.0);
        let operation = Operation::new(&scenario, best.setup, seeded(seed));
        let drag = &operation.machine.drag;
        let drive = operation.machine.drive.first;
        let push_off = 0.5 * (o.push_off.0 + o.push_off.1);
        let cutting = 0.5 * (o.drag.0 + o.drag.1);
        let closed = push_off / best.tip_spring + (cutting - drag.hand()) / drive;
        // Where the run-in stops between sliding and starting force is worth this much wind-up;
        // push-off and drag vary along the work by what their ranges say.
        let room = (drag.breakaway - 1.0) * drag.hand() / drive
            + 0.5 * (o.push_off.1 - o.push_off.0) / best.tip_spring
            + 0.5 * (o.drag.1 - o.drag.0) / drive
            + 0.1 * THOU;
        assert!(
            (-o.size_error - closed).abs() < room,
            "seed {seed}: {} for {closed} within {room}",
            -o.size_error
        );
        assert!(left(o) < 0.1, "seed {seed}: {}", left(o));
    }
}

#[test]
fn drawn_away_on_the_worn_lathe_stock_is_left_and_waves_are_high() {
    let scenario = scenario("tapered-socket.toml");
    for seed in SEEDS {
        let comparison = compare(&scenario, seeded(seed));
        let pulled = plain(&comparison, Pull::In);
        // 3 N/um is 17 lbf per thou: the drive, not the bar, is what is looked at.
        assert!(pulled.tip_spring > 3e6, "{}", pulled.tip_spring);
        let pulled = &run(pulled).outcome;
        let drawn = &run(plain(&comparison, Pull::Away)).outcome;
        assert_eq!(drawn.seat, Seat::Floating);
        assert_eq!(drawn.seat_margin, 0.0);
        assert!(left(drawn) > 0.25, "seed {seed}: {}", left(drawn));
        // Of the body: how deep it digs in where it enters is no wave.
        assert!(
            drawn.waves >= 4.0 * pulled.waves,
            "seed {seed}: {} and {}",
            drawn.waves,
            pulled.waves
        );
    }
}

#[test]
fn with_a_long_bar_the_bar_is_the_weak_link() {
    let (stiff, soft) = (
        scenario("tapered-socket.toml"),
        scenario("long-bar-socket.toml"),
    );
    for seed in SEEDS {
        let [of_stiff, of_soft] = [&stiff, &soft].map(|scenario| {
            let comparison = compare(scenario, seeded(seed));
            let (pulled, drawn) = (plain(&comparison, Pull::In), plain(&comparison, Pull::Away));
            let ratio = run(drawn).outcome.waves / run(pulled).outcome.waves;
            let best = comparison.best().expect("a way to take");
            assert_eq!(best.pull, Pull::In);
            (pulled.tip_spring, pulled.gives.bar, ratio)
        });
        assert!(of_soft.0 < 0.5 * of_stiff.0);
        assert!(of_soft.1 >= 0.5, "{}", of_soft.1);
        assert!(
            of_soft.2 < 0.4 * of_stiff.2,
            "seed {seed}: {} {}",
            of_soft.2,
            of_stiff.2
        );
    }
}

#[test]
fn where_the_slide_drags_well_both_feeds_are_steady() {
    let scenario = scenario("snug-slide-socket.toml");
    for seed in SEEDS {
        let comparison = compare(&scenario, seeded(seed));
        let runs = [Pull::In, Pull::Away].map(|pull| run(plain(&comparison, pull)));
        let [pulled, drawn] = runs.map(|run| &run.outcome);
        assert_eq!((pulled.seat, drawn.seat), (Seat::First, Seat::Other));
        for o in [pulled, drawn] {
            assert!(!unsteady(o), "seed {seed}");
            assert!(o.seat_margin > 0.0, "seed {seed}");
        }
        // Apart by spring alone: touched off with the drag in the drive at which stick-slip leaves
        // it, in the middle between starting and moving, cut with push-off and the eased drag; all
        // as means along the work.
        let short = |pull: Pull, run: &Run| {
            let setup = plain(&comparison, pull).setup;
            let operation = Operation::new(&scenario, setup, seeded(seed));
            let machine = &operation.machine;
            let PassMeans {
                push_off: push,
                drag,
                ..
            } = run.passes[run.last_set].means();
            let in_air = machine.drag.hand() * 0.5 * (1.0 + machine.drag.breakaway);
            match pull {
                Pull::In => (push + drag - in_air) / machine.drive.first,
                _ => (push - drag + in_air) / machine.drive.other,
            }
        };
        let [of_pulled, of_drawn] = runs.map(|run| {
            let body = run.profile.mean.len() / 20..run.profile.mean.len() * 19 / 20;
            let heights = &run.profile.mean[body];
            heights.iter().sum::<f64>() / heights.len() as f64
        });
        let apart = of_pulled - of_drawn;
        let springs = short(Pull::Away, runs[1]) - short(Pull::In, runs[0]);
        assert!(
            (apart - springs).abs() < 0.1 * THOU,
            "seed {seed}: {apart} {springs}"
        );
        let (high, low) = (pulled.waves.max(drawn.waves), pulled.waves.min(drawn.waves));
        assert!(
            high < 3.0 * low && high < 0.3 * THOU,
            "seed {seed}: {low} {high}"
        );
        let best = comparison.best().expect("a way to take");
        assert!(is_plain(&best.setup), "seed {seed}: {:?}", best.setup);
    }
}

#[test]
fn a_light_cut_outside_is_made_the_plain_way() {
    let scenario = scenario("plug-cock.toml");
    for seed in SEEDS {
        let comparison = compare(&scenario, seeded(seed));
        for way in comparison.feasible() {
            assert!(!unsteady(&run(way).outcome), "seed {seed}: {:?}", way.setup);
        }
        let best = comparison.best().expect("a way to take");
        assert!(is_plain(&best.setup), "seed {seed}: {:?}", best.setup);
    }
}

#[test]
fn a_tight_one_sided_tolerance_is_won_at_the_guide() {
    let scenario = scenario("taper-sleeve.toml");
    let comparison = compare(&scenario, Options::default());
    let band = scenario.job.work.tolerance;
    // ISO 296, Morse taper No. 4: 0.62326 in/ft; shanks only steeper.
    let nominal = 0.62326 / 12.0;
    assert!((scenario.job.work.taper.si() - nominal).abs() < 1e-9);
    assert_eq!(band.lower.si(), 0.0);
    for way in comparison.feasible() {
        let o = &run(way).outcome;
        assert!(way.verdict.expect("judged").taper, "{:?}", way.setup);
        // The middle of the band is aimed at.
        let aim = o.taper - o.taper_error;
        assert!((aim - nominal - 0.5 * band.upper.si()).abs() < 1e-9);
    }
    let best = comparison.best().expect("a way to take");
    let likely = sensitivity(
        &scenario,
        &best.setup,
        Options::default(),
        scenario.job.units,
    );
    assert_eq!(likely.matters[0].key, "attachment.setting_error");
    assert!(likely.taper > 0.5 * band.upper.si(), "{}", likely.taper);
}

#[test]
fn waves_do_not_grow_with_slack_beyond_the_depth() {
    let mut scenario = scenario("tapered-socket.toml");
    let setup = plain_setup(&scenario, Pull::Away);
    for seed in SEEDS {
        let [first, second, third] = [0.25e-3, 1e-3, 2e-3].map(|slack| {
            scenario.lathe.attachment.total_slack = Some(Known::given(Length::from_si(slack)));
            finishing(&scenario, &setup, seed)
        });
        assert_eq!(first.seat, Seat::Floating);
        for more in [&second, &third] {
            // To a hundredth of a thou.
            for (a, b) in [
                (more.waves, first.waves),
                (more.size_error, first.size_error),
            ] {
                let apart = (a - b).abs();
                assert!(apart < 0.01 * THOU, "seed {seed}: {apart}");
            }
        }
    }
}

#[test]
fn one_word_for_a_lathe_is_enough_for_a_result_and_a_list_of_what_was_assumed() {
    let job = text("tapered-socket.toml");
    let lathe = "name = \"a worn lathe\"\nunits = \"inch\"\ncondition = \"worn\"\n";
    let scenario = decoded("tapered-socket.toml", &job, lathe);
    let comparison = compare(&scenario, Options::default());
    let best = comparison.best().expect("a way to take");
    assert!(run(best).outcome.taken > 0.0);
    let likely = sensitivity(
        &scenario,
        &best.setup,
        Options::default(),
        scenario.job.units,
    );
    assert!(!likely.matters.is_empty());
    assert!(likely.taper > 0.0 && likely.size > 0.0);
    for matter in &likely.matters {
        assert_eq!(matter.origin, Origin::Assumed, "{}", matter.key);
        assert!(
            !matter.words.is_empty() && matter.low != matter.high,
            "{}",
            matter.key
        );
    }
    assert!(likely.matters.iter().any(|matter| matter.test.is_some()));
}

#[test]
fn the_same_scenario_and_seed_give_the_same_twice_and_another_seed_another_surface() {
    for file in ["tapered-socket.toml", "air-too-weak.toml", "plug-cock.toml"] {
        let once = compare(&scenario(file), seeded(3));
        assert_eq!(once, compare(&scenario(file), seeded(3)), "{file}");
        assert_ne!(
            once.ways,
            compare(&scenario(file), seeded(4)).ways,
            "{file}"
        );
    }
}

#[test]
fn each_job_that_the_attachment_cannot_cut_in_one_set_up_has_its_way() {
    for (file, method) in [
        ("long-core.toml", Method::TwoSetUps),
        ("long-mandrel.toml", Method::Tailstock),
        ("valve-seat.toml", Method::TopSlide),
    ] {
        let comparison = compare(&scenario(file), Options::default());
        assert!(comparison.best().is_none(), "{file}");
        let Some(Advised::Method(way)) = comparison.advised() else {
            panic!("{file}: {:?}", comparison.advised());
        };
        assert_eq!(way.method, method, "{file}");
        assert!(way.met() && way.sure, "{file}: {:?}", way.likely);
    }
}
