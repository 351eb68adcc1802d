//! The knobs of the page: which key of which text each one turns, in whose units, how far.

use serde::Serialize;
use tautway_sim::quantity::{INCH, INCHES_PER_FOOT, LBF, PSI, Quantity, Units};
use tautway_sim::scenario::material::MATERIALS;
use tautway_sim::scenario::{Known, Origin, PreloadSource, Scenario};
use toml_edit::DocumentMut;

use tautway_browser_engine::edit;

/// Which of the two texts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum File {
    /// The job.
    Job,
    /// The lathe.
    Lathe,
}

/// Least, middle and most in SI, and whether it was assumed.
type Value = ([f64; 3], Origin);

/// A slider in one system of units.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct Slider {
    unit: &'static str,
    #[serde(skip)]
    si: f64,
    min: f64,
    max: f64,
    step: f64,
    decimals: usize,
}

/// What turns a number or picks a word.
pub enum Turn {
    /// A number: its slider in inches and in millimetres, and what the scenario says.
    Number(Slider, Slider, fn(&Scenario) -> Option<Value>),
    /// A number without a slider.
    Typed,
    /// One of some words: as written, and as told.
    Word(&'static [(&'static str, &'static str)]),
    /// One of the table's materials, or another word.
    Material,
    /// Yes or no.
    Flag,
}

/// One control.
pub struct Control {
    /// Name in a question.
    pub id: &'static str,
    /// What the shop calls it.
    pub words: &'static str,
    /// Where it stands on the page.
    pub group: &'static str,
    /// The text it turns.
    pub file: File,
    /// The key in it.
    pub path: &'static [&'static str],
    /// How it turns.
    pub turn: Turn,
}

const fn slider(
    unit: &'static str,
    si: f64,
    range: [f64; 2],
    step: f64,
    decimals: usize,
) -> Slider {
    Slider {
        unit,
        si,
        min: range[0],
        max: range[1],
        step,
        decimals,
    }
}

const MM: f64 = 1e-3;

fn known<Q: Quantity>(known: &Known<Q>) -> Option<Value> {
    let range = [known.low, known.middle, known.high].map(Quantity::si);
    Some((range, known.origin))
}

fn exact(si: f64) -> Option<Value> {
    Some(([si; 3], Origin::Given))
}

const PART_INCH: Slider = slider("in", INCH, [0.0, 0.08], 0.001, 3);
const PART_MM: Slider = slider("mm", MM, [0.0, 2.0], 0.02, 2);

const EDGE: &[(&str, &str)] = &[
    ("", "don't know"),
    ("fresh", "fresh"),
    ("used", "used"),
    ("dull", "dull"),
];
const CONDITION: &[(&str, &str)] = &[
    ("good", "good"),
    ("ordinary", "ordinary"),
    ("worn", "worn"),
    ("junk", "junk"),
];
/// Which way a preload acts.
const TOWARD: &[(&str, &str)] = &[
    ("toward the operator", "toward the operator"),
    ("away from the operator", "away from the operator"),
];

macro_rules! control {
    ($id:literal, $words:literal, $group:literal, $file:ident $path:expr, $turn:expr) => {
        Control {
            id: $id,
            words: $words,
            group: $group,
            file: File::$file,
            path: &$path,
            turn: $turn,
        }
    };
}

/// Every control, in the order of the page.
pub const CONTROLS: [Control; 20] = [
    control!(
        "condition",
        "Lathe, in one word",
        "slack",
        Lathe["condition"],
        Turn::Word(CONDITION)
    ),
    control!(
        "slack", "Slack, all of it", "slack", Lathe ["attachment", "slack"],
        Turn::Number(
            slider("in", INCH, [0.0, 0.15], 0.002, 3),
            slider("mm", MM, [0.0, 4.0], 0.05, 2),
            |s| known(s.lathe.attachment.total_slack.as_ref()?),
        )
    ),
    control!(
        "shoe", "Shoe on the guide", "slack", Lathe ["attachment", "shoe_slack"],
        Turn::Number(PART_INCH, PART_MM, |s| known(&s.lathe.attachment.shoe_slack))
    ),
    control!(
        "thrust", "Thrust float", "slack", Lathe ["attachment", "thrust_slack"],
        Turn::Number(PART_INCH, PART_MM, |s| known(&s.lathe.attachment.thrust_slack))
    ),
    control!(
        "nut", "Nut backlash", "slack", Lathe ["attachment", "nut_slack"],
        Turn::Number(PART_INCH, PART_MM, |s| known(&s.lathe.attachment.nut_slack))
    ),
    control!(
        "foot", "Foot and rod, along the bed", "slack", Lathe ["attachment", "foot_slack"],
        Turn::Number(PART_INCH, PART_MM, |s| known(&s.lathe.attachment.foot_slack))
    ),
    control!(
        "drag", "Slide's drag by hand", "drag", Lathe ["slide", "drag"],
        Turn::Number(
            slider("lbf", LBF, [0.0, 80.0], 1.0, 0),
            slider("N", 1.0, [0.0, 360.0], 5.0, 0),
            |s| known(&s.lathe.slide.drag),
        )
    ),
    control!(
        "breakaway", "To start it, over to keep it moving", "drag", Lathe ["slide", "breakaway"],
        Turn::Number(
            slider("", 1.0, [1.0, 2.5], 0.05, 2),
            slider("", 1.0, [1.0, 2.5], 0.05, 2),
            |s| known(&s.lathe.slide.breakaway),
        )
    ),
    control!(
        "depth", "Last finishing pass, per side", "cut", Job ["passes", "finish"],
        Turn::Number(
            slider("in", INCH, [0.001, 0.06], 0.001, 3),
            slider("mm", MM, [0.02, 1.5], 0.02, 2),
            |s| exact(s.job.passes.finish.last()?.si()),
        )
    ),
    control!(
        "feed", "Feed per turn", "cut", Job ["passes", "feed"],
        Turn::Number(
            slider("in", INCH, [0.001, 0.016], 0.0005, 4),
            slider("mm", MM, [0.02, 0.4], 0.01, 2),
            |s| exact(s.job.passes.feed.si()),
        )
    ),
    control!(
        "nose", "Nose radius", "cut", Job ["tool", "nose_radius"],
        Turn::Number(
            slider("in", INCH, [0.004, 0.125], 0.001, 3),
            slider("mm", MM, [0.1, 3.2], 0.1, 1),
            |s| exact(s.job.tool.nose_radius.si()),
        )
    ),
    control!("edge", "Edge", "cut", Job ["tool", "edge"], Turn::Word(EDGE)),
    control!("material", "Material", "cut", Job ["work", "material"], Turn::Material),
    control!(
        "taper", "Taper, on diameter", "taper", Job ["work", "taper"],
        Turn::Number(
            slider("in/ft", INCH / (INCHES_PER_FOOT * INCH), [0.1, 4.0], 0.05, 3),
            slider("mm/m", 1e-3, [10.0, 330.0], 2.0, 1),
            |s| exact(s.job.work.taper.si()),
        )
    ),
    control!(
        "toward", "Pushes the slide", "preload", Job ["preload", "toward"],
        Turn::Word(TOWARD)
    ),
    control!(
        "weight", "Force of the weight", "preload", Job ["preload", "weight"],
        Turn::Number(
            slider("lbf", LBF, [1.0, 120.0], 1.0, 0),
            slider("N", 1.0, [5.0, 530.0], 5.0, 0),
            |s| match &s.job.preload.as_ref()?.source {
                PreloadSource::Constant(force) => known(force),
                _ => None,
            },
        )
    ),
    control!(
        "bore", "Bore of the cylinder", "preload", Job ["preload", "cylinder", "bore"],
        Turn::Typed
    ),
    control!(
        "pressure", "Air pressure", "preload", Job ["preload", "cylinder", "pressure"],
        Turn::Number(
            slider("psi", PSI, [5.0, 120.0], 1.0, 0),
            slider("bar", 1e5, [0.2, 8.0], 0.1, 1),
            |s| match &s.job.preload.as_ref()?.source {
                PreloadSource::Cylinder { pressure, .. } => known(pressure),
                _ => None,
            },
        )
    ),
    control!("rear", "Tool post behind the work", "way", Lathe ["posts", "rear"], Turn::Flag),
    control!("reverse", "Spindle runs in reverse", "way", Lathe ["spindle", "reverse"], Turn::Flag),
];

/// A control as the page shows it.
#[derive(Debug, Serialize)]
pub struct Shown {
    id: &'static str,
    words: &'static str,
    group: &'static str,
    kind: &'static str,
    /// As it stands in the text; empty where it doesn't.
    text: String,
    /// What is taken where nothing stands, with its range.
    #[serde(skip_serializing_if = "Option::is_none")]
    assumed: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    slider: Option<Slider>,
    /// Where the slider stands.
    #[serde(skip_serializing_if = "Option::is_none")]
    number: Option<f64>,
    /// Half of a given range, in the slider's unit, to be kept as it moves.
    #[serde(skip_serializing_if = "Option::is_none")]
    half: Option<f64>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    options: Vec<[&'static str; 2]>,
}

impl Control {
    /// The control with this name.
    pub fn find(id: &str) -> Option<&'static Self> {
        CONTROLS.iter().find(|control| control.id == id)
    }

    /// As it stands, in these units; `scenario` where the texts are right.
    pub fn shown(
        &self,
        document: Option<&DocumentMut>,
        scenario: Option<&Scenario>,
        units: Units,
    ) -> Shown {
        let text = document.and_then(|document| edit::get(document, self.path));
        let mut shown = Shown {
            id: self.id,
            words: self.words,
            group: self.group,
            kind: match self.turn {
                Turn::Number(..) | Turn::Typed => "number",
                Turn::Word(_) => "word",
                Turn::Material => "material",
                Turn::Flag => "flag",
            },
            text: text.unwrap_or_default(),
            assumed: None,
            slider: None,
            number: None,
            half: None,
            options: match self.turn {
                Turn::Word(words) => words.iter().map(|(is, told)| [*is, *told]).collect(),
                Turn::Material => MATERIALS.iter().map(|m| [m.name, m.name]).collect(),
                _ => Vec::new(),
            },
        };
        if let Turn::Number(inch, metric, of) = &self.turn {
            let slider = match units {
                Units::Inch => *inch,
                Units::Metric => *metric,
            };
            shown.slider = Some(slider);
            if let Some((range, origin)) = scenario.and_then(of) {
                let [low, middle, high] = range.map(|si| si / slider.si);
                shown.number = Some(middle);
                if origin == Origin::Assumed {
                    let told = |number: f64| format!("{number:.*}", slider.decimals);
                    let unit = match slider.unit {
                        "" => String::new(),
                        unit => format!(" {unit}"),
                    };
                    shown.assumed = Some(format!(
                        "{}{unit} ({} to {})",
                        told(middle),
                        told(low),
                        told(high)
                    ));
                } else if high > low {
                    shown.half = Some(0.5 * (high - low));
                }
            }
        }
        shown
    }
}
