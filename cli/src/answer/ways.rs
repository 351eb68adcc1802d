//! The table of a comparison: a row for each way.

use tautway_sim::compare::Way;
use tautway_sim::spread::Coverage;
use tautway_sim::study::WayOutlook;

use super::found::Found;
use crate::table::{Row, SHARE, Scale, Scales, name};

/// The rows, best way first.
pub fn rows(answer: &Found<'_>) -> Vec<Row> {
    let scales = Scales::of(answer.units);
    let ways = answer.ways.iter().enumerate();
    ways.map(|(index, way)| row(answer, index, way, &scales))
        .collect()
}

/// What has a range in the table: its name, its scale, and where it is found.
type Ranged = (
    &'static str,
    fn(&Scales) -> Scale,
    fn(&WayOutlook) -> &Coverage,
);
const SPREADS: [Ranged; 3] = [
    ("taper", |s| s.taper, |w| &w.taper),
    ("size_error", |s| s.height, |w| &w.size_error),
    ("waves", |s| s.height, |w| &w.waves),
];

fn row(answer: &Found<'_>, index: usize, way: &Way, scales: &Scales) -> Row {
    let mut row = Row::default();
    let setup = &way.setup;
    row.word("rank", (index + 1).to_string());
    row.word("side", name(setup.side));
    row.word("feed", name(setup.feed));
    row.word("rotation", name(setup.rotation));
    row.word("tool_face", name(setup.face));
    row.word("pull", name(way.pull));
    row.flag("can_be_cut", Some(way.out.is_empty()));
    let why: Vec<_> = way.out.iter().map(|r| r.words(answer.units)).collect();
    row.word("why_not", why.join("; "));
    row.flag("forbidden", Some(way.forbidden));
    let verdict = way.verdict;
    row.flag("drawing_met", verdict.map(|v| v.met()));
    let tried = answer.spread.and_then(|spread| spread.of(setup));
    row.word(
        "trials",
        answer
            .spread
            .map_or(String::new(), |s| s.outlook.trials.to_string()),
    );
    let met = tried.map(|tried| tried.met.share);
    row.number("share_drawing_met", SHARE, met);
    let steady = tried.map(|tried| tried.steady.share);
    row.number("share_steady", SHARE, steady);
    for (name, scale, of) in SPREADS {
        let scale = scale(scales);
        let found = tried.map(of);
        row.number(
            &format!("{name}_least"),
            scale,
            found.map(|c| c.symmetric.lower),
        );
        row.number(
            &format!("{name}_most"),
            scale,
            found.map(|c| c.symmetric.upper),
        );
    }
    row.flag("taper_met", verdict.map(|v| v.taper));
    row.flag("size_met", verdict.and_then(|v| v.size));
    row.flag("waves_met", verdict.and_then(|v| v.waves));
    let outcome = way.run.as_ref().map(|run| &run.outcome);
    row.number("taper", scales.taper, outcome.map(|o| o.taper));
    row.number("taper_error", scales.taper, outcome.map(|o| o.taper_error));
    row.number("set", scales.height, outcome.map(|o| o.set));
    row.number("taken", scales.height, outcome.map(|o| o.taken));
    row.number("size_error", scales.height, outcome.map(|o| o.size_error));
    row.number("waves", scales.height, outcome.map(|o| o.waves));
    let spacing = outcome.and_then(|o| o.wave_spacing);
    row.number("wave_spacing", scales.length, spacing);
    let step = outcome.and_then(|o| o.step);
    row.number("step", scales.height, step.map(|s| s.0));
    row.number("step_place", scales.length, step.map(|s| s.1));
    row.number(
        "straight_part",
        scales.length,
        outcome.map(|o| o.straight_part),
    );
    let marks = [
        ("entry", outcome.and_then(|o| o.entry)),
        ("exit", outcome.and_then(|o| o.exit)),
    ];
    for (name, mark) in marks {
        row.number(name, scales.height, mark.map(|mark| mark.depth));
        row.number(
            &format!("{name}_place"),
            scales.length,
            mark.map(|mark| mark.z),
        );
    }
    let rests = outcome.map(|o| o.gauge_reads.height);
    row.number("gauge_reads", scales.height, rests);
    row.number("roundness", scales.height, outcome.map(|o| o.roundness));
    row.number("ra", scales.roughness, outcome.map(|o| o.ra));
    row.number("rz", scales.roughness, outcome.map(|o| o.rz));
    row.number("standoff", scales.length, outcome.map(|o| o.standoff));
    row.word("seat", outcome.map_or(String::new(), |o| name(o.seat)));
    row.number("seat_margin", scales.force, outcome.map(|o| o.seat_margin));
    row.number(
        "push_off_least",
        scales.force,
        outcome.map(|o| o.push_off.0),
    );
    row.number("push_off_most", scales.force, outcome.map(|o| o.push_off.1));
    row.number("drag_least", scales.force, outcome.map(|o| o.drag.0));
    row.number("drag_most", scales.force, outcome.map(|o| o.drag.1));
    row.number("lost_motion", scales.length, Some(way.start.lost));
    row.number("run_in_wanted", scales.length, Some(way.start.wanted));
    row.number("run_in_room", scales.length, Some(way.start.room));
    row.flag("seat_by_hand", Some(way.start.by_hand));
    row.number("guide_needed", scales.length, Some(way.start.guide_needed));
    row.number("guide_usable", scales.length, Some(way.start.guide_usable));
    row.number("tip_spring", scales.spring, Some(way.tip_spring));
    row.number("gives_drive", SHARE, Some(way.gives.drive));
    row.number("gives_post", SHARE, Some(way.gives.post));
    row.number("gives_bar", SHARE, Some(way.gives.bar));
    row.number("gives_work", SHARE, Some(way.gives.work));
    let cautions: Vec<_> = way.cautions.iter().map(|c| c.id).collect();
    row.word("cautions", cautions.join(" "));
    row.word("seed", answer.options.seed.to_string());
    row.word("version", env!("CARGO_PKG_VERSION"));
    row
}
