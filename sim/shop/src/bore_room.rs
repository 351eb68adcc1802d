//! Room in the bore: bar and edge against its walls over the whole stroke, run-in and return too.
//!
//! The bar is a round rod along the bed, its axis `d/2 + edge_out` behind the edge, in at the
//! tailstock end of the bore. In a bore of radius `R`, with the edge at radius `r`, it keeps
//!
//! ```text
//! gap = R + r - edge_out - d    from the far wall
//! gap = R - r + edge_out        from the wall that is cut
//! ```
//!
//! `R` is the least radius that the bar meets between its end and the mouth. The far wall is
//! nearest in the *first* roughing pass, where the edge runs deepest below the finished cone at
//! the end it doesn't yet touch, and at the beginning of the run-in or of the return: the guide
//! has taken the slide furthest toward the far wall there, and while the slack is taken up the
//! carriage moves the bar along the bore and not yet across it. Such a pass is fed over what it
//! cuts alone: run in to where the tool meets metal, out where it leaves the cut. The passes after
//! it start nearer to the end at the same radius, until they cut all along. The wall that is cut is
//! nearest in the *last* pass, where a bar reaches through a narrow mouth.
//!
//! Between the corners of that path every gap is linear, so only corners are looked at. Left out:
//! sag and spring of the bar, its nose's own width, chips.

use schemars::JsonSchema;
use serde::Serialize;

use crate::arithmetic::{clamp, max, min, powi};
use crate::cut::{self, Approach, RunIn, Stock, withdrawal};
use crate::quantity::{INCH, Quantity, Units};
use crate::scenario::{Kind, Scenario};
use crate::setup::{Feed, Setup};

/// Room that chips and an unsteady hand want beside a bar, m (0.030 in) (common practice, no
/// source).
pub const FREE: f64 = 0.76e-3;
/// The bar's side keeps this from the wall that its edge cuts, m [guess]: there are no chips.
const BESIDE: f64 = 0.1e-3;
/// How far the edge stands out of the bar's side if nobody said, as a share of the bar: holders
/// with cylindrical shank by ISO 6261 stand out 3 mm of 16 and 20, 4.5 of 25, 6 of 32 (from
/// memory).
const EDGE_OUT: f64 = 0.15;
/// The least an edge stands out of a bar that cuts at all, as a share of it [guess].
const LEAST_OUT: f64 = 0.05;

/// Less than this is rounding of units, m.
const ROUNDING: f64 = 1e-8;

/// Which wall is meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Wall {
    /// Across the bore from the edge.
    Far,
    /// The side that is cut.
    Cut,
}

/// Part of the stroke.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Stretch {
    /// Before the taper, slack being taken up.
    RunIn,
    /// In the cut.
    Cut,
    /// Going back with the tool drawn off.
    Return,
}

impl Wall {
    /// In the shop's words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Far => "the far wall",
            Self::Cut => "the wall it cuts",
        }
    }
}

impl Stretch {
    /// In the shop's words.
    pub fn words(self) -> &'static str {
        match self {
            Self::RunIn => "while the slack is taken up",
            Self::Cut => "in the cut",
            Self::Return => "going back",
        }
    }
}

/// "first pass, going back, edge 4.2 in deep in the bore".
pub fn when(first_pass: bool, stretch: Stretch, depth: f64, units: Units) -> String {
    format!(
        "{} pass, {}, edge {} deep in the bore",
        if first_pass { "first" } else { "last" },
        stretch.words(),
        reach(depth, units)
    )
}

/// A gap as one would feel it: to a thou or a hundredth.
pub fn gap(m: f64, units: Units) -> String {
    match units {
        Units::Inch => format!("{:.3} in", m.abs() / INCH),
        Units::Metric => format!("{:.2} mm", m.abs() * 1e3),
    }
}

/// How far in: to a tenth of an inch or a millimetre.
pub fn reach(m: f64, units: Units) -> String {
    match units {
        Units::Inch => format!("{:.1} in", m / INCH),
        Units::Metric => format!("{:.0} mm", m * 1e3),
    }
}

/// A bar's size as it is stamped on it.
pub fn bar_size(m: f64, units: Units) -> String {
    match units {
        Units::Inch => format!("{} in", (m / INCH * 1e4).round() / 1e4),
        Units::Metric => format!("{} mm", (m * 1e4).round() / 10.0),
    }
}

/// A place where bar and bore come close.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Tight {
    /// Least gap, m; negative: they would have to pass through each other.
    pub gap: f64,
    /// To which wall.
    pub wall: Wall,
    /// In which part of the stroke.
    pub stretch: Stretch,
    /// In the first pass; otherwise in the last.
    pub first_pass: bool,
    /// Place of the edge, m from the headstock-side end of the taper.
    pub edge_z: f64,
    /// Radius at which the edge stands, m.
    pub edge_radius: f64,
    /// Place of the spot along the bore, m from the same end.
    pub spot_z: f64,
    /// Radius of the bore there, m.
    pub bore_radius: f64,
}

/// A bar of another thickness.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Thickest {
    /// The thickest that keeps its room, m; nothing or less: none does.
    pub diameter: f64,
    /// The next common size below, m.
    pub common: Option<f64>,
    /// Stiffness of that size over the bar's own, stuck out as far.
    pub stiffness: Option<f64>,
}

/// Room of the bar in one way of boring.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct BoreRoom {
    /// The bar, m.
    pub bar: f64,
    /// How far its edge stands out of its side, m.
    pub edge_out: f64,
    /// That was assumed.
    pub assumed: bool,
    /// The bore at the tightest place of all: `(z, radius)` from the headstock side to the mouth, m.
    pub outline: Vec<(f64, f64)>,
    /// The tightest place of each stretch in which the bar is in the bore, tightest first.
    pub tight: Vec<Tight>,
    /// Tool drawn off for the return, m per side.
    pub withdrawn: f64,
    /// Where the bore ends toward the tailstock, m from the headstock-side end of the taper.
    pub mouth: f64,
    /// Least length out of the holder, so that the holder stays outside the bore, m.
    pub out_needed: f64,
    /// Length out of the holder, m.
    pub out: f64,
    /// Least that the edge has to stand out of the bar's side to keep the wall that is cut free,
    /// m; negative: no matter.
    pub edge_needed: f64,
    /// What the first pass cuts, m from the headstock-side end of the taper; none where it cuts all
    /// along.
    pub first_cuts: Option<[f64; 2]>,
    /// What else would go in.
    pub thickest: Thickest,
    /// The bar can't make the stroke, whatever was assumed.
    pub rubs: bool,
}

impl BoreRoom {
    /// Works it out for a way with a bar in a bore; `None` for outside work.
    pub fn new(scenario: &Scenario, setup: &Setup, approach: &Approach) -> Option<Self> {
        let bar = scenario.job.tool.bar?;
        if setup.kind != Kind::Inside {
            return None;
        }
        let stroke = Stroke::new(scenario, setup, approach, bar.stick_out.si());
        let corners = stroke.corners();
        let diameter = bar.diameter.si();
        let edge_needed = most(corners.iter().map(Corner::over_the_mouth)) + BESIDE;
        let assumed = bar.edge_out.is_none();
        let edge_out = bar.edge_out.map_or_else(
            || max(EDGE_OUT * diameter, edge_needed),
            |edge_out| edge_out.si(),
        );
        let mut tight: Vec<Tight> = [Stretch::RunIn, Stretch::Cut, Stretch::Return]
            .into_iter()
            .filter_map(|stretch| {
                let here = || corners.iter().filter(|corner| corner.stretch == stretch);
                let least = |wall| {
                    here()
                        .map(|corner| corner.tight(wall, diameter, edge_out))
                        .min_by(|a, b| a.gap.total_cmp(&b.gap))
                };
                // That the bar's side keeps its edge's length from the wall that is cut goes
                // without saying.
                least(Wall::Cut)
                    .filter(|cut| cut.gap < BESIDE)
                    .into_iter()
                    .chain(least(Wall::Far))
                    .min_by(|a, b| a.gap.total_cmp(&b.gap))
            })
            .collect();
        tight.sort_by(|a, b| a.gap.total_cmp(&b.gap));
        let outline = tight.first().map_or_else(Vec::new, |at| stroke.outline(at));
        // Of what nobody said only the most favourable counts against a way.
        let least_out = if assumed {
            max(LEAST_OUT * diameter, edge_needed - BESIDE)
        } else {
            edge_out
        };
        let rubs = corners.iter().any(|corner| {
            [Wall::Far, Wall::Cut]
                .into_iter()
                .any(|wall| corner.tight(wall, diameter, least_out).gap < -ROUNDING)
        });
        // Every thou on the bar is one less to the far wall.
        let thickest = -most(corners.iter().map(|corner| -corner.across())) - edge_out - FREE;
        let common = common_below(thickest, scenario.job.units);
        Some(Self {
            bar: diameter,
            edge_out,
            assumed,
            outline,
            tight,
            withdrawn: stroke.withdrawn,
            mouth: stroke.mouth,
            out_needed: stroke.mouth - stroke.deepest(),
            out: bar.stick_out.si(),
            edge_needed,
            first_cuts: stroke.first_cuts(),
            thickest: Thickest {
                diameter: thickest,
                common,
                stiffness: common.map(|common| powi(common / diameter, 4)),
            },
            rubs,
        })
    }

    /// The tightest place of the whole stroke; `None` if the bar never is in the bore.
    pub fn tightest(&self) -> Option<&Tight> {
        self.tight.first()
    }

    /// How far into the bore the edge is at a place, m from the mouth.
    pub fn depth(&self, tight: &Tight) -> f64 {
        self.mouth - tight.edge_z
    }

    /// Whether the holder would meet the work's face.
    pub fn too_short(&self) -> bool {
        self.out < self.out_needed - ROUNDING
    }
}

fn most(values: impl Iterator<Item = f64>) -> f64 {
    values.fold(f64::NEG_INFINITY, max)
}

/// Diameters that bars are made in, in and mm.
const INCH_BARS: [f64; 14] = [
    0.25, 0.3125, 0.375, 0.5, 0.625, 0.75, 0.875, 1.0, 1.25, 1.5, 1.75, 2.0, 2.5, 3.0,
];
const METRIC_BARS: [f64; 10] = [8.0, 10.0, 12.0, 16.0, 20.0, 25.0, 32.0, 40.0, 50.0, 60.0];

fn common_below(diameter: f64, units: Units) -> Option<f64> {
    let (sizes, unit): (&[f64], f64) = match units {
        Units::Inch => (&INCH_BARS, INCH),
        Units::Metric => (&METRIC_BARS, 1e-3),
    };
    let mut from_thickest = sizes.iter().rev().map(|size| size * unit);
    from_thickest.find(|size| *size <= diameter + 1e-9)
}

/// Place along the work, m, of a carriage travel from the end where the feed starts.
fn place(travel: f64, feed: Feed, length: f64) -> f64 {
    match feed {
        Feed::Tailstock => travel,
        Feed::Headstock => length - travel,
    }
}

/// How far the edge runs below the finished cone in the first pass, m.
fn first_below(stock: &Stock) -> f64 {
    stock
        .roughing()
        .map_or(stock.to_finish, |plan| plan.stock - plan.set)
}

/// Carriage travel from which to which the first pass cuts, m: all along unless the stock, which
/// runs straight from end to end, is used up on the way.
fn cut_first(stock: &Stock, feed: Feed) -> [f64; 2] {
    let all = [0.0, stock.length];
    let below = first_below(stock);
    let [first, last] = all.map(|travel| -stock.blank(place(travel, feed, stock.length)) - below);
    if first * last >= 0.0 {
        return all;
    }
    let met = stock.length * first / (first - last);
    if first > 0.0 {
        [0.0, met]
    } else {
        [met, stock.length]
    }
}

/// Edge and bore at one corner of the stroke.
#[derive(Clone, Copy)]
struct Corner {
    stretch: Stretch,
    first_pass: bool,
    edge_z: f64,
    edge_radius: f64,
    spot_z: f64,
    bore_radius: f64,
}

impl Corner {
    /// From the edge across to the far wall, m.
    fn across(&self) -> f64 {
        self.bore_radius + self.edge_radius
    }

    /// How far the edge reaches over the narrowest place that the bar lies in, m.
    fn over_the_mouth(&self) -> f64 {
        self.edge_radius - self.bore_radius
    }

    /// What the bar keeps from one wall.
    fn tight(&self, wall: Wall, diameter: f64, edge_out: f64) -> Tight {
        Tight {
            gap: match wall {
                Wall::Far => self.across() - edge_out - diameter,
                Wall::Cut => edge_out - self.over_the_mouth(),
            },
            wall,
            stretch: self.stretch,
            first_pass: self.first_pass,
            edge_z: self.edge_z,
            edge_radius: self.edge_radius,
            spot_z: self.spot_z,
            bore_radius: self.bore_radius,
        }
    }
}

/// The edge's path of a pass, in carriage travel from the end where the feed starts.
struct Stroke {
    /// Carriage travel from which to which the first pass cuts, m.
    first: [f64; 2],
    stock: Stock,
    feed: Feed,
    pull: f64,
    slope: f64,
    /// Carriage travel before the taper, m.
    run_in: f64,
    /// Lost on reversal, m; nothing if the slide is seated by hand.
    lost: f64,
    /// What the slide lags behind the guide on the way back, m.
    lag: f64,
    withdrawn: f64,
    stick_out: f64,
    /// Where the bore ends toward the tailstock, m from the headstock-side end of the taper.
    mouth: f64,
}

impl Stroke {
    fn new(scenario: &Scenario, setup: &Setup, approach: &Approach, stick_out: f64) -> Self {
        let slope = cut::aimed_taper(scenario) / 2.0;
        let lag = slope * approach.lost.total;
        let stock = Stock::new(scenario, setup);
        Self {
            first: cut_first(&stock, setup.feed),
            feed: setup.feed,
            pull: setup.pull().sign(),
            slope,
            run_in: approach.run_in(),
            lost: match approach.how {
                RunIn::ByHand => 0.0,
                RunIn::Travel | RunIn::Short => approach.lost.total,
            },
            lag,
            withdrawn: withdrawal(lag),
            stick_out,
            mouth: stock.length + scenario.job.work.beyond.si(),
            stock,
        }
    }

    fn place(&self, travel: f64) -> f64 {
        place(travel, self.feed, self.stock.length)
    }

    /// What the first pass cuts along the work, m; none where it cuts all along.
    fn first_cuts(&self) -> Option<[f64; 2]> {
        let [from, to] = self.first.map(|travel| self.place(travel));
        (self.first != [0.0, self.stock.length]).then(|| [min(from, to), max(from, to)])
    }

    /// Carriage travel from which to which a pass is fed in the cut, m.
    fn fed(&self, first_pass: bool) -> [f64; 2] {
        if first_pass {
            self.first
        } else {
            [0.0, self.stock.length]
        }
    }

    /// The edge's deepest place in the bore, m from the headstock-side end; with the end of the
    /// taper passed by a hair when feeding in.
    fn deepest(&self) -> f64 {
        match self.feed {
            Feed::Tailstock => -self.run_in,
            Feed::Headstock => 0.0,
        }
    }

    /// Radius of the edge in one pass, its line `below` the finished cone.
    fn edge(&self, stretch: Stretch, travel: f64, below: f64, [from, to]: [f64; 2]) -> f64 {
        let line = |travel: f64| self.stock.radius(self.place(travel)) - below;
        let end = line(to);
        let lags = line(travel) + self.pull * self.lag;
        // Nearer to the far wall is the smaller radius: `min` when pulled in, where the way back
        // leads there, `max` when drawn away.
        match stretch {
            Stretch::Cut => line(travel),
            Stretch::RunIn => {
                let stands = line(from - self.run_in) + self.pull * self.slope * self.lost;
                if self.pull > 0.0 {
                    max(line(travel), stands)
                } else {
                    min(line(travel), stands)
                }
            }
            Stretch::Return if self.pull > 0.0 => min(end, lags) - self.withdrawn,
            Stretch::Return => max(end, lags) - self.withdrawn,
        }
    }

    /// Radius of the bore around the bar at `z`, m: what this pass has already cut, else what was
    /// there before it. Beyond the taper the hole goes on as it was.
    fn bore(&self, z: f64, stretch: Stretch, first_pass: bool, below: f64) -> f64 {
        let inside = clamp(z, 0.0, self.stock.length);
        let cone = self.stock.radius(inside);
        let before = if first_pass || z < 0.0 {
            cone + self.stock.blank(inside)
        } else {
            cone - self.stock.to_finish
        };
        // Fed in, the bar lies where its edge has been.
        let cut = match stretch {
            Stretch::RunIn => false,
            Stretch::Cut => self.feed == Feed::Headstock,
            Stretch::Return => true,
        };
        if cut && z >= 0.0 {
            max(before, cone - below)
        } else {
            before
        }
    }

    /// The bore as it stands at a place of the stroke.
    fn outline(&self, at: &Tight) -> Vec<(f64, f64)> {
        let below = if at.first_pass {
            first_below(&self.stock)
        } else {
            0.0
        };
        let end = min(at.edge_z, -0.1 * self.stock.length);
        // A hair to either side of a corner of the outline shows its step.
        let step = 1e-6 * self.stock.length;
        let length = self.stock.length;
        [end, -step, step, length - step, length + step, self.mouth]
            .into_iter()
            .map(|z| (z, self.bore(z, at.stretch, at.first_pass, below)))
            .collect()
    }

    /// Every corner of the path at which the bar is in the bore, of the first and the last pass.
    fn corners(&self) -> Vec<Corner> {
        let length = self.stock.length;
        let first = first_below(&self.stock);
        let mut corners = Vec::new();
        for (first_pass, below) in [(true, first), (false, 0.0)] {
            let [from, to] = self.fed(first_pass);
            let begins = from - self.run_in;
            let mut travels = vec![begins, begins + self.lost, from, to, to - self.lost];
            for place in [0.0, length, self.mouth] {
                for z in [place, place - self.stick_out] {
                    // The way there is its own inverse.
                    travels.push(self.place(z));
                }
            }
            for &travel in &travels {
                for stretch in [Stretch::RunIn, Stretch::Cut, Stretch::Return] {
                    let within = match stretch {
                        Stretch::RunIn => begins..=from,
                        Stretch::Cut => from..=to,
                        Stretch::Return => begins..=to,
                    };
                    if within.contains(&travel) {
                        corners.extend(self.corner(stretch, first_pass, travel, below));
                    }
                }
            }
        }
        corners
    }

    /// The narrowest place that the bar meets with the edge there; `None` outside the bore.
    fn corner(
        &self,
        stretch: Stretch,
        first_pass: bool,
        travel: f64,
        below: f64,
    ) -> Option<Corner> {
        let edge_z = self.place(travel);
        let last = min(edge_z + self.stick_out, self.mouth);
        if edge_z > last + ROUNDING {
            return None;
        }
        let within = |z: &f64| (edge_z..=last).contains(z);
        let narrow = [edge_z, 0.0, self.stock.length, last]
            .into_iter()
            .filter(within)
            .map(|z| (z, self.bore(z, stretch, first_pass, below)))
            .min_by(|a, b| a.1.total_cmp(&b.1))?;
        Some(Corner {
            stretch,
            first_pass,
            edge_z,
            edge_radius: self.edge(stretch, travel, below, self.fed(first_pass)),
            spot_z: narrow.0,
            bore_radius: narrow.1,
        })
    }
}
