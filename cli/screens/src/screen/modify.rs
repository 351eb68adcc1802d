//! What changes buy: ranked by gain and by gain an hour, what buys nothing, what makes it worse.

use tautway_sim::advice::change::{Change, Undone};
use tautway_sim::advice::gain::{Bought, Gain, Sorted, Standing, Tried};
use tautway_sim::caution::NOT_AN_INSPECTION;
use tautway_sim::compare::Way;
use tautway_sim::quantity::{Quantity, Stiffness, Units};
use tautway_sim::scenario::Scenario;

use super::{chance::of_100, expect, way::heading, words};
use tautway_words::Document;

/// Pairs told.
const PAIRS: usize = 6;
/// Changes told of those that are worth most for the hour.
const BY_HOUR: usize = 4;
/// Part of all that gives way from which the bar is the weak link.
const WEAK_LINK: f64 = 0.5;

/// What was found, with all that its forms need.
pub struct Report<'a> {
    /// Job and lathe.
    pub scenario: &'a Scenario,
    /// The way it was cut.
    pub way: &'a Way,
    /// The changes.
    pub changes: &'a [Change],
    /// What they buy.
    pub bought: &'a Bought,
    /// The person's units.
    pub units: Units,
    /// Whether they were tried in pairs too.
    pub pairs: bool,
    /// Whether the only change is another lathe file.
    pub own: bool,
    /// Whether it was stopped.
    pub stopped: bool,
}

impl Report<'_> {
    /// A change or two in words.
    pub fn words(&self, tried: &Tried) -> String {
        let words: Vec<&str> = tried
            .changes
            .iter()
            .map(|place| self.changes[*place].words.as_str())
            .collect();
        words.join(" + ")
    }
}

impl Report<'_> {
    /// A change in words with its time, and how many pieces are good then by the plan.
    pub fn row(&self, tried: &Tried) -> String {
        let good = tried.saved.map_or(String::new(), |saved| {
            format!(": {} good then", expect::of_100(&saved.met))
        });
        format!("{}, {}{good}", self.words(tried), time(tried.minutes))
    }
}

/// Everything on the changes of one job.
pub fn modify(report: &Report<'_>, detail: bool) -> Document {
    let mut page = Document::new();
    let (bought, units) = (report.bought, report.units);
    heading(&mut page, report.scenario, units);
    let each = if report.own {
        "the same job on your lathe as it is and on the other"
    } else {
        "each change by itself"
    };
    page.say(
        "TRIED ON:",
        format!(
            "{}. {}, cut on the same {} lathes like yours before and after; the way stays the \
             same unless the change is the way.",
            words::way(&report.way.setup),
            words::capital(each),
            bought.trials
        ),
    );
    if let Some(now) = &report.way.expect {
        page.say(
            "BY THE PLAN:",
            format!(
                "{}; a piece takes {:.0} min, with what goes wrong {:.0}.",
                expect::in_short(now),
                now.minutes,
                now.cost.expected
            ),
        );
    }
    page.say("AS SET, NOTHING GAUGED:", standing(&bought.now, report));
    if let Some(weak) = weak_link(report) {
        page.say("THE WEAK LINK:", &weak);
    }
    page.gap();
    if report.own {
        own(&mut page, report);
    } else {
        ranked(&mut page, report);
    }
    if report.pairs {
        pairs(&mut page, report);
    }
    if detail {
        page.gap();
        page.lead("What each does (nothing here was measured):");
        for change in report.changes {
            page.item(format!("{}: {}.", change.words, change.does));
        }
    }
    page.gap();
    page.say("Gain:", MEANING);
    if report.stopped {
        page.say(
            "Mind:",
            format!(
                "you stopped it after {} lathes: all numbers are those of these.",
                bought.trials
            ),
        );
    }
    page.say(
        "Note:",
        format!(
            "how much a change moves and how long it takes are mostly guesses (--detail tells \
             which). {NOT_AN_INSPECTION} (tautway {}, seed {}, {} lathes tried)",
            env!("CARGO_PKG_VERSION"),
            bought.seed,
            bought.trials
        ),
    );
    page
}

const MEANING: &str = "first the minutes saved a piece by the plan (two passes alike, gauged between), \
    with what goes wrong in them, then the chance to be in tolerance, then how much nearer its aim the \
    taper comes on the average lathe, then the size, then the waves. It counts only where its \
    range (95 %) lies all on one side, and from a step on that matters: one lathe of 100, a \
    tenth of half the taper's tolerance, 0.0003 in (8 um) of size or waves.";

fn standing(s: &Standing, report: &Report<'_>) -> String {
    let tapers = words::Tapers::of(report.scenario, report.units);
    format!(
        "{} in tolerance on {} lathes like yours; on the average the taper is off its aim by {}, the \
         size by {} per side, waves {}.",
        asked(report),
        of_100(&s.met),
        tapers.difference(s.taper_off),
        words::height(s.size_off, report.units),
        words::height(s.waves, report.units),
    )
}

/// What the drawing asks of a piece that nothing is gauged of.
fn asked(report: &Report<'_>) -> &'static str {
    let work = &report.scenario.job.work;
    match (work.size_tolerance, work.waves_allowed) {
        (None, None) => "the taper is",
        (Some(_), None) => "size and taper are",
        (None, Some(_)) => "taper and finish are",
        (Some(_), Some(_)) => "size, taper and finish are",
    }
}

/// The bar, where it gives way more than all the rest.
fn weak_link(report: &Report<'_>) -> Option<String> {
    let gives = &report.way.gives;
    if gives.bar < WEAK_LINK {
        return None;
    }
    let tip = Stiffness::from_si(report.way.tip_spring).show(report.units);
    Some(format!(
        "is the bar: {:.0} % of the spring, the whole drive {:.0} % ({tip} at the tip). \
         While the slide keeps to its face, nothing done to the drive matters beside it.",
        100.0 * gives.bar,
        100.0 * gives.drive
    ))
}

fn time(minutes: f64) -> String {
    if minutes < 60.0 {
        format!("{minutes:.0} min")
    } else {
        let hours = format!("{:.1}", minutes / 60.0);
        format!("{} h", hours.trim_end_matches('0').trim_end_matches('.'))
    }
}

fn undone(undone: Undone) -> &'static str {
    match undone {
        Undone::Easily => "easily undone",
        Undone::WithWork => "undone with as much work",
        Undone::No => "can't be undone",
    }
}

fn own(page: &mut Document, report: &Report<'_>) {
    let Some(tried) = report.bought.tried.first() else {
        return;
    };
    let name = report.words(tried);
    if let Some(reason) = tried.out.first() {
        page.say(
            "ON THE OTHER:",
            format!(
                "{name}: this way can't be cut: {}.",
                reason.words(report.units)
            ),
        );
        return;
    }
    let Some(after) = &tried.after else { return };
    page.say(
        "ON THE OTHER:",
        format!("{name}: {}", standing(after, report)),
    );
    let differences = differences(tried, report, |_| true);
    page.say("DIFFERENCE:", format!("{}.", differences.join("; ")));
}

fn ranked(page: &mut Document, report: &Report<'_>) {
    let bought = report.bought;
    let Sorted {
        better,
        nearer,
        worse,
        nothing,
        out,
    } = bought.sorted();
    if better.is_empty() {
        page.lead("NOTHING ON THE LIST SAVES TIME OR PIECES on this job.");
    } else {
        page.lead("MOST GAIN FIRST:");
        for (rank, place) in better.iter().enumerate() {
            page.ranked(rank + 1, line(*place, report));
        }
        let by_hour: Vec<String> = bought
            .by_hour(false)
            .into_iter()
            .filter(|place| better.contains(place))
            .take(BY_HOUR)
            .map(|place| {
                let tried = &bought.tried[place];
                format!("{} ({})", report.words(tried), time(tried.minutes))
            })
            .collect();
        page.say("MOST FOR THE HOUR:", format!("{}.", by_hour.join("; ")));
    }
    if !nearer.is_empty() {
        page.lead("COMES NEARER, BUT NO MORE PIECES ARE GOOD:");
        for place in &nearer {
            page.item(line(*place, report));
        }
    }
    if !worse.is_empty() {
        page.lead("MAKES IT WORSE:");
        for place in &worse {
            page.item(line(*place, report));
        }
    }
    let nothing = nothing.iter();
    let nothing: Vec<String> = nothing.map(|p| report.words(&bought.tried[*p])).collect();
    if !nothing.is_empty() {
        page.say(
            "BUYS NOTHING YOU WOULD SEE:",
            format!("{}.", nothing.join("; ")),
        );
    }
    for place in &out {
        let tried = &bought.tried[*place];
        if let Some(reason) = tried.out.first() {
            page.say(
                "CAN'T BE CUT THEN:",
                format!("{}: {}.", report.words(tried), reason.words(report.units)),
            );
        }
    }
}

fn line(place: usize, report: &Report<'_>) -> String {
    let tried = &report.bought.tried[place];
    let changes: Vec<&Change> = tried.changes.iter().map(|p| &report.changes[*p]).collect();
    // Of two, what is harder to take back decides.
    let hardest = changes
        .iter()
        .map(|change| change.undone)
        .max_by_key(|undone| match undone {
            Undone::Easily => 0,
            Undone::WithWork => 1,
            Undone::No => 2,
        })
        .unwrap_or(Undone::Easily);
    let steps = tried
        .gains
        .map_or([0.0; 4], |g| g.counted(report.bought.steps));
    let mut counted = differences(tried, report, |at| steps[at] != 0.0);
    if let Some(saved) = tried.saved.filter(|saved| saved.counted() != 0.0) {
        let what = if saved.minutes > 0.0 {
            "saves"
        } else {
            "costs"
        };
        counted.insert(
            0,
            format!(
                "{what} {:.1} min a piece, {} then by the plan",
                saved.minutes.abs(),
                expect::of_100(&saved.met)
            ),
        );
    }
    format!(
        "{}: {}, {}. {}.",
        report.words(tried),
        time(tried.minutes),
        undone(hardest),
        words::capital(&counted.join("; "))
    )
}

/// Before, after and the range of the difference, for the measures chosen.
fn differences(tried: &Tried, report: &Report<'_>, chosen: impl Fn(usize) -> bool) -> Vec<String> {
    let (Some(after), Some(gains)) = (&tried.after, &tried.gains) else {
        return Vec::new();
    };
    let (now, units) = (&report.bought.now, report.units);
    let tapers = words::Tapers::of(report.scenario, units);
    let height = |m: f64| words::height(m, units);
    let bare_height = |m: f64| words::bare_height(m, units);
    let taper = |t: f64| tapers.difference(t);
    let bare_taper = |t: f64| tapers.bare(t.abs());
    let mut all = Vec::new();
    if chosen(0) {
        let share = |s: f64| format!("{:.0}", 100.0 * s);
        all.push(format!(
            "as set {} in tolerance on {} of 100, then {} ({})",
            asked(report),
            share(now.met.share),
            share(after.met.share),
            way(
                &gains.met,
                ["more", "fewer"],
                &|s: f64| share(s.abs()),
                &|s| share(s.abs())
            )
        ));
    }
    type Row<'a> = (usize, &'static str, (f64, f64), &'a Gain, [&'static str; 2]);
    let rows: [Row<'_>; 3] = [
        (
            1,
            "taper off by",
            (now.taper_off, after.taper_off),
            &gains.taper,
            ["nearer", "further off"],
        ),
        (
            2,
            "size off by",
            (now.size_off, after.size_off),
            &gains.size,
            ["nearer", "further off"],
        ),
        (
            3,
            "waves",
            (now.waves, after.waves),
            &gains.waves,
            ["lower", "higher"],
        ),
    ];
    for (at, name, (before, then), gain, words) in rows {
        if !chosen(at) {
            continue;
        }
        let (bare, whole): (&dyn Fn(f64) -> String, &dyn Fn(f64) -> String) = if at == 1 {
            (&bare_taper, &taper)
        } else {
            (&bare_height, &height)
        };
        all.push(format!(
            "{name} {}, then {} ({})",
            bare(before),
            whole(then),
            way(gain, words, bare, bare)
        ));
    }
    all
}

/// "0.0031 to 0.0042 nearer", "0.001 further off to 0.003 nearer".
fn way(
    gain: &Gain,
    [better, worse]: [&str; 2],
    low: &dyn Fn(f64) -> String,
    high: &dyn Fn(f64) -> String,
) -> String {
    let (lower, upper) = (gain.interval.lower, gain.interval.upper);
    let range = |a: f64, b: f64| {
        let (a, b) = (low(a), high(b));
        if a == b { a } else { format!("{a} to {b}") }
    };
    if lower >= 0.0 {
        format!("{} {better}", range(lower, upper))
    } else if upper <= 0.0 {
        format!("{} {worse}", range(upper, lower))
    } else {
        format!("{} {worse} to {} {better}", low(lower), high(upper))
    }
}

/// Pairs that gain most, beside what their parts gain alone.
fn pairs(page: &mut Document, report: &Report<'_>) {
    let bought = report.bought;
    let worth = |place: &usize| {
        let gains = bought.tried[*place].gains;
        gains.is_some_and(|g| g.counted(bought.steps).iter().any(|steps| *steps > 0.0))
    };
    let best: Vec<usize> = bought
        .by_gain(true)
        .into_iter()
        .filter(worth)
        .take(PAIRS)
        .collect();
    page.gap();
    if best.is_empty() {
        page.lead("NO TWO TOGETHER GAIN ANYTHING THAT WOULD BE SEEN.");
        return;
    }
    page.lead("TWO TOGETHER, most gain first:");
    for (rank, place) in best.iter().enumerate() {
        page.ranked(rank + 1, line(*place, report));
    }
}

#[cfg(test)]
mod tests {
    use tautway_sim::spread::Interval;

    use super::*;

    #[test]
    fn a_difference_says_its_range_and_which_way() {
        let told = |lower: f64, upper: f64| {
            let gain = Gain {
                mean: 0.5 * (lower + upper),
                interval: Interval { lower, upper },
            };
            let show = |v: f64| format!("{}", v.abs());
            way(&gain, ["nearer", "further off"], &show, &show)
        };
        assert_eq!(told(1.0, 3.0), "1 to 3 nearer");
        assert_eq!(told(-3.0, -1.0), "1 to 3 further off");
        assert_eq!(told(-1.0, 3.0), "1 further off to 3 nearer");
        assert_eq!(told(2.0, 2.0), "2 nearer");
    }

    #[test]
    fn times_are_said_as_in_the_shop() {
        assert_eq!(time(5.0), "5 min");
        assert_eq!(time(60.0), "1 h");
        assert_eq!(time(150.0), "2.5 h");
    }
}
