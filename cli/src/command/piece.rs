//! `tautway piece`: what a finished piece tells.

use schemars::JsonSchema;
use serde::Serialize;
use tautway_browser_engine::story::{Story, weigh};
use tautway_sim::piece::{Diagnosis, Look};
use tautway_sim::scenario::{decode_finished, finished};
use tautway_sim::setup::Setup;

use crate::answer::{Record, answered};
use crate::failure::{Failure, Verdict};
use crate::plan::{CheckFormat, Piece};
use crate::terminal;
use crate::texts::{self, Text};
use crate::trials::{PooledHands, pool};
use tautway_screens::screen::{self, Told};

/// What a finished piece tells.
#[derive(Serialize, JsonSchema)]
pub struct PieceTold<'a> {
    /// Of the luck: what every draw grows from.
    seed: u64,
    /// Pieces cut for each story.
    cuts: u64,
    /// The way it was cut.
    setup: Setup,
    /// What was read on it.
    piece: &'a finished::Piece,
    /// What its readings come to.
    fit: Option<finished::Fit>,
    /// What most likely made it so.
    diagnosis: &'a Diagnosis,
    /// The cheapest look that would tell more.
    look: Option<&'a Look>,
}

impl Record for PieceTold<'_> {
    const UNITS: &'static str = "SI: m; tapers as change of diameter over length";
}

/// Cuts the stories, holds the piece against them and tells.
///
/// # Errors
/// When the files are not right, or nothing was read on the piece.
pub fn piece(args: &Piece) -> Result<Verdict, Failure> {
    let text = Text::read(&args.file)?;
    let (piece, warnings) = decode_finished(text.source())
        .map_err(|found| texts::refused(&found, std::slice::from_ref(&text)))?;
    texts::show(&warnings, std::slice::from_ref(&text));
    let job = texts::job_of_piece(args.job.as_deref(), piece.job.as_deref(), &args.file)?;
    let read = texts::job(&job)?.map_err(|refused| refused.show())?;
    texts::show(&read.warnings, &read.texts);
    let scenario = &read.scenario;
    let pool = pool(args.threads)?;
    let Story {
        setup,
        diagnosis: found,
        look: next,
    } = weigh(scenario, &piece, args.cuts, args.seed, &PooledHands(&pool))?;
    let units = args.units.unwrap_or(scenario.job.units);
    terminal::answer(&match args.format {
        CheckFormat::Text => terminal::set(&screen::piece(&Told {
            scenario,
            setup: &setup,
            piece: &piece,
            found: &found,
            look: next.as_ref(),
            cuts: args.cuts,
            seed: args.seed,
            units,
        })),
        CheckFormat::Json => answered(PieceTold {
            seed: args.seed,
            cuts: args.cuts,
            setup,
            piece: &piece,
            fit: piece.fit(scenario),
            diagnosis: &found,
            look: next.as_ref(),
        }),
    })?;
    Ok(Verdict::Done)
}
