//! What changes buy beside what makes the spread: where the two rankings agree, and why where
//! they don't.
//!
//! The shares of [`MendDesign`] say whose doubt makes one lathe come out otherwise than the next; a
//! change is worth what it does to the average lathe. They name the same part where what is wrong
//! is doubt (the setting of a guide). Where what is wrong is a level, the same on every such
//! lathe, they differ: a soft bar gives way on all of them, and a slide that floats floats on
//! most. Then the shares say what to measure, the changes what to do.

use crate::given::worked::{plain_setup, scenario};
use tautway_sim::advice::catalogue::{Holds, changes, drawn_away};
use tautway_sim::advice::change::{Arrangement, Change};
use tautway_sim::advice::gain::{Bought, Tryout};
use tautway_sim::advice::source::LINE;
use tautway_sim::advice::window::{Needs, Window, plain_rule};
use tautway_sim::compare::compare;
use tautway_sim::cut::Options;
use tautway_sim::scenario::Scenario;
use tautway_sim::setup::{Pull, Setup};
use tautway_sim::study::{Mend, MendDesign, PER_TURN, Part, SIZE, Study, TAPER, decides, outlook};

const TRIALS: u64 = 60;
/// Trials for shares that stand well apart.
const FEW: u64 = 48;
/// Trials for shares that stand near each other: where the slide floats, drag makes a third of the
/// spread and the material a fifth.
const MANY: u64 = 400;

fn options() -> Options {
    Options {
        per_turn: PER_TURN,
        ..Options::default()
    }
}

/// What the changes buy, and the changes.
fn bought_of(scenario: &Scenario, setup: Setup) -> (Bought, Vec<Change>) {
    let now = Arrangement {
        scenario: scenario.clone(),
        setup,
        by_hand: false,
    };
    let away = drawn_away(&setup);
    let needs = Needs::new(scenario, &away, options(), None).expect("ranges");
    let asked: Vec<_> = (1..=TRIALS).map(|n| needs.of(n)).collect();
    let window = |seals| Window::of(&asked, 0.95, 0.2, seals).expect("lathes");
    let rule = plain_rule(scenario, &away, options());
    let holds = Holds::new(
        [window(false), window(true)],
        rule,
        scenario.job.units,
        LINE,
    );
    let list = changes(&now, Some(holds), options());
    let tryout = Tryout::new(&now, list, false, options()).expect("ranges");
    let cuts: Vec<_> = tryout.trials(1..TRIALS + 1);
    (tryout.bought(&cuts).expect("trials enough"), tryout.changes)
}

/// What makes the spread, and the output that decides, by the shares of so many trials.
fn shares(scenario: &Scenario, setup: Setup, of: u64) -> Mend {
    let study = Study::new(scenario, &[setup], options()).expect("ranges");
    let trials: Vec<_> = study.trials(1..TRIALS + 1);
    let way = outlook(&study, &trials, 0.95).expect("trials enough");
    let design = MendDesign::new(&study, 0, of, false).expect("trials enough");
    let rows: Vec<_> = design.runs(&design.rows().collect::<Vec<_>>());
    design
        .indices(&rows, decides(&way.ways[0]))
        .expect("whole trials")
}

fn best(scenario: &Scenario) -> Setup {
    let comparison = compare(scenario, Options::default());
    comparison.best().expect("a way to take").setup
}

/// The change that gains most among the chosen, and its keys, if it counts for anything.
fn first<'a>(bought: &Bought, list: &'a [Change], of: impl Fn(&Change) -> bool) -> &'a Change {
    let place = bought
        .by_gain(false)
        .into_iter()
        .find(|place| of(&list[*place]))
        .expect("there is such a change");
    let gains = bought.tried[place].gains.expect("it can be cut");
    assert!(gains.counts(bought.steps), "{}", list[place].id);
    &list[place]
}

/// Whether a change moves a number of the part that makes most of the spread.
fn moves_first(change: &Change, mend: &Mend) -> bool {
    let (part, _) = mend.first().expect("something can be mended");
    change.keys().iter().any(|key| part.keys.contains(key))
}

fn counts(bought: &Bought, list: &[Change], id: &str) -> bool {
    let place = list.iter().position(|change| change.id == id);
    let place = place.unwrap_or_else(|| panic!("{id} is not listed"));
    let gains = bought.tried[place].gains.expect("it can be cut");
    gains.counts(bought.steps)
}

#[test]
fn where_doubt_in_the_setting_is_what_is_wrong_both_name_the_guide() {
    let scenario = scenario("taper-sleeve.toml");
    let setup = best(&scenario);
    let (bought, list) = bought_of(&scenario, setup);
    let mend = shares(&scenario, setup, FEW);
    assert_eq!(mend.decides, TAPER);
    assert_eq!(mend.first().map(|(part, _)| part.part), Some(Part::Guide));
    let top = first(&bought, &list, |_| true);
    assert_eq!(top.id, "set-by-master");
    assert!(moves_first(top, &mend));
    // And nothing else is worth an hour.
    for change in list.iter().filter(|change| change.id != top.id) {
        assert!(!counts(&bought, &list, change.id), "{}", change.id);
    }
}

#[test]
fn where_a_soft_bar_gives_way_on_every_lathe_the_bar_gains_most_though_others_spread_more() {
    let scenario = scenario("long-bar-socket.toml");
    let setup = best(&scenario);
    let (bought, list) = bought_of(&scenario, setup);
    let mend = shares(&scenario, setup, FEW);
    assert_eq!(mend.decides, SIZE);
    let top = first(&bought, &list, |_| true);
    assert_eq!(top.id, "shorter-bar");
    // The spread is made by what nobody knows: whether the bar swings, how hard it cuts.
    assert_eq!(mend.first().map(|(part, _)| part.part), Some(Part::Gib));
    assert!(!moves_first(top, &mend));
    // It is the level that the bar takes away: with no doubt left in bar and gib it gains as much.
    let mut sure = scenario.clone();
    for parameter in sure.parameters_mut() {
        if parameter.key.starts_with("tool.") || parameter.key.starts_with("slide.gib") {
            let [_, middle, _] = parameter.value.range_si();
            parameter.set_range_si(&mut sure, [middle; 3]);
        }
    }
    let (sure_bought, sure_list) = bought_of(&sure, setup);
    let gain = |bought: &Bought, list: &[Change]| {
        let place = list.iter().position(|change| change.id == top.id);
        let tried = &bought.tried[place.expect("it is listed")];
        tried.gains.expect("it can be cut").size.mean
    };
    let share = gain(&sure_bought, &sure_list) / gain(&bought, &list);
    assert!((0.8..1.2).contains(&share), "{share}");
    // The weak link is the bar, and nothing in the drive matters beside it.
    for id in [
        "shoe-gib",
        "thrust-nut",
        "new-nut",
        "foot-bolts",
        "stiffer-foot",
    ] {
        assert!(!counts(&bought, &list, id), "{id}");
    }
}

#[test]
fn where_the_slide_floats_the_way_gains_most_and_of_the_lathe_what_spreads_most() {
    let scenario = scenario("tapered-socket.toml");
    let setup = plain_setup(&scenario, Pull::Away);
    let (bought, list) = bought_of(&scenario, setup);
    let mend = shares(&scenario, setup, MANY);
    // Floating is no doubt of any part: what ends it moves no number of the lathe.
    let top = first(&bought, &list, |_| true);
    assert_eq!(top.id, "feed-other-way");
    assert!(top.keys().is_empty());
    // Of the numbers that can be mended both name the drag.
    let on_lathe = |change: &Change| change.keys().iter().any(|key| key.starts_with("slide."));
    let mended = first(&bought, &list, |change| {
        !change.keys().is_empty() && !change.keys().contains(&"preload")
    });
    assert!(on_lathe(mended), "{}", mended.id);
    assert_eq!(mend.first().map(|(part, _)| part.part), Some(Part::Drag));
    assert!(moves_first(mended, &mend));
    // A preload that holds does as well as the other feed, in the chance to meet the drawing.
    let met = |id: &str| {
        let place = list.iter().position(|change| change.id == id);
        let tried = &bought.tried[place.expect("it is listed")];
        tried.after.expect("it can be cut").met.share
    };
    assert!((met("weight") - met("feed-other-way")).abs() < 0.05);
    assert!(met("weight") > bought.now.met.share + 0.1);
}
