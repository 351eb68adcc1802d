//! Ordinary jobs of other shops than the worked examples', small and large, inch and metric: none
//! of their numbers is doubted. All are invented.

use tautway_sim::scenario::{Source, decode, decode_lathe};

/// Lathes with what their owners would have measured.
const LATHES: &[(&str, &str)] = &[
    (
        "small bench lathe",
        r#"name = "9 in bench lathe"
units = "inch"
condition = "ordinary"
attachment = { kind = "telescoping", slack = "0.006 in", foot_slack = "2 thou", guide_travel = "6 in", steepest = "4 in/ft" }
slide = { drag = "4 lbf", weight = "14 lbf", gib_slack = "0.0008 in", gib_length = "4-1/2 in", travel = "4 in" }
top_slide = { slack = "0.003 in", travel = "1-3/4 in", graduation = "0.5 deg" }
spindle = { nose = "screwed on", reverse = true, spring = "150 lbf/thou" }
tailstock = { setover = "3/8 in", spring = "60 lbf/thou", centre_height = "0.004 in" }
readout = { step = "0.001 in", reads = "diameter" }
lead_screw = { threads_per_inch = 8, dial_lines = 8, dial_turn = "4 in" }
"#,
    ),
    (
        "engine lathe",
        r#"name = "16 in engine lathe"
units = "inch"
condition = "worn"
attachment = { kind = "telescoping", shoe_slack = "0.008 in", thrust_slack = "0.006 in", nut_slack = "0.035 in", foot_slack = "0.030 in", drive_spring = "55 lbf/thou +- 15 lbf/thou", guide_travel = "12 in", guide_end = "10 in", setting_error = "0.003 in/ft", guide_bow = "0.001 in" }
slide = { drag = "18 lbf to 26 lbf", breakaway = 1.35, drag_change = "25 %", weight = "90 lbf" }
carriage = { rock = "0.3 thou" }
spindle = { nose = "cam lock", reverse = true, out_of_line = "0.0004 in/ft" }
readout = { step = "0.0002 in", reads = "diameter" }
"#,
    ),
    (
        "heavy lathe",
        r#"name = "32 in heavy lathe"
units = "inch"
condition = "good"
attachment = { kind = "telescoping", slack = "0.014 in", foot_slack = "0.004 in", guide_travel = "24 in", foot_spring = "180 lbf/thou" }
slide = { drag = "75 lbf", weight = "260 lbf", gib_length = "18 in", travel = "20 in" }
tailstock = { setover = "1-1/4 in" }
spindle = { nose = "bolted", reverse = true, spring = "900 lbf/thou" }
readout = { step = "0.0005 in", reads = "diameter" }
"#,
    ),
    (
        "metric lathe",
        r#"name = "400 mm lathe"
units = "metric"
condition = "ordinary"
attachment = { kind = "plain", shoe_slack = "0.04 mm", foot_slack = "0.15 mm", guide_travel = "250 mm", steepest = "1:3", foot_spring = "9 N/um" }
slide = { drag = "110 N", weight = "400 N", gib_slack = "0.02 mm", travel = "180 mm" }
top_slide = { locked = true, slack = "0.08 mm", travel = "90 mm", graduation = "0.25 deg" }
spindle = { nose = "cam lock", reverse = true }
tailstock = { setover = "12 mm", setover_error = "0.02 mm" }
readout = { step = "0.005 mm", reads = "diameter" }
lead_screw = { pitch = "6 mm" }
"#,
    ),
    (
        "small metric lathe",
        r#"name = "instrument lathe"
units = "metric"
condition = "good"
attachment = { kind = "telescoping", slack = "0.06 mm", guide_travel = "90 mm" }
slide = { drag = "12 N", weight = "45 N", gib_length = "70 mm", travel = "60 mm" }
readout = { step = "0.001 mm", reads = "radius" }
"#,
    ),
];

/// Jobs, each with the number of its lathe above.
const JOBS: &[(usize, &str)] = &[
    (
        0,
        r#"name = "arbor of a polishing spindle"
lathe = "x.toml"
[work]
kind = "outside"
big_end = "headstock"
taper = "0.600 in/ft"
tolerance = "+-0.003 in/ft"
length = "1-1/2 in"
gauge_plane = "at the big end"
diameter = "0.475 in"
size_tolerance = "+0.000 -0.001 in"
material = "1018"
held = "chuck and centre"
from_jaws = "3/8 in"
beyond = "1/4 in"
room_headstock = "1/4 in"
room_tailstock = "1/4 in"
start = { straight = "1/2 in" }
surface = "cold-drawn bar"
[tool]
shape = "hss"
nose_radius = "0.010 in"
edge = "fresh"
[passes]
rough = "0.015 in"
rough_feed = "0.004 in"
finish = ["0.004 in", "0.002 in"]
feed = "0.002 in"
speed = "900 rpm"
"#,
    ),
    (
        0,
        r#"name = "die-holder bore in a small sleeve"
lathe = "x.toml"
[work]
kind = "inside"
big_end = "tailstock"
taper = "2-1/2 deg per side"
tolerance = "+-0.010 in/ft"
length = "0.9 in"
diameter = "0.700 in"
outside_diameter = "1-1/4 in"
material = "360 brass"
held = "chuck"
room_headstock = "1/2 in"
room_tailstock = "2 in"
start = { straight = "19/32 in" }
[tool]
shape = "hss"
nose_radius = "1/64 in"
edge = "fresh"
bar = { diameter = "5/16 in", stick_out = "1-1/2 in", edge_out = "1/16 in" }
[passes]
rough = "0.010 in"
rough_feed = "0.003 in"
finish = ["0.003 in"]
feed = "0.0015 in"
speed = "700 rpm"
[gauge]
kind = "bore gauge"
within = "0.0003 in"
"#,
    ),
    (
        1,
        r#"name = "propeller shaft end"
lathe = "x.toml"
[work]
kind = "outside"
big_end = "headstock"
taper = "3/4 in/ft"
tolerance = "+0.004 -0.004 in/ft"
length = "7-1/4 in"
diameter = "2.250 in"
size_tolerance = "+0.000 -0.004 in"
waves_allowed = "0.0005 in"
material = "304"
held = "chuck and centre"
from_jaws = "1-1/2 in"
beyond = "3 in"
room_headstock = "1 in"
room_tailstock = "2-1/2 in"
start = { straight = "2-1/4 in" }
surface = "re-chucked in a four-jaw"
run_out = "0.001 in"
[tool]
shape = "80 degree diamond"
nose_radius = "1/32 in"
edge = "fresh"
height = "0.005 in"
[passes]
rough = "0.050 in"
rough_feed = "0.010 in"
finish = ["0.010 in", "0.006 in"]
feed = "0.005 in"
speed = "220 sfm"
[preload]
toward = "toward the operator"
weight = "45 lbf"
"#,
    ),
    (
        1,
        r#"name = "worn spindle sleeve, bored to take a No. 5 Morse bush"
lathe = "x.toml"
[work]
kind = "inside"
big_end = "tailstock"
taper = "0.63151 in/ft"
tolerance = "+0.000 -0.004 in/ft"
length = "5 in"
diameter = "1.748 in"
size_tolerance = "+0.001 -0.003 in"
outside_diameter = "3-1/4 in"
material = "4140 annealed"
held = "chuck"
from_jaws = "1 in"
room_headstock = "2 in"
room_tailstock = "6 in"
start = { roughed = "0.020 in" }
[tool]
nose_radius = "1/64 in"
shape = "triangle"
edge = "used"
bar = { diameter = "1 in", stick_out = "7-1/2 in", material = "carbide" }
[passes]
finish = ["0.008 in", "0.004 in"]
feed = "0.004 in"
speed = "180 sfm"
[gauge]
kind = "plug"
"#,
    ),
    (
        1,
        r#"name = "hose coupling, taper pipe thread"
lathe = "x.toml"
[work]
kind = "outside"
big_end = "headstock"
taper = "3/4 in/ft"
tolerance = "+-0.060 in/ft"
length = "1.2 in"
diameter = "2.875 in"
material = "6061"
held = "chuck"
from_jaws = "2 in"
room_headstock = "1 in"
room_tailstock = "4 in"
start = { roughed = "0.015 in" }
[tool]
shape = "hss"
nose_radius = "0.008 in"
edge = "fresh"
[passes]
finish = ["0.005 in"]
feed = "0.004 in"
speed = "80 rpm"
[thread]
hand = "right"
form = "taper pipe"
threads_per_inch = 8
passes = 10
headstock_end = "runs out"
tailstock_end = "open"
"#,
    ),
    (
        2,
        r#"name = "roll journal of a paper machine"
lathe = "x.toml"
[work]
kind = "outside"
big_end = "headstock"
taper = "1:12"
tolerance = "+-0.006 in/ft"
length = "14 in"
diameter = "11.500 in"
size_tolerance = "+-0.003 in"
material = "1045"
held = "between centres"
from_jaws = "20 in"
beyond = "6 in"
room_headstock = "3 in"
room_tailstock = "5 in"
start = { roughed = "0.060 in" }
[tool]
shape = "square"
nose_radius = "1/16 in"
edge = "used"
[passes]
finish = ["0.020 in", "0.010 in"]
feed = "0.012 in"
speed = "60 rpm"
"#,
    ),
    (
        2,
        r#"name = "rudder coupling, bored"
lathe = "x.toml"
[work]
kind = "inside"
big_end = "tailstock"
taper = "1 in/ft"
tolerance = "+-0.010 in/ft"
length = "10-1/2 in"
diameter = "8.250 in"
outside_diameter = "14 in"
material = "grey iron"
surface = "casting"
held = "chuck"
from_jaws = "2 in"
room_headstock = "2 in"
room_tailstock = "12 in"
start = { straight = "7-1/4 in" }
run_out = "0.030 in"
[tool]
shape = "square"
nose_radius = "1/16 in"
edge = "used"
bar = { diameter = "3 in", stick_out = "14 in", edge_out = "1/4 in" }
[passes]
rough = "1/8 in"
rough_feed = "0.020 in"
finish = ["0.030 in", "0.012 in"]
feed = "0.010 in"
speed = "35 rpm"
"#,
    ),
    (
        3,
        r#"name = "Welle mit Kegel 1:10"
lathe = "x.toml"
units = "metric"
[work]
kind = "outside"
big_end = "headstock"
taper = "1:10"
tolerance = "+-0.3 mm/m"
length = "58 mm"
diameter = "35 mm"
size_tolerance = "+0.02 -0.02 mm"
waves_allowed = "10 um"
material = "C45"
held = "chuck and centre"
from_jaws = "20 mm"
beyond = "12 mm"
room_headstock = "10 mm"
room_tailstock = "12 mm"
start = { straight = "36 mm" }
run_out = "0.03 mm"
[tool]
shape = "55 degree diamond"
nose_radius = "0.8 mm"
edge = "fresh"
[passes]
rough = "1.5 mm"
rough_feed = "0.25 mm"
finish = ["0.3 mm", "0.15 mm"]
feed = "0.1 mm"
speed = "1200 rpm"
touch_off_within = "0.01 mm"
[cutting]
specific_force = "1600 N/mm2 +- 15 %"
exponent = 0.22
edge_force = "25 N/mm"
"#,
    ),
    (
        3,
        r#"name = "Nabe, kegelig gebohrt, mit Luft gehalten"
lathe = "x.toml"
[work]
kind = "inside"
big_end = "tailstock"
taper = "1:5"
tolerance = "+-1 mm/m"
length = "45 mm"
gauge_plane = "5 mm"
diameter = "38 mm"
outside_diameter = "70 mm"
material = "bronze"
held = "chuck"
from_jaws = "12 mm"
room_headstock = "25 mm"
room_tailstock = "100 mm"
start = { straight = "28 mm" }
[tool]
shape = "triangle"
nose_radius = "0.4 mm"
edge = "fresh"
bar = { diameter = "16 mm", stick_out = "75 mm" }
[passes]
rough = "0.8 mm"
rough_feed = "0.15 mm"
finish = ["0.2 mm"]
feed = "0.08 mm"
speed = "70 m/min"
[preload]
toward = "away from the operator"
cylinder = { bore = "32 mm", rod = "12 mm", pressure = "3 bar" }
"#,
    ),
    (
        4,
        r#"name = "pivot of an instrument"
lathe = "x.toml"
[work]
kind = "outside"
big_end = "headstock"
taper = "1:20"
tolerance = "+-0.8 mm/m"
length = "8 mm"
diameter = "4.5 mm"
size_tolerance = "+-0.01 mm"
material = "360 brass"
held = "chuck"
from_jaws = "3 mm"
room_headstock = "2 mm"
room_tailstock = "40 mm"
start = { straight = "5 mm" }
[tool]
shape = "hss"
nose_radius = "0.1 mm"
edge = "fresh"
[passes]
rough = "0.15 mm"
rough_feed = "0.04 mm"
finish = ["0.05 mm", "0.03 mm"]
feed = "0.02 mm"
speed = "1800 rpm"
"#,
    ),
];

#[test]
fn ordinary_lathes_are_not_doubted() {
    for (name, text) in LATHES {
        let (_, warnings) = decode_lathe(Source { name, text })
            .unwrap_or_else(|found| panic!("{name}: {found:#?}"));
        assert!(warnings.is_empty(), "{name}: {warnings:#?}");
    }
}

#[test]
fn ordinary_jobs_are_not_doubted() {
    assert_eq!(JOBS.len(), 10);
    for (lathe, job) in JOBS {
        let (name, lathe) = LATHES[*lathe];
        let job = Source {
            name: "job",
            text: job,
        };
        let lathe = Source { name, text: lathe };
        let (scenario, warnings) =
            decode(job, lathe).unwrap_or_else(|found| panic!("{}: {found:#?}", job.text));
        assert!(warnings.is_empty(), "{}: {warnings:#?}", scenario.job.name);
    }
}
