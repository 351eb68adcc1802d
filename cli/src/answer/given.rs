//! What an answer gives: words, records, tables and figures. Its forms are derived.

use serde_json::Value;
use tautway_figures::Drawing;
use tautway_sim::quantity::Units;
use tautway_words::Document;

use crate::output::folder::Filling;
use crate::progress::Progress;
use crate::table::Row;
use crate::texts::Text;

/// A drawing and the name of its file, without its ending.
pub struct Figure {
    /// Name.
    pub name: String,
    /// Drawing.
    pub drawing: Drawing,
}

/// A table of an answer.
pub struct Table {
    /// Its file, without the ending.
    pub name: &'static str,
    /// Its heading.
    pub title: &'static str,
    /// What a row is.
    pub about: &'static str,
    /// The rows.
    pub rows: Vec<Row>,
}

/// What an answer gives. Its forms are derived.
pub trait Answer {
    /// What its record's file is called, without the ending.
    fn named(&self) -> &'static str;
    /// Of what it is: the job's name.
    fn about(&self) -> &str;
    /// What a person reads.
    fn document(&self) -> &Document;
    /// The records in SI.
    fn json(&self) -> String;
    /// Tables, the first being the one that is asked for as CSV.
    fn tables(&self) -> Vec<Table>;
    /// Drawings.
    fn figures(&self, progress: &Progress) -> Vec<Figure>;
    /// The person's units, and so the paper.
    fn units(&self) -> Units;
    /// The files it was made from.
    fn texts(&self) -> &[Text];
    /// What the same answer hangs on, besides the files: seed and lathes tried.
    fn luck(&self) -> Luck {
        Luck::default()
    }
    /// What the two-cut bench begins with, where the answer is of a turned taper.
    fn bench(&self) -> Option<Value> {
        None
    }
    /// A record from which all of it can be run again, with the name of its file, and what stands
    /// beside it in a folder.
    fn again(&self) -> Option<(&'static str, String, &'static str)> {
        None
    }
    /// What was written into its folder while it was run.
    fn begun(&self) -> Option<&Filling> {
        None
    }
}

/// What an answer hangs on, besides its files.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Luck {
    /// Seed.
    pub seed: Option<u64>,
    /// Lathes tried.
    pub lathes: Option<u64>,
}
