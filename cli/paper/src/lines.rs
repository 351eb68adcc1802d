//! Words broken into lines.

use tautway_words::{Span, Words};

use crate::face::Face;
use crate::mark::{BLACK, Colour, Mark};

/// How words are set.
#[derive(Clone, Copy, Debug)]
pub struct Style {
    /// Of the letters.
    pub size: f32,
    /// Whether all is bold.
    pub bold: bool,
    /// Their colour.
    pub colour: Colour,
    /// From line to line, in parts of the size.
    pub leading: f32,
    /// Width of a blank to write in, in parts of the size.
    pub blank: f32,
}

impl Style {
    /// Plain words of a size.
    pub fn plain(size: f32) -> Self {
        Self {
            size,
            bold: false,
            colour: BLACK,
            leading: 1.2,
            blank: 4.0,
        }
    }

    /// The same in bold.
    pub fn bold(size: f32) -> Self {
        Self {
            bold: true,
            ..Self::plain(size)
        }
    }

    /// Height of a line.
    pub fn line(self) -> f32 {
        self.size * self.leading
    }

    /// From the top of a line to where its letters stand: the face is 0.93 high and 0.24 deep.
    fn stands(self) -> f32 {
        (self.line() - 1.17 * self.size) / 2.0 + 0.93 * self.size
    }
}

/// What words are made of.
#[derive(Clone, Debug, PartialEq)]
pub enum Bit {
    /// Letters.
    Letters(String, Face),
    /// A line to write on, of a width in points.
    Blank(f32),
    /// A box to tick.
    Tick,
}

/// Bits without a space between them, with their width.
#[derive(Clone, Debug, Default)]
struct Word {
    bits: Vec<Bit>,
    wide: f32,
}

/// A line that was set.
#[derive(Clone, Debug, Default)]
pub struct Line {
    /// From its upper left corner.
    pub marks: Vec<Mark>,
    /// How far it goes.
    pub wide: f32,
}

/// The stretches of words as bits.
pub fn bits(words: &Words, style: Style) -> Vec<Bit> {
    let face = |bold: bool| match bold || style.bold {
        true => Face::Bold,
        false => Face::Plain,
    };
    let each = words.spans().iter().map(|span| match span {
        Span::Plain(words) | Span::Link { words, .. } => Bit::Letters(words.clone(), face(false)),
        Span::Strong(words) => Bit::Letters(words.clone(), face(true)),
        Span::Blank => Bit::Blank(style.blank * style.size),
    });
    each.collect()
}

fn wide(bit: &Bit, style: Style) -> f32 {
    match bit {
        Bit::Letters(letters, face) => face.width(letters, style.size),
        Bit::Blank(wide) => *wide,
        Bit::Tick => 1.4 * style.size,
    }
}

fn words(bits: &[Bit], style: Style) -> Vec<Word> {
    let mut words = vec![Word::default()];
    let mut add = |bit: Bit, new: bool| {
        if new && words.last().is_some_and(|word| !word.bits.is_empty()) {
            words.push(Word::default());
        }
        if let (Some(word), true) = (
            words.last_mut(),
            bit != Bit::Letters(String::new(), Face::Plain),
        ) {
            word.wide += wide(&bit, style);
            word.bits.push(bit);
        }
    };
    let mut spaced = false;
    for bit in bits {
        let Bit::Letters(letters, face) = bit else {
            // What is to be written belongs to the word before it.
            if matches!(bit, Bit::Blank(_)) && spaced {
                add(Bit::Letters("\u{a0}".to_owned(), Face::Plain), false);
                spaced = false;
            }
            add(bit.clone(), spaced);
            spaced = false;
            continue;
        };
        for (at, part) in letters.split([' ', '\n']).enumerate() {
            spaced |= at > 0;
            if !part.is_empty() {
                add(Bit::Letters(part.to_owned(), *face), spaced);
                spaced = false;
            }
        }
    }
    words.retain(|word| !word.bits.is_empty());
    words
}

/// Between two words: as wide as in the face of both, or of plain words.
fn space(before: &Bit, after: &Bit, style: Style) -> f32 {
    let face = match (before, after) {
        (Bit::Letters(_, Face::Bold), Bit::Letters(_, Face::Bold)) => Face::Bold,
        _ => Face::Plain,
    };
    face.width(" ", style.size)
}

/// The space before a word on a line that has others already.
fn gap(line: &[Word], word: &Word, style: Style) -> f32 {
    let before = line.last().and_then(|word| word.bits.last());
    let pair = before.zip(word.bits.first());
    pair.map_or(0.0, |(before, after)| space(before, after, style))
}

/// A word that is wider than a line in parts that aren't.
fn torn(word: Word, style: Style, limit: f32) -> Vec<Word> {
    if word.wide <= limit {
        return vec![word];
    }
    let mut parts = vec![Word::default()];
    for bit in word.bits {
        let letters: Vec<Bit> = match &bit {
            Bit::Letters(letters, face) => {
                let each = letters.chars();
                each.map(|letter| Bit::Letters(letter.to_string(), *face))
                    .collect()
            }
            _ => vec![bit],
        };
        for letter in letters {
            let more = wide(&letter, style);
            let part = parts.last().map_or(0.0, |part| part.wide);
            if part > 0.0 && part + more > limit {
                parts.push(Word::default());
            }
            if let Some(part) = parts.last_mut() {
                part.wide += more;
                part.bits.push(letter);
            }
        }
    }
    parts
}

/// Bits in lines no wider than `limit`, the first set in by `first`.
pub fn set(bits: &[Bit], style: Style, first: f32, limit: f32) -> Vec<Line> {
    let mut lines = Vec::new();
    let mut line: Vec<Word> = Vec::new();
    let mut used = first;
    let mut begins = first;
    for word in words(bits, style) {
        // A blank that is to be written in is never torn, only narrowed by the page.
        for part in torn(word, style, limit) {
            let mut room = gap(&line, &part, style);
            if used + room + part.wide > limit + 0.01 && (!line.is_empty() || used > 0.0) {
                lines.push(drawn(&line, style, begins));
                line.clear();
                (used, begins, room) = (0.0, 0.0, 0.0);
            }
            used += room + part.wide;
            line.push(part);
        }
    }
    if !line.is_empty() {
        lines.push(drawn(&line, style, begins));
    }
    lines
}

/// A line's marks, letters of one face in one stretch.
fn drawn(line: &[Word], style: Style, begins: f32) -> Line {
    let stands = style.stands();
    let mut marks: Vec<Mark> = Vec::new();
    let mut x = begins;
    for (at, word) in line.iter().enumerate() {
        let room = gap(&line[..at], word, style);
        x += room;
        for (of, bit) in word.bits.iter().enumerate() {
            let spaced = at > 0 && of == 0;
            match (bit, marks.last_mut()) {
                (
                    Bit::Letters(letters, face),
                    Some(Mark::Words {
                        words, face: last, ..
                    }),
                ) if last == face => {
                    if spaced {
                        words.push(' ');
                    }
                    words.push_str(letters);
                }
                (Bit::Letters(letters, face), last) => {
                    // The space goes with the words before it, or a reader of the file joins them.
                    if let (true, Some(Mark::Words { words, .. })) = (spaced, last) {
                        words.push(' ');
                    }
                    marks.push(Mark::Words {
                        at: (x, stands),
                        size: style.size,
                        face: *face,
                        colour: style.colour,
                        words: letters.clone(),
                    });
                }
                (Bit::Blank(wide), _) => {
                    let y = stands + 0.12 * style.size;
                    marks.push(Mark::Line {
                        from: (x, y),
                        to: (x + wide, y),
                        width: 0.75,
                        colour: BLACK,
                    });
                }
                (Bit::Tick, _) => marks.push(tick((x, stands), style.size)),
            }
            x += wide(bit, style);
        }
    }
    Line { marks, wide: x }
}

/// A box to tick that stands at a place.
pub fn tick((x, stands): (f32, f32), size: f32) -> Mark {
    Mark::Box {
        at: (x, stands - 0.84 * size),
        size: (0.95 * size, 0.95 * size),
        fill: None,
        edge: Some((0.9, BLACK)),
    }
}

/// Where letters of this style stand below the top of their line.
pub fn stands(style: Style) -> f32 {
    style.stands()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(lines: &[Line]) -> Vec<String> {
        let of = |line: &Line| {
            let words = line.marks.iter().filter_map(|mark| match mark {
                Mark::Words { words, .. } => Some(words.clone()),
                _ => None,
            });
            words.collect::<String>()
        };
        lines.iter().map(of).collect()
    }

    #[test]
    fn no_line_is_wider_than_its_room_and_no_word_is_lost() {
        let style = Style::plain(10.0);
        let text = "Start at least 1 3/8 in past the small end, every pass: 0.99 in is backlash.";
        for limit in [20.0, 60.0, 100.0, 500.0] {
            let lines = set(&bits(&text.into(), style), style, 5.0, limit);
            assert!(lines.iter().all(|line| line.wide <= limit + 0.1), "{limit}");
            let joined = told(&lines).join(" ");
            if limit >= 60.0 {
                assert_eq!(joined, text, "{limit}");
            }
            let letters = |text: &str| text.replace(' ', "");
            assert_eq!(letters(&joined), letters(text), "{limit}");
        }
    }

    #[test]
    fn a_change_of_face_keeps_its_space_and_makes_none() {
        let style = Style::plain(10.0);
        let words = tautway_words::starred("*STOP IF* it slips*.*");
        let lines = set(&bits(&words, style), style, 0.0, 500.0);
        assert_eq!(told(&lines), ["STOP IF it slips."]);
        let blank = set(&bits(&"at ______ in".into(), style), style, 0.0, 500.0);
        assert_eq!(blank[0].marks.len(), 3);
    }
}
