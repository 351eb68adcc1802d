//! What holds for any hand moves: finite numbers, a slide that moves only where it is driven past
//! slack and drag, the same each time, and the mirror image mirrored.

use crate::given::hands::{head, read};
use proptest::prelude::*;
use tautway_sim::quantity::{Length, Quantity, Taper};
use tautway_sim::rehearse::{Cylinder, Move, Push, Script, Spoken, rehearse};
use tautway_sim::scenario::{AttachmentKind, End, Known, Toward};
use tautway_sim::setup::Feed;

fn across() -> impl Strategy<Value = Toward> {
    prop_oneof![Just(Toward::Operator), Just(Toward::Away)]
}

fn any_move() -> impl Strategy<Value = Move> {
    let feed = prop_oneof![Just(Feed::Headstock), Just(Feed::Tailstock)];
    prop_oneof![
        4 => (feed, 1e-6..0.06_f64).prop_map(|(toward, travel)| Move::Carriage { toward, travel }),
        3 => (across(), 1e-6..4e-3_f64).prop_map(|(toward, by)| Move::Dial { toward, by }),
        1 => (across(), 1e-6..4e-3_f64).prop_map(|(toward, by)| Move::TopSlide { toward, by }),
        2 => (across(), prop_oneof![
            Just(Push::ToFace),
            (1.0..900.0_f64).prop_map(Push::With),
            (1e-6..2e-3_f64).prop_map(Push::By),
        ]).prop_map(|(toward, push)| Move::Bump { toward, push }),
        1 => prop::sample::select(vec![
            Move::ZeroReadout,
            Move::ZeroDial,
            Move::Couple,
            Move::Uncouple,
            Move::SlideLock { locked: true },
            Move::SlideLock { locked: false },
            Move::ShoeLock { locked: false },
            Move::Foot { clamped: true },
            Move::Foot { clamped: false },
            Move::CrossFeed { engaged: false },
            Move::TopSlideLock { locked: false },
        ]),
        1 => (1e4..8e5_f64).prop_map(|pressure| Move::AirOn { pressure }),
        1 => Just(Move::AirOff),
    ]
}

fn any_script() -> impl Strategy<Value = Script> {
    (
        prop::collection::vec(any_move(), 1..30),
        any::<bool>(),
        any::<bool>(),
        0.01..0.25_f64,
        (0.0..2e-3_f64, 0.0..2e-3_f64),
        (1.0..300.0_f64, 1.0..2.0_f64),
        across(),
    )
        .prop_map(
            |(moves, plain, flipped, taper, (slack, foot), (drag, start), toward)| {
                let mut script = read(&head("", &["zero dial"]));
                script.taper = Taper::from_si(taper);
                if plain {
                    script.lathe.attachment.kind = AttachmentKind::Plain;
                }
                if flipped {
                    script.big_end = End::Headstock;
                }
                let attachment = &mut script.lathe.attachment;
                attachment.total_slack = Some(Known::given(Length::from_si(slack)));
                attachment.foot_slack = Known::given(Length::from_si(foot));
                script.lathe.slide.drag = Known::given(Quantity::from_si(drag));
                script.lathe.slide.breakaway = Known::given(Quantity::from_si(start));
                script.cylinder = Some(Cylinder {
                    bore: Length::from_si(0.027),
                    rod: Length::from_si(0.0),
                    toward,
                    seal_share: 0.15,
                });
                script.moves = moves
                    .into_iter()
                    .enumerate()
                    .map(|(index, action)| Spoken {
                        action,
                        words: String::new(),
                        span: 0..0,
                        line: index,
                    })
                    .collect();
                script
            },
        )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn any_moves_leave_finite_numbers_and_a_slide_that_moves_only_when_driven(
        script in any_script()
    ) {
        let made = rehearse(&script);
        prop_assert_eq!(&made, &rehearse(&script));
        prop_assert_eq!(made.steps.len() + usize::from(made.broken.is_some()), {
            let all = script.moves.len();
            made.broken.as_ref().map_or(all, |broken| broken.number)
        });
        let mut seal = 0.0;
        let mut locked = false;
        let mut before = made.start.clone();
        let slide = &script.lathe.slide;
        for step in &made.steps {
            let s = &step.stand;
            let numbers = [
                s.carriage, s.bar, s.slide, s.tool, s.dial, s.readout, s.drive, s.air, s.float.0,
                s.float.1, s.guide_room.0, s.guide_room.1, step.slide_moved, step.tool_moved,
            ];
            prop_assert!(numbers.iter().all(|n| n.is_finite()), "{:?}", step);
            prop_assert!(s.guide_room.0 >= -1e-12 && s.guide_room.1 >= -1e-12);
            prop_assert!(s.bar.abs() <= 0.5 * script.lathe.attachment.foot_slack.si() + 1e-12);
            if let Some(lost) = step.lost {
                prop_assert!(lost.stood_still >= lost.at_foot && lost.short >= 0.0);
            }
            match step.action {
                Move::SlideLock { locked: to } => locked = to,
                Move::AirOn { .. } => seal = 0.15 * s.air.abs(),
                Move::AirOff => seal = 0.0,
                _ => {}
            }
            let limit = slide.drag.si() + seal;
            let starts = limit * slide.breakaway.si();
            let net = s.drive + s.air;
            if locked {
                prop_assert_eq!(s.slide, before.slide, "{:?}", step);
            } else {
                // At rest within what starts it, and it has only moved where it was driven past
                // that, to end at what keeps it moving.
                prop_assert!(net.abs() <= starts * (1.0 + 1e-6), "{} {} {:?}", net, starts, step);
                let driven = matches!(step.action, Move::Carriage { .. } | Move::Dial { .. });
                if driven && step.slide_moved != 0.0 {
                    prop_assert!(
                        (net.abs() - limit).abs() <= 1e-6 * limit.max(1.0),
                        "{} {} {:?}", net, limit, step
                    );
                    prop_assert!(net * step.slide_moved > 0.0);
                }
            }
            before = s.clone();
        }
    }

    #[test]
    fn mirrored_moves_make_mirrored_motion(script in any_script()) {
        // Swinging the guide the other way and turning every move across the bed about mirrors
        // the slide, the screw's springs aside, which are made alike here.
        let mut script = script;
        let attachment = &mut script.lathe.attachment;
        attachment.screw_push_share = Known::given(Quantity::from_si(1.0));
        let turned = |toward| match toward {
            Toward::Operator => Toward::Away,
            Toward::Away => Toward::Operator,
        };
        // Deep in the middle, so that both ends of the slide are as far.
        script.room_operator = 0.5 * script.lathe.slide.travel.si();
        let mut mirror = script.clone();
        mirror.big_end = match script.big_end {
            End::Headstock => End::Tailstock,
            End::Tailstock => End::Headstock,
        };
        for spoken in &mut mirror.moves {
            match &mut spoken.action {
                Move::Dial { toward, .. }
                | Move::TopSlide { toward, .. }
                | Move::Bump { toward, .. } => *toward = turned(*toward),
                _ => {}
            }
        }
        if let Some(cylinder) = &mut mirror.cylinder {
            cylinder.toward = turned(cylinder.toward);
        }
        let (one, other) = (rehearse(&script), rehearse(&mirror));
        prop_assert_eq!(one.steps.len(), other.steps.len());
        for (a, b) in one.steps.iter().zip(&other.steps) {
            prop_assert!((a.stand.slide + b.stand.slide).abs() < 1e-12, "{:?}\n{:?}", a, b);
            prop_assert!((a.stand.drive + b.stand.drive).abs() < 1e-6);
        }
    }
}
