//! The ways without the attachment: published offsets, closed forms, reasons, and who is advised.

use crate::given::worked::{THOU, decoded, evened, scenario, text};
use tautway_sim::compare::{Advised, compare};
use tautway_sim::cut::{Options, aimed_taper};
use tautway_sim::feasibility::Reason;
use tautway_sim::measure::filter::line_through;
use tautway_sim::method::side::SideCut;
use tautway_sim::method::tailstock::{by_rule, hyperboloid, offset, taper_of, toward};
use tautway_sim::method::top_slide::SetBy;
use tautway_sim::method::{Effort, Method, MethodTrials, MethodWay, Obstacle, Setting, methods};
use tautway_sim::quantity::{Length, Pressure, Quantity, Ratio, Stiffness, Taper};
use tautway_sim::scenario::{Band, End, Hand, Holding, Known, Scenario, Thread, Toward};
use tautway_sim::setup::{Face, Feed, Rotation, Setup, Side};
use tautway_sim::study::{PER_TURN, Study};

const INCH: f64 = 0.0254;
const PER_FOOT: f64 = 1.0 / 12.0;

fn of(scenario: &Scenario, method: Method) -> MethodWay {
    methods(scenario, Options::default())
        .into_iter()
        .find(|way| way.method == method)
        .expect("every method is told")
}

fn length(inch: f64) -> Length {
    Length::from_si(inch * INCH)
}

fn mandrel() -> Scenario {
    scenario("long-mandrel.toml")
}

#[test]
fn offsets_as_published_by_the_rule_and_exact() {
    for (taper, between, published) in [
        // Jones, Turning and Boring (1914): 1 in/ft, 9 in; 1 1/2 in/ft, 8 in.
        (1.0, 9.0, 0.375),
        (1.5, 8.0, 0.5),
        // NAVEDTRA 14345: 3 in to 2 in over 12 in.
        (1.0, 12.0, 0.5),
        // Rose, Modern Machine-Shop Practice (1887): 1 in/ft, 36 in.
        (1.0, 36.0, 1.5),
    ] {
        let (taper, between) = (taper * PER_FOOT, between * INCH);
        assert!((by_rule(between, taper) / INCH - published).abs() < 1e-12);
        let exact = offset(between, taper);
        assert!(exact < by_rule(between, taper));
        assert!((exact / by_rule(between, taper) - 1.0).abs() < 2.5e-3);
        assert!((taper_of(between, exact) - taper).abs() < 1e-15);
    }
    // Closed form: 12 in, 1 in/ft.
    assert!((offset(12.0, PER_FOOT) - 0.499567).abs() < 5e-7);
}

#[test]
fn a_big_end_at_the_headstock_wants_the_tailstock_toward_a_tool_in_front() {
    // X = -side L sin(atan slope): the front tool then cuts deeper at the tailstock.
    for (big_end, side, wanted) in [
        (End::Headstock, Side::Front, Toward::Operator),
        (End::Tailstock, Side::Front, Toward::Away),
        (End::Headstock, Side::Rear, Toward::Away),
        (End::Tailstock, Side::Rear, Toward::Operator),
    ] {
        let setup = Setup {
            kind: tautway_sim::scenario::Kind::Outside,
            big_end,
            side,
            feed: Feed::Headstock,
            rotation: Rotation::Forward,
            face: Face::Up,
        };
        assert_eq!(toward(&setup), wanted);
    }
}

#[test]
fn heights_make_a_hyperboloid_closed_form() {
    // Colvin, Turning and Boring Tapers (1902) says flatter; closed form: h 1, r 5, a step of 5.
    let cone = |z: f64| 5.0 + z;
    let off = hyperboloid(cone, 0.0, [1.0, 0.0], [0.0, 20.0], 5.0);
    assert!((10.0 + off - 9.949362).abs() < 5e-7, "{off}");
    // Closed form: a cylinder of radius r turned on centres of which one stands `rise` higher is
    // sqrt(r^2 + (rise z / L)^2), thicker by rise^2 / 2 r at that end.
    let (r, rise, between) = (10e-3, 0.04e-3, 0.3);
    let off = hyperboloid(|_| r, 0.0, [0.0, rise], [0.0, between], between);
    assert!((off / (rise * rise / (2.0 * r)) - 1.0).abs() < 1e-4);
    // A maker's limit of 0.04 mm makes no taper anyone gauges.
    assert!(2.0 * off / between < 1e-6);
}

/// A slender even shaft between centres of unequal springs, without any unevenness.
fn shaft() -> Scenario {
    let mut shaft = evened(mandrel());
    let work = &mut shaft.job.work;
    work.taper = Taper::from_si(0.001 * PER_FOOT);
    work.tolerance = Band {
        lower: Taper::from_si(0.0),
        upper: Taper::from_si(0.0),
    };
    work.diameter = length(0.75);
    shaft.lathe.spindle.spring = Known::given(Stiffness::from_si(4e7));
    shaft.lathe.tailstock_spring = Known::given(Stiffness::from_si(1e7));
    shaft
}

#[test]
fn between_centres_the_work_gives_way_as_a_beam_on_two_springs() {
    let shaft = shaft();
    let way = of(&shaft, Method::Tailstock);
    let setting = way.setting.expect("it can be set");
    let side = SideCut::new(&shaft, &setting);
    let (operation, finished) = side.cut(Options::default());
    let work = &shaft.job.work;
    let between = work.between_centres.expect("between centres").si();
    let inertia = std::f64::consts::PI * work.diameter.si().powi(4) / 64.0;
    let last = finished.passes.last().expect("a pass");
    let turns: Vec<_> = last.turns.iter().filter(|turn| turn.cutting).collect();
    let mut worst: f64 = 0.0;
    let mut left = Vec::new();
    for turn in &turns {
        // Closed form: (1 - s)^2 / k1 + s^2 / k2 + a^2 b^2 / (3 E I L), with s = a / L.
        let a = work.from_jaws.si() + turn.z;
        let b = between - a;
        let s = a / between;
        let gives = (1.0 - s).powi(2) / 4e7
            + s * s / 1e7
            + (a * b).powi(2) / (3.0 * work.modulus.si() * inertia * between);
        let by_beam = turn.push_off * (gives + operation.machine.tool_gives);
        left.push((turn.z, by_beam));
        worst = worst.max(((turn.slide - turn.edge) / by_beam - 1.0).abs());
    }
    assert!(worst < 0.01, "{worst}");
    // The slide itself stays where the dial put it, once the cut has settled.
    let settled = &turns[turns.len() / 10..];
    let (low, high) = settled.iter().fold((f64::MAX, f64::MIN), |(l, h), turn| {
        (l.min(turn.slide), h.max(turn.slide))
    });
    assert!(high - low < 0.5e-6, "{}", high - low);
    // What the beam leaves standing is the taper error: heights are into the work, so the radius
    // grows as the edge comes out; the big end stands at the headstock, z = 0.
    let (_, tilt) = line_through(left.iter().copied());
    let by_beam = -2.0 * tilt;
    let found = way.outcome.expect("it was run").taper_error;
    assert!((found / by_beam - 1.0).abs() < 0.05, "{found} {by_beam}");
}

#[test]
fn a_setting_error_comes_out_as_the_taper_it_makes() {
    let plain = mandrel();
    let way = of(&plain, Method::Tailstock);
    let Some(Setting::Offset(set)) = way.setting else {
        panic!("{way:?}");
    };
    let middle = way.outcome.expect("it was run").taper;
    for thou in [-2.0, 1.0, 3.0] {
        let mut off = plain.clone();
        off.lathe.tailstock.setover_error = Known::given(Length::from_si(thou * THOU));
        let found = of(&off, Method::Tailstock).outcome.expect("it was run");
        // Closed form: dT = 2 dS / (L cos^3 a); toward the operator is steeper here.
        let by_form = thou * THOU * set.taper_per_offset;
        assert_eq!(set.toward, Toward::Operator);
        assert!(
            ((found.taper - middle) / by_form - 1.0).abs() < 0.01,
            "{} {by_form}",
            found.taper - middle
        );
    }
    // A longer piece than measured: T falls as 1 / L.
    let mut longer = plain.clone();
    let between = set.between * 1.01;
    longer.job.work.between_centres = Some(Known::given(Length::from_si(between)));
    let fixed = SideCut::new(&longer, &Setting::Offset(set)).measures(Options::default());
    let same = SideCut::new(&plain, &Setting::Offset(set)).measures(Options::default());
    let share = (fixed.taper - same.taper) / aimed_taper(&plain);
    assert!((share + 0.01 / 1.01).abs() < 2e-4, "{share}");
}

#[test]
fn on_a_steep_taper_an_offset_still_makes_the_taper_it_is_said_to() {
    // The difference quotient of 2 tan(asin(S / L)), and 2 / (L cos^3 a) from the triangle itself:
    // S = L sin a, so cos a = sqrt(1 - (S / L)^2). At 6 in/ft a power of the cosine is 3 %.
    let mut steep = mandrel();
    let mut least = 1.0f64;
    for taper in [1.0, 3.5, 6.0] {
        steep.job.work.taper = Taper::from_si(taper * PER_FOOT);
        (
            steep.job.work.tolerance.lower,
            steep.job.work.tolerance.upper,
        ) = (Taper::from_si(-1e-4), Taper::from_si(1e-4));
        let Some(Setting::Offset(set)) = of(&steep, Method::Tailstock).setting else {
            panic!("it can be told");
        };
        let (by, l) = (1e-6, set.between);
        let quotient = (taper_of(l, set.over + by) - taper_of(l, set.over - by)) / (2.0 * by);
        assert!((set.taper_per_offset / quotient - 1.0).abs() < 1e-6);
        let cosine = (1.0 - (set.over / l).powi(2)).sqrt();
        let form = 2.0 / (l * cosine * cosine * cosine);
        assert!((set.taper_per_offset / form - 1.0).abs() < 1e-9);
        // What is short of the pitch is the same cosine.
        assert!((set.pitch_short - (1.0 - cosine)).abs() < 1e-12);
        assert!(set.over < set.rule);
        assert!((set.over / set.rule - cosine).abs() < 1e-12);
        least = least.min(cosine);
    }
    assert!(least < 0.98, "{least}");
}

#[test]
fn what_can_make_the_taper_wrong_is_in_its_likely_range() {
    let likely = of(&mandrel(), Method::Tailstock).likely.expect("told");
    let plain = mandrel();
    let Some(Setting::Offset(set)) = of(&plain, Method::Tailstock).setting else {
        panic!("it can be set");
    };
    let error = plain.lathe.tailstock.setover_error.high.si() * set.taper_per_offset;
    let taper = aimed_taper(&plain) / set.between;
    let seating = plain.lathe.tailstock.seating.high.si() * taper;
    let between = plain.job.work.between_centres.expect("given");
    let measured = (between.high.si() - between.si()) * taper;
    let root = error.hypot(seating).hypot(measured);
    assert!(likely.taper >= root * 0.99, "{} {root}", likely.taper);
    assert!(likely.taper <= root * 1.5, "{} {root}", likely.taper);
}

#[test]
fn each_that_is_out_says_why_with_its_numbers() {
    // Inside work by the tailstock.
    let socket = scenario("tapered-socket.toml");
    for method in [Method::Tailstock, Method::OffsetCentre] {
        assert_eq!(of(&socket, method).out, [Obstacle::OutsideOnly]);
    }
    // Chucked work without centres.
    assert_eq!(
        of(&scenario("plug-cock.toml"), Method::Tailstock).out,
        [Obstacle::NeedsCentres]
    );
    // A thread on the top slide, and one by the tailstock, which can.
    let mut threaded = scenario("taper-sleeve.toml");
    threaded.job.work.length = length(2.0);
    threaded.job.thread = Some(Thread {
        hand: Hand::Right,
        cut: None,
    });
    assert_eq!(of(&threaded, Method::TopSlide).out, [Obstacle::NoThread]);
    assert!(of(&threaded, Method::Tailstock).out.is_empty());
    // A cone longer than the top slide's travel.
    let long = of(&mandrel(), Method::TopSlide);
    let [Obstacle::TravelTooShort { needs, has }] = long.out[..] else {
        panic!("{:?}", long.out);
    };
    assert!(needs > 9.5 * INCH && has == 3.5 * INCH);
    // Further over than the tailstock goes.
    let mut steep = mandrel();
    steep.job.work.taper = Taper::from_si(1.5 * PER_FOOT);
    let over = of(&steep, Method::Tailstock);
    let [Obstacle::OverTooFar { needs, has }] = over.out[..] else {
        panic!("{:?}", over.out);
    };
    assert!((needs - offset(13.25 * INCH, 1.5 * PER_FOOT)).abs() < 1e-9);
    assert!((has - 0.5 * INCH).abs() < 1e-12);
    for way in [long, over] {
        assert!(way.outcome.is_none());
        let words = way.out[0].words(tautway_sim::quantity::Units::Inch);
        assert!(words.contains(" in"), "{words}");
    }
    // No attachment at all.
    let bare = compare(&scenario("valve-seat.toml"), Options::default());
    assert!(!bare.ways.is_empty());
    assert!(
        bare.ways
            .iter()
            .all(|way| way.out == [Reason::NoAttachment])
    );
}

#[test]
fn who_is_advised() {
    let advised = |scenario: &Scenario| {
        let comparison = compare(scenario, Options::default());
        match comparison.advised() {
            Some(Advised::Method(way)) => Some(way.method),
            Some(Advised::Attachment(_)) => None,
            None => panic!("nothing is advised"),
        }
    };
    // Steep and short, with a guide that doesn't swing so far and without one.
    let seat = scenario("valve-seat.toml");
    assert_eq!(advised(&seat), Some(Method::TopSlide));
    let job = text("valve-seat.toml").replace("bare-lathe.toml", "snug-lathe.toml");
    let with = decode_quietly(&job, &text("snug-lathe.toml"));
    assert_eq!(advised(&with), Some(Method::TopSlide));
    // Long, slow and outside, with no room on the guide.
    assert_eq!(advised(&mandrel()), Some(Method::Tailstock));
    // An attachment that does the job well is seen first.
    for file in ["tapered-socket.toml", "plug-cock.toml", "taper-sleeve.toml"] {
        assert_eq!(advised(&scenario(file)), None, "{file}");
    }
    // Short and steep, within the guide's swing, degree marks fine enough: the plainer one.
    let mut stub = scenario("plug-cock.toml");
    let work = &mut stub.job.work;
    work.taper = Taper::from_si(2.9 * PER_FOOT);
    work.tolerance = Band {
        lower: Taper::from_si(-0.07 * PER_FOOT),
        upper: Taper::from_si(0.07 * PER_FOOT),
    };
    work.length = length(0.5);
    let comparison = compare(&stub, Options::default());
    assert!(
        comparison
            .best()
            .is_some_and(|way| way.verdict.is_some_and(|v| v.met()))
    );
    assert_eq!(advised(&stub), Some(Method::TopSlide));
    let way = of(&stub, Method::TopSlide);
    assert_eq!(way.effort, Effort::Few);
    assert!(matches!(way.setting, Some(Setting::Swivel(set)) if set.set_by == SetBy::Marks));
}

fn decode_quietly(job: &str, lathe: &str) -> Scenario {
    let source = |name, text| tautway_sim::scenario::Source { name, text };
    tautway_sim::scenario::decode(source("job", job), source("lathe", lathe))
        .unwrap_or_else(|faults| panic!("{faults:#?}"))
        .0
}

#[test]
fn a_thread_between_centres_set_over_is_short_by_one_less_the_cosine() {
    for (taper, parts_in_a_million) in [(1.0 / 16.0, 488.0), (2.0 / 12.0, 3454.0), (0.25, 7722.0)] {
        let mut plain = mandrel();
        plain.job.work.taper = Taper::from_si(taper);
        plain.job.work.length = length(1.0);
        plain.job.work.between_centres = Some(Known::given(length(5.0)));
        plain.lathe.tailstock.setover = Known::given(length(1.0));
        let way = of(&plain, Method::Tailstock);
        let Some(Setting::Offset(set)) = way.setting else {
            panic!("{way:?}");
        };
        // Closed form: 1 - cos(atan(T / 2)).
        assert!((set.pitch_short * 1e6 - parts_in_a_million).abs() < 0.6);
    }
}

#[test]
fn degree_marks_serve_where_the_tolerance_is_wide() {
    let seat = scenario("valve-seat.toml");
    let Some(Setting::Swivel(set)) = of(&seat, Method::TopSlide).setting else {
        panic!("it can be set");
    };
    assert!((set.angle.to_degrees() - 45.0).abs() < 1e-9);
    // Closed form: dT = 2 da / cos^2 a, a tenth of a degree at 45.
    let by_marks = 2.0 * 0.1_f64.to_radians() * 2.0;
    assert!((set.by_marks / by_marks - 1.0).abs() < 1e-9);
    assert_eq!(set.set_by, SetBy::Marks);
    let mut narrow = seat.clone();
    narrow.job.work.tolerance = Band {
        lower: Taper::from_si(-0.02 * PER_FOOT),
        upper: Taper::from_si(0.02 * PER_FOOT),
    };
    let way = of(&narrow, Method::TopSlide);
    assert_eq!(way.effort, Effort::Some);
    assert!(matches!(way.setting, Some(Setting::Swivel(set)) if set.set_by == SetBy::Indicator));
    let mut off = seat.clone();
    off.lathe.top_slide.graduation = Known {
        middle: tautway_sim::quantity::Angle::from_si(0.05_f64.to_radians()),
        ..seat.lathe.top_slide.graduation
    };
    let taper = |scenario| of(scenario, Method::TopSlide).outcome.expect("run").taper;
    let found = taper(&off) - taper(&seat);
    assert!(
        (found / (0.5 * by_marks) - 1.0).abs() < 0.02,
        "{found} {by_marks}"
    );
}

#[test]
fn a_hand_that_feeds_evenly_leaves_fewer_waves_and_its_luck_is_the_seeds() {
    let mut even = evened(scenario("plug-cock.toml"));
    // A slender bar, so that the push-off shows.
    even.job.work.modulus = Pressure::from_si(even.job.work.modulus.si() / 20.0);
    let mut uneven = even.clone();
    even.lathe.top_slide.hand_feed = Known::given(Ratio::from_si(0.0));
    uneven.lathe.top_slide.hand_feed = Known::given(Ratio::from_si(0.4));
    let waves = |scenario: &Scenario, seed| {
        let way = of(scenario, Method::TopSlide);
        let setting = way.setting.expect("it can be set");
        let options = Options {
            seed,
            ..Options::default()
        };
        SideCut::new(scenario, &setting).measures(options).waves
    };
    assert!(waves(&uneven, 1) > 2.0 * waves(&even, 1));
    assert_ne!(waves(&uneven, 1), waves(&uneven, 2));
    assert_eq!(waves(&even, 1), waves(&even, 1));
}

#[test]
fn trials_meet_the_lathes_of_the_study_by_number() {
    let plain = mandrel();
    let options = Options {
        per_turn: PER_TURN,
        ..Options::default()
    };
    let study = Study::new(&plain, &[], options).expect("ranges");
    let way = of(&plain, Method::Tailstock);
    let trials = MethodTrials::new(&study, &plain, &way)
        .expect("ranges")
        .expect("it was simulated");
    let backward: Vec<_> = (1..=6).rev().map(|n| trials.trial(n)).collect();
    for (at, trial) in (1..=6).rev().zip(&backward) {
        assert_eq!(trial, &trials.trial(at));
    }
    // They spread as far as one number at a time says, a little less: it takes whole ranges.
    let all: Vec<_> = (1..=200).map(|n| trials.trial(n)).collect();
    let outlook = tautway_sim::method::MethodOutlook::of(&all, 0.95).expect("enough");
    let half = 0.5 * outlook.taper.symmetric.length();
    let likely = way.likely.expect("told").taper;
    assert!((half / likely - 1.0).abs() < 0.25, "{half} {likely}");
    // Named methods have no trials.
    let named = of(&plain, Method::OffsetCentre);
    assert!(
        MethodTrials::new(&study, &plain, &named)
            .expect("ranges")
            .is_none()
    );
}

#[test]
fn a_piece_that_can_run_between_centres_is_said_to() {
    let job = text("plug-cock.toml").replace(
        "held = \"chuck and centre\"",
        "held = \"chuck and centre\"\nbetween_centres = \"180 mm\"",
    );
    let cock = decoded("plug-cock", &job, &text("metric-lathe.toml"));
    assert_eq!(cock.job.work.holding, Holding::ChuckAndCentre);
    let way = of(&cock, Method::Tailstock);
    assert!(way.out.is_empty(), "{:?}", way.out);
    let Some(Setting::Offset(set)) = way.setting else {
        panic!("it can be set");
    };
    assert!((set.over - offset(0.180, 0.125)).abs() < 1e-9);
    assert!(
        way.cautions
            .iter()
            .any(|caution| caution.id == "offset-dog")
    );
}

#[test]
fn a_centre_that_stands_higher_at_the_tailstock_takes_its_height_off_the_tools_along_the_work() {
    // Tool 1 above the headstock's centre, the tailstock's 2 higher over 20: half way the tool is on
    // centre, sqrt(100 - 1) = 9.949874 for 10 there; at the tailstock's end it is 1 below.
    let off = |rise: f64, z: f64| hyperboloid(|_| 10.0, 0.0, [1.0, rise], [0.0, 20.0], z);
    assert!((off(2.0, 10.0) + 0.050_126).abs() < 1e-6);
    assert!(off(2.0, 20.0).abs() < 1e-12);
    // Lower there, it comes to stand 2 above.
    assert!((off(-2.0, 10.0) - (99.0f64 + 4.0).sqrt() + 10.0).abs() < 1e-12);
}

#[test]
fn centres_that_seat_in_less_deep_stand_further_apart_and_the_taper_is_less() {
    let plain = mandrel();
    let Some(Setting::Offset(set)) = of(&plain, Method::Tailstock).setting else {
        panic!("it can be set");
    };
    let taper = |seating: f64| {
        let mut seated = plain.clone();
        seated.lathe.tailstock.seating = Known::given(Length::from_si(seating * THOU));
        let found = of(&seated, Method::Tailstock).outcome.expect("it was run");
        found.taper
    };
    // T falls as 1 / L.
    let closed = -aimed_taper(&plain) * 200.0 * THOU / set.between;
    let found = taper(200.0) - taper(0.0);
    assert!((found / closed - 1.0).abs() < 0.03, "{found} for {closed}");
}

#[test]
fn the_top_slide_needs_its_side_and_an_eighth_and_its_cut_is_seen_square_to_it_by_the_cosine() {
    // 45 deg a side: the cosine is sqrt(1/2), 0.18 in along the axis 0.25456 in along the side.
    let seat = scenario("valve-seat.toml");
    let setting = of(&seat, Method::TopSlide).setting.expect("it can be set");
    let Setting::Swivel(set) = &setting else {
        panic!("{setting:?}");
    };
    let cosine = 0.5f64.sqrt();
    assert!((set.needs / INCH - 0.18 / cosine - 0.125).abs() < 1e-9);
    // Depth square to the side is the dial's times the cosine, and told per side again.
    let cut = SideCut::new(&seat, &setting);
    let told = cut.measures(Options::default());
    let dial = seat.job.passes.finish.last().expect("a pass").si();
    assert!((told.set - dial).abs() < 1e-12, "{} {dial}", told.set);
    let operation = cut.operation(Options::default());
    let finished = operation.run_finishing();
    let square = finished.passes[finished.last_set].set;
    assert!((square - dial * cosine).abs() < 1e-12, "{square}");
    // Across the bed the cross screw has the cosine of force and of way.
    let lathe = &seat.lathe;
    let [(thrust, _), (nut, link)] = [
        tautway_sim::machine::screw::thrust(&lathe.attachment),
        tautway_sim::machine::screw::nut(&lathe.attachment, operation.setup()),
    ];
    let machine = &operation.machine;
    let within = |found: f64, by_hand: f64| assert!((found / by_hand - 1.0).abs() < 1e-9);
    if lathe.attachment.drive_spring.is_none() {
        within(machine.drive.first, link.first / (cosine * cosine));
        within(machine.drive.other, link.other / (cosine * cosine));
    }
    within(machine.drive.slack, (thrust.slack + nut.slack) * cosine);
    within(machine.drag.hand(), lathe.slide.drag.si() / cosine);
    // Its own gib takes up the push-off besides the cross-slide's.
    let bar = seat.job.tool.bar.as_ref();
    let swing = tautway_sim::machine::tool::swing(&lathe.slide, bar);
    within(machine.swing, swing + lathe.top_slide.gib_slack.si());
    assert!(lathe.top_slide.gib_slack.si() > 0.0);
}

#[test]
fn a_tool_off_the_centre_height_cuts_a_flatter_taper_with_the_tailstock_over_closed_form() {
    let mut mandrel = evened(mandrel());
    let mut taper = |height: f64| {
        mandrel.job.tool.height = Known::given(Length::from_si(height));
        of(&mandrel, Method::Tailstock)
            .outcome
            .expect("it was run")
            .taper
    };
    let (on, height) = (taper(0.0), 3e-3);
    let work = scenario("long-mandrel.toml").job.work;
    let (big, small) = work.end_diameters();
    let (big, small) = (0.5 * big.si(), 0.5 * small.si());
    // Set right at one end, the other end's radius is off by this, sqrt(X^2 + h^2) less its own.
    let (right, other) = (big, small);
    let across = (right * right - height * height).sqrt() + other - right;
    let off = across.hypot(height) - other;
    let closed = -2.0 * off / work.length.si();
    let found = taper(height) - on;
    assert!(closed < 0.0 && found < 0.0, "{found} {closed}");
    assert!((found / closed - 1.0).abs() < 0.1, "{found} for {closed}");
}
