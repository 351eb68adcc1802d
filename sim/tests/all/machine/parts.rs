//! Parts of the machine and of the measuring, each by a number worked by hand.
//!
//! Of 99 changes of signs, factors and comparisons tried by hand in machine, cutting, balance, march,
//! measure, threading, thread and method, 37 went unnoticed by the tests nearest to them. All are
//! tested since, here and in `thread/marched.rs`, `cut/spring.rs`, `cut/step.rs` and
//! `shop/method_laws.rs`, but one that changes nothing to tell by: the sign of a field of hardness.

use crate::given::worked::{THOU, by_hand as scenario, evened, finishing, plain_setup, seeded};
use tautway_sim::balance::Quadratic;
use tautway_sim::cut::{Operation, Options};
use tautway_sim::machine::foot::{Foot, SHOE_FRICTION};
use tautway_sim::measure::measure;
use tautway_sim::quantity::{Length, Pressure, Quantity, Stiffness, Taper};
use tautway_sim::scenario::{End, Known};
use tautway_sim::setup::{Pull, Setup};

#[test]
fn the_foots_seat_is_loaded_by_the_guide_that_drives_and_unloaded_by_the_load_that_does() {
    // R = D + |L| (mu + t slope): t = 1 where the guide drives, pull and load of one sign.
    let foot = Foot {
        slack: 0.0,
        spring: 1e8,
        bar_drag: 40.0,
    };
    let slope = 0.25;
    for (drive, pull, t) in [
        (300.0, 1.0, 1.0),
        (-300.0, -1.0, 1.0),
        (300.0, -1.0, -1.0),
        (-300.0, 1.0, -1.0),
    ] {
        let by_hand = 40.0 + 300.0 * (SHOE_FRICTION + t * slope);
        let found: f64 = foot.seat_force(drive, pull, slope);
        assert!((found - by_hand).abs() < 1e-9, "{drive} {pull}: {found}");
    }
    // Steeper than its friction, a strong load lifts the foot off its seat.
    assert!(foot.seat_force(400.0, -1.0, slope) < 0.0);
    assert_eq!(foot.seat_force(0.0, 1.0, slope), 40.0);
}

#[test]
fn a_guide_set_too_steep_cuts_too_steep_whatever_the_work_and_leaves_its_size() {
    // 0.02 in/ft too steep on diameter. The dial is touched off at the gauge plane.
    let steeper = Taper::from_si(0.02 / 12.0);
    for file in ["tapered-socket.toml", "plug-cock.toml"] {
        for big_end in [End::Headstock, End::Tailstock] {
            let mut scenario = evened(scenario(file));
            scenario.job.work.big_end = big_end;
            let setup = plain_setup(&scenario, Pull::In);
            let straight = finishing(&scenario, &setup, 1);
            scenario.lathe.attachment.setting_error = Known::given(steeper);
            let off = finishing(&scenario, &setup, 1);
            let found = off.taper - straight.taper;
            // The stock is of the right taper: more depth at one end, and a tenth of it springs back.
            assert!(
                (0.85..1.0).contains(&(found / steeper.si())),
                "{file} {big_end:?}: {found}"
            );
            let size = off.size_error - straight.size_error;
            assert!(size.abs() < 0.2 * THOU, "{file} {big_end:?}: {size}");
        }
    }
}

#[test]
fn the_tips_spring_is_the_drive_on_its_first_face_tool_and_work_in_series() {
    let mut scenario = scenario("tapered-socket.toml");
    scenario.lathe.attachment.screw_push_share =
        Known::given(tautway_sim::quantity::Ratio::from_si(0.5));
    for pull in [Pull::In, Pull::Away] {
        let setup = plain_setup(&scenario, pull);
        let machine = Operation::new(&scenario, setup, Options::default()).machine;
        assert!(machine.drive.first != machine.drive.other);
        let z = 0.02;
        let gives = 1.0 / machine.drive.first + machine.tool_gives + machine.bench.gives(z);
        assert!((machine.tip_spring(z) * gives - 1.0).abs() < 1e-12);
    }
}

#[test]
fn a_gauge_stands_off_by_the_size_that_is_wrong_over_the_taper() {
    let mut scenario = evened(scenario("tapered-socket.toml"));
    let setup = plain_setup(&scenario, Pull::In);
    let o = finishing(&scenario, &setup, 1);
    // 2 in/ft and the middle of +0.000 -0.030 in/ft: on diameter, twice what is wrong per side.
    let closed = 2.0 * o.size_error.abs() / (1.985 / 12.0);
    assert!(o.size_error.abs() > 1e-6);
    assert!((o.standoff / closed - 1.0).abs() < 1e-9, "{}", o.standoff);
    // Lobing is of the work, whatever the slide does.
    scenario.job.work.lobing = Known::given(Length::from_si(7e-6));
    let lobed = finishing(&scenario, &setup, 1);
    assert!((lobed.roundness - o.roundness - 7e-6).abs() < 1e-12);
}

#[test]
fn the_seat_is_held_by_what_the_weakest_turn_has() {
    let scenario = scenario("tapered-socket.toml");
    let setup = plain_setup(&scenario, Pull::In);
    let o = finishing(&scenario, &setup, 1);
    let finished = Operation::new(&scenario, setup, seeded(1)).run_finishing();
    let turns = &finished.passes[finished.last_set].turns;
    let drives: Vec<f64> = turns
        .iter()
        .filter(|turn| turn.cutting)
        .map(|turn| turn.drive)
        .collect();
    let least = drives.iter().copied().fold(f64::INFINITY, f64::min);
    let mean = drives.iter().sum::<f64>() / drives.len() as f64;
    // The first and last turns don't count.
    assert!(
        least > 0.0 && o.seat_margin >= least,
        "{least} {}",
        o.seat_margin
    );
    assert!(o.seat_margin < 0.97 * mean, "{} {mean}", o.seat_margin);
}

#[test]
fn a_tool_off_the_centre_height_cuts_a_flatter_taper_with_the_attachment_closed_form() {
    for file in ["tapered-socket.toml", "plug-cock.toml"] {
        // Nothing gives, so that a chip that differs along the work leaves no taper of its own.
        let mut scenario = evened(scenario(file));
        let stiff = || Known::given(Stiffness::from_si(1e15));
        scenario.lathe.attachment.drive_spring = Some(stiff());
        scenario.lathe.attachment.foot_spring = stiff();
        scenario.lathe.top_slide.spring = stiff();
        scenario.lathe.spindle.spring = stiff();
        scenario.job.tool.bar = None;
        scenario.job.work.modulus = Pressure::from_si(1e20);
        let setup = plain_setup(&scenario, Pull::In);
        let found = |height: f64| {
            let mut scenario = scenario.clone();
            scenario.job.tool.height = Known::given(Length::from_si(height));
            finishing(&scenario, &setup, 1).taper
        };
        let height = 2e-3;
        let work = &scenario.job.work;
        let taper = tautway_sim::cut::aimed_taper(&scenario);
        // Set right at the big end: sqrt(X^2 + h^2) at the small one is too large by this.
        let (big, length) = (0.5 * work.diameter.si(), work.length.si());
        let small = big - 0.5 * taper * length;
        let across = (big * big - height * height).sqrt() + small - big;
        let closed = -2.0 * (across.hypot(height) - small) / length;
        let off = found(height) - found(0.0);
        assert!(
            (off / closed - 1.0).abs() < 0.1,
            "{file}: {off} for {closed}"
        );
    }
}

#[test]
fn waves_are_as_far_apart_as_what_made_them() {
    // Hard and soft every 9 mm along the work; the tool gives way and comes back as often.
    let scenario = evened(scenario("tapered-socket.toml"));
    let setup = plain_setup(&scenario, Pull::In);
    let operation = Operation::new(&scenario, setup, Options::default());
    let (apart, spacing) = (9e-3, 0.5e-3);
    let count = (operation.length() / spacing) as usize + 2;
    let hard = |i: usize| 1.0 + 0.5 * (std::f64::consts::TAU * i as f64 * spacing / apart).sin();
    let factors: Vec<f64> = (0..count).map(hard).collect();
    let operation = operation.times(spacing, &factors);
    let finished = operation.run_finishing();
    let (o, _) = measure(&scenario, &setup, &operation, &finished);
    let found = o.wave_spacing.expect("waves");
    assert!((found / apart - 1.0).abs() < 0.1, "{found}");
}

#[test]
fn slopes_of_the_drag_are_those_of_its_values() {
    let scenario = scenario("tapered-socket.toml");
    for setup in Setup::all(scenario.job.work.kind, scenario.job.work.big_end) {
        let drag = Operation::new(&scenario, setup, Options::default())
            .machine
            .drag;
        assert!(drag.left_cutting < 0.9);
        for (main, feed) in [(200.0, 80.0), (900.0, -60.0), (20.0, 5.0)] {
            let at = |main: f64, feed: f64| drag.cutting(main, feed, 1.1).limit;
            let here = drag.cutting(main, feed, 1.1);
            let over_main = 0.5 * (at(main + 1.0, feed) - at(main - 1.0, feed));
            let over_feed = 0.5 * (at(main, feed + 1.0) - at(main, feed - 1.0));
            assert!(
                (here.over_main - over_main).abs() < 1e-9,
                "{here:?} {over_main}"
            );
            assert!(
                (here.over_feed - over_feed).abs() < 1e-9,
                "{here:?} {over_feed}"
            );
        }
    }
}

#[test]
fn slopes_of_a_quadratic_load_are_those_of_its_values() {
    let load = Quadratic {
        from: 1e-5,
        gives: 2e-8,
        push: [90.0, 8e5, 3e9],
        limit: [60.0, 1e5, -2e8],
        hold: [40.0, 5e4],
    };
    for e in [-2e-5, 1e-5, 6e-5] {
        let h = 1e-7;
        let (low, here, high) = (load.at(e - h), load.at(e), load.at(e + h));
        let rise = |low: f64, high: f64| (high - low) / (2.0 * h);
        for (slope, by_values) in [
            (here.push_slope, rise(low.push, high.push)),
            (here.limit_slope, rise(low.limit, high.limit)),
            (here.position_slope, rise(low.position, high.position)),
        ] {
            assert!(
                (slope / by_values - 1.0).abs() < 1e-6,
                "{slope} {by_values}"
            );
        }
    }
}
