//! Grinding in place and lapping: what to leave, worked by hand, and where they are no use.

use crate::given::even_work::near;
use crate::given::worked::text;
use tautway_sim::cut::Options;
use tautway_sim::method::{Method, MethodWay, Obstacle, Setting};
use tautway_sim::quantity::{INCH, Units};
use tautway_sim::scenario::{Source, decode};

/// A way by the method on a bore of 2 in at the big end, 1:4 (3 in/ft) over 2 in, with a tolerance
/// on the taper, in in/ft either way.
fn way(method: Method, tolerance: f64) -> MethodWay {
    let job = format!(
        "name = \"any\"\nlathe = \"any.toml\"\nwork.kind = \"inside\"\nwork.big_end = \"headstock\"\n\
         work.taper = \"1:4\"\nwork.tolerance = \"+-{tolerance} in/ft\"\nwork.length = \"2 in\"\n\
         work.diameter = \"2 in\"\nwork.material = \"1018\"\ntool.bar.diameter = \"3/4 in\"\n\
         tool.bar.stick_out = \"4 in\"\n"
    );
    let lathe = text("toolroom-lathe.toml");
    let source = |name, text| Source { name, text };
    let (scenario, _) = decode(source("job", &job), source("lathe", &lathe)).expect("right");
    method.way(&scenario, Options::default())
}

#[test]
fn what_to_leave_for_the_wheel_and_how_fast_it_turns_worked_by_hand() {
    let way = way(Method::Grinding, 0.012);
    assert!(way.out.is_empty() && way.outcome.is_none());
    let Some(Setting::Grinding(set)) = way.setting else {
        panic!("{way:?}");
    };
    // 0.012 in/ft is a thou an inch on diameter: 2 in long, 0.002 on diameter, 0.001 per side; and 3
    // thou to clean up.
    near(set.for_taper, 0.001 * INCH, 1e-9);
    near(set.leave, 0.004 * INCH, 1e-9);
    // 2 in less 2 in / 4 is 1.5 in at the small end: a wheel of 1 in. 6,500 ft/min are 78,000 in/min,
    // over pi times 1 in.
    near(set.wheel.expect("a bore"), INCH, 1e-9);
    near(60.0 * set.turns, 24_828.0, 1e-4);
}

#[test]
fn a_perfect_taper_leaves_the_clean_up_alone_limit_case() {
    let Some(Setting::Grinding(set)) = way(Method::Grinding, 1e-6).setting else {
        panic!("a setting");
    };
    near(set.leave, 0.003 * INCH, 1e-3);
}

#[test]
fn lapping_takes_a_taper_that_is_near_and_no_other_worked_by_hand() {
    // 0.0024 in/ft: 0.0002 per side over 2 in, and 0.0002 for the feed marks.
    let near_one = way(Method::Lapping, 0.0024);
    let Some(Setting::Lapping(set)) = near_one.setting else {
        panic!("{near_one:?}");
    };
    assert!(near_one.out.is_empty());
    near(set.leave, 0.0004 * INCH, 1e-9);
    // 0.0008 on diameter at 1 in 4 is 0.0032 along the axis.
    near(set.seats_in, 0.0032 * INCH, 1e-9);
    let [Obstacle::TooMuchToLap { needs, most }] = way(Method::Lapping, 0.012).out[..] else {
        panic!("it can't be lapped");
    };
    near(needs, 0.0012 * INCH, 1e-9);
    near(most, 0.0005 * INCH, 1e-9);
    assert!(
        Obstacle::TooMuchToLap { needs, most }
            .words(Units::Inch)
            .contains("0.0012 in")
    );
}

#[test]
fn neither_is_for_a_thread() {
    let job = text("threaded-plug.toml");
    let lathe = text("worn-lathe.toml");
    let source = |name, text| Source { name, text };
    let (scenario, _) = decode(source("job", &job), source("lathe", &lathe)).expect("right");
    for method in [Method::Grinding, Method::Lapping] {
        let way = method.way(&scenario, Options::default());
        assert_eq!(way.out, [Obstacle::NoThread]);
    }
}

#[test]
fn what_can_hurt_is_said() {
    let ids = |method| -> Vec<&str> {
        let all = way(method, 0.0024).cautions;
        all.iter().map(|caution| caution.id).collect()
    };
    let grinding = ids(Method::Grinding);
    for id in ["grinding-wheel", "grinding-dust", "guards"] {
        assert!(grinding.contains(&id), "{grinding:?}");
    }
    let lapping = ids(Method::Lapping);
    for id in ["lapping-by-hand", "lapping-wears-both", "guards"] {
        assert!(lapping.contains(&id), "{lapping:?}");
    }
}
