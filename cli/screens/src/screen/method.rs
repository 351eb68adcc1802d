//! The ways without the attachment: the one to take, and a line for each of the others.

use tautway_sim::caution::NOT_AN_INSPECTION;
use tautway_sim::compare::{Advised, Comparison};
use tautway_sim::expect::Expect;
use tautway_sim::method::tailstock::Offset;
use tautway_sim::method::top_slide::{SetBy, Swivel};
use tautway_sim::method::{Grinding, Lapping, Method, MethodOutlook, MethodWay, Setting};
use tautway_sim::quantity::{Angle, Length, Quantity, THOU, Units};
use tautway_sim::record::Outcome;
use tautway_sim::scenario::{Origin, Scenario, Toward};
use tautway_sim::verdict::NOT_SEEN;

use super::{abrasive, chance, effort, expect, hurts, stop_if, two_set_ups, way, words};
use crate::spread::MethodTried;
use tautway_words::{Document, Role};

/// What is told of, and how sure it is.
pub(super) struct Told<'a> {
    pub(super) scenario: &'a Scenario,
    pub(super) tried: &'a [MethodTried],
    pub(super) units: Units,
}

impl Told<'_> {
    fn tapers(&self) -> words::Tapers {
        words::Tapers::of(self.scenario, self.units)
    }

    fn outlook(&self, method: Method) -> Option<&MethodOutlook> {
        let tried = self.tried.iter().find(|tried| tried.method == method);
        tried.map(|tried| &tried.outlook)
    }
}

/// The way to take.
pub(super) fn recommended(page: &mut Document, label: &str, told: &Told<'_>, way: &MethodWay) {
    let (Some(setting), Some(outcome)) = (&way.setting, &way.outcome) else {
        return;
    };
    let units = told.units;
    page.say_as(Role::Advice, label, format!("{}.", whole(way, units)));
    if let Some((first, others)) = way.cautions.split_first() {
        page.stop_if(format!("{}. {}", first.stop_if, first.advice));
        let others: Vec<&str> = others.iter().map(|caution| caution.short).collect();
        page.under("Also watch:", format!("{}.", others.join("; ")));
    }
    page.gap();
    for (label, text) in to_set(told, way, setting) {
        page.say(label, &text);
    }
    page.say("Taper:", taper(told, way, outcome));
    page.say(
        "Size:",
        format!(
            "{}.{}",
            words::size(&way.setup, outcome, units),
            match setting {
                Setting::TwoSetUps(_) => "",
                _ => " The slide stays where the dial put it: no backlash, no run-in.",
            }
        ),
    );
    page.say(
        "Finish:",
        format!("{}.", effort::finish(setting, outcome, units)),
    );
    page.say("Work:", format!("{}.", effort::steps(way, told.scenario)));
}

/// One method by itself: what to set and expect, or why it is out.
pub fn predict(
    scenario: &Scenario,
    way: &MethodWay,
    tried: &[MethodTried],
    units: Units,
) -> Document {
    let mut page = Document::new();
    way::heading(&mut page, scenario, units);
    let told = Told {
        scenario,
        tried,
        units,
    };
    if !way.out.is_empty() {
        page.say("OUT:", format!("{}.", name(way.method)));
        for reason in &way.out {
            page.item(reason.words(units));
        }
        return page;
    }
    if way.outcome.is_none() {
        page.say("THIS WAY:", line(&told, way, None));
        for (label, text) in way.setting.iter().flat_map(|set| to_set(&told, way, set)) {
            page.say(format!("{label}:"), text);
        }
    } else {
        if let Some(found) = &way.expect {
            expect::first(&mut page, found, scenario, units);
        }
        recommended(&mut page, "THIS WAY:", &told, way);
        page.say("I assumed:", assumed(&told, way));
    }
    page.gap();
    hurts(&mut page, &way.cautions);
    page.gap();
    page.say("Note:", NOT_AN_INSPECTION);
    page
}

/// What taper to expect of a method, in the words of every screen.
pub fn taper_in_words(
    scenario: &Scenario,
    way: &MethodWay,
    tried: &[MethodTried],
    units: Units,
) -> String {
    let told = Told {
        scenario,
        tried,
        units,
    };
    let outcome = way.outcome.as_ref();
    outcome.map_or_else(String::new, |outcome| taper(&told, way, outcome))
}

/// A method with its setting, whole, for its sheet.
pub fn set_in_words(way: &MethodWay, units: Units) -> String {
    whole(way, units)
}

/// The first of the ways without the attachment that can be cut, in short, beside a cost, and
/// its own.
pub(super) fn runner_up<'a>(
    units: Units,
    mut ways: impl Iterator<Item = &'a MethodWay>,
    beside: &Expect,
) -> Option<(f64, String)> {
    let near = |expect: &Expect| expect.met().met >= 0.5 * beside.met().met;
    let way = ways.find(|way| way.expect.as_ref().is_some_and(near))?;
    let found = way.expect.as_ref()?;
    Some((
        found.cost.expected,
        format!("{}: {}", short(way, units), expect::beside(found, beside)),
    ))
}

/// The first screen where a way without the attachment is the first.
pub(super) fn in_brief(
    page: &mut Document,
    (scenario, comparison): (&Scenario, &Comparison),
    way: &MethodWay,
    found: &Expect,
    units: Units,
) {
    let Some(setting) = &way.setting else { return };
    let told = Told {
        scenario,
        tried: &[],
        units,
    };
    expect::first(page, found, scenario, units);
    page.say_as(
        Role::Advice,
        "MAKE IT THIS WAY:",
        format!("{}.", whole(way, units)),
    );
    stop_if(page, &way.cautions);
    for (label, text) in to_set(&told, way, setting) {
        page.say(label, &text);
    }
    let guided = matches!(setting, Setting::TwoSetUps(_));
    let alone = if guided {
        expect::GUIDE_AND_GIB
    } else {
        expect::THE_SETTING
    };
    expect::last_passes(page, found, alone, units);
    page.say("Size:", format!("{}.", expect::leaves(found, units)));
    page.say("Finish:", expect::finish(found, units));
    let attachment = comparison.best().and_then(|best| {
        let expect = best.expect.as_ref()?;
        Some(format!(
            "{} with the attachment: {}",
            words::short(&best.setup),
            expect::beside(expect, found)
        ))
    });
    let methods = comparison.methods.iter();
    let others = methods.filter(|other| other.method != way.method);
    if let Some(second) = attachment.or_else(|| Some(runner_up(units, others, found)?.1)) {
        page.say("Runner-up:", format!("{second}."));
    }
    let out = comparison.ways.first().and_then(|way| way.out.first());
    if let Some(reason) = out {
        page.say(
            "Not:",
            if guided {
                format!("in one set-up: {}.", reason.words(units))
            } else {
                format!("with the attachment: {}.", reason.words(units))
            },
        );
    }
}

/// Why it is this one: what the attachment can't do, or does worse.
pub(super) fn why(way: &MethodWay, comparison: &Comparison, units: Units) -> String {
    let rule = match way.method {
        Method::Tailstock | Method::OffsetCentre => {
            "The work stands askew, so its side lies along the bed and the slide never moves"
        }
        Method::TwoSetUps => {
            "The guide is shorter than the cone, and what it makes can be picked up again"
        }
        _ => "The tool runs along the cone's side, so the cross-slide never moves",
    };
    let attachment = match comparison.best() {
        None => match comparison.ways.first().and_then(|way| way.out.first()) {
            Some(reason) => format!("The attachment is out: {}.", reason.words(units)),
            None => "The attachment can't be advised here.".to_owned(),
        },
        Some(best) if best.verdict.is_some_and(|verdict| verdict.met()) => {
            "The attachment would do as well, with more to set up or more left wrong.".to_owned()
        }
        Some(_) => "With the attachment the drawing isn't expected to be met.".to_owned(),
    };
    format!("{rule}. {attachment}")
}

/// What was assumed and moves the outcome of a method.
pub(super) fn assumed(told: &Told<'_>, way: &MethodWay) -> String {
    let Some(likely) = &way.likely else {
        return "not looked into.".to_owned();
    };
    let matters: Vec<String> = likely
        .matters
        .iter()
        .filter(|matter| matter.origin == Origin::Assumed)
        .take(3)
        .map(|matter| way::matter(matter, told.tapers(), told.units))
        .collect();
    if matters.is_empty() {
        return "nothing that would change this answer within its usual range.".to_owned();
    }
    format!("{}.", matters.join("; "))
}

/// The ways without the attachment beside the one that is taken, a line for each.
pub fn methods(
    scenario: &Scenario,
    comparison: &Comparison,
    tried: &[MethodTried],
    units: Units,
) -> Document {
    let told = Told {
        scenario,
        tried,
        units,
    };
    let (taken, best) = match comparison.advised() {
        Some(Advised::Method(way)) => (Some(way.method), way.outcome.as_ref()),
        Some(Advised::Attachment(best)) => (None, best.run.as_ref().map(|run| &run.outcome)),
        None => (None, None),
    };
    let mut page = Document::new();
    others(&mut page, &told, &comparison.methods, taken, best);
    page
}

/// A line for each method that can be done, and one for those that can't.
pub(super) fn others(
    page: &mut Document,
    told: &Told<'_>,
    methods: &[MethodWay],
    taken: Option<Method>,
    best: Option<&Outcome>,
) {
    let (can, out): (Vec<&MethodWay>, Vec<&MethodWay>) =
        methods.iter().partition(|way| way.out.is_empty());
    let tailstock = can.iter().any(|way| way.method == Method::Tailstock);
    for way in can {
        // An offset centre that can stand in for the tailstock is told with it.
        let told_before = way.method == Method::OffsetCentre && tailstock;
        if Some(way.method) != taken && !told_before {
            page.item(line(told, way, best));
        }
    }
    let out: Vec<String> = grouped(&out, told.units);
    if !out.is_empty() {
        page.item(format!("out: {}.", out.join("; ")));
    }
}

/// Those that are out, those of one reason together.
fn grouped(out: &[&MethodWay], units: Units) -> Vec<String> {
    let mut all: Vec<(String, Vec<String>)> = Vec::new();
    for way in out {
        let because: Vec<String> = way.out.iter().map(|o| o.words(units)).collect();
        let because = because.join(", ");
        match all.iter_mut().find(|(reason, _)| *reason == because) {
            Some((_, names)) => names.push(name(way.method).to_owned()),
            None => all.push((because, vec![name(way.method).to_owned()])),
        }
    }
    all.into_iter()
        .map(|(because, names)| format!("{} ({because})", names.join(" or ")))
        .collect()
}

/// What a method is called.
fn name(method: Method) -> &'static str {
    match method {
        Method::Tailstock => "tailstock over",
        Method::OffsetCentre => "offset centre",
        Method::TopSlide => "top slide",
        Method::Reamer => "taper reamer",
        Method::FormTool => "form tool",
        Method::Grinding => "grinding in place",
        Method::Lapping => "lapping to its mate",
        Method::TwoSetUps => "two set-ups of the guide",
    }
}

/// One method that can be done, and what it costs.
fn line(told: &Told<'_>, way: &MethodWay, best: Option<&Outcome>) -> String {
    let units = told.units;
    let mut parts = Vec::new();
    if let Some(outcome) = &way.outcome {
        let as_well = best.is_some_and(|best| {
            (outcome.size_error - best.size_error).abs() <= 2.0 * NOT_SEEN
                && (outcome.waves - best.waves).abs() <= NOT_SEEN
        });
        if as_well {
            parts.push("about as good".to_owned());
        } else {
            parts.push(words::remark_on_size(&way.setup, outcome, units));
            if outcome.waves > NOT_SEEN {
                parts.push(format!("waves {}", words::height(outcome.waves, units)));
            }
        }
        if way.method != Method::TwoSetUps {
            parts.push("no backlash".to_owned());
        }
        parts.push(taper_in_short(told, way, outcome));
    }
    match (&way.setting, way.method) {
        (Some(Setting::Offset(set)), Method::OffsetCentre) => {
            parts.push("the same sums as the tailstock".to_owned());
            if set.has.is_none() {
                parts.push("if you have one".to_owned());
            }
        }
        (Some(Setting::Reamer { .. }), _) => {
            parts.push("bored undersize first, then reamed by hand: not simulated".to_owned());
        }
        (Some(Setting::FormTool { edge, .. }), _) => parts.push(format!(
            "{} of edge at once, as true as it is ground: not simulated",
            Length::from_si(*edge).show(units)
        )),
        (
            Some(
                Setting::Grinding(Grinding { leave, .. }) | Setting::Lapping(Lapping { leave, .. }),
            ),
            _,
        ) => parts.push(format!(
            "turned first, {} left on per side: not simulated",
            words::height(*leave, units)
        )),
        _ => {}
    }
    parts.push(effort::steps(way, told.scenario));
    format!("{}: {}.", short(way, units), parts.join("; "))
}

/// A method with its setting, for a row.
fn short(way: &MethodWay, units: Units) -> String {
    let name = name(way.method);
    match &way.setting {
        Some(Setting::Offset(set)) => {
            format!("{name}, {} {}", words::height(set.over, units), toward(set))
        }
        Some(Setting::Swivel(set)) => format!("{name} at {}", angle(set, units)),
        Some(Setting::Reamer { name: taper, .. }) => format!("{taper} {name}"),
        Some(Setting::TwoSetUps(set)) => format!(
            "{name}, joint {} from the {}",
            words::length(set.first, units),
            words::starting_end(&way.setup)
        ),
        _ => name.to_owned(),
    }
}

/// A method with its setting, whole.
fn whole(way: &MethodWay, units: Units) -> String {
    match &way.setting {
        Some(Setting::Offset(set)) => format!(
            "between centres with the {} set over {} {}",
            match way.method {
                Method::OffsetCentre => "offset centre",
                _ => "tailstock",
            },
            words::height(set.over, units),
            toward(set)
        ),
        Some(Setting::Swivel(set)) => format!(
            "top slide set over {} per side, fed by hand",
            angle(set, units)
        ),
        Some(Setting::TwoSetUps(set)) => two_set_ups::whole(way, set, units),
        _ => short(way, units),
    }
}

fn angle(set: &Swivel, units: Units) -> String {
    Angle::from_si(set.angle).show(units)
}

fn toward(set: &Offset) -> &'static str {
    match set.toward {
        Toward::Operator => "toward you",
        Toward::Away => "away from you",
    }
}

/// How it is set: a label and what to do.
fn to_set(told: &Told<'_>, way: &MethodWay, setting: &Setting) -> Vec<(&'static str, String)> {
    let units = told.units;
    let tapers = told.tapers();
    match setting {
        Setting::Offset(set) => {
            let (step, step_words, rule) = match units {
                Units::Inch => (THOU, "0.001 in", "over 24"),
                Units::Metric => (1e-5, "0.01 mm", "over two"),
            };
            let (over, by_rule) = (
                words::height(set.over, units),
                words::height(set.rule, units),
            );
            let on = match way.method {
                Method::OffsetCentre => "centre's point",
                _ => "quill",
            };
            let says = if over == by_rule {
                "says the same".to_owned()
            } else {
                let more = words::height(set.rule - set.over, units);
                format!("says {by_rule}, {more} too much")
            };
            let mut told = vec![(
                "Set over",
                format!(
                    "{over} {} by an indicator on the {on}, for {} between the points of the \
                     centres (the shop's rule, length times taper {rule}, {says}). {step_words} \
                     there is {} of taper.",
                    toward(set),
                    words::length(set.between, units),
                    tapers.show(set.taper_per_offset * step),
                ),
            )];
            if let Some(has) = set.has {
                told.push((
                    "Room:",
                    format!("it goes over {} either way.", words::about(has, units)),
                ));
            }
            told
        }
        Setting::Swivel(set) => {
            let across = Angle::from_si(std::f64::consts::FRAC_PI_2 - set.angle).show(units);
            let by = match set.set_by {
                SetBy::Marks => format!(
                    "by its marks: they leave +-{}, which will do",
                    tapers.difference(set.by_marks)
                ),
                SetBy::Indicator => format!(
                    "with an indicator along a master or sine bar, to +-{}: its marks leave +-{}",
                    tapers.difference(set.by_indicator),
                    tapers.difference(set.by_marks)
                ),
            };
            vec![(
                "Set over",
                format!(
                    "{} from the spindle's line ({across} where marks count from across the \
                     bed), {by}. Travel {} of {}.",
                    angle(set, units),
                    words::about(set.needs, units),
                    words::about(set.has, units)
                ),
            )]
        }
        Setting::Grinding(set) => abrasive::to_grind(set, units),
        Setting::Lapping(set) => abrasive::to_lap(set, units),
        Setting::TwoSetUps(set) => two_set_ups::to_set(set, way, &tapers, units),
        Setting::Reamer { .. } | Setting::FormTool { .. } => Vec::new(),
    }
}

/// What taper to expect.
fn taper(told: &Told<'_>, way: &MethodWay, outcome: &Outcome) -> String {
    let tapers = told.tapers();
    if let Some(tried) = told.outlook(way.method) {
        return format!(
            "{}.",
            chance::taper_of(&tried.taper, &tried.taper_met, &tapers)
        );
    }
    let within = way.likely.as_ref().map_or(String::new(), |likely| {
        format!(" +- {}", tapers.difference(likely.taper))
    });
    let verdict = match way.verdict {
        Some(verdict) if !verdict.taper => "out of tolerance",
        _ if !way.sure => "within tolerance, but not for sure",
        _ => "within tolerance",
    };
    format!("expect {}{within}: {verdict}.", tapers.show(outcome.taper))
}

/// The same for a row.
fn taper_in_short(told: &Told<'_>, way: &MethodWay, outcome: &Outcome) -> String {
    let tapers = told.tapers();
    let half = match (told.outlook(way.method), &way.likely) {
        (Some(tried), _) => 0.5 * tried.taper.symmetric.length(),
        (None, Some(likely)) => likely.taper,
        (None, None) => 0.0,
    };
    let mut text = format!("taper +-{}", tapers.difference(half));
    if way.verdict.is_some_and(|verdict| !verdict.taper) {
        text.push_str(&format!(
            ", {} off: out",
            tapers.difference(outcome.taper_error)
        ));
    } else if let Some(tried) = told.outlook(way.method) {
        let met = match &way.expect {
            Some(expect) => Some(chance::in_tolerance(expect)),
            None => (tried.met.share < 0.995)
                .then(|| format!("in tolerance on {}", chance::of_100(&tried.met))),
        };
        text.extend(met.map(|met| format!(", {met}")));
    } else if !way.sure {
        text.push_str(", may miss its tolerance");
    }
    if let Some(verdict) = way.verdict {
        if verdict.size == Some(false) {
            text.push_str("; size out");
        }
        if verdict.waves == Some(false) {
            text.push_str("; too wavy");
        }
    }
    text
}
