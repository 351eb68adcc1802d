//! What a gauge, a thumbnail and a profile tracer would read off the finished work.

mod ends;
pub mod filter;

use crate::arithmetic::{max, min};
use crate::cut::{Finished, Operation, Turned};
use crate::record::{Measures, Outcome, PassRecord, Profile, Seat, TurnSample};
use crate::scenario::Scenario;
use crate::setup::Setup;
use crate::surface::{Surface, Traced};
use ends::{End, gauge_rests, mark};
use filter::{line_along, line_through, mean_height, mean_line, mean_section_height, total_height};

/// Cut-off between roughness and waves, m (ISO 21920-3 default for fine turned surfaces).
const CUT_OFF: f64 = 0.8e-3;
/// Steps of the traced profile a feed mark: crests are missed by less than one in a thousand.
const TRACE_STEPS: f64 = 64.0;
/// Over this length to either side of a change of seat its step is taken, m; nearer to an end it
/// isn't one.
const STEP_REACH: f64 = 2e-3;
/// A piece between two changes is too short to have waves below this, m.
const SHORTEST_PIECE: f64 = 5e-3;
/// With less slope than this the slide isn't moved across, and leaves nothing straight.
const NO_SLOPE: f64 = 1e-7;

/// Everything measured on the finished work of one way.
pub fn measure(
    scenario: &Scenario,
    setup: &Setup,
    operation: &Operation<'_>,
    finished: &Finished,
) -> (Outcome, Profile) {
    let last = &finished.passes[finished.last_set];
    let traced = finished.surface.traced().remove(0);
    let (measures, along) = gauge_along(scenario, setup, operation, (traced, last));
    let fine = fine_meridian(operation, finished);
    let line = mean_line(&fine.1, fine.0, CUT_OFF);
    let ends = (CUT_OFF / fine.0) as usize;
    let rough: Vec<f64> = fine
        .1
        .iter()
        .zip(&line)
        .map(|(h, m)| h - m)
        .skip(ends)
        .take(fine.1.len().saturating_sub(2 * ends))
        .collect();
    let wavy = waviness(&finished.surface, &along.z, along.inside);
    let every = (along.z.len() / 600).max(1);
    let profile = Profile {
        meridian: along
            .z
            .iter()
            .step_by(every)
            .map(|&z| height_on_meridian(finished, z))
            .collect(),
        mean: along.mean.iter().step_by(every).copied().collect(),
        roundness: along.out_of_round.iter().step_by(every).copied().collect(),
        z: along.z.into_iter().step_by(every).collect(),
    };
    let outcome = Outcome {
        measures,
        ra: mean_height(&rough),
        rz: mean_section_height(&rough),
        wa: mean_height(&wavy),
        wt: total_height(&wavy),
    };
    (outcome, profile)
}

/// What gauges read of the finished work of one way, without the fine traces: a small part of the
/// time that [`measure`] takes.
pub fn gauge(
    scenario: &Scenario,
    setup: &Setup,
    operation: &Operation<'_>,
    finished: &Finished,
) -> Measures {
    let last = &finished.passes[finished.last_set];
    let traced = finished.surface.traced().remove(0);
    gauge_along(scenario, setup, operation, (traced, last)).0
}

/// The same of the work of a lathe that cut beside others.
pub fn gauge_turned(
    scenario: &Scenario,
    setup: &Setup,
    operation: &Operation<'_>,
    turned: Turned,
) -> Measures {
    gauge_along(scenario, setup, operation, (turned.traced, &turned.last)).0
}

/// The surface along the work.
struct Along {
    z: Vec<f64>,
    mean: Vec<f64>,
    out_of_round: Vec<f64>,
    /// Its body: without the straight part and the marks at its ends.
    inside: (f64, f64),
}

/// Size, taper, waves and roundness are of the body; what entry and exit left stands beside them.
fn gauge_along(
    scenario: &Scenario,
    setup: &Setup,
    operation: &Operation<'_>,
    (surface, last): (Traced, &PassRecord),
) -> (Measures, Along) {
    let spacing = surface.spacing;
    let length = operation.length();
    let mean = surface.mean;
    let z: Vec<f64> = (0..mean.len()).map(|k| spacing * k as f64).collect();
    let starts_low = setup.feed.sign() > 0.0;
    let straight = straight_part(
        &mean,
        spacing,
        starts_low,
        setup.pull().sign() * operation.slope,
    );
    // The ends, where the nose is only partly in the work, say nothing on the taper.
    let margin = min(max(2.0 * last.feed, 1e-3), 0.1 * length);
    let marked = [End::Low, End::High].map(|end| mark(&mean, spacing, end, last.feed));
    let mut ends = marked.map(|found| max(margin, found.length));
    let start = usize::from(!starts_low);
    ends[start] = max(ends[start], straight);
    let (low, high) = (ends[0], length - ends[1]);
    let inside = |z: f64| z >= low && z <= high;
    let first = z.iter().position(|&z| inside(z)).unwrap_or(z.len());
    let count = z[first..].iter().filter(|&&z| inside(z)).count();
    let (base, tilt) = line_along(&mean[first..first + count], first as f64);
    let tilt = tilt / spacing;
    let body = |z: f64| base + tilt * z;
    // Height is into the work: the radius grows by `inward * height`.
    let taper_error = 2.0 * setup.inward() * setup.slope_sign() * tilt;
    let size_error = body(operation.gauge_z());
    let [of_low, of_high] = marked.map(|found| found.stands_from(&mean, spacing, last.feed, body));
    let (entry, exit) = if starts_low {
        (of_low, of_high)
    } else {
        (of_high, of_low)
    };
    let mut cuts: Vec<f64> = last.seat_changes.iter().map(|c| c.z).collect();
    cuts.push(low);
    cuts.push(high);
    cuts.retain(|&z| inside(z));
    cuts.sort_by(f64::total_cmp);
    let (waves, wave_spacing) = waves(&surface.lines, spacing, &cuts);
    let step = last
        .seat_changes
        .iter()
        .filter(|change| change.z > STEP_REACH && change.z < length - STEP_REACH)
        .map(|change| (step_at(&mean, spacing, change.z), change.z))
        .max_by(|a, b| a.0.abs().total_cmp(&b.0.abs()));
    let lobing = scenario.job.work.lobing.si();
    let mut out_of_round = surface.out_of_round;
    for height in &mut out_of_round {
        *height += lobing;
    }
    let roundness = z
        .iter()
        .zip(&out_of_round)
        .filter(|&(&z, _)| inside(z))
        .map(|(_, &h)| h)
        .fold(0.0, max);
    let aim = 2.0 * operation.slope;
    let measures = Measures {
        taper: aim + taper_error,
        taper_error,
        set: last.set,
        taken: last.taken,
        size_error,
        waves,
        wave_spacing,
        step,
        straight_part: straight,
        roundness,
        seat: seat_of(last),
        seat_margin: seat_margin(last, inside),
        push_off: range(last, inside, |turn| turn.push_off),
        drag: range(last, inside, |turn| turn.drag),
        standoff: 2.0 * size_error.abs() / aim,
        entry,
        exit,
        gauge_reads: gauge_rests(&mean, spacing, last.feed),
    };
    let along = Along {
        z,
        mean,
        out_of_round,
        inside: (low, high),
    };
    (measures, along)
}

/// Length at the start over which the tool ran parallel to the axis, m.
///
/// Such a part climbs or falls by the whole slope against the cone; it lasts while the height
/// changes by more than half of that.
fn straight_part(mean: &[f64], spacing: f64, starts_low: bool, pulled_slope: f64) -> f64 {
    if pulled_slope.abs() < NO_SLOPE {
        return 0.0;
    }
    let window = ((0.5e-3 / spacing).ceil() as usize).max(4);
    let at = |i: usize| {
        if starts_low {
            mean[i]
        } else {
            mean[mean.len() - 1 - i]
        }
    };
    let mut end = 0;
    // The very first places are cut by a part of the nose only.
    let mut i = (0.2e-3 / spacing).ceil() as usize;
    while i + window < mean.len() {
        let climb = (at(i + window) - at(i)) / (spacing * window as f64);
        if climb / -pulled_slope < 0.5 {
            break;
        }
        end = i + window;
        i += 1;
    }
    spacing * end as f64
}

/// Waves between the cuts: peak to valley per line with each piece's own tilt taken out, feed
/// marks filtered off, mean over a few lines; and their spacing.
fn waves(lines: &[Vec<f64>], spacing: f64, cuts: &[f64]) -> (f64, Option<f64>) {
    let mut heights = Vec::new();
    let (mut crossings, mut along) = (0.0, 0.0);
    for line in lines {
        let line = mean_line(line, spacing, CUT_OFF);
        let mut most = 0.0_f64;
        for piece in cuts.windows(2) {
            if piece[1] - piece[0] < SHORTEST_PIECE {
                continue;
            }
            let low = (piece[0] / spacing).ceil() as usize;
            let high = ((piece[1] / spacing) as usize).min(line.len() - 1);
            let part = &line[low..=high];
            let (a, b) = line_along(part, 0.0);
            let flat: Vec<f64> = part
                .iter()
                .enumerate()
                .map(|(i, h)| h - a - b * f64::from(i as i32))
                .collect();
            most = max(most, total_height(&flat));
            let pairs = flat.iter().zip(&flat[1..]);
            crossings += pairs.fold(0, |count, (a, b)| count + u64::from(a * b < 0.0)) as f64;
            along += piece[1] - piece[0];
        }
        heights.push(most);
    }
    if heights.is_empty() {
        return (0.0, None);
    }
    let spacing = (crossings >= 2.0).then(|| 2.0 * along / crossings);
    (heights.iter().sum::<f64>() / heights.len() as f64, spacing)
}

/// Mean height over 2 mm after a place less that before it, m.
fn step_at(mean: &[f64], spacing: f64, z: f64) -> f64 {
    let reach = ((STEP_REACH / spacing) as usize).max(1);
    let here = ((z / spacing) as usize).min(mean.len() - 1);
    let average = |part: &[f64]| part.iter().sum::<f64>() / part.len().max(1) as f64;
    let before = &mean[here.saturating_sub(reach)..=here];
    let after = &mean[here..=(here + reach).min(mean.len() - 1)];
    average(after) - average(before)
}

/// Waviness profile of one line: feed marks filtered off, its tilt taken out.
fn waviness(surface: &Surface, z: &[f64], ends: (f64, f64)) -> Vec<f64> {
    let line: Vec<f64> = surface.line(surface.on_metal()[0]).collect();
    let line = mean_line(&line, surface.spacing(), CUT_OFF);
    let inside = || {
        z.iter()
            .zip(&line)
            .filter(|(z, _)| **z >= ends.0 && **z <= ends.1)
    };
    let (a, b) = line_through(inside().map(|(&z, &h)| (z, h)));
    inside().map(|(z, h)| h - a - b * z).collect()
}

/// Spacing and heights of one line with its feed marks, over the evaluation length of five
/// cut-offs (ISO 21920-3) with a cut-off more at either end for the filter, at mid length.
fn fine_meridian(operation: &Operation<'_>, finished: &Finished) -> (f64, Vec<f64>) {
    let feed = finished.last_path.shape.feed;
    let length = min(7.0 * CUT_OFF, 0.8 * operation.length());
    let count = ((length / feed * TRACE_STEPS) as usize).clamp(2, 40_000);
    let spacing = length / (count - 1) as f64;
    let start = 0.5 * (operation.length() - length);
    let heights = (0..count)
        .map(|i| height_on_meridian(finished, start + spacing * i as f64))
        .collect();
    (spacing, heights)
}

fn height_on_meridian(finished: &Finished, z: f64) -> f64 {
    let meridian = finished.surface.on_metal()[0];
    let height = if finished.last_path.heights.is_empty() {
        f64::NEG_INFINITY
    } else {
        finished.last_path.height(meridian, z)
    };
    // Where the last pass cut nothing, what stood before still stands.
    if height.is_finite() {
        height
    } else {
        finished.surface.at(meridian, z)
    }
}

fn seat_of(pass: &PassRecord) -> Seat {
    let count = |seat| {
        pass.turns
            .iter()
            .filter(|t| t.cutting && t.seat == seat)
            .count()
    };
    // A pass that cuts nothing has no seat: nothing holds it to its depth.
    [Seat::First, Seat::Other, Seat::Floating]
        .into_iter()
        .max_by_key(|&seat| count(seat))
        .unwrap_or(Seat::Floating)
}

/// Least force that holds the slide against its face along the body, N; 0 when it floats or
/// changes seat, and where nothing is cut.
fn seat_margin(pass: &PassRecord, inside: impl Fn(f64) -> bool) -> f64 {
    let seat = seat_of(pass);
    let body = || body_turns(pass, &inside);
    if seat == Seat::Floating || body().any(|turn| turn.seat != seat) {
        return 0.0;
    }
    min(
        body().map(|turn| turn.drive.abs()).fold(f64::INFINITY, min),
        1e9,
    )
}

fn range(
    pass: &PassRecord,
    inside: impl Fn(f64) -> bool,
    of: impl Fn(&TurnSample) -> f64,
) -> (f64, f64) {
    let found = body_turns(pass, &inside)
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), turn| {
            (min(l, of(turn)), max(h, of(turn)))
        });
    if found.0 > found.1 { (0.0, 0.0) } else { found }
}

/// Turns along the body with the whole nose in the work.
fn body_turns<'a>(
    pass: &'a PassRecord,
    inside: &'a impl Fn(f64) -> bool,
) -> impl Iterator<Item = &'a TurnSample> {
    let whole = pass.turns.iter().filter(|turn| turn.cutting);
    whole.filter(|turn| inside(turn.z))
}
