//! What to expect of a way, worked out once and read by every voice: many lathes like the one
//! described, each cut and gauged as the sheet tells the hand to.
//!
//! The plan played: the guide proven with the gauge while stock remains and nudged where it reads
//! off, then two passes alike from an even stock, the work gauged between them, the dial of the last turned by a rule
//! fitted on other lathes. In it stand the errors a person makes: touching off and the dial (of
//! [`Study`]), the gauge's own error and its scatter, the setting of the guide, the edge dulling.
//!
//! Same files, seed and way: the same record, whatever is asked for beside it.

mod fit;
mod play;
mod yardstick;

pub use fit::LastPass;
pub use yardstick::{Cost, cost};

use serde::Serialize;

use crate::arithmetic::{max, min};
use crate::cut::Options;
use crate::quantity::{INCH, Length, Quantity};
use crate::scenario::{Kind, Scenario, StartSurface, Work};
use crate::setup::Setup;
use crate::spread::{Interval, Proportion};
use crate::study::{PER_TURN, RangeFault, Study};
use play::{Play, Played};

/// Lathes on which the plan is played.
const LATHES: u64 = 320;
/// Chances are told with doubt of 95 of 100.
const CONFIDENCE: f64 = 0.95;
/// Where a drawing gives no size tolerance, this per side either way, m: half a thou (a guess).
const SIZE_TAKEN: f64 = 0.0005 * INCH;
/// Passes alike at the end of a plan.
const ALIKE: usize = 2;
/// Where the last pass follows less of the dial than this, but not so little as a floating one, the
/// first pass from an even stock leaves much less than the next ones: one more goes before the
/// gauge.
const SOFT: f64 = 0.85;
const FLOATS: f64 = 0.5;
/// From this chance on a job is in reach.
const IN_REACH: f64 = 0.80;

/// A chance among lathes, with what so many lathes leave open.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Share {
    /// Share of the lathes, 0 to 1.
    pub met: f64,
    /// From here ...
    pub low: f64,
    /// ... to here (95 of 100).
    pub high: f64,
}

/// The same with the plan's gauging.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Gauging {
    /// Share in tolerance, and its doubt.
    #[serde(flatten)]
    pub share: Share,
    /// Share cut too far: nothing brings these back.
    pub scrap: f64,
    /// Share with metal left on: another pass.
    pub rework: f64,
}

/// What 95 of 100 lathes come to.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Middle {
    /// Median.
    pub median: f64,
    /// From here ...
    pub low: f64,
    /// ... to here.
    pub high: f64,
}

/// Whether the drawing is in reach.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Reach {
    /// By the dial alone.
    InReach,
    /// With the work gauged before the last pass.
    InReachIfGauged,
    /// So close to 80 of 100 that these lathes can't tell.
    OnTheEdge,
    /// No.
    OutOfReach,
}

/// What the drawing asks for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Asked {
    /// The taper within its tolerance.
    Taper,
    /// The size within its own.
    Size,
    /// Waves no higher than allowed.
    Finish,
}

/// What to expect of one way. Lengths in m per side, tapers on diameter as ratio, shares 0 to 1.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Expect {
    /// The way.
    pub way: Setup,
    /// Lathes it was played on.
    pub lathes: u64,
    /// The dial set for what such lathes usually leave, nothing gauged between.
    pub by_dial: Share,
    /// The whole plan; as by the dial where nothing is gauged.
    pub with_gauging: Gauging,
    /// Whether the drawing gave no size tolerance, so that half a thou per side was taken.
    pub size_taken: bool,
    /// What those before the gauge leave of their depth, positive left on.
    pub left: Middle,
    /// Taper on diameter at the end.
    pub taper: Middle,
    /// Waves of the body.
    pub waves: Middle,
    /// Mark where the tool comes in, positive dug in.
    pub entry: Middle,
    /// Size error of the body at the end, positive into the work.
    pub body: Middle,
    /// Mark where it goes out.
    pub exit: Middle,
    /// Whether the drawing is in reach.
    pub verdict: Reach,
    /// What is missed most, where anything is.
    pub decided_by: Option<Asked>,
    /// Time at the lathe for one piece, min.
    pub minutes: f64,
    /// Passes alike at its end, the last of them after the gauge.
    pub alike: usize,
    /// Depth set for each of them.
    pub set: f64,
    /// What the gauge reads before the last, as metal left on per side, and how far to turn the
    /// dial in for the last; empty where gauging doesn't mend it.
    pub last_pass: Vec<[f64; 2]>,
    /// How that follows from what was gauged.
    pub rule: LastPass,
    /// Share of a turn of the dial that such lathes follow: little where the slide floats.
    pub follows: f64,
    /// Expected time with what goes wrong in it, min.
    pub cost: Cost,
}

impl Expect {
    /// The chance to go by: with the plan's gauging.
    pub fn met(&self) -> Share {
        self.with_gauging.share
    }

    /// What these lathes leave open of the cost, min.
    pub fn doubt(&self) -> f64 {
        let met = self.met();
        max(0.5 * (met.high - met.low) * self.cost.spoilt, 0.5)
    }

    /// Whether a gauge between the passes brings the size: the last pass follows the dial.
    pub fn gauging_helps(&self) -> bool {
        !self.last_pass.is_empty()
    }
}

/// Depth of each of so many passes alike that a plan ends with, m: that of the last the job gives, or
/// where the stock has no room for more of them, what these take of it.
pub fn depth_of(scenario: &Scenario, alike: usize) -> f64 {
    let finish = &scenario.job.passes.finish;
    let last = finish.last().map_or(0.0, |set| set.si());
    let of_job = alike_at_end(finish);
    let more = alike.saturating_sub(of_job) as f64 * last;
    let all: f64 = finish.iter().map(|set| set.si()).sum();
    if all + more <= least_stock(&scenario.job.work) + 1e-9 {
        last
    } else {
        last * of_job.min(alike) as f64 / alike as f64
    }
}

/// How many passes at the end of a list are alike.
pub fn alike_at_end(finish: &[Length]) -> usize {
    let last = finish.last().map_or(0.0, |set| set.si());
    let alike = |set: &&Length| (set.si() - last).abs() < 1e-9;
    finish.iter().rev().take_while(alike).count()
}

/// Where there is least of it, m per side.
fn least_stock(work: &Work) -> f64 {
    match work.start {
        StartSurface::Roughed { stock } => stock.si(),
        StartSurface::Straight { diameter } => {
            let (big, small) = work.end_diameters();
            let [of_big, of_small] = [big, small].map(|end| 0.5 * (end.si() - diameter.si()));
            match work.kind {
                Kind::Inside => min(of_big, of_small),
                Kind::Outside => min(-of_big, -of_small),
            }
        }
    }
}

/// Limits of the size error per side, into the work, m; and whether they were taken for want of a
/// tolerance.
pub fn size_band(work: &Work) -> ([f64; 2], bool) {
    let Some(band) = &work.size_tolerance else {
        return ([-SIZE_TAKEN, SIZE_TAKEN], true);
    };
    let [lower, upper] = [0.5 * band.lower.si(), 0.5 * band.upper.si()];
    let limits = match work.kind {
        Kind::Inside => [lower, upper],
        Kind::Outside => [-upper, -lower],
    };
    (limits, false)
}

/// Plays the plan of one way on many lathes.
///
/// # Errors
/// A number whose range makes no distribution.
pub fn expect(scenario: &Scenario, setup: &Setup, options: Options) -> Result<Expect, RangeFault> {
    let plan = |alike: usize| planned(scenario, alike);
    let of = |scenario: &Scenario| -> Result<Study, RangeFault> {
        let options = Options {
            per_turn: PER_TURN,
            ..options
        };
        Study::new(scenario, &[*setup], options)
    };
    let two = plan(ALIKE);
    let play = Play::new(&two, setup, of(&two)?);
    let follows = fit::follows(&play);
    if !(FLOATS..SOFT).contains(&follows) {
        return Ok(played(&play, follows));
    }
    let three = plan(ALIKE + 1);
    let play = Play::new(&three, setup, of(&three)?);
    Ok(played(&play, fit::follows(&play)))
}

/// The job with so many passes alike at its end, from an even stock, and no spring pass.
pub fn planned(scenario: &Scenario, alike: usize) -> Scenario {
    let mut planned = scenario.clone();
    let passes = &mut planned.job.passes;
    passes.finish = vec![Length::from_si(depth_of(scenario, alike)); alike];
    passes.spring = 0;
    planned
}

fn played(play: &Play, follows: f64) -> Expect {
    let rule = fit::fit(play, follows);
    let played = play.all(LATHES, &rule);
    summed(play, &played, rule)
}

fn summed(play: &Play, played: &[Played], rule: fit::Fitted) -> Expect {
    let share = |so: &dyn Fn(&Played) -> bool| {
        let count = played.iter().filter(|one| so(one)).count() as u64;
        chance(count, played.len() as u64)
    };
    let middle = |of: &dyn Fn(&Played) -> f64| middle(played.iter().map(of).collect());
    let by_dial = share(&|one| play.meets(&one.by_dial));
    let gauged = |one: &Played| {
        if play.gauge.is_some() {
            one.gauged
        } else {
            one.by_dial
        }
    };
    let met = share(&|one| play.meets(&gauged(one)));
    let scrap = share(&|one| play.too_far(&gauged(one))).met;
    let rework = share(&|one| play.left_on(&gauged(one))).met;
    let missed = |of: &dyn Fn(&play::End) -> bool| share(&|one| !of(&gauged(one))).met;
    let misses = [
        (Asked::Taper, missed(&|end| play.taper_met(end))),
        (Asked::Size, missed(&|end| play.size_met(end))),
        (Asked::Finish, missed(&|end| play.waves_met(end))),
    ];
    let worst = misses
        .into_iter()
        .fold(None, |worst: Option<(Asked, f64)>, of| {
            let more = of.1 > worst.map_or(0.0, |worst| worst.1);
            if more { Some(of) } else { worst }
        });
    let minutes = yardstick::minutes(play);
    let helps = rule.helps && play.gauge.is_some();
    let with_gauging = Gauging {
        share: met,
        scrap,
        rework,
    };
    Expect {
        way: play.setup,
        lathes: played.len() as u64,
        by_dial,
        with_gauging,
        size_taken: play.size_taken,
        left: middle(&|one| one.left),
        taper: middle(&|one| gauged(one).taper),
        waves: middle(&|one| gauged(one).waves),
        entry: middle(&|one| one.entry),
        body: middle(&|one| gauged(one).size),
        exit: middle(&|one| one.exit),
        verdict: reach(by_dial, met),
        decided_by: worst.map(|(asked, _)| asked),
        minutes,
        alike: play.scenario.job.passes.finish.len(),
        set: play.set,
        last_pass: if helps {
            rule.rows(played, play)
        } else {
            Vec::new()
        },
        rule: rule.last_pass,
        follows: rule.follows,
        cost: cost(play, minutes, &with_gauging, helps),
    }
}

/// Whether the drawing is in reach, with the better of dial and gauge.
fn reach(by_dial: Share, with_gauging: Share) -> Reach {
    if by_dial.low >= IN_REACH {
        Reach::InReach
    } else if with_gauging.low >= IN_REACH {
        Reach::InReachIfGauged
    } else if max(by_dial.high, with_gauging.high) >= IN_REACH {
        Reach::OnTheEdge
    } else {
        Reach::OutOfReach
    }
}

/// A count as a chance.
fn chance(count: u64, of: u64) -> Share {
    let proportion = Proportion { count, of };
    let nothing = Interval {
        lower: 0.0,
        upper: 1.0,
    };
    let doubt = proportion.wilson(CONFIDENCE).unwrap_or(nothing);
    Share {
        met: proportion.share().unwrap_or(0.0),
        low: doubt.lower,
        high: doubt.upper,
    }
}

/// Median, and where 95 of 100 lie.
fn middle(mut values: Vec<f64>) -> Middle {
    values.sort_by(f64::total_cmp);
    let at = |share: f64| {
        let place = (share * (values.len() - 1) as f64 + 0.5) as usize;
        values[place]
    };
    if values.is_empty() {
        return Middle::default();
    }
    Middle {
        median: at(0.5),
        low: at(0.025),
        high: at(0.975),
    }
}
