//! The bench as a part of an HTML file: two cuts to be touched, with job, lathe, record and engine.
//!
//! The first picture is drawn from the record written here; the engine in the file takes over when
//! a knob is turned. Without a script two still figures remain.
//!
//! A lesson holds it in a shadow root, so that neither page's look touches the other's.

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use maud::{Markup, PreEscaped, html};
use serde_json::{Value, json};
use tautway_browser_engine::asked::{SideOfWork, Turning};
use tautway_browser_engine::bench::Bench;
use tautway_figures::Drawing;
use tautway_screens::screen;
use tautway_sim::cut::Options;
use tautway_sim::quantity::Units;
use tautway_sim::record::Run;
use tautway_sim::scenario::Scenario;
use tautway_sim::setup::Setup;

use crate::texts::Text;

/// Its look.
pub const LOOK: &str = include_str!("assets/bench.css");
/// The scripts, in the order in which one needs the other.
const SCRIPTS: [&str; 18] = [
    include_str!("assets/record.js"),
    include_str!("assets/ink.js"),
    include_str!("assets/plan.js"),
    include_str!("assets/forces.js"),
    include_str!("assets/edge.js"),
    include_str!("assets/says.js"),
    include_str!("assets/engine.js"),
    include_str!("assets/state.js"),
    include_str!("assets/bench.js"),
    include_str!("assets/stills.js"),
    include_str!("assets/menu.js"),
    include_str!("assets/pool.js"),
    include_str!("assets/answers.js"),
    include_str!("assets/forms.js"),
    include_str!("assets/filled.js"),
    include_str!("assets/files.js"),
    include_str!("assets/work.js"),
    include_str!("assets/main.js"),
];
/// What runs in a worker.
const WORKER: &str = include_str!("assets/worker.js");
/// The engine, gzipped; `cli/engine/make` makes it.
const ENGINE: &[u8] = include_bytes!("../../engine/kept/engine.wasm.gz");

/// What a page with the bench in it may load and run.
pub const POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline' \
                          'wasm-unsafe-eval' blob:; worker-src blob:; img-src data:";

/// Two still figures: the surfaces, and the first cut with its forces.
pub fn drawings(run: &[&Run], units: Units) -> Vec<Drawing> {
    let named: Vec<_> = run
        .iter()
        .map(|run| (screen::name_of(&run.setup), *run))
        .collect();
    let first = run.first().map(|first| {
        [
            tautway_figures::surfaces(&named, units),
            tautway_figures::cut_beside(first, run, units),
        ]
    });
    first.into_iter().flatten().collect()
}

/// The same on a page.
pub fn figures(run: &[&Run], units: Units) -> Markup {
    shown(&drawings(run, units))
}

/// Drawings on a page.
pub fn shown(drawings: &[Drawing]) -> Markup {
    html! { @for drawing in drawings { (PreEscaped(&drawing.lettered)) } }
}

/// What a page begins with that has no picture: the texts alone.
pub fn bare([job, lathe]: &[Text; 2], seed: u64) -> Value {
    json!({
        "names": [job.file_name(), lathe.file_name()],
        "job": job.text,
        "lathe": lathe.text,
        "side": SideOfWork::Front,
        "rotation": Turning::Forward,
        "seed": seed,
    })
}

/// What the picture begins with: the texts, the way and the record.
pub fn begun(
    job: &Text,
    lathe: &Text,
    scenario: &Scenario,
    setup: &Setup,
    options: Options,
) -> Value {
    json!({
        "names": [job.file_name(), lathe.file_name()],
        "job": job.text,
        "lathe": lathe.text,
        "side": SideOfWork::from(setup.side),
        "rotation": Turning::from(setup.rotation),
        "seed": options.seed,
        "bench": Bench::new(scenario, setup, None, options),
    })
}

/// When a bench that is a part of another page begins.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Begins {
    /// When it gets the event `guessed`; it tells nothing of what comes till then.
    Guessed,
    /// When the fold is opened that it stands in.
    Opened,
}

/// Its place as a part of another page; what is in it is seen where no scripts run.
pub fn place(begins: Begins, still: Markup) -> Markup {
    let waits = begins == Begins::Guessed;
    html! { div id="bench" data-part data-waits[waits] { (still) } }
}

/// The place of one more bench of the same record, in a fold: the knob in hand, and what is turned
/// to begin with.
pub fn one_more(id: &str, knob: &str, set: &[(&str, String)]) -> Markup {
    let set = (!set.is_empty()).then(|| json!(set).to_string());
    html! { div id=(id) data-part data-knob=(knob) data-set=[set] {} }
}

/// What moves it there.
pub fn part(record: &Value) -> Markup {
    let look = LOOK.replace(":root", ":host");
    html! {
        script type="text/plain" id="bench-look" { (PreEscaped(look)) }
        (moving(record))
    }
}

/// The face of the figures, so that the bench among them has the same letters.
pub fn letters() -> String {
    let face = |weight: &str, face: &[u8]| {
        format!(
            "@font-face {{ font-family: \"DejaVu Sans\"; font-weight: {weight}; src: \
             url(data:font/ttf;base64,{}); }}\n",
            STANDARD.encode(face)
        )
    };
    let [plain, bold] = tautway_figures::FACES;
    face("400", plain) + &face("700", bold)
}

/// Record, engine and scripts.
pub fn moving(record: &Value) -> Markup {
    html! {
        (data("record", record))
        script type="application/gzip" id="engine" { (STANDARD.encode(ENGINE)) }
        script type="text/plain" id="worker" { (PreEscaped(WORKER)) }
        script type="module" { (PreEscaped(scripts())) }
    }
}

/// A value for the scripts; nothing in it ends the element.
fn data(id: &str, value: &Value) -> Markup {
    let text = value.to_string().replace('<', "\\u003c");
    html! { script type="application/json" id=(id) { (PreEscaped(text)) } }
}

/// Whether a line of a script is for those who read the source alone.
fn is_comment(line: &str) -> bool {
    let line = line.trim();
    let whole = line.starts_with("/**") && (!line.contains("*/") || line.ends_with("*/"));
    whole || line.starts_with("//") || line.starts_with("* ") || line == "*/"
}

/// The scripts as one.
fn scripts() -> String {
    SCRIPTS
        .iter()
        .flat_map(|script| script.lines())
        .filter(|line| !line.starts_with("import ") && !is_comment(line))
        .map(|line| line.strip_prefix("export ").unwrap_or(line).to_owned() + "\n")
        .collect()
}
