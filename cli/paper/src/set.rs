//! Blocks set as strips: what the setup sheet looks like, and what pages that follow one another do.

use std::cell::Cell;

use tautway_words::{Block, Facts, Group, Layout, Mark as Before, Paragraph, Role};

use crate::boxes;
use crate::lines::Style;
use crate::mark::{GREY, MM, Mark, RED, Strip, beside};
use crate::pages::{Between, Frame, Section};
use crate::parts::{Look, Parts, labelled, level};
use crate::picture::Pictures;
use crate::table::{Room, table};

/// Part of the page's height that a figure takes at most.
const HIGHEST: f32 = 0.48;
/// But no narrower than this part of what there is, for its letters.
const NARROWEST: f32 = 0.66;
/// Drawings stand side by side in no less, points.
const ABREAST: f32 = 400.0;
/// Drawings up to this part of their column stand beside their words.
const BESIDE: f32 = 0.62;

/// Sets blocks.
pub struct Setter<'a> {
    parts: Parts,
    /// Size of the letters.
    em: f32,
    /// Width of a sheet's drawing as a part of its column.
    drawing: f32,
    pictures: &'a Pictures,
    frame: &'a Frame,
    /// Whether the next strip begins a page.
    breaks: Cell<bool>,
}

impl Between for Setter<'_> {
    fn rule(&self, x: f32, from: f32, to: f32) -> Option<Mark> {
        let x = x - self.gap() / 2.0;
        Some(Mark::Line {
            from: (x, from),
            to: (x, to),
            width: 0.5,
            colour: GREY,
        })
    }
}

impl<'a> Setter<'a> {
    /// With letters of a size in points, and a drawing so wide.
    pub fn new(
        look: Look,
        em: f32,
        drawing: f32,
        pictures: &'a Pictures,
        frame: &'a Frame,
    ) -> Self {
        Self {
            parts: Parts { look, em },
            em,
            drawing,
            pictures,
            frame,
            breaks: Cell::new(false),
        }
    }

    fn gap(&self) -> f32 {
        if self.parts.sheet() {
            4.0 * MM
        } else {
            8.0 * MM
        }
    }

    /// The blocks in their columns.
    pub fn sections(&self, blocks: &[Block]) -> Vec<Section> {
        let wide = self.frame.size.0;
        let half = (wide - self.gap()) / 2.0;
        let mut sections = Vec::new();
        let mut columns = |columns: usize, strips: Vec<Strip>| {
            if !strips.is_empty() {
                sections.push(Section {
                    columns,
                    apart: half + self.gap(),
                    before: self.parts.ems(0.35, 0.6),
                    strips,
                });
            }
        };
        let mut plain = Vec::new();
        for block in blocks {
            match block {
                Block::Group(group) if group.layout == Layout::Columns => {
                    columns(1, std::mem::take(&mut plain));
                    columns(2, self.blocks(&group.blocks, half, 1));
                }
                block => plain.extend(self.blocks(std::slice::from_ref(block), wide, 0)),
            }
        }
        columns(1, plain);
        sections
    }

    /// Blocks one after the other; `depth` groups are around them.
    fn blocks(&self, blocks: &[Block], wide: f32, depth: usize) -> Vec<Strip> {
        let mut strips: Vec<Strip> = Vec::new();
        let mut left = blocks;
        while let Some(first) = left.first() {
            let ticks: Vec<_> = left.iter().map_while(ticked).collect();
            let mut set = if !self.parts.sheet() && ticks.len() > 3 {
                left = &left[ticks.len()..];
                let plain = Style::plain(self.em);
                let of: Vec<_> = ticks.iter().map(|one| labelled(one, plain)).collect();
                vec![Strip {
                    before: self.em * 0.4,
                    ..boxes::ticks(&of, self.em, wide)
                }]
            } else {
                left = &left[1..];
                self.block(first, wide, depth)
            };
            // Figures are not torn from the sentence that they are of.
            if let (Block::Facts(_), Some(before)) = (first, strips.last_mut()) {
                before.keep = true;
            }
            if let (true, Some(first)) = (self.breaks.get(), set.first_mut()) {
                first.new_page = true;
                self.breaks.set(false);
            }
            strips.append(&mut set);
        }
        strips
    }

    fn block(&self, block: &Block, wide: f32, depth: usize) -> Vec<Strip> {
        let before = self.parts.ems(0.1, 0.4);
        let alone = |strip: Strip| vec![Strip { before, ..strip }];
        match block {
            Block::Title(words) => self.parts.title(words, wide),
            Block::Heading(words) => vec![self.parts.heading(None, words, wide, 0)],
            Block::Lead(words) => {
                let mut strips = self.parts.words(words, wide);
                if let Some(last) = strips.last_mut() {
                    last.keep = true;
                }
                strips
            }
            Block::Paragraph(paragraph) => self.parts.paragraph(paragraph, wide, 0.0),
            Block::Table(of) => {
                let inset = of.depth as f32 * 1.2 * self.em;
                let room = Room {
                    size: self.em,
                    wide: wide - inset,
                    written: if self.parts.sheet() { 5.1 } else { 6.5 } * MM,
                    air: self.parts.ems(0.05, 0.18),
                    share: self.parts.ems(0.16, 0.24) / self.em,
                };
                let mut rows = table(of, room);
                if let Some(first) = rows.first_mut() {
                    first.before = before;
                }
                rows.into_iter().map(|row| row.set_in(inset)).collect()
            }
            Block::Facts(facts) => alone(self.facts(facts, wide)),
            Block::Fields(labels) if self.parts.sheet() => {
                alone(boxes::fields(labels, self.em, wide))
            }
            Block::Fields(labels) => {
                let lines = labels.iter();
                lines
                    .map(|label| boxes::blank_line(label, self.em, wide))
                    .collect()
            }
            Block::Choice(choice) => alone(boxes::choice(choice, self.em, wide)),
            Block::Figure(figure) => {
                let number = self.pictures.number(&figure.svg);
                number.map_or_else(Vec::new, |number| alone(self.figure(number, wide)))
            }
            Block::Source(source) => self.parts.source(source, wide),
            Block::Download(download) => {
                let name = format!("{}, attached to this file", download.name);
                self.parts.words(&name.into(), wide)
            }
            Block::Group(group) => self.group(group, wide, depth),
            Block::PageBreak => {
                self.breaks.set(true);
                Vec::new()
            }
            // A new thought has its room already; the others want a screen.
            Block::Gap | Block::Sum(_) | Block::Pictures(_) => Vec::new(),
        }
    }

    fn facts(&self, facts: &Facts, wide: f32) -> Strip {
        match facts.layout {
            Layout::Flow => boxes::figures(&facts.of, self.em, wide),
            _ => {
                let blank = if self.parts.sheet() { 6.5 } else { 13.0 };
                boxes::head(&facts.of, self.em, blank, wide)
            }
        }
    }

    fn figure(&self, number: usize, wide: f32) -> Strip {
        let steep = self.pictures.steepness(number);
        let part = if self.parts.sheet() {
            self.drawing
        } else {
            1.0
        };
        let deep = self.frame.size.1 / steep;
        let low = (HIGHEST * deep).max(NARROWEST * wide).min(0.95 * deep);
        let drawn = (part * wide).min(low);
        Strip {
            high: drawn * steep + self.parts.ems(0.0, 0.3),
            marks: vec![Mark::Picture {
                number,
                at: ((wide - drawn) / 2.0, 0.0),
                wide: drawn,
            }],
            ..Strip::default()
        }
    }

    fn group(&self, group: &Group, wide: f32, depth: usize) -> Vec<Strip> {
        match group.class {
            "header" => {
                let mut strips = self.blocks(&group.blocks, wide, depth);
                let mut line = Strip::room(3.0);
                line.marks.push(level(2.0, wide, 2.0));
                strips.push(line);
                return strips;
            }
            "foot" => {
                let mut line = Strip::room(2.5);
                line.before = 0.35 * self.em;
                line.marks.push(level(0.75, wide, 1.5));
                let mut strips = vec![line];
                strips.extend(self.blocks(&group.blocks, wide, depth));
                return strips;
            }
            "taper" => return vec![self.taper(group, wide)],
            "hurt" => return vec![self.hurt(group, wide)],
            "way" => return vec![self.way(group, wide, depth)],
            "run-in" => {
                let plain = Group {
                    class: "",
                    ..group.clone()
                };
                let strips = self.group(&plain, wide, depth);
                return vec![beside([(0.0, strips.as_slice())])];
            }
            "cards" => return vec![self.cards(group, wide, depth)],
            "parts" => return vec![self.abreast(group, &[0.6, 0.4], wide, depth)],
            "plans" if wide > ABREAST => {
                return vec![self.abreast(group, &[0.5, 0.5], wide, depth)];
            }
            _ => {}
        }
        let mut strips = Vec::new();
        let inner = if group.heading.is_empty() {
            depth
        } else {
            strips.push(
                self.parts
                    .heading(group.number, &group.heading, wide, depth),
            );
            depth + 1
        };
        strips.extend(self.blocks(&group.blocks, wide, inner));
        strips
    }

    /// The figures beside their heading.
    fn taper(&self, group: &Group, wide: f32) -> Strip {
        let size = 1.05 * self.em;
        let (name, far) = self.parts.named(group.number, &group.heading, size, wide);
        let left = far + 1.2 * self.em;
        let figures = self.blocks(&group.blocks, wide - left, 1);
        let mut strip = beside([
            (0.0, std::slice::from_ref(&name)),
            (left, figures.as_slice()),
        ]);
        strip.before = 0.3 * self.em;
        strip
    }

    /// What can hurt first, in its red box.
    fn hurt(&self, group: &Group, wide: f32) -> Strip {
        let (edge, pad) = (3.0, 0.5 * self.em);
        let inside = wide - 2.0 * (edge + pad);
        let size = 1.05 * self.em;
        let (name, far) = self.parts.named(group.number, &group.heading, size, inside);
        let mut strips = Vec::new();
        for block in &group.blocks {
            match block {
                Block::Paragraph(paragraph) => {
                    let first = if strips.is_empty() {
                        far + 0.6 * self.em
                    } else {
                        // Its box is its mark already.
                        f32::EPSILON
                    };
                    strips.extend(self.parts.paragraph(paragraph, inside, first));
                }
                other => strips.extend(self.block(other, inside, 1)),
            }
        }
        let mut inner = beside([(0.0, std::slice::from_ref(&name)), (0.0, strips.as_slice())]);
        inner.high += 0.15 * self.em;
        let (left, top) = (edge + pad, edge + 0.15 * self.em);
        let high = inner.high + top + edge;
        let mut marks = vec![Mark::Box {
            at: (edge / 2.0, edge / 2.0),
            size: (wide - edge, high - edge),
            fill: None,
            edge: Some((edge, RED)),
        }];
        marks.extend(inner.shifted((left, top)));
        Strip {
            before: 0.35 * self.em,
            high,
            marks,
            ..Strip::default()
        }
    }

    /// The way, a small drawing beside its words.
    fn way(&self, group: &Group, wide: f32, depth: usize) -> Strip {
        let heading = self
            .parts
            .heading(group.number, &group.heading, wide, depth);
        if self.drawing > BESIDE {
            let mut strips = vec![heading];
            strips.extend(self.blocks(&group.blocks, wide, depth + 1));
            return beside([(0.0, strips.as_slice())]);
        }
        let loud = |block: &&Block| matches!(block, Block::Paragraph(p) if p.role == Role::Loud);
        let figure = |block: &&Block| matches!(block, Block::Figure(_));
        let right = wide * self.drawing;
        let left = wide - right - 0.5 * self.em;
        let mut strips = vec![heading];
        for block in group.blocks.iter().filter(loud) {
            strips.extend(self.block(block, wide, depth + 1));
        }
        let others = group.blocks.iter();
        let others = others.filter(|block| !loud(block) && !figure(block));
        let words: Vec<Strip> = others
            .flat_map(|block| self.block(block, left, depth + 1))
            .collect();
        let figures: Vec<Strip> = group
            .blocks
            .iter()
            .filter(figure)
            .flat_map(|block| self.block(block, right / self.drawing, depth + 1))
            .map(|strip| strip.set_in(-(right / self.drawing - right) / 2.0))
            .collect();
        strips.push(beside([
            (0.0, words.as_slice()),
            (wide - right, figures.as_slice()),
        ]));
        beside([(0.0, strips.as_slice())])
    }

    /// Groups in frames of their own, side by side.
    fn cards(&self, group: &Group, wide: f32, depth: usize) -> Strip {
        let (count, gap, pad) = (group.blocks.len().max(1) as f32, 6.0, 5.0);
        let each = (wide - gap * (count - 1.0)) / count;
        let cards = group.blocks.iter().map(|card| {
            let strips = self.blocks(std::slice::from_ref(card), each - 2.0 * pad, depth + 1);
            beside([(0.0, strips.as_slice())])
        });
        let cards: Vec<Strip> = cards.collect();
        let high = cards.iter().map(|card| card.high).fold(0.0, f32::max) + 2.0 * pad;
        let mut whole = Strip {
            before: 0.5 * self.em,
            high,
            ..Strip::default()
        };
        for (at, card) in cards.iter().enumerate() {
            let left = at as f32 * (each + gap);
            whole.marks.push(Mark::Box {
                at: (left, 0.0),
                size: (each, high),
                fill: None,
                edge: Some((0.75, GREY)),
            });
            whole.marks.extend(card.shifted((left + pad, pad)));
        }
        whole
    }

    /// Its blocks side by side, each with its part of the width.
    fn abreast(&self, group: &Group, parts: &[f32], wide: f32, depth: usize) -> Strip {
        let gap = 1.2 * self.em;
        let mut left = 0.0;
        let mut stacks: Vec<(f32, Vec<Strip>)> = Vec::new();
        for (block, part) in group.blocks.iter().zip(parts) {
            let room = part * wide - gap;
            let strips = self.blocks(std::slice::from_ref(block), room, depth + 1);
            stacks.push((left, strips));
            left += part * wide;
        }
        let stacks = stacks.iter();
        beside(stacks.map(|(left, strips)| (*left, strips.as_slice())))
    }
}

fn ticked(block: &Block) -> Option<&Paragraph> {
    match block {
        Block::Paragraph(paragraph) if paragraph.mark == Before::Tick => Some(paragraph),
        _ => None,
    }
}
