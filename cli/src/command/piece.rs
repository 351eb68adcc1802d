//! `tautway piece`: what a finished piece tells.

use rayon::prelude::*;
use serde_json::json;
use tautway_sim::piece::{Bank, Cause, Cut, diagnose, look};
use tautway_sim::scenario::decode_finished;

use crate::failure::{Failure, Verdict};
use crate::plan::{CheckFormat, Piece};
use crate::progress::Progress;
use crate::texts::{self, Text};
use crate::trials::pool;
use crate::{interrupt, terminal};
use tautway_screens::screen::{self, Told};

/// Cuts between two looks at whether to stop.
const BLOCK: usize = 50;

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
    let setup = piece
        .gauged
        .way(scenario)
        .ok_or_else(|| Failure::Input("no such way can cut this work".to_owned()))?;
    let bank = Bank::new(scenario, setup, &piece, args.seed)
        .map_err(|fault| Failure::Input(fault.to_string()))?;
    let wanted: Vec<(Cause, u64)> = bank
        .causes()
        .flat_map(|cause| (1..=args.cuts).map(move |number| (cause, number)))
        .collect();
    let mut cuts: Vec<Cut> = Vec::with_capacity(wanted.len());
    {
        let progress = Progress::start("cutting pieces with one trouble each");
        let pool = pool(args.threads)?;
        let _gently = interrupt::gently();
        for block in wanted.chunks(BLOCK) {
            if interrupt::asked() {
                return Err(Failure::Stopped(format!(
                    "stopped after {} of {} pieces: nothing can be told from a part of the stories",
                    cuts.len(),
                    wanted.len()
                )));
            }
            let made: Vec<Cut> = pool.install(|| {
                block
                    .par_iter()
                    .map(|&(cause, number)| bank.cut(cause, number))
                    .collect()
            });
            cuts.extend(made);
            progress.tell(format!(
                "cutting pieces with one trouble each, {} of {}",
                cuts.len(),
                wanted.len()
            ));
        }
    }
    let Some(found) = diagnose(scenario, &setup, &piece, &cuts) else {
        return Err(Failure::Input(
            "nothing was gauged on the piece\n  help: `tautway help piece` shows such a file"
                .to_owned(),
        ));
    };
    let next = look(&found, &cuts);
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
