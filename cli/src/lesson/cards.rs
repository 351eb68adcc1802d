//! The lesson's still drawings: the parts with their numbers, the four cards, front and back.

use std::fmt::Write;

use tautway_figures::{SetupView, setup_plan};
use tautway_sim::lesson::Card;
use tautway_sim::quantity::Quantity;
use tautway_sim::scenario::{End, Kind};

use super::page::{Piece, write_pieces};
use super::told::Told;

const PARTS: &str = include_str!("parts.svg");

/// The lathe from above with numbered parts, and their names to tick.
pub fn parts(plain: bool) -> Piece {
    let names = [
        "*1* bed",
        "*2* headstock and chuck",
        "*3* tailstock",
        "*4* carriage",
        "*5* foot and rod, clamped to the bed",
        "*6* guide bar",
        "*7* shoe on the guide",
        if plain {
            "*8* draw bar, shoe to slide"
        } else {
            "*8* cross screw, drawn by the shoe"
        },
        if plain {
            "*9* cross nut, let go"
        } else {
            "*9* cross nut"
        },
        "*10* cross-slide",
        "*11* top slide, post and tool",
        "*12* cross dial",
    ];
    let mut html = format!("<div class=\"parts\">\n{PARTS}\n");
    write_pieces(
        &mut html,
        &[Piece::Ticks(names.map(str::to_owned).to_vec())],
        "names",
    );
    html.push_str("</div>\n");
    Piece::Drawn(html)
}

/// The four cards, each with two things to tick.
pub fn four(cards: &[Card; 4]) -> String {
    let mut html = String::from("<div class=\"cards\">\n");
    for (at, card) in cards.iter().enumerate() {
        let name = format!(
            "{}, big end {}",
            match card.kind {
                Kind::Outside => "Outside",
                Kind::Inside => "Bore",
            },
            match card.big_end {
                End::Headstock => "left",
                End::Tailstock => "right",
            }
        );
        let _ = write!(html, "<div>{}", sketch(card, &name));
        write_pieces(
            &mut html,
            &[Piece::Choose(
                format!("*{name}.* It pulls in when fed"),
                vec![
                    "\u{2190} toward the headstock",
                    "toward the tailstock \u{2192}",
                ],
            )],
            &format!("card{at}"),
        );
        html.push_str("</div>\n");
    }
    html.push_str("</div>\n");
    html
}

/// Work in its chuck from above, tool in front; the headstock is on the left.
fn sketch(card: &Card, name: &str) -> String {
    let (left, right) = match card.big_end {
        End::Headstock => (34, 20),
        End::Tailstock => (20, 34),
    };
    let (l, r) = (55 - left, 55 - right);
    let (l2, r2) = (55 + left, 55 + right);
    let (work, tip) = match card.kind {
        Kind::Outside => (
            format!("<path class=\"metal\" d=\"M50 {l}L200 {r}L200 {r2}L50 {l2}Z\"/>"),
            82,
        ),
        Kind::Inside => (
            format!(
                "<path class=\"metal\" d=\"M50 8L200 8L200 {r}L50 {l}Z\"/>\
                 <path class=\"metal\" d=\"M50 {l2}L200 {r2}L200 102L50 102Z\"/>"
            ),
            82,
        ),
    };
    let tool = match card.kind {
        Kind::Outside => format!(
            "<path class=\"black\" d=\"M125 {tip}L118 {0}L118 125L132 125L132 {0}Z\"/>",
            tip + 10
        ),
        // The bar comes from the tailstock, its edge at the front wall.
        Kind::Inside => {
            "<path class=\"black\" d=\"M125 82L119 74L119 62L236 62L236 74L131 74Z\"/>".to_owned()
        }
    };
    format!(
        "<svg class=\"sketch\" viewBox=\"0 0 240 130\" role=\"img\" aria-label=\"{name}, seen from \
         above, tool in front\"><path class=\"light\" d=\"M8 18L40 18L40 92L8 92Z\"/>\
         <path class=\"metal\" d=\"M40 28L50 28L50 82L40 82Z\"/>{work}\
         <path class=\"axis\" d=\"M2 55L238 55\"/>{tool}</svg>"
    )
}

/// The chosen feed from above, tool in front and at the back.
pub fn plans(told: &Told<'_>) -> String {
    let sheet = &told.lesson.sheet;
    let behind = &told.lesson.behind;
    let mut html = String::from("<div class=\"plans\">\n");
    for setup in [behind.front.setup, behind.reversed.setup] {
        let drawing = setup_plan(
            &setup,
            &SetupView {
                slope: sheet.drawing.aim.slope(),
                length: sheet.drawing.length.si(),
                big_diameter: sheet.drawing.big.si(),
                run_in: sheet.run_in.start,
                preload: None,
                units: told.units,
            },
        );
        html.push_str("<figure>");
        html.push_str(&drawing.svg);
        html.push_str("</figure>\n");
    }
    html.push_str("</div>\n");
    html
}
