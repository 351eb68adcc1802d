//! How to hold the slide: which way, whether at all, how hard, from what, and what can hurt.

use tautway_sim::advice::force_scan::ForcePoint;
use tautway_sim::advice::preload::{Judged, PreloadAdvice};
use tautway_sim::advice::source::{COARSE, Offer, Suits, size_in_words};
use tautway_sim::caution::{NOT_AN_INSPECTION, PRELOAD_WARNED, holding};
use tautway_sim::expect::Expect;
use tautway_sim::quantity::{INCH, LBF, PSI, Quantity, Units};
use tautway_sim::scenario::{Kind, PreloadSource, Scenario, Toward};
use tautway_sim::setup::{Pull, Setup, Side};
use tautway_sim::verdict::NOT_SEEN;

use super::{chance::of_100, expect, hurts, way::heading, words};
use tautway_words::{Block, Document, Table};

const GRAVITY: f64 = 9.806_65;

/// A force to the pound or to ten newtons.
pub(super) fn force(si: f64, units: Units) -> String {
    match units {
        Units::Inch => format!("{:.0} lbf", si / LBF),
        Units::Metric => format!("{:.0} N", si),
    }
}

fn bare_force(si: f64, units: Units) -> String {
    let text = force(si, units);
    text.split(' ').next().unwrap_or_default().to_owned()
}

/// A pressure as a gauge is read: to the psi, to a tenth of a bar.
fn pressure(si: f64, units: Units) -> String {
    match units {
        Units::Inch => format!("{:.0} psi", si / PSI),
        Units::Metric => format!("{:.1} bar", si / 1e5),
    }
}

fn toward(toward: Toward) -> &'static str {
    match toward {
        Toward::Operator => "toward the operator",
        Toward::Away => "away from the operator",
    }
}

/// What the plan with its gauging promises, held and not.
pub struct ByPlan {
    /// The way that a preload is weighed for, without it.
    pub without: Expect,
    /// With the force advised, where one is.
    pub held: Option<Expect>,
    /// The best way without any.
    pub best: Expect,
}

impl ByPlan {
    /// Whether it is worth it, in a sentence or two.
    fn words(&self) -> String {
        let Self {
            without,
            held,
            best,
        } = self;
        let chance = |expect: &Expect| expect::of_100(&expect.met());
        let held = held
            .as_ref()
            .map_or(String::new(), |held| format!(", so held {}", chance(held)));
        let (short, cost) = (words::short(&without.way), &without.cost);
        let mut text = format!("{short}: {}{held}.", chance(without));
        if best.way != without.way {
            let least = self.held.as_ref().map_or(cost, |held| &held.cost).expected;
            let so = if best.cost.expected <= least {
                "that is the cheaper: leave the preload off"
            } else {
                "held it is the cheaper"
            };
            text.push_str(&format!(
                " Without any, {}: {}; {so}.",
                words::short(&best.way),
                chance(best)
            ));
        }
        text
    }
}

/// Everything on holding the slide for one job.
pub fn preload(
    scenario: &Scenario,
    (advice, plan): (&PreloadAdvice, &ByPlan),
    units: Units,
    seed: u64,
    stopped: bool,
) -> Document {
    let mut page = Document::new();
    let cautions = holding(true, advice.advised.is_some_and(|f| f > PRELOAD_WARNED));
    if let Some(first) = cautions.first() {
        page.say("BEFORE ANYTHING:", first.advice);
        page.stop_if(first.stop_if);
        page.gap();
    }
    heading(&mut page, scenario, units);
    page.say("HOLD IT", which_way(advice));
    page.say("NEEDED?", needed(advice));
    page.say("BY THE PLAN, gauged before the last pass:", plan.words());
    page.gap();
    window(&mut page, advice, units);
    if let Some(weak) = advice.worst_weak() {
        page.say("TOO WEAK:", too_weak(advice, weak, units));
    }
    page.say("NEVER INTO THE CUT:", never(advice));
    for (label, own) in [("THE JOB'S:", advice.of_job), ("YOURS:", advice.own)] {
        if let Some(own) = own {
            page.say(label, judged(&own, advice, units));
        }
    }
    if let Some(advised) = advice.advised.filter(|_| advice.pull == Pull::Away) {
        page.gap();
        sources(&mut page, advice, advised, units);
    }
    page.gap();
    page.say("SWITCHING OFF, in this order:", SWITCH_OFF);
    hurts(&mut page, cautions.get(1..).unwrap_or_default());
    page.gap();
    if stopped {
        page.say(
            "Mind:",
            format!(
                "you stopped it after {} lathes: what was cut under each force is on these.",
                advice.trials
            ),
        );
    }
    page.say(
        "Note:",
        format!(
            "the window is from {} lathes like yours, {} of them cut under each force. \
             {NOT_AN_INSPECTION} (tautway {}, seed {seed})",
            advice.window.lathes,
            advice.trials,
            env!("CARGO_PKG_VERSION"),
        ),
    );
    page
}

const SWITCH_OFF: &str = "spindle stopped and tool clear of the work; air shut; bled until the \
    gauge is at nothing, or weight or spring taken off; slide locked; only then slacken or uncouple \
    the guide. To start: guide coupled and tight first, slide's lock off, then air.";

fn which_way(advice: &PreloadAdvice) -> String {
    let Setup { kind, side, .. } = advice.setup;
    let (here, there) = match (kind, side) {
        (Kind::Inside, Side::Front) => ("boring the front wall", "turning outside in front"),
        (Kind::Inside, Side::Rear) => ("boring the rear wall", "turning outside at the rear"),
        (Kind::Outside, Side::Front) => ("turning outside in front", "boring the front wall"),
        (Kind::Outside, Side::Rear) => ("turning outside at the rear", "boring the rear wall"),
    };
    let flipped = match advice.toward {
        Toward::Operator => Toward::Away,
        Toward::Away => Toward::Operator,
    };
    format!(
        "{}, if at all: {here}, that is out of the cut. It flips: {there} it is {}.",
        toward(advice.toward).to_uppercase(),
        toward(flipped)
    )
}

fn needed(advice: &PreloadAdvice) -> String {
    let best = words::short(&advice.best);
    let keeps = format!(
        "without a preload it keeps to one face on {} lathes like yours",
        of_100(&advice.best_steady)
    );
    let other = match advice.without() {
        Some(none) if advice.best != advice.setup => format!(
            " The way that a preload is weighed for below, {}: on {}.",
            words::short(&advice.setup),
            of_100(&none.steady)
        ),
        _ => String::new(),
    };
    if advice.is_needed() {
        format!(
            "Yes, that or a change (tautway modify): even the best way, {best}: {keeps}.{other}"
        )
    } else if advice.best == advice.setup {
        format!("No. {best}: {keeps}. Leave it off: what isn't there can't let go.")
    } else {
        format!("No, if you cut it the best way, {best}: {keeps}.{other}")
    }
}

fn window(page: &mut Document, advice: &PreloadAdvice, units: Units) {
    let w = &advice.window;
    let way = words::short(&advice.setup);
    let rule = format!(
        "The plain rule, at least twice what starts the slide ({} to {} on such lathes), says {}.",
        bare_force(w.starts.lower, units),
        force(w.starts.upper, units),
        force(advice.plain_rule, units)
    );
    if advice.pull == Pull::In {
        page.say(
            "WINDOW:",
            format!(
                "{way}: nothing is the least. Guide and cut push the slide to the same face, in the \
                 run-in and in the cut; a preload only saves run-in. {rule} For the other \
                 feed choose it with --feed."
            ),
        );
    } else if w.is_open() {
        let most = if w.foot {
            "above that the load takes the foot off its seat on this taper"
        } else if w.most > PRELOAD_WARNED {
            "above that it is refused"
        } else {
            "above that it can break a hand"
        };
        page.say(
            "WINDOW:",
            format!(
                "{way}: {} to {}. The least keeps the slide to the guide on {:.0} of 100 lathes \
                 like yours, in the run-in in air and over the whole cut, with {:.0} % to spare; \
                 {most}. With a cylinder {} to {}: its seals drag too.",
                bare_force(w.least, units),
                force(w.most, units),
                100.0 * w.probability,
                100.0 * w.margin,
                bare_force(advice.sealed.least, units),
                force(advice.sealed.most, units),
            ),
        );
        page.say("", &rule);
    } else {
        page.say(
            "NO PRELOAD CAN BE ADVISED:",
            format!(
                "{way}: it would take {}, and {} is the most{}. Cut it the other way, or free and \
                 oil the slide: less drag asks for less. {rule}",
                force(w.least, units),
                force(w.most, units),
                if w.foot {
                    ", where the load takes the foot off its seat on this taper"
                } else {
                    " that is ever advised on a cross-slide"
                }
            ),
        );
    }
    if let (Some(advised), Some(cut), Pull::Away) =
        (advice.advised, advice.with_advised(), advice.pull)
    {
        let strong = if advised > PRELOAD_WARNED {
            ", IF AT ALL: above 100 lbf (445 N) it can break a hand. A freer slide asks for less"
        } else {
            ""
        };
        page.say(
            "USE",
            format!(
                "{}{strong}. Cut with it: hard against the guide on {} lathes like yours; {}; waves {}.",
                force(advised, units),
                of_100(&cut.seated),
                left(cut, units),
                waves(cut, units),
            ),
        );
    }
}

fn left(point: &ForcePoint, units: Units) -> String {
    let mean = point.left.mean;
    if mean.abs() < NOT_SEEN {
        "it takes its size".to_owned()
    } else if mean > 0.0 {
        format!("{} per side is left on", words::height(mean, units))
    } else {
        format!("{} per side too deep", words::height(mean, units))
    }
}

fn waves(point: &ForcePoint, units: Units) -> String {
    if point.waves.mean < NOT_SEEN {
        "you would not see".to_owned()
    } else {
        words::height(point.waves.mean, units)
    }
}

fn too_weak(advice: &PreloadAdvice, weak: &ForcePoint, units: Units) -> String {
    let none = advice.without().map_or(String::new(), |none| {
        format!(" With none: {}.", left(none, units))
    });
    format!(
        "worse than none. At {}, on the average lathe, {}; hard against the guide on {}.{none} It \
         takes away the drag that held the tool in and can't hold the slide itself.",
        force(weak.force, units),
        left(weak, units),
        of_100(&weak.seated)
    )
}

fn never(advice: &PreloadAdvice) -> String {
    let wrong = match advice.toward {
        Toward::Operator => Toward::Away,
        Toward::Away => Toward::Operator,
    };
    format!(
        "here that is {}. This is a rule of safety and not a result: the depth would rest on the \
         air or the spring alone, it fails at the hardest spot, and if a hose, cord or nut lets go \
         the tool is driven into the work. It may well read steady.",
        toward(wrong)
    )
}

fn judged(own: &Judged, advice: &PreloadAdvice, units: Units) -> String {
    let what = match own.preload.source {
        PreloadSource::Constant(_) => format!("a weight of {}", force(own.force.0, units)),
        PreloadSource::Spring { .. } => format!(
            "a spring of {} to {} along its stroke",
            bare_force(own.force.0, units),
            force(own.force.1, units)
        ),
        PreloadSource::Cylinder {
            bore, pressure: p, ..
        } => format!(
            "a cylinder of {} at {}, {}",
            size_in_words(bore.si(), units),
            pressure(p.si(), units),
            force(own.force.0, units)
        ),
    };
    if !own.out_of_cut {
        return format!(
            "{what}, {}: INTO THE CUT. Never, even where it reads steady: turn it round.",
            toward(own.preload.toward)
        );
    }
    if advice.pull == Pull::In && own.suits != Suits::Refused {
        return format!("{what}: not needed this way.");
    }
    let least = match own.preload.source {
        PreloadSource::Cylinder { .. } => advice.sealed.least,
        _ => advice.window.least,
    };
    let verdict = match own.suits {
        Suits::Well => "it holds".to_owned(),
        Suits::Strong => {
            "it holds, but it is above 100 lbf (445 N): it can break a hand".to_owned()
        }
        Suits::Above => "more than it needs: the top of the window is less".to_owned(),
        Suits::Refused => {
            "REFUSED: above 200 lbf (890 N) is too much for a cross-slide to let fly".to_owned()
        }
        Suits::LineTooStrong => format!(
            "REFUSED: set so it may do, but a slip of the regulator to the line's {} makes it {}",
            pressure(advice.line, units),
            own.at_line.map_or(String::new(), |f| force(f, units))
        ),
        Suits::TooWeak => format!(
            "TOO WEAK: {} is the least, and too weak can be worse than none",
            force(least, units)
        ),
        Suits::TooSmall | Suits::TooLow => "it does not suit".to_owned(),
    };
    format!("{what}: {verdict}.")
}

fn sources(page: &mut Document, advice: &PreloadAdvice, advised: f64, units: Units) {
    let mass = match units {
        Units::Inch => format!("{:.0} lb", advised / LBF),
        Units::Metric => format!("{:.0} kg", advised / GRAVITY),
    };
    page.lead("From what:");
    page.item(format!(
        "a weight of {mass} on a cord over a pulley, or a constant-force spring of {}: the \
             same all along, nothing to leak. The weight in a tube or fenced off.",
        force(advised, units)
    ));
    let (falls, grows) = advice.spring_travel;
    page.item(format!(
        "a spring: with the tool at the middle of the taper {}, and the more by its rate times \
             {}, which it goes slack by; no more than {} less its rate times {}.",
        force(advised, units),
        words::about(falls, units),
        force(advice.window.most, units),
        words::about(grows, units),
    ));
    let Some(sealed) = advice.advised_sealed else {
        page.item("no cylinder: with its seals it would take more than is ever advised.");
        return;
    };
    page.item(format!(
        "an air cylinder for {} (its seals counted), line at {}:",
        force(sealed, units),
        pressure(advice.line, units)
    ));
    let head = ["bore", "set it to", "window", "rod side", "wide open", ""];
    let mut table = Table::new(head).words_in(&[0, 5]);
    table.depth = 1;
    for offer in &advice.offers {
        table.row(row(offer, units));
    }
    page.push(Block::Table(table));
    page.under("", format!(
            "Wide open: the force if the regulator slips to the line's pressure. Above 200 lbf (890 \
             N) a cylinder is refused however it is set; below {} no regulator holds steady. Use a \
             relieving regulator, for the slide drives air back; ports and hose wide, for small \
             ones lag.",
            pressure(COARSE, units)
        ),
    );
    page.say(
        "Stroke:",
        format!(
            "at least {}: what the slide travels over taper and run-in, the slack, and {}. Try it \
             by hand from end to end, spindle stopped, air off.",
            words::about(advice.window.stroke, units),
            words::about(0.5 * INCH, units)
        ),
    );
}

fn row(offer: &Offer, units: Units) -> [String; 6] {
    let name = offer.cylinder.in_words(units);
    let bare = |si: f64| {
        let text = pressure(si, units);
        text.split(' ').next().unwrap_or_default().to_owned()
    };
    let suits = match offer.suits {
        Suits::Well => "good",
        Suits::Strong => "above 100 lbf: mind your hands",
        Suits::TooSmall => "too small for the line",
        Suits::TooLow => "refused: too low to hold",
        Suits::LineTooStrong if offer.advised < COARSE => "refused: absurd",
        _ => "refused: too strong",
    };
    [
        name,
        pressure(offer.advised, units),
        format!(
            "{} to {}",
            bare(offer.pressures.0),
            pressure(offer.pressures.1, units)
        ),
        pressure(offer.advised_rod_side, units),
        force(offer.at_line, units),
        suits.to_owned(),
    ]
}
