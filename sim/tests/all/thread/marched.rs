//! What a marched thread's record says of itself: each number against its own law, by hand.
//!
//! Left standing of the changes tried in `threading`: hardness with its sign turned, which is
//! another field as likely as the first.

use crate::given::worked::{THOU, evened, scenario};
use tautway_sim::cut::Options;
use tautway_sim::machine::tool::off_centre_radius;
use tautway_sim::quantity::{Force, INCH, Length, Pressure, Quantity, Ratio, Stiffness};
use tautway_sim::record::Seat;
use tautway_sim::scenario::groove::Profile;
use tautway_sim::scenario::{
    Kind, Known, PassPlan, Preload, PreloadSource, Scenario, ThreadCut, Toward,
};
use tautway_sim::setup::Pull;
use tautway_sim::thread::course::ThreadCourse;
use tautway_sim::thread::plan::passes;
use tautway_sim::thread::{Method, ThreadRun, ThreadWay, cut_of, threading};

fn cut_mut(scenario: &mut Scenario) -> &mut ThreadCut {
    let thread = scenario.job.thread.as_mut().expect("a thread");
    thread.cut.as_mut().expect("with a form")
}

fn guided(scenario: &Scenario, pull: Pull) -> ThreadWay {
    let all = threading(scenario, Options::default()).expect("a thread with a form");
    let mut ways = all.ways.into_iter().filter(|way| way.run.is_some());
    ways.find(|way| way.method == Method::Attachment && way.pull == pull)
        .expect("it can be cut")
}

fn run(way: &ThreadWay) -> &ThreadRun {
    way.run.as_ref().expect("it can be cut")
}

#[test]
fn a_pass_that_sits_otherwise_steps_by_what_it_lies_deeper_under_its_dial() {
    let mut steps = 0;
    for file in ["pipe-nipple.toml", "threaded-plug.toml"] {
        let way = guided(&scenario(file), Pull::Away);
        let run = run(&way);
        let all: Vec<_> = run.passes.iter().chain(&run.by_gauge).collect();
        for pair in all.windows(2) {
            let (before, pass) = (pair[0], pair[1]);
            assert_eq!(pass.step.is_some(), before.seat != pass.seat);
            let Some(step) = pass.step else { continue };
            assert!((step - (before.short - pass.short)).abs() < 1e-12);
            // In the air the drag holds the slide on the far face, deeper; pushed back onto the
            // first one it cuts less.
            if (before.seat, pass.seat) == (Seat::Floating, Seat::First) {
                assert!(step < 0.0, "{file}: {step}");
                steps += 1;
            }
        }
    }
    assert!(steps >= 1);
}

#[test]
fn gauges_read_the_depth_of_the_last_pass_at_the_gauge_plane_both_inside_and_outside() {
    for file in [
        "pipe-nipple.toml",
        "threaded-plug.toml",
        "threaded-socket.toml",
    ] {
        let scenario = scenario(file);
        let work = &scenario.job.work;
        for pull in [Pull::In, Pull::Away] {
            let all = threading(&scenario, Options::default()).expect("a thread");
            for way in all.ways.iter().filter(|way| way.pull == pull) {
                let Some(run) = &way.run else { continue };
                let o = &run.by_dial;
                // A line through the whole turns of the last pass planned, at the gauge plane.
                let turns = &run.passes.last().expect("passes").turns;
                let turns: Vec<_> = turns.iter().filter(|turn| turn.whole).collect();
                let points = turns.iter().map(|turn| (turn.z, turn.reached));
                let (at_nought, slope) = tautway_sim::measure::filter::line_through(points);
                let gauge = match work.big_end {
                    tautway_sim::scenario::End::Headstock => work.gauge_plane.si(),
                    tautway_sim::scenario::End::Tailstock => {
                        work.length.si() - work.gauge_plane.si()
                    }
                };
                let depth = at_nought + slope * gauge;
                assert!(
                    (o.depth - depth).abs() < 1e-9,
                    "{file}: {} {depth}",
                    o.depth
                );
                let error = depth - way.profile.depth;
                assert!((o.depth_error - error).abs() < 1e-9);
                // Too shallow leaves the pitch diameter too large outside, too small inside, by
                // twice as much; and a gauge off by that over the taper.
                let sign = if work.kind == Kind::Outside {
                    -1.0
                } else {
                    1.0
                };
                assert!((o.pitch_diameter_error - sign * 2.0 * error).abs() < 1e-9);
                assert!((o.goes_on - 2.0 * error / work.taper.si()).abs() < 1e-7);
                assert!(o.goes_on.abs() > 1e-4, "{file}: it is off by something");
            }
        }
    }
}

#[test]
fn what_was_left_of_the_bars_swing_is_a_thread_that_much_shallower() {
    let mut socket = evened(scenario("threaded-socket.toml"));
    socket.lathe.slide.gib_slack = Known::given(Length::from_si(4.0 * THOU));
    let bar = socket.job.tool.bar.as_ref().expect("a bar");
    let swing = 4.0 * THOU * bar.stick_out.si() / socket.lathe.slide.gib_length.si();
    let mut shallow = |left: f64| {
        socket.job.tool.swing_left = Known::given(Ratio::from_si(left));
        let way = guided(&socket, Pull::In);
        run(&way).passes[5].short
    };
    let more = shallow(1.0) - shallow(0.0);
    // Shallower, it meets a little less force.
    assert!((0.9..1.0).contains(&(more / swing)), "{more} for {swing}");
}

#[test]
fn with_a_spring_on_the_slide_the_push_off_told_is_the_tools_alone() {
    let mut plug = evened(scenario("threaded-plug.toml"));
    plug.job.tool.height = Known::given(Length::from_si(0.0));
    plug.job.preload = Some(Preload {
        toward: Toward::Operator,
        source: PreloadSource::Spring {
            force: Known::given(Force::from_si(400.0)),
            rate: Known::given(Stiffness::from_si(2e5)),
        },
    });
    let way = guided(&plug, Pull::Away);
    assert!(!way.forbidden, "out of the cut");
    let cut = cut_of(&plug).expect("a form");
    let course = ThreadCourse::new(&plug, cut, way.setup, way.method, Options::default());
    let mut stood = vec![0.0; run(&way).passes[0].turns.len()];
    let mut told = 0;
    for pass in &run(&way).passes[..12] {
        for (turn, stood) in pass.turns.iter().zip(&mut stood) {
            let closed = course.force(*stood, turn.reached).push_off;
            if turn.whole && *stood > 0.0 && turn.taken > 20e-6 {
                assert!(
                    (turn.push_off - closed).abs() < 0.06 * closed,
                    "pass {}: {} for {closed}",
                    pass.number,
                    turn.push_off
                );
                told += 1;
            }
            *stood = turn.reached;
        }
    }
    assert!(told > 50, "{told}");
}

#[test]
fn a_tool_off_the_centre_height_threads_a_flatter_taper_closed_form() {
    // Nothing gives: a chip that differs along the work would leave a taper of its own.
    let mut plug = evened(scenario("threaded-plug.toml"));
    let stiff = || Known::given(Stiffness::from_si(1e15));
    plug.lathe.attachment.drive_spring = Some(stiff());
    plug.lathe.attachment.foot_spring = stiff();
    plug.lathe.top_slide.spring = stiff();
    plug.lathe.spindle.spring = stiff();
    plug.lathe.tailstock_spring = stiff();
    plug.job.work.modulus = Pressure::from_si(1e20);
    let mut taper = |height: f64| {
        plug.job.tool.height = Known::given(Length::from_si(height));
        run(&guided(&plug, Pull::In)).outcome.taper
    };
    let (height, on) = (3e-3, taper(0.0));
    // 2 in at the gauge plane, the big end; 1-1/2 in/ft and the middle of its tolerance over 2 in.
    let (big, step) = (0.5 * 2.0 * INCH, -2.0 * INCH * 1.515 / 24.0);
    let closed = 2.0 * (big + step - off_centre_radius(big, step, height)) / (2.0 * INCH);
    assert!(closed < -1e-5, "{closed}");
    for height in [height, -height] {
        let found = taper(height) - on;
        assert!((found / closed - 1.0).abs() < 0.03, "{found} for {closed}");
    }
}

#[test]
fn as_many_passes_as_keep_the_first_within_ten_thou_and_not_one_fewer() {
    for file in [
        "pipe-nipple.toml",
        "threaded-plug.toml",
        "threaded-socket.toml",
    ] {
        let mut scenario = scenario(file);
        let way = guided(
            &scenario,
            if file.starts_with("pipe") {
                Pull::Away
            } else {
                Pull::In
            },
        );
        let first = |cut: &ThreadCut, profile: &Profile| passes(profile, cut)[0].dial;
        let cut = cut_mut(&mut scenario);
        cut.spring = 0;
        cut.plan = PassPlan::ConstantArea(None);
        let planned = passes(&way.profile, cut).len() as u32;
        // Common practice, no source: no first pass deeper than 0.010 in.
        assert!(
            first(cut, &way.profile) <= 10.0 * THOU * (1.0 + 1e-9),
            "{file}"
        );
        cut.plan = PassPlan::ConstantArea(Some(planned - 1));
        assert!(first(cut, &way.profile) > 10.0 * THOU, "{file}");
    }
}
