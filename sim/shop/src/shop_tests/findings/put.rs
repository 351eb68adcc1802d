//! What was found, put in its place in a lathe.

use super::found::Finding;
use crate::quantity::{Length, Quantity};
use crate::scenario::{Known, Lathe, Origin, SpreadShape};

/// A lathe with what was found in it.
pub fn with_findings(lathe: &Lathe, findings: &[Finding]) -> Lathe {
    fn put<Q: Quantity>(known: &mut Known<Q>, range: [f64; 3]) {
        let [low, middle, high] = range.map(Q::from_si);
        *known = Known {
            middle,
            low,
            high,
            shape: SpreadShape::Mostly,
            origin: Origin::Given,
        };
    }
    let mut lathe = lathe.clone();
    for finding in findings {
        let (a, s) = (&mut lathe.attachment, &mut lathe.slide);
        let range = finding.range;
        match finding.key {
            "attachment.slack" => put(
                a.total_slack.get_or_insert(Known::given(Length::default())),
                range,
            ),
            "attachment.wear_headstock_end" => put(
                a.wear_headstock_end
                    .get_or_insert(Known::given(Length::default())),
                range,
            ),
            "attachment.wear_tailstock_end" => put(
                a.wear_tailstock_end
                    .get_or_insert(Known::given(Length::default())),
                range,
            ),
            "attachment.foot_slack" => put(&mut a.foot_slack, range),
            "attachment.shoe_slack" => put(&mut a.shoe_slack, range),
            "attachment.thrust_slack" => put(&mut a.thrust_slack, range),
            "attachment.nut_slack" => put(&mut a.nut_slack, range),
            "attachment.drive_spring" => put(
                a.drive_spring
                    .get_or_insert(Known::given(Quantity::from_si(1.0))),
                range,
            ),
            "attachment.screw_push_share" => put(&mut a.screw_push_share, range),
            "attachment.setting_error" => put(&mut a.setting_error, range),
            "slide.drag" => put(&mut s.drag, range),
            "slide.breakaway" => put(&mut s.breakaway, range),
            "slide.drag_left_cutting" => put(&mut s.drag_left_cutting, range),
            "slide.drag_change" => put(&mut s.drag_change, range),
            "slide.gib_slack" => put(&mut s.gib_slack, range),
            "top_slide.spring" => put(&mut lathe.top_slide.spring, range),
            "spindle.spring" => put(&mut lathe.spindle.spring, range),
            "spindle.out_of_line" => put(&mut lathe.spindle.out_of_line, range),
            "carriage.rock" => put(&mut lathe.carriage.rock, range),
            "tailstock.spring" => put(&mut lathe.tailstock_spring, range),
            "readout.step" => put(&mut lathe.readout_step, range),
            _ => {}
        }
    }
    lathe
}
