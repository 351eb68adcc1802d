//! Strips put on pages, in one column or two.

use crate::mark::{MM, Mark, Place, Strip, height};

/// What one page has on it.
pub type Page = Vec<Mark>;

/// The part of the paper that is printed on.
#[derive(Clone, Copy, Debug)]
pub struct Frame {
    /// Width and height of the paper.
    pub paper: Place,
    /// Its upper left corner.
    pub at: Place,
    /// Width and height.
    pub size: Place,
}

impl Frame {
    /// Paper and margins in mm: at the sides, above, below.
    pub fn new((wide, high): (f64, f64), [sides, above, below]: [f32; 3]) -> Self {
        let (wide, high) = (wide as f32, high as f32);
        Self {
            paper: (wide * MM, high * MM),
            at: (sides * MM, above * MM),
            size: ((wide - 2.0 * sides) * MM, (high - above - below) * MM),
        }
    }
}

/// Strips in columns of one width.
pub struct Section {
    /// Side by side.
    pub columns: usize,
    /// From the left of one to that of the next.
    pub apart: f32,
    /// Room above it.
    pub before: f32,
    /// What stands in them.
    pub strips: Vec<Strip>,
}

/// Draws what stands between two columns.
pub trait Between {
    /// From the top of the columns to their end, in the middle between both.
    fn rule(&self, x: f32, from: f32, to: f32) -> Option<Mark>;
}

/// Puts sections on as many pages as they take.
pub fn flow(sections: &[Section], frame: &Frame, between: &impl Between) -> Vec<Page> {
    let mut pages = vec![Page::new()];
    let mut y = 0.0;
    let deep = frame.size.1;
    for section in sections {
        let mut strips = section.strips.as_slice();
        let room = if y > 0.0 { section.before } else { 0.0 };
        y += room;
        while !strips.is_empty() {
            let starts = strips.first().is_some_and(|strip| strip.new_page);
            // Columns that hold next to nothing are begun on a page of their own.
            let cramped = section.columns > 1 && deep - y < 0.12 * deep;
            if y > room && (starts || cramped) || y > deep {
                pages.push(Page::new());
                y = 0.0;
            }
            let split = split(strips, section.columns, deep - y, y <= 0.0);
            if split.iter().all(|&count| count == 0) {
                pages.push(Page::new());
                y = 0.0;
                continue;
            }
            let page = pages.len() - 1;
            let mut lowest = y;
            for (column, &count) in split.iter().enumerate() {
                let (these, rest) = strips.split_at(count);
                strips = rest;
                let left = frame.at.0 + column as f32 * section.apart;
                let top = frame.at.1 + y;
                let ends = put(&mut pages[page], these, (left, top), column > 0 || y <= 0.0);
                lowest = lowest.max(y + ends);
            }
            if section.columns > 1
                && split[1..].iter().any(|&count| count > 0)
                && let Some(rule) = between.rule(
                    frame.at.0 + section.apart,
                    frame.at.1 + y,
                    frame.at.1 + lowest,
                )
            {
                pages[page].push(rule);
            }
            y = lowest;
            if !strips.is_empty() {
                pages.push(Page::new());
                y = 0.0;
            }
        }
    }
    if pages.last().is_some_and(Vec::is_empty) && pages.len() > 1 {
        pages.pop();
    }
    pages
}

/// Puts strips one below the other, and says how far down they go.
fn put(page: &mut Page, strips: &[Strip], (left, top): Place, fresh: bool) -> f32 {
    let mut y = 0.0;
    for (at, strip) in strips.iter().enumerate() {
        if at > 0 || !fresh {
            y += strip.before;
        }
        if let (0, true, Some(head)) = (at, fresh, &strip.again) {
            page.extend(head.shifted((left, top + y)));
            y += head.high;
        }
        page.extend(strip.shifted((left, top + y)));
        y += strip.high;
    }
    y
}

/// How deep strips go that begin a column.
fn depth(strips: &[Strip], fresh: bool) -> f32 {
    let Some(first) = strips.first() else {
        return 0.0;
    };
    let head = first.again.as_ref().filter(|_| fresh);
    let before = if fresh { 0.0 } else { first.before };
    before + head.map_or(0.0, |head| head.high) + height(strips)
}

/// Whether a column may end before this strip.
fn may_end(strips: &[Strip], count: usize) -> bool {
    count == 0 || count == strips.len() || !strips[count - 1].keep
}

/// How many strips go into each column: as even as they come where all fit, else as many as there is
/// room for.
fn split(strips: &[Strip], columns: usize, room: f32, fresh: bool) -> Vec<usize> {
    let begun = strips.iter().skip(1).position(|strip| strip.new_page);
    let strips = &strips[..begun.map_or(strips.len(), |at| at + 1)];
    if columns == 2 {
        let deepest = |count: usize| {
            let (first, second) = strips.split_at(count);
            depth(first, fresh).max(depth(second, true))
        };
        let even = (0..=strips.len())
            .filter(|&count| may_end(strips, count))
            .min_by(|&a, &b| deepest(a).total_cmp(&deepest(b)));
        if let Some(count) = even.filter(|&count| deepest(count) <= room) {
            return vec![count, strips.len() - count];
        }
    }
    let mut left = strips;
    let mut counts = Vec::new();
    for column in 0..columns {
        let fresh = fresh || column > 0;
        let count = match counts.first() {
            Some(0) => 0,
            _ => most(left, room, fresh),
        };
        counts.push(count);
        left = &left[count..];
    }
    counts
}

/// As many strips as fit into a column. One that fits nowhere is put where a page begins.
fn most(strips: &[Strip], room: f32, fresh: bool) -> usize {
    let fits = |count: &usize| depth(&strips[..*count], fresh) <= room + 0.01;
    let all = (0..=strips.len()).take_while(fits).last().unwrap_or(0);
    let ends = (0..=all).rev().find(|&count| may_end(strips, count));
    match ends.unwrap_or(0) {
        // Kept together they are longer than a page: torn after all.
        0 if fresh => all.max(1).min(strips.len()),
        count => count,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    struct Nothing;

    impl Between for Nothing {
        fn rule(&self, _: f32, _: f32, _: f32) -> Option<Mark> {
            None
        }
    }

    fn strips(heights: &[(f32, bool)]) -> Vec<Strip> {
        let of = |&(high, keep): &(f32, bool)| Strip {
            high,
            keep,
            before: 1.0,
            marks: vec![Mark::Picture {
                number: 0,
                at: (0.0, 0.0),
                wide: high,
            }],
            ..Strip::default()
        };
        heights.iter().map(of).collect()
    }

    fn flowed(strips: Vec<Strip>, columns: usize) -> Vec<Vec<f32>> {
        let frame = Frame {
            paper: (100.0, 120.0),
            at: (10.0, 10.0),
            size: (80.0, 100.0),
        };
        let section = Section {
            columns,
            apart: 40.0,
            before: 0.0,
            strips,
        };
        let pages = flow(&[section], &frame, &Nothing);
        let wide = |mark: &Mark| match mark {
            Mark::Picture { wide, at, .. } => {
                assert!(at.1 + wide <= 110.1, "below the page: {at:?} {wide}");
                *wide
            }
            _ => 0.0,
        };
        pages
            .iter()
            .map(|page| page.iter().map(wide).collect())
            .collect()
    }

    #[test]
    fn what_belongs_together_goes_to_the_next_page_together() {
        let heading = [(60.0, false), (10.0, true), (40.0, false)];
        assert_eq!(flowed(strips(&heading), 1), [vec![60.0], vec![10.0, 40.0]]);
        let loose = [(60.0, false), (10.0, false), (40.0, false)];
        assert_eq!(flowed(strips(&loose), 1), [vec![60.0, 10.0], vec![40.0]]);
    }

    #[test]
    fn more_than_a_page_that_wants_to_stay_together_is_torn_and_nothing_lost() {
        let long = vec![(30.0, true); 7];
        let pages = flowed(strips(&long), 1);
        assert_eq!(pages.iter().map(Vec::len).collect::<Vec<_>>(), [3, 3, 1]);
    }

    #[test]
    fn two_columns_are_even_and_then_go_on_the_next_page() {
        let six = [(30.0, false); 6];
        assert_eq!(flowed(strips(&six), 2).len(), 1);
        let eight = [(30.0, false); 8];
        let pages = flowed(strips(&eight), 2);
        assert_eq!(pages.iter().map(Vec::len).collect::<Vec<_>>(), [6, 2]);
    }

    #[test]
    fn a_table_says_its_headings_again_and_a_page_begins_where_it_is_told_to() {
        let mut rows = strips(&[(60.0, false), (45.0, false)]);
        let head = strips(&[(9.0, true)]).remove(0);
        rows[1].again = Some(std::rc::Rc::new(head));
        assert_eq!(flowed(rows, 1), [vec![60.0], vec![9.0, 45.0]]);
        let mut told = strips(&[(10.0, false), (10.0, false)]);
        told[1].new_page = true;
        assert_eq!(flowed(told, 1), [vec![10.0], vec![10.0]]);
    }
}
