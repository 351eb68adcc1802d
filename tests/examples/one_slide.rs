//! Prints the numbers of a seated and a floating pass, and what they came to, for the peer program
//! `tests/peers/one_slide.py`.
//!
//! `cargo run --release -p tautway-tests --example one_slide > tests/peers/one_slide.json`

use std::path::Path;

use serde_json::{Value, json};
use tautway_sim::cut::{Acting, Cut, Finished, Operation, Options};
use tautway_sim::measure::filter::line_through;
use tautway_sim::quantity::Quantity;
use tautway_sim::scenario::{End, Scenario, Source, decode};
use tautway_sim::setup::{Pull, Setup};
use tautway_sim::unevenness::{self, HardnessField};

/// Turns of the entry that the peer is given.
const ENTRY: usize = 8;
/// Turns compared.
const COMPARED: usize = 50;
/// Every so many lines along the work are compared.
const EVERY: usize = 4;
/// As the engine has them.
const BENCH_PLACES: usize = 33;
const UNCUT_SHARE: f64 = 0.3;
/// Share of the length left out of the fitted taper at either end.
const ENDS: f64 = 0.1;

fn main() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../scenarios");
    let text = |name: &str| std::fs::read_to_string(folder.join(name)).expect("a scenario file");
    let (job, lathe) = (text("tapered-socket.toml"), text("worn-lathe.toml"));
    let source = |name, text| Source { name, text };
    let scenario = decode(source("job", &job), source("lathe", &lathe))
        .expect("a scenario without faults")
        .0;
    println!("{{\"work\": {},", work(&scenario));
    println!("\"hardness\": {},", hardness(&scenario));
    println!("\"seated\": {},", case(&scenario, Pull::In));
    println!("\"floating\": {}}}", case(&scenario, Pull::Away));
}

fn work(scenario: &Scenario) -> Value {
    let job = &scenario.job;
    let options = Options::default();
    assert!(
        job.tool.height.si() == 0.0
            && job.passes.finish.len() == 1
            && job.passes.spring == 0
            && job.preload.is_none()
            && job.work.slots.is_none(),
        "the peer leaves these out"
    );
    let length = job.work.length.si();
    json!({
        "length": length,
        "gauge_z": gauge_z(scenario),
        "depth": job.passes.finish[0].si(),
        "uncut": UNCUT_SHARE * job.tool.edge_radius.si(),
        "per_turn": options.per_turn,
        "spacing": job.passes.feed.si().min(job.passes.rough_feed.si()).max(length / 4000.0),
        "surface": surface(scenario),
        "ends": ENDS,
    })
}

fn gauge_z(scenario: &Scenario) -> f64 {
    let work = &scenario.job.work;
    match work.big_end {
        End::Headstock => work.gauge_plane.si(),
        End::Tailstock => work.length.si() - work.gauge_plane.si(),
    }
}

fn patches(scenario: &Scenario) -> HardnessField {
    let (work, cutting) = (&scenario.job.work, &scenario.job.cutting);
    let options = Options::default();
    HardnessField::hardness(
        &options.seed.into(),
        cutting.unevenness.si(),
        cutting.patch.si(),
        work.length.si(),
        0.5 * work.diameter.si(),
        options.per_turn,
    )
}

/// The table, place by place, round the work at each.
fn hardness(scenario: &Scenario) -> Value {
    let field = patches(scenario);
    let length = scenario.job.work.length.si();
    let nodes = (length / (scenario.job.cutting.patch.si() / 8.0)).ceil() as usize + 2;
    let rows: Vec<Vec<f64>> = (0..nodes)
        .map(|node| {
            let z = length * node as f64 / (nodes - 1) as f64;
            (0..Options::default().per_turn)
                .map(|meridian| rounded(field.at(meridian, z), 1e6))
                .collect()
        })
        .collect();
    json!(rows)
}

/// Enough digits, in a small file.
fn rounded(number: f64, per_one: f64) -> f64 {
    (number * per_one).round() / per_one
}

fn case(scenario: &Scenario, pull: Pull) -> Value {
    let work = &scenario.job.work;
    let setup = Setup::all(work.kind, work.big_end)
        .into_iter()
        .find(|setup| setup.cuts() && setup.pull() == pull)
        .expect("a way to cut");
    let operation = Operation::new(scenario, setup, Options::default());
    let finished = operation.run_finishing();
    let (machine, length) = (&operation.machine, operation.length());
    let feed = scenario.job.passes.feed.si();
    let law = operation.law(feed);
    let drag = &machine.drag;
    let local = unevenness::drag_along_stroke(
        &Options::default().seed.into(),
        drag.change,
        operation.slope * length,
    );
    let bench: Vec<f64> = (0..BENCH_PLACES)
        .map(|i| {
            machine
                .bench
                .gives(length * i as f64 / (BENCH_PLACES - 1) as f64)
        })
        .collect();
    json!({
        "pull": pull.sign(),
        "feed_direction": setup.feed.sign(),
        "slope": operation.slope,
        "law": {
            "specific_force": law.specific_force,
            "exponent": law.exponent,
            "push_ratio": law.push_ratio,
            "edge_force": law.edge_force,
            "nose_radius": law.shape.nose_radius,
            "entering_angle": scenario.job.tool.entering_angle.si(),
            "feed": feed,
            "path": law.path,
        },
        "drive": {
            "slack": machine.drive.slack,
            "first": machine.drive.first,
            "other": machine.drive.other,
        },
        "drag": {
            "gib": drag.gib,
            "friction": drag.friction,
            "weight": drag.weight,
            "press": drag.press,
            "side": drag.side,
            "seal": drag.seal,
            "left_cutting": drag.left_cutting,
            "along": local.iter().map(|d| rounded(*d, 1e6)).collect::<Vec<_>>(),
        },
        "tool_gives": machine.tool_gives,
        "work_gives": bench,
        "stands": operation.approach().stands(),
        "guide": guide(&operation, &finished),
        "start": start(&operation, &finished, scenario, &local),
        "result": result(&operation, &finished),
    })
}

/// The guide's height along the work as `a + b z + c z^2`: its setting error is a line, its bow an
/// arc.
fn guide(operation: &Operation<'_>, finished: &Finished) -> [f64; 3] {
    let pass = &finished.passes[0];
    assert!(pass.foot_leaves.is_none(), "the peer leaves the foot out");
    let path = &finished.last_path;
    let first = 2 * ENTRY;
    let last = (0..pass.turns.len())
        .rev()
        .find(|&t| (0.0..=operation.length()).contains(&path.place(t * path.per_turn)))
        .expect("a turn on the work");
    let at = |t: usize| {
        let height = pass.turns[t].first_face + 0.5 * operation.machine.drive.slack;
        (path.place(t * path.per_turn), height)
    };
    let [(x, a), (y, b), (z, c)] = [at(first), at((first + last) / 2), at(last)];
    let (ab, bc) = ((b - a) / (y - x), (c - b) / (z - y));
    let square = (bc - ab) / (z - x);
    let line = ab - square * (x + y);
    let constant = a - x * (line + square * x);
    for t in first..last {
        let (z, height) = at(t);
        let error = height - (constant + z * (line + square * z));
        assert!(error.abs() < 1e-12, "not an arc: {error} at {z}");
    }
    [constant, line, square]
}

/// The edge's path of the entry, without a number where nothing was cut, and where the slide then
/// stands.
fn start(
    operation: &Operation<'_>,
    finished: &Finished,
    scenario: &Scenario,
    local: &[f64],
) -> Value {
    let path = &finished.last_path;
    let (heights, per_turn) = (&path.heights, path.per_turn);
    let n = ENTRY * per_turn;
    let (edge, turn_ago) = (heights[n - 1], heights[n - 1 - per_turn]);
    assert!(edge.is_finite() && turn_ago.is_finite(), "not in the cut");
    // What changes slowly is looked up at the turn's first step.
    let z = path.place(n - per_turn);
    let place = z / operation.length() * (local.len() - 1) as f64;
    let i = (place as usize).min(local.len() - 2);
    let law = operation.law(path.shape.feed);
    let load = Cut {
        law: &law,
        acting: Acting {
            drag: &operation.machine.drag,
            gives: operation.machine.tool_gives + operation.machine.bench.gives(z),
            local_drag: 1.0 + local[i] + (place - i as f64) * (local[i + 1] - local[i]),
            preload: 0.0,
            rate: 0.0,
            height_share: 0.0,
            eased: true,
        },
        surface: surface(scenario)[per_turn - 1],
        turn_ago,
        hardness: 1.0 + patches(scenario).at(per_turn - 1, path.place(n - 1)),
        engaged: 1.0,
    };
    json!({
        "turns": ENTRY,
        "path": heights[..n].iter().map(|h| h.is_finite().then(|| rounded(*h, 1e12))).collect::<Vec<_>>(),
        "slide": load.reaction(edge).position,
    })
}

/// The stock's surface on each line along the work, even along it.
fn surface(scenario: &Scenario) -> Vec<f64> {
    let options = Options::default();
    let work = &scenario.job.work;
    let (run_out, ovality) = (work.run_out.si(), work.ovality.si());
    let mut heights = unevenness::blank(&options.seed.into(), run_out, ovality, options.per_turn);
    let mean = heights.iter().sum::<f64>() / heights.len() as f64;
    let depth = scenario.job.passes.finish[0].si();
    heights
        .iter_mut()
        .for_each(|height| *height -= depth + mean);
    heights
}

/// What the pass came to, with the edge's path at some turns.
fn result(operation: &Operation<'_>, finished: &Finished) -> Value {
    let (pass, path) = (&finished.passes[0], &finished.last_path);
    let whole = pass.turns.iter().rposition(|turn| turn.cutting);
    let span = whole.expect("a turn in the cut") - ENTRY;
    let turns: Vec<Value> = (0..COMPARED)
        .map(|i| {
            let turn = ENTRY + i * span / (COMPARED - 1);
            let heights: Vec<f64> = path.heights[turn * path.per_turn..][..path.per_turn]
                .iter()
                .step_by(EVERY)
                .map(|h| rounded(*h, 1e12))
                .collect();
            assert!(heights.iter().all(|h| h.is_finite()), "not in the cut");
            let sample = &pass.turns[turn];
            json!({
                "turn": turn,
                "heights": heights,
                "push_off": rounded(sample.push_off, 1e6),
                "drag": rounded(sample.drag, 1e6),
                "drive": rounded(sample.drive, 1e6),
            })
        })
        .collect();
    let (length, spacing) = (operation.length(), finished.surface.spacing());
    let mean = finished.surface.mean();
    let middle = mean
        .iter()
        .enumerate()
        .map(|(k, &height)| (spacing * k as f64, height))
        .filter(|&(z, _)| z >= ENDS * length && z <= (1.0 - ENDS) * length);
    json!({
        "steps": pass.counters.steps,
        "taken": pass.taken,
        "size_error": operation.mean_around(&finished.surface, operation.gauge_z()),
        "tilt": line_through(middle).1,
        "every": EVERY,
        "turns": turns,
    })
}
