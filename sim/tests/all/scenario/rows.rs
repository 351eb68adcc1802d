//! The rows of the numbers and what is read from a text agree, both ways.

use std::collections::BTreeMap;

use tautway_sim::quantity::Dimension;
use tautway_sim::scenario::keys::{self, Want};
use tautway_sim::scenario::numbers::{Number, all, bounds, with_attachment, without_attachment};
use tautway_sim::scenario::{
    Condition, Origin, Scenario, Severity, Source, decode, decode_finished, decode_readings,
    decode_sample, decode_shop_tests,
};

use crate::given::scenario_texts::near;

const LATHE: &str = "name = \"any\"\nunits = \"inch\"\n";

/// A job in which the row's number is there, without it.
fn job(row: &dyn Number) -> String {
    let about = row.about();
    // The swing of a bar and that of the post are one key: what a bar's test gives is the bar's.
    let bored = about.key.starts_with("tool.bar.") || about.test.is_some();
    let kind = if bored {
        "work.kind = \"inside\"\ntool.bar.diameter = \"1 in\"\ntool.bar.stick_out = \"5 in\"\n"
    } else {
        "work.kind = \"outside\"\n"
    };
    let preload = match about.key {
        "preload.rate" => "preload.spring = \"40 lbf\"\n",
        "preload.cylinder.seal_share" => {
            "preload.cylinder.bore = \"1 in\"\npreload.cylinder.pressure = \"60 psi\"\n"
        }
        "preload.cylinder.pressure" => "preload.cylinder.bore = \"1 in\"\n",
        _ => "",
    };
    let steady = match about.table() {
        "work.steady" => "work.beyond = \"4 in\"\nwork.steady.at = \"6 in\"\n",
        _ => "",
    };
    let toward = if about.table().starts_with("preload") {
        "preload.toward = \"away\"\n"
    } else {
        ""
    };
    format!(
        "name = \"any\"\nlathe = \"any.toml\"\n{kind}work.big_end = \"headstock\"\n\
         work.taper = \"1:16\"\nwork.tolerance = \"+-0.010 in/ft\"\nwork.length = \"3 in\"\n\
         work.diameter = \"2 in\"\nwork.material = \"1018\"\n{steady}{preload}{toward}"
    )
}

/// The row's key with this text, in its own file.
fn pair(row: &dyn Number, lathe: &str, said: &str) -> (String, String) {
    let line = format!("{} = {said}\n", row.about().key);
    if row.is_of_lathe() {
        (job(row), format!("{lathe}{line}"))
    } else {
        (format!("{}{line}", job(row)), lathe.to_owned())
    }
}

fn decoded((job, lathe): &(String, String)) -> Scenario {
    let source = |name, text| Source { name, text };
    decode(source("job", job), source("lathe", lathe))
        .unwrap_or_else(|found| panic!("{found:#?}\n{job}\n{lathe}"))
        .0
}

/// The unit that a row's numbers are written in here.
fn unit(row: &dyn Number) -> (f64, &'static str) {
    match row.dimension() {
        Dimension::Length => (1.0, " m"),
        Dimension::Angle => (1.0, " rad"),
        Dimension::Taper => (1e-3, " mm/m"),
        Dimension::Force => (1.0, " N"),
        Dimension::Stiffness => (1e6, " N/um"),
        Dimension::Pressure => (1e6, " MPa"),
        Dimension::EdgeLoad => (1e3, " N/mm"),
        Dimension::Ratio => (1.0, ""),
    }
}

/// Three usual numbers of this kind.
fn three(row: &dyn Number) -> [f64; 3] {
    let bounds = bounds::of(row.about().key).expect("every number has its bounds");
    let [least, most] = bounds.usual;
    let most = most.min(row.about().limits.most);
    [0.3, 0.5, 0.9].map(|part| least + part * (most - least))
}

fn written(si: f64, row: &dyn Number) -> String {
    let (unit, word) = unit(row);
    format!("\"{}{word}\"", si / unit)
}

/// All numbers that are there but this one, by their numbers.
fn others(scenario: &mut Scenario, but: u32) -> BTreeMap<u32, [f64; 3]> {
    let mut found = scenario.parameters_mut();
    found.extend(scenario.method_parameters_mut());
    let rest = found.into_iter().filter(|other| other.number != but);
    rest.map(|other| (other.number, other.value.range_si()))
        .collect()
}

#[test]
fn what_stands_under_a_row_s_key_is_the_number_that_its_accessor_gives_and_no_other() {
    for row in all() {
        let about = row.about();
        let range = three(row);
        let [low, middle, high] = range.map(|si| written(si, row));
        let said = format!("{{ low = {low}, middle = {middle}, high = {high} }}");
        let mut with = decoded(&pair(row, LATHE, &said));
        let known = row
            .find(&mut with.lathe, &mut with.job)
            .unwrap_or_else(|| panic!("{} is not there", about.key));
        assert_eq!(known.origin(), Origin::Given, "{}", about.key);
        assert_eq!(known.dimension(), row.dimension(), "{}", about.key);
        for (read, wanted) in known.range_si().into_iter().zip(range) {
            near(read, wanted);
        }
        // A source of the preload is needed to have one at all, and a total overrides its parts.
        if about.table().starts_with("preload") || !about.overrides.is_empty() {
            continue;
        }
        let mut without = decoded(&(job(row), LATHE.to_owned()));
        let before = others(&mut without, about.number);
        let after = others(&mut with, about.number);
        assert_eq!(before, after, "{} moves another number", about.key);
    }
}

#[test]
fn every_number_with_a_spread_that_is_read_has_a_row_and_the_other_way_round() {
    // Other ways to say one of the numbers, and what only a thread draws, at a place of its own.
    let apart = ["slide.gib_drag", "preload.weight", "thread.crowding"];
    let mut read = BTreeMap::new();
    for key in [keys::lathe().all, keys::job().all].into_iter().flatten() {
        for want in key.wants {
            if let Want::Spread(dimension) = want
                && !apart.contains(&key.path.as_str())
            {
                read.insert(key.path.clone(), dimension);
            }
        }
    }
    let rows: BTreeMap<_, _> = all()
        .map(|row| (row.about().key.to_owned(), row.dimension()))
        .collect();
    assert!(rows.len() > 50, "{}", rows.len());
    for (key, dimension) in &rows {
        assert_eq!(read.get(key), Some(dimension), "{key} has a row");
    }
    for key in read.keys() {
        assert!(rows.contains_key(key), "{key} is read and has no row");
    }
}

#[test]
fn a_number_of_the_draws_belongs_to_one_key_and_stands_once_in_a_list() {
    let mut keys: BTreeMap<u32, &str> = BTreeMap::new();
    for list in [
        with_attachment().collect::<Vec<_>>(),
        without_attachment().collect(),
    ] {
        let mut numbers: Vec<u32> = list.iter().map(|row| row.about().number).collect();
        numbers.sort_unstable();
        assert!(numbers[0] > 0);
        assert!(numbers.windows(2).all(|pair| pair[0] < pair[1]));
        for row in list {
            let about = row.about();
            assert!(!about.words.is_empty() && !about.table().is_empty());
            let key = *keys.entry(about.number).or_insert(about.key);
            assert_eq!(key, about.key);
        }
    }
    // A number that was given up would leave a hole here, and has to be named.
    let mut numbers: Vec<u32> = keys.into_keys().collect();
    numbers.sort_unstable();
    numbers.dedup();
    assert!(numbers.windows(2).all(|pair| pair[0] + 1 == pair[1]));
}

#[test]
fn a_row_s_limits_are_those_that_a_text_is_held_to() {
    for row in all() {
        let (about, limits) = (row.about(), row.about().limits);
        let (unit, _) = unit(row);
        let mut out = Vec::new();
        if limits.least.is_finite() {
            out.push(limits.least - 0.1 * unit);
            if limits.above {
                out.push(limits.least);
            }
        }
        if limits.most.is_finite() {
            out.push(limits.most + 0.1 * unit);
        }
        for si in out {
            let (job, lathe) = pair(row, LATHE, &written(si, row));
            let source = |name, text| Source { name, text };
            let found = decode(source("job", &job), source("lathe", &lathe))
                .expect_err(&format!("{} of {si} is read", about.key));
            let message = format!("`{}` can't be", about.key);
            assert!(
                found.iter().any(|d| d.message.starts_with(&message)),
                "{found:#?}"
            );
        }
        let bounds = bounds::of(about.key).expect("every number has its bounds");
        let found = |si: f64| {
            let (job, lathe) = pair(row, LATHE, &written(si, row));
            let source = |name, text| Source { name, text };
            decode(source("job", &job), source("lathe", &lathe))
                .map_or_else(|found| found, |(_, found)| found)
        };
        let said = |si: f64, begins: &str, severity: Severity| {
            let found = found(si);
            let message = format!("`{}` {begins}", about.key);
            let one = found.iter().find(|d| d.message.starts_with(&message));
            // What doesn't fit the rest of the job is refused for that already.
            if severity == Severity::Warning && found.iter().any(|d| d.severity < severity) {
                return;
            }
            let one = one.unwrap_or_else(|| panic!("{message} {si}: {found:#?}"));
            assert_eq!(one.severity, severity, "{message}");
            assert!(!one.hint.is_empty());
        };
        if bounds.usual[1] < limits.most {
            said(1.01 * bounds.usual[1], "of", Severity::Warning);
        }
        if bounds.hard[1] < 0.9e4 {
            said(1.01 * bounds.hard[1], "can't be", Severity::Error);
        }
        if bounds.usual[0] > limits.least.max(0.0) {
            said(0.99 * bounds.usual[0], "of", Severity::Warning);
        }
        if bounds.hard[0] > limits.least.max(0.0) {
            said(0.99 * bounds.hard[0], "can't be", Severity::Error);
        }
    }
}

#[test]
fn every_number_of_both_files_has_its_bounds_and_they_enclose_one_another() {
    let mut read: Vec<(String, bool)> = Vec::new();
    for keys in [keys::lathe(), keys::job()] {
        for key in keys.all {
            let number = key.wants.iter().any(|want| {
                matches!(
                    want,
                    Want::Number(_) | Want::Spread(_) | Want::Band(_) | Want::List(_)
                )
            });
            read.push((key.path, number));
        }
    }
    assert!(read.iter().filter(|(_, number)| *number).count() > 90);
    for (key, number) in &read {
        assert!(
            !number || bounds::of(key).is_some(),
            "{key} has no row of bounds"
        );
    }
    for bounds in bounds::of_job_and_lathe() {
        let key = bounds.key;
        assert!(
            read.iter().any(|(read, _)| read == key),
            "{key} is never read"
        );
    }
    for bounds in bounds::all() {
        let key = bounds.key;
        assert_eq!(bounds::all().filter(|other| other.key == key).count(), 1);
        assert!(bounds.hard[0] <= bounds.usual[0], "{key}");
        assert!(bounds.usual[0] < bounds.usual[1], "{key}");
        assert!(bounds.usual[1] <= bounds.hard[1], "{key}");
        assert!(!bounds.why.is_empty() && !bounds.source.is_empty(), "{key}");
    }
}

#[test]
fn every_number_read_at_lathe_or_gauge_is_held_to_its_bounds() {
    let mut seen = 0;
    for bounds in bounds::of_readings() {
        let si = 1.1 * bounds.hard[1];
        let refused = [
            format!("{si} m"),
            format!("{} mm/m", 1e3 * si),
            format!("+{0} mm/m -{0} mm/m", 1e3 * si),
            format!("{si} N"),
            format!("{si} rad"),
            format!("{si} m +- 1 mm"),
            format!("{} mm/m +- 1 mm/m", 1e3 * si),
        ]
        .iter()
        .any(|said| {
            let text = format!("{} = \"{said}\"\n", bounds.key);
            let source = Source {
                name: "t",
                text: &text,
            };
            let message = format!("`{}` can't be", bounds.key);
            let refuses = |found: Vec<tautway_sim::scenario::Diagnostic>| {
                found.iter().any(|d| d.message.starts_with(&message))
            };
            decode_shop_tests(source).is_err_and(refuses)
                || decode_readings(source).is_err_and(refuses)
                || decode_finished(source).is_err_and(refuses)
                || decode_sample(source).is_err_and(refuses)
        });
        assert!(refused, "{} is read beyond what it can be", bounds.key);
        seen += 1;
    }
    assert!(seen > 60, "{seen}");
}

/// What nobody measured is usual, in whatever state the lathe is.
#[test]
fn every_default_is_within_what_is_usual() {
    for row in all() {
        let bounds = bounds::of(row.about().key).expect("every number has its bounds");
        for condition in [
            Condition::Good,
            Condition::Ordinary,
            Condition::Worn,
            Condition::Junk,
        ] {
            let Some(([low, middle, high], _)) = row.assumed_si(condition) else {
                continue;
            };
            for si in [low, middle, high] {
                // Part of a range about nothing may be less than anyone would write.
                let least = low <= 0.0 || si.abs() >= bounds.hard[0];
                assert!(least && si.abs() <= bounds.usual[1], "{} {si}", bounds.key);
            }
            assert!(bounds.is_usual(middle), "{} {middle}", bounds.key);
        }
    }
}

#[test]
fn what_nobody_gave_is_the_row_s_default_in_every_condition() {
    let mut seen = 0;
    for (condition, word) in [
        (Condition::Good, "good"),
        (Condition::Ordinary, "ordinary"),
        (Condition::Worn, "worn"),
        (Condition::Junk, "junk"),
    ] {
        for row in all() {
            let Some((range, _)) = row.assumed_si(condition) else {
                continue;
            };
            let lathe = format!("{LATHE}condition = \"{word}\"\n");
            let mut scenario = decoded(&(job(row), lathe));
            let known = row.find(&mut scenario.lathe, &mut scenario.job);
            let known = known.unwrap_or_else(|| panic!("{} is not there", row.about().key));
            assert_eq!(known.range_si(), range, "{}", row.about().key);
            assert_eq!(known.origin(), Origin::Assumed);
            seen += 1;
        }
    }
    assert!(seen > 4 * 40, "{seen}");
}

#[test]
fn where_a_total_is_given_its_parts_are_no_numbers_any_more() {
    let totals: Vec<_> = all()
        .filter(|row| !row.about().overrides.is_empty())
        .collect();
    assert_eq!(totals.len(), 2);
    for total in totals {
        let said = written(three(total)[1], total);
        let mut with = decoded(&pair(total, LATHE, &said));
        let mut without = decoded(&(job(total), LATHE.to_owned()));
        for key in total.about().overrides {
            let part = all().find(|row| row.about().key == *key).expect("a row");
            assert!(part.find(&mut with.lathe, &mut with.job).is_none(), "{key}");
            assert!(
                part.find(&mut without.lathe, &mut without.job).is_some(),
                "{key}"
            );
        }
    }
}
