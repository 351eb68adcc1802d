//! The hard and soft patches of several pieces, each a lane, read along the helix of the feed.

use crate::lanes::Lanes;
use crate::unevenness::Patches;

use super::steps::Line;
use super::{ABREAST, Each};

/// Number of no row.
const NO_ROW: f64 = -1.0;

/// What lies between two rows of each field, line by line: patches are many turns long, so that it
/// stays for a while.
#[derive(Default)]
pub(super) struct Hardness {
    /// Of each line: the row before, its value, what the next adds.
    row: Vec<[f64; ABREAST]>,
    value: Vec<[f64; ABREAST]>,
    rise: Vec<[f64; ABREAST]>,
    /// Between which rows all lines of a lathe are; none if not all alike.
    between: [Option<usize>; ABREAST],
}

impl Hardness {
    /// For another pass, with so many lines.
    pub(super) fn begin(&mut self, lines: usize) {
        for values in [&mut self.row, &mut self.value, &mut self.rise] {
            values.clear();
            values.resize(lines, [NO_ROW; ABREAST]);
        }
        self.between = [None; ABREAST];
    }

    /// Hardness over the table's on every line in turn, the first at `z` (m), each `step` further
    /// on than the last.
    pub(super) fn along_turn(
        &mut self,
        fields: [&Patches; ABREAST],
        z: f64,
        step: f64,
        into: &mut [Line],
    ) {
        let lines = into.len();
        let on = |line: usize| z + step * f64::from(line as i32);
        for (lane, field) in fields.into_iter().enumerate() {
            let ends = [0, lines - 1].map(|line| field.row(on(line)));
            let between = Some(ends[0]).filter(|row| *row == ends[1]);
            if between.is_some() && between == self.between[lane] {
                continue;
            }
            self.between[lane] = between;
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
                    if self.row[line][lane] != at {
                        let (a, b) = field.between(line, row);
                        self.row[line][lane] = at;
                        self.value[line][lane] = a;
                        self.rise[line][lane] = b - a;
                    }
                }
                from = until;
            }
        }
        let per_metre = Each::from(fields.map(Patches::per_metre));
        let last = Each::from(fields.map(|field| (field.rows() - 1) as f64));
        let kept = self.row.iter().zip(&self.value).zip(&self.rise);
        let (mut line, one) = (Each::ZERO, Each::splat(1.0));
        for (into, ((&row, &value), &rise)) in into.iter_mut().zip(kept) {
            let [row, value, rise] = [row, value, rise].map(Each::from_arr);
            let place = Each::splat(step).times_plus(line, Each::splat(z)) * per_metre;
            let place = place.higher(Each::ZERO).lower(last);
            into.hardness = (place - row).times_plus(rise, one + value);
            line += one;
        }
    }
}
