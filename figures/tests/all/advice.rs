//! Drawings of preloads and of changes, at their extremes.

use crate::records::{THOU, check, setup};
use tautway_figures::{changes, preload};
use tautway_sim::{
    advice::{
        force_scan::{Band, ForcePoint},
        gain::{Bought, Gain, Gains, Standing, Tried},
        preload::{Grounds, PreloadAdvice},
        window::Need,
    },
    caution::PRELOAD_REFUSED,
    quantity::Units,
    scenario::Kind,
    setup::Feed,
    spread::Interval,
    study::Chance,
};

fn chance(share: f64) -> Chance {
    Chance {
        in_trials: (100.0 * share) as u64,
        share,
        interval: Interval {
            lower: (share - 0.1).max(0.0),
            upper: (share + 0.1).min(1.0),
        },
    }
}

/// Advice for slides that start at this force, N, with an invented cut under every force.
fn advice(feed: Feed, starts: f64, foot: Option<f64>) -> PreloadAdvice {
    let setup = setup(Kind::Outside, feed);
    let needs = [Need {
        starts,
        air: starts,
        cut: -10.0,
        breakaway: 1.3,
        seal_share: 0.15,
        foot,
        stroke: 0.05,
        pulled_in: feed == Feed::Tailstock,
    }];
    let mut advice = PreloadAdvice::new(&Grounds {
        best: (setup, chance(0.5)),
        setup,
        needs: &needs,
        sure: (0.95, 0.2),
        plain_rule: 2.0 * starts,
        spring_travel: (0.003, 0.006),
        line: 6e5,
        units: Units::Inch,
    })
    .expect("a lathe was asked");
    let band = |mean: f64| Band {
        mean,
        low: 0.5 * mean,
        high: 1.5 * mean,
    };
    advice.scan = advice
        .forces()
        .into_iter()
        .map(|force| ForcePoint {
            force,
            steady: chance(0.9),
            seated: chance(0.8),
            seat_margin: band(force.max(0.0)),
            left: band(THOU * (5.0 - force / starts)),
            waves: band(THOU),
        })
        .collect();
    advice.trials = 100;
    advice
}

#[test]
fn a_preload_names_its_stretches_and_what_it_takes() {
    // Turned from the small end to the big end, at the headstock: drawn away.
    for units in [Units::Inch, Units::Metric] {
        let drawing = preload(&advice(Feed::Headstock, 120.0, None), units);
        check(&drawing);
        assert!(drawing.title.contains("does it"), "{}", drawing.title);
        assert!(
            drawing.caption.contains("never used"),
            "{}",
            drawing.caption
        );
    }
    let strong = preload(&advice(Feed::Headstock, 500.0, None), Units::Inch);
    check(&strong);
    assert!(
        strong.title.contains("too strong for a hand"),
        "{}",
        strong.title
    );
    for (starts, foot) in [(PRELOAD_REFUSED, None), (120.0, Some(50.0))] {
        let none = preload(&advice(Feed::Headstock, starts, foot), Units::Inch);
        check(&none);
        assert!(
            none.title.contains("no preload can be advised"),
            "{}",
            none.title
        );
    }
    let foot = preload(&advice(Feed::Headstock, 120.0, Some(300.0)), Units::Inch);
    check(&foot);
    let pulled = preload(&advice(Feed::Tailstock, 120.0, None), Units::Inch);
    check(&pulled);
    assert!(
        pulled.title.contains("no preload is needed"),
        "{}",
        pulled.title
    );
    let mut empty = advice(Feed::Headstock, 120.0, None);
    empty.scan.clear();
    check(&preload(&empty, Units::Inch));
    let mut wild = advice(Feed::Headstock, 120.0, None);
    wild.scan[3].left.mean = f64::NAN;
    wild.scan[4].waves.high = f64::INFINITY;
    check(&preload(&wild, Units::Inch));
}

fn standing(met: f64, off: f64) -> Standing {
    Standing {
        met: chance(met),
        steady: chance(met),
        taper_off: off * 1e-4,
        size_off: off * THOU,
        waves: off * THOU,
    }
}

fn tried(place: usize, after: Option<f64>, now: f64) -> Tried {
    let gain = |mean: f64| Gain {
        mean,
        interval: Interval {
            lower: mean - 0.2 * mean.abs(),
            upper: mean + 0.2 * mean.abs(),
        },
    };
    Tried {
        changes: vec![place],
        minutes: 10.0,
        out: Vec::new(),
        after: after.map(|off| standing(0.9, off)),
        gains: after.map(|off| Gains {
            met: gain(0.4),
            taper: gain((now - off) * 1e-4),
            size: gain((now - off) * THOU),
            waves: gain((now - off) * THOU),
        }),
        saved: None,
    }
}

#[test]
fn changes_are_drawn_for_better_and_worse_and_where_none_can_be_cut() {
    let bought = Bought {
        trials: 100,
        seed: 1,
        now: standing(0.5, 4.0),
        tried: vec![
            tried(0, Some(1.0), 4.0),
            tried(1, Some(9.0), 4.0),
            tried(2, None, 4.0),
            tried(3, Some(4.0), 4.0),
        ],
        steps: [0.01, 1e-4, 1e-6, 1e-6],
    };
    let names: Vec<String> = ["a <stouter> foot & rod", "feed the other way", "a new nut"]
        .map(str::to_owned)
        .to_vec();
    for units in [Units::Inch, Units::Metric] {
        let drawing = changes(&bought, &[0, 1, 2], &names, units);
        check(&drawing);
        assert!(
            drawing.caption.contains("left out: 1 "),
            "{}",
            drawing.caption
        );
    }
    check(&changes(&bought, &[], &[], Units::Inch));
    // Places that aren't there are left out.
    check(&changes(&bought, &[99], &names, Units::Inch));
}
