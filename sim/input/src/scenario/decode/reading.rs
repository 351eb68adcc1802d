//! A text being read: what was found wrong so far, and the place of every key.

use std::cell::{Cell, RefCell};
use std::collections::BTreeMap;
use std::ops::Range;

use crate::quantity::Units;
use crate::scenario::want::Want;
use crate::scenario::{Diagnostic, Severity, Source};

/// A text being read, with all that was found wrong so far and the place of every key.
pub(crate) struct Reading<'a> {
    pub source: Source<'a>,
    /// The person's units, once known: numbers in messages are shown in them.
    pub units: Cell<Units>,
    /// Each with the path of the key that is not there, when it is about that.
    found: RefCell<Vec<(Diagnostic, Option<String>)>>,
    tables: RefCell<Vec<ReadTable>>,
    places: RefCell<BTreeMap<String, Range<usize>>>,
    /// What was looked for under each key, whether it is there or not.
    wants: RefCell<BTreeMap<String, Vec<Want>>>,
    /// The units that were read so far.
    pub units_seen: RefCell<Vec<UnitSeen>>,
    /// The keys whose numbers are odd and meant so.
    pub meant: RefCell<Vec<String>>,
    /// The units that the file says it is in.
    pub stated: Cell<Option<Units>>,
    /// How many numbers of the file are in inch units, and in metric ones.
    pub weight: Cell<[usize; 2]>,
    /// The numbers that stand without a unit and were taken in their field's.
    pub bare: RefCell<Vec<Bare>>,
}

/// A number without a unit, as it was taken.
#[derive(Clone, Debug)]
pub(crate) struct Bare {
    /// Where its value stands.
    pub at: Range<usize>,
    /// With the unit: `5 in`.
    pub said: String,
}

impl<'a> Reading<'a> {
    pub fn new(source: Source<'a>) -> Self {
        Self {
            source,
            units: Cell::new(Units::Inch),
            found: RefCell::default(),
            tables: RefCell::default(),
            places: RefCell::default(),
            wants: RefCell::default(),
            units_seen: RefCell::default(),
            meant: RefCell::default(),
            stated: Cell::default(),
            weight: Cell::default(),
            bare: RefCell::default(),
        }
    }

    /// What the bare number at a place was taken as.
    pub fn taken_at(&self, at: &Range<usize>) -> Option<String> {
        let bare = self.bare.borrow();
        let taken = bare.iter().rev().find(|bare| bare.at == *at);
        taken.map(|bare| bare.said.clone())
    }

    /// The units of a number that says none: those the file says it is in, else those of its other
    /// numbers, the person's own counting as two of them. None where a file has both.
    pub fn family(&self) -> Option<Units> {
        let [mut inch, mut metric] = self.weight.get();
        let stated = self.stated.get();
        match stated.unwrap_or(self.units.get()) {
            Units::Inch => inch += 2,
            Units::Metric => metric += 2,
        }
        let (rest, most, few) = match inch.cmp(&metric) {
            std::cmp::Ordering::Less => (Units::Metric, metric, inch),
            std::cmp::Ordering::Greater => (Units::Inch, inch, metric),
            std::cmp::Ordering::Equal => (stated?, inch, inch),
        };
        match stated {
            Some(stated) => (stated == rest || most < 2 * few).then_some(stated),
            None => (few == 0 || most >= 2 * few).then_some(rest),
        }
    }

    /// Reports a fault. The span is moved to character boundaries inside the text.
    pub fn report(
        &self,
        severity: Severity,
        at: Range<usize>,
        message: impl Into<String>,
        label: impl Into<String>,
        hint: impl Into<String>,
    ) {
        let text = self.source.text;
        let mut start = at.start.min(text.len());
        while !text.is_char_boundary(start) {
            start -= 1;
        }
        let mut end = at.end.clamp(start, text.len());
        while !text.is_char_boundary(end) {
            end += 1;
        }
        let diagnostic = Diagnostic {
            severity,
            file: self.source.name.to_owned(),
            span: start..end,
            message: message.into(),
            label: label.into(),
            hint: hint.into(),
        };
        self.found.borrow_mut().push((diagnostic, None));
    }

    pub fn error(
        &self,
        at: Range<usize>,
        message: impl Into<String>,
        label: impl Into<String>,
        hint: impl Into<String>,
    ) {
        self.report(Severity::Error, at, message, label, hint);
    }

    /// Adds what was made elsewhere.
    pub fn note(&self, diagnostic: Diagnostic) {
        self.found.borrow_mut().push((diagnostic, None));
    }

    /// The same, and one alone at its place.
    pub fn note_once(&self, diagnostic: Diagnostic) {
        let known = |found: &[(Diagnostic, _)]| {
            found
                .iter()
                .any(|(d, _)| d.severity == Severity::Note && d.span == diagnostic.span)
        };
        if !known(&self.found.borrow()) {
            self.note(diagnostic);
        }
    }

    /// Reports that a key is not there.
    pub fn absence(
        &self,
        path: String,
        at: Range<usize>,
        message: impl Into<String>,
        label: impl Into<String>,
        hint: impl Into<String>,
    ) {
        self.error(at, message, label, hint);
        if let Some((_, absent)) = self.found.borrow_mut().last_mut() {
            *absent = Some(path);
        }
    }

    /// Where a key like `work.taper` has its value; failing that, its table; else the first line.
    pub fn place(&self, path: &str) -> Range<usize> {
        let places = self.places.borrow();
        let table = path.rsplit_once('.').map_or("", |(table, _)| table);
        places
            .get(path)
            .or_else(|| places.get(table))
            .cloned()
            .unwrap_or_else(|| first_line(self.source.text))
    }

    /// Keeps what is known of a table once it is read through.
    pub fn close(&self, table: ReadTable) {
        self.tables.borrow_mut().push(table);
    }

    pub fn remember(&self, path: String, at: Range<usize>) {
        self.places.borrow_mut().insert(path, at);
    }

    /// Notes what may stand under a key.
    pub fn want(&self, path: String, want: Want) {
        let mut wants = self.wants.borrow_mut();
        let wanted = wants.entry(path).or_default();
        if !wanted.contains(&want) {
            wanted.push(want);
        }
    }

    /// Every key that was looked for and what may stand there, and the paths of those that have to
    /// be there and are not.
    pub fn into_wants(self) -> (BTreeMap<String, Vec<Want>>, Vec<String>) {
        let found = self.found.into_inner().into_iter();
        (
            self.wants.into_inner(),
            found.filter_map(|(_, absent)| absent).collect(),
        )
    }

    /// Whether an error was reported so far.
    pub fn is_faulty(&self) -> bool {
        let found = self.found.borrow();
        found.iter().any(|(d, _)| d.severity == Severity::Error)
    }

    /// Where the numbers stand that are odd and meant so.
    pub fn places_meant(&self) -> Vec<Range<usize>> {
        let meant = self.meant.borrow();
        meant.iter().map(|path| self.place(path)).collect()
    }

    /// Whether a key is there.
    pub fn has(&self, path: &str) -> bool {
        self.places.borrow().contains_key(path)
    }

    /// Whether a key is there and no error points into its value.
    pub fn sound(&self, path: &str) -> bool {
        let places = self.places.borrow();
        let Some(at) = places.get(path) else {
            return false;
        };
        !self.found.borrow().iter().any(|(d, _)| {
            d.severity == Severity::Error && at.start <= d.span.start && d.span.end <= at.end
        })
    }

    /// All that was found, each with the path of the key that is not there, when it is about that.
    pub fn into_found(self) -> Vec<(Diagnostic, Option<String>)> {
        let tables = self.tables.take();
        for table in &tables {
            for (key, at) in &table.unknown {
                self.unknown_key(table, key, at, &tables);
            }
        }
        self.found.into_inner()
    }

    /// Reports a key nobody asked for: where it belongs, or which one was meant. A key that is
    /// missing for no other reason is then not reported again.
    fn unknown_key(&self, table: &ReadTable, key: &str, at: &Range<usize>, tables: &[ReadTable]) {
        let elsewhere: Vec<_> = tables
            .iter()
            .filter(|other| other.asked.contains(&key))
            .map(|other| other.title())
            .collect();
        let hint = if !elsewhere.is_empty() {
            format!("it belongs in {}", elsewhere.join(" or "))
        } else if let Some(near) = nearest(key, table.asked.iter().copied()) {
            let meant = joined(&table.path, near);
            self.found
                .borrow_mut()
                .retain(|(_, absent)| absent.as_ref() != Some(&meant));
            format!("did you mean `{near}`?")
        } else {
            format!("{} knows {}", table.title(), table.asked.join(", "))
        };
        let message = format!("{} has no key `{key}`", table.title());
        self.error(at.clone(), message, "unknown key", hint);
    }
}

/// A unit that was read, whose it is and where its value stands.
#[derive(Clone, Debug)]
pub(crate) struct UnitSeen {
    pub path: String,
    pub at: Range<usize>,
    pub of: Units,
}

/// A table that was read through.
pub(crate) struct ReadTable {
    pub path: String,
    /// The keys it may have, sorted.
    pub asked: Vec<&'static str>,
    /// Those it has besides.
    pub unknown: Vec<(String, Range<usize>)>,
}

impl ReadTable {
    fn title(&self) -> String {
        title(&self.path)
    }
}

pub(crate) fn title(path: &str) -> String {
    if path.is_empty() {
        "the top of the file".to_owned()
    } else {
        format!("[{path}]")
    }
}

/// `work.taper` for the key `taper` of `[work]`.
pub(crate) fn joined(table: &str, key: &str) -> String {
    if table.is_empty() {
        key.to_owned()
    } else {
        format!("{table}.{key}")
    }
}

pub(crate) fn first_line(text: &str) -> Range<usize> {
    0..text.find('\n').unwrap_or(text.len())
}

/// The word that was probably meant.
pub(crate) fn nearest<'w>(said: &str, words: impl Iterator<Item = &'w str>) -> Option<&'w str> {
    words
        .map(|word| (strsim::normalized_damerau_levenshtein(said, word), word))
        .filter(|(likeness, _)| *likeness >= 0.55)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, word)| word)
}
