//! What holding the slide comes to on a job: the force it wants, what it does on lathes like the
//! one described, what the plan promises with it and without.

use tautway_screens::screen::ByPlan;
use tautway_sim::advice::catalogue::drawn_away;
use tautway_sim::advice::force_scan::ForceScan;
use tautway_sim::advice::preload::{Grounds, PreloadAdvice};
use tautway_sim::advice::source::LINE;
use tautway_sim::advice::window::{Needs, plain_rule};
use tautway_sim::compare::{Comparison, Way};
use tautway_sim::cut::{self, Options};
use tautway_sim::expect::expect;
use tautway_sim::feasibility::reasons;
use tautway_sim::quantity::{Force, Pressure, Quantity, Ratio};
use tautway_sim::scenario::{Known, Preload, PreloadSource, Scenario};
use tautway_sim::setup::Setup;
use tautway_sim::study::PER_TURN;

use crate::hands::{Hands, NoAnswer};

/// Lathes whose need is worked out: no cut is run for it.
const NEEDS: u64 = 1000;

/// What is asked of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Asked {
    /// Part of the lathes that the force has to hold.
    pub sure: f64,
    /// What is added to the least force, as a part of it.
    pub margin: f64,
    /// What cylinder seals take of the force.
    pub seals: Option<Ratio>,
    /// Pressure of the shop's air line.
    pub line: Option<Pressure>,
    /// What is to be judged beside the job's own.
    pub own: Option<PreloadSource>,
    /// Lathes that are cut.
    pub trials: u64,
}

impl Default for Asked {
    /// What is taken where nothing is typed.
    fn default() -> Self {
        Self {
            sure: 0.95,
            margin: 0.2,
            seals: None,
            line: None,
            own: None,
            trials: 100,
        }
    }
}

/// What was found.
pub struct Held {
    /// What is advised.
    pub advice: PreloadAdvice,
    /// What the plan promises.
    pub plan: ByPlan,
    /// Whether the lathes are those cut before a stop.
    pub stopped: bool,
}

/// The job with nothing that holds its slide.
pub fn bare(scenario: &Scenario) -> Scenario {
    let mut bare = scenario.clone();
    bare.job.preload = None;
    bare
}

/// The way that a preload is for: the best where the guide draws it away, else that with the feed
/// turned round, where it can be cut.
pub fn way_to_hold(scenario: &Scenario, best: Setup, options: Options) -> Setup {
    let drawn = drawn_away(&best);
    let (_, approach) = cut::approach(scenario, &drawn, options);
    if reasons(scenario, &drawn, &approach).is_empty() {
        drawn
    } else {
        best
    }
}

/// Weighs it for `setup`; the comparison and its best way are of the bare job.
///
/// # Errors
/// A range that makes no distribution, or a stop before any lathe was cut.
pub fn weigh(
    scenario: &Scenario,
    (comparison, first): (&Comparison, &Way),
    setup: Setup,
    asked: &Asked,
    options: Options,
    hands: &impl Hands,
) -> Result<Held, NoAnswer> {
    let bare = bare(scenario);
    let finely = options;
    let options = Options {
        per_turn: PER_TURN,
        ..options
    };
    let best = first.setup;
    let needs = Needs::new(scenario, &setup, options, asked.seals.map(Known::given))?;
    let (all, stopped) = hands.trials("asking lathes like this one", NEEDS, |numbers| {
        numbers.map(|number| needs.of(number)).collect()
    });
    if stopped {
        return Err(NoAnswer::Stopped(
            "interrupted before any lathe was cut; nothing was written".to_owned(),
        ));
    }
    let alone = ForceScan::new(&bare, &best, vec![0.0], options)?;
    let (best_alone, _) = hands.trials("cutting without", asked.trials, |numbers| {
        alone.trials(numbers)
    });
    let best_steady = alone.summed(&best_alone)?[0].steady;
    let Some(mut advice) = PreloadAdvice::new(&Grounds {
        best: (best, best_steady),
        setup,
        needs: &all,
        sure: (asked.sure, asked.margin),
        plain_rule: plain_rule(&bare, &setup, options),
        spring_travel: needs.spring_travel(&bare),
        line: asked.line.map_or(LINE, Quantity::si),
        units: bare.job.units,
    }) else {
        return Err(NoAnswer::Stopped("no lathe was asked".to_owned()));
    };
    let toward = advice.toward;
    advice.own = asked
        .own
        .map(|source| advice.judged(&Preload { toward, source }));
    advice.of_job = scenario.job.preload.map(|p| advice.judged(&p));
    let scan = ForceScan::new(&bare, &setup, advice.forces(), options)?;
    let (cuts, stopped) = hands.trials("cutting under a row of forces", asked.trials, |numbers| {
        scan.trials(numbers)
    });
    advice.scan = scan.summed(&cuts)?;
    advice.trials = cuts.len() as u64;
    let play = |scenario: &Scenario, setup: &Setup| {
        hands.work("playing the plan on many lathes", || {
            expect(scenario, setup, finely)
        })
    };
    let held = advice.advised.map(|force| {
        let mut held = bare.clone();
        let source = PreloadSource::Constant(Known::given(Force::from_si(force)));
        held.job.preload = Some(Preload { toward, source });
        play(&held, &setup)
    });
    // Played in the comparison already, where the way stands for itself there.
    let compared = comparison.ways.iter().find(|way| way.setup == setup);
    let without = match compared.and_then(|way| way.expect.clone()) {
        Some(expect) => expect,
        None => play(&bare, &setup)?,
    };
    let plan = ByPlan {
        without,
        held: held.transpose()?,
        best: match &first.expect {
            Some(expect) => expect.clone(),
            None => play(&bare, &best)?,
        },
    };
    Ok(Held {
        advice,
        plan,
        stopped,
    })
}
