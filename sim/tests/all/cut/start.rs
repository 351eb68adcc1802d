//! Work that is a taper already: one alike is a roughed blank, a taper of none is a straight bore,
//! another leaves stock that grows along the work, and the first pass cuts at its deep end alone.

use crate::given::worked::{evened, plain_setup, scenario};
use tautway_sim::cut::{Finished, Operation, Options};
use tautway_sim::quantity::{Length, Quantity, Taper};
use tautway_sim::scenario::{Scenario, StartSurface};
use tautway_sim::setup::Pull;

/// The whole cut pulled in, from this start.
fn cut(scenario: &Scenario, start: StartSurface) -> Finished {
    let mut scenario = evened(scenario.clone());
    scenario.job.work.start = start;
    let setup = plain_setup(&scenario, Pull::In);
    Operation::new(&scenario, setup, Options::default()).run()
}

/// What every pass left and took along the work, m.
fn met(finished: &Finished) -> Vec<[f64; 2]> {
    let turns = finished.passes.iter().flat_map(|pass| &pass.turns);
    turns.map(|turn| [turn.edge, turn.depth]).collect()
}

/// Greatest difference of any of it, m.
fn apart(a: &Finished, b: &Finished) -> f64 {
    let (a, b) = (met(a), met(b));
    assert_eq!(a.len(), b.len(), "other passes");
    let pairs = a.iter().flatten().zip(b.iter().flatten());
    pairs.fold(0.0, |most, (a, b)| most.max((a - b).abs()))
}

/// The taper that is aimed at, on diameter.
fn aimed(scenario: &Scenario) -> f64 {
    let work = &scenario.job.work;
    work.taper.si() + 0.5 * (work.tolerance.lower.si() + work.tolerance.upper.si())
}

/// A taper by the change of diameter over length.
fn taper(slope: f64) -> Taper {
    Taper::parse(&format!("{} mm/m", 1e3 * slope)).expect("a taper")
}

#[test]
fn the_same_taper_smaller_is_a_roughed_blank() {
    let scenario = scenario("tapered-socket.toml");
    let stock = 0.8e-3;
    let diameter = scenario.job.work.diameter.si() - 2.0 * stock;
    let tapered = StartSurface::Tapered {
        taper: taper(aimed(&scenario)),
        diameter: Length::from_si(diameter),
    };
    let stock = Length::from_si(stock);
    let roughed = cut(&scenario, StartSurface::Roughed { stock });
    assert!(apart(&cut(&scenario, tapered), &roughed) < 1e-9);
}

#[test]
fn a_taper_of_next_to_none_is_a_straight_bore() {
    let scenario = scenario("tapered-socket.toml");
    let StartSurface::Straight { diameter } = scenario.job.work.start else {
        panic!("the example is bored straight");
    };
    let tapered = StartSurface::Tapered {
        taper: taper(1e-12),
        diameter,
    };
    let straight = cut(&scenario, StartSurface::Straight { diameter });
    assert!(apart(&cut(&scenario, tapered), &straight) < 1e-9);
}

#[test]
fn over_another_taper_the_stock_grows_by_half_the_difference() {
    // A tenth steeper, big at the same end, and so much narrower there: at the small end half of the
    // difference in taper over the length more is to be taken. (A shallower one that is past the
    // drawing at its small end is refused with the file.)
    let scenario = scenario("tapered-socket.toml");
    let work = &scenario.job.work;
    let (to, length) = (aimed(&scenario), work.length.si());
    let least = 0.1e-3;
    let start = StartSurface::Tapered {
        taper: taper(1.1 * to),
        diameter: Length::from_si(work.diameter.si() - 2.0 * least),
    };
    let finished = cut(&scenario, start);
    let deep = least + 0.5 * 0.1 * to * length;
    let dialled: f64 = finished.passes.iter().map(|pass| pass.set).sum();
    assert!((dialled - deep).abs() < 1e-9, "{dialled} of {deep}");
    let cutting = |pass: usize| {
        let turns = &finished.passes[pass].turns;
        let cuts = turns.iter().filter(|turn| turn.depth > 0.0);
        cuts.count() as f64 / turns.len() as f64
    };
    // The first pass leaves what is to be finished, and meets no metal where there is less.
    let finishing: f64 = scenario.job.passes.finish.iter().map(|set| set.si()).sum();
    let share = (deep - finishing) / (deep - least);
    let (first, last) = (cutting(0), cutting(finished.last_set));
    assert!((first - share).abs() < 0.02, "{first} of {share}");
    assert!(last > 0.99, "{last}");
}
