//! How to hold the slide, in every form: text, JSON, CSV, and the directory with all of them and
//! the figure.

use serde_json::json;
use tautway_sim::advice::force_scan::{Band, ForcePoint};
use tautway_sim::advice::preload::PreloadAdvice;
use tautway_sim::quantity::Units;

use super::figures::WIDTH;
use super::json::{diagnostics, written};
use tautway_words::Document;

use super::of_file;
use crate::failure::Failure;
use crate::output::folder::{self, Sheet};
use crate::plan::{Format, Trying};
use crate::table::{self, Row, Scale, Scales};
use crate::terminal;
use crate::texts::Read;

/// Gives the answer as asked for: the directory first, so that nothing is told that then isn't
/// there.
///
/// # Errors
/// When something can't be written.
pub fn give(
    read: &Read,
    advice: &PreloadAdvice,
    document: &Document,
    units: Units,
    args: &Trying,
) -> Result<(), Failure> {
    if let Some(directory) = &args.to.out {
        let drawing = tautway_figures::preload(advice, units);
        let png = drawing
            .png(WIDTH)
            .map_err(|why| Failure::Stopped(format!("can't draw preload.png: {why}")))?;
        let sheets = [
            Sheet::new("report.txt", of_file(document)),
            Sheet::new("preload.json", as_json(read, advice, args)),
            Sheet::new("preload.csv", as_csv(advice, units)?),
            Sheet::new("preload.svg", drawing.svg),
            Sheet::new("preload.png", png),
        ];
        folder::give(directory, args.to.overwrite, &sheets)?;
    }
    match args.format {
        Format::Text => terminal::answer(&terminal::set(document)),
        Format::Json => terminal::answer(&as_json(read, advice, args)),
        Format::Csv => terminal::answer(&as_csv(advice, units)?),
    }
}

fn as_json(read: &Read, advice: &PreloadAdvice, args: &Trying) -> String {
    let cautions = tautway_sim::caution::holding(
        true,
        advice
            .advised
            .is_some_and(|force| force > tautway_sim::caution::PRELOAD_WARNED),
    );
    written(&json!({
        "version": env!("CARGO_PKG_VERSION"),
        "seed": args.options.seed,
        "units": "SI: m, N, Pa; a preload below 0 pushes into the cut and is never advised",
        "scenario": read.scenario,
        "diagnostics": diagnostics(&read.warnings, &read.texts),
        "needed": advice.is_needed(),
        "preload": advice,
        "cautions": cautions,
    }))
}

/// A row for each force of the scan.
fn as_csv(advice: &PreloadAdvice, units: Units) -> Result<String, Failure> {
    let scales = Scales::of(units);
    table::written(advice.scan.iter().map(|point| row(point, advice, &scales)))
}

fn row(point: &ForcePoint, advice: &PreloadAdvice, scales: &Scales) -> Row {
    let mut row = Row::default();
    row.number("preload_out_of_cut", scales.force, Some(point.force));
    row.flag("into_cut_never_used", Some(point.force < 0.0));
    row.flag(
        "in_window",
        Some((advice.window.least..=advice.window.most).contains(&point.force)),
    );
    row.word("trials", advice.trials.to_string());
    row.word("share_steady", point.steady.share.to_string());
    row.word("share_seated", point.seated.share.to_string());
    let mut band = |name: &str, scale: Scale, band: &Band| {
        row.number(&format!("{name}_mean"), scale, Some(band.mean));
        row.number(&format!("{name}_80_of_100_least"), scale, Some(band.low));
        row.number(&format!("{name}_80_of_100_most"), scale, Some(band.high));
    };
    band("seat_margin", scales.force, &point.seat_margin);
    band("left", scales.height, &point.left);
    band("waves", scales.height, &point.waves);
    row
}
