//! Taper reamer and form tool: named where they fit, not simulated.

use super::way::{Effort, Method, MethodWay, Obstacle, Setting, outside, told};
use crate::arithmetic::{atan, cos};
use crate::caution;
use crate::cut::aimed_taper;
use crate::quantity::{INCH, Quantity};
use crate::scenario::Scenario;
use crate::standard_taper::{StandardTaper, all};

/// Families that reamers are made for.
const REAMED: [&str; 6] = [
    "Morse",
    "Jarno",
    "Brown and Sharpe",
    "taper pin",
    "metric taper pin",
    "pipe thread",
];
/// Biggest end that a hand reamer is worth it for, m (1-1/4 in: a guess).
const BIGGEST_REAMED: f64 = 1.25 * INCH;
/// Longest edge that is plunged at once without chatter, m (3/8 in: common practice, no source).
const LONGEST_EDGE: f64 = 0.375 * INCH;

/// A reamer, for a small standard socket.
pub(super) fn reamer(scenario: &Scenario) -> MethodWay {
    let work = &scenario.job.work;
    let mut out = Vec::new();
    if outside(scenario) {
        out.push(Obstacle::InsideOnly);
    }
    if scenario.job.thread.is_some() {
        out.push(Obstacle::NoThread);
    }
    let (big, _) = work.end_diameters();
    let standard = reamed(work.taper.si(), big.si());
    if standard.is_none() && out.is_empty() {
        out.push(Obstacle::NotStandard);
    }
    if big.si() > BIGGEST_REAMED && out.is_empty() {
        out.push(Obstacle::TooBig {
            needs: big.si(),
            most: BIGGEST_REAMED,
        });
    }
    let setting = standard
        .filter(|_| out.is_empty())
        .map(|taper| Setting::Reamer {
            name: taper.name,
            taper: taper.taper.si(),
        });
    told(
        scenario,
        Method::Reamer,
        setting,
        Effort::Few,
        out,
        caution::reamer(),
    )
}

/// The standard taper that reamers are made for and that this is, within two in ten thousand; of
/// several, the one whose big end is nearest.
fn reamed(taper: f64, big: f64) -> Option<StandardTaper> {
    let made = |one: &StandardTaper| REAMED.iter().any(|family| one.name.starts_with(family));
    let off = |one: &StandardTaper| one.large.map_or(f64::MAX, |large| (large.si() - big).abs());
    all()
        .into_iter()
        .filter(|one| made(one) && (one.taper.si() / taper - 1.0).abs() <= 2e-4)
        .min_by(|a, b| off(a).total_cmp(&off(b)))
}

/// A tool ground to the taper and plunged, for a very short one.
pub(super) fn form_tool(scenario: &Scenario) -> MethodWay {
    let angle = atan(aimed_taper(scenario) / 2.0);
    let edge = scenario.job.work.length.si() / cos(angle);
    let mut out = Vec::new();
    if scenario.job.thread.is_some() {
        out.push(Obstacle::NoThread);
    }
    if edge > LONGEST_EDGE {
        out.push(Obstacle::TooLong {
            needs: edge,
            most: LONGEST_EDGE,
        });
    }
    let setting = Setting::FormTool {
        edge,
        most: LONGEST_EDGE,
    };
    told(
        scenario,
        Method::FormTool,
        Some(setting),
        Effort::Few,
        out,
        caution::form_tool(),
    )
}
