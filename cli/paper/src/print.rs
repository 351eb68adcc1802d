//! A document printed: on one page, the letters as large as they go, or on as many as it takes.

use tautway_words::Document;

use crate::pages::{Frame, Page, flow};
use crate::parts::Look;
use crate::pdf::{Print, write};
use crate::picture::Pictures;
use crate::set::Setter;

impl Print<'_> {
    /// On one page, in the largest letters with which it is one.
    pub fn one_page(&self, document: &Document) -> Vec<u8> {
        let frame = Frame::new(self.paper, [6.4, 6.4, 6.4]);
        let pictures = Pictures::of(document);
        let pages = fitted(document, &pictures, &frame);
        write(self, document, &pages, &pictures, &frame)
    }

    /// On as many pages as it takes, numbered where they are more than one.
    pub fn pages(&self, document: &Document) -> Vec<u8> {
        let frame = Frame::new(self.paper, [13.0, 12.0, 16.0]);
        let pictures = Pictures::of(document);
        let setter = Setter::new(Look::Flow, 9.0, 1.0, &pictures, &frame);
        let pages = flow(&setter.sections(&document.blocks), &frame, &setter);
        write(self, document, &pages, &pictures, &frame)
    }
}

/// Sizes of a drawing as parts of its column, the largest first: one of the last stands beside its
/// words.
const DRAWINGS: [f32; 7] = [1.0, 0.92, 0.84, 0.76, 0.70, 0.62, 0.56];
/// Letters that are tried beside a large drawing, and the smallest of all, points.
const LETTERS: (f32, f32, f32) = (10.0, 8.0, 3.0);
/// From one size to the next, points.
const STEP: f32 = 0.1;

/// The largest drawing that leaves letters of a good size, then the largest letters beside it.
fn fitted(document: &Document, pictures: &Pictures, frame: &Frame) -> Vec<Page> {
    let (most, good, least) = LETTERS;
    let set = |letters: f32, drawing: f32| {
        let setter = Setter::new(Look::Sheet, letters, drawing, pictures, frame);
        flow(&setter.sections(&document.blocks), frame, &setter)
    };
    let steps = |from: f32, to: f32| {
        let count = ((from - to) / STEP).round() as u16;
        (0..=count).map(move |step| from - STEP * f32::from(step))
    };
    for drawing in DRAWINGS {
        for letters in steps(most, good) {
            let pages = set(letters, drawing);
            if pages.len() == 1 {
                return pages;
            }
        }
    }
    let smallest = DRAWINGS[DRAWINGS.len() - 1];
    let mut tried = steps(good, least).map(|letters| set(letters, smallest));
    let fits = tried.find(|pages| pages.len() == 1);
    fits.unwrap_or_else(|| set(least, smallest))
}
