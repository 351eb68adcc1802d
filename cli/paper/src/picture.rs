//! Figures: their SVG read, and drawn as lines and areas.

use std::sync::Arc;

use krilla::color::rgb;
use krilla::geom::{Path, PathBuilder, Transform};
use krilla::num::NormalizedF32;
use krilla::paint::{Fill, FillRule, LineCap, LineJoin, Stroke, StrokeDash};
use krilla::surface::Surface;
use resvg::tiny_skia::PathSegment;
use resvg::usvg::{self, Group, Node, Options, PaintOrder, Tree, fontdb};
use tautway_words::{Block, Document};

/// Colours that a page gives to the sketches that have classes alone.
const SKETCH: &str = "<style>
text { font-family: 'DejaVu Sans'; }
.line { stroke: #000; stroke-width: 2; fill: none; }
.metal { fill: #d8dcdf; stroke: #000; stroke-width: 1.6; }
.light { fill: #eef0f1; stroke: #000; stroke-width: 1.6; }
.slide { fill: #c3d9e6; stroke: #000; stroke-width: 1.6; }
.axis { stroke: #333; stroke-width: 1; stroke-dasharray: 10 4 2 4; fill: none; }
.lead { stroke: #333; stroke-width: 1.2; fill: none; }
.tag { fill: #fff; stroke: #000; stroke-width: 1.6; }
.black { fill: #000; }
</style>";

/// The figures of a document, each with its text.
pub struct Pictures(Vec<(String, Tree)>);

impl Pictures {
    /// Read once, however often they are set.
    pub fn of(document: &Document) -> Self {
        let mut faces = fontdb::Database::new();
        for face in tautway_figures::FACES {
            faces.load_font_data(face.to_vec());
        }
        let options = Options {
            font_family: "DejaVu Sans".to_owned(),
            fontdb: Arc::new(faces),
            ..Options::default()
        };
        let figures = document.walk().filter_map(|block| match block {
            Block::Figure(figure) => Some((figure.svg.clone(), read(&figure.svg, &options))),
            _ => None,
        });
        Self(figures.collect())
    }

    /// Which one this is.
    pub fn number(&self, svg: &str) -> Option<usize> {
        self.0.iter().position(|(text, _)| text == svg)
    }

    /// Height over width.
    pub fn steepness(&self, number: usize) -> f32 {
        let size = self.0[number].1.size();
        size.height() / size.width()
    }

    /// Draws one, so wide, at the surface's origin.
    pub fn draw(&self, number: usize, wide: f32, surface: &mut Surface<'_>) {
        let (_, tree) = &self.0[number];
        let scale = wide / tree.size().width();
        surface.push_transform(&Transform::from_scale(scale, scale));
        group(tree.root(), 1.0, surface);
        surface.pop();
    }
}

/// An element that stands in a page has neither its language's name nor the page's look.
fn read(svg: &str, options: &Options<'_>) -> Tree {
    let named = match svg.contains("xmlns=") {
        true => svg.to_owned(),
        false => {
            let named = svg.replacen("<svg ", "<svg xmlns=\"http://www.w3.org/2000/svg\" ", 1);
            named.replacen('>', &format!(">{SKETCH}"), 1)
        }
    };
    Tree::from_str(&named, options).expect("figures are written as well-formed SVG")
}

fn group(of: &Group, opacity: f32, surface: &mut Surface<'_>) {
    let opacity = opacity * of.opacity().get();
    surface.push_transform(&transform(of.transform()));
    for node in of.children() {
        match node {
            Node::Group(inner) => group(inner, opacity, surface),
            Node::Path(path) => draw(path, opacity, surface),
            Node::Text(text) => group(text.flattened(), opacity, surface),
            Node::Image(_) => {}
        }
    }
    surface.pop();
}

fn transform(of: usvg::Transform) -> Transform {
    Transform::from_row(of.sx, of.ky, of.kx, of.sy, of.tx, of.ty)
}

fn draw(path: &usvg::Path, opacity: f32, surface: &mut Surface<'_>) {
    let Some(outline) = outline(path).filter(|_| path.is_visible()) else {
        return;
    };
    let fill = path.fill().and_then(|fill| {
        Some(Fill {
            paint: colour(fill.paint())?.into(),
            opacity: part(opacity * fill.opacity().get()),
            rule: match fill.rule() {
                usvg::FillRule::NonZero => FillRule::NonZero,
                usvg::FillRule::EvenOdd => FillRule::EvenOdd,
            },
        })
    });
    let stroke = path.stroke().and_then(|stroke| {
        Some(Stroke {
            paint: colour(stroke.paint())?.into(),
            width: stroke.width().get(),
            miter_limit: stroke.miterlimit().get(),
            line_cap: match stroke.linecap() {
                usvg::LineCap::Butt => LineCap::Butt,
                usvg::LineCap::Round => LineCap::Round,
                usvg::LineCap::Square => LineCap::Square,
            },
            line_join: match stroke.linejoin() {
                usvg::LineJoin::Round => LineJoin::Round,
                usvg::LineJoin::Bevel => LineJoin::Bevel,
                _ => LineJoin::Miter,
            },
            opacity: part(opacity * stroke.opacity().get()),
            dash: stroke.dasharray().map(|array| StrokeDash {
                array: array.to_vec(),
                offset: stroke.dashoffset(),
            }),
        })
    });
    let mut once = |fill: Option<Fill>, stroke: Option<Stroke>| {
        if fill.is_some() || stroke.is_some() {
            surface.set_fill(fill);
            surface.set_stroke(stroke);
            surface.draw_path(&outline);
        }
    };
    match path.paint_order() {
        PaintOrder::FillAndStroke => once(fill, stroke),
        PaintOrder::StrokeAndFill => {
            once(None, stroke);
            once(fill, None);
        }
    }
    surface.set_stroke(None);
}

fn outline(path: &usvg::Path) -> Option<Path> {
    let mut made = PathBuilder::new();
    for segment in path.data().segments() {
        match segment {
            PathSegment::MoveTo(to) => made.move_to(to.x, to.y),
            PathSegment::LineTo(to) => made.line_to(to.x, to.y),
            PathSegment::QuadTo(by, to) => made.quad_to(by.x, by.y, to.x, to.y),
            PathSegment::CubicTo(by, and, to) => {
                made.cubic_to(by.x, by.y, and.x, and.y, to.x, to.y);
            }
            PathSegment::Close => made.close(),
        }
    }
    made.finish()
}

/// Figures are painted in plain colours.
fn colour(paint: &usvg::Paint) -> Option<rgb::Color> {
    match paint {
        usvg::Paint::Color(colour) => Some(rgb::Color::new(colour.red, colour.green, colour.blue)),
        _ => None,
    }
}

fn part(opacity: f32) -> NormalizedF32 {
    NormalizedF32::new(opacity.clamp(0.0, 1.0)).unwrap_or(NormalizedF32::ONE)
}
