//! How sure: ranges and chances over the lathes tried, and what makes the spread.

use tautway_sim::arithmetic::{clamp, max};
use tautway_sim::compare::Way;
use tautway_sim::expect::Expect;
use tautway_sim::quantity::{Length, Quantity, Units};
use tautway_sim::scenario::Scenario;
use tautway_sim::spread::{Coverage, Ending, GroupIndices, Interval};
use tautway_sim::study::{Chance, TAPER, WayOutlook};
use tautway_sim::verdict::NOT_SEEN;

use super::expect;
use super::words::{self, Tapers};

use crate::spread::Spread;
use tautway_words::{Block, Document, Table};

/// "about 89 of 100", never surer than the trials are.
pub fn of_100(chance: &Chance) -> String {
    let per_cent = |share: f64| (100.0 * share).round();
    if chance.share >= 0.995 {
        format!(
            "at least {:.0} of 100",
            (100.0 * chance.interval.lower).floor()
        )
    } else if chance.share <= 0.005 {
        format!(
            "at most {:.0} of 100",
            (100.0 * chance.interval.upper).ceil()
        )
    } else {
        format!("about {:.0} of 100", per_cent(chance.share))
    }
}

/// What taper to expect, and how often it is within its tolerance.
pub(super) fn taper(tried: &WayOutlook, tapers: &Tapers) -> String {
    taper_of(&tried.taper, &tried.taper_met, tapers)
}

/// The same of any trials.
pub(super) fn taper_of(taper: &Coverage, met: &Chance, tapers: &Tapers) -> String {
    let Interval { lower, upper } = taper.symmetric;
    let middle = taper.estimate;
    let (below, above) = (middle - lower, upper - middle);
    let range = if (below - above).abs() <= 0.3 * max(below, above) {
        format!(
            "{} +- {}",
            tapers.bare(middle),
            tapers.difference(0.5 * (upper - lower))
        )
    } else {
        format!("{} to {}", tapers.bare(lower), tapers.show(upper))
    };
    format!(
        "Expect {range}: within tolerance on {} lathes like yours",
        of_100(met)
    )
}

/// How far the size may be off.
pub(super) fn size(tried: &WayOutlook, units: Units) -> String {
    let Interval { lower, upper } = tried.size_error.symmetric;
    if upper - lower < 2.0 * NOT_SEEN {
        return String::new();
    }
    let height = |m: f64| words::height(m, units);
    let bare = |m: f64| words::bare_height(m, units);
    if upper <= 0.0 {
        format!(
            " On such lathes {} to {} is left on.",
            bare(upper),
            height(lower)
        )
    } else if lower >= 0.0 {
        format!(
            " On such lathes {} to {} too deep.",
            bare(lower),
            height(upper)
        )
    } else {
        format!(
            " On such lathes from {} still on to {} too deep.",
            height(lower),
            height(upper)
        )
    }
}

/// How often all that the drawing asks for is met, where that is not the taper alone.
pub(super) fn whole_drawing(tried: &WayOutlook) -> String {
    if tried.met.in_trials == tried.taper_met.in_trials {
        return String::new();
    }
    format!(" In tolerance, size and taper, on {}.", of_100(&tried.met))
}

/// How high waves may be.
pub(super) fn finish(tried: &WayOutlook, units: Units) -> String {
    let most = tried.waves.symmetric.upper;
    if most < NOT_SEEN {
        return String::new();
    }
    let steady = if tried.steady.share < 0.995 {
        format!(" Steady on {} such lathes.", of_100(&tried.steady))
    } else {
        String::new()
    };
    format!(
        " Waves up to {} on such lathes.{steady}",
        words::height(most, units)
    )
}

/// How many are good by the plan.
pub(super) fn in_tolerance(expect: &Expect) -> String {
    format!("in tolerance on {}", expect::of_100(&expect.met()))
}

/// How another way does on the same lathes.
pub(super) fn against(spread: Option<&Spread>, way: &Way) -> String {
    let Some(tried) = spread.and_then(|spread| spread.of(&way.setup)) else {
        return String::new();
    };
    let worse = tried
        .against_first
        .and_then(|paired| paired.first_better.share())
        .filter(|share| *share >= 0.05)
        .map(|share| format!("worse on {:.0} of 100", 100.0 * share));
    // As everywhere: by the plan.
    let met = way.expect.as_ref().map(in_tolerance);
    let told = [worse, met].into_iter().flatten();
    told.map(|told| format!("; {told}")).collect()
}

/// The foot of the page: how many lathes were tried.
pub(super) fn tried(spread: Option<&Spread>) -> String {
    spread.map_or(String::new(), |spread| {
        format!(
            ", {} lathes tried, ranges hold {:.0} of 100",
            spread.outlook.trials,
            100.0 * spread.outlook.probability
        )
    })
}

/// Outputs of a [`tautway_sim::study::Mend`], by place, as the screen names them.
const OUTPUTS: [&str; 5] = [
    "the taper",
    "the size",
    "the waves",
    "the straight part",
    "what is left wrong",
];
/// What to mend, or to measure, first, in a sentence.
pub(super) fn mend(spread: &Spread) -> Option<String> {
    let mend = spread.mend.as_ref()?;
    let way = spread.outlook.ways.first()?;
    let of_it = [&way.taper, &way.size_error, &way.waves][mend.decides];
    if mend.decides != TAPER && of_it.symmetric.length() < NOT_SEEN {
        return None;
    }
    let (top, shares) = mend.first()?;
    let share = 100.0 * clamp(shares.total.value, 0.0, 1.0);
    let tests = match top.tests.as_slice() {
        [] => String::new(),
        [one] => format!(" ({one})"),
        [first, .., last] => format!(" ({first}, to {last})"),
    };
    (share >= 10.0).then(|| {
        format!(
            "the {}{tests}: some {share:.0} % of the spread of {}.",
            top.part.words(),
            OUTPUTS[mend.decides]
        )
    })
}

/// What stands below the screen's own lines: details and first order, where they were asked for,
/// and what a person has to know of how the trials ended.
pub(super) fn afterwards(
    page: &mut Document,
    scenario: &Scenario,
    spread: Option<&Spread>,
    units: Units,
    full: bool,
) {
    let Some(spread) = spread else { return };
    if full {
        detail(page, scenario, spread, units);
    }
    first_order(page, scenario, spread, units);
    if let Some(remark) = spread.remark() {
        page.say("Mind:", format!("{remark}."));
    }
}

/// Every range, and the shares of the parts with their names in the trade of statistics.
fn detail(page: &mut Document, scenario: &Scenario, spread: &Spread, units: Units) {
    let tapers = Tapers::of(scenario, units);
    page.gap();
    let rule = match spread.ending {
        Ending::Settled => {
            ", in blocks of 40 until one digit of each range was right (JCGM 101:2008, 7.9, with \
             smaller blocks than its 10,000)"
        }
        Ending::Unsettled => {
            ", in blocks of 40; one digit of each range is not yet right throughout (JCGM \
             101:2008, 7.9, with smaller blocks than its 10,000): --trials runs more"
        }
        Ending::Complete | Ending::Stopped => "",
    };
    page.say(
        "Lathes tried:",
        format!(
            "{}{rule}. Mean, standard uncertainty, {:.0} % interval (as much left out at either \
             end), shortest interval:",
            spread.outlook.trials,
            100.0 * spread.outlook.probability
        ),
    );
    for (setup, tried) in spread.study.ways().zip(&spread.outlook.ways) {
        page.lead(format!("{}:", words::short(setup)));
        let length = |m: f64| words::signed_height(m, units);
        let taper = |t: f64| tapers.bare(t);
        let rows: [(&str, &_, &dyn Fn(f64) -> String); 4] = [
            ("taper", &tried.taper, &taper),
            ("size error", &tried.size_error, &length),
            ("waves", &tried.waves, &length),
            ("roundness", &tried.roundness, &length),
        ];
        for (name, c, show) in rows {
            let uncertainty = if name == "taper" {
                tapers.difference(c.standard_uncertainty)
            } else {
                words::height(c.standard_uncertainty, units)
            };
            page.under(
                "",
                format!(
                    "{name}: {}, {uncertainty}, {} to {}, {} to {}",
                    show(c.estimate),
                    show(c.symmetric.lower),
                    show(c.symmetric.upper),
                    show(c.shortest.lower),
                    show(c.shortest.upper)
                ),
            );
        }
        page.under(
            "",
            format!(
                "drawing met {} of {} (Wilson 95 %: {:.0} to {:.0} %)",
                tried.met.in_trials,
                spread.outlook.trials,
                100.0 * tried.met.interval.lower,
                100.0 * tried.met.interval.upper
            ),
        );
    }
    shares(page, spread);
    let straight = spread
        .outlook
        .ways
        .first()
        .map(|way| way.straight_part.symmetric.upper);
    if let Some(straight) = straight.filter(|&m| m > 0.0) {
        let straight = Length::from_si(straight).show(units);
        page.say(
            "Straight at the start:",
            format!("up to {straight} on such lathes."),
        );
    }
}

/// Whether first order would have done, where that was asked for.
fn first_order(page: &mut Document, scenario: &Scenario, spread: &Spread, units: Units) {
    let Some(checked) = &spread.first_order else {
        return;
    };
    let tapers = Tapers::of(scenario, units);
    page.gap();
    page.say(
        "To first order:",
        "the uncertainties added up by their slopes (JCGM 100), hard spots aside, against the \
         lathes tried (JCGM 101, 8, one digit):",
    );
    for (found, name) in checked.iter().zip(["taper", "size error", "waves"]) {
        let show = |value: f64| {
            if name == "taper" {
                tapers.bare(value)
            } else {
                words::signed_height(value, units)
            }
        };
        let holds = match found.validation {
            Some(validation) if validation.holds() => "would have done",
            Some(_) => "would not have done",
            None => "nothing varies",
        };
        page.item(format!(
            "{name}: {} to {}: {holds}",
            show(found.interval.lower),
            show(found.interval.upper)
        ));
    }
}

fn shares(page: &mut Document, spread: &Spread) {
    let Some(mend) = &spread.mend else { return };
    page.gap();
    page.say(
        "What makes the spread:",
        format!(
            "Sobol' indices of the first way, {} trials, total (its 95 % bootstrap interval) and \
             first order, per cent; parts of the machine, then single numbers that go with no others:",
            mend.trials
        ),
    );
    for (output, name) in OUTPUTS.iter().enumerate() {
        let ranked = mend.ranked(output);
        if ranked.is_empty() {
            page.lead(format!("{name}: doesn't vary"));
            continue;
        }
        page.lead(format!("{name}:"));
        let mut table = Table::new(["", "total", "95 %", "first"]).words_in(&[0]);
        for (part, shares) in ranked {
            share(&mut table, part.part.words(), &shares);
        }
        for (number, shares) in mend.ranked_numbers(output) {
            share(&mut table, number.key, &shares);
        }
        page.push(Block::Table(table));
    }
}

/// A line for a share that is worth one.
fn share(table: &mut Table, words: &str, shares: &GroupIndices) {
    if shares.total.value < 0.02 {
        return;
    }
    let per_cent = |share: f64| 100.0 * clamp(share, 0.0, 1.0);
    let [total, lower, upper, first] = [
        shares.total.value,
        shares.total.interval.lower,
        shares.total.interval.upper,
        shares.first.value,
    ]
    .map(|share| format!("{:.0}", per_cent(share)));
    table.row([
        words.to_owned(),
        total,
        format!("{lower} to {upper}"),
        first,
    ]);
}
