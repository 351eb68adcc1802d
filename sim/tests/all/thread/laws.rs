//! Threads: triangles, areas, passes, forces, lead and pick-up against closed forms and sources.

use proptest::prelude::*;
use tautway_sim::quantity::{Angle, Length, Quantity, Ratio};
use tautway_sim::scenario::groove::{Profile, triangle_height};
use tautway_sim::scenario::{
    End, Infeed, Kind, Known, Lead, LeadScrew, LeadTolerance, PassPlan, Root, ThreadCut, ThreadEnd,
    ThreadForm,
};
use tautway_sim::setup::{Face, Feed, Rotation, Setup, Side};
use tautway_sim::thread::force::ThreadLaw;
use tautway_sim::thread::lead::{
    LeadFound, bent_tail, drunken, hooke, hooke_speed, short_with_tailstock_over,
};
use tautway_sim::thread::pick_up::{PickUp, pick_up};
use tautway_sim::thread::plan::passes;

const INCH: f64 = 0.0254;

fn close(a: f64, b: f64, by: f64) {
    assert!((a - b).abs() <= by, "{a} against {b}");
}

fn tan30() -> f64 {
    30f64.to_radians().tan()
}

fn setup(kind: Kind, big_end: End, feed: Feed) -> Setup {
    Setup {
        kind,
        big_end,
        side: Side::Front,
        feed,
        rotation: Rotation::Forward,
        face: Face::Up,
    }
}

fn outside() -> Setup {
    setup(Kind::Outside, End::Headstock, Feed::Headstock)
}

fn cut(flanks: (f64, f64), pitch: f64, crest_flat: f64, root: Root) -> ThreadCut {
    ThreadCut {
        form: ThreadForm {
            name: "own form".to_owned(),
            small_end_flank: Angle::from_si(flanks.0.to_radians()),
            big_end_flank: Angle::from_si(flanks.1.to_radians()),
            crest_flat: Length::from_si(crest_flat),
            root,
            round_crest: false,
            source: None,
            from_memory: false,
        },
        lead: Lead::Pitch(Length::from_si(pitch)),
        depth: None,
        lead_tolerance: Some(LeadTolerance {
            per_length: 0.0015,
            source: None,
        }),
        infeed: Infeed::Square,
        plan: PassPlan::ConstantArea(Some(8)),
        spring: 0,
        headstock_end: ThreadEnd::RunsOut,
        tailstock_end: ThreadEnd::Open,
        crowding: Known::assumed(1.2, 1.5, 2.0),
        dog_offset: Known::assumed(0.2, 0.5, 1.0),
    }
}

fn flat(si: f64) -> Root {
    Root::Flat(Length::from_si(si))
}

fn round(si: f64) -> Root {
    Root::Round(Length::from_si(si))
}

#[test]
fn triangle_of_a_taper_thread_published() {
    // ASME B1.20.1 prints 0.86574320 P for 1 in 16 and 0.86602540 P for a straight thread; the
    // closed form gives 0.86574349.
    let taper = triangle_height(1.0, tan30(), tan30(), 1.0 / 32.0);
    close(taper, 0.865_743_20, 1e-6);
    close(taper, 0.865_743_49, 5e-9);
    close(
        triangle_height(1.0, tan30(), tan30(), 0.0),
        0.866_025_40,
        5e-9,
    );
    // A bore's crests go the other way: the same triangle where the flanks are alike.
    close(
        triangle_height(1.0, tan30(), tan30(), -1.0 / 32.0),
        taper,
        1e-15,
    );
}

#[test]
fn heights_of_rotary_shouldered_threads_from_memory() {
    // API Spec 7-2, from memory: truncated heights in inches by form and taper in in/ft.
    for (threads, taper, crest, root, height) in [
        (4.0, 2.0, 0.065, round(0.038 * INCH), 0.121_844),
        (4.0, 3.0, 0.065, round(0.038 * INCH), 0.121_381),
        (5.0, 3.0, 0.040, round(0.020 * INCH), 0.117_842),
        (4.0, 2.0, 0.050, round(0.025 * INCH), 0.147_804),
        (4.0, 3.0, 0.050, round(0.025 * INCH), 0.147_303),
        (6.0, 1.5, 0.055, flat(0.047 * INCH), 0.055_930),
    ] {
        let cut = cut((30.0, 30.0), INCH / threads, crest * INCH, root);
        let profile = Profile::new(&cut, &outside(), taper / 24.0);
        close(profile.depth / INCH, height, 2e-6);
        close(profile.crest_flat(profile.depth) / INCH, crest, 1e-9);
    }
}

#[test]
fn depth_of_a_taper_pipe_thread_from_memory() {
    // ASME B1.20.1, from memory: truncated by 0.033 P at crest and root, 0.800 P high.
    let off = 0.033 / 0.866_025_4;
    let cut = cut((30.0, 30.0), 1e-3, off * 1e-3, flat(off * 1e-3));
    let profile = Profile::new(&cut, &outside(), 1.0 / 32.0);
    close(profile.depth, 0.8e-3, 0.4e-6);
}

#[test]
fn a_rounded_55_degree_thread_is_as_deep_as_the_standard_has_it() {
    // ISO 228-1, from memory: h = 0.640327 P, H = 0.960491 P, r = 0.137329 P.
    let cut = cut((27.5, 27.5), 1.0, 1.0 / 6.0, round(0.137_329));
    let profile = Profile::new(&cut, &outside(), 0.0);
    close(profile.triangle, 0.960_491, 5e-7);
    close(profile.depth, 0.640_327, 1e-6);
}

/// Area by slices: nothing of the closed form in it.
fn sliced(profile: &Profile, depth: f64) -> f64 {
    const SLICES: usize = 20_000;
    let sum = profile.leading.tan + profile.trailing.tan;
    (0..SLICES)
        .map(|i| {
            let t = depth * (i as f64 + 0.5) / SLICES as f64;
            (profile.tip(t).0 + t * sum) * depth / SLICES as f64
        })
        .sum()
}

#[test]
fn area_is_that_of_the_tool_and_the_textbook_formula() {
    for root in [flat(0.1e-3), round(0.25e-3)] {
        for flanks in [(30.0, 30.0), (27.5, 27.5), (7.0, 45.0)] {
            let cut = cut(flanks, 2e-3, 0.2e-3, root);
            let profile = Profile::new(&cut, &outside(), 1.0 / 12.0);
            for share in [0.02, 0.1, 0.5, 1.0] {
                let depth = share * profile.depth;
                let area = profile.area(depth);
                close(area, sliced(&profile, depth), 2e-4 * area);
                close(profile.depth_of(area), depth, 1e-9 * profile.depth);
            }
        }
    }
    // A = (t2^2 - t1^2) tan(phi) + w (t2 - t1), for flanks alike and a flat.
    let cut = cut((30.0, 30.0), 2e-3, 0.2e-3, flat(0.1e-3));
    let profile = Profile::new(&cut, &outside(), 0.0);
    let (t1, t2) = (0.3e-3, 0.45e-3);
    let area = profile.area(t2) - profile.area(t1);
    close(
        area,
        (t2 * t2 - t1 * t1) * tan30() + 0.1e-3 * (t2 - t1),
        1e-18,
    );
}

proptest! {
    #[test]
    fn passes_of_one_area_add_up_to_the_thread(
        count in 1u32..40,
        pitch in 0.5e-3..8e-3f64,
        small in 5.0..45.0f64,
        big in 5.0..45.0f64,
        crest in 0.02..0.4f64,
        root in 0.0..0.3f64,
        rounded in any::<bool>(),
        slope in 0.0..0.125f64,
    ) {
        let tip = if rounded { round((0.05 + 0.1 * root) * pitch) } else { flat(root * pitch) };
        let mut cut = cut((small, big), pitch, crest * pitch, tip);
        cut.plan = PassPlan::ConstantArea(Some(count));
        cut.spring = 2;
        let profile = Profile::new(&cut, &outside(), slope);
        prop_assume!(profile.depth > 0.02 * pitch);
        let plan = passes(&profile, &cut);
        prop_assert_eq!(plan.len(), count as usize + 2);
        let whole = profile.area(profile.depth);
        let each = whole / f64::from(count);
        let sum: f64 = plan.iter().map(|pass| pass.area).sum();
        prop_assert!((sum - whole).abs() < 1e-9 * whole);
        let mut dial = 0.0;
        for pass in &plan[..count as usize] {
            prop_assert!((pass.area - each).abs() < 1e-6 * whole, "{} {}", pass.area, each);
            prop_assert!(pass.set > 0.0 && pass.dial > dial);
            prop_assert!((pass.dial - dial - pass.set).abs() < 1e-15);
            dial = pass.dial;
        }
        prop_assert!((dial - profile.depth).abs() < 1e-15);
        // The groove widens, so that every pass is shallower than the one before.
        for pair in plan[..count as usize].windows(2) {
            prop_assert!(pair[1].set < pair[0].set * (1.0 + 1e-6));
        }
        for spring in &plan[count as usize..] {
            prop_assert!(spring.spring && spring.set == 0.0 && spring.dial == dial);
        }
    }

    #[test]
    fn slopes_are_those_of_the_forces(
        stood in 0.0..1e-3f64,
        depth in 3e-6..0.4e-3f64,
        lean in 0.0..29.0f64,
        rounded in any::<bool>(),
    ) {
        let tip = if rounded { round(0.2e-3) } else { flat(0.1e-3) };
        let cut = cut((30.0, 30.0), 3e-3, 0.2e-3, tip);
        let profile = Profile::new(&cut, &outside(), 1.0 / 24.0);
        let law = ThreadLaw::new(1.6e9, 0.24, 0.5, 20e3, profile, lean.to_radians(), 1.5);
        let here = law.at(stood, stood + depth, 1.1);
        let h = 1e-7 * depth;
        let (low, high) = (law.at(stood, stood + depth - h, 1.1), law.at(stood, stood + depth + h, 1.1));
        for (a, b, slope) in [
            (low.main, high.main, here.main_slope),
            (low.push_off, high.push_off, here.push_off_slope),
            (low.feed, high.feed, here.feed_slope),
        ] {
            let numeric = (b - a) / (2.0 * h);
            prop_assert!((numeric - slope).abs() < 1e-3 * here.main_slope + 10.0, "{numeric} {slope}");
        }
    }
}

#[test]
fn a_force_in_proportion_to_area_is_the_textbook_sum() {
    // Kienzle's exponent 0 and no edge force: main force = kc times the area of chip. Of a flank's
    // normal force sin(phi) acts along n; the tip's in full. Closed form.
    let cut = cut((30.0, 30.0), 3e-3, 0.2e-3, flat(0.2e-3));
    let profile = Profile::new(&cut, &outside(), 1.0 / 24.0);
    let law = ThreadLaw::new(2e9, 0.0, 0.5, 0.0, profile, 0.0, 1.0);
    let (t1, t2) = (0.6e-3, 0.8e-3);
    let f = law.at(t1, t2, 1.0);
    let flanks = 2e9 * (t2 * t2 - t1 * t1) * tan30();
    let tip = 2e9 * 0.2e-3 * (t2 - t1);
    close(f.main, flanks + tip, 1e-9 * f.main);
    // Normal force on the flanks counts their area; sin 30 deg is a half.
    close(f.push_off, 0.5 * (flanks * 0.5 + tip), 1e-9 * f.push_off);
    close(f.feed, 0.0, 1e-9 * f.push_off);
    // Crowding multiplies where both flanks cut alike.
    let crowded = ThreadLaw::new(2e9, 0.0, 0.5, 0.0, profile, 0.0, 1.7).at(t1, t2, 1.0);
    close(crowded.main, 1.7 * f.main, 1e-9 * f.main);
}

#[test]
fn along_the_flank_one_flank_cuts_uncrowded_and_pushes_along_the_axis() {
    let cut = cut((30.0, 30.0), 3e-3, 0.2e-3, flat(0.2e-3));
    let profile = Profile::new(&cut, &outside(), 1.0 / 24.0);
    let at = |lean: f64, crowding| {
        let law = ThreadLaw::new(2e9, 0.0, 0.5, 0.0, profile, lean.to_radians(), crowding);
        law.at(0.6e-3, 0.8e-3, 1.0)
    };
    // Infeed at the flank's own angle: the trailing flank takes nothing, and the leading one the
    // area that both took before. Closed form.
    let (along, square) = (at(30.0, 2.0), at(0.0, 1.0));
    close(along.main, square.main, 1e-9 * square.main);
    close(along.push_off, square.push_off, 1e-9 * square.push_off);
    let leading = along.main - 2e9 * 0.2e-3 * 0.2e-3;
    close(
        along.feed,
        0.5 * leading * 30f64.to_radians().cos(),
        1e-9 * along.main,
    );
    // Between the two the axial force grows with the lean.
    let axial: Vec<f64> = [0.0, 10.0, 20.0, 29.0]
        .map(|lean| at(lean, 1.0).feed)
        .to_vec();
    assert!(axial.windows(2).all(|pair| pair[0] < pair[1]), "{axial:?}");
}

#[test]
fn the_pitch_comes_out_short_by_one_less_the_cosine() {
    // Exact: 1 - cos(atan(taper / 2)).
    for (taper, millionths) in [(1.0 / 16.0, 488.0), (1.0 / 6.0, 3454.0), (0.25, 7722.0)] {
        let short = short_with_tailstock_over((taper / 2.0f64).atan());
        close(short * 1e6, millionths, 0.5);
        close(short, 1.0 - (taper / 2.0f64).atan().cos(), 1e-15);
    }
}

#[test]
fn a_hookes_joint_at_ten_degrees_exact() {
    let angle = 10f64.to_radians();
    let (slow, fast) = hooke_speed(angle);
    close(slow, 0.984_808, 5e-7);
    close(fast, 1.015_427, 5e-7);
    close(hooke(angle).to_degrees(), 0.438_561, 5e-7);
    // The largest difference of the joint's own law, tan(out) = tan(in) / cos(angle), turn by turn.
    let most = (1..9000)
        .map(|i| {
            let into = f64::from(i) * 90.0 / 9000.0;
            let out = (into.to_radians().tan() / angle.cos()).atan().to_degrees();
            (out - into).abs()
        })
        .fold(0.0, f64::max);
    close(most, hooke(angle).to_degrees(), 1e-6);
}

#[test]
fn a_bent_tail_off_the_centre_makes_a_drunken_thread() {
    // Touching at half its distance from the axis, 1 in 16: 1.563e-2 rad once a turn (derived
    // here, unpublished).
    let half_angle = (1.0f64 / 32.0).atan();
    close(bent_tail(0.5, half_angle), 1.563e-2, 5e-6);
    // By geometry, turn by turn: a tail at (R cos psi, R sin psi) about a centre e off the
    // spindle's axis lies in a slot at the spindle's angle.
    let e = 0.5 * half_angle.tan();
    let most = (0..3600)
        .map(|i| {
            let psi = f64::from(i).to_radians() / 10.0;
            let slot = psi.sin().atan2(e + psi.cos());
            let behind = (psi - slot + 3.0 * std::f64::consts::PI)
                .rem_euclid(std::f64::consts::TAU)
                - std::f64::consts::PI;
            behind.abs()
        })
        .fold(0.0, f64::max);
    close(bent_tail(0.5, half_angle), most, 1e-7);
    // In the plane of the centre's point only the joint is left, far smaller.
    assert_eq!(bent_tail(0.0, half_angle), 0.0);
    assert!(hooke(half_angle) < bent_tail(0.5, half_angle) / 50.0);
    // Lead over a turn: a whole turn too far is a whole lead.
    close(drunken(2e-3, std::f64::consts::TAU), 2e-3, 1e-18);
}

#[test]
fn the_dogs_error_once_a_turn_is_what_two_threads_an_inch_apart_show_of_it() {
    // By hand at 2 in/ft, 4 threads an inch, the tail at 0.6 of its distance off: tan a = 1/12, so
    // bent_tail = asin(0.05), and the joint's (1 - cos a) / (1 + cos a) beside it.
    let half_angle = (1.0f64 / 12.0).atan();
    let cosine = 12.0 / 145f64.sqrt();
    let dog = 0.05f64.asin() + ((1.0 - cosine) / (1.0 + cosine)).asin();
    let lead = 0.25 * INCH;
    let found = LeadFound::with_tailstock_over(half_angle, lead, 3.0 * INCH, 0.6, Some(0.002));
    close(found.dog, dog, 1e-15);
    close(found.dog, 0.051_755, 5e-6);
    // Turned too far by so much of a turn, the thread stands so much of a lead on.
    close(found.drunken, lead * dog / std::f64::consts::TAU, 1e-18);
    let short = 1.0 - cosine;
    close(found.per_length, -short, 1e-15);
    close(found.over_length, -short * 3.0 * INCH, 1e-15);
    // One place of the turn ahead, the other behind: twice, whatever the pitch comes short.
    close(
        found.in_an_inch,
        (short + 2.0 * found.drunken / INCH) * INCH,
        1e-15,
    );
    close(found.allowed.expect("given"), 0.002 * INCH, 1e-15);
    close(found.flanks_lean, half_angle, 1e-15);
    // Straight work has none of it.
    let straight = LeadFound::with_tailstock_over(0.0, lead, 3.0 * INCH, 0.6, None);
    assert_eq!((straight.dog, straight.in_an_inch), (0.0, 0.0));

    // A thread marched over its turns: where each point of the helix comes to stand.
    let stands = |turn: f64| {
        let angle = std::f64::consts::TAU * turn;
        (1.0 - short) * lead * turn + found.drunken * angle.sin()
    };
    let mut worst = 0.0f64;
    for i in 0..2000 {
        let (turn, n) = (f64::from(i) / 1000.0, 4.0);
        // An inch is four leads: any two places on the flank so far apart, half a turn among them.
        for half in [-0.5, 0.0, 0.5] {
            let apart = stands(turn + n + half) - stands(turn) - lead * (n + half);
            worst = worst.max((apart + short * lead * half).abs());
        }
    }
    close(found.in_an_inch, worst, 2e-3 * worst);
}

#[test]
fn where_the_dogs_tail_bears_reaches_the_lead_that_is_told() {
    let nipple = crate::given::worked::scenario("pipe-nipple.toml");
    let lead = |offset: f64| {
        let mut nipple = nipple.clone();
        let thread = nipple.job.thread.as_mut().expect("a thread");
        let cut = thread.cut.as_mut().expect("a form");
        cut.dog_offset = Known::given(Ratio::from_si(offset));
        let found = tautway_sim::thread::threading(&nipple, Default::default());
        let ways = found.expect("a thread").ways;
        let over = ways
            .iter()
            .find(|way| way.method == tautway_sim::thread::Method::TailstockOver);
        over.and_then(|way| way.run.as_ref())
            .expect("cut")
            .outcome
            .lead
    };
    // 3/4 in/ft, 11.5 an inch.
    let half_angle = (1.0f64 / 32.0).atan();
    for offset in [0.2, 0.5, 1.0] {
        let found = lead(offset);
        close(found.dog, (offset / 32.0).asin() + hooke(half_angle), 1e-12);
        close(
            found.drunken,
            INCH / 11.5 / std::f64::consts::TAU * found.dog,
            1e-15,
        );
        close(found.flanks_lean, half_angle, 1e-12);
    }
}

#[test]
fn the_tailstock_serves_at_one_in_sixteen_and_not_at_two_or_three_inches_a_foot() {
    let lead = |taper: f64, threads: f64, allowed: f64| {
        let half_angle = (taper / 2.0).atan();
        LeadFound::with_tailstock_over(half_angle, INCH / threads, INCH, 0.5, Some(allowed))
    };
    // Common practice, no source: a taper pipe thread may be cut with the tailstock over. Its
    // tolerance of lead, 0.003 in an inch, is from memory of ASME B1.20.1.
    for threads in [8.0, 11.5, 14.0, 18.0] {
        let found = lead(1.0 / 16.0, threads, 0.003);
        assert_eq!(found.within(), Some(true), "{found:?}");
    }
    // API Spec 7-2: 0.0015 in an inch.
    for (taper, threads) in [(1.0 / 6.0, 4.0), (0.25, 5.0), (0.25, 4.0)] {
        let found = lead(taper, threads, 0.0015);
        assert_eq!(found.within(), Some(false), "{found:?}");
        // By the pitch alone, whatever the dog does.
        assert!(found.per_length.abs() > 0.0015);
    }
    let attached = LeadFound::with_attachment(Some(0.0015));
    assert_eq!((attached.in_an_inch, attached.within()), (0.0, Some(true)));
}

#[test]
fn the_thread_dial_goes_by_the_trades_rule() {
    // Common practice, no source, for a dial of eight lines that turns once in 4 in: even threads
    // at any line, odd ones at every second, halves at every fourth, quarters at the same line.
    let screw = LeadScrew::usual();
    let lines = |step| PickUp::Lines { step, of: 8 };
    for (threads, rule) in [
        (8.0, PickUp::Anywhere),
        (16.0, PickUp::Anywhere),
        (24.0, PickUp::Anywhere),
        (10.0, lines(1)),
        (14.0, lines(1)),
        (18.0, lines(1)),
        (11.0, lines(2)),
        (13.0, lines(2)),
        (27.0, lines(2)),
        (11.5, lines(4)),
        (4.5, lines(4)),
        (5.75, lines(8)),
        (7.3, PickUp::NeverOpen),
    ] {
        assert_eq!(pick_up(Lead::PerInch(threads), &screw), rule, "{threads}");
    }
    let millimetres = |mm: f64| Lead::Pitch(Length::from_si(mm * 1e-3));
    assert_eq!(pick_up(millimetres(2.0), &screw), PickUp::NeverOpen);
    // Metric on metric: 6 mm lead screw.
    let metric = LeadScrew {
        lead: millimetres(6.0),
        dial_lines: 4,
        dial_turn: Length::from_si(0.168),
        assumed: false,
    };
    assert_eq!(pick_up(millimetres(2.0), &metric), PickUp::Anywhere);
    assert_eq!(
        pick_up(millimetres(3.5), &metric),
        PickUp::Lines { step: 1, of: 4 }
    );
}

proptest! {
    /// Closed a line's worth of carriage later, the tool stands a whole number of threads on.
    #[test]
    fn where_the_dial_says_so_the_tool_finds_its_groove(
        quarters in 4u32..160, lines in 1u32..17, teeth in 8u32..65, screw in 2u32..17,
    ) {
        let threads = f64::from(quarters) / 4.0;
        let turn = f64::from(teeth) / f64::from(screw);
        let dial = LeadScrew {
            lead: Lead::PerInch(f64::from(screw)),
            dial_lines: lines,
            dial_turn: Length::from_si(turn * INCH),
            assumed: false,
        };
        let whole = |count: f64| (count - count.round()).abs() < 1e-6;
        match pick_up(Lead::PerInch(threads), &dial) {
            PickUp::Anywhere => prop_assert!(whole(threads / f64::from(screw))),
            PickUp::Lines { step, of } => {
                prop_assert_eq!(of, lines);
                prop_assert_eq!(lines % step, 0);
                prop_assert!(whole(turn * threads * f64::from(step) / f64::from(lines)));
            }
            PickUp::NeverOpen => prop_assert!(!whole(turn * threads)),
        }
    }
}

#[test]
fn the_leading_edge_is_the_one_that_faces_back_along_the_feed() {
    // Flanks told by the end they face: 10 toward the small end, 40 toward the big end. Fed toward
    // the big end the tool's front edge cuts the wall ahead, which faces the small end.
    let cut = cut((10.0, 40.0), 2e-3, 0.2e-3, flat(0.1e-3));
    for kind in [Kind::Outside, Kind::Inside] {
        for big_end in [End::Headstock, End::Tailstock] {
            for feed in [Feed::Headstock, Feed::Tailstock] {
                let toward_big = (big_end == End::Headstock) == (feed == Feed::Headstock);
                let profile = Profile::new(&cut, &setup(kind, big_end, feed), 1.0 / 24.0);
                let leading: f64 = if toward_big { 10.0 } else { 40.0 };
                close(profile.leading.angle.to_degrees(), leading, 1e-9);
            }
        }
    }
}
