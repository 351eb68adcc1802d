//! What a field of a form is.

use tautway_sim::quantity::Units;

/// How a field is filled in, with an example in inches and in millimetres.
pub(super) enum How {
    /// A line.
    Text([&'static str; 2]),
    /// Several lines; what stands there to begin with.
    Lines([&'static str; 2]),
    /// A pair a line.
    Pairs([&'static str; 2]),
    /// One of these: as it stands in the text, and as it is read.
    Word(&'static [(&'static str, &'static str)]),
}

impl How {
    pub(super) fn kind(&self) -> &'static str {
        match self {
            Self::Text(_) => "text",
            Self::Lines(_) | Self::Pairs(_) => "lines",
            Self::Word(_) => "word",
        }
    }

    pub(super) fn choices(&self) -> Vec<[String; 2]> {
        match self {
            Self::Word(words) => { words.iter() }
                .map(|(word, read)| [(*word).to_owned(), (*read).to_owned()])
                .collect(),
            _ => Vec::new(),
        }
    }

    pub(super) fn example(&self, units: Units) -> &'static str {
        match (self, units) {
            (Self::Text([inch, _]) | Self::Pairs([inch, _]), Units::Inch) => inch,
            (Self::Text([_, metric]) | Self::Pairs([_, metric]), Units::Metric) => metric,
            _ => "",
        }
    }
}

/// A field.
pub(super) struct Row {
    pub(super) group: &'static str,
    pub(super) path: &'static str,
    pub(super) words: &'static str,
    pub(super) how: How,
    pub(super) rare: bool,
    /// What a refusal of a sum calls it.
    pub(super) about: &'static [&'static str],
    /// Where job (0) or lathe (1) say it already.
    pub(super) from: Option<(usize, &'static str)>,
}

impl Row {
    /// What stands there to begin with.
    pub(super) fn brought(&self, units: Units) -> Option<String> {
        match (&self.how, units) {
            (How::Lines([inch, _]), Units::Inch) => Some((*inch).to_owned()),
            (How::Lines([_, metric]), Units::Metric) => Some((*metric).to_owned()),
            _ => None,
        }
    }

    pub(super) const fn rare(self) -> Self {
        Self { rare: true, ..self }
    }

    pub(super) const fn from(self, file: usize, key: &'static str) -> Self {
        Self {
            from: Some((file, key)),
            ..self
        }
    }

    pub(super) const fn called(self, about: &'static [&'static str]) -> Self {
        Self { about, ..self }
    }
}

/// A field, with nothing more said of it.
pub(super) const fn row(
    group: &'static str,
    path: &'static str,
    words: &'static str,
    how: How,
) -> Row {
    Row {
        group,
        path,
        words,
        how,
        rare: false,
        about: &[],
        from: None,
    }
}
