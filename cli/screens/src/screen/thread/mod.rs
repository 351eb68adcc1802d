//! A taper thread's first screen: which way, where to start, every pass, the groove found again,
//! depth and lead.

mod told;
mod at_the_lathe;

mod others;

use tautway_sim::arithmetic::{cos, max};
use tautway_sim::caution::NOT_AN_INSPECTION;
use tautway_sim::quantity::{Force, Quantity, THOU, Units};
use tautway_sim::scenario::{Kind, ThreadCut};
use tautway_sim::setup::{Pull, Setup};
use tautway_sim::thread::{Method, RunOut, ThreadPass, ThreadRun, ThreadWay, cut_of};

use super::{hurts, words};
use at_the_lathe::{labour, passes, pick_up, start, tool};
use others::{first_of_all, others};
use tautway_words::Document;
pub use told::Told;
use told::{lead, lead_of, seat};

/// The screen.
pub fn thread(told: &Told<'_>) -> Document {
    let mut page = Document::new();
    let Some(cut) = cut_of(told.scenario) else {
        return page;
    };
    heading(&mut page, told, cut);
    let best = told.found.best();
    match best.and_then(|best| Some((best, best.run.as_ref()?))) {
        Some((best, run)) => recommended(&mut page, told, cut, best, run),
        None => page.lead("THERE IS NO WAY TO CUT THIS THREAD on this lathe as it stands."),
    }
    page.gap();
    others(&mut page, told);
    page.gap();
    if let Some((best, run)) = best.and_then(|best| Some((best, best.run.as_ref()?))) {
        let mut why = why(told, best, run);
        if let Some(first) = first_of_all(told, cut, best) {
            why.push(' ');
            why.push_str(&first);
        }
        page.say("Why:", why);
        page.say("I assumed:", assumed(told, cut, best));
        if told.detail {
            page.gap();
            hurts(&mut page, &best.cautions);
        }
        page.gap();
    }
    let tried = told.likely.map_or(String::new(), |likely| {
        format!(", {} lathes", likely.trials)
    });
    if told.likely.is_some_and(|likely| likely.stopped) {
        page.say(
            "Stopped:",
            "the ranges are those of the lathes tried so far.",
        );
    }
    page.say(
        "Note:",
        format!(
            "{NOT_AN_INSPECTION} (tautway {}, seed {}{tried})",
            told.found.version, told.found.seed
        ),
    );
    page
}

/// What goes below the screen of the cone that is turned first: the thread's way, depth and lead,
/// and every pass where that is wanted.
pub fn thread_below(told: &Told<'_>, every_pass: bool) -> Document {
    let mut page = Document::new();
    let Some(cut) = cut_of(told.scenario) else {
        return page;
    };
    page.gap();
    page.say("THEN THE THREAD:", format!("{}.", of_what(told, cut)));
    let best = told.found.best();
    let Some((best, run)) = best.and_then(|best| Some((best, best.run.as_ref()?))) else {
        page.lead("THERE IS NO WAY TO CUT THIS THREAD on this lathe as it stands.");
        others(&mut page, told);
        return page;
    };
    if every_pass {
        recommended(&mut page, told, cut, best, run);
        page.say("Why:", why(told, best, run));
        page.say("I assumed:", assumed(told, cut, best));
    } else {
        in_short(&mut page, told, cut, best, run);
    }
    if told.detail {
        page.gap();
        others(&mut page, told);
        hurts(&mut page, &best.cautions);
    }
    page
}

/// The way without its passes.
fn in_short(
    page: &mut Document,
    told: &Told<'_>,
    cut: &ThreadCut,
    best: &ThreadWay,
    run: &ThreadRun,
) {
    page.say(
        "CUT IT THIS WAY:",
        format!("{}.", way(&best.setup, best.method)),
    );
    if let Some((first, others)) = best.cautions.split_first() {
        let others: Vec<&str> = others.iter().map(|caution| caution.short).collect();
        let also = if others.is_empty() {
            String::new()
        } else {
            format!(" Also watch: {}.", others.join("; "))
        };
        page.stop_if(format!("{}. {}{also}", first.stop_if, first.advice));
    }
    page.say("Start", start(told, cut, best));
    page.say(
        "Passes:",
        format!(
            "{} by the dial, {} more after gauging; each with its dial and push-off: `tautway \
             predict`.",
            run.passes.len(),
            run.by_gauge.len()
        ),
    );
    page.say("Depth:", depth(told, cut, run, told.units));
    page.say(
        "Lead:",
        lead_of(cut, &run.outcome.lead, best.method, told.units),
    );
}

fn heading(page: &mut Document, told: &Told<'_>, cut: &ThreadCut) {
    let scenario = told.scenario;
    page.title(format!("{}, on {}", scenario.job.name, scenario.lathe.name));
    page.say("", of_what(told, cut));
    if let Some(note) = &scenario.job.note {
        page.say("", note);
    }
    page.gap();
}

/// Which thread, on which taper.
fn of_what(told: &Told<'_>, cut: &ThreadCut) -> String {
    let (scenario, units) = (told.scenario, told.units);
    let work = &scenario.job.work;
    let tapers = words::Tapers::of(scenario, units);
    let kind = match work.kind {
        Kind::Inside => "inside",
        Kind::Outside => "outside",
    };
    let hand = scenario.job.thread.as_ref().map_or("", |t| match t.hand {
        tautway_sim::scenario::Hand::Right => "right-hand",
        tautway_sim::scenario::Hand::Left => "left-hand",
    });
    let depth = told.found.ways.first().map_or(0.0, |way| way.profile.depth);
    format!(
        "{kind} {hand} thread, {}, {} form{}, {} deep; on a taper of {} on diameter, {} long, \
             big end toward the {}, {}",
        lead(cut.lead, units),
        cut.form.name,
        cut.form
            .source
            .map_or(String::new(), |source| format!(" ({source})")),
        words::height(depth, units),
        tapers.nominal(work.taper),
        words::nominal(work.length, units),
        words::end(work.big_end),
        work.material
    )
}

/// "thread from the small end to the big end (toward the headstock), tool in front, ...".
fn way(setup: &Setup, method: Method) -> String {
    let with = match method {
        Method::Attachment => "with the attachment",
        Method::TailstockOver => "with the tailstock over",
    };
    let toward = words::toward(setup.feed);
    let from = match (setup.kind, setup.feed) {
        (Kind::Inside, tautway_sim::setup::Feed::Tailstock) => "from the inside out".to_owned(),
        (Kind::Inside, _) => "from the mouth in".to_owned(),
        (Kind::Outside, _) => {
            let other = if words::starting_end(setup) == "big end" {
                "small end"
            } else {
                "big end"
            };
            format!("from the {} to the {other}", words::starting_end(setup))
        }
    };
    format!("{with}, thread {from} ({toward}), {}", words::stance(setup))
}

fn recommended(
    page: &mut Document,
    told: &Told<'_>,
    cut: &ThreadCut,
    best: &ThreadWay,
    run: &ThreadRun,
) {
    let units = told.units;
    page.say(
        "CUT IT THIS WAY:",
        format!("{}.", way(&best.setup, best.method)),
    );
    if let Some((first, others)) = best.cautions.split_first() {
        page.stop_if(format!("{}. {}", first.stop_if, first.advice));
        let others: Vec<&str> = others.iter().map(|caution| caution.short).collect();
        page.under("Also watch:", format!("{}.", others.join("; ")));
    }
    page.gap();
    page.say("Start", start(told, cut, best));
    page.say("Tool:", tool(told, cut, best));
    if let Some(labour) = labour(told, cut, best) {
        page.say("Labour:", labour);
    }
    page.gap();
    passes(page, told, cut, run);
    page.gap();
    page.say("Find the groove again:", pick_up(told, cut));
    page.say("Depth:", depth(told, cut, run, units));
    page.say("Standoff:", standoff(told, cut, run, units));
    if let Some(run_out) = &told.found.run_out {
        page.say("Last threads:", last_threads(run_out, units));
    }
    page.say("Taper:", taper(told, run, best.method));
    page.say("Lead:", lead_of(cut, &run.outcome.lead, best.method, units));
}

fn depth(told: &Told<'_>, cut: &ThreadCut, run: &ThreadRun, units: Units) -> String {
    let o = &run.by_dial;
    let dial = |pass: &ThreadPass| words::height(pass.dial / cos(cut.infeed.angle()), units);
    let off = |m: f64| {
        format!(
            "{} {}",
            words::height(m, units),
            if m < 0.0 { "shallow" } else { "too deep" }
        )
    };
    let mut text = format!("by the dial alone {}", off(o.depth_error));
    if let Some(likely) = told.likely {
        let range = &likely.depth_error.symmetric;
        text.push_str(&format!(
            " (on 95 of 100 such lathes from {} to {})",
            off(range.lower),
            off(range.upper)
        ));
    }
    match run.by_gauge.last() {
        None => text.push_str(", which no gauge tells"),
        Some(last) if run.verdict.depth => text.push_str(&format!(
            ". Gauge, and take {} more: the dial then says about {}",
            passes_more(run.by_gauge.len()),
            dial(last),
        )),
        Some(last) => text.push_str(&format!(
            ". Even after {} more it stands {}, the dial at {}",
            passes_more(run.by_gauge.len()),
            off(run.outcome.depth_error),
            dial(last),
        )),
    }
    let flat = run.outcome.crest_flat;
    text.push_str(&format!(
        ". The crests are then {} wide.",
        words::height(max(flat, 0.0), units)
    ));
    text
}

fn passes_more(count: usize) -> String {
    if count == 1 {
        "one pass".to_owned()
    } else {
        format!("{count} passes")
    }
}

fn standoff(told: &Told<'_>, cut: &ThreadCut, run: &ThreadRun, units: Units) -> String {
    let o = &run.by_dial;
    let place = |m: f64| {
        let turns = m.abs() / cut.lead.si();
        let far = format!("{} ({turns:.1} turns)", words::length(m.abs(), units));
        if m < 0.0 {
            format!("stands off {far}")
        } else {
            format!("goes on {far} too far")
        }
    };
    let mut text = format!(
        "by the dial alone the gauge (or the shoulder) {}",
        place(o.goes_on)
    );
    if let Some(likely) = told.likely {
        let range = &likely.goes_on.symmetric;
        text.push_str(&format!(
            "; on such lathes from where it {} to where it {}",
            place(range.lower),
            place(range.upper)
        ));
    }
    let taper = told.scenario.job.work.taper.si();
    let (step, named) = match units {
        Units::Inch => (THOU, "One thou"),
        Units::Metric => (1e-5, "0.01 mm"),
    };
    text.push_str(&format!(
        ". {named} more on the dial per side brings it on by {}.",
        words::length(2.0 * step / taper, units)
    ));
    text
}

/// How it runs out in stock of its own diameter.
fn last_threads(run_out: &RunOut, units: Units) -> String {
    let flat = format!(
        "{:.1} at the big end ({}) have flat crests, the stock being no bigger there",
        run_out.threads,
        words::length(run_out.length, units)
    );
    match run_out.standard {
        Some((counted, vanishing)) => format!(
            "{flat}; the standard counts {counted:.0} such as usable, and behind them the groove \
             vanishes over {vanishing:.1} (ASME B1.20.1, from memory): draw the tool out over as \
             much. What pushes there is less than is told."
        ),
        None => format!("{flat}. What pushes there is less than is told."),
    }
}

fn taper(told: &Told<'_>, run: &ThreadRun, method: Method) -> String {
    let tapers = words::Tapers::of(told.scenario, told.units);
    let o = &run.outcome;
    let range = told.likely.map_or(String::new(), |likely| {
        let range = &likely.taper.symmetric;
        format!(
            " ({} to {} on such lathes)",
            tapers.bare(range.lower),
            tapers.show(range.upper)
        )
    });
    let verdict = if run.verdict.taper {
        "within tolerance"
    } else {
        "out of tolerance"
    };
    let work = &told.scenario.job.work;
    let aim = tautway_sim::cut::aimed_taper(told.scenario);
    let middle = if (aim - work.taper.si()).abs() < 1e-9 {
        String::new()
    } else {
        format!(" (middle of {})", tapers.band(&work.tolerance))
    };
    let set = match method {
        Method::Attachment => format!("the guide at {}{middle}; ", tapers.show(aim)),
        Method::TailstockOver => String::new(),
    };
    format!(
        "{set}expect {} on diameter{range}: {verdict}.",
        tapers.show(o.taper)
    )
}

fn why(told: &Told<'_>, best: &ThreadWay, run: &ThreadRun) -> String {
    let units = told.units;
    let rule = match best.pull {
        Pull::In => "On this way the guide pulls the tool in",
        Pull::Away => "On this way the guide draws the tool away",
        Pull::Neither => "With the tailstock over no slide moves while the thread is cut",
    };
    let [push_off, drag] = run.forces();
    let mut text = format!(
        "{rule}. The passes push off {}, the slide drags {} while cutting: ",
        words::forces(push_off, units),
        words::forces(drag, units),
    );
    let changed: Vec<&ThreadPass> = run.passes.iter().filter(|p| p.step.is_some()).collect();
    match changed.first() {
        _ if run.by_dial.steady => text.push_str(&format!(
            "it stays {} in all of them, held by {} at the least in the last one set.",
            seat(run.by_dial.seat),
            Force::from_si(run.by_dial.seat_margin).show(units)
        )),
        Some(pass) => text.push_str(&format!(
            "it changes seat at pass {}, and a pass that sits otherwise than the one before goes a \
             part of the slack deeper or shallower than its dial says.",
            pass.number
        )),
        None => text.push_str(
            "it floats, and friction sets the depth: the tool takes what the drag allows and the \
             dial tells little.",
        ),
    }
    if let Some(likely) = told.likely {
        text.push_str(&format!(
            " It sits alike in every pass on {:.0} of 100 such lathes.",
            100.0 * likely.steady
        ));
    }
    text
}

fn assumed(told: &Told<'_>, cut: &ThreadCut, best: &ThreadWay) -> String {
    let units = told.units;
    let shown = if told.detail { usize::MAX } else { 3 };
    let mut list: Vec<String> = told
        .moves
        .iter()
        .take(shown)
        .map(|m| {
            let [low, taken, high] = &m.range;
            let test = m.test.map_or(String::new(), |test| format!("; {test}"));
            let does = if m.unseats {
                "could make it change seat".to_owned()
            } else {
                format!("depth +-{}", words::height(m.depth, units))
            };
            format!("{} {taken} ({low} to {high}): {does}{test}", m.words)
        })
        .collect();
    let more = told.moves.len().saturating_sub(shown);
    if more > 0 {
        list.push(format!("and {more} more (--detail)"));
    }
    if cut.form.from_memory {
        list.push(
            "the form's numbers are from memory: look them up before relying on them".to_owned(),
        );
    }
    if best.method == Method::TailstockOver
        && cut.dog_offset.origin == tautway_sim::scenario::Origin::Assumed
    {
        list.push("where the dog's tail bears: dog_reach and dog_radius".to_owned());
    }
    list.push("the cone over the crests is right before threading".to_owned());
    format!("{}.", list.join("; "))
}
