//! In what order the ways of a thread come: safety, the drawing, the hand's labour, then the rest.

use crate::given::worked::{decoded, pressed, scenario};
use tautway_sim::cut::Options;
use tautway_sim::quantity::{Force, INCH, Length, Quantity, Speed};
use tautway_sim::scenario::{Band, End, Known, Lead, Scenario, ThreadCut, ThreadEnd};
use tautway_sim::setup::Pull;
use tautway_sim::thread::{
    Behind, Labour, Method, ThreadReason, ThreadWay, Threading, bottom, threading,
};

const JOB: &str = include_str!("../given/bung/job.toml");
const LATHE: &str = include_str!("../given/bung/lathe.toml");

fn bung() -> Scenario {
    decoded("bung", JOB, LATHE)
}

fn cut_mut(scenario: &mut Scenario) -> &mut ThreadCut {
    let thread = scenario.job.thread.as_mut().expect("a thread");
    thread.cut.as_mut().expect("with a form")
}

fn found(scenario: &Scenario) -> Threading {
    threading(scenario, Options::default()).expect("a thread with a form")
}

/// The one of these that can be cut.
fn way(found: &Threading, method: Method, pull: Pull) -> &ThreadWay {
    let mut ways = found.ways.iter().filter(|way| way.run.is_some());
    ways.find(|way| way.method == method && way.pull == pull)
        .expect("it can be cut")
}

fn guided(found: &Threading, pull: Pull) -> &ThreadWay {
    way(found, Method::Attachment, pull)
}

fn labour(way: &ThreadWay) -> Labour {
    way.labour.expect("it can be cut")
}

fn met(way: &ThreadWay) -> bool {
    way.run.as_ref().is_some_and(|run| run.verdict.met())
}

#[test]
fn hand_seating_beside_the_dog_comes_after_a_plain_way_that_meets_the_drawing() {
    let all = found(&bung());
    let (seated, plain) = (guided(&all, Pull::In), guided(&all, Pull::Away));
    assert!(met(seated) && met(plain));
    // Seated by hand it keeps its depth far better, and is quick enough: what it costs is the hand.
    let off = |way: &ThreadWay| way.run.as_ref().expect("cut").by_dial.depth_error.abs();
    assert!(off(seated) < 0.1 * off(plain));
    assert_eq!(labour(seated).seatings, 13);
    assert!(labour(seated).time < 2.0 * labour(plain).time);
    assert_eq!(labour(plain).seatings, 0);
    assert!(std::ptr::eq(all.best().expect("a way"), plain));
    assert_eq!(plain.behind, None);
    assert_eq!(seated.behind, Some(Behind::Handwork));
}

#[test]
fn with_room_to_run_in_the_way_that_keeps_its_depth_comes_first() {
    let mut bung = bung();
    bung.job.work.room_headstock = Length::from_si(1.5 * INCH);
    let all = found(&bung);
    let (pulled, drawn) = (guided(&all, Pull::In), guided(&all, Pull::Away));
    assert_eq!(labour(pulled).seatings, 0);
    assert!(std::ptr::eq(all.best().expect("a way"), pulled));
    assert_eq!(drawn.behind, Some(Behind::Time));
    // With less slack the gauge asks for fewer passes more, and depth decides.
    bung.lathe.attachment.total_slack = Some(Known::given(Length::from_si(0.004 * INCH)));
    let all = found(&bung);
    assert_eq!(all.best().expect("a way").pull, Pull::In);
    assert_eq!(guided(&all, Pull::Away).behind, Some(Behind::Depth));
}

#[test]
fn hand_seating_comes_first_where_the_plain_way_misses_the_drawing() {
    // Gauged to its depth the plain way comes to size, the seated one stays 0.001 in over it, which
    // this drawing asks for.
    let mut bung = bung();
    bung.job.work.size_tolerance = Some(Band {
        lower: Length::from_si(0.5e-5),
        upper: Length::from_si(5e-5),
    });
    let all = found(&bung);
    let best = all.best().expect("a way");
    assert!(met(best));
    assert_eq!((best.pull, labour(best).seatings), (Pull::In, 13));
    assert_eq!(guided(&all, Pull::Away).behind, Some(Behind::Drawing));
}

#[test]
fn a_depth_felt_for_by_the_gauge_is_no_plainer_than_a_seat_by_hand() {
    // A worn lathe's slide floats the whole way down: more gaugings than passes were planned.
    let all = found(&scenario("threaded-plug.toml"));
    let (seated, felt) = (guided(&all, Pull::In), guided(&all, Pull::Away));
    let planned = felt.run.as_ref().expect("cut").passes.len();
    assert!(met(felt) && labour(felt).seatings == 0);
    assert!(labour(felt).gaugings > planned + 1 && !labour(felt).plain);
    assert!(labour(seated).seatings > 0 && !labour(seated).plain);
    assert!(std::ptr::eq(all.best().expect("a way"), seated));
    assert_eq!(felt.behind, Some(Behind::Time));
}

#[test]
fn safety_comes_before_the_drawing_and_all_labour() {
    // A weight that pushes the drawn-away tool into the cut: the plain way may not be advised, and
    // the one seated by hand may.
    let bung = bung();
    let all = found(&bung);
    let setup = guided(&all, Pull::Away).setup;
    let pressed = pressed(&bung, &setup, -300.0);
    let all = found(&pressed);
    for way in &all.ways {
        assert!(!way.forbidden || way.behind != Some(Behind::Handwork));
    }
    let forbidden: Vec<_> = all.ways.iter().filter(|way| way.forbidden).collect();
    assert!(!forbidden.is_empty());
    let last_allowed = all
        .ways
        .iter()
        .rposition(|way| way.out.is_empty() && !way.forbidden);
    let first_forbidden = all
        .ways
        .iter()
        .position(|way| way.out.is_empty() && way.forbidden);
    assert!(last_allowed < first_forbidden, "{last_allowed:?}");
    for way in forbidden.iter().filter(|way| way.out.is_empty()) {
        assert_eq!(way.behind, Some(Behind::Danger));
    }
}

#[test]
fn hand_seating_comes_after_the_tailstock_over_too_where_that_meets_the_drawing() {
    let mut bung = bung();
    cut_mut(&mut bung).lead_tolerance = None;
    // So much drag that drawn away, starting at the thread's own end, has no room either.
    bung.job.work.room_tailstock = Length::from_si(0.2 * INCH);
    let all = found(&bung);
    let over = way(&all, Method::TailstockOver, Pull::Neither);
    assert!(met(over) && labour(over).plain);
    for pull in [Pull::In, Pull::Away] {
        let seated = guided(&all, pull);
        assert!(labour(seated).seatings > 0);
        assert_eq!(seated.behind, Some(Behind::Handwork));
    }
    assert!(std::ptr::eq(all.best().expect("a way"), over));
}

#[test]
fn labour_is_passes_gaugings_and_seatings_closed_form() {
    let mut bung = bung();
    // A pitch that the dial never meets: the spindle winds the carriage back.
    for (lead, closed_nut) in [(Lead::PerInch(10.0), 0.0), (Lead::PerInch(10.3), 1.0)] {
        cut_mut(&mut bung).lead = lead;
        let all = found(&bung);
        for way in all.ways.iter().filter(|way| way.run.is_some()) {
            let run = way.run.as_ref().expect("cut");
            let passes = run.passes.len() + run.by_gauge.len();
            let start = way.start;
            let by_hand = start.is_some_and(|start| start.by_hand);
            let run_in = start.map_or(0.0, |start| {
                if by_hand {
                    start.room
                } else {
                    start.wanted.min(start.room)
                }
            });
            // 1.25 in and the run-in at this pitch and 50 turns a minute, s.
            let stroke = (1.25 * INCH + run_in) / lead.si() / (50.0 / 60.0);
            let seatings = if by_hand { passes } else { 0 };
            let gaugings = run.by_gauge.len() + 1;
            let over = if way.method == Method::TailstockOver {
                1800.0
            } else {
                0.0
            };
            let time = over
                + passes as f64 * (stroke * (1.0 + closed_nut) + 18.0)
                + gaugings as f64 * 90.0
                + seatings as f64 * 60.0;
            let found = labour(way);
            assert_eq!(
                (found.passes, found.seatings, found.gaugings),
                (passes, seatings, gaugings)
            );
            assert!((found.time - time).abs() < 1e-6, "{} {time}", found.time);
        }
    }
    // Faster than a hand can follow is not counted.
    bung.job.passes.speed = Speed::Turns(10.0);
    let fast = labour(guided(&found(&bung), Pull::In)).time;
    bung.job.passes.speed = Speed::Turns(1.0);
    assert_eq!(fast, labour(guided(&found(&bung), Pull::In)).time);
}

#[test]
fn a_blind_bottom_says_so_where_a_start_or_a_seat_is_asked_for_there() {
    let ids = |way: &ThreadWay| way.cautions.iter().map(|c| c.id).collect::<Vec<_>>();
    let mut socket = scenario("threaded-socket.toml");
    // Seated by hand in the groove; with room, run in from it; with a thread that goes through,
    // neither is at a bottom.
    for (room, end, wanted) in [
        (1.0, ThreadEnd::Groove, Some("thread-seat-at-bottom")),
        (2.5, ThreadEnd::Groove, Some("thread-from-bottom")),
        (2.5, ThreadEnd::Open, None),
    ] {
        socket.job.work.room_headstock = Length::from_si(room * INCH);
        cut_mut(&mut socket).headstock_end = end;
        let all = found(&socket);
        for way in all.ways.iter().filter(|way| way.start.is_some()) {
            let cut = socket.job.thread.as_ref().and_then(|t| t.cut.as_ref());
            let at_bottom = bottom(&socket, cut.expect("a form"), &way.setup);
            assert_eq!(
                at_bottom,
                wanted.is_some() && way.setup.starts_at() == End::Headstock
            );
            let said: Vec<_> = ids(way)
                .into_iter()
                .filter(|id| id.ends_with("bottom"))
                .collect();
            assert_eq!(
                said,
                wanted.filter(|_| at_bottom).into_iter().collect::<Vec<_>>()
            );
        }
    }
    // No groove: out, and the words say what would have been asked for there.
    socket.job.work.room_headstock = Length::from_si(INCH);
    cut_mut(&mut socket).headstock_end = ThreadEnd::RunsOut;
    let all = found(&socket);
    let blind = all
        .ways
        .iter()
        .find(|way| way.pull == Pull::In)
        .expect("listed");
    let words = blind.out[0].words(socket.job.units);
    assert!(
        matches!(blind.out[0], ThreadReason::NoStart { at_bottom: Some(run_in), .. } if run_in > INCH)
    );
    for part in ["bottom of the bore", "run-in", "seated by hand"] {
        assert!(words.contains(part), "{words}");
    }
    // A shoulder on outside work is no bottom.
    let mut nipple = scenario("pipe-nipple.toml");
    nipple.lathe.slide.drag = Known::given(Force::from_si(80.0));
    let all = found(&nipple);
    let out = all.ways.iter().flat_map(|way| &way.out);
    let starts: Vec<_> = out
        .filter_map(|out| match out {
            ThreadReason::NoStart { at_bottom, .. } => Some(*at_bottom),
            _ => None,
        })
        .collect();
    assert!(!starts.is_empty() && starts.iter().all(Option::is_none));
}
