//! The surface held against its definition, arc by arc and place by place, and eight surfaces
//! against one each.

use proptest::prelude::*;

use super::*;
use crate::cutting::EdgeShape;

/// All at one height.
fn even<L: Layout>(nodes: usize, meridians: usize, spacing: f64, height: f64) -> Surface<L> {
    let mut surface = Surface::default();
    let length = spacing * (nodes - 1) as f64;
    let round = std::iter::repeat_n(L::splat(height), meridians);
    surface.begin(length, 1.0001 * spacing, round, None);
    surface.lay_even(L::zero());
    assert_eq!(surface.nodes, nodes);
    surface
}

/// A path of these heights, step by step.
fn path<L: Layout>(heights: &[L], start: f64, direction: f64, marks: &Marks) -> Path<L> {
    let mut path = Path::default();
    path.begin(start, direction, marks);
    for turn in heights.chunks(marks.per_turn) {
        let blocks = (0..L::blocks(turn.len())).map(|block| L::block(turn, block));
        path.add_turn(turn.len(), blocks);
    }
    path
}

/// Room with what a longer pass left.
fn used<L: Layout>(steps: usize) -> Envelope<L> {
    Envelope {
        left: vec![L::splat(1.0); 4 * steps],
        rough: vec![true; steps],
    }
}

fn one(surface: &Surface<Eight>, lane: usize) -> Surface {
    Surface {
        heights: surface
            .heights
            .iter()
            .map(|all| all.extract(lane))
            .collect(),
        nodes: surface.nodes,
        spacing: surface.spacing,
        meridians: surface.meridians,
        on_metal: surface.on_metal.clone(),
    }
}

/// Heights of eight paths: one rougher than the other, here and there nothing cut.
fn heights(count: usize, steps: &[(f64, u8)], rough: f64) -> Vec<Eight> {
    let mut heights = [0.0; Eight::LANES];
    (0..count)
        .map(|i| {
            let here: [f64; Eight::LANES] = std::array::from_fn(|lane| {
                let (by, kind) = steps[i * Eight::LANES + lane];
                let rough = rough * lane as f64 / (Eight::LANES - 1) as f64;
                heights[lane] += if kind == 0 { rough * by } else { 1e-8 * by };
                if kind == 1 {
                    f64::NEG_INFINITY
                } else {
                    heights[lane]
                }
            });
            Eight::from(here)
        })
        .collect()
}

proptest! {
    /// The definition, arc by arc, is the reference: calm stretches may be passed over.
    #[test]
    fn what_turns_leave_is_the_deepest_arc_at_their_place(
        (per_turn, turns) in (1usize..9, 1usize..40),
        steps in prop::collection::vec((-1.0..1.0, 0u8..20), 360),
        (rough, feed, nose) in (0.0..30e-6, 0.05e-3..0.3e-3, 0.4e-3..1.6e-3),
        missing in 0usize..9,
    ) {
        let shape = EdgeShape::new(nose, 1.6, feed);
        let count = (per_turn * turns).saturating_sub(missing).max(1);
        let mut height = 0.0;
        let heights: Vec<f64> = steps[..count.min(360)]
            .iter()
            .map(|&(by, kind)| {
                // Mostly calm, now and then a jump, and here and there nothing cut.
                height += match kind { 0 => rough * by, _ => 1e-8 * by };
                if kind == 1 { f64::NEG_INFINITY } else { height }
            })
            .collect();
        let marks = Marks::new(&shape, per_turn);
        let (mark, rise) = (marks.mean, marks.rise);
        let mut envelope = used(heights.len());
        envelope.find(&path(&heights, 0.0, 1.0, &marks), &marks);
        for i in 0..heights.len() {
            let found = if envelope.rough[i / per_turn] {
                envelope.left[i]
            } else {
                heights[i] - mark
            };
            let mut deepest = heights[i] - mark;
            for (n, rise) in rise.iter().enumerate().skip(1) {
                let after = heights.get(i + n * per_turn);
                let before = i.checked_sub(n * per_turn).map(|i| &heights[i]);
                for neighbour in [after, before].into_iter().flatten() {
                    deepest = deepest.max(neighbour - rise);
                }
            }
            prop_assert_eq!(found, deepest);
        }
    }

    /// Each by itself is the reference, calm or rough, to the last bit.
    #[test]
    fn a_pass_cuts_eight_surfaces_as_each_by_itself(
        (per_turn, turns, nodes) in (1usize..20, 1usize..20, 2usize..40),
        steps in prop::collection::vec((-1.0..1.0, 0u8..40), Eight::LANES * 20 * 20),
        (rough, feed, nose) in (0.0..30e-6, 0.05e-3..0.3e-3, 0.4e-3..1.6e-3),
        (start, toward, missing) in (-1e-3..1e-3, any::<bool>(), 0usize..9),
    ) {
        let shape = EdgeShape::new(nose, 1.6, feed);
        let count = (per_turn * turns).saturating_sub(missing).max(1);
        let heights = heights(count, &steps, rough);
        let spacing = 0.9 * feed;
        let direction = if toward { 1.0 } else { -1.0 };
        let start = start + if toward { 0.0 } else { spacing * (nodes - 1) as f64 };
        let marks = Marks::new(&shape, per_turn);
        let mut surfaces = even::<Eight>(nodes, per_turn, spacing, -20e-6);
        surfaces.cut(&path(&heights, start, direction, &marks), &marks, &mut used(count));
        for lane in 0..Eight::LANES {
            let heights: Vec<f64> = heights.iter().map(|all| all.extract(lane)).collect();
            let mut wanted = even::<f64>(nodes, per_turn, spacing, -20e-6);
            wanted.cut(&path(&heights, start, direction, &marks), &marks, &mut used(count));
            prop_assert_eq!(one(&surfaces, lane), wanted);
        }
    }

    /// The definition, place by place, is the reference; and eight are read as each by itself.
    #[test]
    fn a_turn_is_read_at_its_places(
        values in prop::collection::vec(-1.0..1.0, Eight::LANES * 20 * 20),
        (meridians, z, apart) in (1usize..20, -0.3e-3..2.5e-3, 0.0..0.4e-3),
        step in -0.06e-3..0.06e-3,
    ) {
        let (nodes, spacing) = (20, 0.11e-3);
        let mut surfaces = even::<Eight>(nodes, meridians, spacing, 0.0);
        let values = values.as_chunks::<{ Eight::LANES }>().0;
        for (height, eight) in surfaces.heights.iter_mut().zip(values) {
            *height = Eight::from_arr(*eight);
        }
        let places: [f64; Eight::LANES] = std::array::from_fn(|lane| z + apart * lane as f64);
        let mut found = Vec::new();
        surfaces.along_turn(Eight::from(places), step, |_, surface| found.push(surface));
        for (lane, place) in places.into_iter().enumerate() {
            let one = one(&surfaces, lane);
            let mut alone = Vec::new();
            one.along_turn(place, step, |block, surface| {
                f64::append(&mut alone, surface, block, meridians);
            });
            for meridian in 0..meridians {
                let wanted = one.at(meridian, place + step * meridian as f64);
                prop_assert!((alone[meridian] - wanted).abs() < 1e-9);
                prop_assert_eq!(found[meridian].extract(lane).to_bits(), alone[meridian].to_bits());
            }
        }
    }
}
