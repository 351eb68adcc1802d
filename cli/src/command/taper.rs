//! `tautway taper`: one taper in every form, and what it comes to at the lathe and on the bench.

use serde_json::json;
use tautway_sim::cone::{
    SineBar, SlideReading, along_axis, along_side, reading_over, sine_bar, travel_for,
};
use tautway_sim::quantity::show::TaperForms;
use tautway_sim::quantity::{Length, Quantity, Taper, Units};
use tautway_sim::standard_taper::{StandardTaper, all, same_as};

use crate::answer::json::written;
use crate::failure::{Failure, Verdict};
use crate::plan::{self, CheckFormat};
use crate::screen::found::fine_length;
use crate::terminal;
use crate::typed::{TypedLength, TypedTaper};

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
            CheckFormat::Text => sums.text(),
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
        return written(&json!({
            "version": env!("CARGO_PKG_VERSION"),
            "units": "SI: m; tapers as change of diameter over length",
            "standard_tapers": every,
        }));
    }
    let mut page = String::new();
    for one in &every {
        let forms = TaperForms::of(one.taper);
        page.push_str(&format!(
            "{:<28} {:<15} {:<11} {}\n",
            one.name,
            forms.inch_per_foot,
            forms.ratio,
            source(one)
        ));
    }
    page
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
            Units::Inch => [1.0, 3.0].map(|inches| inches * 0.0254),
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
            Units::Inch => 0.0254,
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
            bars: [5.0 * 0.0254, 10.0 * 0.0254, 0.1]
                .map(|bar| sine_bar(taper, Length::from_si(bar)))
                .to_vec(),
        }
    }

    fn text(&self) -> String {
        let mut page = String::new();
        let mut line = |text: String| {
            page.push_str(&text);
            page.push('\n');
        };
        let fine = |length: Length| fine_length(length.si(), self.units);
        if let Some(one) = &self.standard {
            line(format!("{}, by {}", one.name, source(one)));
            if let (Some(large), Some(small), Some(length)) = (one.large, one.small, one.length) {
                line(format!(
                    "  big end {}, small end {}, {} apart",
                    fine(large),
                    fine(small),
                    fine(length)
                ));
            }
            if let Some(note) = one.note {
                line(format!("  {note}"));
            }
        }
        let forms = TaperForms::of(self.taper);
        let half = self.taper.half_angle().to_degrees();
        line(format!("On diameter:  {}", forms.inch_per_foot));
        line(format!("              {}", forms.mm_per_metre));
        line(format!("              {}", forms.ratio));
        let side = TaperForms::of(Taper::from_si(self.taper.slope()));
        line(format!(
            "Per side:     {}, {}",
            side.inch_per_foot, side.mm_per_metre
        ));
        line(format!(
            "Angle:        {} = {half:.4} deg",
            forms.half_angle
        ));
        line(format!(
            "              {} = {:.4} deg",
            forms.included,
            2.0 * half
        ));
        line(String::new());
        for one in &self.readings {
            line(format!(
                "{} of carriage travel: {} on a diameter readout, {} per side",
                fine(one.travel),
                fine(one.on_diameter),
                fine(one.per_side)
            ));
        }
        line("  (after run-in: lost motion not counted)".to_owned());
        line(format!(
            "{} along the axis is {} along the side; {} along the side is {} along the axis",
            fine(self.axis),
            fine(along_side(self.taper, self.axis)),
            fine(self.axis),
            fine(along_axis(self.taper, self.axis))
        ));
        line(String::new());
        line("Blocks under a sine bar:".to_owned());
        for one in &self.bars {
            line(bar_in_words(one));
        }
        if self.bars.iter().any(|bar| bar.steep) {
            line("  past 45 deg a sine bar is not to be trusted: use half the angle".to_owned());
        }
        let others: Vec<_> = same_as(self.taper)
            .into_iter()
            .map(|other| other.name)
            .filter(|name| self.standard.as_ref().is_none_or(|own| own.name != *name))
            .collect();
        if !others.is_empty() {
            line(String::new());
            line(format!("The same taper as: {}", others.join(", ")));
        }
        page
    }

    fn json(&self) -> String {
        written(&json!({
            "version": env!("CARGO_PKG_VERSION"),
            "units": "SI: m, rad; tapers as change of diameter over length",
            "taper": self.taper,
            "half_angle": self.taper.half_angle(),
            "included_angle": 2.0 * self.taper.half_angle(),
            "forms": TaperForms::of(self.taper),
            "standard": self.standard,
            "same_as": same_as(self.taper),
            "readings": self.readings,
            "along_axis": self.axis,
            "along_side": along_side(self.taper, self.axis),
            "sine_bars": self.bars,
        }))
    }
}

/// Blocks are stacked to 0.0001 in or 0.001 mm, in the units of the bar.
fn bar_in_words(bar: &SineBar) -> String {
    let inches = bar.bar.si() / 0.0254;
    let is_inch = (inches - inches.round()).abs() < 1e-9;
    let blocks = |length: Length| {
        if is_inch {
            format!("{:.4} in", length.si() / 0.0254)
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
        "  {named:>6} bar: {included} for the included angle, {} for one side",
        blocks(bar.half_angle)
    )
}
