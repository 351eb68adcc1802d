//! A lathe and a job with nothing uneven about them, so that closed forms hold; invented numbers.

use tautway_sim::quantity::Quantity;
use tautway_sim::scenario::{End, Kind, Known, Scenario, Source, decode};
use tautway_sim::setup::{Pull, Setup};

pub const INCH: f64 = 0.0254;

pub const LATHE: &str = r#"name = "an even lathe"
units = "metric"
condition = "ordinary"

[attachment]
kind = "telescoping"
shoe_slack = "0.05 mm"
thrust_slack = "0.05 mm"
nut_slack = "0.30 mm"
foot_slack = "0 mm"
foot_spring = "20 N/um"
shoe_spring = "30 N/um"
screw_spring = "25 N/um"
screw_push_share = 0.6
setting_error = "0 mm/m"

[slide]
drag = "60 N"
breakaway = 1
friction = 0
side_friction = 0
drag_left_cutting = 1
drag_change = 0

[spindle]
nose = "cam lock"
reverse = true

[posts]
rear = true
"#;

pub const JOB: &str = r#"name = "an even cone"
lathe = "lathe.toml"

[work]
kind = "outside"
big_end = "headstock"
taper = "2 in/ft"
tolerance = "+-0.010 in/ft"
length = "30 mm"
gauge_plane = "15 mm"
diameter = "50 mm"
material = "4140 30 HRC"
held = "chuck"
from_jaws = "20 mm"
room_headstock = "15 mm"
room_tailstock = "60 mm"
start = { roughed = "0.25 mm" }
run_out = "0 mm"
ovality = "0 mm"
lobing = "0 mm"

[tool]
nose_radius = "0.8 mm"
entering_angle = "95 deg"
edge_radius = "0.01 mm"
height = "0 mm"

[passes]
rough = "1 mm"
rough_feed = "0.2 mm"
finish = ["0.25 mm"]
feed = "0.1 mm"
speed = "300 rpm"

[cutting]
unevenness = 0
"#;

pub fn decoded(lathe: &str, job: &str) -> Scenario {
    let source = |name, text| Source { name, text };
    match decode(source("job.toml", job), source("lathe.toml", lathe)) {
        Ok((scenario, _)) => scenario,
        Err(faults) => panic!("{faults:#?}"),
    }
}

pub fn even() -> Scenario {
    decoded(LATHE, JOB)
}

pub fn exactly<Q: Quantity>(si: f64) -> Known<Q> {
    Known::given(Q::from_si(si))
}

/// The plainest way of cutting with this pull.
pub fn way(scenario: &Scenario, pull: Pull) -> Setup {
    let (kind, big_end): (Kind, End) = (scenario.job.work.kind, scenario.job.work.big_end);
    Setup::all(kind, big_end)
        .into_iter()
        .find(|setup| setup.cuts() && setup.pull() == pull)
        .expect("both pulls are there")
}

#[track_caller]
pub fn near(found: f64, wanted: f64, share: f64) {
    assert!(
        (found - wanted).abs() <= share * wanted.abs(),
        "found {found}, wanted {wanted}"
    );
}
