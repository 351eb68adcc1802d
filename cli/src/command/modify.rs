//! `tautway modify`: what changes would buy.

use std::path::Path;

use tautway_sim::advice::catalogue::changes;
use tautway_sim::advice::change::{Arrangement, Change, Effect, Undone};
use tautway_sim::advice::gain::Tryout;
use tautway_sim::compare::Way;
use tautway_sim::cut::Options;
use tautway_sim::scenario::Lathe;
use tautway_sim::study::{PER_TURN, RangeFault};
use tautway_sim::worth::{Before, holds};

use super::compare::read;
use super::predict::chosen;
use crate::answer::give;
use crate::answer::modify::Changed;
use crate::failure::{Failure, Verdict};
use crate::plan::Modify;
use crate::progress::Progress;
use crate::texts::{self, Read, Text};
use crate::{terminal, trials};
use tautway_screens::screen;
use tautway_screens::screen::Report;

/// Tries the changes and answers.
///
/// # Errors
/// When the files are not right, or the answer can't be written.
pub fn modify(args: &Modify) -> Result<Verdict, Failure> {
    let (read, units) = read(&args.job, &args.answer.to)?;
    let against = args
        .against
        .as_deref()
        .map(|path| other_lathe(&read, path))
        .transpose()?;
    let options = args.answer.options;
    let pool = &trials::pool(args.answer.threads)?;
    let way = chosen(&read.scenario, args.choice, options, pool)?;
    if let Some(why) = cannot(&way, units) {
        terminal::answer(&format!("NOTHING TO TRY: {why}\n"))?;
        return Ok(Verdict::NotMet);
    }
    let now = Arrangement {
        scenario: read.scenario.clone(),
        setup: way.setup,
        by_hand: false,
    };
    let options = Options {
        per_turn: PER_TURN,
        ..options
    };
    let fault = |fault: RangeFault| Failure::Input(fault.to_string());
    let list = match against {
        Some((lathe, _)) => vec![your_own(lathe)],
        None => {
            let _progress = Progress::start("looking for what applies");
            changes(&now, holds(&now, options).map_err(fault)?, options)
        }
    };
    let tryout = Tryout::new(&now, list, args.pairs, options).map_err(fault)?;
    let (cuts, stopped) = trials::each(
        args.answer.trials,
        pool,
        "trying the changes on lathes like this one",
        |numbers| tryout.trials(numbers),
    );
    let mut bought = tryout
        .bought(&cuts)
        .map_err(|why| Failure::Stopped(format!("too few lathes were tried: {why}")))?;
    if let (Some(expect), false) = (&way.expect, stopped) {
        let _progress = Progress::start("weighing what each change saves");
        let before = pool
            .install(|| Before::new(&now, expect, options))
            .map_err(fault)?;
        for (tried, change) in bought.tried.iter_mut().zip(&tryout.changes) {
            tried.saved = pool.install(|| before.saved(change)).map_err(fault)?;
        }
    }
    let report = Report {
        scenario: &read.scenario,
        way: &way,
        changes: &tryout.changes,
        bought: &bought,
        units,
        pairs: args.pairs,
        own: args.against.is_some(),
        stopped,
    };
    let document = screen::modify(&report, args.answer.detail);
    let changed = Changed {
        read: &read,
        report: &report,
        document,
    };
    give(&changed, args.answer.format, &args.answer.to, None)?;
    if stopped {
        return Err(Failure::Told);
    }
    Ok(Verdict::Done)
}

/// Why a way is nothing to start from.
fn cannot(way: &Way, units: tautway_sim::quantity::Units) -> Option<String> {
    if let Some(reason) = way.out.first() {
        return Some(format!(
            "this way can't be cut: {}. `tautway compare` tells the others.",
            reason.words(units)
        ));
    }
    way.forbidden.then(|| {
        "this way's preload is never to be used. Turn it round or take it off first; `tautway \
         preload` says how."
            .to_owned()
    })
}

/// The other lathe, with the job read for it.
fn other_lathe(read: &Read, path: &Path) -> Result<(Lathe, Text), Failure> {
    let text = Text::read(path)?;
    if !texts::is_lathe(&text) {
        return Err(Failure::Input(format!(
            "{} describes no lathe\n  help: --against wants a lathe file: copy {} and change in \
             it what you would change on the lathe",
            text.name, read.texts[1].name
        )));
    }
    let other =
        texts::decoded([read.texts[0].clone(), text.clone()]).map_err(|refused| refused.show())?;
    texts::show(&other.warnings, &other.texts);
    Ok((other.scenario.lathe, text))
}

fn your_own(lathe: Lathe) -> Change {
    Change {
        id: "your-own",
        words: lathe.name.clone(),
        does: "the lathe file given; what a file leaves open is assumed by its condition"
            .to_owned(),
        // Only the person knows how long it takes.
        minutes: 60.0,
        undone: Undone::WithWork,
        effects: vec![Effect::Lathe {
            lathe: Box::new(lathe),
        }],
    }
}
