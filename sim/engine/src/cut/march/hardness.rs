//! The hard and soft patches of the pieces, read along the helix of the feed.

use crate::lanes::{Eight, Lanes, Layout};
use crate::unevenness::HardnessField;

/// Number of no row.
const NO_ROW: f64 = -1.0;

/// What lies between two rows of each field, block by block: patches are many turns long, so that
/// it stays for a while.
#[derive(Default)]
pub(super) struct Hardness {
    /// The row before, its value, what the next adds.
    row: Vec<[f64; Eight::LANES]>,
    value: Vec<[f64; Eight::LANES]>,
    rise: Vec<[f64; Eight::LANES]>,
    /// Between which rows all lines of a piece are; none if not all alike.
    between: [Option<usize>; Eight::LANES],
}

impl Hardness {
    /// For another pass, with so many blocks a turn.
    pub(super) fn begin(&mut self, blocks: usize) {
        for (values, start) in [
            (&mut self.row, NO_ROW),
            (&mut self.value, 0.0),
            (&mut self.rise, 0.0),
        ] {
            values.clear();
            values.resize(blocks, [start; Eight::LANES]);
        }
        self.between = [None; Eight::LANES];
    }

    /// Hardness over the table's on every line in turn, block by block, the first at `z` (m), each
    /// `step` further on than the last.
    #[inline(always)]
    pub(super) fn along_turn<'f, L: Layout>(
        &mut self,
        field: impl Fn(usize) -> &'f HardnessField,
        lines: usize,
        z: f64,
        step: f64,
        mut into: impl FnMut(usize, Eight),
    ) {
        let on = |line: usize| z + step * f64::from(line as i32);
        for series in 0..L::LANES {
            let field = field(series);
            let ends = [0, lines - 1].map(|line| field.row(on(line)));
            let between = Some(ends[0]).filter(|row| *row == ends[1]);
            if between.is_some() && between == self.between[series] {
                continue;
            }
            self.between[series] = between;
            let mut from = 0;
            while from < lines {
                let row = field.row(on(from));
                let until = if ends[1] == row {
                    lines
                } else {
                    let another = |line: &usize| field.row(on(*line)) != row;
                    (from + 1..lines).find(another).unwrap_or(lines)
                };
                let at = f64::from(row as i32);
                for line in from..until {
                    let (block, lane) = (line / L::STEPS, L::lane(line, series));
                    if self.row[block][lane] != at {
                        let (a, b) = field.between(line, row);
                        self.row[block][lane] = at;
                        self.value[block][lane] = a;
                        self.rise[block][lane] = b - a;
                    }
                }
                from = until;
            }
        }
        let per_metre: Eight = L::gather(|series| field(series).per_metre()).across();
        let last: Eight = L::gather(|series| (field(series).rows() - 1) as f64).across();
        let kept = self.row.iter().zip(&self.value).zip(&self.rise);
        for (block, ((&row, &value), &rise)) in kept.enumerate() {
            let (row, value) = (Eight::from_arr(row), Eight::from_arr(value));
            let rise = Eight::from_arr(rise);
            let line = L::steps_of(block);
            let place = Eight::splat(step).times_plus(line, Eight::splat(z)) * per_metre;
            let place = place.higher(Eight::ZERO).lower(last);
            into(
                block,
                (place - row).times_plus(rise, Eight::splat(1.0) + value),
            );
        }
    }
}
