//! The lesson's still drawings: the parts with their numbers, the four cards, front and back.

use tautway_figures::{SetupView, setup_plan, work_sketch};
use tautway_sim::lesson::Card;
use tautway_sim::quantity::Quantity;
use tautway_sim::scenario::{End, Kind};

use tautway_words::{Block, Figure};

use super::page;
use super::told::Told;

const PARTS: &str = include_str!("parts.svg");

/// The lathe from above with numbered parts, and their names to tick.
pub fn parts(plain: bool) -> Block {
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
    let svg = PARTS.to_owned();
    page::framed(
        "parts",
        vec![Block::Figure(Figure { svg }), page::ticks(names)],
    )
}

/// The four cards, each with two things to tick.
pub fn four(cards: &[Card; 4]) -> Block {
    let cards = cards.iter().map(|card| {
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
        let svg = work_sketch(card.kind, card.big_end, &name);
        let asked = page::choose(
            format!("*{name}.* It pulls in when fed"),
            &[
                "\u{2190} toward the headstock",
                "toward the tailstock \u{2192}",
            ],
        );
        page::framed("", vec![Block::Figure(Figure { svg }), asked])
    });
    page::framed("cards", cards.collect())
}

/// The chosen feed from above, tool in front and at the back.
pub fn plans(told: &Told<'_>) -> Block {
    let sheet = &told.lesson.sheet;
    let behind = &told.lesson.behind;
    let view = SetupView {
        slope: sheet.drawing.aim.slope(),
        length: sheet.drawing.length.si(),
        big_diameter: sheet.drawing.big.si(),
        run_in: sheet.run_in.start,
        preload: None,
        units: told.units,
    };
    let plans = [behind.front.setup, behind.reversed.setup].map(|setup| {
        let svg = setup_plan(&setup, &view).svg;
        Block::Figure(Figure { svg })
    });
    page::framed("plans", plans.to_vec())
}
