//! `tautway modify`: what changes would buy.

use std::path::Path;

use tautway_browser_engine::change::{Changed, cannot, weigh};
use tautway_sim::advice::change::{Change, Effect, Undone};
use tautway_sim::scenario::Lathe;

use super::compare::read;
use super::predict::chosen;
use crate::answer::give;
use crate::answer::modify;
use crate::failure::{Failure, Verdict};
use crate::plan::{Format, Modify};
use crate::texts::{self, Read, Text};
use crate::trials::PooledHands;
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
    if let Some([why, help]) = cannot(&way, units) {
        if args.answer.format != Format::Text {
            let refused = format!("NOTHING TO TRY: {why}\n  help: {help}");
            return Err(Failure::Nothing(refused));
        }
        terminal::answer(&format!("NOTHING TO TRY: {why}. {help}.\n"))?;
        return Ok(Verdict::NotMet);
    }
    let own = against.map(|(lathe, _)| your_own(lathe));
    let lathes = (args.answer.trials, args.pairs);
    let Changed {
        changes,
        bought,
        stopped,
    } = weigh(
        &read.scenario,
        &way,
        own,
        lathes,
        options,
        &PooledHands(pool),
    )?;
    let report = Report {
        scenario: &read.scenario,
        way: &way,
        changes: &changes,
        bought: &bought,
        units,
        pairs: args.pairs,
        own: args.against.is_some(),
        stopped,
    };
    let document = screen::modify(&report, args.answer.detail);
    let changed = modify::Changed {
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
