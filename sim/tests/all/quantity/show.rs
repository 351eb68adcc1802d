//! Shop notation out: rounded as a person would, and readable again.

use proptest::prelude::*;
use tautway_sim::quantity::show::{
    TaperForms, carriage_travel, deviation, dial, nearest_fraction, per_side,
};
use tautway_sim::quantity::{
    Angle, EdgeLoad, Force, Length, Pressure, Quantity, Ratio, Speed, Stiffness, Taper,
    Units::{self, Inch, Metric},
};

fn again<Q: Quantity>(text: &str, units: Units) -> String {
    Q::parse(text).unwrap().show(units)
}

fn inch(text: &str) -> Length {
    Length::parse(text).unwrap()
}

#[test]
fn rounded_as_a_person_would() {
    for (text, shown) in [
        ("0.00361 in", "0.0036 in"),
        ("0.08 in", "0.0800 in"),
        ("1/4 in", "0.250 in"),
        ("-1.98512 in", "-1.985 in"),
        ("11 in", "11 in"),
        ("12.346 in", "12.35 in"),
        ("123.46 in", "123.5 in"),
        ("32.4 uin", "32 uin"),
        ("0 in", "0 in"),
    ] {
        assert_eq!(again::<Length>(text, Inch), shown);
    }
    for (text, shown) in [
        ("0.0914 mm", "0.091 mm"),
        ("25.4 mm", "25.40 mm"),
        ("254.06 mm", "254.1 mm"),
        ("0.8 um", "0.8 um"),
        ("-2 mm", "-2.00 mm"),
    ] {
        assert_eq!(again::<Length>(text, Metric), shown);
    }
    assert_eq!(again::<Taper>("1.9851 in/ft", Inch), "1.985 in/ft");
    assert_eq!(again::<Taper>("0.03 in/ft", Inch), "0.0300 in/ft");
    assert_eq!(again::<Taper>("1:16", Metric), "62.5 mm/m");
    assert_eq!(again::<Taper>("0.03 in/ft", Metric), "2.5 mm/m");
    assert_eq!(again::<Force>("123 lbf", Inch), "120 lbf");
    assert_eq!(again::<Force>("4.44 lbf", Inch), "4.4 lbf");
    assert_eq!(again::<Force>("89 N", Metric), "89 N");
    assert_eq!(again::<Stiffness>("60 lbf/thou", Inch), "60 lbf/thou");
    assert_eq!(again::<Stiffness>("60 lbf/thou", Metric), "11 N/um");
    assert_eq!(again::<Pressure>("90 psi", Inch), "90 psi");
    assert_eq!(again::<Pressure>("6.2 bar", Metric), "6.2 bar");
    assert_eq!(again::<Pressure>("2000 N/mm2", Metric), "2000 MPa");
    assert_eq!(again::<EdgeLoad>("20 N/mm", Metric), "20 N/mm");
    assert_eq!(again::<Ratio>("15 %", Inch), "0.15");
    assert_eq!(again::<Angle>("95 deg", Inch), "95 deg");
    assert_eq!(
        again::<Angle>("-1 deg 47 min 23 sec", Inch),
        "-1 deg 47 min"
    );
    assert_eq!(again::<Angle>("2 min 6 sec", Inch), "2 min 6 sec");
    assert_eq!(again::<Angle>("59 min 59.9 sec", Inch), "1 deg");
    assert_eq!(Length::from_si(f64::NAN).show(Inch), "no value");
    assert_eq!(Speed::parse("600 rpm").unwrap().show(Inch), "600 rpm");
    assert_eq!(Speed::parse("300 sfm").unwrap().show(Inch), "300 sfm");
    assert_eq!(Speed::parse("300 sfm").unwrap().show(Metric), "91.4 m/min");
}

#[test]
fn the_shop_has_its_own_way() {
    assert_eq!(dial(inch("0.0036 in"), Inch), "3.6 thou");
    assert_eq!(dial(inch("0.0036 in"), Metric), "0.091 mm");
    assert_eq!(deviation(inch("0.0036 in"), Inch), "+0.0036 in");
    assert_eq!(deviation(inch("-0.0036 in"), Inch), "-0.0036 in");
    assert_eq!(deviation(inch("0 in"), Inch), "0 in");
    assert_eq!(per_side(inch("0.25 in"), Inch), "1/4 in per side");
    assert_eq!(per_side(inch("0.0036 in"), Inch), "0.0036 in per side");
    assert_eq!(per_side(inch("0.25 in"), Metric), "6.35 mm per side");
    for (text, inches, millimetres) in [
        ("1.2 in", "1 1/4 in", "31 mm"),
        ("1.25 in", "1 1/4 in", "32 mm"),
        ("1.2501 in", "1 3/8 in", "32 mm"),
        ("0.01 in", "1/8 in", "1 mm"),
        ("32 mm", "1 3/8 in", "32 mm"),
        ("2 in", "2 in", "51 mm"),
        ("0 in", "0 in", "0 mm"),
    ] {
        assert_eq!(carriage_travel(inch(text), Inch), inches, "{text}");
        assert_eq!(carriage_travel(inch(text), Metric), millimetres, "{text}");
    }
    assert_eq!(nearest_fraction(inch("0.38 in"), 8), "3/8");
    assert_eq!(nearest_fraction(inch("-1.26 in"), 64), "-1 17/64");
    assert_eq!(nearest_fraction(inch("1.999 in"), 16), "2");
    assert_eq!(nearest_fraction(inch("-0.001 in"), 16), "0");
}

#[test]
fn a_taper_in_every_form() {
    let forms = TaperForms::of(Taper::parse("3/4 in/ft").unwrap());
    assert_eq!(forms.inch_per_foot, "0.75 in/ft");
    assert_eq!(forms.mm_per_metre, "62.5 mm/m");
    assert_eq!(forms.ratio, "1:16");
    // ASME B1.20.1: half angle 1 deg 47' 23.7".
    assert_eq!(forms.half_angle, "1 deg 47 min 23.7 sec per side");
    // Twice the half angle 1.789911 deg of ASME B1.20.1.
    assert_eq!(forms.included, "3 deg 34 min 47.4 sec included");
    // ISO 296: Morse no. 2.
    let forms = TaperForms::of(Taper::parse("0.59941 in/ft").unwrap());
    assert_eq!(forms.inch_per_foot, "0.59941 in/ft");
    assert_eq!(forms.ratio, "1:20.02");
    assert_eq!(TaperForms::of(Taper::from_si(0.0)).ratio, "straight");
}

/// Shown and read again, within a relative or an absolute step of the rounding, in SI.
fn returns<Q: Quantity>(si: f64, relative: f64, absolute: f64) {
    for units in [Inch, Metric] {
        let text = Q::from_si(si).show(units);
        let back = Q::parse(&text)
            .unwrap_or_else(|fault| panic!("{text}: {fault:?}"))
            .si();
        let within = (relative * si.abs()).max(absolute) * 1.000_001;
        assert!(
            (back - si).abs() <= within,
            "{si} was shown as {text}: {back}"
        );
    }
}

fn sized() -> impl Strategy<Value = f64> {
    (-5.0..3.0_f64, any::<bool>()).prop_map(|(power, minus)| {
        let size = 10_f64.powf(power);
        if minus { -size } else { size }
    })
}

proptest! {
    #[test]
    fn shown_then_read_is_the_same_within_the_rounding(value in sized()) {
        // The coarsest: 0.01 mm steps from 0.1 mm up.
        returns::<Length>(value * 1e-3, 0.005, 5e-6);
        returns::<Length>(value, 0.005, 5e-6);
        returns::<Angle>(value / 1e3, 0.0, std::f64::consts::PI / 10_800.0 / 2.0);
        returns::<Taper>(value / 1e3, 0.005, 5e-6);
        returns::<Force>(value, 0.05, 0.2225);
        returns::<Force>(value * 1e3, 0.05, 0.2225);
        returns::<Stiffness>(value * 1e6, 0.05, 0.0);
        returns::<Pressure>(value * 1e6, 0.005, 0.0);
        returns::<EdgeLoad>(value * 1e3, 0.05, 0.0);
        returns::<Ratio>(value, 0.005, 0.0);
    }

    #[test]
    fn every_form_of_a_taper_reads_back(taper in 1e-3..1.0_f64) {
        let forms = TaperForms::of(Taper::from_si(taper));
        for text in [
            forms.inch_per_foot, forms.mm_per_metre, forms.ratio, forms.half_angle, forms.included,
        ] {
            let back = Taper::parse(&text).unwrap().si();
            prop_assert!((back - taper).abs() <= 5e-5 * taper + 1e-6, "{} {}", text, taper);
        }
    }

    #[test]
    fn a_run_in_is_never_cut_short(inches in 0.0..40.0_f64) {
        let wanted = Length::from_si(inches * 0.0254);
        for (units, step) in [(Inch, 0.0254 / 8.0), (Metric, 1e-3)] {
            let got = Length::parse(&carriage_travel(wanted, units)).unwrap().si();
            let over = got - wanted.si();
            prop_assert!(over > -1e-8 && over < step + 1e-8, "{} {}", got, wanted.si());
        }
    }

    #[test]
    fn any_number_can_be_shown(si in any::<f64>()) {
        for units in [Inch, Metric] {
            for text in [
                Length::from_si(si).show(units),
                Angle::from_si(si).show(units),
                Taper::from_si(si).show(units),
                Force::from_si(si).show(units),
                Pressure::from_si(si).show(units),
                dial(Length::from_si(si), units),
                per_side(Length::from_si(si), units),
                carriage_travel(Length::from_si(si), units),
                nearest_fraction(Length::from_si(si), 8),
            ] {
                prop_assert!(!text.is_empty() && text.len() < 40, "{}", text);
            }
        }
    }
}
