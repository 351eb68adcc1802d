//! Every way of cutting a thread: hands, seats pass by pass, what a worked example teaches.

use crate::given::worked::{THOU, scenario};
use tautway_sim::cut::Options;
use tautway_sim::quantity::{Force, Length, Quantity, Ratio, Stiffness};
use tautway_sim::record::Seat;
use tautway_sim::scenario::{End, Hand, Infeed, Kind, Known, Scenario, SpindleNose, ThreadCut};
use tautway_sim::setup::{Feed, Pull, Rotation, Side};
use tautway_sim::thread::{
    Method, ThreadReason, ThreadRun, ThreadWay, Threading, cut_of, likely, moves, threading,
};

fn found(scenario: &Scenario) -> Threading {
    threading(scenario, Options::default()).expect("a thread with a form")
}

fn cut_mut(scenario: &mut Scenario) -> &mut ThreadCut {
    let thread = scenario.job.thread.as_mut().expect("a thread");
    thread.cut.as_mut().expect("with a form")
}

fn run(way: &ThreadWay) -> &ThreadRun {
    way.run.as_ref().expect("it can be cut")
}

fn pulled(found: &Threading, pull: Pull) -> &ThreadWay {
    let mut ways = found.ways.iter();
    ways.find(|way| way.pull == pull && way.setup.side == Side::Front)
        .expect("there is one")
}

#[test]
fn hands_exhaustive() {
    // A right-hand thread wants the tool to go toward the headstock while the spindle turns
    // forward, or the other way with both turned round: the rule of the lead screw's gears, common
    // practice, no source.
    let mut seen = 0;
    for file in ["threaded-plug.toml", "threaded-socket.toml"] {
        for big_end in [End::Headstock, End::Tailstock] {
            for hand in [Hand::Right, Hand::Left] {
                let mut scenario = scenario(file);
                scenario.job.work.big_end = big_end;
                scenario.job.thread.as_mut().expect("a thread").hand = hand;
                scenario.lathe.rear_post = true;
                let found = found(&scenario);
                let attached: Vec<_> = found
                    .ways
                    .iter()
                    .filter(|way| way.method == Method::Attachment)
                    .collect();
                assert_eq!((attached.len(), found.other_hand.len()), (4, 4));
                for way in attached {
                    let toward_headstock = way.setup.feed == Feed::Headstock;
                    let forward = way.setup.rotation == Rotation::Forward;
                    assert_eq!(toward_headstock == forward, hand == Hand::Right);
                    assert!(way.setup.cuts());
                    seen += 1;
                }
                for setup in &found.other_hand {
                    assert_ne!(setup.hand(), hand);
                }
            }
        }
    }
    assert_eq!(seen, 32);
}

#[test]
fn pulled_in_a_right_hand_bore_with_its_big_end_out_runs_backward_from_a_groove() {
    let mut socket = scenario("threaded-socket.toml");
    let all = found(&socket);
    let best = all.best().expect("a way");
    assert_eq!(best.pull, Pull::In);
    assert_eq!(best.setup.feed, Feed::Tailstock);
    assert_eq!(best.setup.rotation, Rotation::Reverse);
    let ids: Vec<_> = best.cautions.iter().map(|caution| caution.id).collect();
    assert_eq!(ids[0], "reverse-threading");
    assert!(ids.contains(&"thread-in-bore") && ids.contains(&"reverse-chuck"));
    // On a screwed-on chuck it is out, not warned of.
    socket.lathe.spindle.nose = SpindleNose::ScrewedOn;
    let screwed = found(&socket);
    assert!(pulled(&screwed, Pull::In).run.is_none());
    let words = pulled(&screwed, Pull::In).out[0].words(socket.job.units);
    assert!(words.contains("unscrew"), "{words}");
    // Without the groove there is nothing to start in.
    let mut blind = scenario("threaded-socket.toml");
    cut_mut(&mut blind).headstock_end = tautway_sim::scenario::ThreadEnd::RunsOut;
    let all = found(&blind);
    let way = pulled(&all, Pull::In);
    let wanted = way.start.expect("an attachment's way").wanted;
    assert_eq!(
        way.out,
        [ThreadReason::NoStart {
            end: End::Headstock,
            at_bottom: Some(wanted),
        }]
    );
}

#[test]
fn pulled_in_every_pass_sits_against_the_guide() {
    for file in ["threaded-plug.toml", "threaded-socket.toml"] {
        let all = found(&scenario(file));
        let pulled_in = run(pulled(&all, Pull::In));
        assert!(pulled_in.by_dial.steady);
        for pass in &pulled_in.passes {
            assert_eq!((pass.seat, pass.step), (Seat::First, None));
            assert_eq!(pass.counters.unconverged, 0);
            // L = Fp + F while it is pulled in, without a preload.
            if !pass.spring {
                let mean = |range: (f64, f64)| 0.5 * (range.0 + range.1);
                let sum = mean(pass.push_off) + mean(pass.drag);
                assert!((mean(pass.drive) - sum).abs() < 0.1 * sum, "{pass:?}");
            }
        }
    }
}

#[test]
fn drawn_away_on_the_nipple_it_changes_seat_and_comes_short_by_the_slack() {
    let mut nipple = scenario("pipe-nipple.toml");
    // Pushes enough to bring it from face to face within one pass.
    nipple.job.cutting.push_ratio = Known::given(Ratio::from_si(0.75));
    let all = found(&nipple);
    let best = all.best().expect("a way");
    assert_eq!((best.pull, best.method), (Pull::Away, Method::Attachment));
    let run = run(best);
    assert!(!run.by_dial.steady);
    let changed: Vec<_> = run
        .passes
        .iter()
        .filter(|pass| pass.step.is_some())
        .collect();
    assert_eq!(changed.len(), 1);
    assert_eq!(changed[0].seat, Seat::First);
    // In the air the drag holds it on the far face, a slack deeper: 12 thou on this lathe; then
    // spring adds a little.
    let short = -run.by_dial.depth_error / THOU;
    assert!((11.5..14.0).contains(&short), "{short}");
    // Gauging and dialling on brings the depth, within what a gauge tells.
    assert!(run.verdict.met() && run.outcome.depth_error.abs() < THOU);
    assert!(!run.by_gauge.is_empty());
}

#[test]
fn a_slide_that_drags_enough_stays_on_the_far_face_and_takes_its_depth() {
    let mut nipple = scenario("pipe-nipple.toml");
    nipple.lathe.slide.drag = Known::given(Force::from_si(900.0));
    nipple.lathe.slide.drag_left_cutting = Known::given(Ratio::from_si(1.0));
    let all = found(&nipple);
    let run = run(all.best().expect("a way"));
    assert!(run.by_dial.steady);
    assert!(run.passes.iter().all(|pass| pass.seat == Seat::Other));
    assert!(run.by_dial.depth_error.abs() < 2.0 * THOU);
}

#[test]
fn on_stiff_parts_without_slack_the_dial_is_the_depth() {
    // Limit case: nothing gives, nothing is loose, no run-out: set is taken, to the nanometre.
    let stiff = || Known::given(Stiffness::from_si(1e15));
    let nothing = || Known::given(Length::from_si(0.0));
    for file in ["pipe-nipple.toml", "threaded-plug.toml"] {
        let mut scenario = scenario(file);
        let a = &mut scenario.lathe.attachment;
        a.total_slack = Some(nothing());
        a.foot_slack = nothing();
        a.foot_spring = stiff();
        a.drive_spring = Some(stiff());
        a.screw_spring = stiff();
        scenario.lathe.top_slide.spring = stiff();
        scenario.lathe.spindle.spring = stiff();
        scenario.lathe.tailstock_spring = stiff();
        let work = &mut scenario.job.work;
        work.modulus = tautway_sim::quantity::Pressure::from_si(1e20);
        (work.run_out, work.ovality) = (nothing(), nothing());
        scenario.job.tool.height = nothing();
        scenario.job.tool.edge_radius = nothing();
        let all = found(&scenario);
        for way in all.ways.iter().filter(|way| way.run.is_some()) {
            let run = run(way);
            for pass in &run.passes {
                assert!(pass.short.abs() < 2e-9, "{file}: {}", pass.short);
                let off = (pass.area - pass.area_set).abs();
                assert!(off < 1e-11, "{file}: {off}");
            }
            assert!(run.by_gauge.is_empty());
            assert!(run.by_dial.along < 2e-9);
        }
    }
}

#[test]
fn pulled_in_the_depth_missing_is_spring_by_the_closed_form() {
    // Touched off in air with the drag in the drive at which stick-slip leaves it, in the middle
    // between starting and moving, cut with push-off and the eased drag: (Fp + F - that) over the
    // drive's spring, and Fp times what post and work give.
    let mut plug = scenario("threaded-plug.toml");
    plug.job.work.run_out = Known::given(Length::from_si(0.0));
    plug.job.cutting.unevenness = Known::given(Ratio::from_si(0.0));
    plug.lathe.slide.drag_change = Known::given(Ratio::from_si(0.0));
    plug.job.tool.height = Known::given(Length::from_si(0.0));
    let all = found(&plug);
    let way = pulled(&all, Pull::In);
    let operation = tautway_sim::thread::course::ThreadCourse::new(
        &plug,
        cut_of(&plug).expect("a thread"),
        way.setup,
        Method::Attachment,
        Options::default(),
    );
    let machine = &operation.operation().machine;
    let gives = machine.tool_gives + machine.bench.gives(0.5 * operation.operation().length());
    for pass in &run(way).passes[..14] {
        let mean = |range: (f64, f64)| 0.5 * (range.0 + range.1);
        let (push, drag) = (mean(pass.push_off), mean(pass.drag));
        let in_air = machine.drag.hand() * 0.5 * (1.0 + machine.drag.breakaway);
        let short = push * gives + (push + drag - in_air) / machine.drive.first;
        assert!(
            (pass.short - short).abs() < 0.04 * short,
            "{} {short}",
            pass.short
        );
    }
}

#[test]
fn the_tailstock_serves_the_nipple_and_not_the_plug() {
    let over = |file| {
        let all = found(&scenario(file));
        let way = all
            .ways
            .iter()
            .find(|way| way.method == Method::TailstockOver);
        way.cloned().expect("listed")
    };
    let nipple = over("pipe-nipple.toml");
    assert!(run(&nipple).verdict.met());
    // Toward the operator for a big end at the headstock: L sin(half angle), 8 in between points.
    let set_over = nipple.set_over.expect("an offset") / 0.0254;
    assert!((set_over - 8.0 * (1.0f64 / 32.0).atan().sin()).abs() < 1e-9);
    let plug = over("threaded-plug.toml");
    assert_eq!(run(&plug).verdict.lead, Some(false));
    assert!(!run(&plug).verdict.met());
    // Inside there is no such way, and in a chuck neither.
    let socket = over("threaded-socket.toml");
    assert_eq!(socket.out, [ThreadReason::InsideWork]);
    let mut chucked = scenario("pipe-nipple.toml");
    chucked.job.work.holding = tautway_sim::scenario::Holding::Chuck;
    let all = found(&chucked);
    let way = all
        .ways
        .iter()
        .find(|way| way.method == Method::TailstockOver);
    assert!(
        way.expect("listed").run.is_some(),
        "it can be held between centres"
    );
    chucked.job.work.between_centres = None;
    let all = found(&chucked);
    let way = all
        .ways
        .iter()
        .find(|way| way.method == Method::TailstockOver);
    assert_eq!(way.expect("listed").out, [ThreadReason::NotBetweenCentres]);
}

#[test]
fn reversed_and_inside_threads_bear_their_cautions_and_no_others_do() {
    for file in [
        "pipe-nipple.toml",
        "threaded-plug.toml",
        "threaded-socket.toml",
    ] {
        let scenario = scenario(file);
        for way in &found(&scenario).ways {
            let has = |id| way.cautions.iter().any(|caution| caution.id == id);
            assert_eq!(
                has("reverse-threading"),
                way.setup.rotation == Rotation::Reverse
            );
            assert_eq!(
                has("thread-in-bore"),
                scenario.job.work.kind == Kind::Inside
            );
            assert_eq!(
                has("tailstock-over-thread"),
                way.method == Method::TailstockOver
            );
            assert!(has("guards"));
            let mut ids: Vec<_> = way.cautions.iter().map(|caution| caution.id).collect();
            let count = ids.len();
            ids.sort_unstable();
            ids.dedup();
            assert_eq!(ids.len(), count);
        }
    }
}

#[test]
fn along_the_flank_the_passes_push_off_less() {
    let socket = scenario("threaded-socket.toml");
    let mut square = socket.clone();
    cut_mut(&mut square).infeed = Infeed::Square;
    let push = |scenario: &Scenario| {
        let all = found(scenario);
        run(pulled(&all, Pull::In)).passes[8].push_off.1
    };
    assert!(push(&socket) < 0.85 * push(&square));
}

#[test]
fn many_lathes_are_the_same_lathes_each_time_and_hold_the_middle_one() {
    let plug = scenario("threaded-plug.toml");
    let all = found(&plug);
    let best = all.best().expect("a way");
    let mut go_on = |_| true;
    let mut tried =
        || likely(&plug, best, Options::default(), 60, &mut go_on).expect("sixty lathes");
    let (one, other) = (tried(), tried());
    assert_eq!(one, other);
    assert_eq!(one.trials, 60);
    let middle = run(best).by_dial.depth_error;
    let range = &one.depth_error.symmetric;
    assert!(
        range.lower < middle && middle < range.upper,
        "{middle} {range:?}"
    );
    // Pulled in it sits alike on any lathe.
    assert_eq!(one.steady, 1.0);
    // Stopped after a block it keeps what was done: the first lathes of the same.
    let mut stop = |_| false;
    let part = likely(&plug, best, Options::default(), 60, &mut stop).expect("a block");
    assert!(part.stopped && !one.stopped && part.trials < 60);
}

#[test]
fn what_was_assumed_and_moves_the_depth_is_named_with_its_range() {
    let plug = scenario("threaded-plug.toml");
    let all = found(&plug);
    let found = moves(&plug, all.best().expect("a way"), Options::default());
    let post = found.iter().find(|m| m.key == "top_slide.spring");
    let post = post.expect("a soft post lets the tool come out of the cut");
    assert!(post.depth > 0.2 * THOU);
    let [low, taken, high] = &post.range;
    assert!(low != taken && taken != high, "{:?}", post.range);
    assert!(
        found
            .windows(2)
            .all(|pair| pair[0].unseats || pair[0].depth >= pair[1].depth)
    );
}

#[test]
fn without_an_attachment_the_tailstock_is_all_there_is() {
    let mut nipple = scenario("pipe-nipple.toml");
    nipple.lathe.attachment.fitted = false;
    let all = found(&nipple);
    let best = all.best().expect("the tailstock");
    assert_eq!(best.method, Method::TailstockOver);
    for way in all
        .ways
        .iter()
        .filter(|way| way.method == Method::Attachment)
    {
        assert!(way.out.contains(&ThreadReason::NoAttachment));
    }
    // A tailstock off its setting makes the taper wrong by twice that over the length.
    let taper = run(best).outcome.taper;
    let error = 5.0 * THOU;
    nipple.lathe.tailstock.setover_error = Known::given(Length::from_si(error));
    let off = run(found(&nipple).best().expect("a way")).outcome.taper - taper;
    let wanted = 2.0 * error / (8.0 * 0.0254);
    assert!((off.abs() - wanted).abs() < 0.03 * wanted, "{off} {wanted}");
    let tried = likely(&nipple, best, Options::default(), 60, &mut |_| true).expect("lathes");
    let range = &tried.lead.symmetric;
    assert!(range.lower < range.upper, "the dog's place is uncertain");
}
