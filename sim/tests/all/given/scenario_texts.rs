//! A lathe and a job that are right, shared by the tests of decoding; their numbers are invented.

use tautway_sim::scenario::{Diagnostic, Scenario, Source, decode};

pub const INCH: f64 = 0.0254;
pub const LBF: f64 = 4.448_221_615_260_5;

pub const LATHE: &str = r#"name = "the worn 15 inch lathe"
units = "inch"
condition = "worn"

[attachment]
kind = "telescoping"
slack = "0.064 in +- 0.008 in"
foot_slack = "0.015 in"
drive_spring = "don't know"
guide_travel = "11 in"
steepest = "3 in/ft"

[slide]
drag = "14 lbf to 22 lbf"
breakaway = "don't know"

[spindle]
nose = "cam lock"
reverse = true

[posts]
rear = false

[readout]
step = "0.0005 in"
reads = "diameter"
"#;

pub const JOB: &str = r#"name = "bore of a tapered coupling"
lathe = "lathe.toml"

[work]
kind = "inside"
big_end = "tailstock"
taper = "2 in/ft"
tolerance = "+0.000 -0.030 in/ft"
length = "3 in"
gauge_plane = "at the big end"
diameter = "3.000 in"
size_tolerance = "+-0.005 in"
material = "4140 30 HRC"
held = "chuck"
from_jaws = "1 in"
room_headstock = "1-1/4 in"
room_tailstock = "4 in"
start = { straight = "2.400 in" }
surface = "turned in this setting"

[tool]
nose_radius = "1/32 in"
shape = "80 degree diamond"
edge = "fresh"
bar = { diameter = "1-1/4 in", stick_out = "6 in" }

[passes]
rough = "0.040 in"
finish = ["0.010 in", "0.005 in"]
feed = "0.005 in"
speed = "250 sfm"
spring = 0
"#;

pub fn decode_pair(job: &str, lathe: &str) -> Result<(Scenario, Vec<Diagnostic>), Vec<Diagnostic>> {
    let source = |name, text| Source { name, text };
    decode(source("job.toml", job), source("lathe.toml", lathe))
}

pub fn decoded(job: &str, lathe: &str) -> (Scenario, Vec<Diagnostic>) {
    decode_pair(job, lathe).unwrap_or_else(|faults| panic!("{faults:#?}"))
}

pub fn faults(job: &str, lathe: &str) -> Vec<Diagnostic> {
    match decode_pair(job, lathe) {
        Ok(read) => panic!("this should be refused: {read:#?}"),
        Err(faults) => faults,
    }
}

#[track_caller]
pub fn near(found: f64, wanted: f64) {
    assert!(
        (found - wanted).abs() <= 1e-9 * wanted.abs().max(1e-6),
        "found {found}, wanted {wanted}"
    );
}
