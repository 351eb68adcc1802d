//! A spring on the slide: its force goes by the slide's own travel, the same on either side.

use crate::given::worked::{decoded, evened, plain_setup, scenario, text};
use tautway_sim::cut::{Operation, Options};
use tautway_sim::machine::preload::PreloadForce;
use tautway_sim::quantity::{Force, INCH, LBF, Length, Quantity, Stiffness};
use tautway_sim::record::{PassRecord, Seat};
use tautway_sim::scenario::{Known, Preload, PreloadSource, Scenario, Toward};
use tautway_sim::setup::{Pull, Setup};
use tautway_sim::steady::Steady;

fn sprung(mut scenario: Scenario, toward: Toward, force: f64, rate: f64) -> Scenario {
    let source = PreloadSource::Spring {
        force: Known::given(Force::from_si(force)),
        rate: Known::given(Stiffness::from_si(rate)),
    };
    scenario.job.preload = Some(Preload { toward, source });
    scenario
}

fn finishing_passes(scenario: &Scenario, setup: Setup) -> Vec<PassRecord> {
    let operation = Operation::new(scenario, setup, Options::default());
    operation.run_finishing().passes
}

fn last_pass(scenario: &Scenario, setup: Setup) -> PassRecord {
    finishing_passes(scenario, setup).pop().expect("a pass")
}

/// Force out of the cut that the slide's balance tells of, N: `L - Fp - pull F` while it moves with
/// the guide; push-off by the force law at the depth cut, as the record's own has the spring taken
/// off already.
fn balance_tells(operation: &Operation<'_>, pass: &PassRecord) -> Vec<(f64, f64, f64)> {
    let law = operation.law(pass.feed);
    let solid = pass
        .turns
        .iter()
        .filter(|turn| turn.cutting && turn.seat != Seat::Floating);
    solid
        .map(|turn| {
            let push_off = law.at(turn.depth, 0.0, 1.0).push_off;
            let pull = operation.setup().pull().sign();
            let out = turn.drive - push_off - pull * turn.drag;
            (turn.z, turn.edge, out)
        })
        .collect()
}

#[test]
fn out_of_the_cut_and_into_it_a_springs_force_out_grows_by_its_rate_into_the_cut() {
    // Signs by hand: a spring that pulls the slide out of the cut is stretched as the slide goes
    // in; one that pushes it in relaxes, which is force out too.
    for file in ["spring-held-cone.toml", "tapered-socket.toml"] {
        let scenario = scenario(file);
        for toward in [Toward::Operator, Toward::Away] {
            let sprung = sprung(scenario.clone(), toward, 300.0, 5e3);
            let work = &scenario.job.work;
            for setup in Setup::all(work.kind, work.big_end) {
                let hold = PreloadForce::new(sprung.job.preload.as_ref(), &setup);
                assert_eq!(hold.out.abs(), 300.0);
                assert_eq!(hold.out > 0.0, setup.out_of_cut(toward) > 0.0);
                assert_eq!(hold.at(1e-3) - hold.at(0.0), 5.0, "{file} {setup:?}");
            }
        }
    }
}

#[test]
fn along_the_taper_a_spring_follows_the_slides_own_travel_closed_form() {
    // Force at the middle, and its rate times how far the edge then stands further into the cut:
    // outside that is toward the small end, in a bore toward the big one.
    // So stiff that a pass 0.4 mm short of the cone is 40 N less.
    let (force, rate) = (1500.0, 1e5);
    for (file, grows_toward_big) in [
        ("spring-held-cone.toml", false),
        ("tapered-socket.toml", true),
    ] {
        let mut scenario = evened(scenario(file));
        scenario.job.passes.finish = vec![Length::from_si(0.4e-3); 2];
        let work = &scenario.job.work;
        let (length, slope) = (
            work.length.si(),
            0.5 * tautway_sim::cut::aimed_taper(&scenario),
        );
        let big_at_nought = work.big_end == tautway_sim::scenario::End::Headstock;
        for pull in [Pull::In, Pull::Away] {
            let setup = plain_setup(&scenario, pull);
            let out = [Toward::Operator, Toward::Away]
                .into_iter()
                .find(|toward| setup.out_of_cut(*toward) > 0.0);
            let scenario = sprung(scenario.clone(), out.expect("a side"), force, rate);
            let (mut weak, mut short) = (f64::INFINITY, 0.0);
            let operation = Operation::new(&scenario, setup, Options::default());
            for pass in finishing_passes(&scenario, setup) {
                let found = balance_tells(&operation, &pass);
                assert!(found.len() > 100, "{file}: {}", found.len());
                for (z, edge, out) in &found[8..found.len() - 8] {
                    let toward_big = if big_at_nought {
                        0.5 * length - z
                    } else {
                        z - 0.5 * length
                    };
                    let into = if grows_toward_big { 1.0 } else { -1.0 } * slope * toward_big;
                    let closed = force + rate * (into + edge);
                    assert!(
                        (out - closed).abs() < 5.0,
                        "{file}, {pull:?}, at {z}: {out} for {closed}"
                    );
                    weak = out.min(weak);
                    short = edge.min(short);
                }
            }
            // Both parts of the travel matter: along the taper and into the cut.
            assert!(weak < force - 200.0, "{file}: {weak}");
            assert!(rate * short < -30.0, "{file}: {short}");
        }
    }
}

#[test]
fn the_worked_spring_holds_to_its_weak_end_and_one_six_times_as_stiff_lets_go_there() {
    let scenario = scenario("spring-held-cone.toml");
    let setup = plain_setup(&scenario, Pull::Away);
    assert_eq!(setup.starts_at(), tautway_sim::scenario::End::Tailstock);
    let operation = Operation::new(&scenario, setup, Options::default());
    let drag = &operation.machine.drag;
    // 2-1/2 in/ft over 4-1/2 in is 0.469 in per side: half of that eases 35 lbf/in by 8.2 lbf.
    let weak = operation.machine.hold.at(-0.5 * 4.5 * INCH * 2.5 / 24.0);
    assert!((weak - (50.0 - 8.2) * LBF).abs() < 0.05 * LBF, "{weak}");
    assert!(weak > 1.2 * drag.hand() * drag.breakaway);
    let held = last_pass(&scenario, setup);
    assert!(held.seat_changes.is_empty());
    assert!(
        held.turns
            .iter()
            .filter(|turn| turn.cutting)
            .all(|turn| turn.seat == Seat::First)
    );
    // Push-off alone doesn't hold it: in the middle 6 lbf against a drag of 10 in the cut.
    let middle = held.turns[held.turns.len() / 2];
    let told = Steady::new(&scenario, &setup).forces(middle.depth);
    for (force, lbf) in [(told.0, 6.0), (told.1, 10.0)] {
        assert!((force / LBF - lbf).abs() < 0.5, "{told:?}");
    }
    let job = text("spring-held-cone.toml")
        .replace("35 lbf/in", "210 lbf/in")
        .replacen("[work]", "meant = [\"preload.rate\"]\n\n[work]", 1);
    let stiff = decoded("stiff", &job, &text("worn-lathe.toml"));
    let stiff = &last_pass(&stiff, setup);
    let lets_go = stiff.seat_changes.first().expect("it changes seat");
    assert_eq!(lets_go.from, Seat::First);
    // The big end is at the headstock: z 0, where a pass drawn away ends.
    let length = scenario.job.work.length.si();
    assert!(lets_go.z < 0.25 * length, "{}", lets_go.z);
    // Without any spring it sits a slack behind from end to end, by little.
    let mut free = scenario.clone();
    free.job.preload = None;
    let free = last_pass(&free, setup);
    assert!(free.turns.iter().all(|turn| turn.seat != Seat::First));
}
