//! The surface in words: waves, steps, what entry and exit left, and how a gauge rides on that.

use tautway_sim::quantity::{Quantity, Units};
use tautway_sim::record::{EndMark, Measures, Run};
use tautway_sim::scenario::{End, Kind, Scenario};
use tautway_sim::verdict::NOT_SEEN;

use super::words::{about, coarse, height};

/// Waves, steps and straight parts.
pub fn finish(run: &Run, scenario: &Scenario, units: Units) -> String {
    let o = &run.outcome;
    let mut parts = Vec::new();
    if o.waves <= NOT_SEEN {
        parts.push("steady, no waves you would see".to_owned());
    } else {
        let feel = if o.waves < 20e-6 {
            "faint"
        } else if o.waves < 50e-6 {
            "you can see them"
        } else {
            "you can feel them"
        };
        let spacing = o.wave_spacing.map_or(String::new(), |s| {
            format!(" some {} apart", coarse(s, units))
        });
        parts.push(format!(
            "waves about {}{spacing}, {feel}",
            height(o.waves, units)
        ));
    }
    if let Some((step, z)) = o.step {
        let from = from_big_end(z, scenario);
        if step.abs() > NOT_SEEN {
            parts.push(format!(
                "changes seat part way: step of {} at {} from the big end",
                height(step, units),
                coarse(from, units)
            ));
        } else {
            parts.push(format!(
                "changes seat at {} from the big end, without a step you would see",
                coarse(from, units)
            ));
        }
    }
    if o.straight_part > 1e-3 {
        parts.push(format!(
            "the first {} stay straight",
            coarse(o.straight_part, units)
        ));
    }
    let marks = [(o.entry, "comes in"), (o.exit, "goes out")];
    parts.extend(marks.into_iter().filter_map(|(found, where_)| {
        let found = found.filter(|found| found.depth.abs() > NOT_SEEN)?;
        Some(end_mark(&found, where_, units))
    }));
    if let Some(by) = rides_on_a_mark(o) {
        parts.push(format!(
            "a {} rides on that, and reads {} off the size of the rest",
            gauge_of(run.setup.kind),
            height(by, units)
        ));
    }
    parts.join("; ")
}

/// A mark at an end of the work.
pub fn end_mark(mark: &EndMark, where_: &str, units: Units) -> String {
    let does = if mark.depth > 0.0 {
        "digs in"
    } else {
        "leaves standing"
    };
    format!(
        "{does} {} where the tool {where_}, over {}",
        height(mark.depth.abs(), units),
        about(mark.length, units)
    )
}

/// What is put to a taper of this kind.
fn gauge_of(kind: Kind) -> &'static str {
    match kind {
        Kind::Inside => "plug",
        Kind::Outside => "ring",
    }
}

/// How far a gauge reads off the body's size where it rests on a mark at an end, m.
fn rides_on_a_mark(o: &Measures) -> Option<f64> {
    let rests = &o.gauge_reads;
    let on = |mark: &EndMark| mark.depth < -NOT_SEEN && (rests.z - mark.z).abs() <= mark.length;
    let marks = [o.entry, o.exit];
    let stands = marks.into_iter().flatten().any(|mark| on(&mark));
    stands.then(|| (rests.height - o.size_error).abs())
}

/// Distance from the big end of a place given from the headstock-side end.
fn from_big_end(z: f64, scenario: &Scenario) -> f64 {
    match scenario.job.work.big_end {
        End::Headstock => z,
        End::Tailstock => scenario.job.work.length.si() - z,
    }
}

/// A share of what gives way, to five in a hundred.
pub fn share_of_spring(share: f64) -> String {
    match 5.0 * (20.0 * share).round() {
        all if all >= 100.0 => "nearly all".to_owned(),
        none if none < 5.0 => "next to nothing".to_owned(),
        percent => format!("{percent:.0} %"),
    }
}
