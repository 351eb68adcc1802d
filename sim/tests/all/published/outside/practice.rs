//! What the trade does and no book was at hand for: each beside the test that shows it.

use tautway_sim::cone::reading_over;
use tautway_sim::quantity::{Length, Quantity, Taper};

use super::{How, Ours, Table};

pub fn practice(table: &mut Table) {
    table.group("Common practice of the trade");
    // Common practice, no source.
    let reading = reading_over(Taper::from_si(2.0 / 12.0), Length::from_si(3.0));
    for (what, theirs, ours) in [
        ("on diameter", 0.5, reading.on_diameter.si()),
        ("per side", 0.25, reading.per_side.si()),
    ] {
        let what = format!("3 in of carriage at 2 in/ft, {what}, in");
        let ours = Ours::Here(theirs, ours, 2);
        table.row("-", How::Practice, what, ours);
    }
    for (what, theirs, file, test) in [
        (
            "0.502 in read over 3 in, wrong on diameter, in",
            "0.002",
            "readings/file",
            "shop_test_reads_two_thou_in_three_inches_out_inside_in_on_a_plug",
        ),
        (
            "0.080 in of slack at 2 in/ft, carriage lost on reversal, in",
            "0.9 to 1",
            "machine/laws",
            "lost_motion_by_slack_and_taper_table",
        ),
        (
            "1 in lost at 2 in/ft, 0.10 in of it at the foot, slack, in",
            "0.075",
            "shop/shop_tests_truth",
            "one_taper_alone_cannot_tell_foot_from_slack",
        ),
        (
            "crests of rotary shouldered threads, flat, in",
            "0.040 to 0.065",
            "thread/laws",
            "heights_of_rotary_shouldered_threads_from_memory",
        ),
        (
            "taper pipe thread with the tailstock over",
            "its pitch serves",
            "thread/laws",
            "the_tailstock_serves_at_one_in_sixteen_and_not_at_two_or_three_inches_a_foot",
        ),
        (
            "a guide that pulls the tool in",
            "holds the taper",
            "scenario/teach",
            "pulled_in_the_worn_lathe_takes_what_was_set_but_for_spring",
        ),
        (
            "a guide that draws it away",
            "risks waves",
            "scenario/teach",
            "drawn_away_on_the_worn_lathe_stock_is_left_and_waves_are_high",
        ),
        (
            "a preload out of the cut",
            "holds the slide",
            "advice/preload_against_drag",
            "air_out_of_the_cut_makes_drawn_away_as_good_as_pulled_in",
        ),
        (
            "a preload into the cut",
            "the depth rests on it",
            "advice/preload_against_drag",
            "air_into_the_cut_is_never_advised",
        ),
        (
            "readout set to nought before the run-in",
            "reads a wrong taper",
            "rehearse/moves",
            "zero_too_early_reads_a_wrong_taper_and_after_the_run_in_the_right_one",
        ),
        (
            "shoe locked, foot clamped",
            "ties carriage to bed",
            "rehearse/moves",
            "moves_that_break_things_end_the_rehearsal",
        ),
        (
            "top slide and thread, tailstock and inside work",
            "can't be done",
            "shop/method_laws",
            "each_that_is_out_says_why_with_its_numbers",
        ),
    ] {
        let ours = Ours::There(theirs, file, test);
        table.row("-", How::Practice, what, ours);
    }
}
