//! The face that all is set in: its glyphs, and how far each goes.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use krilla::text::{Font, GlyphId, KrillaGlyph};
use skrifa::instance::{LocationRef, Size};
use skrifa::{FontRef, MetadataProvider};

/// Plain or bold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Face {
    /// As most words are.
    Plain,
    /// What stands out.
    Bold,
}

/// A face that was read.
struct Known {
    font: Font,
    /// Number and advance, in parts of the size.
    glyphs: BTreeMap<char, (u32, f32)>,
    /// Advance of the box for a letter that the face hasn't.
    missing: f32,
}

static KNOWN: LazyLock<[Known; 2]> = LazyLock::new(|| tautway_figures::FACES.map(known));

fn known(bytes: &'static [u8]) -> Known {
    let font = Font::new(bytes.into(), 0).expect("the face in the program is one");
    let face = FontRef::new(bytes).expect("the face in the program is one");
    let advances = face.glyph_metrics(Size::new(1.0), LocationRef::default());
    let letters = face.charmap().mappings().filter_map(|(letter, glyph)| {
        let letter = char::from_u32(letter)?;
        Some((letter, (glyph.to_u32(), advances.advance_width(glyph)?)))
    });
    Known {
        font,
        glyphs: letters.collect(),
        missing: advances.advance_width(0_u32.into()).unwrap_or(0.6),
    }
}

impl Known {
    fn glyph(&self, letter: char) -> (u32, f32) {
        let glyph = self.glyphs.get(&letter).copied();
        glyph.unwrap_or((0, self.missing))
    }
}

impl Face {
    fn known(self) -> &'static Known {
        &KNOWN[self as usize]
    }

    /// For the writer of the file.
    pub fn font(self) -> Font {
        self.known().font.clone()
    }

    /// Width of words in letters of a size.
    pub fn width(self, words: &str, size: f32) -> f32 {
        let known = self.known();
        let wide: f32 = words.chars().map(|letter| known.glyph(letter).1).sum();
        wide * size
    }

    /// Words as glyphs, one a letter.
    pub fn glyphs(self, words: &str) -> Vec<KrillaGlyph> {
        let known = self.known();
        let each = words.char_indices().map(|(at, letter)| {
            let (number, advance) = known.glyph(letter);
            KrillaGlyph {
                glyph_id: GlyphId::new(number),
                text_range: at..at + letter.len_utf8(),
                x_advance: advance,
                x_offset: 0.0,
                y_offset: 0.0,
                y_advance: 0.0,
                location: None,
            }
        });
        each.collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_faces_have_what_the_program_says_and_bold_is_wider() {
        let words =
            "STOP IF \u{2190} 1-1/2 in, 60 \u{b0}F \u{b1} 0.0005 \u{2713} \u{2013} \u{2022}";
        for face in [Face::Plain, Face::Bold] {
            let glyphs = face.glyphs(words);
            assert_eq!(glyphs.len(), words.chars().count());
            assert!(glyphs.iter().all(|glyph| glyph.glyph_id.to_u32() > 0));
        }
        let [plain, bold] = [Face::Plain, Face::Bold].map(|face| face.width(words, 10.0));
        assert!(plain > 100.0 && bold > plain, "{plain} {bold}");
        assert_eq!(Face::Plain.glyphs("\u{4e2d}")[0].glyph_id.to_u32(), 0);
    }
}
