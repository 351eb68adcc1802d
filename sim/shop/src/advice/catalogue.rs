//! The changes worth trying on a job, cheapest first, as far as they apply to it and its lathe.
//!
//! How long each takes and by how much it moves a number are guesses, unless a line says
//! otherwise; nothing here was measured. A change is listed only where it has something to act on:
//! no bar, no change of bar; a number that is as good already is left alone.

use crate::bore_room::BoreRoom;
use crate::caution::PRELOAD_WARNED;
use crate::cut::{Options, RunIn, approach};
use crate::feasibility::reasons;
use crate::machine::preload::PreloadForce;
use crate::quantity::{Force, INCH, INCH_PER_FOOT, Length, PSI, Pressure, Quantity, Units};
use crate::scenario::defaults::{self, Edge, ToolMaterial};
use crate::scenario::material::Material;
use crate::scenario::numbers::preload::SEAL_SHARE;
use crate::scenario::numbers::{attachment, slide};
use crate::scenario::{Condition, End, Holding, Known, Preload, PreloadSource, Scenario, Vary};
use crate::setup::{Feed, Setup};

use super::change::{Arrangement, Change, Effect, SlackOf, Undone};
use super::eyes::better_eyes;
use super::source::{Suits, cylinders, offers, size_in_words};
use super::window::Window;

/// Holder's clearance from the face, m (1/2 in, a guess).
const CLEAR: f64 = 0.5 * INCH;
/// A bar is shorter when it is so by a tenth.
const SHORTER: f64 = 0.9;
/// Half of what a guide set by a master and an indicator may be off, on diameter: two tenths of a
/// thou either end of some 3 in of travel, per side (worked from that).
const SET_BY_MASTER: f64 = 0.0016 * INCH_PER_FOOT;
/// Half of what a guide set by a straight test cut leaves of the headstock's lean, on diameter: two
/// tenths of a thou over 6 in (worked from that).
const BY_STRAIGHT_CUT: f64 = 0.0004 * INCH_PER_FOOT;
/// A number counts as worse than a range when middle or far end is so by this factor.
const WORSE: f64 = 1.1;

/// Preloads that would hold.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Holds {
    /// A weight or spring, N; none where none may be advised without a warning.
    pub weight: Option<f64>,
    /// A cylinder's force, N, and its window.
    pub cylinder: Option<(f64, Window)>,
    /// Pressure of the shop's line, Pa.
    pub line: f64,
}

impl Holds {
    /// From the windows without and with seals, leaving out what is too strong for a hand.
    pub fn new(windows: [Window; 2], plain_rule: f64, units: Units, line: f64) -> Self {
        let gentle = |window: &Window| {
            let force = window.advised(plain_rule, units)?;
            (force <= PRELOAD_WARNED).then_some(force)
        };
        let [plain, sealed] = windows;
        Self {
            weight: gentle(&plain),
            cylinder: gentle(&sealed).map(|force| (force, sealed)),
            line,
        }
    }
}

/// Every change that applies, cheapest first. `hold` is a preload that would do, if any would.
pub fn changes(now: &Arrangement, hold: Option<Holds>, options: Options) -> Vec<Change> {
    let mut all = way_of_cutting(now, options);
    all.extend(slide(&now.scenario));
    all.extend(tool(now, options));
    all.extend(better_eyes(&now.scenario));
    all.extend(attachment(&now.scenario));
    all.extend(hold.into_iter().flat_map(|hold| preloads(now, hold)));
    all.sort_by(|a, b| a.minutes.total_cmp(&b.minutes));
    all
}

fn change(
    id: &'static str,
    words: impl Into<String>,
    does: impl Into<String>,
    minutes: f64,
    undone: Undone,
    effects: Vec<Effect>,
) -> Change {
    Change {
        id,
        words: words.into(),
        does: does.into(),
        minutes,
        undone,
        effects,
    }
}

fn range(known: &dyn Vary) -> [f64; 3] {
    known.range_si()
}

/// Whether a number is worse than this range, in the middle or at its far end.
fn worse(known: &dyn Vary, than: [f64; 3]) -> bool {
    let [_, middle, high] = known.range_si();
    middle > WORSE * than[1] || high > WORSE * than[2]
}

/// The other feed, seating by hand.
fn way_of_cutting(now: &Arrangement, options: Options) -> Vec<Change> {
    let mut all = Vec::new();
    let back = change(
        "feed-other-way",
        "feed the other way",
        "the guide then pulls in where it drew away, or the reverse",
        2.0,
        Undone::Easily,
        vec![Effect::FeedBack],
    );
    let after = back.applied(now);
    let (_, run_in) = approach(&after.scenario, &after.setup, options);
    if now.scenario.job.thread.is_none()
        && reasons(&after.scenario, &after.setup, &run_in).is_empty()
    {
        all.push(back);
    }
    let (_, run_in) = approach(&now.scenario, &now.setup, options);
    if !now.by_hand && run_in.how != RunIn::ByHand {
        all.push(change(
            "seat-by-hand",
            "seat the slide by hand before each pass",
            "spindle stopped, tool clear: the slack is taken up however short the run-in is",
            5.0,
            Undone::Easily,
            vec![Effect::SeatByHand],
        ));
    }
    all
}

fn slide(scenario: &Scenario) -> Vec<Change> {
    let mut all = vec![
        change(
            "clean-and-oil",
            "clean and oil the slide and the guide",
            "drag x0.8 (0.65 to 1), to start it over to keep it moving nearer to 1, its change \
             along the stroke x0.7: guesses",
            15.0,
            Undone::Easily,
            vec![
                Effect::Times {
                    key: "slide.drag",
                    share: [0.65, 0.8, 1.0],
                },
                Effect::DownTo {
                    key: "slide.breakaway",
                    si: range(&slide::BREAKAWAY.of(Condition::Good)),
                },
                Effect::Times {
                    key: "slide.drag_change",
                    share: [0.5, 0.7, 1.0],
                },
            ],
        ),
        change(
            "snug-slide-gib",
            "snug the slide's gib",
            "drag x1.6 (1.3 to 2, never more), its change along the stroke x0.6, side slack x0.4: \
             guesses. Costs wind-up on reversal and wear of the shoe; never by the lock screw",
            10.0,
            Undone::Easily,
            vec![
                Effect::Times {
                    key: "slide.drag",
                    share: [1.3, 1.6, 2.0],
                },
                Effect::Times {
                    key: "slide.drag_change",
                    share: [0.4, 0.6, 0.9],
                },
                Effect::Times {
                    key: "slide.gib_slack",
                    share: [0.25, 0.4, 0.6],
                },
            ],
        ),
    ];
    if SlackOf::TopSlide.is_in(&scenario.lathe) {
        all.push(change(
            "lock-top-slide",
            "lock the top slide",
            "its screw's slack is out of the drive",
            1.0,
            Undone::Easily,
            vec![Effect::LockTopSlide],
        ));
    }
    all
}

fn tool(now: &Arrangement, options: Options) -> Vec<Change> {
    let job = &now.scenario.job;
    let mut all = Vec::new();
    let fresh = range(&defaults::push_ratio(Some(Edge::Fresh)));
    if worse(&job.cutting.push_ratio, fresh) {
        let share = Material::named(&job.work.material).map_or(1.0, |row| row.edge_share);
        // The file doesn't keep what the edge is made of; only carbide starts as round as this.
        let carbide = range(&defaults::edge_radius(
            Some(Edge::Fresh),
            ToolMaterial::Carbide,
        ));
        let steel = range(&defaults::edge_radius(
            Some(Edge::Fresh),
            ToolMaterial::HighSpeedSteel,
        ));
        let radius = if job.tool.edge_radius.si() > carbide[1] {
            carbide
        } else {
            steel
        };
        all.push(change(
            "sharp-tool",
            "a fresh edge",
            "push-off and the edge's own push as of a fresh edge, with its range (from memory, \
             split by guess)",
            5.0,
            Undone::Easily,
            vec![
                Effect::DownTo {
                    key: "cutting.push_ratio",
                    si: fresh,
                },
                Effect::DownTo {
                    key: "cutting.edge_force",
                    si: range(&defaults::edge_force(Some(Edge::Fresh))).map(|si| si * share),
                },
                Effect::DownTo {
                    key: "tool.edge_radius",
                    si: radius,
                },
            ],
        ));
    }
    if let Some(bar) = &job.tool.bar {
        let (diameter, stick_out) = (bar.diameter.si(), bar.stick_out.si());
        let needed = reach(now, options);
        if needed < SHORTER * stick_out {
            let length = size_in_words(needed, job.units);
            all.push(change(
                "shorter-bar",
                format!("the bar only {length} out"),
                "as far as the taper, its run-in and half an inch before the holder ask (worked \
                 out; the half inch is a guess)",
                5.0,
                Undone::Easily,
                vec![Effect::Bar {
                    diameter: None,
                    stick_out: Some(needed),
                }],
            ));
        }
        if let Some(thicker) = thickest(now, diameter, options) {
            let size = size_in_words(thicker, job.units);
            all.push(change(
                "thicker-bar",
                format!("a bar of {size}"),
                "the thickest of the usual sizes that keeps clear of the bore's walls on every \
                 pass and going back (worked out); as long as now",
                20.0,
                Undone::Easily,
                vec![Effect::Bar {
                    diameter: Some(thicker),
                    stick_out: None,
                }],
            ));
        }
    }
    all
}

/// How far a bar has to stick out, m: the taper, what it runs past the inner end, and room
/// before the holder; up to the next 1/8 in or 5 mm.
fn reach(now: &Arrangement, options: Options) -> f64 {
    let work = &now.scenario.job.work;
    let past = if now.setup.starts_at() == End::Headstock {
        let (_, approach) = approach(&now.scenario, &now.setup, options);
        approach.run_in()
    } else {
        0.0
    };
    let step = match now.scenario.job.units {
        Units::Inch => INCH / 8.0,
        Units::Metric => 5e-3,
    };
    ((work.length.si() + past + CLEAR) / step).ceil() * step
}

/// The thickest usual bar that keeps its room over the whole stroke, if it is thicker than this
/// one, m.
fn thickest(now: &Arrangement, than: f64, options: Options) -> Option<f64> {
    let (_, approach) = approach(&now.scenario, &now.setup, options);
    let room = BoreRoom::new(&now.scenario, &now.setup, &approach)?;
    room.thickest.common.filter(|size| *size > than * 1.01)
}

fn attachment(scenario: &Scenario) -> Vec<Change> {
    let lathe = &scenario.lathe;
    let a = &lathe.attachment;
    let good = Condition::Good;
    let mut all = Vec::new();
    let parts = [
        (
            SlackOf::Shoe,
            "shoe-gib",
            "take up the shoe on the guide",
            20.0,
            range(&attachment::SHOE_SLACK.of(good)),
        ),
        (
            SlackOf::Thrust,
            "thrust-nut",
            "take up the thrust nut of the cross screw",
            20.0,
            range(&attachment::THRUST_SLACK.of(good)),
        ),
        (
            SlackOf::Nut,
            "new-nut",
            "a new cross nut",
            240.0,
            range(&attachment::NUT_SLACK.of(good)),
        ),
    ];
    for (part, id, words, minutes, si) in parts {
        if !part.is_in(lathe) || !worse(part.of(lathe), si) {
            continue;
        }
        let shared = if a.total_slack.is_some() {
            "; the slack measured in one go comes down by the usual share of this part (a guess)"
        } else {
            ""
        };
        all.push(change(
            id,
            words,
            format!("its slack as on a lathe in good order (a guess){shared}"),
            minutes,
            if part == SlackOf::Nut {
                Undone::No
            } else {
                Undone::Easily
            },
            vec![Effect::TakeUp { part, si }],
        ));
    }
    let bolted = range(&attachment::FOOT_SLACK.of(good));
    if worse(&a.foot_slack, bolted) {
        all.push(change(
            "foot-bolts",
            "draw up the foot's bolts and the rod's joints",
            "foot slack as on a lathe in good order, its spring x1.2 (1 to 1.5): guesses",
            15.0,
            Undone::Easily,
            vec![
                Effect::DownTo {
                    key: "attachment.foot_slack",
                    si: bolted,
                },
                Effect::Times {
                    key: "attachment.foot_spring",
                    share: [1.0, 1.2, 1.5],
                },
            ],
        ));
    }
    all.push(change(
        "stiffer-foot",
        "a stouter foot and rod",
        "twice as stiff along the bed (1.5 to 3), a guess: a rod of twice the section, better \
         clamped",
        180.0,
        Undone::WithWork,
        vec![Effect::Times {
            key: "attachment.foot_spring",
            share: [1.5, 2.0, 3.0],
        }],
    ));
    let off = |known: &dyn Vary, half: f64| {
        let [low, middle, high] = known.range_si();
        middle.abs() > half || high - low > 2.0 * WORSE * half
    };
    if off(&a.setting_error, SET_BY_MASTER) {
        all.push(change(
            "set-by-master",
            "set the guide by a master and an indicator",
            "the guide is off by 0.0016 in/ft at most either way: 0.0002 in over 3 in, worked out \
             from that",
            30.0,
            Undone::Easily,
            vec![Effect::About {
                key: "attachment.setting_error",
                half: SET_BY_MASTER,
            }],
        ));
    }
    if scenario.job.work.holding == Holding::Chuck
        && off(&lathe.spindle.out_of_line, BY_STRAIGHT_CUT)
    {
        all.push(change(
            "straight-cut",
            "turn a straight piece first and set the guide by it",
            "the taper that a straight cut shows is taken off the guide's: 0.0004 in/ft are left at \
             most either way, two diameters 6 in apart, worked out from that",
            15.0,
            Undone::Easily,
            vec![Effect::About {
                key: "spindle.out_of_line",
                half: BY_STRAIGHT_CUT,
            }],
        ));
    }
    let [_, _, straight] = range(&attachment::GUIDE_BOW.of(good));
    if off(&a.guide_bow, straight) {
        all.push(change(
            "straighten-guide",
            "straighten and level the guide",
            "its bow as on a lathe in good order, the drag's change along the stroke x0.8: guesses",
            240.0,
            Undone::No,
            vec![
                Effect::About {
                    key: "attachment.guide_bow",
                    half: straight,
                },
                Effect::Times {
                    key: "slide.drag_change",
                    share: [0.6, 0.8, 1.0],
                },
            ],
        ));
    }
    all
}

/// Weight and cylinder out of the cut, where there is none yet or what is there must go.
fn preloads(now: &Arrangement, hold: Holds) -> Vec<Change> {
    let job = &now.scenario.job;
    let mut all = Vec::new();
    let already = PreloadForce::new(job.preload.as_ref(), &now.setup).out;
    if hold.weight.is_none_or(|force| already >= force) {
        return all;
    }
    let toward = now.setup.toward_in_x(true);
    let near = |si: f64, share: f64| [si * (1.0 - share), si, si * (1.0 + share)];
    if let Some(force) = hold.weight {
        let mut weight: Known<Force> = Known::given(Force::from_si(force));
        weight.set_range_si(near(force, 0.1));
        all.push(change(
            "weight",
            format!(
                "a weight or constant-force spring of {}",
                weight.middle.show(job.units)
            ),
            "out of the cut; 10 % either way for the pulley's friction, a guess",
            30.0,
            Undone::Easily,
            vec![Effect::Hold {
                preload: Preload {
                    toward,
                    source: PreloadSource::Constant(weight),
                },
            }],
        ));
    }
    let fits = hold.cylinder.and_then(|(force, window)| {
        offers(&cylinders(job.units), &window, force, hold.line)
            .into_iter()
            .find(|offer| offer.suits == Suits::Well)
    });
    if let Some(offer) = fits {
        let mut pressure: Known<Pressure> = Known::given(Pressure::from_si(offer.advised));
        pressure.set_range_si(near(offer.advised, 0.05));
        let gauge = match job.units {
            Units::Inch => format!("{:.0} psi", offer.advised / PSI),
            Units::Metric => format!("{:.1} bar", offer.advised / 1e5),
        };
        all.push(change(
            "cylinder",
            format!(
                "an air cylinder of {} at {gauge}",
                offer.cylinder.in_words(job.units)
            ),
            "out of the cut; its seals drag too (10 to 20 % published, wider here by guess), the \
             regulator holds within 5 %, a guess",
            120.0,
            Undone::WithWork,
            vec![Effect::Hold {
                preload: Preload {
                    toward,
                    source: PreloadSource::Cylinder {
                        bore: Length::from_si(offer.cylinder.bore),
                        rod: Length::from_si(0.0),
                        pressure,
                        seal_share: SEAL_SHARE.always(),
                    },
                },
            }],
        ));
    }
    all
}

/// The way with the same tool and spindle that the guide draws away: a preload is weighed on it.
pub fn drawn_away(setup: &Setup) -> Setup {
    let other = Setup {
        feed: match setup.feed {
            Feed::Headstock => Feed::Tailstock,
            Feed::Tailstock => Feed::Headstock,
        },
        ..*setup
    };
    if setup.pull() == crate::setup::Pull::Away {
        *setup
    } else {
        other
    }
}
