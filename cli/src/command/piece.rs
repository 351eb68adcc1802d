//! `tautway piece`: what a finished piece tells.

use serde_json::json;
use tautway_browser_engine::story::{Story, weigh};
use tautway_sim::scenario::decode_finished;

use crate::failure::{Failure, Verdict};
use crate::plan::{CheckFormat, Piece};
use crate::terminal;
use crate::texts::{self, Text};
use crate::trials::{PooledHands, pool};
use tautway_screens::screen::{self, Told};

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
        CheckFormat::Json => {
            let value = json!({
                "version": env!("CARGO_PKG_VERSION"),
                "seed": args.seed,
                "cuts": args.cuts,
                "units": "SI: m; tapers as change of diameter over length",
                "setup": setup,
                "piece": piece,
                "fit": piece.fit(scenario),
                "diagnosis": found,
                "look": next,
            });
            format!("{value:#}\n")
        }
    })?;
    Ok(Verdict::Done)
}
