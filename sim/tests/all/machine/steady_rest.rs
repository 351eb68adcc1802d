//! A steady rest: one more spring under the work, and a line that may be off.

use super::laws::{LENGTH, RIGID, bending_stiffness, on_rest};
use crate::given::even_work::{even, exactly, near};
use crate::given::worked::{scenario, text};
use tautway_sim::cut::{Operation, Options};
use tautway_sim::machine::headstock;
use tautway_sim::machine::work::Bench;
use tautway_sim::measure::gauge;
use tautway_sim::quantity::{Length, Quantity};
use tautway_sim::scenario::{Holding, Source, Steady, decode};
use tautway_sim::setup::{Pull, Setup};

#[test]
fn a_rigid_rest_at_the_end_makes_a_propped_cantilever_closed_form() {
    // 7 L^3 / 768 E I under a load at the middle.
    let stiffness = bending_stiffness();
    let bench = on_rest(Holding::Chuck, [RIGID, RIGID], Some((LENGTH, RIGID)));
    near(
        bench.gives(0.5 * LENGTH),
        7.0 * LENGTH.powi(3) / (768.0 * stiffness),
        1e-3,
    );
    assert!(bench.gives(LENGTH) < 1e-3 * bench.gives(0.5 * LENGTH));
}

#[test]
fn under_the_load_work_and_rest_stand_side_by_side_closed_form() {
    // Their rates add, whatever holds the work.
    let held = [Holding::Chuck, Holding::ChuckAndCentre, Holding::Centres];
    for (holding, spring) in held.into_iter().flat_map(|held| [(held, 2e6), (held, 4e7)]) {
        let supports = [5e7, 2e7];
        let bare = on_rest(holding, supports, None);
        let rest = on_rest(holding, supports, Some((0.5 * LENGTH, spring)));
        let wanted = 1.0 / (1.0 / bare.gives(0.5 * LENGTH) + spring);
        near(rest.gives(0.5 * LENGTH), wanted, 1e-6);
    }
}

#[test]
fn a_rigid_rest_halves_the_span_between_centres_only_under_it() {
    // A rigid rest at the middle of work on rigid centres: a continuous beam of two spans, load at
    // the middle of one: 23 (L / 2)^3 / (1536 E I), by the three-moment theorem.
    let bench = on_rest(
        Holding::Centres,
        [RIGID, RIGID],
        Some((0.5 * LENGTH, RIGID)),
    );
    let wanted = 23.0 * (0.5 * LENGTH).powi(3) / (1536.0 * bending_stiffness());
    near(bench.gives(0.25 * LENGTH), wanted, 1e-3);
    near(bench.gives(0.75 * LENGTH), wanted, 1e-3);
}

#[test]
fn a_rest_without_stiffness_is_none() {
    for holding in [Holding::Chuck, Holding::ChuckAndCentre, Holding::Centres] {
        let supports = [5e7, 2e7];
        let bare = on_rest(holding, supports, None);
        let rest = on_rest(holding, supports, Some((0.7 * LENGTH, 1e-3)));
        for share in [0.1, 0.5, 0.9] {
            near(rest.gives(share * LENGTH), bare.gives(share * LENGTH), 1e-6);
        }
    }
}

#[test]
fn a_rest_off_the_line_leans_the_work_and_the_cut_shows_it() {
    let mut scenario = even();
    let (at, off) = (0.25, 25e-6);
    let setup = Setup::all(scenario.job.work.kind, scenario.job.work.big_end)
        .into_iter()
        .find(|setup| setup.cuts() && setup.pull() == Pull::In && setup.side.sign() > 0.0)
        .expect("a way pulled in, in front");
    let mut cut = |set: f64| {
        scenario.job.work.steady = Some(Steady {
            at: Length::from_si(at),
            spring: exactly(RIGID),
            set: exactly(set),
        });
        let operation = Operation::new(&scenario, setup, Options::default());
        gauge(&scenario, &setup, &operation, &operation.run_finishing()).taper
    };
    // As the spindle's own lean does: 2 e / s on diameter.
    let lean = headstock_lean(off, at);
    near((cut(off) - cut(0.0)).abs(), lean, 0.15);
    near((cut(-off) - cut(0.0)).abs(), lean, 0.15);
}

fn headstock_lean(off: f64, at: f64) -> f64 {
    2.0 * off / at
}

#[test]
fn with_a_centre_the_work_leans_back_behind_the_rest() {
    let mut scenario = even();
    let work = &mut scenario.job.work;
    work.holding = Holding::ChuckAndCentre;
    work.from_jaws = Length::from_si(0.2);
    work.length = Length::from_si(0.1);
    work.beyond = Length::from_si(0.1);
    let lean = |at: f64| {
        let mut work = work.clone();
        work.steady = Some(Steady {
            at: Length::from_si(at),
            spring: exactly(1e8),
            set: exactly(1e-5),
        });
        headstock::rest(&work)
    };
    near(lean(0.1), 1e-5 / 0.3, 1e-12);
    near(lean(0.35), -1e-5 / 0.35, 1e-12);
}

#[test]
fn it_takes_most_of_what_a_long_shaft_gives() {
    let scenario = scenario("spindle-socket.toml");
    let takes = |work| Bench::rest_takes(&scenario.lathe, work, 0.05);
    let job = &scenario.job.work;
    let share = takes(job).expect("there is a rest");
    assert!(share > 0.5 && share < 1.0, "{share}");
    let mut bare = job.clone();
    bare.steady = None;
    assert_eq!(takes(&bare), None);
}

#[test]
fn where_no_rest_can_stand_it_is_refused_with_the_reason() {
    let lathe = text("toolroom-lathe.toml");
    for (from, to, says) in [
        (
            "held = \"chuck and steady rest\"",
            "held = \"chuck and follower rest\"",
            "follower",
        ),
        ("at = \"13-1/2 in\"", "at = \"16 in\"", "past the end"),
        (
            "steady = { at = \"13-1/2 in\", set = \"0 in +- 0.001 in\" }\n",
            "",
            "where the steady rest bears",
        ),
        ("kind = \"inside\"", "kind = \"outside\"", "on the taper"),
    ] {
        let job = text("spindle-socket.toml").replacen(from, to, 1);
        let source = |name, text| Source { name, text };
        let found = decode(source("job", &job), source("lathe", &lathe)).expect_err(to);
        assert!(
            found.iter().any(|fault| fault.message.contains(says)),
            "{to}: {found:#?}"
        );
    }
}

#[test]
fn long_work_out_of_a_chuck_is_doubted_without_a_rest_alone() {
    let lathe = text("toolroom-lathe.toml");
    let doubted = |held: &str| {
        let job = format!(
            "name = \"any\"\nlathe = \"any.toml\"\nwork.kind = \"outside\"\n\
             work.big_end = \"tailstock\"\nwork.taper = \"1-1/4 in/ft\"\nwork.tolerance = \"+-0.010 in/ft\"\n\
             work.length = \"4 in\"\nwork.diameter = \"1.5 in\"\nwork.material = \"1045\"\n\
             work.from_jaws = \"5 in\"\nwork.beyond = \"2 in\"\n{held}"
        );
        let source = |name, text| Source { name, text };
        let (_, found) = decode(source("job", &job), source("lathe", &lathe)).expect("it is right");
        found.iter().any(|told| told.message.contains("very long"))
    };
    assert!(doubted("work.held = \"chuck\"\n"));
    assert!(!doubted(
        "work.held = \"chuck and steady rest\"\nwork.steady.at = \"10.5 in\"\n"
    ));
}
