//! The first screen: which way, and what it costs to cut another.

use tautway_sim::bore_room::bar_size;
use tautway_sim::caution::{IN_SHORT, NOT_AN_INSPECTION, pushes_in};
use tautway_sim::compare::{Advised, Comparison, Way, effort};
use tautway_sim::expect::Expect;
use tautway_sim::method::MethodWay;
use tautway_sim::quantity::{Quantity, Stiffness, Units};
use tautway_sim::record::{Run, Seat};
use tautway_sim::scenario::{Kind, Origin, Scenario};
use tautway_sim::sensitivity::{Likely, Sensitivity};
use tautway_sim::setup::{Pull, Side};
use tautway_sim::verdict::NOT_SEEN;

use super::way::{Told, heading, matter, recommended};
use super::{begin, chance, expect, method, stop_if, way, words, worth};
use crate::spread::{MethodTried, Spread};
use tautway_words::{Document, Role};

/// Ways, cautions and reasons of one comparison.
pub fn compare(
    scenario: &Scenario,
    comparison: &Comparison,
    likely: Option<&Likely>,
    spread: Option<&Spread>,
    tried: &[MethodTried],
    units: Units,
    detail: bool,
) -> Document {
    let mut page = Document::new();
    let brief = !detail
        && comparison
            .advised()
            .is_some_and(|first| first.expect().is_some());
    if brief {
        way::in_brief(&mut page, scenario, units);
    } else {
        heading(&mut page, scenario, units);
    }
    let methods = method::Told {
        scenario,
        tried,
        units,
    };
    let best = match comparison.advised() {
        None => {
            nothing(&mut page, comparison, &methods);
            return page;
        }
        Some(Advised::Method(way)) => {
            match &way.expect {
                Some(found) if !detail => {
                    method::in_brief(&mut page, (scenario, comparison), way, found, units);
                    let never = comparison.ways.iter().filter(|way| way.forbidden);
                    let never: Vec<&Way> = never.collect();
                    if !never.is_empty() {
                        page.say("Not:", forbidden(&never));
                    }
                    chance::afterwards(&mut page, scenario, spread, units, detail);
                    in_short(&mut page, comparison, found, spread);
                }
                found => {
                    if let Some(found) = found {
                        expect::first(&mut page, found, scenario, units);
                    }
                    without(&mut page, comparison, spread, &methods, way);
                }
            }
            return page;
        }
        Some(Advised::Attachment(best)) => best,
    };
    let Some(run) = &best.run else { return page };
    let told = Told {
        scenario,
        likely,
        spread,
        units,
    };
    if let Some(expect) = &best.expect {
        let brief = Brief {
            told: &told,
            comparison,
            best,
            run,
            expect,
        };
        if !detail {
            brief.screen(&mut page);
            chance::afterwards(&mut page, scenario, spread, units, detail);
            in_short(&mut page, comparison, expect, spread);
            return page;
        }
        expect::first(&mut page, expect, scenario, units);
    }
    recommended(&mut page, "CUT IT THIS WAY:", &told, best, run);
    if let Some(expect) = &best.expect {
        expect::last_passes(&mut page, expect, expect::GUIDE_AND_GIB, units);
    }
    page.gap();
    page.lead(if spread.is_some() {
        "The other ways, on the same lathes:"
    } else {
        "The other ways:"
    });
    let (never, others): (Vec<&Way>, Vec<&Way>) = comparison
        .ways
        .iter()
        .skip(1)
        .partition(|way| way.forbidden);
    for way in others {
        page.item(other(scenario, way, best, spread, units));
    }
    if !never.is_empty() {
        page.item(forbidden(&never));
    }
    page.lead(format!(
        "Without the attachment, which takes {} itself:",
        effort(best).words()
    ));
    method::others(
        &mut page,
        &methods,
        &comparison.methods,
        None,
        Some(&run.outcome),
    );
    page.gap();
    page.say("Why:", why(best, run, comparison, units));
    page.say(
        "I assumed:",
        assumed(likely, words::Tapers::of(scenario, units), units),
    );
    let narrowed = scenario.measured_in_words();
    if !narrowed.is_empty() {
        page.say("Measured:", words::narrowed(&narrowed));
    }
    match (&best.worth, &best.expect) {
        (Some(found), Some(expect)) => {
            let (label, told) = worth::first(found, expect, scenario, units);
            page.say(label, told);
        }
        _ => page.say("Mend first:", mend(best, run, likely, spread, units)),
    }
    if detail {
        super::predict::detail(&mut page, scenario, run, likely, units);
    }
    chance::afterwards(&mut page, scenario, spread, units, detail);
    foot(&mut page, comparison, &chance::tried(spread));
    page
}

/// What stands on the first screen, where the plan was played.
struct Brief<'a> {
    told: &'a Told<'a>,
    comparison: &'a Comparison,
    best: &'a Way,
    run: &'a Run,
    expect: &'a Expect,
}

impl Brief<'_> {
    /// Verdict first, then what to do in the order of the hand, then what else there is.
    fn screen(&self, page: &mut Document) {
        let (scenario, units, best) = (self.told.scenario, self.told.units, self.best);
        expect::first(page, self.expect, scenario, units);
        let how = format!(
            "{}; {}.",
            words::way(&best.setup),
            words::tool(&best.tool, best.setup.kind)
        );
        page.say_as(Role::Advice, "CUT IT THIS WAY:", how);
        stop_if(page, &best.cautions);
        page.say("Start", begin::briefly(&best.start, &best.setup, units));
        page.say("Aim", self.aim());
        expect::last_passes(page, self.expect, expect::GUIDE_AND_GIB, units);
        page.say("Size:", self.size());
        page.say("Finish:", expect::finish(self.expect, units));
        if let Some(runner_up) = self.runner_up() {
            page.say("Runner-up:", runner_up);
        }
        if let Some(not) = self.not_so() {
            page.say("Not:", not);
        }
        if let Some(found) = &self.best.worth {
            let (label, told) = worth::first(found, self.expect, scenario, units);
            page.say(label, told);
        }
    }

    fn aim(&self) -> String {
        let (scenario, units) = (self.told.scenario, self.told.units);
        let tapers = words::Tapers::of(scenario, units);
        let outcome = &self.run.outcome;
        format!(
            "the guide at {} on diameter; gauge it while stock is left.",
            tapers.show(outcome.taper - outcome.taper_error)
        )
    }

    fn size(&self) -> String {
        let gives = &self.best.gives;
        let shares = [
            ("bar", gives.bar),
            ("drive", gives.drive),
            ("post", gives.post),
            ("work", gives.work),
        ];
        let mut named: Vec<_> = shares
            .into_iter()
            .filter(|(_, share)| *share > 0.2)
            .collect();
        named.sort_by(|a, b| b.1.total_cmp(&a.1));
        let springs: Vec<&str> = named.iter().take(2).map(|(name, _)| *name).collect();
        let units = self.told.units;
        let why = if self.expect.left.median > NOT_SEEN && !springs.is_empty() {
            format!(": {} spring", springs.join(" and "))
        } else {
            String::new()
        };
        format!("{}{why}.", expect::leaves(self.expect, units))
    }

    /// The cheapest of all others that are any good, with the attachment or without.
    fn runner_up(&self) -> Option<String> {
        let others = self.comparison.ways.iter().skip(1);
        let others = others.filter(|way| !way.forbidden);
        let near = |expect: &&Expect| expect.met().met >= 0.5 * self.expect.met().met;
        let second = others
            .filter_map(|way| Some((way, way.expect.as_ref().filter(near)?)))
            .min_by(|a, b| a.1.cost.expected.total_cmp(&b.1.cost.expected));
        let units = self.told.units;
        let without = method::runner_up(units, self.comparison.methods.iter(), self.expect);
        let cheaper = |(cost, _): &(f64, String)| {
            second.is_none_or(|(_, expect)| *cost < expect.cost.expected)
        };
        if let Some((_, set)) = without.filter(cheaper) {
            return Some(format!("{set}."));
        }
        second.map(|(way, expect)| {
            format!(
                "{}: {}.",
                words::beside(&way.setup, &self.best.setup),
                expect::beside(expect, self.expect)
            )
        })
    }

    fn not_so(&self) -> Option<String> {
        let bad = self.comparison.ways.iter().skip(1).find(|way| {
            let worse = |expect: &Expect| expect.met().met < 0.5 * self.expect.met().met;
            way.forbidden || way.expect.as_ref().is_some_and(worse)
        })?;
        if bad.forbidden {
            let because = if pushes_in(&bad.cautions) {
                "the preload would push the tool in"
            } else {
                "the preload is too strong"
            };
            return Some(format!(
                "{}: never, {because}.",
                words::beside(&bad.setup, &self.best.setup)
            ));
        }
        let expect = bad.expect.as_ref()?;
        let floats = if expect.floats() {
            ", it floats: no gauge mends it"
        } else {
            ""
        };
        Some(format!(
            "{}: {}{floats}.",
            words::beside(&bad.setup, &self.best.setup),
            expect::of_100(&expect.met())
        ))
    }
}

/// The last line of a first screen.
fn in_short(
    page: &mut Document,
    comparison: &Comparison,
    expect: &Expect,
    spread: Option<&Spread>,
) {
    let (version, seed) = (comparison.version, comparison.seed);
    let lathes = match spread {
        None => format!(", {} lathes", expect.lathes),
        spread => chance::tried(spread),
    };
    page.say(
        "Note:",
        format!("{IN_SHORT} More: --detail. (tautway {version}, seed {seed}{lathes})"),
    );
}

/// The last lines of every comparison.
fn foot(page: &mut Document, comparison: &Comparison, tried: &str) {
    page.gap();
    let (version, seed) = (comparison.version, comparison.seed);
    let made = format!("{NOT_AN_INSPECTION} (tautway {version}, seed {seed}{tried})");
    page.say("Note:", &made);
}

/// A way with the attachment against another.
fn other(
    scenario: &Scenario,
    way: &Way,
    best: &Way,
    spread: Option<&Spread>,
    units: Units,
) -> String {
    format!(
        "{}: {}{}",
        words::short(&way.setup),
        words::cost(way, best, words::Tapers::of(scenario, units), units),
        chance::against(spread, way),
    )
}

/// A way without the attachment stands first.
fn without(
    page: &mut Document,
    comparison: &Comparison,
    spread: Option<&Spread>,
    told: &method::Told<'_>,
    way: &MethodWay,
) {
    let (scenario, units) = (told.scenario, told.units);
    method::recommended(page, "MAKE IT THIS WAY:", told, way);
    page.gap();
    page.lead("The other ways:");
    method::others(
        page,
        told,
        &comparison.methods,
        Some(way.method),
        way.outcome.as_ref(),
    );
    let reasons = |way: &Way| {
        let words: Vec<String> = way.out.iter().map(|r| r.words(units)).collect();
        words.join("; ")
    };
    match (comparison.best(), comparison.ways.first()) {
        (Some(best), _) => {
            page.lead("With the attachment:");
            for way in comparison.ways.iter().filter(|way| !way.forbidden) {
                page.item(other(scenario, way, best, spread, units));
            }
        }
        (None, Some(first)) if !first.out.is_empty() => {
            page.item_about("with the attachment, out:", format!("{}.", reasons(first)));
        }
        _ => {
            let never: Vec<&Way> = comparison.ways.iter().filter(|way| way.forbidden).collect();
            page.item_about("with the attachment:", forbidden(&never));
        }
    }
    page.gap();
    page.say("Why:", method::why(way, comparison, units));
    page.say("I assumed:", method::assumed(told, way));
    let narrowed = scenario.measured_in_words();
    if !narrowed.is_empty() {
        page.say("Measured:", words::narrowed(&narrowed));
    }
    let tried = told.tried.iter().find(|tried| tried.method == way.method);
    if let Some(stopped) = spread.and_then(Spread::remark) {
        page.say("Mind:", format!("{stopped}."));
    }
    let tried = match (spread, tried) {
        (None, Some(tried)) => format!(", {} lathes tried", tried.outlook.trials),
        _ => chance::tried(spread),
    };
    foot(page, comparison, &tried);
}

/// Ways that run, some of them well, and must never be used.
fn forbidden(never: &[&Way]) -> String {
    let names: Vec<String> = never.iter().map(|way| words::short(&way.setup)).collect();
    let all_at = |side| never.iter().all(|way| way.setup.side == side);
    let names = match names.as_slice() {
        [one] => one.clone(),
        _ if all_at(Side::Rear) => format!("the {} ways at the rear", names.len()),
        _ if all_at(Side::Front) => format!("the {} ways at the front", names.len()),
        _ => names.join("; "),
    };
    let because = if never.iter().any(|way| pushes_in(&way.cautions)) {
        "the preload pushes the tool into the work. Turn it round first"
    } else {
        "the preload is too strong for a cross-slide"
    };
    format!("{names}: never, however good: {because}.")
}

fn why(best: &Way, run: &Run, comparison: &Comparison, units: Units) -> String {
    let o = &run.outcome;
    let rule = match (best.setup.kind, best.pull) {
        (Kind::Outside, Pull::In) => {
            "From the big end to the small end the guide pulls the tool in"
        }
        (Kind::Outside, _) => "From the small end to the big end the guide draws the tool away",
        (Kind::Inside, Pull::In) => {
            "From the small end to the big end of a bore the guide pulls the tool in"
        }
        (Kind::Inside, _) => {
            "From the big end to the small end of a bore the guide draws the tool away"
        }
    };
    let mut text = format!(
        "{rule}, whichever side the tool is on. Push-off {}, the slide drags {} while cutting: {}.",
        words::forces(o.push_off, units),
        words::forces(o.drag, units),
        words::seat(o, units)
    );
    let other = comparison
        .feasible()
        .find(|way| way.pull != best.pull && way.run.is_some());
    if let Some(other) = other.and_then(|way| way.run.as_ref()) {
        let name = match other.pull {
            Pull::Away => "Drawn away",
            _ => "Pulled in",
        };
        text.push_str(&format!(" {name}, {}.", words::seat(&other.outcome, units)));
    }
    text
}

fn assumed(likely: Option<&Likely>, tapers: words::Tapers, units: Units) -> String {
    let Some(likely) = likely else {
        return "not looked into.".to_owned();
    };
    let matters: Vec<&Sensitivity> = likely
        .matters
        .iter()
        .filter(|m| m.origin == Origin::Assumed)
        .collect();
    if matters.is_empty() {
        return "nothing that would change this answer within its usual range.".to_owned();
    }
    let list: Vec<String> = matters
        .iter()
        .take(2)
        .map(|m| matter(m, tapers, units))
        .collect();
    let more = matters.len().saturating_sub(2);
    let more = if more > 0 {
        format!("; and {more} more (--detail)")
    } else {
        String::new()
    };
    format!("{}{more}.", list.join("; "))
}

fn mend(
    best: &Way,
    run: &Run,
    likely: Option<&Likely>,
    spread: Option<&Spread>,
    units: Units,
) -> String {
    let o = &run.outcome;
    let shaky = o.seat == Seat::Floating || o.step.is_some();
    if shaky {
        return "what lets the slide float: cut the other way if there is one, snug the slide's gib, \
                or hold the slide out of the cut with at least twice the force that starts it."
            .to_owned();
    }
    let tip = Stiffness::from_si(best.tip_spring).show(units);
    if best.gives.bar >= 0.5 {
        let thicker = best.room.as_ref().and_then(|room| {
            let (bar, share) = (room.thickest.common?, room.thickest.stiffness?);
            (share > 1.1).then(|| {
                format!(
                    " A bar of {} would still clear the bore, {share:.1} times as stiff.",
                    bar_size(bar, units)
                )
            })
        });
        return format!(
            "the bar is the weak link: {:.0} % of the spring ({tip} at the tip). A shorter \
             or thicker one does more than anything in the drive.{}",
            100.0 * best.gives.bar,
            thicker.unwrap_or_default()
        );
    }
    if let Some(words) = spread.and_then(chance::mend) {
        return words;
    }
    if let Some(top) = likely.and_then(|likely| likely.matters.first()) {
        let test = top.test.map_or(String::new(), |test| format!(" ({test})"));
        return format!(
            "nothing is loose that matters. Prove the {} first{test}: it moves this answer most.",
            top.words
        );
    }
    if o.size_error.abs() > 2.0 * NOT_SEEN {
        return format!("nothing is loose that matters: what is left is spring, {tip} at the tip.");
    }
    "nothing: it holds.".to_owned()
}

/// No way can be advised.
fn nothing(page: &mut Document, comparison: &Comparison, told: &method::Told<'_>) {
    let units = told.units;
    page.lead("NO WAY OF CUTTING THIS CAN BE ADVISED as lathe and job stand.");
    page.gap();
    for way in &comparison.ways {
        let because = if way.out.is_empty() {
            way.cautions
                .first()
                .map_or(String::new(), |c| format!("{}. {}", c.stop_if, c.advice))
        } else {
            way.out
                .iter()
                .map(|r| r.words(units))
                .collect::<Vec<_>>()
                .join("; ")
        };
        page.item(format!("{}: {because}", words::short(&way.setup)));
    }
    page.lead("Without the attachment:");
    method::others(page, told, &comparison.methods, None, None);
    page.gap();
    page.say("Note:", NOT_AN_INSPECTION);
}
