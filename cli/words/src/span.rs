//! Words with what stands out in them, what they lead to, and blanks to fill in.

use serde::Serialize;

/// Begins and ends words that stand out, in a text that becomes [`Words`]; never in what a person
/// wrote, see [`plain`].
const STRONG: [char; 2] = ['\u{2}', '\u{3}'];
/// A blank to write in, in a text that becomes [`Words`].
pub const BLANK: &str = "______";

/// A stretch of words.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Span {
    /// As it is.
    Plain(String),
    /// What must not be missed.
    Strong(String),
    /// Leads somewhere.
    Link {
        /// The words.
        words: String,
        /// Where to.
        to: String,
    },
    /// A blank to write in.
    Blank,
}

/// Some words.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(transparent)]
pub struct Words(Vec<Span>);

impl Words {
    /// A blank to write in.
    pub fn blank() -> Self {
        Self(vec![Span::Blank])
    }

    /// Words that lead somewhere.
    pub fn link(words: impl Into<String>, to: impl Into<String>) -> Self {
        let (words, to) = (words.into(), to.into());
        Self(vec![Span::Link { words, to }])
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Whether they are nothing but a blank to write in.
    pub fn is_blank(&self) -> bool {
        self.0 == [Span::Blank]
    }

    /// The stretches.
    pub fn spans(&self) -> &[Span] {
        &self.0
    }

    /// Leaves these out of its plain words, wherever they stand.
    pub(crate) fn leave_out(&mut self, words: &str) {
        for span in &mut self.0 {
            if let Span::Plain(plain) = span {
                *plain = plain.replace(words, "");
            }
        }
    }

    /// The words alone, a blank as a line.
    pub fn bare(&self) -> String {
        self.0
            .iter()
            .map(|span| match span {
                Span::Plain(words) | Span::Strong(words) | Span::Link { words, .. } => words,
                Span::Blank => BLANK,
            })
            .collect()
    }
}

impl From<&str> for Words {
    fn from(text: &str) -> Self {
        let mut spans = Vec::new();
        for (at, stretch) in text.split(STRONG).enumerate() {
            for (blanks, words) in stretch.split(BLANK).enumerate() {
                if blanks > 0 {
                    spans.push(Span::Blank);
                }
                if words.is_empty() {
                    continue;
                }
                // Marks come in pairs, so that every other stretch stands between them.
                spans.push(match at % 2 {
                    0 => Span::Plain(words.to_owned()),
                    _ => Span::Strong(words.to_owned()),
                });
            }
        }
        Self(spans)
    }
}

impl From<String> for Words {
    fn from(text: String) -> Self {
        Self::from(text.as_str())
    }
}

impl From<&String> for Words {
    fn from(text: &String) -> Self {
        Self::from(text.as_str())
    }
}

/// Marks words that stand out, in a text that becomes [`Words`].
pub fn strong(words: &str) -> String {
    format!("{}{words}{}", STRONG[0], STRONG[1])
}

/// A text of ours in which words between stars stand out: `a *bold* word`.
pub fn starred(text: &str) -> Words {
    let mut strong = false;
    let marked: String = text
        .chars()
        .map(|letter| {
            if letter != '*' {
                return letter;
            }
            strong = !strong;
            if strong { STRONG[0] } else { STRONG[1] }
        })
        .collect();
    Words::from(marked)
}

/// What a person wrote, on one line and without control characters.
pub fn plain(words: &str) -> String {
    let spaced: String = words
        .chars()
        .map(|letter| if letter.is_control() { ' ' } else { letter })
        .collect();
    spaced.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marks_and_blanks_become_spans() {
        let words = Words::from(format!("{} at {BLANK} in", strong("off")));
        let [
            Span::Strong(off),
            Span::Plain(at),
            Span::Blank,
            Span::Plain(unit),
        ] = words.spans()
        else {
            panic!("{words:?}");
        };
        assert_eq!(
            (off.as_str(), at.as_str(), unit.as_str()),
            ("off", " at ", " in")
        );
        assert_eq!(words.bare(), "off at ______ in");
        assert_eq!(starred("*off* at ______ in"), words);
    }

    #[test]
    fn nobody_can_type_a_mark() {
        assert_eq!(plain("a\u{2}b\u{3}\n c"), "a b c");
        assert!(Words::default().is_empty() && !Words::blank().is_empty());
    }
}
