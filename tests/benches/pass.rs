//! Time a step along the cut takes, by what the slide does, and beside a plain bisection.

use std::path::Path;

use divan::counter::ItemsCount;
use divan::{Bencher, black_box};
use rayon::ThreadPoolBuilder;
use tautway_sim::balance::{Body, Levels, Link, Load};
use tautway_sim::compare::compare;
use tautway_sim::cut::{Acting, BATCH, Cut, Operation, Options, Scratch, finish_batch};
use tautway_sim::machine::Machine;
use tautway_sim::quantity::{Length, Quantity, Taper};
use tautway_sim::record::{Counters, PassRecord, Seat};
use tautway_sim::scenario::{Known, Scenario, Slots, Source, decode};
use tautway_sim::setup::{Pull, Setup};
use tautway_sim::study::{PER_TURN, Study};

fn main() {
    divan::main();
}

/// The tapered socket on the worn lathe.
fn scenario() -> Scenario {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../scenarios");
    let text = |name: &str| std::fs::read_to_string(folder.join(name)).expect("a scenario file");
    let (job, lathe) = (text("tapered-socket.toml"), text("worn-lathe.toml"));
    let source = |name, text| Source { name, text };
    decode(source("job", &job), source("lathe", &lathe))
        .expect("a scenario without faults")
        .0
}

fn setup(scenario: &Scenario, pull: Pull) -> Setup {
    let work = &scenario.job.work;
    Setup::all(work.kind, work.big_end)
        .into_iter()
        .find(|setup| setup.cuts() && setup.pull() == pull)
        .expect("a way to cut")
}

/// One finishing pass, steps counted, of so many lathes side by side; 0: of one by itself. `is_so`
/// tells whether the slide does what the case says.
fn pass_of(
    bencher: Bencher<'_, '_>,
    scenario: &Scenario,
    (pull, lathes): (Pull, usize),
    change: impl FnOnce(&mut Machine),
    is_so: impl FnOnce(&PassRecord) -> bool,
) {
    let operation = Operation::new(scenario, setup(scenario, pull), Options::default());
    let mut machine = operation.machine.clone();
    change(&mut machine);
    let operation = operation.on(machine);
    let mut room = Scratch::default();
    let passes = operation.run_finishing().passes;
    assert!(passes.len() == 1 && is_so(&passes[0]), "not the case meant");
    let steps = passes[0].counters.steps;
    if lathes > 0 {
        let operations = vec![operation.clone(); lathes];
        let counter = ItemsCount::new(steps * lathes as u64);
        bencher.counter(counter).bench_local(|| {
            black_box(finish_batch(black_box(&operations), &mut room));
        });
        return;
    }
    bencher.counter(ItemsCount::new(steps)).bench_local(|| {
        let finished = black_box(&operation).run_finishing_in(&mut room);
        room.clear(black_box(finished));
    });
}

/// Whether most turns ran on this seat.
fn mostly(seat: Seat) -> impl Fn(&PassRecord) -> bool {
    move |pass| {
        let on = pass.turns.iter().filter(|turn| turn.seat == seat).count();
        2 * on > pass.turns.len()
    }
}

/// By itself, and side by side.
const LATHES: [usize; 2] = [0, BATCH];

#[divan::bench(args = LATHES)]
fn seated(bencher: Bencher<'_, '_>, lathes: usize) {
    pass_of(
        bencher,
        &scenario(),
        (Pull::In, lathes),
        |_| {},
        mostly(Seat::First),
    );
}

#[divan::bench(args = LATHES)]
fn floating(bencher: Bencher<'_, '_>, lathes: usize) {
    pass_of(
        bencher,
        &scenario(),
        (Pull::Away, lathes),
        |_| {},
        mostly(Seat::Floating),
    );
}

/// A spring that draws the slide into the cut keeps it on the other face.
#[divan::bench(args = LATHES)]
fn other_face(bencher: Bencher<'_, '_>, lathes: usize) {
    let drawn = |machine: &mut Machine| machine.hold.out = -600.0;
    pass_of(
        bencher,
        &scenario(),
        (Pull::Away, lathes),
        drawn,
        mostly(Seat::Other),
    );
}

/// Clamped before and in the cut, the slide stays with the carriage and comes out of the cone: in
/// air after a while.
#[divan::bench(args = LATHES)]
fn stuck(bencher: Bencher<'_, '_>, lathes: usize) {
    let clamped = |machine: &mut Machine| {
        machine.drag.gib = 1e6;
        machine.drag.left_cutting = 2.0;
    };
    pass_of(bencher, &scenario(), (Pull::In, lathes), clamped, |pass| {
        let in_air = pass.turns.iter().filter(|turn| turn.depth == 0.0).count();
        // But for where the run-in in air goes over into the cut.
        100 * pass.counters.stuck > 99 * pass.counters.steps && 2 * in_air > pass.turns.len()
    });
}

/// Three slots along the bore.
#[divan::bench(args = LATHES)]
fn slots(bencher: Bencher<'_, '_>, lathes: usize) {
    let mut scenario = scenario();
    scenario.job.work.slots = Some(Slots {
        count: 3,
        width: Length::from_si(6e-3),
    });
    pass_of(bencher, &scenario, (Pull::In, lathes), |_| {}, |_| true);
}

/// So steep that a foot may leave its seat; it does where the slide is drawn away.
fn steep(bencher: Bencher<'_, '_>, pull: Pull, lathes: usize) {
    let mut scenario = scenario();
    scenario.job.work.taper = Taper::from_si(0.28);
    scenario.lathe.attachment.steepest = Known::given(Taper::from_si(0.4));
    pass_of(bencher, &scenario, (pull, lathes), |_| {}, |_| true);
}

#[divan::bench(args = LATHES)]
fn steep_pulled_in(bencher: Bencher<'_, '_>, lathes: usize) {
    steep(bencher, Pull::In, lathes);
}

#[divan::bench(args = LATHES)]
fn steep_drawn_away(bencher: Bencher<'_, '_>, lathes: usize) {
    steep(bencher, Pull::Away, lathes);
}

/// Roughing and finishing, each way.
#[divan::bench(args = [0, 1])]
fn roughing(bencher: Bencher<'_, '_>, way: usize) {
    let scenario = scenario();
    let pull = [Pull::In, Pull::Away][way];
    let operation = Operation::new(&scenario, setup(&scenario, pull), Options::default());
    let steps: u64 = operation
        .run()
        .passes
        .iter()
        .map(|pass| pass.counters.steps)
        .sum();
    let counter = ItemsCount::new(steps);
    bencher
        .counter(counter)
        .bench_local(|| black_box(&operation).run());
}

/// Drags by slacks of a study, as shares of the job's own.
const DRAGS: usize = 20;
const SLACKS: usize = 10;

/// Machines with other drags and slacks.
fn machines(operation: &Operation<'_>) -> Vec<Machine> {
    let share = |i: usize, of: usize| 0.5 + (i as f64 + 0.5) / of as f64;
    (0..DRAGS * SLACKS)
        .map(|t| {
            let mut machine = operation.machine.clone();
            machine.drag.gib *= share(t / SLACKS, DRAGS);
            machine.set_slack(machine.drive.slack * share(t % SLACKS, SLACKS));
            machine
        })
        .collect()
}

/// The floating pass on as many machines, one after another.
#[divan::bench(sample_count = 5)]
fn study_of_200(bencher: Bencher<'_, '_>) {
    let scenario = scenario();
    let operation = Operation::new(&scenario, setup(&scenario, Pull::Away), Options::default());
    let machines = machines(&operation);
    let mut room = Scratch::default();
    bencher.bench_local(|| {
        for machine in &machines {
            let operation = black_box(&operation).clone().on(machine.clone());
            let finished = operation.run_finishing_in(&mut room);
            room.clear(black_box(finished));
        }
    });
}

/// The same machines, eight side by side.
#[divan::bench(sample_count = 5)]
fn study_of_200_batch(bencher: Bencher<'_, '_>) {
    let scenario = scenario();
    let operation = Operation::new(&scenario, setup(&scenario, Pull::Away), Options::default());
    let machines = machines(&operation);
    let mut room = Scratch::default();
    bencher.bench_local(|| {
        for machines in machines.chunks(BATCH) {
            let operations: Vec<Operation<'_>> = machines
                .iter()
                .map(|machine| black_box(&operation).clone().on(machine.clone()))
                .collect();
            black_box(finish_batch(&operations, &mut room));
        }
    });
}

/// So many trials of every way that isn't another's mirror image, gauged and judged, on so many
/// threads; 0: all there are.
fn trials(
    bencher: Bencher<'_, '_>,
    (scenario, per_turn): (&Scenario, usize),
    trials: u64,
    threads: usize,
) {
    let work = &scenario.job.work;
    let mut ways: Vec<Setup> = Vec::new();
    for way in Setup::all(work.kind, work.big_end) {
        let same = |other: &Setup| other.feed == way.feed && other.press() == way.press();
        if way.cuts() && !ways.iter().any(same) {
            ways.push(way);
        }
    }
    let options = Options {
        per_turn,
        ..Options::default()
    };
    let steps = |way: &Setup| -> u64 {
        let passes = Operation::new(scenario, *way, options)
            .run_finishing()
            .passes;
        passes.iter().map(|pass| pass.counters.steps).sum()
    };
    let steps: u64 = ways.iter().map(steps).sum();
    let study = Study::new(scenario, &ways, options).expect("ranges that can be drawn");
    let pool = ThreadPoolBuilder::new().num_threads(threads).build();
    let pool = pool.expect("threads");
    let counter = ItemsCount::new(trials * steps);
    bencher.counter(counter).bench_local(|| {
        black_box(pool.install(|| study.trials(1..trials + 1)));
    });
}

/// The socket in two passes, with as many steps a turn as a single run takes.
fn two_passes() -> (Scenario, usize) {
    let mut scenario = scenario();
    let finish = &mut scenario.job.passes.finish;
    finish.push(finish[0]);
    (scenario, Options::default().per_turn)
}

#[divan::bench(sample_count = 10)]
fn trials_of_all_ways(bencher: Bencher<'_, '_>) {
    trials(bencher, (&scenario(), PER_TURN), 40, 1);
}

#[divan::bench(sample_count = 10)]
fn trials_of_two_passes(bencher: Bencher<'_, '_>) {
    let (scenario, per_turn) = two_passes();
    trials(bencher, (&scenario, per_turn), 40, 1);
}

/// A thousand lathes each way, on one thread, two and all.
#[divan::bench(sample_count = 3, args = [1, 2, 0])]
fn thousand_lathes_of_two_passes(bencher: Bencher<'_, '_>, threads: usize) {
    let (scenario, per_turn) = two_passes();
    trials(bencher, (&scenario, per_turn), 1000, threads);
}

#[divan::bench(sample_count = 10)]
fn compare_all_ways(bencher: Bencher<'_, '_>) {
    let scenario = scenario();
    bencher.bench_local(|| compare(black_box(&scenario), Options::default()));
}

/// Steps of the runs below.
const STEPS: usize = 4800;

/// A slide seated in a cut of 0.25 mm on run-out work, a turn of 24 steps.
fn one_body(mut advance: impl FnMut(f64, f64, &Cut<'_>), operation: &Operation<'_>) {
    let law = operation.law(0.127e-3);
    for i in 0..STEPS {
        let angle = i as f64 * std::f64::consts::TAU / 24.0;
        let surface = -0.25e-3 + 10e-6 * angle.cos();
        let load = Cut {
            law: &law,
            acting: Acting {
                drag: &operation.machine.drag,
                gives: operation.machine.tool_gives,
                local_drag: 1.0,
                preload: 0.0,
                rate: 0.0,
                height_share: 0.0,
                eased: true,
            },
            surface,
            turn_ago: surface + 0.23e-3 - 8e-6 * angle.cos(),
            hardness: 1.0 + 0.05 * (0.37 * angle).sin(),
            engaged: 1.0,
        };
        advance(0.2e-3, -8e-8, &load);
    }
}

#[divan::bench]
fn one_body_settled(bencher: Bencher<'_, '_>) {
    let scenario = scenario();
    let operation = Operation::new(&scenario, setup(&scenario, Pull::In), Options::default());
    let body = Body::new(operation.machine.drive, Levels::ONE, 0.0);
    bencher.counter(ItemsCount::new(STEPS)).bench_local(|| {
        let mut body = body;
        let mut counters = Counters::default();
        let advance = |guide, drift, load: &Cut<'_>| {
            body.shift(drift);
            black_box(body.advance(guide, load, &mut counters));
        };
        one_body(advance, &operation);
    });
}

/// The same steps by bisection alone.
#[divan::bench]
fn one_body_bisection(bencher: Bencher<'_, '_>) {
    let scenario = scenario();
    let operation = Operation::new(&scenario, setup(&scenario, Pull::In), Options::default());
    let link = operation.machine.drive;
    bencher.counter(ItemsCount::new(STEPS)).bench_local(|| {
        let mut position = 0.0;
        let advance = |guide, drift, load: &Cut<'_>| {
            position = black_box(bisected(&link, guide, position + drift, load));
        };
        one_body(advance, &operation);
    });
}

/// Where one body rests, by halving: first the edge's place where the body stood, then, if the
/// net force beats the friction there, the place on the way where the two are equal.
fn bisected(link: &Link, guide: f64, from: f64, load: &impl Load) -> f64 {
    let stood = halved(from - 5e-3, from + 5e-3, |e| load.at(e).position - from);
    let there = load.at(stood);
    let net = link.force(guide - from) - there.push;
    if net.abs() <= there.limit {
        return from;
    }
    let direction = net.signum();
    let rest = halved(stood, stood + direction * 5e-3, |e| {
        let r = load.at(e);
        r.limit - direction * (link.force(guide - r.position) - r.push)
    });
    load.at(rest).position
}

/// Where `rises` goes through zero between `a`, where it is below, and `b`, to a picometre.
fn halved(mut a: f64, mut b: f64, rises: impl Fn(f64) -> f64) -> f64 {
    while (b - a).abs() > 1e-12 {
        let middle = 0.5 * (a + b);
        if rises(middle) < 0.0 {
            a = middle;
        } else {
            b = middle;
        }
    }
    0.5 * (a + b)
}
