//! Paragraphs, headings and files as strips.

use tautway_words::{Mark as Before, Paragraph, Role, Source, Words};

use crate::boxes;
use crate::face::Face;
use crate::lines::{Bit, Line, Style, bits, set, stands, tick};
use crate::mark::{BLACK, Colour, GREY, Mark, RED, Strip, WHITE};

/// Blue and vermilion of the figures: nothing turns, a cut is made.
const OFF: Colour = Colour(0, 0x72, 0xb2);
const CUTTING: Colour = Colour(0xd5, 0x5e, 0);
/// What it is to look like.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Look {
    /// Close, in two columns: to be read at the lathe.
    Sheet,
    /// Pages to be read one after the other.
    Flow,
}

/// Sets what has no blocks in it.
#[derive(Clone, Copy, Debug)]
pub struct Parts {
    /// What it looks like.
    pub look: Look,
    /// Size of the letters.
    pub em: f32,
}

impl Parts {
    /// Whether it is a sheet.
    pub fn sheet(&self) -> bool {
        self.look == Look::Sheet
    }

    /// One of two lengths in parts of the letters' size.
    pub fn ems(&self, sheet: f32, flow: f32) -> f32 {
        self.em * if self.sheet() { sheet } else { flow }
    }

    /// What a page is about.
    pub fn title(&self, words: &Words, wide: f32) -> Vec<Strip> {
        let style = Style {
            leading: 1.12,
            ..Style::bold(self.ems(1.45, 1.7))
        };
        vec![boxes_of(&bits(words, style), style, wide)]
    }

    /// Plain words.
    pub fn words(&self, words: &Words, wide: f32) -> Vec<Strip> {
        let paragraph = Paragraph {
            words: words.clone(),
            ..Paragraph::default()
        };
        self.paragraph(&paragraph, wide, 0.0)
    }

    /// How words of a role are set.
    fn style(&self, role: Role) -> Style {
        let em = self.em;
        match role {
            Role::Loud => Style::bold(1.15 * em),
            Role::Advice => Style::plain(1.15 * em),
            Role::Question => Style::bold(1.1 * em),
            Role::State(_) => Style::bold(em),
            Role::Note if !self.sheet() => Style {
                colour: GREY,
                ..Style::plain(0.9 * em)
            },
            _ => Style::plain(em),
        }
    }

    /// `first` is kept free at the beginning of its first line.
    pub fn paragraph(&self, paragraph: &Paragraph, wide: f32, first: f32) -> Vec<Strip> {
        let style = Style {
            leading: self.ems(1.17, 1.3) / self.em,
            ..self.style(paragraph.role)
        };
        let bar = match paragraph.role {
            Role::Caution(_) if first > 0.0 => None,
            Role::Caution(_) => Some(RED),
            Role::State("cutting") => Some(CUTTING),
            Role::State("off") => Some(OFF),
            Role::State(_) => Some(GREY),
            _ => None,
        };
        let depth = 1.2 * self.em * paragraph.depth as f32;
        let stand = stands(style);
        let letters = |words: &str| Mark::Words {
            at: (depth, stand),
            size: style.size,
            face: Face::Plain,
            colour: BLACK,
            words: words.to_owned(),
        };
        let (mark, hang) = match paragraph.mark {
            Before::None => (None, if bar.is_some() { 0.7 } else { 0.0 }),
            Before::Dash => (Some(letters("\u{2022}")), 1.0),
            Before::Number(number) => (Some(letters(&format!("{number}."))), 1.9),
            Before::Tick => (Some(tick((depth, stand), style.size)), 1.5),
        };
        let inset = depth + hang * self.em;
        let lines = set(&labelled(paragraph, style), style, first, wide - inset);
        let count = lines.len();
        let mut strips = Vec::new();
        for (at, line) in lines.into_iter().enumerate() {
            let mut strip = Strip {
                before: if at == 0 { self.ems(0.12, 0.4) } else { 0.0 },
                high: style.line(),
                // Neither the first line nor the last stands by itself.
                keep: at + 1 < count && (self.sheet() || at == 0 || at + 2 == count),
                marks: line.marks,
                ..Strip::default()
            }
            .set_in(inset);
            if let (0, Some(mark)) = (at, &mark) {
                strip.marks.insert(0, mark.clone());
            }
            if let Some(colour) = bar {
                strip
                    .marks
                    .push(upright(depth + 1.3, strip.high, 2.5, colour));
            }
            strips.push(strip);
        }
        // What is asked or announced stands before what is to be done.
        let opens = matches!(paragraph.role, Role::State(_) | Role::Question)
            || paragraph.words.bare().ends_with(':');
        if let (true, Some(last)) = (opens, strips.last_mut()) {
            last.keep = true;
        }
        strips
    }

    /// A file as it was read: what stands in columns stays in them, though its letters differ in width.
    pub fn source(&self, source: &Source, wide: f32) -> Vec<Strip> {
        let style = Style::plain(0.85 * self.em);
        let name = Style::bold(self.em);
        let mut strips = vec![Strip {
            before: self.em,
            keep: true,
            ..boxes_of(&bits(&source.name.as_str().into(), name), name, wide)
        }];
        for text in source.text.lines() {
            let words = text.trim_start();
            let indent = 0.64 * style.size * (text.len() - words.len()) as f32;
            let mut line = Line::default();
            let mut column = text.len() - words.len();
            for part in words.split("  ") {
                let skipped = part.len() - part.trim_start().len();
                let at = 0.64 * style.size * (column + skipped) as f32;
                column += part.chars().count() + 2;
                if part.trim().is_empty() {
                    continue;
                }
                let left = at.max(line.wide + if line.wide > 0.0 { style.size } else { 0.0 });
                line.wide = left + Face::Plain.width(part.trim(), style.size);
                line.marks.push(Mark::Words {
                    at: (left, stands(style)),
                    size: style.size,
                    face: Face::Plain,
                    colour: BLACK,
                    words: part.trim().to_owned(),
                });
            }
            if line.wide <= wide {
                strips.push(Strip {
                    high: style.line(),
                    marks: line.marks,
                    ..Strip::default()
                });
                continue;
            }
            let room = wide - indent - 2.0 * style.size;
            let plain = [Bit::Letters(words.to_owned(), Face::Plain)];
            for (at, line) in set(&plain, style, 0.0, room).into_iter().enumerate() {
                let hang = indent + if at == 0 { 0.0 } else { 2.0 * style.size };
                let strip = Strip {
                    high: style.line(),
                    marks: line.marks,
                    ..Strip::default()
                };
                strips.push(strip.set_in(hang));
            }
        }
        strips
    }

    /// With its number in a black box before it and a line below it, or one above it where pages follow
    /// one another.
    pub fn heading(&self, number: Option<usize>, words: &Words, wide: f32, depth: usize) -> Strip {
        let size = match depth {
            0 => self.ems(1.05, 1.25),
            _ => self.ems(1.05, 1.08),
        };
        let (mut strip, _) = self.named(number, words, size, wide);
        let flow = !self.sheet() && depth == 0;
        if flow {
            let above = 0.35 * self.em;
            strip.marks = strip.shifted((0.0, above)).collect();
            strip.high += above;
        }
        if self.sheet() || flow {
            let y = if flow { 0.0 } else { strip.high };
            strip
                .marks
                .push(level(y, wide, if flow { 1.5 } else { 0.75 }));
        }
        strip.before = self.ems(0.3, if depth == 0 { 1.4 } else { 0.8 });
        strip.keep = true;
        strip
    }

    /// The words of a heading behind their number, and how far they go.
    pub fn named(
        &self,
        number: Option<usize>,
        words: &Words,
        size: f32,
        wide: f32,
    ) -> (Strip, f32) {
        let style = Style {
            leading: 1.15,
            ..Style::bold(size)
        };
        let mut inset = 0.0;
        let mut marks = Vec::new();
        if let Some(number) = number {
            let number = number.to_string();
            let digits = Face::Bold.width(&number, size);
            let black = (digits + 0.5 * size).max(1.5 * size);
            marks.push(Mark::Box {
                at: (0.0, 0.0),
                size: (black, style.line()),
                fill: Some(BLACK),
                edge: None,
            });
            marks.push(Mark::Words {
                at: ((black - digits) / 2.0, stands(style)),
                size,
                face: Face::Bold,
                colour: WHITE,
                words: number,
            });
            inset = black + 0.35 * size;
        }
        let of = bits(words, style);
        let lines = set(&of, style, 0.0, wide - inset);
        let far = lines.iter().map(|line| line.wide).fold(0.0, f32::max);
        let words = boxes_of(&of, style, wide - inset);
        marks.extend(words.shifted((inset, 0.0)));
        let strip = Strip {
            high: words.high.max(style.line()),
            marks,
            ..Strip::default()
        };
        (strip, inset + far)
    }
}

/// Words behind their label.
pub fn labelled(paragraph: &Paragraph, style: Style) -> Vec<Bit> {
    let bold = Style {
        bold: true,
        ..style
    };
    let mut all = Vec::new();
    if !paragraph.label.is_empty() {
        all.extend(bits(&paragraph.label, bold));
        all.push(Bit::Letters(" ".to_owned(), Face::Plain));
    }
    all.extend(bits(&paragraph.words, style));
    all
}

/// Lines that stay together.
fn boxes_of(of: &[Bit], style: Style, wide: f32) -> Strip {
    boxes::stack(of, style, wide).into_strip()
}

/// A line from side to side.
pub fn level(y: f32, wide: f32, width: f32) -> Mark {
    Mark::Line {
        from: (0.0, y),
        to: (wide, y),
        width,
        colour: BLACK,
    }
}

fn upright(x: f32, high: f32, width: f32, colour: Colour) -> Mark {
    Mark::Line {
        from: (x, 0.0),
        to: (x, high),
        width,
        colour,
    }
}
