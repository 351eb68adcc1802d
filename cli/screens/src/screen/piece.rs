//! What a finished piece tells, on one screen.

use tautway_sim::caution::NOT_AN_INSPECTION;
use tautway_sim::piece::{Cause, Diagnosis, Fit, Look, Piece};
use tautway_sim::quantity::{Length, Quantity, Units};
use tautway_sim::scenario::Scenario;
use tautway_sim::setup::Setup;

use super::way::heading;
use super::words::{self, Tapers};
use tautway_words::Document;

/// Stories less likely than this are told in one line.
const UNLIKELY: f64 = 0.05;
/// A story's cuts worth less than this say little.
const FEW: f64 = 5.0;

/// What is told.
pub struct Told<'a> {
    /// Lathe and job.
    pub scenario: &'a Scenario,
    /// How it was cut.
    pub setup: &'a Setup,
    /// What was gauged.
    pub piece: &'a Piece,
    /// What it tells.
    pub found: &'a Diagnosis,
    /// What would tell the first two apart.
    pub look: Option<&'a Look>,
    /// Cuts of each story.
    pub cuts: u64,
    /// Seed.
    pub seed: u64,
    /// The person's units.
    pub units: Units,
}

/// The screen.
pub fn piece(told: &Told<'_>) -> Document {
    let (scenario, found, units) = (told.scenario, told.found, told.units);
    let mut page = Document::new();
    heading(&mut page, scenario, units);
    page.say("Cut:", format!("{}.", words::way(told.setup)));
    if let Some(fit) = told.piece.fit(scenario) {
        page.say("Taper:", taper(told, &fit));
        page.say("Size:", size(told, &fit));
    }
    page.gap();
    let met = found.met.is_some_and(|met| met > 0.5);
    let sound = found.causes.first();
    let sound = sound.filter(|first| met && first.cause == Cause::AsDescribed && found.near);
    if let Some(sound) = sound {
        page.say(
            "SOUND:",
            format!(
                "it meets the drawing and nothing on it is odd ({}).",
                share(sound.probability)
            ),
        );
        page.lead("If something is out of order all the same:");
    } else if found.near {
        page.lead("MOST LIKELY:");
    } else {
        page.say(
            "NONE OF THESE FITS WELL:",
            format!(
                "the nearest piece made on the model misses the readings by {:.0} times what gauges \
                 and model may be off. Look at the readings again; more than one thing may be out \
                 of order. The least unlikely:",
                found.misses
            ),
        );
    }
    let (likely, rest): (Vec<_>, Vec<_>) = found
        .causes
        .iter()
        .enumerate()
        .partition(|(place, story)| *place == 0 || story.probability >= UNLIKELY);
    for (_, story) in likely.iter().skip(usize::from(sound.is_some())) {
        let few = if story.effective < FEW {
            " (few of its pieces came near: more --trials would say it better)"
        } else {
            ""
        };
        page.item(format!(
            "{}: {}. {}.{few}",
            share(story.probability),
            story.cause.words(),
            words::capital(story.cause.mend())
        ));
    }
    if !rest.is_empty() {
        let all: f64 = rest.iter().map(|(_, story)| story.probability).sum();
        page.item(format!("the other {} together: {}", rest.len(), share(all)));
    }
    page.gap();
    if likely.len() > 1
        && let Some(look) = told.look
    {
        page.say(
            "To tell the first two apart:",
            format!("{} (about {} min).", look.what, look.minutes.round()),
        );
    }
    page.say(
        "How sure:",
        format!(
            "{} pieces with each cause were cut on lathes like the one you described, {}. Two \
             causes at once are not among them; a climbing guide is taken as a bowed one.",
            told.cuts,
            if met {
                "a lathe in order counted as much as all causes together, as the piece meets the \
                 drawing"
            } else {
                "causes counted equal"
            }
        ),
    );
    page.say(
        "Next:",
        "`tautway lathe learn` reads the same file and narrows the lathe's numbers.",
    );
    page.gap();
    page.say(
        "Note:",
        format!(
            "{NOT_AN_INSPECTION} (tautway {}, seed {})",
            env!("CARGO_PKG_VERSION"),
            told.seed
        ),
    );
    page
}

fn taper(told: &Told<'_>, fit: &Fit) -> String {
    let work = &told.scenario.job.work;
    let tapers = Tapers::of(told.scenario, told.units);
    let off = fit.taper.value - work.taper.si();
    let (lower, upper) = (work.tolerance.lower.si(), work.tolerance.upper.si());
    let verdict = if off - fit.taper.off >= lower && off + fit.taper.off <= upper {
        "inside the drawing's"
    } else if off + fit.taper.off < lower || off - fit.taper.off > upper {
        "outside the drawing's"
    } else {
        "not proven either way against the drawing's"
    };
    format!(
        "{} +- {} on diameter, from {} diameters: {verdict} {}.",
        tapers.show(fit.taper.value),
        tapers.difference(fit.taper.off),
        told.piece.diameters.len(),
        tapers.band(&work.tolerance)
    )
}

fn size(told: &Told<'_>, fit: &Fit) -> String {
    let work = &told.scenario.job.work;
    let off = fit.diameter.value - work.diameter.si();
    let verdict = work.size_tolerance.as_ref().map_or("", |band| {
        if off - fit.diameter.off >= band.lower.si() && off + fit.diameter.off <= band.upper.si() {
            ": inside its tolerance"
        } else if off + fit.diameter.off < band.lower.si()
            || off - fit.diameter.off > band.upper.si()
        {
            ": outside its tolerance"
        } else {
            ": not proven against its tolerance"
        }
    });
    let signed = if off < 0.0 { "under" } else { "over" };
    format!(
        "{} +- {} at the gauge plane, {} {signed} {}{verdict}.",
        words::height(fit.diameter.value, told.units),
        words::height(fit.diameter.off, told.units),
        words::height(off, told.units),
        Length::from_si(work.diameter.si()).show(told.units),
    )
}

fn share(probability: f64) -> String {
    match 100.0 * probability {
        most if most > 99.0 => "more than 99 in 100".to_owned(),
        least if least < 1.0 => "less than 1 in 100".to_owned(),
        share => format!("{share:.0} in 100"),
    }
}
