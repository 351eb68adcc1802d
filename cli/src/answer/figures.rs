//! Which figures go with an answer, and what each is called.

use tautway_figures::{
    SetupView, bore, cut_beside, lost_motion, mend, setup_from_above, spread, surfaces,
};
use tautway_sim::compare::Way;
use tautway_sim::cut::aimed_taper;
use tautway_sim::quantity::Quantity;
use tautway_sim::regime_map;
use tautway_sim::setup::{Feed, Pull, Rotation, Setup, Side};

use super::found::Found;
use super::given::Figure;
use crate::progress::Progress;
use tautway_screens::screen;

/// Every figure of an answer.
pub fn of(answer: &Found<'_>, progress: &Progress) -> Vec<Figure> {
    let scenario = &answer.read.scenario;
    let units = answer.units;
    let mut figures = Vec::new();
    let mut add = |name: String, drawing| figures.push(Figure { name, drawing });
    // Every figure is of the attachment.
    let first = answer.ways.first();
    let Some(first) = first.filter(|_| scenario.lathe.attachment.fitted) else {
        return figures;
    };
    let work = &scenario.job.work;
    let view = SetupView {
        slope: aimed_taper(scenario) / 2.0,
        length: work.length.si(),
        big_diameter: work.end_diameters().0.si(),
        run_in: first.start.wanted,
        preload: scenario.job.preload.map(|preload| preload.toward),
        units,
    };
    add("setup".to_owned(), setup_from_above(&first.setup, &view));
    if let Some(run) = &first.run {
        add("lost-motion".to_owned(), lost_motion(&run.reversal, units));
    }
    if let Some(drawing) = first.room.as_ref().and_then(|room| bore(room, units)) {
        add("bore".to_owned(), drawing);
    }
    let feasible: Vec<(&&Way, _)> = answer
        .ways
        .iter()
        .filter_map(|way| way.run.as_ref().map(|run| (way, run)))
        .collect();
    let runs: Vec<_> = feasible.iter().map(|(_, run)| *run).collect();
    for (way, run) in &feasible {
        let drawing = cut_beside(run, &runs, units);
        add(format!("cut-{}", short_name(&way.setup)), drawing);
    }
    if !feasible.is_empty() {
        // The best of either pull: one beside the other is what there is to see.
        let best = |pull: Pull| feasible.iter().find(move |(way, _)| way.pull == pull);
        let named: Vec<_> = [Pull::In, Pull::Away, Pull::Neither]
            .into_iter()
            .filter_map(best)
            .map(|(way, run)| {
                let pull = match way.pull {
                    Pull::In => "Pulled in: ",
                    Pull::Away => "Drawn away: ",
                    Pull::Neither => "",
                };
                (format!("{pull}{}", screen::name_of(&way.setup)), *run)
            })
            .collect();
        add("surfaces".to_owned(), surfaces(&named, units));
    }
    if let Some(tried) = answer.spread {
        let rows: Vec<(String, String)> = tried
            .study
            .ways()
            .map(|setup| {
                let of = |way: &&&Way| way.setup == *setup;
                let expect = answer
                    .ways
                    .iter()
                    .find(of)
                    .and_then(|way| way.expect.as_ref());
                let good =
                    expect.map_or(String::new(), |expect| screen::good_of_100(&expect.met()));
                (screen::short_name_of(setup), good)
            })
            .collect();
        add(
            "spread".to_owned(),
            spread(&tried.outlook, &rows, work, units),
        );
        if let (Some(shares), Some((way, _))) = (&tried.mend, rows.first()) {
            add("mend".to_owned(), mend(way, shares, units));
        }
    }
    let drawn_away = feasible.iter().find(|(way, _)| way.pull == Pull::Away);
    if let Some((way, _)) = drawn_away {
        progress.tell("drawing the map of drag and slack".to_owned());
        if let Some(map) = regime_map::regime_map(scenario, &way.setup, answer.options) {
            add(
                "drag-map".to_owned(),
                tautway_figures::regime_map(&screen::short_name_of(&way.setup), &map),
            );
        }
    }
    figures
}

fn short_name(setup: &Setup) -> String {
    let side = match setup.side {
        Side::Front => "front",
        Side::Rear => "rear",
    };
    let feed = match setup.feed {
        Feed::Headstock => "headstock",
        Feed::Tailstock => "tailstock",
    };
    let rotation = match setup.rotation {
        Rotation::Forward => "forward",
        Rotation::Reverse => "reverse",
    };
    format!("{side}-to-{feed}-{rotation}")
}
