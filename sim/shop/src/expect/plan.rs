//! The passes that a plan ends with, and the limits it is judged by.

use crate::arithmetic::min;
use crate::quantity::{INCH, Length, Quantity};
use crate::scenario::{Kind, Scenario, StartSurface, Work};

/// Where a drawing gives no size tolerance, this per side either way, m: half a thou (a guess).
pub const SIZE_TAKEN: f64 = 0.0005 * INCH;

/// Depth of each of so many passes alike that a plan ends with, m: that of the last the job gives, or
/// where the stock has no room for more of them, what these take of it.
pub fn depth_of(scenario: &Scenario, alike: usize) -> f64 {
    let finish = &scenario.job.passes.finish;
    let last = finish.last().map_or(0.0, |set| set.si());
    let of_job = alike_at_end(finish);
    let more = alike.saturating_sub(of_job) as f64 * last;
    let all: f64 = finish.iter().map(|set| set.si()).sum();
    if all + more <= least_stock(&scenario.job.work) + 1e-9 {
        last
    } else {
        last * of_job.min(alike) as f64 / alike as f64
    }
}

/// How many passes at the end of a list are alike.
pub fn alike_at_end(finish: &[Length]) -> usize {
    let last = finish.last().map_or(0.0, |set| set.si());
    let alike = |set: &&Length| (set.si() - last).abs() < 1e-9;
    finish.iter().rev().take_while(alike).count()
}

/// Where there is least of it, m per side.
fn least_stock(work: &Work) -> f64 {
    match work.start {
        StartSurface::Roughed { stock } => stock.si(),
        StartSurface::Straight { diameter } => {
            let (big, small) = work.end_diameters();
            let [of_big, of_small] = [big, small].map(|end| 0.5 * (end.si() - diameter.si()));
            match work.kind {
                Kind::Inside => min(of_big, of_small),
                Kind::Outside => min(-of_big, -of_small),
            }
        }
    }
}

/// Limits of the size error per side, into the work, m; and whether they were taken for want of a
/// tolerance.
pub fn size_band(work: &Work) -> ([f64; 2], bool) {
    let Some(band) = &work.size_tolerance else {
        return ([-SIZE_TAKEN, SIZE_TAKEN], true);
    };
    let [lower, upper] = [0.5 * band.lower.si(), 0.5 * band.upper.si()];
    let limits = match work.kind {
        Kind::Inside => [lower, upper],
        Kind::Outside => [-upper, -lower],
    };
    (limits, false)
}

/// The job with so many passes alike at its end, from an even stock, and no spring pass.
pub fn planned(scenario: &Scenario, alike: usize) -> Scenario {
    let mut planned = scenario.clone();
    let passes = &mut planned.job.passes;
    passes.finish = vec![Length::from_si(depth_of(scenario, alike)); alike];
    passes.spring = 0;
    planned
}
