//! Things side by side that go on in the next row: big figures, blanks to write in, boxes to tick.

use tautway_words::{Choice, Fact, Words};

use crate::face::Face;
use crate::lines::{Bit, Style, bits, set, stands};
use crate::mark::{BLACK, MM, Mark, Strip, beside};

/// Width and height of a box to write in on a sheet.
const WRITTEN: (f32, f32) = (16.0 * MM, 5.6 * MM);

/// Something of a width.
pub struct Item {
    wide: f32,
    strip: Strip,
}

impl Item {
    /// Without its width.
    pub fn into_strip(self) -> Strip {
        self.strip
    }
}

/// Lines as one strip, and how wide they are.
pub fn stack(bits: &[Bit], style: Style, limit: f32) -> Item {
    let lines = set(bits, style, 0.0, limit);
    let wide = lines.iter().map(|line| line.wide).fold(0.0, f32::max);
    let strips: Vec<Strip> = lines
        .into_iter()
        .map(|line| Strip {
            high: style.line(),
            marks: line.marks,
            ..Strip::default()
        })
        .collect();
    Item {
        wide,
        strip: beside([(0.0, strips.as_slice())]),
    }
}

/// Items in rows, so far apart.
fn rows(items: Vec<Item>, apart: (f32, f32), limit: f32) -> Strip {
    let mut whole = Strip::default();
    let (mut x, mut y, mut high): (f32, f32, f32) = (0.0, 0.0, 0.0);
    for item in items {
        if x > 0.0 && x + item.wide > limit + 0.01 {
            y += high + apart.1;
            (x, high) = (0.0, 0.0);
        }
        whole.marks.extend(item.strip.shifted((x, y)));
        high = high.max(item.strip.high);
        x += item.wide + apart.0;
    }
    whole.high = y + high;
    whole
}

/// Big figures, each between what it is and more on it.
pub fn figures(of: &[Fact], em: f32, limit: f32) -> Strip {
    let items = of.iter().map(|fact| {
        let small = Style {
            leading: 1.12,
            ..Style::plain(em)
        };
        let big = Style {
            leading: 1.1,
            ..Style::bold(1.5 * em)
        };
        let parts = [
            stack(&bits(&fact.label, small), small, limit),
            stack(&bits(&fact.value, big), big, limit),
            stack(&bits(&fact.small, small), small, limit),
        ];
        let wide = parts.iter().map(|part| part.wide).fold(0.0, f32::max);
        let strips = parts.map(|part| part.strip);
        Item {
            wide,
            strip: beside([(0.0, strips.as_slice())]),
        }
    });
    rows(items.collect(), (em, 0.15 * em), limit)
}

/// Keys with their values on a line, what is blank as a line to write on, so many letters long.
pub fn head(of: &[Fact], em: f32, blank: f32, limit: f32) -> Strip {
    let items = of.iter().map(|fact| {
        let style = Style {
            blank,
            ..Style::plain(em)
        };
        let value = match fact.value.is_blank() {
            true => bits(&fact.value, style),
            false => bits(
                &fact.value,
                Style {
                    bold: true,
                    ..style
                },
            ),
        };
        let mut of = bits(&fact.label, style);
        of.push(Bit::Letters(" ".to_owned(), Face::Plain));
        of.extend(value);
        stack(&of, style, limit)
    });
    rows(items.collect(), (1.1 * em, 0.35 * em), limit)
}

/// Labels, each with a box to write in.
pub fn fields(labels: &[Words], em: f32, limit: f32) -> Strip {
    let items = labels.iter().map(|label| {
        let style = Style::plain(em);
        let (wide, high) = WRITTEN;
        let label = stack(&bits(label, style), style, limit - wide - em);
        let high = high.max(label.strip.high);
        let at = (label.wide + 0.4 * em, 0.0);
        let middle = (high - label.strip.high) / 2.0;
        let mut marks: Vec<Mark> = label.strip.shifted((0.0, middle)).collect();
        marks.push(Mark::Box {
            at,
            size: (wide, high),
            fill: None,
            edge: Some((1.0, BLACK)),
        });
        Item {
            wide: at.0 + wide,
            strip: Strip {
                high,
                marks,
                ..Strip::default()
            },
        }
    });
    rows(items.collect(), (0.8 * em, 0.2 * em), limit)
}

/// A label, and a line to write on as far as the page goes.
pub fn blank_line(label: &Words, em: f32, limit: f32) -> Strip {
    let style = Style::plain(em);
    let label = stack(&bits(label, style), style, limit);
    // Room for a pencil above the line.
    let above = 0.7 * em;
    let mut high = label.strip.high + above;
    let mut marks: Vec<Mark> = label.strip.shifted((0.0, above)).collect();
    let one_line = label.strip.high < 1.5 * style.line();
    let (left, y) = if one_line && label.wide < 0.65 * limit {
        (label.wide + 0.6 * em, above + stands(style) + 0.15 * em)
    } else {
        high += 1.9 * em;
        (0.0, high - 0.2 * em)
    };
    marks.push(Mark::Line {
        from: (left, y),
        to: (limit, y),
        width: 0.75,
        colour: BLACK,
    });
    Strip {
        high,
        marks,
        ..Strip::default()
    }
}

/// What is asked, and a box to tick before each of what there is to choose from.
pub fn choice(choice: &Choice, em: f32, limit: f32) -> Strip {
    let style = Style::plain(em);
    let ticks = choice.of.iter().map(|of| {
        let mut all = vec![Bit::Tick];
        all.extend(bits(of, style));
        stack(&all, style, limit)
    });
    let ticks: Vec<Item> = ticks.collect();
    let apart = 1.2 * em;
    let together = ticks.iter().map(|tick| tick.wide + apart).sum::<f32>() - apart;
    let asked = bits(&choice.asked, style);
    let column = (0.45 * limit).max(0.0);
    let beside_it = limit - column;
    if together <= beside_it {
        let asked = stack(&asked, style, column - apart);
        let ticks = rows(ticks, (apart, 0.2 * em), beside_it);
        return beside([
            (0.0, std::slice::from_ref(&asked.strip)),
            (column, std::slice::from_ref(&ticks)),
        ]);
    }
    let asked = stack(&asked, style, limit).strip;
    let mut ticks = rows(ticks, (apart, 0.2 * em), limit);
    ticks.before = 0.15 * em;
    beside([(0.0, [asked, ticks].as_slice())])
}

/// Things to tick off, in as many columns as they go into.
pub fn ticks(of: &[Vec<Bit>], em: f32, limit: f32) -> Strip {
    let style = Style::plain(em);
    let natural = of.iter().map(|bits| stack(bits, style, f32::MAX).wide);
    let natural = natural.fold(0.0, f32::max) + 2.8 * em;
    let columns = ((limit / natural).floor() as usize).clamp(1, 4);
    let each = of.len().div_ceil(columns);
    let wide = limit / columns as f32;
    let stacks: Vec<Vec<Strip>> = of
        .chunks(each.max(1))
        .map(|these| {
            let one = |bits: &Vec<Bit>| {
                let words = stack(bits, style, wide - 1.8 * em).strip;
                let mut marks: Vec<Mark> = words.shifted((1.5 * em, 0.0)).collect();
                marks.push(crate::lines::tick((0.0, stands(style)), em));
                Strip {
                    before: 0.25 * em,
                    high: words.high,
                    marks,
                    ..Strip::default()
                }
            };
            these.iter().map(one).collect()
        })
        .collect();
    let placed = stacks.iter().enumerate();
    beside(placed.map(|(at, strips)| (at as f32 * wide, strips.as_slice())))
}
