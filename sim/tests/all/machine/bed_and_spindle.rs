//! The spindle out of line with the bed and the carriage's rock on it: closed forms, way by way.

use crate::given::even_work::{even, exactly, near};
use crate::given::worked::{evened, scenario};
use tautway_sim::cut::{Operation, Options};
use tautway_sim::machine::{carriage, headstock};
use tautway_sim::measure::gauge;
use tautway_sim::method::side::SideCut;
use tautway_sim::method::top_slide::SetBy;
use tautway_sim::method::{Method, Setting, methods};
use tautway_sim::quantity::{Length, Quantity};
use tautway_sim::record::Measures;
use tautway_sim::scenario::{Bar, End, Holding, Kind, Scenario};
use tautway_sim::setup::{Feed, Pull, Setup, Side};

/// A taper on diameter of 0.002 in/ft.
const LEANS: f64 = 0.002 / 12.0;

fn cut(scenario: &Scenario, setup: &Setup) -> Measures {
    let operation = Operation::new(scenario, *setup, Options::default());
    gauge(scenario, setup, &operation, &operation.run_finishing())
}

fn ways(scenario: &Scenario) -> Vec<Setup> {
    let work = &scenario.job.work;
    let mut ways = Setup::all(work.kind, work.big_end);
    ways.retain(Setup::cuts);
    ways
}

#[test]
fn a_straight_cut_and_a_taper_are_off_by_the_same_whatever_the_way_closed_form() {
    let mut seen = [0, 0];
    for big_end in [End::Headstock, End::Tailstock] {
        let mut scenario = even();
        scenario.job.work.big_end = big_end;
        for setup in ways(&scenario) {
            if setup.pull() != Pull::In {
                continue;
            }
            scenario.lathe.spindle.out_of_line = exactly(0.0);
            let true_line = cut(&scenario, &setup);
            scenario.lathe.spindle.out_of_line = exactly(LEANS);
            let out = cut(&scenario, &setup);
            // Big at the headstock with a tool in front: more of a taper that is big there, less of
            // one that is small there, and the other way round from behind.
            let more = match (setup.side, big_end) {
                (Side::Front, End::Headstock) | (Side::Rear, End::Tailstock) => 1.0,
                _ => -1.0,
            };
            // Where more is cut the drive gives way more.
            near(out.taper - true_line.taper, more * LEANS, 0.15);
            // The size is set at the gauge plane.
            assert!((out.size_error - true_line.size_error).abs() < 0.2e-6);
            seen[usize::from(setup.side == Side::Rear)] += 1;
        }
    }
    assert!(seen[0] > 1 && seen[1] > 1, "{seen:?}");
}

#[test]
fn a_bore_is_off_as_a_shaft_is_and_what_centres_hold_is_not_exact() {
    let mut scenario = even();
    scenario.lathe.spindle.out_of_line = exactly(LEANS);
    for kind in [Kind::Outside, Kind::Inside] {
        for setup in Setup::all(kind, End::Headstock) {
            let rise = headstock::rise(&scenario.lathe, &scenario.job.work, &setup);
            // n = inward * side * X, and the axis goes half a taper toward the operator.
            let wanted = -setup.inward() * setup.side.sign() * 0.5 * LEANS;
            assert_eq!(rise, wanted, "{setup:?}");
        }
    }
    for holding in [Holding::ChuckAndCentre, Holding::Centres] {
        scenario.job.work.holding = holding;
        assert_eq!(headstock::lean(&scenario.lathe, &scenario.job.work), 0.0);
    }
}

fn setting(scenario: &Scenario, method: Method) -> Setting {
    let way = methods(scenario, Options::default())
        .into_iter()
        .find(|way| way.method == method);
    way.and_then(|way| way.setting).expect("it can be set")
}

#[test]
fn the_top_slide_leans_with_its_marks_and_not_with_a_master_in_the_spindle() {
    let mut seat = evened(scenario("valve-seat.toml"));
    seat.job.work.holding = Holding::Chuck;
    for set_by in [SetBy::Marks, SetBy::Indicator] {
        let Setting::Swivel(mut swivel) = setting(&seat, Method::TopSlide) else {
            panic!("a top slide is swung");
        };
        swivel.set_by = set_by;
        let cut = |scenario: &Scenario| {
            SideCut::new(scenario, &Setting::Swivel(swivel)).measures(Options::default())
        };
        seat.lathe.spindle.out_of_line = exactly(0.0);
        let true_line = cut(&seat).taper;
        seat.lathe.spindle.out_of_line = exactly(LEANS);
        let off = cut(&seat).taper - true_line;
        let angle = 0.5 * LEANS;
        // A turn of the path by an angle: 2 / cos^2 of it on diameter.
        let slope = 0.5 * true_line;
        let steeper = match seat.job.work.big_end {
            End::Headstock => 1.0,
            End::Tailstock => -1.0,
        };
        match set_by {
            SetBy::Marks => near(off, steeper * 2.0 * angle * (1.0 + slope * slope), 1e-3),
            SetBy::Indicator => assert_eq!(off, 0.0),
        }
    }
}

#[test]
fn without_the_attachment_neither_its_guide_nor_the_spindle_between_centres_says_anything() {
    let mandrel = evened(scenario("long-mandrel.toml"));
    let set = setting(&mandrel, Method::Tailstock);
    let cut = |scenario: &Scenario| SideCut::new(scenario, &set).measures(Options::default());
    let plain = cut(&mandrel);
    let mut off = mandrel.clone();
    off.lathe.attachment.setting_error = exactly(0.004 / 12.0);
    off.lathe.attachment.guide_bow = exactly(1e-4);
    off.lathe.spindle.out_of_line = exactly(LEANS);
    assert_eq!(cut(&off), plain);
    // What does say something: the carriage on the bed that it is fed along.
    off.lathe.carriage.rock = exactly(5e-6);
    assert!((cut(&off).size_error - plain.size_error).abs() > 1e-6);
}

#[test]
fn rock_is_size_alone_by_the_overhang_and_turns_with_feed_and_side_closed_form() {
    let rock = 8e-6;
    let mut scenario = even();
    for setup in ways(&scenario) {
        if setup.pull() != Pull::In {
            continue;
        }
        scenario.lathe.carriage.rock = exactly(0.0);
        let still = cut(&scenario, &setup);
        scenario.lathe.carriage.rock = exactly(rock);
        let rocked = cut(&scenario, &setup);
        // Toward the operator while the feed goes to the headstock; outside work with a tool in
        // front is cut deeper away from the operator.
        let toward = if setup.feed == Feed::Headstock {
            rock
        } else {
            -rock
        };
        let into = if setup.side == Side::Front {
            -toward
        } else {
            toward
        };
        let by = rocked.size_error - still.size_error;
        // The drive gives way a little more where more is cut.
        assert!(
            by / into > 0.8 && by / into <= 1.0,
            "{setup:?}: {by} {into}"
        );
        assert!((rocked.taper - still.taper).abs() < 2e-6);
    }
}

#[test]
fn a_bar_rocks_as_much_more_as_it_stands_out_further_closed_form() {
    let bar = |stick_out: f64| Bar {
        diameter: Length::from_si(25e-3),
        stick_out: Length::from_si(stick_out),
        edge_out: None,
        carbide: false,
        holder_factor: exactly(0.6),
    };
    assert_eq!(carriage::overhang(None), 1.0);
    // The post is taken to stand 4 in from where the carriage turns.
    near(carriage::overhang(Some(&bar(0.2032))), 3.0, 1e-12);
    let scenario = even();
    assert_eq!(
        carriage::rock(&scenario.lathe, None, &ways(&scenario)[0]),
        0.0,
        "nothing is lost until somebody measured it"
    );
}
