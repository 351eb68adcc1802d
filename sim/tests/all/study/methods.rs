//! The plan played without the attachment: by the same gauge, dial and cost.

use tautway_sim::compare::{Advised, compare};
use tautway_sim::expect::Reach;
use tautway_sim::method::{Method, MethodWay, methods};
use tautway_sim::scenario::Scenario;

use crate::given::worked::{scenario, seeded};

fn weighed(scenario: &Scenario, method: Method) -> MethodWay {
    let mut all = methods(scenario, seeded(1));
    let at = all.iter().position(|way| way.method == method);
    let mut way = all.swap_remove(at.expect("it is there"));
    way.weigh(scenario, seeded(1)).expect("ranges are right");
    way
}

#[test]
fn a_turn_of_the_dial_is_followed_on_the_radius_however_steep_the_cone() {
    // 45 degrees: depths square to the side are 0.7 of those on the radius.
    for job in ["valve-seat.toml", "tapered-socket.toml"] {
        let expect = weighed(&scenario(job), Method::TopSlide).expect;
        let expect = expect.expect("it was simulated");
        assert!(
            (0.85..1.1).contains(&expect.follows),
            "{job}: {}",
            expect.follows
        );
        assert!(expect.gauging_helps() && !expect.floats());
        assert!(expect.met().met >= expect.by_dial.met, "{job}");
    }
}

#[test]
fn between_two_passes_a_gauge_holds_the_size_that_the_dial_alone_does_not() {
    let mut job = scenario("tapered-socket.toml");
    let expect = weighed(&job, Method::TopSlide).expect.expect("simulated");
    assert!(expect.met().met > expect.by_dial.met + 0.3, "{expect:?}");
    assert_eq!(expect.verdict, Reach::InReachIfGauged);
    // Without a gauge what the dial does is all.
    job.job.gauge.kind = None;
    let blind = weighed(&job, Method::TopSlide).expect.expect("simulated");
    assert_eq!(blind.met(), blind.by_dial);
    assert!(blind.minutes < expect.minutes);
}

#[test]
fn what_was_not_simulated_promises_nothing() {
    for method in [Method::Reamer, Method::FormTool, Method::OffsetCentre] {
        assert_eq!(weighed(&scenario("taper-sleeve.toml"), method).expect, None);
    }
}

#[test]
fn the_cheapest_is_advised_with_the_attachment_or_without() {
    for (job, without) in [
        ("tapered-socket.toml", false),
        ("close-bore.toml", false),
        ("long-mandrel.toml", true),
    ] {
        let scenario = scenario(job);
        let mut comparison = compare(&scenario, seeded(1));
        comparison
            .weigh(&scenario, seeded(1), &|_, _| true)
            .expect("ranges are right");
        let advised = comparison.advised().expect("something is advised");
        assert_eq!(matches!(advised, Advised::Method(_)), without, "{job}");
        let first = advised.expect().expect("it was played");
        let ways = comparison.ways.iter().filter(|way| !way.forbidden);
        let ways = ways.filter_map(|way| way.expect.as_ref());
        let methods = comparison.methods.iter();
        let all = ways.chain(methods.filter_map(|way| way.expect.as_ref()));
        for other in all {
            let doubt = first.doubt().max(other.doubt());
            assert!(
                first.cost.expected <= other.cost.expected + doubt,
                "{job}: {:?} {:?}",
                first.cost,
                other.cost
            );
        }
    }
}
