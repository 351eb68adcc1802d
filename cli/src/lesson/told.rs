//! What a lesson tells of, in the person's units.

use tautway_screens::screen::words::{self, Tapers};
use tautway_screens::sheet::Paper;
use tautway_sim::caution::Caution;
use tautway_sim::lesson::{Lesson, Taught};
use tautway_sim::quantity::{Force, INCH, Quantity, Units};
use tautway_sim::scenario::AttachmentKind;
use tautway_words::{Block, Picture, Pictures, starred};

/// What the words of every step are made from.
pub(super) struct Told<'a> {
    pub(super) lesson: &'a Lesson,
    pub(super) units: Units,
    pub(super) tapers: Tapers,
    pub(super) job: &'a str,
    pub(super) paper: Option<Paper>,
}

impl Told<'_> {
    /// A carriage travel; a short one in mm to a tenth.
    pub(super) fn travel(&self, m: f64) -> String {
        match self.units {
            Units::Metric if m < 0.02 => format!("{:.1} mm", m * 1e3),
            _ => words::about(m, self.units),
        }
    }

    /// The same always to 0.01 in, for a column.
    pub(super) fn travel_in_a_column(&self, m: f64) -> String {
        match self.units {
            Units::Inch => format!("{:.2} in", m / INCH),
            Units::Metric => format!("{:.1} mm", m * 1e3),
        }
    }

    pub(super) fn height(&self, m: f64) -> String {
        words::height(m, self.units)
    }

    /// A slack: three digits in inches, two in mm.
    pub(super) fn slack(&self, m: f64) -> String {
        match self.units {
            Units::Inch => format!("{:.4} in", m / INCH),
            Units::Metric => format!("{:.3} mm", m * 1e3),
        }
    }

    pub(super) fn force(&self, n: f64) -> String {
        Force::from_si(n).show(self.units)
    }

    pub(super) fn taper(&self, ratio: f64) -> String {
        self.tapers.show(ratio)
    }

    pub(super) fn plain(&self) -> bool {
        self.lesson.attachment == AttachmentKind::Plain
    }

    pub(super) fn caution(&self, id: &str) -> Option<Caution> {
        self.lesson.cautions.iter().copied().find(|c| c.id == id)
    }

    pub(super) fn cautions(&self, ids: &[&str]) -> Vec<Caution> {
        ids.iter().filter_map(|id| self.caution(id)).collect()
    }

    /// "Pulled in, toward the tailstock".
    pub(super) fn way(&self, taught: &Taught) -> String {
        let pull = match taught.pull {
            tautway_sim::setup::Pull::In => "pulled in",
            _ => "drawn away",
        };
        format!("{pull}, fed {}", words::toward(taught.setup.feed))
    }

    /// Why a way can't be cut here.
    pub(super) fn out(&self, taught: &Taught) -> String {
        let reasons: Vec<String> = taught
            .out
            .iter()
            .map(|reason| reason.words(self.units))
            .collect();
        reasons.join("; ")
    }
}

/// Places for moving pictures; `names` are those of [`super::pictures`], shown side by side.
pub(super) fn pictures(names: &[(&str, String)], from_the_start: bool) -> Pictures {
    let picture = |(name, caption): &(&str, String)| Picture {
        name: (*name).to_owned(),
        at: if from_the_start { 0.0 } else { 0.72 },
        caption: starred(caption),
    };
    Pictures {
        of: names.iter().map(picture).collect(),
        instead: Vec::new(),
    }
}

/// The same as a block.
pub(super) fn picture(names: &[(&str, String)], from_the_start: bool) -> Block {
    Block::Pictures(pictures(names, from_the_start))
}
