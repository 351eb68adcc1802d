//! Pages of marks as a PDF.

use krilla::color::rgb;
use krilla::embed::{AssociationKind, EmbeddedFile, MimeType};
use krilla::geom::{Path, PathBuilder, Point, Rect, Transform};
use krilla::metadata::Metadata;
use krilla::page::PageSettings;
use krilla::paint::{Fill, Stroke};
use krilla::surface::Surface;
use tautway_words::{Block, Document, Download};

use crate::face::Face;
use crate::mark::{Colour, GREY, Mark};
use crate::pages::{Frame, Page};
use crate::picture::Pictures;

/// Letters of the page's number, points.
const NUMBER: f32 = 7.5;

/// A document to be printed.
pub struct Print<'a> {
    /// What it is, for whoever asks whether this program wrote it: `report`.
    pub kind: &'a str,
    /// Version of the program.
    pub version: &'a str,
    /// What it is called.
    pub title: &'a str,
    /// Width and height of the paper, mm.
    pub paper: (f64, f64),
}

/// Whether a file's text is a PDF of this kind that this program wrote.
pub fn is_ours(text: &str, kind: &str) -> bool {
    text.starts_with("%PDF-") && text.contains(&format!("(tautway {kind} "))
}

/// The pages as a file, with what its document has to save in it.
pub fn write(
    print: &Print<'_>,
    document: &Document,
    pages: &[Page],
    pictures: &Pictures,
    frame: &Frame,
) -> Vec<u8> {
    let mut made = krilla::Document::new();
    made.set_metadata(
        Metadata::new()
            .title(print.title.to_owned())
            .creator(format!("tautway {} {}", print.kind, print.version))
            .language("en".to_owned()),
    );
    for (at, marks) in pages.iter().enumerate() {
        let (wide, high) = frame.paper;
        let settings = PageSettings::from_wh(wide, high).expect("paper has a width and a height");
        let mut page = made.start_page_with(settings);
        let mut surface = page.surface();
        for mark in marks {
            draw(mark, pictures, &mut surface);
        }
        if pages.len() > 1 {
            draw(
                &number(print, at, pages.len(), frame),
                pictures,
                &mut surface,
            );
        }
        surface.finish();
        page.finish();
    }
    for block in document.walk() {
        if let Block::Download(download) = block {
            // A name that is there already is the same file.
            let _ = made.embed_file(attached(download));
        }
    }
    made.finish()
        .expect("no rule was asked for that it could break")
}

fn attached(download: &Download) -> EmbeddedFile {
    EmbeddedFile {
        path: download.name.clone(),
        mime_type: MimeType::new(download.kind),
        description: None,
        association_kind: AssociationKind::Data,
        data: download.text.clone().into_bytes().into(),
        modification_date: None,
        compress: Some(true),
        location: None,
    }
}

/// Below the frame, at its right.
fn number(print: &Print<'_>, at: usize, of: usize, frame: &Frame) -> Mark {
    let words = format!("{}, page {} of {of}", print.title, at + 1);
    let wide = Face::Plain.width(&words, NUMBER);
    let right = frame.at.0 + frame.size.0;
    let below = frame.at.1 + frame.size.1;
    Mark::Words {
        at: ((right - wide).max(frame.at.0), below + 2.2 * NUMBER),
        size: NUMBER,
        face: Face::Plain,
        colour: GREY,
        words,
    }
}

fn draw(mark: &Mark, pictures: &Pictures, surface: &mut Surface<'_>) {
    match mark {
        Mark::Words {
            at,
            size,
            face,
            colour,
            words,
        } => {
            surface.set_fill(Some(fill(*colour)));
            let start = Point::from_xy(at.0, at.1);
            let glyphs = face.glyphs(words);
            surface.draw_glyphs(start, &glyphs, face.font(), words, *size, false);
        }
        Mark::Line {
            from,
            to,
            width,
            colour,
        } => {
            let mut path = PathBuilder::new();
            path.move_to(from.0, from.1);
            path.line_to(to.0, to.1);
            if let Some(path) = path.finish() {
                along(&path, *width, *colour, surface);
            }
        }
        Mark::Box {
            at,
            size,
            fill: filled,
            edge,
        } => {
            let mut path = PathBuilder::new();
            if let Some(area) = Rect::from_xywh(at.0, at.1, size.0, size.1) {
                path.push_rect(area);
            }
            let Some(path) = path.finish() else {
                return;
            };
            if let Some(colour) = filled {
                surface.set_fill(Some(fill(*colour)));
                surface.draw_path(&path);
            }
            if let Some((width, colour)) = edge {
                along(&path, *width, *colour, surface);
            }
        }
        Mark::Picture { number, at, wide } => {
            surface.push_transform(&Transform::from_translate(at.0, at.1));
            pictures.draw(*number, *wide, surface);
            surface.pop();
        }
    }
}

fn along(path: &Path, width: f32, colour: Colour, surface: &mut Surface<'_>) {
    surface.set_fill(None);
    surface.set_stroke(Some(Stroke {
        paint: ink(colour).into(),
        width,
        ..Stroke::default()
    }));
    surface.draw_path(path);
    surface.set_stroke(None);
}

fn fill(colour: Colour) -> Fill {
    Fill {
        paint: ink(colour).into(),
        ..Fill::default()
    }
}

fn ink(Colour(red, green, blue): Colour) -> rgb::Color {
    rgb::Color::new(red, green, blue)
}
