//! What stands on paper, in points from a corner, y down: words, lines, boxes, pictures; and strips of
//! them, which no page tears.

use std::rc::Rc;

use crate::face::Face;

/// Points to a millimetre; 72 are an inch.
pub const MM: f32 = 2.834_645_7;

/// Red, green, blue.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Colour(pub u8, pub u8, pub u8);

/// Ink.
pub const BLACK: Colour = Colour(0, 0, 0);
/// Paper.
pub const WHITE: Colour = Colour(255, 255, 255);
/// Fine lines, and what is beside the matter.
pub const GREY: Colour = Colour(0x70, 0x70, 0x70);
/// What can hurt.
pub const RED: Colour = Colour(0xb0, 0, 0);

/// A place, or width and height.
pub type Place = (f32, f32);

/// A mark on paper.
#[derive(Clone, Debug)]
pub enum Mark {
    /// Words on one line.
    Words {
        /// Left end of the line that they stand on.
        at: Place,
        /// Of the letters.
        size: f32,
        /// Plain or bold.
        face: Face,
        /// Their colour.
        colour: Colour,
        /// The words.
        words: String,
    },
    /// A line.
    Line {
        /// One end.
        from: Place,
        /// The other.
        to: Place,
        /// How thick.
        width: f32,
        /// Its colour.
        colour: Colour,
    },
    /// An upright box.
    Box {
        /// Its upper left corner.
        at: Place,
        /// Width and height.
        size: Place,
        /// Filled with.
        fill: Option<Colour>,
        /// How thick its edge is, and its colour.
        edge: Option<(f32, Colour)>,
    },
    /// A picture, by its number.
    Picture {
        /// Which.
        number: usize,
        /// Its upper left corner.
        at: Place,
        /// How wide; its height follows.
        wide: f32,
    },
}

impl Mark {
    fn shifted(&self, (dx, dy): Place) -> Self {
        let moved = |(x, y): Place| (x + dx, y + dy);
        let mut mark = self.clone();
        match &mut mark {
            Self::Words { at, .. } | Self::Box { at, .. } | Self::Picture { at, .. } => {
                *at = moved(*at);
            }
            Self::Line { from, to, .. } => {
                *from = moved(*from);
                *to = moved(*to);
            }
        }
        mark
    }
}

/// Marks that stay together.
#[derive(Clone, Debug, Default)]
pub struct Strip {
    /// Room above it, but at the top of a page.
    pub before: f32,
    /// Its own height.
    pub high: f32,
    /// Whether it stays with what follows.
    pub keep: bool,
    /// Whether it begins a page.
    pub new_page: bool,
    /// What is said again above it where it begins a page: a table's headings.
    pub again: Option<Rc<Strip>>,
    /// From its upper left corner.
    pub marks: Vec<Mark>,
}

impl Strip {
    /// Nothing but room.
    pub fn room(high: f32) -> Self {
        Self {
            high,
            ..Self::default()
        }
    }

    /// Its marks elsewhere.
    pub fn shifted(&self, by: Place) -> impl Iterator<Item = Mark> {
        self.marks.iter().map(move |mark| mark.shifted(by))
    }

    /// Set in from the left.
    pub fn set_in(mut self, by: f32) -> Self {
        self.marks = self.shifted((by, 0.0)).collect();
        self.again = self
            .again
            .map(|head| Rc::new(head.as_ref().clone().set_in(by)));
        self
    }
}

/// Height of strips one below the other, the first at the top.
pub fn height(strips: &[Strip]) -> f32 {
    let before: f32 = strips.iter().skip(1).map(|strip| strip.before).sum();
    before + strips.iter().map(|strip| strip.high).sum::<f32>()
}

/// Strips one below the other as one, and stacks beside each other, each at its distance from the
/// left.
pub fn beside<'a>(stacks: impl IntoIterator<Item = (f32, &'a [Strip])>) -> Strip {
    let mut whole = Strip::default();
    for (left, strips) in stacks {
        let mut y = 0.0;
        for (at, strip) in strips.iter().enumerate() {
            y += if at == 0 { 0.0 } else { strip.before };
            whole.marks.extend(strip.shifted((left, y)));
            y += strip.high;
        }
        if let Some(first) = strips.first() {
            whole.before = whole.before.max(first.before);
        }
        whole.high = whole.high.max(y);
    }
    whole
}
