//! Parts of the machine and of the measuring, each by a number worked by hand.

use crate::given::worked::{THOU, evened, finishing, plain_setup, scenario};
use tautway_sim::cut::{Operation, Options};
use tautway_sim::machine::foot::{Foot, SHOE_FRICTION};
use tautway_sim::quantity::{Quantity, Taper};
use tautway_sim::scenario::{End, Known};
use tautway_sim::setup::Pull;

#[test]
fn the_foots_seat_is_loaded_by_the_guide_that_drives_and_unloaded_by_the_load_that_does() {
    // R = D + |L| (mu + t slope): t = 1 where the guide drives, pull and load of one sign.
    let foot = Foot {
        slack: 0.0,
        spring: 1e8,
        bar_drag: 40.0,
    };
    let slope = 0.25;
    for (drive, pull, t) in [
        (300.0, 1.0, 1.0),
        (-300.0, -1.0, 1.0),
        (300.0, -1.0, -1.0),
        (-300.0, 1.0, -1.0),
    ] {
        let by_hand = 40.0 + 300.0 * (SHOE_FRICTION + t * slope);
        let found: f64 = foot.seat_force(drive, pull, slope);
        assert!((found - by_hand).abs() < 1e-9, "{drive} {pull}: {found}");
    }
    // Steeper than its friction, a strong load lifts the foot off its seat.
    assert!(foot.seat_force(400.0, -1.0, slope) < 0.0);
    assert_eq!(foot.seat_force(0.0, 1.0, slope), 40.0);
}

#[test]
fn a_guide_set_too_steep_cuts_too_steep_whatever_the_work_and_leaves_its_size() {
    // 0.02 in/ft too steep on diameter. The dial is touched off at the gauge plane.
    let steeper = Taper::from_si(0.02 / 12.0);
    for file in ["tapered-socket.toml", "plug-cock.toml"] {
        for big_end in [End::Headstock, End::Tailstock] {
            let mut scenario = evened(scenario(file));
            scenario.job.work.big_end = big_end;
            let setup = plain_setup(&scenario, Pull::In);
            let straight = finishing(&scenario, &setup, 1);
            scenario.lathe.attachment.setting_error = Known::given(steeper);
            let off = finishing(&scenario, &setup, 1);
            let found = off.taper - straight.taper;
            // The stock is of the right taper: more depth at one end, and a tenth of it springs back.
            assert!(
                (0.85..1.0).contains(&(found / steeper.si())),
                "{file} {big_end:?}: {found}"
            );
            let size = off.size_error - straight.size_error;
            assert!(size.abs() < 0.2 * THOU, "{file} {big_end:?}: {size}");
        }
    }
}

#[test]
fn the_tips_spring_is_the_drive_on_its_first_face_tool_and_work_in_series() {
    let mut scenario = scenario("tapered-socket.toml");
    scenario.lathe.attachment.screw_push_share =
        Known::given(tautway_sim::quantity::Ratio::from_si(0.5));
    for pull in [Pull::In, Pull::Away] {
        let setup = plain_setup(&scenario, pull);
        let machine = Operation::new(&scenario, setup, Options::default()).machine;
        assert!(machine.drive.first != machine.drive.other);
        let z = 0.02;
        let gives = 1.0 / machine.drive.first + machine.tool_gives + machine.bench.gives(z);
        assert!((machine.tip_spring(z) * gives - 1.0).abs() < 1e-12);
    }
}
