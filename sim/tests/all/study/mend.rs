//! What makes the spread: a number that is uncertain alone has all of it.

use crate::given::many::{only, study, unmeasured, ways};
use crate::given::worked;
use tautway_sim::scenario::Scenario;
use tautway_sim::study::{Mend, MendDesign, Part, SIZE, TAPER};

const TRIALS: u64 = 48;

fn mend(scenario: &Scenario) -> Mend {
    let study = study(scenario, &ways(scenario)[..1], 1);
    let design = MendDesign::new(&study, 0, TRIALS, true).expect("two trials and more");
    let outputs: Vec<Vec<f64>> = design.runs(&design.rows().collect::<Vec<_>>());
    design.indices(&outputs, TAPER).expect("whole trials")
}

#[test]
fn a_number_that_is_uncertain_alone_makes_all_of_the_spread() {
    // Without stick-slip: where that leaves the slide is luck, and some of the spread of size.
    let even = worked::without_stick_slip(worked::evened(unmeasured()));
    for (key, part, output) in [
        ("attachment.setting_error", Part::Guide, TAPER),
        ("cutting.specific_force", Part::Material, SIZE),
        ("attachment.shoe_spring", Part::DriveSpring, SIZE),
    ] {
        let found = mend(&only(even.clone(), key));
        assert_eq!(found.trials, TRIALS);
        let ranked = found.ranked(output);
        assert_eq!(ranked.len(), 2, "{key}: the part and luck");
        let (top, share) = &ranked[0];
        assert_eq!((top.part, top.keys.as_slice()), (part, &[key][..]));
        // Jansen's estimate from 48 trials: it is 1 but for chance in the variance.
        assert!((share.total.value - 1.0).abs() < 0.35, "{key}: {share:?}");
        assert!(share.total.interval.holds(1.0), "{key}: {share:?}");
        // The single number stands for its part.
        let single = &found.ranked_numbers(output)[0];
        assert_eq!((single.0.key, single.1.total), (key, share.total));
        let (rest, share) = &ranked[1];
        assert_eq!(rest.part, Part::Luck);
        assert!(share.total.value.abs() < 1e-6, "{key}: {share:?}");
    }
}

#[test]
fn where_nothing_is_uncertain_there_are_no_shares() {
    let even = worked::without_stick_slip(worked::evened(unmeasured()));
    let found = mend(&only(even, "nothing"));
    assert_eq!(found.parts.len(), 1);
    assert_eq!(found.parts[0].part, Part::Luck);
    for output in 0..found.outputs.len() {
        assert_eq!(found.outputs[output].variance, 0.0, "output {output}");
        assert!(found.ranked(output).is_empty(), "output {output}");
    }
}

#[test]
fn every_uncertain_number_belongs_to_one_part_and_picked_slacks_to_wear() {
    let scenario = unmeasured();
    let study = study(&scenario, &ways(&scenario)[..1], 1);
    let design = MendDesign::new(&study, 0, 2, false).expect("two trials");
    let outputs: Vec<Vec<f64>> = design.runs(&design.rows().collect::<Vec<_>>());
    let found = design.indices(&outputs, TAPER).expect("whole trials");
    let mut listed: Vec<_> = found.parts.iter().flat_map(|p| p.keys.clone()).collect();
    let varying = study.quantities().iter().filter(|q| q.varies());
    let mut wanted: Vec<_> = varying.map(|q| q.key).collect();
    listed.sort_unstable();
    wanted.sort_unstable();
    assert_eq!(listed, wanted);
    let wear = found.parts.iter().find(|p| p.part == Part::Wear);
    let wear = wear.expect("nobody measured the slacks");
    assert!(wear.keys.iter().all(|key| key.ends_with("slack")));
    assert!(wear.keys.contains(&"attachment.nut_slack"));
    assert!(wear.tests.contains(&"test 3, which part is loose"));
}
