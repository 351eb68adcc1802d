//! A finished drawing: font-free SVG text, and PNG bytes made from it.

#[cfg(feature = "png")]
use std::fmt;

#[cfg(feature = "png")]
use resvg::{
    tiny_skia::{Pixmap, Transform},
    usvg::{Indent, Options, Tree, WriteOptions},
};

#[cfg(feature = "png")]
use crate::font;
use crate::markup::escape;

/// Widest PNG that is made, px.
#[cfg(feature = "png")]
const WIDEST: u32 = 8192;

/// A drawing. The SVG scales to any width, needs no font and names itself to a screen reader.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Drawing {
    /// The SVG document, 900 px wide by nature.
    pub svg: String,
    /// The same with its text as text: a third as long, and in whatever font is there.
    pub lettered: String,
    /// What to see, in one line.
    pub title: String,
    /// The caption below the drawing.
    pub caption: String,
}

/// Why no PNG was made.
#[cfg(feature = "png")]
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PngError {
    /// The width asked for is nothing or more than 8192 px, or the height would be.
    Size(u32),
    /// The SVG can't be read.
    Svg(String),
    /// The picture can't be packed.
    Packing(String),
}

#[cfg(feature = "png")]
impl fmt::Display for PngError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Size(width) => write!(
                f,
                "a picture {width} px wide can't be made: ask for 1 to {WIDEST} px"
            ),
            Self::Svg(why) => write!(f, "the drawing can't be read: {why}"),
            Self::Packing(why) => write!(f, "the picture can't be packed: {why}"),
        }
    }
}

#[cfg(feature = "png")]
impl std::error::Error for PngError {}

impl Drawing {
    /// Outlines the text of `body` and closes it into a document. `name` and what is drawn keep
    /// the ids of several drawings in one page apart.
    pub(crate) fn close(
        name: &str,
        title: &str,
        caption: &str,
        body: &str,
        width: f64,
        height: f64,
    ) -> Self {
        let (width, height) = (width.round(), height.ceil());
        let (title, caption) = (title.replace('\u{a0}', " "), caption.replace('\u{a0}', " "));
        let name = format!("{name}-{:08x}", fingerprint(body));
        let inked = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}\" height=\"{height}\">\
             {body}</svg>"
        );
        let document = |drawn: &str| {
            let (_, rest) = drawn
                .split_once('>')
                .expect("a document opens with its svg element");
            format!(
                "<svg xmlns=\"http://www.w3.org/2000/svg\" \
                 xmlns:xlink=\"http://www.w3.org/1999/xlink\" width=\"{width}\" \
                 height=\"{height}\" viewBox=\"0 0 {width} {height}\" role=\"img\" \
                 aria-labelledby=\"{name}-title {name}-desc\">\
                 <title id=\"{name}-title\">{}</title><desc id=\"{name}-desc\">{}</desc>{rest}",
                escape(&title),
                escape(&caption),
            )
        };
        Self {
            lettered: document(&named(&inked, &name)),
            svg: document(&outlined(inked, &name)),
            title,
            caption,
        }
    }

    /// The drawing as PNG, `width_px` wide and as high as it then is.
    ///
    /// # Errors
    /// [`PngError::Size`] for a width of nothing or too much; the others only where `svg` was
    /// changed by hand.
    #[cfg(feature = "png")]
    pub fn png(&self, width_px: u32) -> Result<Vec<u8>, PngError> {
        let tree = Tree::from_str(&self.svg, &Options::default())
            .map_err(|why| PngError::Svg(why.to_string()))?;
        let scale = width_px as f32 / tree.size().width();
        let height = (tree.size().height() * scale).round().max(1.0);
        if width_px == 0 || width_px > WIDEST || height > 4.0 * WIDEST as f32 {
            return Err(PngError::Size(width_px));
        }
        let mut pixels = Pixmap::new(width_px, height as u32).ok_or(PngError::Size(width_px))?;
        resvg::render(
            &tree,
            Transform::from_scale(scale, scale),
            &mut pixels.as_mut(),
        );
        pixels
            .encode_png()
            .map_err(|why| PngError::Packing(why.to_string()))
    }
}

/// With text as outlines, and ids that begin with the name.
#[cfg(feature = "png")]
fn outlined(inked: String, name: &str) -> String {
    let tree = Tree::from_str(&inked, &font::options())
        .expect("ink writes well-formed SVG: text is escaped and numbers are finite");
    tree.to_string(&WriteOptions {
        id_prefix: Some(format!("{name}-")),
        coordinates_precision: 2,
        transforms_precision: 4,
        indent: Indent::None,
        ..WriteOptions::default()
    })
}

/// As it was inked: the page has the font.
#[cfg(not(feature = "png"))]
fn outlined(inked: String, _: &str) -> String {
    inked
}

/// With ids that begin with the name, so that several stand in one page.
fn named(inked: &str, name: &str) -> String {
    let ids = inked.replace(" id=\"", &format!(" id=\"{name}-"));
    ids.replace("url(#", &format!("url(#{name}-"))
}

/// FNV-1a, 32 bits: the same on every machine and with every compiler, which the hasher of the
/// standard library doesn't promise.
/// Source of the constants: Fowler, Noll, Vo, "The FNV Non-Cryptographic Hash Algorithm" (IETF
/// draft); from memory.
fn fingerprint(text: &str) -> u32 {
    text.bytes().fold(0x811c_9dc5, |hash, byte| {
        (hash ^ u32::from(byte)).wrapping_mul(0x0100_0193)
    })
}
