//! A relief in the job file: the groove in which the tool starts or comes out at a blind end.

use super::reading::Reading;
use super::section::Section;
use super::wordings::BIG_END;
use crate::quantity::{Length, Quantity};
use crate::scenario::limits::Limits;
use crate::scenario::{End, Relief, Scenario};

/// The relief, where there is one.
pub(super) fn read(table: &Section<'_>) -> Option<Relief> {
    let relief = table.table("relief");
    let there = relief.is_there();
    let at = match there {
        true => relief.required_word("at", BIG_END, "\"headstock\""),
        false => relief.word("at", BIG_END).given(),
    };
    let [width, depth] =
        [("width", "\"3/16 in\""), ("depth", "\"0.030 in\"")].map(|(key, example)| match there {
            true => relief.required::<Length>(key, Limits::POSITIVE, example),
            false => relief.quantity_or(key, Limits::POSITIVE, Length::from_si(f64::NAN)),
        });
    relief.finish();
    there.then_some(Relief {
        at: at.unwrap_or(End::Headstock),
        width,
        depth,
    })
}

/// Whether the nose goes into it, and whether the room told goes with it.
pub(super) fn across(reading: &Reading<'_>, scenario: &Scenario) {
    let job = &scenario.job;
    let Some(relief) = &job.work.relief else {
        return;
    };
    let show = |length: Length| length.show(job.units);
    let nose = 2.0 * job.tool.nose_radius.si();
    if relief.width.si() < nose {
        reading.error(
            reading.place("work.relief.width"),
            "the nose doesn't go into the relief",
            format!("it is {} across", show(Length::from_si(nose))),
            "make the relief wider than twice the nose radius, or take a smaller nose",
        );
    }
    let (path, room) = match relief.at {
        End::Headstock => ("work.room_headstock", job.work.room_headstock),
        End::Tailstock => ("work.room_tailstock", job.work.room_tailstock),
    };
    if room.si() > relief.width.si() + 1e-8 {
        reading.error(
            reading.place(path),
            "there is more room than the relief is wide",
            format!("the relief is {} wide", show(relief.width)),
            "leave the room out: it is the relief's width; or leave out the relief where the end is \
             open",
        );
    }
}
