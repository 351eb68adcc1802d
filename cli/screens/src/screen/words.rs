//! Phrases: setups, sizes and surfaces as they are said in the shop.

use tautway_sim::arithmetic::{clamp, log10, max};
use tautway_sim::bore_room::{self, BoreRoom, FREE};
use tautway_sim::compare::Way;
use tautway_sim::cut::ToolNeeded;
use tautway_sim::heat::Heat;
use tautway_sim::quantity::show::round_step;
use tautway_sim::quantity::{
    Angle, FAHRENHEIT, Force, INCH, INCHES_PER_FOOT, Length, Quantity, Taper, Units,
};
use tautway_sim::record::{Measures, Outcome, Seat};
use tautway_sim::scenario::{Band, End, Kind, Scenario};
use tautway_sim::sensitivity::Sensitivity;
use tautway_sim::setup::{Face, Feed, Press, Pull, Rotation, Setup, Side, ToolHand};
use tautway_sim::verdict::NOT_SEEN;

/// From this taper on people think in degrees: 4 in/ft, past any guide.
const STEEP: f64 = 1.0 / 3.0;

/// A length in the person's units.
pub fn length(m: f64, units: Units) -> String {
    Length::from_si(m).show(units)
}

/// A small height: to 0.0001 in or 0.001 mm, whatever its size.
pub fn height(m: f64, units: Units) -> String {
    match units {
        Units::Inch => format!("{:.4} in", m.abs() / INCH),
        Units::Metric => format!("{:.3} mm", m.abs() * 1e3),
    }
}

/// The same with a minus where stock still stands.
pub fn signed_height(m: f64, units: Units) -> String {
    let sign = if m < 0.0 { "-" } else { "" };
    format!("{sign}{}", height(m, units))
}

/// The same without the unit, for the first of a pair.
pub fn bare_height(m: f64, units: Units) -> String {
    height(m, units)
        .split(' ')
        .next()
        .unwrap_or_default()
        .to_owned()
}

/// Parts that the width of what such lathes leave is told in: finer doesn't hold on others drawn
/// alike.
const PARTS: f64 = 12.0;

/// Two ends of where 95 of 100 lathes lie, in the digits that hold, m.
pub fn ends([low, high]: [f64; 2], units: Units) -> [f64; 2] {
    let step = round_step((high - low) / PARTS, units);
    [low, high].map(|end| (end / step).round() * step)
}

/// What becomes of a size that was gauged warm.
pub fn heat(heat: &Heat, units: Units) -> String {
    let warmer = |kelvin: f64| match units {
        Units::Inch => format!("{:.0} F", kelvin / FAHRENHEIT),
        Units::Metric => format!("{kelvin:.0} \u{b0}C"),
    };
    let (what, ends) = match heat.kind {
        Kind::Outside => ("shaft", "too much is off"),
        Kind::Inside => ("bore", "metal is left"),
    };
    let half = heat.half_used.map_or(String::new(), |kelvin| {
        format!("; {} warmer uses up half of the tolerance", warmer(kelvin))
    });
    format!(
        "a {what} {} warmer than the gauge reads {} big on diameter, and gauged to size so ends \
         that much small when cold ({ends}){half}",
        warmer(heat.rise),
        height(heat.growth, units)
    )
}

/// The same where lines are dear: "50 F warm reads 0.0009 in big".
pub fn heat_in_short(heat: &Heat, units: Units) -> String {
    let warm = match units {
        Units::Inch => format!("{:.0} F", heat.rise / FAHRENHEIT),
        Units::Metric => format!("{:.0} \u{b0}C", heat.rise),
    };
    format!("{warm} warm reads {} big", height(heat.growth, units))
}

/// A force range: one number where both ends round alike.
pub fn forces(range: (f64, f64), units: Units) -> String {
    let (low, high) = (
        Force::from_si(range.0).show(units),
        Force::from_si(range.1).show(units),
    );
    if low == high {
        return high;
    }
    let low = low.split(' ').next().unwrap_or_default().to_owned();
    format!("{low}-{high}")
}

/// Tapers of one job: as many digits as its tolerance asks for.
#[derive(Clone, Copy)]
pub struct Tapers {
    scale: f64,
    digits: usize,
    unit: &'static str,
}

impl Tapers {
    /// To a thousandth of an inch a foot (0.01 mm/m), or to a twentieth of a narrow tolerance.
    pub fn of(scenario: &Scenario, units: Units) -> Self {
        Self::within(&scenario.job.work.tolerance, units)
    }

    /// The same for a tolerance.
    pub fn within(band: &Band<Taper>, units: Units) -> Self {
        let (scale, usual, unit) = match units {
            Units::Inch => (INCHES_PER_FOOT, 3, "in/ft"),
            Units::Metric => (1e3, 2, "mm/m"),
        };
        let width = scale * (band.upper.si() - band.lower.si());
        let asked = if width > 0.0 {
            log10(20.0 / width).ceil()
        } else {
            0.0
        };
        Self {
            scale,
            digits: (clamp(asked, 0.0, 5.0) as usize).clamp(usual, 5),
            unit,
        }
    }

    /// A taper on diameter, without its unit.
    pub fn bare(&self, ratio: f64) -> String {
        format!("{:.*}", self.digits, ratio * self.scale)
    }

    /// A taper on diameter.
    pub fn show(&self, ratio: f64) -> String {
        format!("{} {}", self.bare(ratio), self.unit)
    }

    /// A difference of tapers, without sign.
    pub fn difference(&self, ratio: f64) -> String {
        self.show(ratio.abs())
    }

    /// Whether a difference shows at all in so many digits.
    pub fn tells(&self, ratio: f64) -> bool {
        self.bare(ratio)
            .contains(|c: char| ('1'..='9').contains(&c))
    }

    /// A signed tolerance: `+0.000 -0.030 in/ft`.
    pub fn band(&self, band: &Band<Taper>) -> String {
        let end = |v: f64, zero: char| {
            let sign = if v == 0.0 {
                zero
            } else if v > 0.0 {
                '+'
            } else {
                '-'
            };
            format!("{sign}{:.*}", self.digits, (v * self.scale).abs())
        };
        format!(
            "{} {} {}",
            end(band.upper.si(), '+'),
            end(band.lower.si(), '-'),
            self.unit
        )
    }

    /// The drawing's taper: as 1:n where it is one, without zeros that say nothing.
    pub fn nominal(&self, taper: Taper) -> String {
        let n = 1.0 / taper.si();
        if self.scale == 1e3 && n >= 1.0 && (n - n.round()).abs() < 1e-9 * n {
            return format!("1:{n:.0}");
        }
        let text = format!("{:.5}", taper.si() * self.scale);
        format!(
            "{} {}",
            text.trim_end_matches('0').trim_end_matches('.'),
            self.unit
        )
    }
}

/// A steep taper's angle too, as a top slide is set: ", 45 deg per side".
pub fn steep(taper: Taper, units: Units) -> String {
    if taper.si() < STEEP {
        return String::new();
    }
    format!(
        ", {} per side",
        Angle::from_si(taper.half_angle()).show(units)
    )
}

/// The way to cut, whole: "bore from the inside out (toward the tailstock), front wall, tool face
/// up, spindle forward".
pub fn way(setup: &Setup) -> String {
    let lifts = match setup.press() {
        Press::Down => "",
        Press::Lift => "; the cut lifts the slide off its ways",
    };
    format!("{}, {}{lifts}", travel(setup), stance(setup))
}

/// Where the tool goes.
fn travel(setup: &Setup) -> String {
    let toward = toward(setup.feed);
    match (setup.kind, setup.feed) {
        (Kind::Inside, Feed::Tailstock) => format!("bore from the inside out ({toward})"),
        (Kind::Inside, Feed::Headstock) => format!("bore from the mouth in ({toward})"),
        (Kind::Outside, _) => {
            let (from, to) = if setup.starts_at() == setup.big_end {
                ("big", "small")
            } else {
                ("small", "big")
            };
            format!("turn from the {from} end to the {to} end ({toward})")
        }
    }
}

/// How tool and spindle stand.
pub fn stance(setup: &Setup) -> String {
    let side = match (setup.kind, setup.side) {
        (Kind::Inside, Side::Front) => "front wall",
        (Kind::Inside, Side::Rear) => "rear wall",
        (Kind::Outside, Side::Front) => "tool in front",
        (Kind::Outside, Side::Rear) => "tool behind the work",
    };
    let face = match setup.face {
        Face::Up => "tool face up",
        Face::Down => "tool face down",
    };
    let rotation = match setup.rotation {
        Rotation::Forward => "spindle forward",
        Rotation::Reverse => "spindle reversed",
    };
    format!("{side}, {face}, {rotation}")
}

/// The tool a way asks for: "left-hand tool".
pub fn tool(needed: &ToolNeeded, kind: Kind) -> String {
    if needed.either {
        return "tool of either hand, the nose alone cuts".to_owned();
    }
    let hand = match needed.hand {
        ToolHand::Right => "right-hand",
        ToolHand::Left => "left-hand",
    };
    match (kind, needed.cuts_backward) {
        (Kind::Outside, _) => format!("{hand} tool"),
        (Kind::Inside, false) => format!("{hand} bar"),
        (Kind::Inside, true) => format!("{hand} bar, its edge turned back"),
    }
}

/// "toward the tailstock".
pub fn toward(feed: Feed) -> &'static str {
    match feed {
        Feed::Headstock => "toward the headstock",
        Feed::Tailstock => "toward the tailstock",
    }
}

/// A short name for a row: "draw-away toward the headstock, face up, forward".
pub fn short(setup: &Setup) -> String {
    let parts: Vec<String> = parts(setup).into_iter().flatten().collect();
    parts.join(", ")
}

/// Against the way that is advised: what else differs.
pub fn beside(setup: &Setup, first: &Setup) -> String {
    let both = parts(setup).into_iter().zip(parts(first));
    let differs = both.filter_map(|(part, of_first)| (part != of_first).then_some(part)?);
    differs.collect::<Vec<String>>().join(", ")
}

/// What tells one way from another, the front left out.
fn parts(setup: &Setup) -> [Option<String>; 4] {
    let side = match setup.side {
        Side::Front => None,
        Side::Rear => Some("at the rear"),
    };
    let face = match setup.face {
        Face::Up => "face up",
        Face::Down => "face down",
    };
    let rotation = match setup.rotation {
        Rotation::Forward => "forward",
        Rotation::Reverse => "reversed",
    };
    let (pull, toward) = (pull(setup.pull()), toward(setup.feed));
    [
        Some(format!("{pull} {toward}")),
        side.map(str::to_owned),
        Some(face.to_owned()),
        Some(rotation.to_owned()),
    ]
}

/// Pull-in or draw-away.
pub fn pull(pull: Pull) -> &'static str {
    match pull {
        Pull::In => "pull-in",
        Pull::Away => "draw-away",
        Pull::Neither => "straight",
    }
}

/// The end where a feed starts: "small end" or "big end".
pub fn starting_end(setup: &Setup) -> &'static str {
    if setup.starts_at() == setup.big_end {
        "big end"
    } else {
        "small end"
    }
}

/// "headstock-side end" for a place given from that end.
pub fn end(end: End) -> &'static str {
    match end {
        End::Headstock => "headstock",
        End::Tailstock => "tailstock",
    }
}

/// What a pass took of what was set.
pub fn size(setup: &Setup, o: &Measures, units: Units) -> String {
    let miss = o.size_error;
    if miss.abs() <= 0.0005 * INCH {
        // Up to the next 0.0001 in or 0.001 mm.
        let (step, least) = match units {
            Units::Inch => (0.0001 * INCH, 2.0),
            Units::Metric => (1e-6, 2.0),
        };
        let within = step * max((miss.abs() / step).ceil(), least);
        return format!(
            "takes what is set, within {} per side",
            height(within, units)
        );
    }
    let taken = o.set + miss;
    if taken < 0.01 * o.set {
        format!("set {}, it takes nothing", bare_height(o.set, units))
    } else if miss < 0.0 {
        format!(
            "set {}, it takes {} per side",
            bare_height(o.set, units),
            height(taken, units)
        )
    } else {
        let which = match setup.kind {
            Kind::Inside => "bore",
            Kind::Outside => "work",
        };
        format!(
            "cuts {} per side too deep: {which} {}",
            height(miss, units),
            match setup.kind {
                Kind::Inside => "too big",
                Kind::Outside => "too small",
            }
        )
    }
}

/// A given number as it was given: without zeros that say nothing.
pub fn nominal<Q: Quantity>(quantity: Q, units: Units) -> String {
    let text = quantity.show(units);
    match text.split_once(' ') {
        Some((number, unit)) if number.contains('.') => {
            let number = number.trim_end_matches('0').trim_end_matches('.');
            format!("{number} {unit}")
        }
        _ => text,
    }
}

/// A carriage travel, to 0.01 in or whole millimetres.
pub fn about(m: f64, units: Units) -> String {
    match units {
        Units::Inch => {
            let text = format!("{:.2}", m / INCH);
            format!("{} in", text.trim_end_matches('0').trim_end_matches('.'))
        }
        Units::Metric => format!("{:.0} mm", m * 1e3),
    }
}

/// A length nobody needs exactly: one digit after the point in inches, whole millimetres.
pub fn coarse(m: f64, units: Units) -> String {
    match units {
        Units::Inch => format!("{:.1} in", m / INCH),
        Units::Metric => format!("{:.0} mm", m * 1e3),
    }
}

/// An uncertain number by name, with the range it may lie in.
pub fn with_range(m: &Sensitivity) -> String {
    let range = if m.low == m.high {
        m.taken.clone()
    } else if m.low.trim_start_matches('-') == m.high {
        format!("within {}", m.high)
    } else {
        format!("{} ({} to {})", m.taken, m.low, m.high)
    };
    format!("{} {range}", m.words)
}

/// What tests and finished jobs gave: `slack, foot (test 1, reversal); drag (test 4, drag).`
pub fn narrowed(narrowed: &[(String, Vec<String>)]) -> String {
    let each: Vec<String> = narrowed
        .iter()
        .map(|(by, numbers)| format!("{} ({by})", numbers.join(", ")))
        .collect();
    format!("{}.", each.join("; "))
}

/// What holds the slide.
pub fn seat(o: &Outcome, units: Units) -> String {
    let margin = Force::from_si(o.seat_margin).show(units);
    match o.seat {
        Seat::Floating => "it floats in its slack: drag alone decides where it stands".to_owned(),
        _ if o.step.is_some() => "it changes from one face of its slack to the other".to_owned(),
        Seat::First if o.seat_margin > 0.0 => {
            format!("it sits hard against the guide, held by {margin} at the least")
        }
        Seat::Other if o.seat_margin > 0.0 => {
            format!("its drag keeps it on the back of the slack, held by {margin} at the least")
        }
        _ => "it comes off its face here and there".to_owned(),
    }
}

/// Where the boring bar comes closest to the bore.
pub fn room(room: &BoreRoom, units: Units) -> Option<String> {
    let tight = room.tightest()?;
    let pass = if tight.first_pass { "first" } else { "last" };
    let place = format!("{} pass, {}", pass, tight.stretch.words());
    let gap = bore_room::gap(tight.gap, units);
    let assumed = if room.assumed {
        format!(
            ", edge assumed {} out of its side",
            bore_room::gap(room.edge_out, units)
        )
    } else {
        String::new()
    };
    Some(if tight.gap < 0.0 {
        format!(
            "it would rub {} by {gap} ({place}{assumed}): measure how far the edge stands out \
             before you trust it",
            tight.wall.words()
        )
    } else {
        let little = if tight.gap < FREE {
            ": little for chips"
        } else {
            ""
        };
        format!(
            "{gap} from {} at the least ({place}{assumed}){little}",
            tight.wall.words()
        )
    })
}

/// What another way costs against the best.
pub fn cost(way: &Way, best: &Way, tapers: Tapers, units: Units) -> String {
    if let Some(reason) = way.out.first() {
        let so = way.with_other_bar.as_ref().map_or(String::new(), |found| {
            format!("; with it, {}", remark_on_size(&way.setup, found, units))
        });
        return format!("out: {}{so}", reason.words(units));
    }
    let Some(run) = &way.run else {
        return String::new();
    };
    let o = &run.outcome;
    let mut parts = Vec::new();
    if way.forbidden {
        parts.push("never use it, see its caution".to_owned());
    }
    let like_best = best.run.as_ref().is_some_and(|best| {
        (o.size_error - best.outcome.size_error).abs() <= 2.0 * NOT_SEEN
            && (o.waves - best.outcome.waves).abs() <= NOT_SEEN
            && o.step.is_none()
    });
    if like_best && !way.forbidden {
        parts.push("about as good".to_owned());
        if way.setup.press() == Press::Lift && best.setup.press() == Press::Down {
            parts.push("lifts the slide off its ways".to_owned());
        }
    } else if !like_best {
        parts.push(remark_on_size(&way.setup, o, units));
        if o.waves > NOT_SEEN {
            parts.push(format!("waves {}", height(o.waves, units)));
        }
        if let Some((step, _)) = o.step
            && step.abs() > NOT_SEEN
        {
            parts.push(format!("step {}", height(step, units)));
        }
        if o.seat == Seat::Floating {
            parts.push("floats".to_owned());
        }
    }
    if let Some(verdict) = &way.verdict {
        if !verdict.taper {
            let by = tapers.difference(o.taper_error);
            parts.push(format!("taper {by} off: out"));
        }
        if verdict.size == Some(false) {
            parts.push("size out".to_owned());
        }
        if verdict.waves == Some(false) {
            parts.push("too wavy".to_owned());
        }
    }
    if !run.roughing.came_even {
        parts.push("leaves uneven stock".to_owned());
    }
    if way.start.by_hand {
        parts.push("no room: seat by hand".to_owned());
    }
    parts.join("; ")
}

/// What a pass took, for a row.
pub fn remark_on_size(setup: &Setup, o: &Measures, units: Units) -> String {
    if o.size_error < 0.0 && o.set > 0.0 {
        let (left, set) = (bare_height(o.size_error, units), height(o.set, units));
        format!("leaves {left} of {set}")
    } else {
        size(setup, o, units)
    }
}

/// The same with its first letter a capital.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or(String::new(), |first| {
        first.to_uppercase().chain(letters).collect()
    })
}
