//! Every number from outside beside ours, and the table of them, `values.md` beside this file.
//!
//! `TAUTWAY_WRITE=1 cargo test -p tautway-sim --test all -- published` writes the table anew.

mod outside;

use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};

use outside::{Ours, Row, Table, every};
use tautway_sim::quantity::Quantity;
use tautway_sim::scenario::material::Material;

const HEAD: &str = "# Values from outside

Written by the test that recomputes them: `TAUTWAY_WRITE=1 cargo test -p tautway-sim --test all -- \
published`. Where it takes trials or a whole cut, the last two columns name the test that does, file \
and name. What is typed in the product and again in the test, with nothing worked out in between, stands \
apart at the end. Known: exact is a closed form or was computed independently; read, the source's text was \
read (the pages were not kept); unnamed, one was read that can't be found again; from memory, it was not at hand; common practice has no source.
";

fn tests() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/all")
}

const TYPED: &str = "Typed here and there: guards against a slip of the pen only";

const COLUMNS: &str =
    "| value | source | known | theirs | ours | difference |\n|---|---|---|---|---|---|";

fn is_typed(row: &Row) -> bool {
    matches!(row.ours, Ours::Typed(..))
}

fn line(row: &Row) -> String {
    let (what, source, how) = (&row.what, row.source, row.how.words());
    match &row.ours {
        Ours::Here(theirs, ours, digits)
        | Ours::Within(theirs, ours, digits, _)
        | Ours::Typed(theirs, ours, digits, _) => {
            let (d, off) = (*digits, ours - theirs);
            let off = if off.abs() < 1e-12 { 0.0 } else { off };
            let finer = d + 2;
            format!("| {what} | {source} | {how} | {theirs:.d$} | {ours:.finer$} | {off:.0e} |")
        }
        Ours::There(theirs, file, test) => {
            format!("| {what} | {source} | {how} | {theirs} | `{file}` | `{test}` |")
        }
    }
}

fn written(table: &Table) -> String {
    let mut page = HEAD.to_owned();
    for (title, rows) in &table.0 {
        let _ = writeln!(page, "\n{title}\n\n{COLUMNS}");
        for row in rows.iter().filter(|row| !is_typed(row)) {
            let _ = writeln!(page, "{}", line(row));
        }
    }
    let _ = writeln!(page, "\n{TYPED}\n\n{COLUMNS}");
    let typed = table.0.iter().flat_map(|(_, rows)| rows);
    for row in typed.filter(|row| is_typed(row)) {
        let _ = writeln!(page, "{}", line(row));
    }
    page
}

#[test]
fn every_value_that_is_recomputed_here_agrees() {
    let (mut rows, mut typed) = (0, 0);
    for row in every().0.iter().flat_map(|(_, rows)| rows) {
        rows += 1;
        typed += usize::from(is_typed(row));
        let (theirs, ours, within) = match &row.ours {
            Ours::Here(theirs, ours, digits) => {
                (theirs, ours, 0.501 * 10f64.powi(-(*digits as i32)))
            }
            Ours::Within(theirs, ours, _, within) | Ours::Typed(theirs, ours, _, within) => {
                (theirs, ours, *within)
            }
            Ours::There(..) => continue,
        };
        assert!(
            (theirs - ours).abs() <= within,
            "{}: {theirs} by {}, {ours} here",
            row.what,
            row.source
        );
    }
    assert!(rows > 110, "{rows} rows");
    // Typed numbers prove nothing: most are not.
    assert!(rows - typed > 100, "{rows} rows, {typed} of them typed");
}

#[test]
fn other_books_forces_lie_about_a_third_from_ours() {
    // A textbook's kc1.1 and exponents, from memory, and the catalogue's row of low-alloy steel at
    // 275 HB, at a chip of 0.2 mm. They are why each row carries 30 %.
    let at = |kc: f64, exponent: f64| kc * 0.2f64.powf(-exponent);
    for (name, kc, exponent) in [
        ("42CrMo4", 2500.0, 0.26),
        ("4140 30 HRC", 1675.0, 0.24),
        ("C45", 2220.0, 0.14),
        ("GJL-250", 1160.0, 0.26),
    ] {
        let row = Material::named(name).expect("a material");
        let force = row.specific_force();
        let over = at(kc, exponent) / at(force.middle.si() / 1e6, row.exponent);
        assert!((0.69..1.31).contains(&over), "{name}: {over}");
        assert!(force.high.si() > 1.25 * force.middle.si(), "{name}");
    }
}

#[test]
fn every_test_that_the_table_names_is_there() {
    for row in every().0.iter().flat_map(|(_, rows)| rows) {
        if let Ours::There(_, file, test) = row.ours {
            let text = fs::read_to_string(tests().join(format!("{file}.rs"))).expect(file);
            let head = format!("#[test]\nfn {test}()");
            assert!(text.contains(&head), "no {test} in {file}");
        }
    }
}

#[test]
fn the_table_beside_this_file_is_current() {
    let path = tests().join("published/values.md");
    let now = written(&every());
    if std::env::var_os("TAUTWAY_WRITE").is_some() {
        fs::write(&path, now).expect("it is written");
        return;
    }
    assert!(
        fs::read_to_string(&path).is_ok_and(|there| there == now),
        "not current: run this test with TAUTWAY_WRITE=1"
    );
}
