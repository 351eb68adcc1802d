//! A page as sections of plain items, the same for text and HTML.

/// Begins and ends words that stand out; never in what a person wrote, see [`plain`].
pub const STRONG: (char, char) = ('\u{2}', '\u{3}');
/// A blank to write in, within a sentence.
pub const BLANK: &str = "______";

/// The page.
pub struct Page {
    /// What is made.
    pub title: String,
    /// Labels with a value, or a blank to write in.
    pub head: Vec<(&'static str, Option<String>)>,
    /// A line below it.
    pub note: Option<String>,
    /// Sections in order.
    pub sections: Vec<Section>,
    /// Small lines at the foot.
    pub foot: Vec<String>,
}

/// What a section is about, in the order of the work.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Place {
    /// What is made.
    Taper,
    /// What can hurt.
    Box,
    /// The way it is cut.
    Way,
    /// What the lathe must be ready for.
    Lathe,
    /// The guide.
    Guide,
    /// The tool.
    Tool,
    /// Where each pass starts.
    RunIn,
    /// Where the dial is zero.
    TouchOff,
    /// The passes.
    Passes,
    /// Gauging.
    Gauge,
    /// The force on the slide.
    Preload,
    /// What may be seen.
    Signs,
    /// What comes after.
    Afterwards,
}

impl Place {
    /// Its heading.
    pub fn heading(self) -> &'static str {
        match self {
            Self::Taper => "The taper",
            Self::Box => "What can hurt",
            Self::Way => "The way",
            Self::Lathe => "Check the lathe",
            Self::Guide => "Set the guide",
            Self::Tool => "The tool",
            Self::RunIn => "Run-in, every pass",
            Self::TouchOff => "Touch off",
            Self::Passes => "Passes",
            Self::Gauge => "Gauge between",
            Self::Preload => "Preload",
            Self::Signs => "If you see",
            Self::Afterwards => "Afterwards",
        }
    }

    /// What the page's look knows it by, where it looks otherwise.
    pub fn id(self) -> &'static str {
        match self {
            Self::Box => "hurt",
            Self::Way => "way",
            Self::RunIn => "run-in",
            _ => "",
        }
    }
}

/// A numbered section.
pub struct Section {
    /// Its number, without a gap.
    pub number: usize,
    /// What it is about.
    pub place: Place,
    /// What stands in it.
    pub items: Vec<Item>,
}

/// Something on the page.
pub enum Item {
    /// A sentence or two.
    Say(String),
    /// The line that must not be missed.
    Loud(String),
    /// Big figures.
    Figures(Vec<Figure>),
    /// A box to tick.
    Check(String),
    /// A caution, with its id.
    Caution {
        /// Id.
        id: &'static str,
        /// Words.
        words: String,
    },
    /// Labels with a box to write in each.
    Boxes(Vec<String>),
    /// A table.
    Table(Table),
    /// The setup from above.
    Drawing,
    /// The standoff-to-dial sum, where the page can compute.
    Calculator,
}

/// A big figure.
pub struct Figure {
    /// What it is.
    pub label: String,
    /// The figure.
    pub value: String,
    /// More on it, small.
    pub small: String,
}

/// A table; an empty cell is one to write in.
pub struct Table {
    /// Headings.
    pub head: Vec<String>,
    /// Rows.
    pub rows: Vec<Vec<String>>,
    /// Whether its cells are figures, set to the right.
    pub figures: bool,
}

/// Words that stand out.
pub fn strong(words: &str) -> String {
    format!("{}{words}{}", STRONG.0, STRONG.1)
}

/// What a person wrote, on one line and without control characters.
pub fn plain(words: &str) -> String {
    let spaced: String = words
        .chars()
        .map(|letter| if letter.is_control() { ' ' } else { letter })
        .collect();
    spaced.split_whitespace().collect::<Vec<_>>().join(" ")
}
