//! Tables of every command as any reader of CSV reads them: headings of one system, and the same
//! numbers with either decimal sign.

use std::collections::BTreeMap;

use crate::workshop::{Workshop, code, err};

/// Units that a heading ends in.
const UNITS: &[&str] = &[
    "in",
    "thou",
    "uin",
    "in_per_ft",
    "lbf",
    "lbf_per_thou",
    "lbf_per_in",
    "psi",
    "mm",
    "um",
    "mm_per_m",
    "N",
    "N_per_um",
    "N_per_mm",
    "bar",
    "deg",
    "percent",
    "ratio",
    "minutes",
];

/// Columns of counts and words.
const PLAIN: &[&str] = &[
    "rank",
    "rank_by_hour_of_its_kind",
    "trials",
    "seed",
    "version",
    "number",
    "trial",
    "luck",
    "passes",
    "seatings_by_hand",
    "side",
    "feed",
    "rotation",
    "tool_face",
    "pull",
    "method",
    "can_be_cut",
    "why_not",
    "forbidden",
    "drawing_met",
    "taper_met",
    "size_met",
    "waves_met",
    "depth_met",
    "lead_met",
    "seat",
    "seat_by_hand",
    "by_dial_steady",
    "behind_for",
    "cautions",
    "spring",
    "after_gauging",
    "change",
    "words",
    "undone",
    "into_cut_never_used",
    "in_window",
    "move",
    "made",
    "bears",
    "notices",
];

/// Every CSV that a command writes into a folder, in both systems of units.
const WRITES: &[&str] = &[
    "compare plug-cock.toml --trials 50",
    "compare pipe-nipple.toml --trials 50",
    "predict tapered-socket.toml --trials 50 --feed headstock",
    "preload tapered-socket.toml --trials 50",
    "modify plug-cock.toml --trials 50 --feed headstock",
    "rehearse reversal.moves",
];

/// The tables of a folder: heading and fields by the file's name.
fn tables(shop: &Workshop, folder: &str, delimiter: u8) -> BTreeMap<String, Vec<Vec<String>>> {
    let names = shop.names(folder);
    let tables = names.iter().filter(|name| name.ends_with(".csv"));
    tables
        .map(|name| {
            let text = shop.read(&format!("{folder}/{name}"));
            let mut reader = csv::ReaderBuilder::new();
            reader.delimiter(delimiter).has_headers(false);
            let rows = reader.from_reader(text.as_bytes()).into_records();
            let rows = rows.map(|row| {
                let row = row.unwrap_or_else(|why| panic!("{name}: {why}"));
                row.iter().map(str::to_owned).collect()
            });
            (name.clone(), rows.collect())
        })
        .collect()
}

fn unit(heading: &str) -> Option<&'static str> {
    let ends = |unit: &&&str| heading.ends_with(&format!("_{unit}"));
    UNITS
        .iter()
        .filter(ends)
        .max_by_key(|unit| unit.len())
        .copied()
}

#[test]
fn every_heading_ends_in_its_unit_and_both_decimal_signs_give_the_same_numbers() {
    let shop = Workshop::with_scenarios();
    let mut seen = 0;
    for (at, line) in WRITES.iter().enumerate() {
        let units = ["inch", "metric"][at % 2];
        let write = |folder: &str, decimal: &str| {
            let more = ["--folder", folder, "--units", units, "--decimal", decimal];
            let done = shop.run(&line.split(' ').chain(more).collect::<Vec<_>>());
            assert!(code(&done) < 2, "{line}: {}", err(&done));
        };
        let folders = [format!("point-{at}"), format!("comma-{at}")];
        write(&folders[0], "point");
        write(&folders[1], "comma");
        let (point, comma) = (
            tables(&shop, &folders[0], b','),
            tables(&shop, &folders[1], b';'),
        );
        assert!(!point.is_empty(), "{line}");
        assert!(point.keys().eq(comma.keys()), "{line}");
        for ((name, point), comma) in point.iter().zip(comma.values()) {
            let headings = &point[0];
            assert_eq!(headings, &comma[0], "{name}");
            assert_eq!(point.len(), comma.len(), "{name}");
            assert!(point.len() > 1, "{name} has no rows");
            for heading in headings {
                let lower =
                    heading.split('_').all(|word| !word.is_empty()) && !heading.contains(' ');
                assert!(lower, "{name}: {heading}");
                let own = heading
                    .strip_prefix("way_")
                    .and_then(|rest| rest.split_once('_'));
                let plain = PLAIN.contains(&own.map_or(heading.as_str(), |(_, own)| own));
                assert!(unit(heading).is_some() != plain, "{name}: {heading}");
            }
            for (point, comma) in point[1..].iter().zip(&comma[1..]) {
                for ((heading, point), comma) in headings.iter().zip(point).zip(comma) {
                    if unit(heading).is_none() {
                        assert_eq!(point, comma, "{name}: {heading}");
                        continue;
                    }
                    assert!(
                        !comma.contains('.') && !point.contains(','),
                        "{heading}: {comma}"
                    );
                    assert_eq!(*point, comma.replace(',', "."), "{name}: {heading}");
                    assert!(
                        point.is_empty() || point.parse::<f64>().is_ok(),
                        "{heading}: {point}"
                    );
                    seen += usize::from(point.contains('.'));
                }
            }
        }
    }
    assert!(seen > 500, "{seen} numbers with a sign");
}
