//! One question of the page: the texts with the knobs turned, read, refused where they are not
//! right, run.

use rayon::ThreadPool;
use serde::{Deserialize, Serialize};
use serde_json::{Value, json};
use tautway_sim::compare::{Way, compare_with, way};
use tautway_sim::cut::{self, Options};
use tautway_sim::feasibility::reasons;
use tautway_sim::quantity::{Length, Quantity, Units};
use tautway_sim::scenario::{
    AttachmentKind, Diagnostic, PreloadSource, Scenario, Severity, StartSurface, decode,
};
use tautway_sim::setup::{Feed, Rotation, Setup, Side};
use toml_edit::DocumentMut;

use super::answer::{Answered, First};
use super::assets::Texts;
use super::controls::{CONTROLS, Control, File, Shown};
use crate::answer::json;
use crate::diagnostics;
use crate::plan::Choice;
use crate::texts::Text;
use tautway_browser_engine::edit;

/// Turns of the spindle in one way that a live page waits for: some half a second.
const TURNS: f64 = 60_000.0;
/// Slack that the page takes at most, m.
const LOOSEST: f64 = 0.25;
/// Longest name of a text, bytes.
const NAME: usize = 200;

/// A text as the page sends it.
#[derive(Clone, Debug, Deserialize, Serialize, PartialEq, Eq, Hash)]
#[serde(deny_unknown_fields)]
pub struct Sheet {
    name: String,
    text: String,
}

/// What the page asks.
#[derive(Clone, Debug, Deserialize, PartialEq, Eq, Hash)]
#[serde(deny_unknown_fields)]
pub struct Question {
    job: Sheet,
    lathe: Sheet,
    /// Controls turned, in order: name and text.
    #[serde(default)]
    set: Vec<(String, String)>,
    /// Which way is looked at; open is the best.
    #[serde(default)]
    side: Option<String>,
    #[serde(default)]
    feed: Option<String>,
    #[serde(default)]
    rotation: Option<String>,
    /// Start so far before the taper instead of as far as needed.
    #[serde(default)]
    start: Option<String>,
    #[serde(default)]
    seed: Seed,
}

/// Which luck: a whole number, or what was typed for one.
#[derive(Clone, Debug, Deserialize, PartialEq, Eq, Hash)]
#[serde(untagged)]
enum Seed {
    Number(u64),
    Typed(String),
}

impl Default for Seed {
    fn default() -> Self {
        Self::Number(1)
    }
}

impl Seed {
    fn read(&self) -> Result<u64, String> {
        match self {
            Self::Number(number) => Ok(*number),
            Self::Typed(text) if text.trim().is_empty() => Ok(1),
            Self::Typed(text) => text
                .trim()
                .parse()
                .map_err(|_| format!("{:?} is no whole number from 0 on", text.trim())),
        }
    }
}

/// A question that can't be answered, and why.
#[derive(Debug)]
pub struct Senseless(pub String);

/// What was read, with the knobs turned.
pub struct Asked {
    texts: Texts,
    scenario: Option<Scenario>,
    found: Vec<Diagnostic>,
    choice: Choice,
    options: Options,
    /// What is no key of the two texts and can't be read: its control and why.
    beside: Vec<(&'static str, String)>,
}

fn word<T: Copy>(
    given: Option<&String>,
    what: &str,
    words: &[(&str, T)],
) -> Result<Option<T>, Senseless> {
    let Some(given) = given.filter(|given| !given.is_empty()) else {
        return Ok(None);
    };
    let found = words.iter().find(|(word, _)| word == given);
    found
        .map(|(_, means)| Some(*means))
        .ok_or_else(|| Senseless(format!("there is no such {what}")))
}

impl Question {
    /// Turns the knobs and reads the texts.
    ///
    /// # Errors
    /// A question that no page asks: an unknown control, a name without end.
    pub fn read(self) -> Result<Asked, Senseless> {
        let choice = Choice {
            side: word(
                self.side.as_ref(),
                "side",
                &[("front", Side::Front), ("rear", Side::Rear)],
            )?,
            feed: word(
                self.feed.as_ref(),
                "feed",
                &[
                    ("headstock", Feed::Headstock),
                    ("tailstock", Feed::Tailstock),
                ],
            )?,
            rotation: word(
                self.rotation.as_ref(),
                "rotation",
                &[
                    ("forward", Rotation::Forward),
                    ("reverse", Rotation::Reverse),
                ],
            )?,
        };
        let named = |sheet: Sheet, or: &str| {
            let name = sheet.name.trim();
            let fits = !name.is_empty() && name.len() <= NAME;
            Text {
                name: if fits { name } else { or }.to_owned(),
                text: sheet.text,
            }
        };
        let mut job = named(self.job, "job.toml");
        let mut lathe = named(self.lathe, "lathe.toml");
        if job.name == lathe.name {
            lathe.name = format!("lathe of {}", job.name);
        }
        if !self.set.is_empty() {
            turn(&mut job, &mut lathe, &self.set)?;
        }
        let start = match self.start.as_deref().map(str::trim) {
            None | Some("") => Ok(None),
            Some(text) => crate::typed::run_in(text).map(Some),
        };
        let seed = self.seed.read();
        let mut beside = Vec::new();
        let mut wrong = |control, why: Option<&String>| {
            beside.extend(why.map(|why| (control, why.clone())));
        };
        wrong("start", start.as_ref().err());
        wrong("seed", seed.as_ref().err());
        let (scenario, mut found) = match decode(job.source(), lathe.source()) {
            Ok((scenario, warnings)) => (Some(scenario), warnings),
            Err(found) => (None, found),
        };
        let beyond = scenario
            .as_ref()
            .and_then(|s| too_long(s, &job).or_else(|| too_loose(s, &lathe)));
        let scenario = scenario.filter(|_| beyond.is_none());
        found.extend(beyond);
        Ok(Asked {
            options: Options {
                seed: seed.unwrap_or(1),
                run_in: start.ok().flatten().map(Quantity::si),
                ..Options::default()
            },
            texts: Texts { job, lathe },
            scenario,
            found,
            choice,
            beside,
        })
    }
}

/// A cut of so many turns that the page would stand still.
fn too_long(scenario: &Scenario, job: &Text) -> Option<Diagnostic> {
    let passes = &scenario.job.passes;
    let length = scenario.job.work.length.si();
    let stock = match scenario.job.work.start {
        StartSurface::Straight { .. } | StartSurface::Tapered { .. } => {
            let (big, small) = scenario.job.work.end_diameters();
            0.5 * (big.si() - small.si()).abs() + 0.5 * scenario.job.work.diameter.si()
        }
        StartSurface::Roughed { stock } => stock.si(),
    };
    let roughing = (stock / passes.rough.si()).ceil() + 6.0;
    let finishing = passes.finish.len() as f64 + f64::from(passes.spring);
    let turns = length * (roughing / passes.rough_feed.si() + finishing / passes.feed.si());
    (turns > TURNS || turns.is_nan()).then(|| Diagnostic {
        severity: Severity::Error,
        file: job.name.clone(),
        span: edit::span(&job.text, &["work", "length"]).unwrap_or(0..0),
        message: format!("a cut of {turns:.0} turns of the spindle is too long for the live page"),
        label: "so long, at this feed and with so many passes".to_owned(),
        hint: "feed faster, rough deeper, or run it with `tautway compare`".to_owned(),
    })
}

/// A slack longer than the machine, which leaves the run-in without an end.
fn too_loose(scenario: &Scenario, lathe: &Text) -> Option<Diagnostic> {
    let attachment = &scenario.lathe.attachment;
    let slacks = [
        ("slack", attachment.total_slack.as_ref()),
        ("shoe_slack", Some(&attachment.shoe_slack)),
        ("thrust_slack", Some(&attachment.thrust_slack)),
        ("nut_slack", Some(&attachment.nut_slack)),
        ("foot_slack", Some(&attachment.foot_slack)),
    ];
    let (key, _) = slacks
        .into_iter()
        .find(|(_, slack)| slack.is_some_and(|slack| slack.high.si() > LOOSEST))?;
    Some(Diagnostic {
        severity: Severity::Error,
        file: lathe.name.clone(),
        span: edit::span(&lathe.text, &["attachment", key]).unwrap_or(0..0),
        message: format!("`attachment.{key}` is more than any lathe has"),
        label: "this would be longer than the slide".to_owned(),
        hint: "write what test 1 (reversal) or test 3 (parts) gives, such as \"0.060 in\""
            .to_owned(),
    })
}

/// Turns knobs in the texts; a text that isn't TOML stays as it is, and is told of as such.
fn turn(job: &mut Text, lathe: &mut Text, set: &[(String, String)]) -> Result<(), Senseless> {
    let mut documents = [&job.text, &lathe.text].map(|text| text.parse::<DocumentMut>().ok());
    let units = match decode(job.source(), lathe.source()) {
        Ok((scenario, _)) => scenario.job.units,
        Err(_) => Units::Inch,
    };
    for (id, text) in set {
        let text = text.trim();
        match (id.as_str(), &mut documents) {
            ("slack-by", [_, Some(document)]) => {
                let scenario = decode(job.source(), lathe.source()).ok().map(|read| read.0);
                if let Some(scenario) = scenario {
                    slack_by(document, &scenario, text == "parts", units);
                }
            }
            ("preload-by", [Some(document), _]) => preload_by(document, text, units),
            ("slack-by" | "preload-by", _) => {}
            _ => {
                let control =
                    Control::find(id).ok_or_else(|| Senseless(format!("no control {id:?}")))?;
                let at = usize::from(control.file == File::Lathe);
                let Some(document) = &mut documents[at] else {
                    continue;
                };
                if text.is_empty() {
                    edit::remove(document, control.path);
                } else {
                    edit::put(document, control.path, text);
                }
                if control.file == File::Lathe {
                    // It is no longer what a test gave.
                    edit::remove(document, &[&["measured"], control.path].concat());
                }
            }
        }
    }
    let [new_job, new_lathe] = documents;
    for (text, document) in [(job, new_job), (lathe, new_lathe)] {
        if let Some(document) = document {
            text.text = document.to_string();
        }
    }
    Ok(())
}

/// Says the slack by its parts instead of as a whole, or the other way, the whole being the same.
fn slack_by(document: &mut DocumentMut, scenario: &Scenario, parts: bool, units: Units) {
    let attachment = &scenario.lathe.attachment;
    let each = [
        ("shoe_slack", &attachment.shoe_slack),
        ("thrust_slack", &attachment.thrust_slack),
        ("nut_slack", &attachment.nut_slack),
    ];
    // A plain attachment has the shoe alone.
    let each = match attachment.kind {
        AttachmentKind::Telescoping => &each[..],
        AttachmentKind::Plain => &each[..1],
    };
    let sum: f64 = each.iter().map(|(_, part)| part.si()).sum();
    let show = |si: f64| Length::from_si(si).show(units);
    match (&attachment.total_slack, parts) {
        (Some(total), true) => {
            for (key, part) in each {
                let share = if sum > 0.0 {
                    part.si() / sum
                } else {
                    1.0 / each.len() as f64
                };
                edit::put(document, &["attachment", key], &show(share * total.si()));
            }
            edit::remove(document, &["attachment", "slack"]);
        }
        (None, false) => edit::put(document, &["attachment", "slack"], &show(sum)),
        _ => {}
    }
}

/// Takes the preload off, or puts a weight or a cylinder on, toward the side that holds a front
/// tool out of the cut until somebody says otherwise.
fn preload_by(document: &mut DocumentMut, by: &str, units: Units) {
    let toward = edit::get(document, &["preload", "toward"]);
    edit::remove(document, &["preload"]);
    let outside = edit::get(document, &["work", "kind"]).is_some_and(|kind| kind == "outside");
    let out = if outside {
        "toward the operator"
    } else {
        "away from the operator"
    };
    let inch = units == Units::Inch;
    let mut put = |path: &[&str], text: &str| edit::put(document, path, text);
    match by {
        "weight" => {
            put(&["preload", "toward"], toward.as_deref().unwrap_or(out));
            put(
                &["preload", "weight"],
                if inch { "40 lbf" } else { "180 N" },
            );
        }
        "air" => {
            put(&["preload", "toward"], toward.as_deref().unwrap_or(out));
            let bore = if inch { "1-1/16 in" } else { "25 mm" };
            put(&["preload", "cylinder", "bore"], bore);
            let pressure = if inch { "60 psi" } else { "4 bar" };
            put(&["preload", "cylinder", "pressure"], pressure);
        }
        _ => {}
    }
}

impl Asked {
    /// What can be run: nothing where texts or knobs are not right.
    fn scenario(&self) -> Option<&Scenario> {
        self.scenario.as_ref().filter(|_| self.beside.is_empty())
    }

    /// The setups that the choice leaves.
    fn admitted(&self, scenario: &Scenario) -> Vec<Setup> {
        let work = &scenario.job.work;
        Setup::all(work.kind, work.big_end)
            .into_iter()
            .filter(|setup| setup.cuts() && self.choice.admits(setup))
            .collect()
    }

    /// Runs one way alone, the first that was chosen and can be cut.
    pub fn first(&self) -> Option<First> {
        let scenario = self.scenario()?.clone();
        let options = self.options;
        let out = |setup: &Setup| {
            let (_, approach) = cut::approach(&scenario, setup, options);
            reasons(&scenario, setup, &approach)
        };
        let admitted = self.admitted(&scenario);
        let can = admitted.iter().find(|setup| out(setup).is_empty());
        let setup = *can.or(admitted.first())?;
        let way = alone(&scenario, setup, options);
        Some(First {
            scenario,
            options,
            way,
        })
    }

    /// Runs every way, and the one looked at; `None` where the texts are not right, or when nobody
    /// listens any more. The threads change nothing but the time it takes.
    pub fn run(
        &self,
        pool: &ThreadPool,
        listening: &(dyn Fn() -> bool + Sync),
    ) -> Option<Answered> {
        let scenario = self.scenario()?.clone();
        let options = self.options;
        let go_on = |_, _| listening();
        let comparison = pool.install(|| compare_with(&scenario, options, &go_on))?;
        let first = comparison.ways.first()?.setup;
        let setup = if self.choice.is_open() {
            first
        } else {
            comparison.best_of(&self.admitted(&scenario))?
        };
        let ran = comparison.ways.iter().find(|way| way.setup == setup);
        let chosen = ran
            .cloned()
            .unwrap_or_else(|| alone(&scenario, setup, options));
        let is_best = comparison
            .best()
            .is_some_and(|best| best.setup == chosen.setup);
        Some(Answered {
            scenario,
            options,
            comparison,
            chosen,
            is_best,
        })
    }

    /// The answer as the page wants it.
    pub fn told(&self, answer: Option<Value>) -> Value {
        let both = [self.texts.job.clone(), self.texts.lathe.clone()];
        let sources = both.each_ref().map(Text::source);
        let document = |text: &Text| text.text.parse::<DocumentMut>().ok();
        let documents = both.each_ref().map(document);
        let units = self.scenario.as_ref().map_or(Units::Inch, |s| s.job.units);
        let controls: Vec<Shown> = CONTROLS
            .iter()
            .map(|control| {
                let at = usize::from(control.file == File::Lathe);
                control.shown(documents[at].as_ref(), self.scenario.as_ref(), units)
            })
            .collect();
        let mut faults: Vec<Value> = json::diagnostics(&self.found, &both)
            .as_array()
            .cloned()
            .unwrap_or_default();
        for (fault, diagnostic) in faults.iter_mut().zip(&self.found) {
            fault["control"] = json!(self.control_at(diagnostic));
        }
        for (control, words) in &self.beside {
            faults.push(json!({
                "severity": "error", "control": control, "message": words, "hint": "",
            }));
        }
        json!({
            "version": env!("CARGO_PKG_VERSION"),
            "job": { "name": both[0].name, "text": both[0].text },
            "lathe": { "name": both[1].name, "text": both[1].text },
            "units": units,
            "controls": controls,
            "slack_by": self.scenario.as_ref().map(|s| match s.lathe.attachment.total_slack {
                Some(_) => "total",
                None => "parts",
            }),
            "attachment": self.scenario.as_ref().map(|s| s.lathe.attachment.kind),
            "preload_by": self.scenario.as_ref().map(preload_kind),
            "faults": faults,
            "drawn": diagnostics::render(&self.found, &sources, false),
            "answer": answer,
        })
    }

    /// The control whose value a fault points at.
    fn control_at(&self, fault: &Diagnostic) -> Option<&'static str> {
        let text = |file| match file {
            File::Job => &self.texts.job,
            File::Lathe => &self.texts.lathe,
        };
        CONTROLS
            .iter()
            .filter(|control| text(control.file).name == fault.file)
            .find(|control| {
                edit::span(&text(control.file).text, control.path)
                    .is_some_and(|at| at.start <= fault.span.start && fault.span.start < at.end)
            })
            .map(|control| control.id)
    }
}

/// One way by itself.
fn alone(scenario: &Scenario, setup: Setup, options: Options) -> Way {
    let (_, approach) = cut::approach(scenario, &setup, options);
    let out = reasons(scenario, &setup, &approach);
    way(scenario, setup, Vec::new(), out, options)
}

fn preload_kind(scenario: &Scenario) -> &'static str {
    match scenario.job.preload.as_ref().map(|preload| &preload.source) {
        None => "none",
        Some(PreloadSource::Constant(_)) => "weight",
        Some(PreloadSource::Cylinder { .. }) => "air",
        Some(PreloadSource::Spring { .. }) => "spring",
    }
}
