//! The top slide set over to the cone's half angle and fed by hand along the side.
//!
//! Steep and short, no thread. The push-off stands square to its ways: its gib takes it up once,
//! outward, as the cut begins; across the bed the cross-slide's screw carries `cos a` of it, along
//! the bed the locked carriage `sin a`. Along the ways there is the feed force alone, against the
//! crank, so its screw stays on one face. Fed one way, it loses no motion.

pub use super::way::{SetBy, Swivel};
use super::way::{aimed_angle, plain};
use crate::arithmetic::{atan, cos, max, powi};
use crate::cut::aimed_taper;
use crate::machine::{Machine, headstock};
use crate::quantity::{INCH, Quantity};
use crate::scenario::Scenario;

/// Travel before and after the cone that the nose and a start clear of the work need, m (1/8 in;
/// common practice, no source).
const CLEAR: f64 = INCH / 8.0;

impl Swivel {
    pub(super) fn new(scenario: &Scenario) -> Self {
        let top_slide = &scenario.lathe.top_slide;
        let work = &scenario.job.work;
        let angle = aimed_angle(scenario);
        let has = top_slide.travel.si();
        // A small turn changes the taper by 2 / cos^2 of it.
        let taper = |turn: f64| 2.0 * turn.abs() / powi(cos(angle), 2);
        let by_marks = max(
            taper(top_slide.graduation.high.si()),
            taper(top_slide.graduation.low.si()),
        );
        let by_indicator = max(
            taper(top_slide.setting.high.si() / has),
            taper(top_slide.setting.low.si() / has),
        );
        let half_band = 0.5 * (work.tolerance.upper.si() - work.tolerance.lower.si());
        Self {
            angle,
            set_by: if by_marks <= half_band {
                SetBy::Marks
            } else {
                SetBy::Indicator
            },
            by_marks,
            by_indicator,
            needs: work.length.si() / cos(angle) + CLEAR,
            has,
        }
    }
}

/// How much steeper than aimed the top slide stands, rad, when this was set.
pub(super) fn steeper(scenario: &Scenario, set: &Swivel) -> f64 {
    let top_slide = &scenario.lathe.top_slide;
    let work = &scenario.job.work;
    // The marks count from the bed; a master stands in the spindle and leans with it, not with
    // work in a rest.
    let (off, lean) = match set.set_by {
        SetBy::Marks => (
            top_slide.graduation.si(),
            headstock::lean(&scenario.lathe, work),
        ),
        SetBy::Indicator => (top_slide.setting.si() / set.has, headstock::rest(work)),
    };
    off + plain(scenario).slope_sign() * lean
}

/// The machine as it stands square to the cone's side.
pub(super) fn seen_square(machine: &mut Machine, scenario: &Scenario) {
    let cos = cos(atan(aimed_taper(scenario) / 2.0));
    // Across the bed the screw has `cos` of force and of way; a force that moves the slide is
    // reached later.
    machine.drive.slack *= cos;
    machine.drive.first /= cos * cos;
    machine.drive.other /= cos * cos;
    machine.drag.gib /= cos;
    machine.drag.friction /= cos;
    machine.drag.side /= cos;
    machine.drag.seal /= cos;
    machine.swing += scenario.lathe.top_slide.gib_slack.si();
}
