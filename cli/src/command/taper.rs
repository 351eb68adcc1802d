//! `tautway taper`: one taper in every form, and what it comes to at the lathe and on the bench.

use schemars::JsonSchema;
use serde::Serialize;
use tautway_sim::cone::{
    SineBar, SlideReading, along_axis, along_side, reading_over, sine_bar, travel_for,
};
use tautway_sim::quantity::show::TaperForms;
use tautway_sim::quantity::{INCH, Length, Quantity, Taper, Units};
use tautway_sim::standard_taper::{StandardTaper, all, same_as};
use tautway_words::{Block, Document, Fact, Facts, Layout, Table, Words};

use crate::answer::{Record, answered};
use crate::failure::{Failure, Verdict};
use crate::plan::{self, CheckFormat};
use crate::terminal;
use tautway_screens::screen::found::fine_length;
use tautway_screens::typed::{TypedLength, TypedTaper};

/// One taper in every form.
#[derive(Serialize, JsonSchema)]
pub struct TaperTold<'a> {
    /// Change of diameter over length.
    taper: Taper,
    /// Between side and axis, rad.
    half_angle: f64,
    /// Between the sides, rad.
    included_angle: f64,
    /// As the trade writes it.
    forms: TaperForms,
    /// The standard one that was named.
    standard: Option<&'a StandardTaper>,
    /// The standard ones of the same taper.
    same_as: Vec<StandardTaper>,
    /// What the readout tells of carriage travel.
    readings: &'a [SlideReading],
    /// A length along the axis, m.
    along_axis: Length,
    /// The same along the side, m.
    along_side: Length,
    /// Blocks under sine bars.
    sine_bars: &'a [SineBar],
}

impl Record for TaperTold<'_> {
    const UNITS: &'static str = "SI: m, rad; tapers as change of diameter over length";
}

/// The standard tapers known.
#[derive(Serialize, JsonSchema)]
pub struct StandardTapers {
    /// In the order of their tables.
    standard_tapers: Vec<StandardTaper>,
}

impl Record for StandardTapers {
    const UNITS: &'static str = "SI: m; tapers as change of diameter over length";
}

/// Answers.
///
/// # Errors
/// When the text is no taper, or the answer can't be written.
pub fn taper(args: &plan::Taper) -> Result<Verdict, Failure> {
    let text = if let Some(typed) = &args.taper {
        for (name, length) in [
            ("--travel", &args.travel),
            ("--reading", &args.reading),
            ("--length", &args.length),
        ] {
            if length.as_ref().is_some_and(|length| length.value <= 0.0) {
                return Err(Failure::Input(format!(
                    "{name} has to be more than nothing\n  help: leave out the sign: the taper \
                     reads the same both ways"
                )));
            }
        }
        let sums = Sums::of(typed, args);
        match args.format {
            CheckFormat::Text => terminal::set(&sums.document()),
            CheckFormat::Json => sums.json(),
        }
    } else {
        list(args.format)
    };
    terminal::answer(&text)?;
    Ok(Verdict::Done)
}

fn list(format: CheckFormat) -> String {
    let every = all();
    if format == CheckFormat::Json {
        return answered(StandardTapers {
            standard_tapers: every,
        });
    }
    let mut table = Table::new(["taper", "on diameter", "ratio", "by"]).words_in(&[0, 1, 2, 3]);
    table.class = "aligned";
    for one in &every {
        let forms = TaperForms::of(one.taper);
        let by = source(one);
        table.row([&one.name, &forms.inch_per_foot, &forms.ratio, &by]);
    }
    let mut page = Document::new();
    page.push(Block::Table(table));
    terminal::set(&page)
}

fn source(one: &StandardTaper) -> String {
    let memory = if one.from_memory {
        " (from memory: look it up before relying on it)"
    } else {
        ""
    };
    format!("{}{memory}", one.source)
}

/// All that is told of one taper.
struct Sums {
    taper: Taper,
    units: Units,
    standard: Option<StandardTaper>,
    readings: Vec<SlideReading>,
    axis: Length,
    bars: Vec<SineBar>,
}

impl Sums {
    fn of(typed: &TypedTaper, args: &plan::Taper) -> Self {
        let lengths = [&args.travel, &args.reading, &args.length];
        let metric = typed.metric
            || lengths
                .iter()
                .any(|one| one.as_ref().is_some_and(|l| l.metric));
        let units = match args.units {
            Some(asked) => asked,
            None if metric => Units::Metric,
            None => Units::Inch,
        };
        let taper = typed.taper;
        let usual = match units {
            Units::Inch => [1.0, 3.0].map(|inches| inches * INCH),
            Units::Metric => [25e-3, 100e-3],
        };
        let si = |typed: &Option<TypedLength>| typed.as_ref().map(|l| Length::from_si(l.value));
        let asked: Vec<_> = si(&args.travel)
            .into_iter()
            .chain(si(&args.reading).and_then(|reading| travel_for(taper, reading)))
            .collect();
        let travels = if asked.is_empty() {
            usual.map(Length::from_si).to_vec()
        } else {
            asked
        };
        let one = match units {
            Units::Inch => INCH,
            Units::Metric => 0.1,
        };
        let standard_length = typed.standard.as_ref().and_then(|one| one.length);
        Self {
            taper,
            units,
            standard: typed.standard.clone(),
            readings: travels
                .into_iter()
                .map(|travel| reading_over(taper, travel))
                .collect(),
            axis: si(&args.length)
                .or(standard_length)
                .unwrap_or(Length::from_si(one)),
            bars: [5.0 * INCH, 10.0 * INCH, 0.1]
                .map(|bar| sine_bar(taper, Length::from_si(bar)))
                .to_vec(),
        }
    }

    fn document(&self) -> Document {
        let mut page = Document::new();
        let fine = |length: Length| fine_length(length.si(), self.units);
        if let Some(one) = &self.standard {
            page.title(format!("{}, by {}", one.name, source(one)));
            if let (Some(large), Some(small), Some(length)) = (one.large, one.small, one.length) {
                page.say(
                    "",
                    format!(
                        "big end {}, small end {}, {} apart",
                        fine(large),
                        fine(small),
                        fine(length)
                    ),
                );
            }
            if let Some(note) = one.note {
                page.say("", note);
            }
        }
        let forms = TaperForms::of(self.taper);
        let side = TaperForms::of(Taper::from_si(self.taper.slope()));
        let half = self.taper.half_angle().to_degrees();
        let fact = |label: &str, value: String| Fact {
            label: label.into(),
            value: value.into(),
            small: Words::default(),
        };
        page.push(Block::Facts(Facts {
            layout: Layout::Flow,
            of: vec![
                fact("On diameter:", forms.inch_per_foot),
                fact("", forms.mm_per_metre),
                fact("", forms.ratio),
                fact(
                    "Per side:",
                    format!("{}, {}", side.inch_per_foot, side.mm_per_metre),
                ),
                fact("Angle:", format!("{} = {half:.4} deg", forms.half_angle)),
                fact("", format!("{} = {:.4} deg", forms.included, 2.0 * half)),
            ],
        }));
        page.gap();
        for one in &self.readings {
            page.lead(format!(
                "{} of carriage travel: {} on a diameter readout, {} per side",
                fine(one.travel),
                fine(one.on_diameter),
                fine(one.per_side)
            ));
        }
        page.say("", "(after run-in: lost motion not counted)");
        page.lead(format!(
            "{} along the axis is {} along the side; {} along the side is {} along the axis",
            fine(self.axis),
            fine(along_side(self.taper, self.axis)),
            fine(self.axis),
            fine(along_axis(self.taper, self.axis))
        ));
        page.gap();
        page.lead("Blocks under a sine bar:");
        for one in &self.bars {
            page.item(bar_in_words(one));
        }
        if self.bars.iter().any(|bar| bar.steep) {
            page.say(
                "",
                "past 45 deg a sine bar is not to be trusted: use half the angle",
            );
        }
        let others: Vec<_> = same_as(self.taper)
            .into_iter()
            .map(|other| other.name)
            .filter(|name| self.standard.as_ref().is_none_or(|own| own.name != *name))
            .collect();
        if !others.is_empty() {
            page.gap();
            page.say("The same taper as:", others.join(", "));
        }
        page
    }

    fn json(&self) -> String {
        answered(TaperTold {
            taper: self.taper,
            half_angle: self.taper.half_angle(),
            included_angle: 2.0 * self.taper.half_angle(),
            forms: TaperForms::of(self.taper),
            standard: self.standard.as_ref(),
            same_as: same_as(self.taper),
            readings: &self.readings,
            along_axis: self.axis,
            along_side: along_side(self.taper, self.axis),
            sine_bars: &self.bars,
        })
    }
}

/// Blocks are stacked to 0.0001 in or 0.001 mm, in the units of the bar.
fn bar_in_words(bar: &SineBar) -> String {
    let inches = bar.bar.si() / INCH;
    let is_inch = (inches - inches.round()).abs() < 1e-9;
    let blocks = |length: Length| {
        if is_inch {
            format!("{:.4} in", length.si() / INCH)
        } else {
            format!("{:.3} mm", length.si() * 1e3)
        }
    };
    let named = if is_inch {
        format!("{inches:.0} in")
    } else {
        format!("{:.0} mm", bar.bar.si() * 1e3)
    };
    let included = bar.included.map_or("none".to_owned(), blocks);
    format!(
        "{named} bar: {included} for the included angle, {} for one side",
        blocks(bar.half_angle)
    )
}
