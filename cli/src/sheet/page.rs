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

/// A numbered section.
pub struct Section {
    /// Its number.
    pub number: usize,
    /// Its heading.
    pub name: &'static str,
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
