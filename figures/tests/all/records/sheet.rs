//! What every drawing must be.

use resvg::usvg::{Group, Node, Options, Tree};
use tautway_figures::Drawing;

/// Reads the SVG with no font at all and finds it whole.
pub fn check(drawing: &Drawing) {
    let tree = Tree::from_str(&drawing.svg, &Options::default()).expect("SVG that can be read");
    assert_eq!(tree.size().width(), 900.0);
    assert!(tree.size().height() > 100.0 && tree.size().height() < 3000.0);
    assert!(!has_text(tree.root()), "text needs a font");
    let inked = tree.root().abs_bounding_box();
    assert!(inked.width() >= 899.0, "the white ground is missing");
    for word in ["NaN", "inf", "<text", "<image", "font-family"] {
        assert!(!drawing.svg.contains(word), "{word} in the SVG");
    }
    for part in [
        "<title id=",
        "<desc id=",
        "role=\"img\"",
        "viewBox=\"0 0 900 ",
    ] {
        assert!(drawing.svg.contains(part), "no {part} in the SVG");
    }
    assert!(!drawing.title.is_empty() && !drawing.caption.is_empty());
}

fn has_text(group: &Group) -> bool {
    group.children().iter().any(|node| match node {
        Node::Text(_) => true,
        Node::Group(group) => has_text(group),
        _ => false,
    })
}
