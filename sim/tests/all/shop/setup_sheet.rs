//! The setup sheet's numbers against the shop's sums, closed forms and the records they stand for.

use crate::given::worked::{THOU, by_hand as scenario, by_hand_text as text, decoded};
use tautway_sim::compare::{Way, way};
use tautway_sim::cut::{Operation, Options, withdrawal};
use tautway_sim::feasibility::reasons;
use tautway_sim::quantity::{Quantity, Units};
use tautway_sim::scenario::{End, Kind, Known, Scenario, StartSurface, Toward};
use tautway_sim::setup::{Face, Feed, Pull, Rotation, Setup, Side};
use tautway_sim::sheet::{Seen, Sheet, Stage};

fn front(scenario: &Scenario, feed: Feed) -> Setup {
    Setup {
        kind: scenario.job.work.kind,
        big_end: scenario.job.work.big_end,
        side: Side::Front,
        feed,
        rotation: Rotation::Forward,
        face: Face::Up,
    }
}

fn run(scenario: &Scenario, setup: Setup) -> Way {
    let options = Options::default();
    let operation = Operation::new(scenario, setup, options);
    let out = reasons(scenario, &setup, operation.approach());
    way(scenario, setup, Vec::new(), out, options)
}

fn sheet(scenario: &Scenario, feed: Feed) -> (Way, Sheet) {
    let way = run(scenario, front(scenario, feed));
    let sheet = Sheet::new(scenario, &way, None, Options::default()).expect("it can be cut");
    (way, sheet)
}

fn near(a: f64, b: f64, within: f64) {
    assert!((a - b).abs() <= within, "{a} is not {b} within {within}");
}

fn socket() -> Scenario {
    let mut socket = scenario("tapered-socket.toml");
    socket.lathe.readout_step = Known::given(Quantity::from_si(0.5 * THOU));
    socket
}

#[test]
fn an_inside_taper_with_minus_only_tolerance_is_aimed_at_its_middle() {
    let (_, sheet) = sheet(&socket(), Feed::Tailstock);
    let guide = &sheet.guide;
    near(guide.travel, 3000.0 * THOU, 1e-12);
    // 2 in/ft, +0.000 -0.030 in/ft, over 3 in: 0.500 and 0.4925 in on diameter, aim between them.
    // Common practice, no source.
    near(guide.limits.0, 492.5 * THOU, 1e-9);
    near(guide.limits.1, 500.0 * THOU, 1e-9);
    near(guide.aim, 496.25 * THOU, 1e-9);
    // 0.502 in over 3 in is 0.008 in/ft too steep: out here.
    let (low, high) = guide.proves.expect("half a thou proves this band");
    assert!(502.0 * THOU > guide.limits.1);
    // A whole readout step inside the limits at either end.
    near(low, 493.0 * THOU, 1e-9);
    near(high, 499.5 * THOU, 1e-9);
}

#[test]
fn a_readout_too_coarse_for_the_tolerance_proves_nothing_and_longer_travel_comes_first() {
    let mut socket = socket();
    let (_, fine) = sheet(&socket, Feed::Tailstock);
    socket.lathe.readout_step = Known::given(Quantity::from_si(2.0 * THOU));
    let (_, coarse) = sheet(&socket, Feed::Tailstock);
    assert!(coarse.guide.travel > fine.guide.travel);
    assert!(coarse.guide.proves.is_some());
    socket.lathe.readout_step = Known::given(Quantity::from_si(20.0 * THOU));
    let (_, hopeless) = sheet(&socket, Feed::Tailstock);
    assert_eq!(hopeless.guide.proves, None);
}

#[test]
fn a_guide_too_short_for_three_inches_is_run_over_a_shorter_round_travel() {
    let mut socket = socket();
    // Lost motion on this lathe is about an inch.
    socket.lathe.attachment.guide_travel = Known::given(Quantity::from_si(0.0254 * 3.5));
    let way = run(&socket, front(&socket, Feed::Tailstock));
    // Too short for the work itself, so there is no sheet at all.
    assert!(!way.out.is_empty());
    assert_eq!(Sheet::new(&socket, &way, None, Options::default()), None);
    socket.job.work.length = Quantity::from_si(0.0254);
    // Bored out to the small end of the shorter cone first: the bar has more room, too.
    socket.job.work.start = StartSurface::Roughed {
        stock: Quantity::from_si(0.25e-3),
    };
    let (_, sheet) = sheet(&socket, Feed::Tailstock);
    near(sheet.guide.travel, 2000.0 * THOU, 1e-12);
}

#[test]
fn one_thou_at_the_readout_is_its_lever_at_the_guides_end() {
    let (_, sheet) = sheet(&socket(), Feed::Tailstock);
    let nudge = &sheet.guide.nudge;
    // Similar triangles: 0.001 in on diameter over 3 in is 0.0005 in per side over 3 in, and at a
    // radius of 10 in 0.00167 in.
    let lever = nudge.radius / sheet.guide.travel * 0.5 * THOU;
    near(nudge.at_end, lever, 0.02 * lever);
}

#[test]
fn the_guides_end_is_nudged_so_that_the_slide_moves_less_when_it_read_too_much() {
    // The guide's tailstock end lies toward the operator of its zero when the slide, going to the
    // tailstock, comes toward the operator: a front tool on a bore with its mouth at the
    // tailstock. Too steep then goes away. From above, by hand.
    let socket = socket();
    let (_, bore) = sheet(&socket, Feed::Tailstock);
    assert_eq!(bore.guide.nudge.too_large, Toward::Away);
    // A plug bearing at the big end of a bore means the bore opens too slowly: steeper.
    assert_eq!(bore.bears_big, Toward::Operator);
    // The plug's small end is at the tailstock: the slide goes away there, too steep comes back.
    let plug = scenario("plug-cock.toml");
    assert_eq!(plug.job.work.big_end, End::Headstock);
    let (_, outside) = sheet(&plug, Feed::Headstock);
    assert_eq!(outside.guide.nudge.too_large, Toward::Operator);
    // A ring bearing at the big end means too steep.
    assert_eq!(outside.bears_big, Toward::Operator);
}

#[test]
fn every_caution_of_a_way_is_on_its_sheet_three_of_them_in_the_box() {
    for job in ["tapered-socket.toml", "plug-cock.toml", "air-too-weak.toml"] {
        let scenario = scenario(job);
        for feed in [Feed::Headstock, Feed::Tailstock] {
            let (way, sheet) = sheet(&scenario, feed);
            let told = [sheet.in_the_box(), sheet.below_the_box()].concat();
            assert_eq!(told, way.cautions, "{job}");
            assert_eq!(sheet.in_the_box().len(), 3.min(way.cautions.len()));
            assert_eq!(
                sheet.in_the_box()[0],
                way.cautions[0],
                "{job}: the worst first"
            );
        }
    }
}

#[test]
fn dials_add_up_to_the_stock_that_the_touch_found() {
    let (way, sheet) = sheet(&socket(), Feed::Tailstock);
    let passes = &way.run.as_ref().expect("it was run").passes;
    assert_eq!(sheet.passes.len(), passes.len());
    for (line, pass) in sheet.passes.iter().zip(passes) {
        assert_eq!(
            (line.number, line.set, line.feed),
            (pass.number, pass.set, pass.feed)
        );
        assert_eq!(line.takes, pass.taken);
    }
    let last = |stage: Stage| {
        let mut of = sheet.passes.iter().filter(|pass| pass.stage == stage);
        of.next_back().expect("there is one").dial
    };
    // Finishing starts from a dial of its own.
    near(
        last(Stage::Finish),
        sheet.passes.last().expect("a pass").set,
        1e-12,
    );
    // The bore of 1.950 in is met first at the mouth of 2.500 in, give or take the middle of the
    // taper's tolerance.
    let stock = sheet.touch_off.stock;
    near(stock, 275.0 * THOU, 1e-9);
    near(last(Stage::Rough) + last(Stage::Finish), stock, 1e-9);
    assert_eq!(sheet.touch_off.end, Some(End::Tailstock));
}

#[test]
fn withdrawal_is_more_than_all_slack_and_the_slack_is_the_lathes() {
    let (_, sheet) = sheet(&socket(), Feed::Tailstock);
    // worn-lathe.toml gives 0.080 in in all.
    near(sheet.touch_off.slack, 80.0 * THOU, 1e-9);
    assert!(sheet.touch_off.withdraw > sheet.touch_off.slack + 40.0 * THOU);
}

#[test]
fn the_tool_is_withdrawn_by_a_quarter_more_than_the_slack_and_fifty_thou() {
    // Common practice, no source: clear of work and chips, and of all that the slide lags behind.
    for (slack, withdrawn) in [(0.0, 50.0), (20.0, 75.0), (80.0, 150.0)] {
        near(withdrawal(slack * THOU), withdrawn * THOU, 1e-12);
    }
    // On the sheet in steps that a dial shows, never less: ten thou, or a tenth of a millimetre.
    let thread = scenario("threaded-socket.toml");
    for (slack, withdrawn) in [(80.0, 150.0), (81.0, 160.0), (0.0, 50.0)] {
        for mut scenario in [socket(), thread.clone()] {
            let slack = Quantity::from_si(slack * THOU);
            scenario.lathe.attachment.total_slack = Some(Known::given(slack));
            let (_, sheet) = sheet(&scenario, Feed::Headstock);
            near(sheet.touch_off.withdraw, withdrawn * THOU, 1e-9);
        }
    }
    let mut metric = socket();
    metric.job.units = Units::Metric;
    let (_, metric) = sheet(&metric, Feed::Tailstock);
    // 0.150 in is 3.81 mm.
    near(metric.touch_off.withdraw, 3.9e-3, 1e-9);
}

#[test]
fn without_room_the_hand_pulls_the_slide_to_the_face_the_guide_will_drive() {
    let mut socket = socket();
    socket.job.work.room_headstock = Quantity::from_si(0.2 * 0.0254);
    socket.job.work.room_tailstock = Quantity::from_si(0.2 * 0.0254);
    let (_, pulled_in) = sheet(&socket, Feed::Tailstock);
    assert_eq!(pulled_in.pull, Pull::In);
    assert!(pulled_in.run_in.by_hand);
    assert!(
        pulled_in
            .cautions
            .iter()
            .any(|caution| caution.id == "seat-by-hand")
    );
    // The guide comes from behind and pushes toward the operator; the slide lags behind it.
    assert_eq!(pulled_in.run_in.hand_toward, Toward::Away);
    let (_, drawn_away) = sheet(&socket, Feed::Headstock);
    assert_eq!(drawn_away.run_in.hand_toward, Toward::Operator);
    near(
        pulled_in.run_in.straight_left,
        pulled_in.run_in.lost - pulled_in.run_in.room,
        1e-12,
    );
    let straight = pulled_in
        .signs
        .iter()
        .find(|sign| sign.seen == Seen::StraightAtStart);
    assert!(straight.is_some_and(|sign| sign.expected));
}

#[test]
fn standoff_rows_are_six_round_steps_of_the_taper_aimed_at() {
    for (job, units) in [
        ("tapered-socket.toml", Units::Inch),
        ("plug-cock.toml", Units::Metric),
    ] {
        let scenario = scenario(job);
        let (_, sheet) = sheet(&scenario, Feed::Headstock);
        let unit = match units {
            Units::Inch => 0.0254,
            Units::Metric => 1e-3,
        };
        assert_eq!(sheet.standoff.len(), 6);
        let step = sheet.standoff[0].standoff / unit;
        let first = step / 10f64.powf(step.log10().floor());
        assert!(
            [1.0, 2.0, 5.0].iter().any(|n| (first - n).abs() < 1e-6),
            "{step}"
        );
        for (number, row) in (1..).zip(&sheet.standoff) {
            near(row.standoff, f64::from(number) * step * unit, 1e-12);
            near(
                row.on_diameter,
                row.standoff * sheet.drawing.aim.si(),
                1e-12,
            );
            near(row.per_side, row.on_diameter / 2.0, 1e-12);
        }
    }
}

#[test]
fn surface_speed_and_turns_belong_to_the_big_end() {
    let plug = scenario("plug-cock.toml");
    let (_, sheet) = sheet(&plug, Feed::Headstock);
    // 90 m/min on 42 mm is 682 rpm: n = v / (pi d).
    near(sheet.turns * 60.0, 682.1, 0.1);
    near(sheet.surface_speed * 60.0, 90.0, 1e-9);
}

#[test]
fn a_preload_is_held_against_twice_the_force_that_starts_the_slide() {
    let scenario = scenario("air-too-weak.toml");
    let (_, sheet) = sheet(&scenario, Feed::Tailstock);
    let preload = sheet.preload.expect("there is one");
    assert!(preload.out_of_cut && preload.toward == Toward::Away);
    assert!(preload.force < preload.twice);
    // 3/4 in at 25 psi: 11.04 lbf, p pi d^2 / 4.
    near(preload.force / 4.448_222, 11.04, 0.01);
}

#[test]
fn a_bore_touches_first_at_its_big_end_and_a_bar_at_its_small_end() {
    let job = text("tapered-socket.toml");
    let lathe = text("worn-lathe.toml");
    let outside = job
        .replace("kind = \"inside\"", "kind = \"outside\"")
        .replace("outside_diameter = \"4 in\"\n", "")
        .replace("room_headstock = \"1.5 in\"", "room_headstock = \"0.5 in\"")
        .replace("straight = \"1.950 in\"", "straight = \"2.600 in\"")
        .replace(
            "bar = { diameter = \"1-1/2 in\", stick_out = \"5 in\" }\n",
            "",
        );
    let outside = decoded("outside", &outside, &lathe);
    assert_eq!(outside.job.work.kind, Kind::Outside);
    let (_, sheet) = sheet(&outside, Feed::Headstock);
    assert_eq!(sheet.touch_off.end, Some(End::Headstock));
    assert!(!sheet.touch_off.at_big_end);
    // 2.600 in bar, 2.000 in small end.
    near(sheet.touch_off.stock, 300.0 * THOU, 1e-9);
    assert_eq!(sheet.tool.room, None);
}

/// Every way of an outside and an inside taper, either end big, as the sheet's own record says it.
#[test]
fn without_room_the_sheet_seats_the_slide_behind_the_guide_in_every_way() {
    let inside = text("tapered-socket.toml");
    let lathe = text("worn-lathe.toml");
    let outside = inside
        .replace("kind = \"inside\"", "kind = \"outside\"")
        .replace("outside_diameter = \"4 in\"\n", "")
        .replace("straight = \"1.950 in\"", "straight = \"2.600 in\"")
        .replace(
            "bar = { diameter = \"1-1/2 in\", stick_out = \"5 in\" }\n",
            "",
        );
    let mut seen = 0;
    for job in [inside, outside] {
        let job = job
            .replace("room_headstock = \"1.5 in\"", "room_headstock = \"0.2 in\"")
            .replace("room_tailstock = \"6 in\"", "room_tailstock = \"0.2 in\"")
            .replace("from_jaws = \"0.5 in\"", "from_jaws = \"1 in\"");
        for big in ["tailstock", "headstock"] {
            let job = job.replace("big_end = \"tailstock\"", &format!("big_end = \"{big}\""));
            let scenario = decoded("job", &job, &lathe);
            let work = &scenario.job.work;
            for setup in Setup::all(work.kind, work.big_end) {
                if !setup.cuts() {
                    continue;
                }
                let way = run(&scenario, setup);
                let Some(sheet) = Sheet::new(&scenario, &way, None, Options::default()) else {
                    continue;
                };
                // The slide goes with the guide, `dX/dZ = side * slope`, and lags.
                let goes = setup.guide_lean() * setup.feed.sign();
                let behind = if goes > 0.0 {
                    Toward::Away
                } else {
                    Toward::Operator
                };
                assert!(sheet.run_in.by_hand, "{setup:?}");
                assert_eq!(sheet.run_in.hand_toward, behind, "{setup:?}");
                seen += 1;
            }
        }
    }
    println!("{seen} ways have a sheet");
    assert!(seen >= 16, "{seen}");
}

#[test]
fn a_threads_passes_stand_on_its_sheet_and_drawn_away_none_leaves_the_dial_alone() {
    let nipple = scenario("pipe-nipple.toml");
    let (way, sheet) = sheet(&nipple, Feed::Headstock);
    assert_eq!(way.pull, Pull::Away);
    let thread = sheet.thread.expect("it cuts one");
    let cut = tautway_sim::thread::cut_of(&nipple).expect("its form is told");
    let (method, options) = (tautway_sim::thread::Method::Attachment, Options::default());
    let told = tautway_sim::thread::way(&nipple, cut, way.setup, method, options);
    let run = told.run.expect("it can be cut");
    let springs = run.passes.iter().filter(|pass| pass.spring).count();
    assert_eq!(springs, 2, "the job asks for two");
    let planned = run.passes.len() - springs;
    let all = planned + run.by_gauge.len();
    assert_eq!(thread.passes.len(), all);
    assert!(thread.passes.iter().all(|pass| pass.set > 0.0));
    let last = thread.passes.iter().rfind(|pass| !pass.by_gauge);
    near(
        last.expect("passes").dial,
        run.passes[planned - 1].dial,
        1e-12,
    );
    // 3/4 in/ft and 11-1/2 threads an inch: a turn is 1/11.5 x 0.0625 / 2 in per side.
    near(thread.a_turn, 0.0254 / 11.5 * 0.0625 / 2.0, 1e-12);
    assert!(sheet.cautions.iter().any(|found| found.id == "thread-end"));
    // Pulled in, they stay.
    let (pulled, other) = self::sheet(&scenario("threaded-plug.toml"), Feed::Headstock);
    let springs = other.thread.map_or(0, |thread| {
        thread.passes.iter().filter(|pass| pass.set == 0.0).count()
    });
    assert_eq!(springs > 0, pulled.pull == Pull::In);
}

#[test]
fn a_stop_on_the_bed_is_wanted_where_the_feed_ends_an_inch_from_something() {
    let mut socket = socket();
    let (_, far) = sheet(&socket, Feed::Tailstock);
    // Out of the mouth there are 6 in.
    assert_eq!(far.run_in.stop, None);
    socket.job.work.room_tailstock = Quantity::from_si(0.75 * 0.0254);
    let (_, near_by) = sheet(&socket, Feed::Tailstock);
    assert_eq!(near_by.run_in.stop, Some(0.75 * 0.0254));
}

#[test]
fn a_top_slide_is_proved_by_the_sine_and_a_tailstock_by_the_tangent() {
    use tautway_sim::method::Method;
    use tautway_sim::sheet::MethodSheet;
    let of = |file: &str, method: Method| {
        let scenario = scenario(file);
        let way = method.way(&scenario, Options::default());
        MethodSheet::new(&scenario, &way, 1)
    };
    let seat = of("valve-seat.toml", Method::TopSlide).expect("it can be done");
    // No further than an indicator goes: 1 in along a side of 45 degrees.
    near(seat.proof.travel, 0.0254, 1e-12);
    near(seat.proof.aim, 0.0254 * 0.5f64.sqrt(), 1e-12);
    // 23.6 and 24.4 in/ft: sin(atan(T / 24)).
    let sine = |taper: f64| (taper / 24.0).atan().sin();
    near(seat.proof.limits.0, 0.0254 * sine(23.6), 1e-9);
    near(seat.proof.limits.1, 0.0254 * sine(24.4), 1e-9);
    let mandrel = of("long-mandrel.toml", Method::Tailstock).expect("it can be done");
    near(mandrel.proof.aim, mandrel.proof.travel * 0.5 / 24.0, 1e-12);
    let sum = |stage: Stage| -> f64 {
        let of = mandrel.passes.iter().filter(|pass| pass.stage == stage);
        of.map(|pass| pass.set).sum()
    };
    near(sum(Stage::Rough) + sum(Stage::Finish), 15.0 * THOU, 1e-12);
    assert!(mandrel.dead_centre.is_some_and(|most| most < mandrel.turns));
    assert_eq!(of("long-mandrel.toml", Method::TopSlide), None);
}
