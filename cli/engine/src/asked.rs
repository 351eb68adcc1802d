//! What a page may ask.

use serde::{Deserialize, Serialize};
use tautway_sim::expect::Wanted;
use tautway_sim::quantity::Units;
use tautway_sim::record::Measures;
use tautway_sim::setup::{Rotation, Side};
use tautway_sim::study::Trial;

use crate::fields::File;
use crate::forms::Form;

/// Lathes cut elsewhere: work before the last pass and at the end, in order.
pub type Cut = Vec<[Measures; 2]>;

/// What is asked of a job and its lathe.
#[derive(Clone, Debug, PartialEq, Deserialize, Serialize)]
#[serde(tag = "ask", rename_all = "kebab-case", deny_unknown_fields)]
pub enum Question {
    /// Both cuts of the bench with knobs turned.
    Bench {
        /// The texts.
        #[serde(flatten)]
        texts: Texts,
        /// Knobs turned, in order: name and what is typed.
        #[serde(default)]
        set: Vec<(String, String)>,
        /// From which side it is cut.
        side: SideOfWork,
        /// How the spindle turns.
        rotation: Turning,
        /// One of them alone, 0 or 1, for two workers to share.
        #[serde(default)]
        only: Option<usize>,
        /// The work's luck.
        seed: u64,
    },
    /// All ways, with the attachment and without.
    Ways {
        /// The texts.
        #[serde(flatten)]
        texts: Texts,
        /// The work's luck.
        seed: u64,
    },
    /// One way alone, and its moving picture.
    Way {
        /// The texts.
        #[serde(flatten)]
        texts: Texts,
        /// Its place among those that cut.
        number: usize,
        /// The work's luck.
        seed: u64,
    },
    /// Lathes like the one described, from this one to before that one: for every way that cuts, or
    /// for the bench's two.
    Lathes {
        /// The texts.
        #[serde(flatten)]
        texts: Texts,
        /// Knobs turned.
        #[serde(default)]
        set: Vec<(String, String)>,
        /// Side and rotation of the bench; none for every way.
        #[serde(default)]
        bench: Option<(SideOfWork, Turning)>,
        /// The first.
        from: u64,
        /// After the last.
        to: u64,
        /// The draws' luck.
        seed: u64,
    },
    /// What lathes tried in pieces come to.
    Gather {
        /// The texts.
        #[serde(flatten)]
        texts: Texts,
        /// The trials, in order.
        trials: Vec<Trial>,
        /// The draws' luck.
        seed: u64,
    },
    /// The job's thread, every way.
    Thread {
        /// The texts.
        #[serde(flatten)]
        texts: Texts,
        /// The work's luck.
        seed: u64,
    },
    /// What comes of the whole plan on many lathes, as the command line says it; or which lathes are
    /// still wanted for it, for others to cut.
    Answer {
        /// The texts.
        #[serde(flatten)]
        texts: Texts,
        /// What is told.
        what: What,
        /// Lathes that were cut elsewhere.
        #[serde(default)]
        found: Vec<(Wanted, Cut)>,
        /// Cut all of them here.
        #[serde(default)]
        here: bool,
        /// The draws' luck.
        seed: u64,
    },
    /// Some of the lathes that are wanted.
    Cut {
        /// The texts.
        #[serde(flatten)]
        texts: Texts,
        /// Which.
        wanted: Wanted,
        /// The draws' luck.
        seed: u64,
    },
    /// The forms of job and lathe.
    Fields,
    /// What stands in the two texts, and what is wrong with them.
    Look {
        /// The texts.
        #[serde(flatten)]
        texts: Texts,
    },
    /// The texts with fields changed: which file, key, and what is typed; nothing takes it away.
    Edit {
        /// The texts.
        #[serde(flatten)]
        texts: Texts,
        /// The changes, in order.
        put: Vec<(File, String, String)>,
    },
    /// The texts with knobs of the bench turned.
    Turned {
        /// The texts.
        #[serde(flatten)]
        texts: Texts,
        /// Knobs turned.
        set: Vec<(String, String)>,
        /// From which side it is cut.
        side: SideOfWork,
        /// How the spindle turns.
        rotation: Turning,
    },
    /// A form beside job and lathe, with what they say already.
    Form {
        /// Which.
        of: Form,
        /// In these units.
        units: Shown,
        /// The job.
        #[serde(default)]
        job: String,
        /// The lathe.
        #[serde(default)]
        lathe: String,
    },
    /// A form with fields filled in: key, and what is typed.
    Fill {
        /// Which.
        of: Form,
        /// The form.
        text: String,
        /// What is typed, in order.
        put: Vec<(String, String)>,
    },
    /// What a filled-in form tells, or what is wrong with it.
    Told {
        /// Which.
        of: Form,
        /// The form.
        text: String,
        /// The texts, and units to answer in.
        #[serde(flatten)]
        texts: Texts,
        /// The work's luck.
        seed: u64,
    },
    /// Readings of carriage and slide.
    Readings {
        /// The text.
        readings: String,
    },
}

/// Job and lathe as a person wrote them.
#[derive(Clone, Debug, PartialEq, Deserialize, Serialize)]
pub struct Texts {
    /// The job.
    pub job: String,
    /// The lathe.
    pub lathe: String,
    /// Units to answer in; the job's own if not said.
    #[serde(default)]
    pub units: Option<Shown>,
    /// Without what holds the slide, for a preload to be weighed against it.
    #[serde(default)]
    pub bare: bool,
}

/// What is told of a comparison that was weighed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum What {
    /// The first screen, and which test next.
    Compare,
    /// The sheet to print of the way advised.
    Sheet,
    /// The thread by itself, tried on many lathes; no comparison is weighed for it.
    Thread,
    /// How to hold the slide, and whether to; of the bare job.
    Preload,
    /// What changes would buy.
    Modify,
}

/// Units as a page asks for them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Shown {
    /// Inches.
    Inch,
    /// Millimetres.
    Metric,
}

impl From<Shown> for Units {
    fn from(shown: Shown) -> Self {
        match shown {
            Shown::Inch => Self::Inch,
            Shown::Metric => Self::Metric,
        }
    }
}

impl From<Side> for SideOfWork {
    fn from(side: Side) -> Self {
        match side {
            Side::Front => Self::Front,
            Side::Rear => Self::Rear,
        }
    }
}

impl From<Rotation> for Turning {
    fn from(rotation: Rotation) -> Self {
        match rotation {
            Rotation::Forward => Self::Forward,
            Rotation::Reverse => Self::Reverse,
        }
    }
}

/// A [`Side`] as it is asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum SideOfWork {
    /// The operator's.
    Front,
    /// The far one.
    Rear,
}

/// A [`Rotation`] as it is asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Turning {
    /// The ordinary way.
    Forward,
    /// Reversed.
    Reverse,
}
