//! What to expect of a way, in words: verdict, last passes, chances. Every voice takes these.

use tautway_sim::expect::{Asked, Expect, Reach, SIZE_TAKEN, Share};
use tautway_sim::quantity::Units;
use tautway_sim::scenario::{Kind, Scenario, Thread};
use tautway_sim::verdict::NOT_SEEN;
use tautway_words::{Block, Document, Role, Table};

use super::words;

/// Beyond this doubt, either way, a chance is told with where it may lie.
const TOLD_FROM: f64 = 0.02;

/// Up to this doubt, either way, a chance is told to one of 100; beyond it to five.
const TO_ONE: f64 = 0.015;
/// Nearer to none and to all than this it is told to one all the same.
const NEAR_AN_END: f64 = 0.025;

/// So many of 100, never surer than lathes were tried and in the digits that hold.
pub fn of_100(share: &Share) -> String {
    if share.met >= 0.995 {
        "all but 1 of 100".to_owned()
    } else if share.met < 0.005 {
        "none of 100".to_owned()
    } else {
        format!("{} of 100", bare(share))
    }
}

/// The same bare, for a second figure.
fn bare(share: &Share) -> u32 {
    held(share.met, share)
}

/// A share of 100 in the digits that its doubt leaves: on other lathes drawn alike it comes out the
/// same or the next.
fn held(of: f64, doubt: &Share) -> u32 {
    let coarse = 0.5 * (doubt.high - doubt.low) > TO_ONE;
    let unit = if coarse && of > NEAR_AN_END && of < 1.0 - NEAR_AN_END {
        5.0
    } else {
        1.0
    };
    (unit * (100.0 * of / unit).round()) as u32
}

/// Where it may lie, where that is wide.
fn doubt(share: &Share) -> String {
    if 0.5 * (share.high - share.low) <= TOLD_FROM {
        return String::new();
    }
    // What holds is on both sides of the figure.
    let [low, high] = [share.low, share.high].map(|end| held(end, share));
    let low = low.min(bare(share).saturating_sub(5));
    let high = high.max((bare(share) + 5).min(99));
    format!(" ({low} to {high})")
}

/// What is missed of 100, by kind, so that they and what is met come to 100: what weighs most takes
/// what rounding leaves.
fn missed<'a>(met: &Share, kinds: &[(f64, &'a str)]) -> Vec<(u32, &'a str)> {
    let mut told: Vec<(u32, &str)> = kinds
        .iter()
        .filter(|(share, _)| *share >= 0.005)
        .map(|(share, words)| ((100.0 * share).round() as u32, *words))
        .collect();
    if let Some(most) = (0..told.len()).max_by_key(|i| (told[*i].0, usize::MAX - i)) {
        let others: u32 = told.iter().map(|(count, _)| count).sum::<u32>() - told[most].0;
        told[most].0 = 100_u32.saturating_sub(bare(met) + others);
    }
    told.retain(|(count, _)| *count > 0);
    told
}

/// The verdict's name.
pub fn verdict(reach: Reach) -> &'static str {
    match reach {
        Reach::InReach => "IN REACH:",
        Reach::InReachIfGauged => "IN REACH IF GAUGED:",
        Reach::OnTheEdge => "ON THE EDGE:",
        Reach::OutOfReach => "OUT OF REACH:",
    }
}

/// The chance that is told first: by the dial where that does, else with the plan's gauging.
fn told(expect: &Expect) -> &Share {
    if expect.gauging_helps() && expect.verdict == Reach::InReach {
        &expect.by_dial
    } else {
        &expect.with_gauging.share
    }
}

/// Verdict and chance, as every voice begins.
pub fn in_short(expect: &Expect) -> String {
    format!("{} {}", verdict(expect.verdict), of_100(told(expect)))
}

/// What is counted.
fn counted(finish: bool) -> &'static str {
    if finish {
        "taper, size and finish"
    } else {
        "taper and size"
    }
}

/// Verdict and chances, in a sentence or three; with whether the drawing asks for the finish.
pub fn chances(expect: &Expect, kind: Kind, finish: bool, units: Units) -> String {
    let met = expect.met();
    let gauged = &expect.with_gauging;
    let helps = expect.gauging_helps();
    let (counts, dial) = (counted(finish), &expect.by_dial);
    let of = told(expect);
    let (so_many, doubt) = (of_100(of), doubt(of));
    let mut text = format!("{so_many}{doubt} lathes like yours, {counts}");
    let decided = match expect.decided_by {
        Some(Asked::Taper) => "taper",
        Some(Asked::Size) => "size",
        Some(Asked::Finish) => "finish",
        None => "",
    };
    match expect.verdict {
        Reach::InReach => text.push_str(", by the dial alone."),
        _ if !helps => {
            let why = if expect.floats() {
                "The slide floats: gauging won't mend it."
            } else {
                "Nothing is gauged before the last pass."
            };
            text.push_str(&format!("; the {decided} decides. {why}"));
        }
        _ => {
            text.push_str(&format!("; by the dial alone {}.", bare(dial)));
            let scrap = match kind {
                Kind::Inside => "scrap (too big)",
                Kind::Outside => "scrap (too small)",
            };
            let otherwise = 1.0 - met.met - gauged.scrap - gauged.rework;
            let kinds = [
                (gauged.scrap, scrap),
                (gauged.rework, "for another pass"),
                (otherwise, "off in taper or finish"),
            ];
            let missed: Vec<String> = missed(&met, &kinds)
                .into_iter()
                .map(|(count, words)| format!("{count} {words}"))
                .collect();
            if !missed.is_empty() {
                text.push_str(&format!(" Gauged, {}.", missed.join(", ")));
            }
            if expect.verdict != Reach::InReachIfGauged {
                text.push_str(&format!(" The {decided} decides."));
            }
        }
    }
    if expect.size_taken {
        let half = words::height(SIZE_TAKEN, units);
        text.push_str(&format!(" No size tolerance: I took +-{half} per side."));
    }
    text
}

/// The verdict as the first thing read.
pub fn first(page: &mut Document, expect: &Expect, scenario: &Scenario, units: Units) {
    let label = verdict(expect.verdict);
    let work = &scenario.job.work;
    let told = chances(expect, work.kind, work.waves_allowed.is_some(), units);
    let cut = |thread: &Thread| thread.cut.is_some();
    let thread = if scenario.job.thread.as_ref().is_some_and(cut) {
        " That is the cone: its thread is told below."
    } else {
        ""
    };
    page.say_as(Role::Advice, label, format!("{told}{thread}"));
}

/// How many, in words.
fn number(count: usize) -> String {
    match count {
        2 => "two".to_owned(),
        3 => "three".to_owned(),
        _ => count.to_string(),
    }
}

/// What stays as it is between the gauge and the last pass, with the attachment.
pub const GUIDE_AND_GIB: &str = "guide and gib";
/// What stays as it is without it.
pub const THE_SETTING: &str = "the setting";

/// The passes that end the plan, and the table for the last of them, with what is left alone before
/// it.
pub fn last_passes(page: &mut Document, expect: &Expect, alone: &str, units: Units) {
    let depth = words::height(expect.set, units);
    let how_many = number(expect.alike);
    if !expect.gauging_helps() {
        let why = if expect.floats() {
            "No table: what is left answers no gauge."
        } else {
            "No table: the job says that nothing is gauged."
        };
        page.say(
            "Last passes:",
            format!("{how_many} of {depth} per side. {why}"),
        );
        return;
    }
    let after = match expect.alike {
        2 => "the first".to_owned(),
        more => format!("the {}", if more == 3 { "second" } else { "last but one" }),
    };
    page.say(
        "Last passes:",
        format!(
            "{how_many} of {depth} per side; after {after} stop, chips out, gauge COLD. \
             Leave {alone} alone, don't touch off again. Then:"
        ),
    );
    page.push(Block::Table(table(expect, units)));
}

/// From what is still left on to how far the dial goes.
pub fn table(expect: &Expect, units: Units) -> Table {
    let of = |at: usize| expect.last_pass.iter().map(move |row| row[at]);
    let cells = |label: &str, at: usize| {
        let figures = of(at).map(|m| words::bare_height(m, units));
        std::iter::once(label.to_owned())
            .chain(figures)
            .collect::<Vec<_>>()
    };
    let unit = match units {
        Units::Inch => "in",
        Units::Metric => "mm",
    };
    let mut table =
        Table::new(cells(&format!("still left on, per side, {unit}"), 0)).words_in(&[0]);
    table.row(cells(&format!("turn the dial in, per side, {unit}"), 1));
    table
}

/// A chance and a cost beside another's, and whether they can be told apart: of those that can't the
/// plainest stands first.
pub fn beside(expect: &Expect, other: &Expect) -> String {
    let costs = [expect, other].map(|of| of.cost.expected);
    let alike = (costs[0] - costs[1]).abs() <= other.doubt();
    format!(
        "{}, {:.0} min to {:.0}{}",
        of_100(&expect.met()),
        costs[0],
        costs[1],
        if alike { ", about equal" } else { "" }
    )
}

/// Waves on fewer lathes than this are none, and are seldom: between the two their height is that of
/// a handful of lathes and says nothing.
const SELDOM: [f64; 2] = [0.005, 0.1];

/// Waves of the body, and the mark where the tool comes in.
pub fn finish(expect: &Expect, units: Units) -> String {
    let waves = &expect.waves;
    if expect.wavy < SELDOM[0] {
        return "steady, no waves you would see.".to_owned();
    }
    if expect.wavy < SELDOM[1] {
        return "no waves you would see on 9 of 10 such lathes.".to_owned();
    }
    let usual = if waves.median <= NOT_SEEN {
        "mostly none you would see".to_owned()
    } else {
        format!("usually {}", words::height(waves.median, units))
    };
    let most = words::height(waves.high, units);
    let mark = |of: f64| (of.abs() > NOT_SEEN).then(|| words::height(of, units));
    let entry =
        mark(expect.entry.median).map_or(String::new(), |deep| format!("; entry mark {deep}"));
    format!("waves {usual}, up to {most}{entry}.")
}

/// What the passes before the gauge leave.
pub fn leaves(expect: &Expect, units: Units) -> String {
    let [low, high] = words::ends([expect.left.low, expect.left.high], units);
    let of = match expect.alike {
        2 => "the first",
        _ => "those before the gauge",
    };
    let one = expect.alike == 2;
    let bare = |m: f64| words::bare_height(m, units);
    if low >= 0.0 {
        let leaves = if one { "leaves" } else { "leave" };
        let high = words::height(high, units);
        format!("{of} {leaves} {} to {high} per side", bare(low))
    } else {
        let ends = if one { "ends" } else { "end" };
        let high = words::height(high, units);
        if expect.left.high < 0.0 {
            return format!(
                "{of} {ends} {} to {} too deep",
                high,
                words::height(low, units)
            );
        }
        format!("{of} {ends} from {} too deep to {high} left on", bare(low))
    }
}
