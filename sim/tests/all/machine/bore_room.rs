//! Room of the bar in the bore: sums worked by hand, limit cases, a walk along the whole stroke.

use crate::given::worked::by_hand as scenario;
use tautway_sim::bore_room::{BoreRoom, FREE, Stretch, Tight, Wall};
use tautway_sim::compare::{Way, compare};
use tautway_sim::cut::{Approach, Options, Stock, approach, withdrawal};
use tautway_sim::feasibility::Reason;
use tautway_sim::quantity::{Length, Quantity};
use tautway_sim::scenario::{End, Scenario, StartSurface};
use tautway_sim::setup::{Feed, Pull, Setup};

const INCH: f64 = 0.0254;

fn socket(bar: &str, edge_out: f64, big_end: End) -> Scenario {
    let mut scenario = scenario("tapered-socket.toml");
    let its = scenario.job.tool.bar.as_mut().expect("a bore has a bar");
    its.diameter = Length::parse(bar).expect("a length");
    its.edge_out = Some(Length::from_si(edge_out * INCH));
    its.stick_out = Length::from_si(6.0 * INCH);
    scenario.job.work.big_end = big_end;
    scenario
}

fn setup(scenario: &Scenario, feed: Feed) -> Setup {
    Setup::all(scenario.job.work.kind, scenario.job.work.big_end)
        .into_iter()
        .find(|setup| setup.feed == feed && setup.cuts())
        .expect("there is such a setup")
}

fn room(scenario: &Scenario, setup: &Setup) -> (BoreRoom, Approach) {
    let (_, approach) = approach(scenario, setup, Options::default());
    let room = BoreRoom::new(scenario, setup, &approach).expect("a bar in a bore");
    (room, approach)
}

fn of(room: &BoreRoom, stretch: Stretch) -> &Tight {
    let found = room.tight.iter().find(|tight| tight.stretch == stretch);
    found.expect("the bar is in the bore")
}

#[test]
fn the_first_roughing_pass_fed_outward_is_tightest_as_worked_by_hand() {
    // A straight hole of 1.950 in, to a cone 2.000 to 2.4962 in (aimed at 1.985 in/ft) over 3 in.
    // Stock at the big end 0.275 in, less 0.010 in to finish, in seven passes of 0.037857 in: the
    // first runs 0.237143 in below the cone. It meets the hole, 0.975 in, where the cone is at
    // 1.212143 in, 0.210268 in over the small end's 1.001875 in: it is fed from there alone.
    let scenario = socket("1.25 in", 0.10, End::Tailstock);
    let setup = setup(&scenario, Feed::Tailstock);
    assert_eq!(setup.pull(), Pull::In);
    let (room, approach) = room(&scenario, &setup);
    let met = 0.210_268 / (1.985 / 24.0) * INCH;
    let in_the_cut = (0.975 + 0.975 - 0.10 - 1.25) * INCH;
    let cut = of(&room, Stretch::Cut);
    assert!((cut.gap - in_the_cut).abs() < 1e-8, "{cut:?}");
    assert!(cut.first_pass && cut.wall == Wall::Far);
    assert!((cut.edge_z - met).abs() < 1e-6 && room.first_cuts.is_some());
    // The run-in starts that much further toward the far wall, less what the slide lags behind.
    let slope = 1.985 / 24.0;
    let lag = slope * approach.lost.total;
    let run_in = in_the_cut - slope * approach.run_in() + lag;
    assert!((of(&room, Stretch::RunIn).gap - run_in).abs() < 1e-8);
    // Going back it stands there with the tool drawn off.
    let back = run_in - withdrawal(lag);
    assert!((of(&room, Stretch::Return).gap - back).abs() < 1e-8);
    assert_eq!(room.tightest().expect("tight").stretch, Stretch::Return);
    // The thickest bar keeps its room exactly.
    let thickest = room.thickest.diameter;
    assert!((thickest - (1.25 * INCH + back - FREE)).abs() < 1e-8);
}

#[test]
fn a_bar_that_just_fills_its_bore_rubs_in_the_run_in_and_a_common_one_is_named() {
    // Enough for the cut, not for the run-in and the way back.
    let scenario = socket("1.83 in", 0.10, End::Tailstock);
    let setup = setup(&scenario, Feed::Tailstock);
    let (room, _) = room(&scenario, &setup);
    assert!(of(&room, Stretch::Cut).gap > 0.0);
    assert!(of(&room, Stretch::RunIn).gap < of(&room, Stretch::Cut).gap);
    assert!(room.rubs);
    let way = way_of(&scenario, &setup);
    let Some(Reason::BarRubs {
        would_do: Some(bar),
        stiffness: Some(share),
        ..
    }) = way.out.first()
    else {
        panic!("{:?}", way.out)
    };
    assert!((bar / INCH - 1.5).abs() < 1e-9);
    // As the fourth power of the thickness: 3 E I / L^3, I = pi d^4 / 64.
    assert!((share - (1.5_f64 / 1.83).powi(4)).abs() < 1e-9);
    let with = way
        .with_other_bar
        .as_ref()
        .expect("only the bar is in the way");
    // A bar half as stiff leaves more than one of 1 3/4 in would.
    let mut own = scenario.clone();
    let bar = own.job.tool.bar.as_mut().expect("a bar");
    bar.edge_out = Some(Length::from_si(0.02 * INCH));
    bar.diameter = Length::from_si(1.75 * INCH);
    own.job.work.start = StartSurface::Roughed {
        stock: Length::from_si(0.011 * INCH),
    };
    let free = way_of(&own, &setup);
    let run = free.run.as_ref().expect("it clears now");
    assert!(with.size_error < run.outcome.size_error - 1e-6);
    // And that common bar does clear.
    let (clear, _) = room_with(&scenario, 1.5, &setup);
    assert!(!clear.rubs && clear.tightest().expect("tight").gap >= FREE - 1e-9);
}

fn room_with(scenario: &Scenario, diameter: f64, setup: &Setup) -> (BoreRoom, Approach) {
    let mut scenario = scenario.clone();
    scenario.job.tool.bar.as_mut().expect("a bar").diameter = Length::from_si(diameter * INCH);
    room(&scenario, setup)
}

fn way_of(scenario: &Scenario, setup: &Setup) -> Way {
    let all = compare(scenario, Options::default());
    all.ways
        .into_iter()
        .find(|way| way.setup == *setup)
        .expect("it is compared")
}

#[test]
fn through_a_narrow_mouth_the_edge_has_to_stand_out_as_far_as_the_bore_widens() {
    // The big end at the chuck: 2.4962 in at the bottom, 2.000 in at the mouth.
    let scenario = socket("1 in", 0.10, End::Headstock);
    for feed in [Feed::Headstock, Feed::Tailstock] {
        let setup = setup(&scenario, feed);
        let (room, _) = room(&scenario, &setup);
        let widens = 1.985 / 24.0 * 3.0;
        assert!(room.edge_needed >= widens * INCH, "{room:?}");
        assert!(room.rubs);
        assert_eq!(room.tightest().expect("tight").wall, Wall::Cut);
        // No other bar helps, and none is named: the same one, with its edge further out.
        let way = way_of(&scenario, &setup);
        let rubs = way.out.iter().find_map(|reason| match reason {
            Reason::BarRubs { wall, would_do, .. } => Some((wall, would_do, reason)),
            _ => None,
        });
        let (wall, would_do, reason) = rubs.expect("the bar rubs");
        assert_eq!((*wall, *would_do), (Wall::Cut, None));
        assert!(way.with_other_bar.is_none());
        let words = reason.words(scenario.job.units);
        assert!(
            words.ends_with("its edge has to stand out that much more at least"),
            "{words}"
        );
        // An edge that nobody measured is taken as standing out far enough.
        let mut open = scenario.clone();
        open.job.tool.bar.as_mut().expect("a bar").edge_out = None;
        let (open, _) = self::room(&open, &setup);
        assert!(!open.rubs && open.assumed && open.edge_out >= widens * INCH);
    }
}

#[test]
fn a_short_bar_brings_the_holder_to_the_face() {
    let mut scenario = socket("1 in", 0.10, End::Tailstock);
    for (out, fits) in [
        (3.5, [true, false]),
        (2.9, [false, false]),
        (5.0, [true, true]),
    ] {
        scenario.job.tool.bar.as_mut().expect("a bar").stick_out = Length::from_si(out * INCH);
        for (feed, fits) in [Feed::Headstock, Feed::Tailstock].into_iter().zip(fits) {
            let way = way_of(&scenario, &setup(&scenario, feed));
            let short = |reason: &Reason| matches!(reason, Reason::BarTooShort { .. });
            assert_eq!(!way.out.iter().any(short), fits, "{out} {feed:?}");
        }
    }
}

/// Walks the stroke in small steps, written apart from the closed form: the slide is a point with
/// play, pushed by its guide.
fn walked(scenario: &Scenario, setup: &Setup, approach: &Approach, bar: f64, out: f64) -> f64 {
    let stock = Stock::new(scenario, setup);
    let lag = 1.985 / 24.0 * approach.lost.total;
    let first = stock
        .roughing()
        .map_or(stock.to_finish, |plan| plan.stock - plan.set);
    let mut least = f64::INFINITY;
    for (below, first) in [(first, true), (0.0, false)] {
        // A pass is fed from where it first meets metal to where it last does.
        let at = |i: usize| stock.length * i as f64 / 40_000.0;
        let place = |s: f64| match setup.feed {
            Feed::Tailstock => s,
            Feed::Headstock => stock.length - s,
        };
        let line = |s: f64| stock.radius(place(s)) - below;
        let meets = |s: &f64| first && -stock.blank(place(*s)) > below + 1e-9;
        let from = (0..=40_000).map(at).find(meets);
        let to = (0..=40_000).rev().map(at).find(meets);
        let (from, to) = (from.unwrap_or(0.0), to.unwrap_or(stock.length));
        let (start, end, n) = (from - approach.run_in(), to, 4000);
        // Back with the tool drawn off, then on; the slide stands between guide and guide + play.
        let away = withdrawal(lag);
        let mut slide = line(end);
        let trip = |from: f64, to: f64, drawn: f64, slide: &mut f64, least: &mut f64| {
            for i in 0..=n {
                let s = from + (to - from) * f64::from(i) / f64::from(n);
                let (low, high) = match setup.pull() {
                    Pull::In => (line(s), line(s) + lag),
                    _ => (line(s) - lag, line(s)),
                };
                *slide = slide.clamp(low, high);
                let edge = *slide - drawn;
                let (z, reach) = (place(s), 6.0 * INCH);
                for k in 0..=200 {
                    let at = z + reach * f64::from(k) / 200.0;
                    if at > stock.length || (at - stock.length).abs() < 1e-12 && k == 0 {
                        continue;
                    }
                    let inside = at.clamp(0.0, stock.length);
                    let cone = stock.radius(inside);
                    let before = if first || at < 0.0 {
                        cone + stock.blank(inside)
                    } else {
                        cone - stock.to_finish
                    };
                    let cut = drawn > 0.0 || (s > 0.0 && setup.feed == Feed::Headstock);
                    let bore = if cut && at >= 0.0 {
                        before.max(cone - below)
                    } else {
                        before
                    };
                    *least = least.min(bore + edge - out - bar);
                }
            }
        };
        trip(end, start, away, &mut slide, &mut least);
        trip(start, end, 0.0, &mut slide, &mut least);
    }
    least
}

#[test]
fn the_corners_hold_the_least_gap_of_the_whole_stroke() {
    for big_end in [End::Headstock, End::Tailstock] {
        for feed in [Feed::Headstock, Feed::Tailstock] {
            for start in [
                StartSurface::Straight {
                    diameter: Length::from_si(1.95 * INCH),
                },
                StartSurface::Roughed {
                    stock: Length::from_si(0.012 * INCH),
                },
            ] {
                let mut scenario = socket("1.2 in", 0.30, big_end);
                scenario.job.work.start = start;
                let setup = setup(&scenario, feed);
                let (room, approach) = room(&scenario, &setup);
                let far = room.tight.iter().filter(|tight| tight.wall == Wall::Far);
                let ours = far.map(|tight| tight.gap).fold(f64::INFINITY, f64::min);
                let theirs = walked(&scenario, &setup, &approach, 1.2 * INCH, 0.30 * INCH);
                assert!(
                    (ours - theirs).abs() < 2e-5,
                    "{big_end:?} {feed:?} {start:?}: {ours} {theirs}"
                );
            }
        }
    }
}

#[test]
fn the_worked_bore_has_room_for_the_cut_and_none_on_the_way_back() {
    let scenario = scenario("close-bore.toml");
    let fed_in = way_of(&scenario, &setup(&scenario, Feed::Headstock));
    assert_eq!(fed_in.out, Vec::new());
    let fed_out = way_of(&scenario, &setup(&scenario, Feed::Tailstock));
    let room = fed_out.room.as_ref().expect("a bar in a bore");
    assert!(of(room, Stretch::Cut).gap > 0.0);
    assert!(matches!(
        fed_out.out.as_slice(),
        [Reason::BarRubs { would_do: Some(bar), .. }] if (bar - 25e-3).abs() < 1e-9
    ));
    let with = fed_out
        .with_other_bar
        .as_ref()
        .expect("only the bar is in the way");
    let run = fed_in.run.as_ref().expect("it can be cut");
    assert!(with.size_error < run.outcome.size_error);
}
