//! Lost motion, touch-off and size over drag, slack and stiffness, as a table and as a drawing: a
//! law without jumps shows none.
//!
//! `cargo run --release -p tautway-tests --example scans FOLDER` writes `scans.csv` and `scans.svg`
//! there; without a folder it prints the table.

use std::fmt::Write as _;

use tautway_sim::cut::{Operation, Options};
use tautway_sim::machine::Machine;
use tautway_sim::measure::measure;
use tautway_sim::scenario::{Scenario, Source, decode};
use tautway_sim::setup::{Pull, Setup};

/// Places of a scan.
const POINTS: usize = 200;

/// A lathe and a job with nothing uneven about them: what is left is the law.
const LATHE: &str = r#"name = "an even lathe"
units = "metric"
condition = "ordinary"
[attachment]
kind = "telescoping"
shoe_slack = "0.05 mm"
thrust_slack = "0.05 mm"
nut_slack = "0.30 mm"
foot_slack = "0.10 mm"
setting_error = "0 mm/m"
guide_bow = "0 mm"
[slide]
drag = "60 N"
breakaway = 1.4
friction = 0
side_friction = 0
drag_left_cutting = 0.7
drag_change = 0
[spindle]
nose = "cam lock"
reverse = true
[posts]
rear = true
"#;

const JOB: &str = r#"name = "an even cone"
lathe = "lathe.toml"
[work]
kind = "outside"
big_end = "headstock"
taper = "2 in/ft"
length = "30 mm"
gauge_plane = "15 mm"
diameter = "50 mm"
material = "4140 30 HRC"
held = "chuck"
from_jaws = "20 mm"
room_headstock = "40 mm"
room_tailstock = "60 mm"
start = { roughed = "0.25 mm" }
run_out = "0 mm"
ovality = "0 mm"
lobing = "0 mm"
[tool]
nose_radius = "0.8 mm"
height = "0 mm"
[passes]
finish = ["0.25 mm"]
feed = "0.1 mm"
speed = "300 rpm"
[cutting]
unevenness = 0
"#;

/// What is scanned: its name and unit, from where to where, and how it changes the machine.
struct Scan {
    name: &'static str,
    range: [f64; 2],
    shown_as: f64,
    change: fn(&mut Machine, f64),
}

const SCANS: [Scan; 4] = [
    Scan {
        name: "drag, N",
        range: [0.0, 10.0],
        shown_as: 1.0,
        change: |machine, drag| machine.drag.gib = drag,
    },
    Scan {
        name: "wide drag, N",
        range: [0.0, 400.0],
        shown_as: 1.0,
        change: |machine, drag| machine.drag.gib = drag,
    },
    Scan {
        name: "slack, mm",
        range: [0.0, 0.6e-3],
        shown_as: 1e3,
        change: |machine, slack| {
            let share = slack / machine.drive.slack;
            machine.drive.slack = slack;
            for part in &mut machine.slack_parts {
                part.slack *= share;
            }
        },
    },
    Scan {
        name: "stiffness, N/um",
        range: [4e6, 60e6],
        shown_as: 1e-6,
        change: |machine, rate| {
            machine.drive.first = rate;
            machine.drive.other = 0.8 * rate;
        },
    },
];

/// What comes of a machine: each with its unit.
const FOUND: [&str; 3] = ["lost motion, mm", "touch-off, um", "left on, um per side"];

fn main() {
    let source = |name, text| Source { name, text };
    let (scenario, _) = decode(source("job.toml", JOB), source("lathe.toml", LATHE))
        .expect("a scenario without faults");
    let mut table = format!("scan,pull,value,{}\n", FOUND.map(quoted).join(","));
    let mut curves = Vec::new();
    for scan in &SCANS {
        for pull in [Pull::In, Pull::Away] {
            let points: Vec<[f64; 4]> = (0..=POINTS)
                .map(|i| at(&scenario, pull, scan, i as f64 / POINTS as f64))
                .collect();
            for [value, lost, stands, left] in &points {
                let name = quoted(scan.name);
                writeln!(table, "{name},{pull:?},{value},{lost},{stands},{left}").expect("text");
            }
            curves.push((scan.name, pull, points));
        }
    }
    match std::env::args().nth(1) {
        None => print!("{table}"),
        Some(folder) => {
            let folder = std::path::Path::new(&folder);
            std::fs::write(folder.join("scans.csv"), table).expect("a folder to write to");
            std::fs::write(folder.join("scans.svg"), drawn(&curves)).expect("the same folder");
        }
    }
}

fn quoted(name: &str) -> String {
    format!("\"{name}\"")
}

/// Value and what is found there.
fn at(scenario: &Scenario, pull: Pull, scan: &Scan, share: f64) -> [f64; 4] {
    let work = &scenario.job.work;
    let setup = Setup::all(work.kind, work.big_end)
        .into_iter()
        .find(|setup| setup.cuts() && setup.pull() == pull)
        .expect("both pulls are there");
    let value = scan.range[0] + share * (scan.range[1] - scan.range[0]);
    let operation = Operation::new(scenario, setup, Options::default());
    let mut machine = operation.machine.clone();
    (scan.change)(&mut machine, value);
    let operation = operation.on(machine);
    let (outcome, _) = measure(scenario, &setup, &operation, &operation.run_finishing());
    let approach = operation.approach();
    [
        value * scan.shown_as,
        1e3 * approach.lost.total,
        1e6 * approach.stands(),
        -1e6 * outcome.size_error,
    ]
}

/// Width and height of a panel with its margin, in the drawing's own units.
const PANEL: [f64; 2] = [260.0, 170.0];

/// A row of panels for each scan, one for each thing found, both pulls in it.
fn drawn(curves: &[(&str, Pull, Vec<[f64; 4]>)]) -> String {
    let [width, height] = PANEL;
    let (all_wide, all_high) = (width * FOUND.len() as f64, height * SCANS.len() as f64);
    let mut svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {all_wide} {all_high}\" \
         font-family=\"sans-serif\" font-size=\"9\">\n<rect width=\"100%\" height=\"100%\" \
         fill=\"#fff\"/>\n"
    );
    for (row, of_scan) in curves.chunks(2).enumerate() {
        for (column, found) in FOUND.iter().enumerate() {
            let all = || of_scan.iter().flat_map(|(.., points)| points);
            let bounds = |n: usize| {
                let values = || all().map(|point| point[n]);
                let least = values().fold(f64::INFINITY, f64::min);
                let most = values().fold(f64::NEG_INFINITY, f64::max);
                (least, (most - least).max(1e-9))
            };
            let ((x0, dx), (y0, dy)) = (bounds(0), bounds(column + 1));
            let (left, top) = (width * column as f64, height * row as f64);
            let (wide, high) = (width - 60.0, height - 50.0);
            let place = |point: &[f64; 4]| {
                let x = left + 45.0 + wide * (point[0] - x0) / dx;
                let y = top + 20.0 + high * (1.0 - (point[column + 1] - y0) / dy);
                format!("{x:.1},{y:.1}")
            };
            for ((scan, pull, points), colour) in of_scan.iter().zip(["#1b5e9e", "#b3541e"]) {
                let line: Vec<String> = points.iter().map(place).collect();
                let line = line.join(" ");
                writeln!(
                    svg,
                    "<polyline fill=\"none\" stroke=\"{colour}\" points=\"{line}\"><title>{found} \
                     over {scan}, {pull:?}</title></polyline>"
                )
                .expect("text");
            }
            let (foot, middle) = (top + height - 16.0, left + 0.5 * width);
            let name = of_scan[0].0;
            for (x, y, text) in [
                (left + 45.0, top + 12.0, (*found).to_owned()),
                (middle, foot, name.to_owned()),
                (left + 45.0, foot, format!("{x0:.3}")),
                (left + width - 45.0, foot, format!("{:.3}", x0 + dx)),
                (left + 2.0, top + 20.0 + high, format!("{y0:.2}")),
                (left + 2.0, top + 28.0, format!("{:.2}", y0 + dy)),
            ] {
                writeln!(svg, "<text x=\"{x}\" y=\"{y}\">{text}</text>").expect("text");
            }
        }
    }
    let names = "<text x=\"120\" y=\"12\" fill=\"#1b5e9e\">pulled in</text>\n<text x=\"170\" \
                 y=\"12\" fill=\"#b3541e\">drawn away</text>\n</svg>\n";
    svg.push_str(names);
    svg
}
