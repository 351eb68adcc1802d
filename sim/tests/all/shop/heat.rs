//! Work gauged warm: the shop's figure, and which way it goes.

use crate::given::even_work::near;
use crate::given::worked::{THOU, scenario};
use tautway_sim::heat::Heat;
use tautway_sim::quantity::{FAHRENHEIT, Length, Quantity, Units};
use tautway_sim::scenario::material::{MATERIALS, Material};
use tautway_sim::scenario::{Band, Kind, Scenario};

fn job(material: &str, diameter: f64) -> Scenario {
    let mut job = scenario("plug-cock.toml");
    job.job.work.material = material.to_owned();
    job.job.work.diameter = Length::from_si(diameter * 0.0254);
    job
}

#[test]
fn fifty_degrees_on_three_inches_of_steel_is_a_thou() {
    // Common practice, no source: 6.5 millionths a degree Fahrenheit.
    let heat = Heat::of(&job("1018", 3.0), Units::Inch).expect("steel is known");
    assert!((heat.rise - 50.0 * FAHRENHEIT).abs() < 1e-12);
    assert!((heat.growth / THOU - 1.0).abs() < 0.03, "{}", heat.growth);
    // Closed form, and the same as travel of a ring along the cone.
    near(heat.growth, 3.0 * 0.0254 * 11.7e-6 * heat.rise, 1e-12);
    let taper = job("1018", 3.0).job.work.taper.si();
    assert_eq!(heat.standoff, heat.growth / taper);
}

#[test]
fn metals_stand_in_the_order_that_everyone_knows() {
    let of = |name: &str| Material::named(name).expect(name).expansion();
    // Iron, steel, stainless, bronze, brass, aluminium.
    let order = ["grey iron", "1045", "304", "bronze", "360 brass", "6061"].map(of);
    assert!(order.windows(2).all(|pair| pair[0] < pair[1]), "{order:?}");
    // Aluminium twice steel, roughly; none off by a decade.
    assert!((of("6061") / of("1018") - 2.0).abs() < 0.1);
    assert!(MATERIALS.iter().all(|row| {
        let millionths = 1e6 * row.expansion();
        (9.0..25.0).contains(&millionths)
    }));
}

#[test]
fn half_of_the_tolerance_goes_at_the_warmth_that_grows_by_it() {
    let mut brass = job("360 brass", 2.0);
    brass.job.work.size_tolerance = None;
    assert_eq!(
        Heat::of(&brass, Units::Metric).and_then(|h| h.half_used),
        None
    );
    let band = |lower: f64, upper: f64| Band {
        lower: Length::from_si(lower),
        upper: Length::from_si(upper),
    };
    brass.job.work.size_tolerance = Some(band(0.0, 40e-6));
    let heat = Heat::of(&brass, Units::Metric).expect("brass is known");
    assert_eq!(heat.rise, 25.0);
    let half = heat.half_used.expect("a tolerance");
    assert!((half * heat.growth / heat.rise - 20e-6).abs() < 1e-12);
}

#[test]
fn a_shaft_and_a_bore_are_told_apart_and_a_material_nobody_knows_has_no_figure() {
    let mut piece = job("1018", 2.0);
    for kind in [Kind::Outside, Kind::Inside] {
        piece.job.work.kind = kind;
        let heat = Heat::of(&piece, Units::Inch).expect("steel is known");
        assert_eq!(heat.kind, kind);
        assert!(heat.growth > 0.0, "both read big while warm");
    }
    piece.job.work.material = "unobtainium".to_owned();
    assert_eq!(Heat::of(&piece, Units::Inch), None);
}
