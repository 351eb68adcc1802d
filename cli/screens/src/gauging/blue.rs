//! `tautway gauging blue`.

use tautway_sim::gauging::{Bearing, Blue, BlueSign, Gauge, Gauged, Refusal, unseen};
use tautway_sim::quantity::{INCH, Quantity, Units};
use tautway_sim::scenario::numbers::attachment;
use tautway_sim::scenario::{Condition, End, Toward};
use tautway_sim::setup::{Face, Feed, Rotation, Setup};

use super::asked::{self, Bears};
use super::page::{Blued, Page, Sum};
use super::units::units;
use crate::screen::found::{fine_length, length, taper, taper_half};
use crate::typed::TypedLength;

/// The answer.
///
/// # Errors
/// When the numbers don't go together.
pub fn answer(args: &asked::Blue, asked: Option<Units>) -> Result<Page, Refusal> {
    let lengths = [
        &args.shake,
        &args.over,
        &args.mark,
        &args.film,
        &args.guide_end,
    ];
    let mut metric: Vec<bool> = lengths
        .iter()
        .filter_map(|typed| typed.as_ref())
        .map(|typed| typed.metric)
        .collect();
    metric.push(args.taper.metric);
    let mut page = Page::new(units(asked, &metric));
    match args.bears {
        Bears::Big => one_end(&mut page, args, Bearing::Big)?,
        Bears::Small => one_end(&mut page, args, Bearing::Small)?,
        Bears::All => all_along(&mut page, args)?,
        Bears::Uneven => {
            page.line("Both ends alone, or the middle alone: the taper isn't straight.");
            page.line(
                "Nudging the guide won't mend that. Look for a curved or worn guide bar, a change \
                 of seat part way, or a fault of the gauge.",
            );
            page.found = Some(Sum::Blue(Blued::Uneven { straight: false }));
        }
    }
    Ok(page)
}

fn film(args: &asked::Blue) -> Gauged {
    // Common practice, no source: a thin film of blue.
    let assumed = Gauged::with(0.0003 * INCH, Gauge::Blue);
    args.film
        .as_ref()
        .map_or(assumed, |film| film.by(Gauge::Blue))
}

fn guide_end(args: &asked::Blue) -> Gauged {
    let known = attachment::GUIDE_END.of(Condition::Ordinary);
    match &args.guide_end {
        Some(typed) => typed.nominal(),
        None => Gauged {
            value: known.si(),
            half: (known.high.si() - known.low.si()) / 2.0,
            assumed: true,
        },
    }
}

fn over(args: &asked::Blue) -> Option<Gauged> {
    args.over.as_ref().map(|over| over.by(Gauge::Rule))
}

fn all_along(page: &mut Page, args: &asked::Blue) -> Result<(), Refusal> {
    page.line("Even along the whole taper: leave the guide where it is.");
    let mut limit = None;
    if let Some(length) = over(args) {
        let film = page.input("film of blue", film(args));
        let length = page.input("length", length);
        let hidden = unseen(film, length)?;
        page.line(format!(
            "Blue this thick over {} can hide a taper error of up to {} either way.",
            fine_length(length.value, page.units),
            taper_half(hidden.value + hidden.half, page.units)
        ));
        limit = Some(hidden);
    }
    page.found = Some(Sum::Blue(Blued::Even {
        straight: true,
        hidden_taper_error: limit,
    }));
    Ok(())
}

fn sign(page: &mut Page, args: &asked::Blue) -> Option<BlueSign> {
    let by_rule = |typed: &TypedLength| typed.by(Gauge::Rule);
    if let (Some(shake), Some(over)) = (&args.shake, over(args)) {
        return Some(BlueSign::Shake {
            total: page.input("shake", shake.by(Gauge::Indicator)),
            over: page.input("length", over),
        });
    }
    let mark = args.mark.as_ref().map(by_rule)?;
    Some(BlueSign::Mark {
        length: page.input("mark", mark),
        film: page.input("film of blue", film(args)),
    })
}

fn one_end(page: &mut Page, args: &asked::Blue, bears: Bearing) -> Result<(), Refusal> {
    let setup = Setup {
        kind: args.kind,
        big_end: args.big_end,
        side: args.side,
        // Neither feed nor rotation has a part in where the guide stands.
        feed: Feed::Headstock,
        rotation: Rotation::Forward,
        face: Face::Up,
    };
    let sign = sign(page, args);
    let guide_end = match sign {
        Some(_) => page.input("guide's end from its pivot", guide_end(args)),
        None => guide_end(args),
    };
    let correction = Blue {
        setup,
        wanted: args.taper.taper,
        bears,
        sign,
        guide_end,
        end: args.nudge,
    }
    .correction()?;
    let how = if correction.steeper {
        "steeper"
    } else {
        "shallower"
    };
    page.line(format!("The work is {how} than the gauge."));
    let end = match args.nudge {
        End::Headstock => "headstock",
        End::Tailstock => "tailstock",
    };
    let toward = match correction.toward {
        Toward::Operator => "toward the operator",
        Toward::Away => "away from the operator",
    };
    match &correction.amount {
        Some(amount) => {
            page.line(format!(
                "Nudge the guide's {end} end {toward} by {}, square to the bar.",
                length(&amount.nudge, page.units)
            ));
            let mut error = amount.taper_error.clone();
            error.value = error.value.abs();
            page.line(format!(
                "Taper error: {} {how}, on diameter.",
                taper(&error, page.units)
            ));
            page.mostly_from("the nudge", &amount.nudge);
        }
        None => {
            page.line(format!("Nudge the guide's {end} end {toward}."));
            page.line(
                "How far: rock the gauge on its bearing end with an indicator at the other \
                 (--shake, --over),\nor measure how long the mark of blue is (--mark).",
            );
        }
    }
    page.line(
        "Put an indicator on that end before slackening the bolts; cut again and blue again.",
    );
    page.found = Some(Sum::Blue(Blued::OneEnd {
        nudged_end: args.nudge,
        correction,
    }));
    Ok(())
}
