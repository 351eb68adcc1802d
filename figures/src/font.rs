//! The embedded font: loads it once and measures text with it.

#[cfg(feature = "png")]
use std::sync::{Arc, LazyLock};

#[cfg(feature = "png")]
use resvg::usvg::{Options, Tree, fontdb::Database};

#[cfg(not(feature = "png"))]
pub(crate) use crate::advances::width;

/// Family name of both faces.
pub(crate) const FAMILY: &str = "DejaVu Sans";

/// The embedded face, plain and bold.
#[cfg(feature = "png")]
pub const FACES: [&[u8]; 2] = [
    include_bytes!("../font/DejaVuSans.ttf"),
    include_bytes!("../font/DejaVuSans-Bold.ttf"),
];

#[cfg(feature = "png")]
static KNOWN: LazyLock<Arc<Database>> = LazyLock::new(|| {
    let mut faces = Database::new();
    for face in FACES {
        faces.load_font_data(face.to_vec());
    }
    faces.set_sans_serif_family(FAMILY);
    Arc::new(faces)
});

/// Reading options that know the embedded font and no other.
#[cfg(feature = "png")]
pub(crate) fn options() -> Options<'static> {
    Options {
        font_family: FAMILY.into(),
        fontdb: Arc::clone(&KNOWN),
        ..Options::default()
    }
}

/// Width of a line of text, px.
#[cfg(feature = "png")]
pub(crate) fn width(text: &str, size: f64, bold: bool) -> f64 {
    let weight = if bold { "bold" } else { "normal" };
    let svg = format!(
        "<svg xmlns='http://www.w3.org/2000/svg' width='9' height='9'><text font-size='{size}' \
         font-family='{FAMILY}' font-weight='{weight}'>{}</text></svg>",
        crate::markup::escape(text)
    );
    Tree::from_str(&svg, &options()).map_or(0.0, |tree| {
        f64::from(tree.root().abs_bounding_box().width())
    })
}

/// Breaks text into lines no wider than `limit` px; a longer word stands alone.
pub(crate) fn wrap(text: &str, size: f64, bold: bool, limit: f64) -> Vec<String> {
    let space = 0.32 * size;
    let mut lines = Vec::new();
    let mut line = String::new();
    let mut used = 0.0;
    for word in text
        .split([' ', '\n', '\t'])
        .filter(|word| !word.is_empty())
    {
        let wide = width(word, size, bold);
        if !line.is_empty() && used + space + wide > limit {
            lines.push(std::mem::take(&mut line));
        }
        if line.is_empty() {
            used = wide;
        } else {
            line.push(' ');
            used += space + wide;
        }
        line.push_str(word);
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}
