//! The expansion of the load held against the load itself.

use proptest::prelude::*;

use super::*;
use crate::cutting::EdgeShape;

proptest! {
    /// The load itself is the reference: as far as what is felt holds, about there too.
    #[test]
    fn what_is_felt_is_the_load_as_far_as_it_holds(
        (nose, entering, feed) in (0.4e-3..1.6e-3, 0.6..2.0, 0.03e-3..0.25e-3),
        (depth, deeper, hard) in (-16.0..-10.0, -0.2..1.0, 0.6..1.4),
        (x, y, harder) in (-1.0..1.0, -1.0..1.0, -1.0..1.0),
        (press, weight, friction) in (-1.0..1.0, 0.0..200.0, 0.05..0.2),
        (side, height_share, engaged) in (0.0..0.2, -0.05..0.05, 0.1..1.0),
    ) {
        let shape = EdgeShape::new(nose, entering, feed);
        let law = ForceLaw::new(1.7e9, 0.24, 0.5, 20e3, shape, 0.1);
        let drag = Drag {
            gib: 50.0,
            friction,
            weight,
            press,
            side,
            seal: 5.0,
            left_cutting: 0.5,
            breakaway: 1.3,
            change: 0.0,
        };
        let depth = f64::exp2(depth);
        let deepening = deeper * 0.2 * depth.min(feed);
        // The surface is what a turn ago left less the deepening.
        let cut = |depth: f64, deepening: f64, hardness: f64| Cut {
            law: &law,
            acting: Acting {
                drag: &drag,
                gives: 1e-8,
                local_drag: 1.1,
                preload: 100.0,
                rate: 1e3,
                height_share,
                eased: true,
            },
            surface: -depth,
            turn_ago: -deepening,
            hardness,
            engaged,
        };
        let there = cut(depth, deepening, hard);
        let felt = there.felt_near(0.0, &mut ForceTable::new(&law), true);
        if felt.reach[0] < 0.0 || felt.reach[1] < 0.0 {
            return Ok(());
        }
        let here = cut(
            depth + x * felt.reach[0],
            deepening + y * felt.reach[1],
            hard + harder * HARDER,
        );
        if !here.is_valid_at(0.0, &felt) || here.surface > here.turn_ago {
            return Ok(());
        }
        let (found, exact) = (here.quadratic_at(0.0, &felt).at(0.0), here.reaction(0.0));
        let force = here.force(0.0);
        let scale = force.main.abs().max(force.push_off.abs());
        let off = [found.push - exact.push, found.limit - exact.limit];
        for off in off {
            prop_assert!(off.abs() <= 1e-4 * scale, "{off} of {scale}");
        }
    }

    /// A tool stands where its slide is, less what it gives way, wherever it was looked for first:
    /// one that is pushed off, and one that hooks in and stands deeper than its slide.
    #[test]
    fn a_tool_stands_at_its_slide_less_what_it_gives_way_pushed_off_or_hooking(
        (ratio, gives) in (-0.25..0.6, 1e-9..6e-8),
        (depth, guess) in (0.02e-3..1e-3_f64, -1.5..1.5),
    ) {
        let shape = EdgeShape::new(0.8e-3, 1.6, 0.127e-3);
        let law = ForceLaw::new(7e8, 0.25, ratio, 20e3, shape, 0.1);
        let drag = Drag {
            gib: 50.0,
            friction: 0.1,
            weight: 100.0,
            press: 1.0,
            side: 0.1,
            seal: 0.0,
            left_cutting: 0.5,
            breakaway: 1.3,
            change: 0.0,
        };
        let cut = Cut {
            law: &law,
            acting: Acting {
                drag: &drag,
                gives,
                local_drag: 1.0,
                preload: 0.0,
                rate: 0.0,
                height_share: 0.0,
                eased: true,
            },
            surface: -depth,
            turn_ago: 0.0,
            hardness: 1.0,
            engaged: 1.0,
        };
        let (e, there) = cut.stand(0.0, guess * depth);
        prop_assert!(there.position.abs() <= 1e-12, "off by {:e}", there.position);
        let push_off = cut.force(e).push_off;
        prop_assert!((e + gives * push_off).abs() <= 1e-12, "{e:e}, {push_off} N");
        prop_assert!(ratio > -0.2 || depth < 0.5e-3 || e > 0.0, "hooks in to {e:e}");
    }
}
