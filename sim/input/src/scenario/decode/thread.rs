//! The thread in the job file, and the lead screw in the lathe file: every key and its stand-in.

use toml::de::DeValue;

use super::lead::lead_in;
use super::section::{Got, Section, Words};
use crate::arithmetic::{max, min};
use crate::quantity::{
    Angle, Dimension, Fault, INCH, INCHES_PER_FOOT, Length, Quantity, Ratio, Taper,
};
use crate::scenario::groove::Profile;
use crate::scenario::limits::Limits;
use crate::scenario::want::Want;
use crate::scenario::{
    End, Hand, Infeed, Kind, Known, Lead, LeadTolerance, PassPlan, ROTARY_FORMS, ROUNDED_55, Root,
    SIXTY, Severity, StandardForm, TAPER_PIPE, Thread, ThreadCut, ThreadEnd, ThreadForm, Work,
};
use crate::setup::{Face, Feed, Rotation, Setup, Side};
use crate::standard_taper::PipeThread;

const HAND: &Words<Hand> = &[
    (&["right", "right hand"], Hand::Right),
    (&["left", "left hand"], Hand::Left),
];

/// None is the person's own.
const FORM: &Words<Option<StandardForm>> = &[
    (&["taper pipe", "pipe", "NPT"], Some(TAPER_PIPE)),
    (&["60 degree", "60 deg"], Some(SIXTY)),
    (&["55 degree rounded", "55 deg rounded"], Some(ROUNDED_55)),
    (&["V-0.038R"], Some(ROTARY_FORMS[0])),
    (&["V-0.040"], Some(ROTARY_FORMS[1])),
    (&["V-0.050"], Some(ROTARY_FORMS[2])),
    (&["V-0.055"], Some(ROTARY_FORMS[3])),
    (&["V-0.065"], Some(ROTARY_FORMS[4])),
    (&["own", "my own"], None),
];

const END: &Words<ThreadEnd> = &[
    (&["open", "free"], ThreadEnd::Open),
    (&["groove", "undercut"], ThreadEnd::Groove),
    (&["runs out", "run-out", "none"], ThreadEnd::RunsOut),
];

/// How the tool goes in, before its angle is known.
#[derive(Clone, Copy, PartialEq)]
enum Way {
    Square,
    Flank,
}

const INFEED: &Words<Way> = &[
    (&["square", "straight in"], Way::Square),
    (&["along the flank", "flank"], Way::Flank),
];

/// A flank infeed leaves the trailing flank this much to shave (common practice, no source).
const SHAVED: f64 = std::f64::consts::PI / 180.0;
const FLAT: Limits = Limits::NOT_NEGATIVE;
const MOST_PASSES: u32 = 60;

/// Reads `[thread]`. With the hand alone it only says which ways are open.
/// The thread of a standard taper that the job names needs no table.
pub(super) fn read(
    table: Section<'_>,
    work: &Work,
    standard: Option<PipeThread>,
) -> Option<Thread> {
    if !table.is_there() && standard.is_none() {
        return None;
    }
    let hand = table.word("hand", HAND).given().unwrap_or(Hand::Right);
    let has = |key| table.find(key).is_some();
    let told = [
        has("form"),
        has("threads_per_inch"),
        has("pitch"),
        has("passes"),
        has("infeed"),
        has("crest_flat"),
        has("depth"),
    ];
    let cut = (told.contains(&true) || standard.is_some()).then(|| cut(&table, work, standard));
    table.finish();
    Some(Thread { hand, cut })
}

fn cut(table: &Section<'_>, work: &Work, named: Option<PipeThread>) -> ThreadCut {
    let standard = match (table.word("form", FORM), named) {
        (Got::Given(form), _) => Some(form),
        (Got::Faulty, _) => None,
        (Got::Open, Some(named)) => FORM
            .iter()
            .find(|(words, _)| words.contains(&named.form))
            .map(|(_, form)| *form),
        (Got::Open, None) => {
            table.open("form", "\"taper pipe\"");
            None
        }
    };
    let lead = lead(table, standard.flatten(), named);
    let form = form(table, standard, lead.si());
    let spring = table
        .count(
            "spring",
            "2",
            0..=20,
            "passes are counted in whole numbers, 20 at most",
            "write a whole number: spring = 2",
        )
        .given()
        .unwrap_or(2);
    let dog = (
        table.quantity::<Length>("dog_reach", Limits::NOT_NEGATIVE),
        table.quantity::<Length>("dog_radius", Limits::POSITIVE),
    );
    // A pipe's thread runs out toward its big end, a coupling's toward its small one; of another
    // nobody knows, and the chuck is in the way.
    let at_end = |end| {
        let out = match (named, work.kind) {
            (None, _) => end == End::Headstock,
            (Some(_), Kind::Outside) => end == work.big_end,
            (Some(_), Kind::Inside) => end != work.big_end,
        };
        match out {
            true => ThreadEnd::RunsOut,
            false => ThreadEnd::Open,
        }
    };
    let cut = ThreadCut {
        infeed: infeed(table, &form),
        lead,
        depth: table.quantity("depth", FLAT.not_zero()).given(),
        lead_tolerance: tolerance(table, standard.flatten()),
        plan: plan(table),
        spring,
        headstock_end: table
            .word("headstock_end", END)
            .given()
            .unwrap_or(at_end(End::Headstock)),
        tailstock_end: table
            .word("tailstock_end", END)
            .given()
            .unwrap_or(at_end(End::Tailstock)),
        // The range of the trade's tables; nothing finer is known.
        crowding: table.known(
            "crowding",
            Limits::ONE_OR_MORE,
            Known::assumed(1.2, 1.5, 2.0),
        ),
        dog_offset: dog_offset(table, dog),
        form,
    };
    if let Some(form) = standard.flatten() {
        tapers(table, &form, work);
    }
    geometry(table, &cut, work);
    cut
}

/// Where a dog's tail bears, over its distance from the axis. Nothing told: half of it, from a
/// fifth to the whole [guess].
fn dog_offset(table: &Section<'_>, dog: (Got<Length>, Got<Length>)) -> Known<Ratio> {
    match dog {
        (Got::Given(reach), Got::Given(radius)) => {
            Known::given(Ratio::from_si(reach.si() / radius.si()))
        }
        (Got::Given(_), Got::Open) => {
            table.missing("dog_radius", "\"2 in\"");
            Known::assumed(f64::NAN, f64::NAN, f64::NAN)
        }
        (Got::Open, Got::Given(_)) => {
            table.missing("dog_reach", "\"1 in\"");
            Known::assumed(f64::NAN, f64::NAN, f64::NAN)
        }
        _ => Known::assumed(0.2, 0.5, 1.0),
    }
}

fn lead(table: &Section<'_>, form: Option<StandardForm>, named: Option<PipeThread>) -> Lead {
    let none = Lead::PerInch(f64::NAN);
    let fixed = form.and_then(|form| Some((form.name, form.threads?)));
    match (lead_in(table), fixed) {
        (Got::Given(lead), Some((name, threads))) => {
            if (lead.si() * threads / INCH - 1.0).abs() > 1e-6 {
                let key = match lead {
                    Lead::PerInch(_) => "threads_per_inch",
                    Lead::Pitch(_) => "pitch",
                };
                let path = table.key_path(key);
                table.reading.error(
                    table.reading.place(&path),
                    format!("{name} has {threads} threads per inch"),
                    "not this form's",
                    format!("leave `{key}` out, or write form = \"own\" with its angles and flats"),
                );
            }
            lead
        }
        (Got::Given(lead), None) => lead,
        (Got::Open, Some((_, threads))) => Lead::PerInch(threads),
        (Got::Open, None) => named.map_or_else(
            || {
                table.missing("threads_per_inch", "14");
                none
            },
            |named| Lead::PerInch(named.threads),
        ),
        (Got::Faulty, _) => none,
    }
}

/// The standard's profile at this pitch, what the person gave in its place.
fn form(table: &Section<'_>, standard: Option<Option<StandardForm>>, pitch: f64) -> ThreadForm {
    let form = standard.flatten();
    let both = table.quantity::<Angle>("flank_angle", Limits::ENTERING);
    let small = table.quantity::<Angle>("small_end_flank", Limits::ENTERING);
    let big = table.quantity::<Angle>("big_end_flank", Limits::ENTERING);
    if both.is_given() && (small.is_given() || big.is_given()) {
        let path = table.key_path("flank_angle");
        table.reading.error(
            table.reading.place(&path),
            "one angle for both flanks, and one for each",
            "either or",
            "give flank_angle where both are alike, else small_end_flank and big_end_flank",
        );
    }
    let default = form.map(|form| Angle::from_si(form.flank.to_radians()));
    let both = both.given().or(default);
    let known = |own: &Got<Angle>| !matches!(own, Got::Open) || both.is_some();
    if standard.is_some() && !table.is_faulty_at("flank_angle") && !(known(&small) && known(&big)) {
        table.missing("flank_angle", "\"30 deg\"");
    }
    let flank = |own: Got<Angle>| own.given().or(both).unwrap_or(Angle::from_si(f64::NAN));
    let (small_end_flank, big_end_flank) = (flank(small), flank(big));
    let unit = match form {
        Some(form) if form.threads.is_some() => INCH,
        _ => pitch,
    };
    let by_form =
        |of: fn(&StandardForm) -> f64| Length::from_si(form.map_or(0.0, |f| of(&f)) * unit);
    let flat = table.quantity::<Length>("root_flat", FLAT);
    let radius = table.quantity::<Length>("root_radius", FLAT.not_zero());
    let by_the_form = !flat.is_given() && !radius.is_given();
    let root = match (flat.given(), radius.given(), form) {
        (Some(_), Some(_), _) => {
            let path = table.key_path("root_radius");
            table.reading.error(
                table.reading.place(&path),
                "the root is flat or round, not both",
                "root_flat is given too",
                "leave out one of the two",
            );
            Root::Flat(Length::from_si(f64::NAN))
        }
        (Some(flat), None, _) => Root::Flat(flat),
        (None, Some(radius), _) => Root::Round(radius),
        (None, None, Some(form)) if form.root_radius > 0.0 => {
            Root::Round(by_form(|form| form.root_radius))
        }
        (None, None, _) => Root::Flat(by_form(|form| form.root_flat)),
    };
    let crest = table.quantity::<Length>("crest_flat", FLAT).given();
    // With flats of the person's own it is the form's in its angle alone.
    let source = form
        .map(|form| form.source)
        .filter(|_| crest.is_none() && by_the_form);
    ThreadForm {
        name: form.map_or("own form", |form| form.name).to_owned(),
        small_end_flank,
        big_end_flank,
        crest_flat: crest.unwrap_or(by_form(|form| form.crest_flat)),
        root,
        round_crest: form.is_some_and(|form| form.name == ROUNDED_55.name),
        source,
        from_memory: source.is_some_and(|source| source.contains("from memory")),
    }
}

/// How far a lead may be off, over the length that is measured.
fn off_over_length(text: &str) -> Result<f64, Fault> {
    let fault = |at, message: &str| Fault {
        at,
        message: message.to_owned(),
        hint: "write how far it may be off over a length: \"0.0015 in/in\" or \"1.5 um/mm\""
            .to_owned(),
    };
    let over = Taper::parse(text)
        .map_err(|why| fault(why.at, "this is no length over a length"))?
        .si();
    if over > 0.0 && over < 0.1 {
        Ok(over)
    } else {
        Err(fault(
            0..text.len(),
            "a lead is off by more than nothing and less than a tenth",
        ))
    }
}

fn tolerance(table: &Section<'_>, form: Option<StandardForm>) -> Option<LeadTolerance> {
    let given = table
        .read("lead_tolerance", "\"0.0015 in/in\"", off_over_length)
        .given()
        .filter(|off| table.holds("lead_tolerance", Taper::from_si(*off)));
    given
        .map(|given| LeadTolerance {
            per_length: given,
            source: None,
        })
        .or_else(|| {
            let (per_length, source) = form?.lead_tolerance?;
            Some(LeadTolerance {
                per_length,
                source: Some(source),
            })
        })
}

fn infeed(table: &Section<'_>, form: &ThreadForm) -> Infeed {
    let way = table.word("infeed", INFEED).given().unwrap_or(Way::Square);
    let angle = table.quantity::<Angle>("infeed_angle", Limits::NOT_NEGATIVE);
    // The trailing flank may be either, as the feed goes.
    let least = min(form.small_end_flank.si(), form.big_end_flank.si());
    if way == Way::Square {
        if !matches!(angle, Got::Open) {
            let path = table.key_path("infeed_angle");
            table.reading.error(
                table.reading.place(&path),
                "`infeed_angle` goes with an infeed along the flank",
                "the infeed is square",
                "leave it out, or write infeed = \"along the flank\"",
            );
        }
        return Infeed::Square;
    }
    match angle {
        Got::Given(angle) if angle.si() > least => {
            let path = table.key_path("infeed_angle");
            table.reading.error(
                table.reading.place(&path),
                "the infeed leans more than the flank",
                format!(
                    "the flank stands at {}",
                    Angle::from_si(least).show(table.reading.units.get())
                ),
                "a degree or half of one less than the flank leaves the other flank a shaving",
            );
            Infeed::Flank(Angle::from_si(f64::NAN))
        }
        Got::Given(angle) => Infeed::Flank(angle),
        _ => Infeed::Flank(Angle::from_si(max(least - SHAVED, 0.0))),
    }
}

/// A count, or a list of depths.
fn plan(table: &Section<'_>) -> PassPlan {
    table.want("passes", Want::List(Dimension::Length));
    if let Some((DeValue::Array(list), at)) = table.find("passes") {
        if list.is_empty() {
            table.reading.error(
                at,
                "`thread.passes` is empty",
                "one pass at least",
                "list each pass by its depth, passes = [\"0.010 in\", \"0.006 in\"], or say how \
                 many: passes = 8",
            );
            return PassPlan::Depths(vec![Length::from_si(f64::NAN)]);
        }
        let limits = Limits::POSITIVE;
        let each = list.iter().map(|depth| {
            table
                .quantity_in("passes", depth.get_ref(), depth.span(), limits)
                .given()
                .unwrap_or(Length::from_si(f64::NAN))
        });
        return PassPlan::Depths(each.collect());
    }
    let count = table.count(
        "passes",
        "8",
        1..=MOST_PASSES,
        "passes are counted in whole numbers, from 1 to 60",
        "say how many, passes = 8, or list each by its depth: passes = [\"0.010 in\", \"0.006 in\"]",
    );
    PassPlan::ConstantArea(count.given())
}

/// A standard form on a taper that it is not made with.
fn tapers(table: &Section<'_>, form: &StandardForm, work: &Work) {
    let rate = work.taper.si() * INCHES_PER_FOOT;
    let alike = |taper: &&f64| (*taper - rate).abs() < 1e-3 * **taper;
    if form.tapers.is_empty() || !rate.is_finite() || form.tapers.iter().find(alike).is_some() {
        return;
    }
    let of_job = work.taper.show(table.reading.units.get());
    let each: Vec<String> = form
        .tapers
        .iter()
        .map(|taper| format!("{taper} in/ft"))
        .collect();
    table.reading.report(
        Severity::Warning,
        table.reading.place(&table.key_path("form")),
        format!("{} is made on a taper of {}", form.name, each.join(" or ")),
        format!("this job's is {of_job}"),
        "check the taper and the form against the drawing",
    );
}

/// Whether there can be such a groove in such a piece.
fn geometry(table: &Section<'_>, cut: &ThreadCut, work: &Work) {
    let show = |si: f64| Length::from_si(si).show(table.reading.units.get());
    let error = |key: &str, message: String, label: String, hint: &str| {
        let path = table.key_path(key);
        table
            .reading
            .error(table.reading.place(&path), message, label, hint);
    };
    // Only depth and flats are looked at, which no direction changes.
    let setup = Setup {
        kind: work.kind,
        big_end: work.big_end,
        side: Side::Front,
        feed: Feed::Headstock,
        rotation: Rotation::Forward,
        face: Face::Up,
    };
    let profile = Profile::new(cut, &setup, work.taper.slope());
    let (depth, pitch) = (profile.depth, profile.pitch);
    if pitch > work.length.si() {
        error(
            if matches!(cut.lead, Lead::Pitch(_)) {
                "pitch"
            } else {
                "threads_per_inch"
            },
            "the taper is shorter than one turn of the thread".to_owned(),
            format!("it is {} long", show(work.length.si())),
            "check the threads per inch and the taper's length",
        );
        return;
    }
    if depth <= 0.0 || profile.root_off >= profile.triangle {
        error(
            if table.find("crest_flat").is_some() {
                "crest_flat"
            } else {
                "form"
            },
            "crest and root leave no thread".to_owned(),
            format!("the pitch is {}", show(pitch)),
            "flats, or the root's round, are wider than the pitch has room for",
        );
        return;
    }
    if profile.crest_flat(depth) < -1e-9 {
        error(
            "depth",
            "the thread is deeper than its flanks meet".to_owned(),
            format!(
                "the crests come to an edge at {}",
                show(profile.triangle - profile.root_off)
            ),
            "leave `depth` out to take the form's own",
        );
    }
    let (big, small) = work.end_diameters();
    if work.kind == Kind::Outside && small.si() - 2.0 * depth <= 0.0 {
        error(
            "form",
            "the thread goes through the small end".to_owned(),
            format!(
                "it is {} deep, the small end {}",
                show(depth),
                show(small.si())
            ),
            "check threads per inch and the diameter, which is that over the crests",
        );
    }
    if let (Kind::Inside, Some(outside)) = (work.kind, work.outside_diameter)
        && outside.si() <= big.si() + 2.0 * depth
    {
        error(
            "form",
            "the thread goes through the wall".to_owned(),
            format!(
                "at the big end it comes to {}",
                show(big.si() + 2.0 * depth)
            ),
            "check threads per inch, the diameter over the crests and the outside diameter",
        );
    }
    if let PassPlan::Depths(each) = &cut.plan {
        let sum: f64 = each.iter().map(|set| set.si()).sum();
        if sum > 1.001 * depth || sum < 0.999 * depth {
            error(
                "passes",
                "the passes don't add up to the thread's depth".to_owned(),
                format!(
                    "they come to {}, the thread is {} deep",
                    show(sum),
                    show(depth)
                ),
                "list depths along n that add up to it, or say how many passes: passes = 8",
            );
        }
    }
    let starts = [End::Headstock, End::Tailstock]
        .into_iter()
        .any(|end| cut.end(end) != ThreadEnd::RunsOut);
    if !starts {
        error(
            "tailstock_end",
            "the thread can start at neither end".to_owned(),
            "it runs out at both".to_owned(),
            "one end at least is \"open\" or has a \"groove\"",
        );
    }
}
