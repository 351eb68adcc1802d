//! The lesson's numbers against the comparison, the sheet and the closed sums they stand for.

use crate::given::worked::{THOU, by_hand as scenario, is_plain};
use tautway_sim::compare::compare;
use tautway_sim::cut::Options;
use tautway_sim::lesson::{Lesson, NoLesson, Tried};
use tautway_sim::quantity::Quantity;
use tautway_sim::scenario::{Kind, Toward};
use tautway_sim::setup::{Pull, ScrewLoad};
use tautway_sim::sheet::Sheet;

fn lesson(file: &str) -> Lesson {
    let done = Lesson::new(&scenario(file), Options::default(), &|_, _| true);
    done.unwrap_or_else(|why| panic!("{file}: {why:?}"))
}

fn near(a: f64, b: f64, within: f64) {
    assert!((a - b).abs() <= within, "{a} is not {b} within {within}");
}

#[test]
fn both_cuts_and_the_sheet_are_those_of_the_comparison() {
    let scenario = scenario("tapered-socket.toml");
    let lesson = lesson("tapered-socket.toml");
    let mut comparison = compare(&scenario, Options::default());
    // The lesson goes by what is to be expected of each way on many lathes.
    comparison
        .weigh(&scenario, Options::default(), &|_, _| true)
        .expect("ranges are right");
    for (taught, pull) in [(&lesson.pulled, Pull::In), (&lesson.drawn, Pull::Away)] {
        let way = comparison
            .ways
            .iter()
            .find(|way| way.pull == pull && is_plain(&way.setup))
            .expect("a plain way");
        assert_eq!(taught.setup, way.setup);
        assert_eq!(taught.start, way.start);
        let run = way.run.as_ref().expect("it can be cut");
        assert_eq!(taught.outcome.as_ref(), Some(&run.outcome));
        assert_eq!(run.reversal.lost.total, way.start.lost);
    }
    let best = comparison.best().expect("a best way");
    assert_eq!(lesson.chosen, best.setup);
    assert_eq!(lesson.lost.total, best.start.lost);
    assert_eq!(
        Some(&lesson.sheet),
        Sheet::new(&scenario, best, None, Options::default()).as_ref()
    );
}

#[test]
fn the_same_slack_costs_as_much_more_travel_as_the_taper_is_slower() {
    let lesson = lesson("tapered-socket.toml");
    let across = |row: &tautway_sim::lesson::TaperRow| (row.lost - row.foot) * row.taper / 2.0;
    // Lost motion without the foot is slack and wind-up over half the taper: closed form.
    for row in &lesson.tapers {
        near(across(row), lesson.slacks.from_reversal, 0.05 * across(row));
    }
    // 0.080 in of slack at 3/4 in/ft: 2.56 in, worked from the slope; wind-up comes on top.
    let slow = &lesson.tapers[3];
    near(0.75 / 12.0, slow.taper, 1e-12);
    assert!(slow.lost - slow.foot >= 2560.0 * THOU, "{}", slow.lost);
    assert!(slow.lost - slow.foot < 1.15 * 2560.0 * THOU);
    near(lesson.slacks.sum, 80.0 * THOU, 1e-9);
}

#[test]
fn an_early_zero_reads_short_and_a_late_one_reads_the_guide() {
    let lesson = lesson("tapered-socket.toml");
    let zero = lesson.zero.expect("room on the guide");
    let guide = lesson.sheet.drawing.aim.si();
    near(
        zero.late_taper,
        guide,
        2.0 * lesson.sheet.guide.step / zero.travel,
    );
    // Short by what was lost, times half the taper: closed form.
    near(
        zero.late - zero.early,
        0.5 * guide * lesson.lost.total,
        0.1 * (zero.late - zero.early),
    );
    assert!(zero.early_taper < guide);
}

#[test]
fn a_reading_past_the_limit_says_which_way_the_guide_goes() {
    let lesson = lesson("tapered-socket.toml");
    assert!(lesson.misread.reading > lesson.sheet.guide.limits.1);
    near(
        lesson.misread.taper,
        lesson.misread.reading / lesson.sheet.guide.travel,
        1e-12,
    );
    assert_eq!(lesson.misread.toward, lesson.sheet.guide.nudge.too_large);
}

#[test]
fn the_cards_say_that_the_guide_pulls_toward_deeper_metal_and_the_back_changes_nothing() {
    let lesson = lesson("tapered-socket.toml");
    for card in &lesson.cards {
        assert_ne!(card.pulls[0], card.pulls[1]);
        // Common practice, no source: outside from the big end, a bore from the small end.
        let toward_big = match card.big_end {
            tautway_sim::scenario::End::Headstock => card.pulls[0],
            tautway_sim::scenario::End::Tailstock => card.pulls[1],
        };
        assert_eq!(toward_big == Pull::In, card.kind == Kind::Inside);
    }
    let behind = &lesson.behind;
    assert_eq!(behind.front.pull, behind.reversed.pull);
    assert_eq!(behind.front.pull, behind.upside_down.pull);
    assert_eq!(behind.front.lean, -behind.reversed.lean);
    assert_ne!(behind.front.hand, behind.reversed.hand);
    assert_eq!(behind.front.hand, behind.upside_down.hand);
    assert_ne!(behind.front.screw, behind.reversed.screw);
    assert!(matches!(
        behind.front.screw,
        ScrewLoad::Tension | ScrewLoad::Compression
    ));
    let [front, rear] = &behind.cut;
    near(front.taken, rear.taken, 0.2 * THOU);
}

#[test]
fn drag_wins_in_light_cuts_and_push_off_in_deep_ones() {
    let lesson = lesson("tapered-socket.toml");
    let rows = &lesson.depths.rows;
    assert!(
        rows.windows(2)
            .all(|pair| pair[0].push_off < pair[1].push_off)
    );
    // Between two rows who wins changes as often as the two are alike there.
    for pair in rows.windows(2) {
        let changes = pair.iter().map(|row| row.push_off > row.drag);
        let [one, other] = changes.collect::<Vec<_>>()[..] else {
            panic!("a pair")
        };
        let alike = &lesson.depths.alike;
        let between = alike
            .iter()
            .filter(|at| (pair[0].depth..pair[1].depth).contains(at))
            .count();
        assert_eq!(one != other, between % 2 == 1, "{pair:?} {alike:?}");
    }
    near(
        lesson.depths.starts,
        lesson.depths.hand * scenario("tapered-socket.toml").lathe.slide.breakaway.si(),
        1e-9,
    );
}

#[test]
fn a_dial_in_the_slack_moves_no_tool() {
    let dial = lesson("tapered-socket.toml").dial.expect("room");
    assert!(
        dial.in_slack.tool.abs() < 0.1 * dial.in_slack.turned,
        "{dial:?}"
    );
    near(dial.after.tool, dial.after.turned, 0.05 * dial.after.turned);
    // A plain attachment sets depth with the top slide, which moves the tool in any slack.
    let plain = lesson("plug-cock.toml").dial.expect("room");
    assert!(plain.top_slide);
    // But for what its own screw has of backlash.
    assert!(
        plain.in_slack.tool > 0.5 * plain.in_slack.turned,
        "{plain:?}"
    );
}

#[test]
fn the_wrong_way_preload_is_as_strong_as_the_right_one_and_pushes_into_the_cut() {
    let lesson = lesson("tapered-socket.toml");
    let preload = lesson.preload.as_ref().expect("drawn away");
    let right = preload.tried(Tried::Right).expect("advised");
    let wrong = preload.tried(Tried::Wrong).expect("shown");
    assert_eq!(Some(right.force), preload.advised);
    assert_eq!(wrong.force, -right.force);
    assert!(right.cut.is_steady());
    assert!(right.force >= preload.plain_rule * (1.0 - 1e-9));
    assert_eq!(preload.toward, lesson.drawn.setup.toward_in_x(true));
    assert!(matches!(preload.toward, Toward::Operator | Toward::Away));
    let forbidden = tautway_sim::caution::forbids(&wrong.cut.cautions);
    assert!(forbidden, "{:?}", wrong.cut.cautions);
    let weak = preload.tried(Tried::Weak).expect("shown");
    assert!(weak.force > 0.0 && weak.force < preload.starts);
}

#[test]
fn a_job_with_a_preload_is_taught_without_it_and_a_bare_lathe_not_at_all() {
    let lesson = lesson("air-too-weak.toml");
    assert!(lesson.preload_left_off);
    assert!(lesson.sheet.preload.is_none());
    let bare = Lesson::new(&scenario("valve-seat.toml"), Options::default(), &|_, _| {
        true
    });
    assert!(
        matches!(bare, Err(NoLesson::NoAttachment | NoLesson::NoWay(_))),
        "{bare:?}"
    );
    let stopped = Lesson::new(
        &scenario("tapered-socket.toml"),
        Options::default(),
        &|_, _| false,
    );
    assert_eq!(stopped, Err(NoLesson::Interrupted));
}
