//! A blind taper with its relief, and an interrupted one: what is refused, what is said.

use crate::given::worked::{scenario, text};
use tautway_sim::caution::cautions;
use tautway_sim::cut::RunIn;
use tautway_sim::quantity::{INCH, Length, Quantity};
use tautway_sim::scenario::{Source, decode};
use tautway_sim::setup::{End, Setup};

/// Ids of what can hurt, for a start at the headstock end or at the other.
fn ids(job: &tautway_sim::scenario::Scenario, starts_at: End) -> Vec<&'static str> {
    let work = &job.job.work;
    let setup = Setup::all(work.kind, work.big_end)
        .into_iter()
        .find(|setup| setup.cuts() && setup.starts_at() == starts_at)
        .expect("a way");
    let all = cautions(job, &setup, RunIn::ByHand);
    all.iter().map(|caution| caution.id).collect()
}

#[test]
fn the_room_at_a_blind_end_is_the_relief_s_width() {
    let job = scenario("blind-socket.toml");
    let room = job.job.work.room_headstock.si();
    assert!((room - 0.25 * INCH).abs() < 1e-12, "{room}");
}

#[test]
fn with_a_relief_the_bottom_is_minded_and_without_one_the_plunge() {
    let mut job = scenario("blind-socket.toml");
    let with = ids(&job, End::Headstock);
    assert!(
        with.contains(&"blind-bottom") && !with.contains(&"no-relief"),
        "{with:?}"
    );
    assert!(with.contains(&"interrupted-cut"));
    job.job.work.relief = None;
    job.job.work.slots = None;
    job.job.work.room_headstock = Length::from_si(0.0);
    let without = ids(&job, End::Headstock);
    assert!(
        without.contains(&"no-relief") && !without.contains(&"blind-bottom"),
        "{without:?}"
    );
    assert!(!without.contains(&"interrupted-cut"));
    // From the open end nothing is plunged.
    assert!(!ids(&job, End::Tailstock).contains(&"no-relief"));
}

#[test]
fn a_relief_that_the_nose_does_not_enter_or_with_more_room_than_it_has_is_refused() {
    let lathe = text("worn-lathe.toml");
    for (from, to, says) in [
        (
            "width = \"1/4 in\", depth",
            "width = \"0.025 in\", depth",
            "nose doesn't go into the relief",
        ),
        (
            "room_tailstock",
            "room_headstock = \"1/2 in\"\nroom_tailstock",
            "more room than the relief",
        ),
        (", depth = \"0.040 in\"", "", "`depth` is missing"),
    ] {
        let job = text("blind-socket.toml").replacen(from, to, 1);
        let source = |name, text| Source { name, text };
        let found = decode(source("job", &job), source("lathe", &lathe)).expect_err(to);
        assert!(
            found.iter().any(|fault| fault.message.contains(says)),
            "{to}: {found:#?}"
        );
    }
}
