//! Tables: columns as wide as what stands in them, rows that no page tears, headings said again.

use std::rc::Rc;

use tautway_words::{Align, Table, Words};

use crate::lines::{Bit, Line, Style, bits, set};
use crate::mark::{BLACK, GREY, MM, Mark, Strip};

/// Between two columns, in parts of the letters' size.
const GUTTER: f32 = 0.7;
/// Least width of a cell to write in.
const WRITTEN: f32 = 16.0 * MM;
/// Smallest letters that a wide table comes in, as a part of what they are.
const SMALLEST: f32 = 0.72;

/// The same of figures whose words need not be broken then.
const CLOSER: f32 = 0.9;

/// Where a table stands.
#[derive(Clone, Copy, Debug)]
pub struct Room {
    /// Size of the letters around it.
    pub size: f32,
    /// Width there is.
    pub wide: f32,
    /// Height of a cell to write in.
    pub written: f32,
    /// Above and below the words of a row.
    pub air: f32,
    /// Part of the width that a cell to write in takes, where there is room.
    pub share: f32,
}

/// A table as strips, one a row, no row before the last alone.
pub fn table(table: &Table, room: Room) -> Vec<Strip> {
    let mut set = Set::new(table, room, (0..table.columns()).collect());
    let mut size = room.size;
    // Figures come a little smaller before the words beside them are broken.
    while set.is("numbers") && set.natural() > room.wide && size > CLOSER * room.size {
        size *= 0.98;
        set = Set::new(table, Room { size, ..room }, set.columns);
    }
    while set.least() > room.wide && size > SMALLEST * room.size {
        size *= 0.97;
        set = Set::new(table, Room { size, ..room }, set.columns);
    }
    if set.least() <= room.wide || set.columns.len() < 3 {
        return set.strips();
    }
    // Still too wide: some columns, then the others, each part with the first.
    let mut strips = Vec::new();
    let mut left: Vec<usize> = set.columns[1..].to_vec();
    while !left.is_empty() {
        let room = Room { size, ..room };
        let mut fits = 1;
        let part = |count: usize| {
            let columns = std::iter::once(0).chain(left[..count].iter().copied());
            Set::new(table, room, columns.collect())
        };
        while fits < left.len() && part(fits + 1).least() <= room.wide {
            fits += 1;
        }
        let mut rows = part(fits).strips();
        if let Some(first) = rows.first_mut() {
            first.before = 0.8 * size;
        }
        strips.append(&mut rows);
        left.drain(..fits);
    }
    strips
}

/// Some columns of a table in letters of one size.
struct Set<'a> {
    table: &'a Table,
    room: Room,
    columns: Vec<usize>,
}

impl<'a> Set<'a> {
    fn new(table: &'a Table, room: Room, columns: Vec<usize>) -> Self {
        Self {
            table,
            room,
            columns,
        }
    }

    fn is(&self, class: &str) -> bool {
        self.table.class.split(' ').any(|one| one == class)
    }

    fn style(&self, column: usize, heads: bool) -> Style {
        let size = self.room.size;
        if heads {
            return Style {
                leading: 1.15,
                ..Style::bold(size)
            };
        }
        if self.is("numbers") && self.table.side(column) == Align::Right {
            return Style::bold(1.08 * size);
        }
        Style::plain(size)
    }

    fn side(&self, column: usize, cell: Option<&Words>) -> Align {
        // Sentences in a column of figures begin where words do.
        let words = !self.is("numbers")
            && cell.is_some_and(|cell| cell.bare().starts_with(char::is_alphabetic));
        if self.table.align.is_empty() || words {
            Align::Left
        } else {
            self.table.side(column)
        }
    }

    fn gutters(&self) -> f32 {
        GUTTER * self.room.size * (self.columns.len().saturating_sub(1)) as f32
    }

    /// Least and natural width of a column.
    fn widths(&self, column: usize) -> (f32, f32) {
        let mut least: f32 = 0.0;
        let mut natural: f32 = 0.0;
        for cell in self.table.rows.iter().filter_map(|row| row.get(column)) {
            if cell.is_blank() {
                least = least.max(WRITTEN.min(0.2 * self.room.wide));
                natural = natural.max(self.room.share * self.room.wide);
                continue;
            }
            let style = self.style(column, false);
            let (word, all) = extent(cell, style);
            natural = natural.max(all);
            // Figures are not broken.
            let figures = self.side(column, Some(cell)) == Align::Right;
            least = least.max(if figures { all } else { word });
        }
        if let Some(head) = self.table.head.get(column) {
            let (word, all) = extent(head, self.style(column, true));
            least = least.max(word);
            natural = natural.max(all.min(least.max(natural).max(0.5 * all)));
        }
        (least, natural.max(least))
    }

    /// The least that all columns take together.
    fn least(&self) -> f32 {
        let least = self.columns.iter().map(|&column| self.widths(column).0);
        least.sum::<f32>() + self.gutters()
    }

    /// What they take together with nothing broken.
    fn natural(&self) -> f32 {
        let natural = self.columns.iter().map(|&column| self.widths(column).1);
        natural.sum::<f32>() + self.gutters()
    }

    /// Width of each column: of sentences as the sheet has them, else what each wants, the rest
    /// shared where the table goes from edge to edge.
    fn shared(&self) -> Vec<f32> {
        let room = self.room.wide - self.gutters();
        if self.is("words") && self.columns.len() == 3 {
            return [0.29, 0.30, 0.41].map(|part| part * room).to_vec();
        }
        let widths: Vec<_> = self.columns.iter().map(|&c| self.widths(c)).collect();
        let natural: f32 = widths.iter().map(|(_, natural)| natural).sum();
        if natural <= room {
            let wide = self.table.align.is_empty() || self.is("numbers");
            let more = if wide { room / natural.max(1.0) } else { 1.0 };
            return widths.iter().map(|(_, natural)| natural * more).collect();
        }
        rationed(&widths, room)
    }

    fn strips(&self) -> Vec<Strip> {
        let widths = self.shared();
        let mut strips = Vec::new();
        let head = (!self.table.head.is_empty()).then(|| {
            let mut head = self.row(&self.table.head, &widths, true);
            head.keep = true;
            Rc::new(head)
        });
        strips.extend(head.as_deref().cloned());
        let rows = self.table.rows.len();
        for (at, row) in self.table.rows.iter().enumerate() {
            let mut strip = self.row(row, &widths, false);
            // Neither the first row nor the last stands by itself.
            strip.keep = rows > 2 && (at == 0 || at + 2 == rows);
            strip.again = head.clone().filter(|_| at > 0);
            strips.push(strip);
        }
        strips
    }

    fn row(&self, cells: &[Words], widths: &[f32], heads: bool) -> Strip {
        let air = self.room.air;
        let mut strip = Strip::default();
        let mut all: Vec<(f32, f32, Align, Vec<Line>, f32)> = Vec::new();
        let mut x = 0.0;
        let mut high: f32 = 0.0;
        for (&column, &wide) in self.columns.iter().zip(widths) {
            let style = self.style(column, heads);
            if let Some(cell) = cells.get(column) {
                if cell.is_blank() && !heads {
                    high = high.max(self.room.written);
                    strip.marks.push(Mark::Box {
                        at: (x, 0.0),
                        size: (wide, 0.0),
                        fill: None,
                        edge: Some((1.0, BLACK)),
                    });
                } else {
                    let lines = set(&bits(cell, style), style, 0.0, wide + 0.02);
                    high = high.max(lines.len() as f32 * style.line() + 2.0 * air);
                    let side = match heads || lines.len() < 2 {
                        true => self.side(column, None),
                        false => self.side(column, Some(cell)),
                    };
                    all.push((x, wide, side, lines, style.line()));
                }
            }
            x += wide + GUTTER * self.room.size;
        }
        for mark in &mut strip.marks {
            if let Mark::Box { size, .. } = mark {
                size.1 = high;
            }
        }
        let written = !strip.marks.is_empty();
        for (x, wide, side, lines, line) in all {
            let deep = lines.len() as f32 * line;
            let mut y = match (heads, written || self.is("numbers")) {
                (true, _) => high - air - deep,
                (false, true) => (high - deep) / 2.0,
                (false, false) => air,
            };
            for each in lines {
                let left = match side {
                    Align::Left => x,
                    Align::Right => x + (wide - each.wide).max(0.0),
                };
                let part = Strip {
                    marks: each.marks,
                    ..Strip::default()
                };
                strip.marks.extend(part.shifted((left, y)));
                y += line;
            }
        }
        let right = x - GUTTER * self.room.size;
        strip.marks.push(Mark::Line {
            from: (0.0, high),
            to: (right, high),
            width: if heads { 1.0 } else { 0.5 },
            colour: if heads { BLACK } else { GREY },
        });
        strip.high = high;
        strip
    }
}

/// What there is in equal parts, but to a column no more than it wants and no less than it needs.
fn rationed(widths: &[(f32, f32)], room: f32) -> Vec<f32> {
    let mut given: Vec<Option<f32>> = vec![None; widths.len()];
    loop {
        let open = given.iter().filter(|given| given.is_none()).count();
        let left = room - given.iter().flatten().sum::<f32>();
        let fair = left / open.max(1) as f32;
        // Those that need more come first: they take from all the others.
        let needs = |&(least, _): &(f32, f32)| (least > fair).then_some(least);
        let wants = |&(_, natural): &(f32, f32)| (natural <= fair).then_some(natural);
        let mut settle = |of: &dyn Fn(&(f32, f32)) -> Option<f32>| {
            let mut some = false;
            for (given, width) in given.iter_mut().zip(widths) {
                if given.is_none()
                    && let Some(width) = of(width)
                {
                    *given = Some(width);
                    some = true;
                }
            }
            some
        };
        if !settle(&needs) && !settle(&wants) {
            return given.iter().map(|given| given.unwrap_or(fair)).collect();
        }
    }
}

/// Width of the widest word, and of all on one line.
fn extent(words: &Words, style: Style) -> (f32, f32) {
    let bits = bits(words, style);
    let widest = |lines: Vec<Line>| lines.iter().map(|line| line.wide).fold(0.0, f32::max);
    let all = widest(set(&bits, style, 0.0, f32::MAX));
    let each = bits.iter().map(|bit| match bit {
        Bit::Letters(letters, face) => letters
            .split(' ')
            .map(|word| face.width(word, style.size))
            .fold(0.0, f32::max),
        Bit::Blank(wide) => *wide,
        Bit::Tick => style.size,
    });
    (each.fold(0.0, f32::max), all)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_wide_column_gives_way_to_those_that_want_little() {
        let widths = [(20.0, 60.0), (30.0, 900.0), (30.0, 40.0)];
        assert_eq!(rationed(&widths, 300.0), [60.0, 200.0, 40.0]);
        let tight = [(20.0, 60.0), (150.0, 900.0), (30.0, 100.0)];
        assert_eq!(rationed(&tight, 250.0), [50.0, 150.0, 50.0]);
    }

    #[test]
    fn a_table_wider_than_its_room_comes_in_parts_that_each_name_their_rows() {
        let mut wide = Table::new((0..30).map(|column| format!("column{column}")));
        wide = wide.words_in(&[0]);
        wide.row((0..30).map(|column| format!("{column}.123456")));
        let room = Room {
            size: 9.0,
            wide: 400.0,
            written: 18.0,
            air: 1.0,
            share: 0.2,
        };
        let strips = table(&wide, room);
        let said: Vec<String> = strips
            .iter()
            .flat_map(|strip| &strip.marks)
            .filter_map(|mark| match mark {
                Mark::Words { words, at, .. } => {
                    assert!(at.0 < 400.0, "{words} at {}", at.0);
                    Some(words.clone())
                }
                _ => None,
            })
            .collect();
        for column in 1..30 {
            let figure = format!("{column}.123456");
            assert_eq!(said.iter().filter(|words| **words == figure).count(), 1);
        }
        assert!(said.iter().filter(|words| *words == "0.123456").count() > 1);
    }
}
