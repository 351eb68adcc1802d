//! The window of a preload: closed form, seals, the foot, what is refused, and the engine on the
//! lathes it was found from.

use crate::given::worked;
use crate::given::worked::{evened, finishing, plain_setup, scenario};
use tautway_sim::advice::force_scan::{ForceScan, pressed};
use tautway_sim::advice::seat::SlideForces;
use tautway_sim::advice::source::{LINE, Suits, cylinders, judged, offers};
use tautway_sim::advice::window::{Need, Needs, Window, plain_rule};
use tautway_sim::caution::{PRELOAD_REFUSED, PRELOAD_WARNED};
use tautway_sim::cut::{Operation, Options};
use tautway_sim::quantity::{Force, Length, Pressure, Quantity, Ratio, Taper, Units};
use tautway_sim::record::Seat;
use tautway_sim::scenario::{Known, Preload, PreloadSource, Scenario, StartSurface};
use tautway_sim::sensitivity::unsteady;
use tautway_sim::setup::{Pull, Setup};
use tautway_sim::study::{PER_TURN, Study};

fn options() -> Options {
    Options {
        per_turn: PER_TURN,
        ..Options::default()
    }
}

fn asked(scenario: &Scenario, setup: &Setup, lathes: u64) -> Vec<Need> {
    let needs = Needs::new(scenario, setup, options(), None).expect("ranges");
    (1..=lathes).map(|number| needs.of(number)).collect()
}

/// The scenario with nothing uncertain.
fn exact(mut scenario: Scenario) -> Scenario {
    for parameter in scenario.parameters_mut() {
        let [_, middle, _] = parameter.value.range_si();
        parameter.set_range_si(&mut scenario, [middle; 3]);
    }
    scenario
}

#[test]
fn on_one_even_lathe_the_least_is_what_starts_the_slide_and_the_engine_agrees() {
    let scenario = exact(evened(scenario("tapered-socket.toml")));
    let setup = plain_setup(&scenario, Pull::Away);
    let drag = &scenario.lathe.slide;
    let starts = drag.drag.si() * drag.breakaway.si();
    let need = asked(&scenario, &setup, 1)[0];
    assert!((need.least(false) / starts - 1.0).abs() < 1e-9);
    assert!((plain_rule(&scenario, &setup, options()) / (2.0 * starts) - 1.0).abs() < 1e-9);
    for (share, holds) in [(0.98, false), (1.02, true)] {
        let pressed = pressed(&scenario, &setup, share * need.least(false));
        let found = finishing(&pressed, &setup, 1);
        let held = found.seat == Seat::First && !unsteady(&found) && found.seat_margin > 0.0;
        assert_eq!(held, holds, "{share}");
    }
    // Pulled in, guide and cut push the same way.
    let pulled = plain_setup(&scenario, Pull::In);
    assert_eq!(asked(&scenario, &pulled, 1)[0].least(true), 0.0);
}

#[test]
fn a_cylinder_has_to_beat_its_own_seals_and_the_engine_agrees() {
    let scenario = exact(evened(scenario("tapered-socket.toml")));
    let setup = plain_setup(&scenario, Pull::Away);
    let share = 0.2;
    let seals = Known::given(Ratio::from_si(share));
    let needs = Needs::new(&scenario, &setup, options(), Some(seals)).expect("ranges");
    let need = needs.of(1);
    let slide = &scenario.lathe.slide;
    // (drag + share P) * breakaway = P.
    let closed = slide.drag.si() * slide.breakaway.si() / (1.0 - share * slide.breakaway.si());
    assert!((need.least(true) / closed - 1.0).abs() < 1e-9);
    for (part, holds) in [(0.97, false), (1.03, true)] {
        let bore = 0.03;
        let area = std::f64::consts::PI * bore * bore / 4.0;
        let mut set = scenario.clone();
        set.job.preload = Some(Preload {
            toward: setup.toward_in_x(true),
            source: PreloadSource::Cylinder {
                bore: Length::from_si(bore),
                rod: Length::from_si(0.0),
                pressure: Known::given(Pressure::from_si(part * closed / area)),
                seal_share: seals,
            },
        });
        let found = finishing(&set, &setup, 1);
        assert_eq!(
            found.seat == Seat::First && !unsteady(&found) && found.seat_margin > 0.0,
            holds,
            "{part}: {found:?}"
        );
    }
}

#[test]
fn at_the_least_force_the_engine_holds_as_many_lathes_as_said_and_at_half_of_it_few() {
    let scenario = scenario("tapered-socket.toml");
    let setup = plain_setup(&scenario, Pull::Away);
    let needs = asked(&scenario, &setup, 80);
    let window = Window::of(&needs, 0.95, 0.0, false).expect("lathes");
    let rule = plain_rule(&scenario, &setup, options());
    let advised = Window::of(&needs, 0.95, 0.2, false)
        .and_then(|window| window.advised(rule, Units::Inch))
        .expect("it is open");
    let forces = vec![0.0, 0.5 * window.least, window.least, advised];
    let scan = ForceScan::new(&scenario, &setup, forces, options()).expect("ranges");
    let cuts: Vec<_> = scan.trials(1..81);
    let found = scan.summed(&cuts).expect("trials enough");
    // The closed form counts the worst place of the stroke for the run-in: it errs to the safe side.
    assert!(found[2].seated.share >= 0.95, "{:?}", found[2].seated);
    assert!(found[3].seated.share >= 0.99, "{:?}", found[3].seated);
    assert!(found[1].seated.share < 0.3, "{:?}", found[1].seated);
    // Too weak is worse than none.
    assert!(found[1].left.mean > found[0].left.mean + 1e-4);
    assert!(found[3].left.mean < found[0].left.mean);
    assert!(found[3].seat_margin.low > 0.0);
}

#[test]
fn the_lathes_are_those_of_the_study() {
    let scenario = scenario("tapered-socket.toml");
    let setup = plain_setup(&scenario, Pull::Away);
    let study = Study::new(&scenario, &[setup], options()).expect("ranges");
    for (need, number) in asked(&scenario, &setup, 5).iter().zip(1..) {
        let slide = study.scenario_of(number).0.lathe.slide;
        let starts = slide.drag.si() * slide.breakaway.si();
        assert!((need.starts / starts - 1.0).abs() < 1e-9, "{number}");
        assert!(need.air >= need.starts);
    }
}

#[test]
fn on_a_steep_taper_the_foot_leaves_its_seat_where_the_window_ends() {
    let mut scenario = exact(evened(scenario("tapered-socket.toml")));
    // 4 in/ft, steeper than friction of the shoe holds; a short piece, so that it has an end.
    scenario.job.work.taper = Taper::from_si(4.0 / 12.0);
    scenario.lathe.attachment.steepest = Known::given(Taper::from_si(0.4));
    scenario.job.work.length = Length::from_si(0.025);
    scenario.lathe.attachment.bar_drag = Known::given(Force::from_si(15.0));
    // Nothing to rough, which would push harder than the finishing cut that is looked at.
    scenario.job.work.start = StartSurface::Roughed {
        stock: scenario.job.passes.finish[0],
    };
    let setup = plain_setup(&scenario, Pull::Away);
    let need = asked(&scenario, &setup, 1)[0];
    let foot = need.foot.expect("it leaves at some force");
    let window = Window::of(&[need], 0.95, 0.0, false).expect("a lathe");
    assert!(window.foot && window.most == foot, "{window:?}");
    for (share, leaves) in [(0.93, false), (1.07, true)] {
        let pressed = pressed(&scenario, &setup, share * foot);
        let operation = Operation::new(&pressed, setup, Options::default());
        let finished = operation.run_finishing();
        let left = finished.passes[finished.last_set].foot_leaves;
        assert_eq!(left.is_some(), leaves, "{share} of {foot} N");
    }
    let gentle = plain_setup(&worked::scenario("tapered-socket.toml"), Pull::Away);
    let usual = worked::scenario("tapered-socket.toml");
    assert!(asked(&usual, &gentle, 5).iter().all(|n| n.foot.is_none()));
}

#[test]
fn above_a_hundred_pounds_it_is_warned_and_above_two_hundred_nothing_is_advised() {
    let mut scenario = exact(evened(scenario("tapered-socket.toml")));
    let setup = plain_setup(&scenario, Pull::Away);
    for (starts, warned, advised) in [
        (0.5 * PRELOAD_WARNED, false, true),
        (1.2 * PRELOAD_WARNED, true, true),
        (1.01 * PRELOAD_REFUSED, true, false),
    ] {
        let hand = starts / scenario.lathe.slide.breakaway.si();
        scenario.lathe.slide.drag = Known::given(Force::from_si(hand));
        let window = Window::of(&asked(&scenario, &setup, 1), 0.95, 0.0, false).expect("a lathe");
        let force = window.advised(2.0 * starts, Units::Inch);
        assert_eq!(force.is_some(), advised, "{window:?}");
        assert!(force.is_none_or(|force| force <= PRELOAD_REFUSED));
        assert_eq!(window.least > PRELOAD_WARNED, warned);
        // Never more than a hand can stand where less would do.
        assert!(warned || force.is_some_and(|force| force <= PRELOAD_WARNED));
    }
}

#[test]
fn cylinders_suit_or_are_refused_by_what_they_can_come_to() {
    let scenario = scenario("tapered-socket.toml");
    let setup = plain_setup(&scenario, Pull::Away);
    let window = Window::of(&asked(&scenario, &setup, 200), 0.95, 0.2, true).expect("lathes");
    let force = window.advised(0.0, Units::Metric).expect("it is open");
    let all = offers(&cylinders(Units::Metric), &window, force, LINE);
    for offer in &all {
        let close = |a: f64, b: f64| (a / b - 1.0).abs() < 1e-9;
        assert!(close(offer.cylinder.force(offer.advised, false), force));
        assert!(close(
            offer.cylinder.force(offer.advised_rod_side, true),
            force
        ));
        assert_eq!(
            offer.suits == Suits::LineTooStrong,
            offer.at_line > PRELOAD_REFUSED
        );
        assert!(offer.suits != Suits::Well || offer.advised <= LINE);
    }
    let of = |bore: f64| {
        let near = |offer: &&_| -> bool {
            let offer: &tautway_sim::advice::source::Offer = offer;
            (offer.cylinder.bore - bore).abs() < 1e-9
        };
        all.iter().find(near).expect("it is on a list").suits
    };
    assert_eq!(of(0.032), Suits::Well);
    assert_eq!(of(0.050), Suits::LineTooStrong);
    assert_eq!(of(0.100), Suits::LineTooStrong);
    assert_eq!(of(0.75 * 0.0254), Suits::TooSmall);

    let ends = |force: f64| judged((force, force), &window);
    assert_eq!(ends(0.9 * window.least), Suits::TooWeak);
    assert_eq!(ends(1.05 * window.least), Suits::Well);
    assert_eq!(ends(1.1 * PRELOAD_WARNED), Suits::Strong);
    assert_eq!(ends(1.1 * PRELOAD_REFUSED), Suits::Refused);
    // A spring counts where it is weakest.
    assert_eq!(
        judged((0.9 * window.least, 1.1 * window.least), &window),
        Suits::TooWeak
    );
}

#[test]
fn a_spring_is_weakest_where_the_closed_form_says() {
    let scenario = exact(evened(scenario("tapered-socket.toml")));
    let slope = 0.5 * tautway_sim::cut::aimed_taper(&scenario);
    let half = 0.5 * scenario.job.work.length.si();
    for pull in [Pull::Away, Pull::In] {
        let setup = plain_setup(&scenario, pull);
        let needs = Needs::new(&scenario, &setup, options(), None).expect("ranges");
        let run_in = Operation::new(&scenario, setup, options())
            .approach()
            .run_in();
        let (falls, grows) = needs.spring_travel(&scenario);
        let (near, far) = (slope * half, slope * (half + run_in));
        let wanted = if pull == Pull::Away {
            (near, far)
        } else {
            (far, near)
        };
        assert!((falls - wanted.0).abs() < 1e-12 && (grows - wanted.1).abs() < 1e-12);
    }
    // Stroke: what the slide travels, the slack, half an inch.
    let setup = plain_setup(&scenario, Pull::Away);
    let operation = Operation::new(&scenario, setup, options());
    let travel = slope * (2.0 * half + operation.approach().run_in());
    let closed = travel + operation.machine.drive.slack + 0.5 * 0.0254;
    assert!((asked(&scenario, &setup, 1)[0].stroke - closed).abs() < 1e-12);
    assert!(SlideForces::new(&operation, 1e-4).starts() > 0.0);
}
