//! Drawings of many lathes: what to mend first and what the ways may give, at their extremes.

use crate::records::{PARTS, THOU, check, outlook, parts, share, work};
use proptest::prelude::*;
use tautway_figures::{mend, spread};
use tautway_sim::{
    quantity::{Length, Quantity, Units},
    scenario::{Band, Kind, Work},
    spread::Coverage,
    study::{Mend, Outlook, Part},
};

#[test]
fn the_title_names_the_first_part_that_can_be_mended() {
    // Hard spots have most in this record, the guide is next.
    let mut record = parts(15);
    let drawing = mend("", &record, Units::Inch);
    assert!(
        drawing.title.ends_with(Part::Guide.words()),
        "{}",
        drawing.title
    );
    // With the order of the record turned, by the shares alone.
    record.parts[1..].reverse();
    let drawing = mend("", &record, Units::Inch);
    assert!(
        drawing.title.ends_with(PARTS[14].words()),
        "{}",
        drawing.title
    );
    let alone = mend("", &parts(1), Units::Inch);
    assert!(alone.title.contains("Hard spots alone"), "{}", alone.title);
}

#[test]
fn parts_of_next_to_nothing_are_left_out_and_named() {
    let mut record = parts(4);
    let set = |record: &mut Mend, part: usize, totals: [f64; 3]| {
        for (output, total) in totals.into_iter().enumerate() {
            let groups = record.outputs[output].groups.as_mut().expect("it varies");
            groups[part] = share(0.0, total);
        }
    };
    set(&mut record, 2, [0.019, 0.0, 0.019]);
    set(&mut record, 3, [0.0, 0.0, 0.021]);
    let caption = mend("", &record, Units::Inch).caption;
    let rest = format!("The rest: under 2 % each ({}).", Part::Wear.words());
    assert!(caption.contains(&rest), "{caption}");
    set(&mut record, 2, [0.0, 0.021, 0.0]);
    let more = mend("", &record, Units::Inch);
    assert!(!more.caption.contains("The rest"), "{}", more.caption);
}

#[test]
fn outputs_that_do_not_vary_say_so() {
    let mut record = parts(6);
    for output in [0, 2] {
        record.outputs[output].variance = 0.0;
        record.outputs[output].groups = None;
    }
    let drawing = mend("", &record, Units::Inch);
    check(&drawing);
    let said = "As good as the same in every trial: taper, waves.";
    assert!(drawing.caption.contains(said), "{}", drawing.caption);
    record.outputs[1].groups = None;
    let drawing = mend("", &record, Units::Inch);
    check(&drawing);
    assert!(
        drawing.title.contains("Nothing in it varies"),
        "{}",
        drawing.title
    );
    record.outputs.clear();
    record.parts.clear();
    check(&mend("", &record, Units::Metric));
}

#[test]
fn a_close_second_and_a_test_to_do_are_told() {
    let mut record = parts(3);
    record.parts[1].tests = vec!["test 7, guide true"];
    let first = |totals: [f64; 2]| {
        let mut record = record.clone();
        for output in &mut record.outputs {
            let groups = output.groups.as_mut().expect("it varies");
            groups[1] = share(0.0, totals[0]);
            groups[2] = share(0.0, totals[1]);
        }
        mend("", &record, Units::Inch).caption
    };
    let (close, far) = (first([0.5, 0.4]), first([0.8, 0.1]));
    let told = format!("More trials might still put \u{201c}{}", Part::Wear.words());
    assert!(close.contains(&told), "{close}");
    assert!(!far.contains("More trials"), "{far}");
    assert!(far.contains("Measure before you mend: test 7, guide true."));
}

#[test]
fn shares_of_any_size_and_names_of_any_length_are_drawn() {
    let long = "toward the headstock with the front tool ".repeat(8);
    for odd in [-0.3, 0.0, 1.0, 1.7, 1e300, f64::INFINITY, f64::NAN] {
        let mut record = parts(15);
        for output in &mut record.outputs {
            output.variance *= odd;
            let groups = output.groups.as_mut().expect("they vary");
            groups[0] = share(0.2, odd);
            groups[1] = share(odd, 0.3);
            groups[2] = share(odd, odd);
        }
        for units in [Units::Inch, Units::Metric] {
            check(&mend(&long, &record, units));
        }
    }
}

#[test]
fn ways_of_any_number_and_name_are_drawn() {
    let long = ["to the chuck ".repeat(30), "x".repeat(300), String::new()]
        .map(|name| (name, "5 of 100".to_owned()));
    for ways in [0, 1, 2, 8, 16] {
        for units in [Units::Inch, Units::Metric] {
            check(&spread(&outlook(ways), &long, &work(), units));
        }
    }
    let title = |ways| spread(&outlook(ways), &[], &work(), Units::Inch).title;
    assert!(title(1).contains("this way"), "{}", title(1));
    assert!(title(2).contains("each way"), "{}", title(2));
}

#[test]
fn the_caption_says_what_the_drawing_limits() {
    let mut work = work();
    let caption = |work: &Work| spread(&outlook(2), &[], work, Units::Inch).caption;
    assert!(caption(&work).contains("it limits taper."));
    work.size_tolerance = Some(Band {
        lower: Length::from_si(-4.0 * THOU),
        upper: Length::from_si(0.0),
    });
    work.waves_allowed = Some(Length::from_si(THOU));
    work.kind = Kind::Outside;
    assert!(caption(&work).contains("it limits taper, size, waves."));
    check(&spread(&outlook(2), &[], &work, Units::Inch));
}

fn each_coverage(outlook: &mut Outlook) -> impl Iterator<Item = &mut Coverage> {
    outlook
        .ways
        .iter_mut()
        .flat_map(|way| [&mut way.taper, &mut way.size_error, &mut way.waves])
}

#[test]
fn spreads_of_any_size_are_drawn() {
    for factor in [0.0, 1e-12, 1e4, 1e30, 1e300, f64::INFINITY, f64::NAN, -1.0] {
        let mut odd = outlook(3);
        for found in each_coverage(&mut odd) {
            found.estimate *= factor;
            found.symmetric.lower *= factor;
            found.symmetric.upper *= factor;
        }
        odd.ways[0].met.share *= factor;
        odd.ways[0].met.interval.upper *= factor;
        for units in [Units::Inch, Units::Metric] {
            check(&spread(&odd, &[], &work(), units));
        }
    }
    let mut still = outlook(2);
    for found in each_coverage(&mut still) {
        found.symmetric.lower = found.estimate;
        found.symmetric.upper = found.estimate;
    }
    check(&spread(&still, &[], &work(), Units::Inch));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(16))]

    #[test]
    fn any_values_and_names_are_drawn(
        ends in prop::collection::vec((-1e-2..1e-2_f64, -1e-2..1e-2_f64), 1..6),
        name in "\\PC{0,60}",
    ) {
        let mut record = outlook(ends.len());
        for (way, (low, high)) in record.ways.iter_mut().zip(&ends) {
            way.size_error.symmetric.lower = low.min(*high);
            way.size_error.symmetric.upper = low.max(*high);
        }
        check(&spread(&record, &[(name.clone(), name.clone())], &work(), Units::Inch));
        let mut shares = parts(ends.len());
        for (index, (low, high)) in ends.iter().enumerate() {
            for output in &mut shares.outputs {
                let groups = output.groups.as_mut().expect("it varies");
                groups[index] = share(100.0 * low, 100.0 * high);
            }
        }
        check(&mend(&name, &shares, Units::Metric));
    }
}
