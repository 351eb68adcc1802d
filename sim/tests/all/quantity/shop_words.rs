//! What a shop types, each way of writing it beside the plain one.

use tautway_sim::quantity::{
    Angle, Force, Length, Quantity, Ratio, Spread, Taper, Units, field_units, parse_band,
};

#[track_caller]
fn same<Q: Quantity>(typed: &str, plain: &str) {
    let [typed_si, plain_si] = [typed, plain].map(|text| {
        Q::parse(text)
            .unwrap_or_else(|fault| panic!("{text}: {fault:?}"))
            .si()
    });
    assert!(
        (typed_si - plain_si).abs() <= 1e-12 * plain_si.abs(),
        "{typed} is {typed_si}, {plain} is {plain_si}"
    );
}

#[test]
fn lengths() {
    for (typed, plain) in [
        ("1-3/8 in", "1.375 in"),
        ("1 3/8\"", "1.375 in"),
        ("1 3/8\u{201d}", "1.375 in"),
        (".010\"", "0.010 in"),
        (".938 inches", "0.938 in"),
        ("10 thou", "0.010 in"),
        ("15 thousandths", "0.015 in"),
        ("half a thou", "0.0005 in"),
        ("Half a thou", "0.0005 in"),
        ("5 tenths", "0.0005 in"),
        ("about 3 in", "3 in"),
        ("2 thou TIR", "0.002 in"),
        ("0,3 mm", "0.3 mm"),
        ("0,125 mm", "0.125 mm"),
        ("50,8 mm", "50.8 mm"),
        ("50,8125 mm", "50.8125 mm"),
        ("½ in", "0.5 in"),
        ("1½ in", "1.5 in"),
        ("3 ¼\"", "3.25 in"),
        ("2⅝ in", "2.625 in"),
        ("5 micron", "0.005 mm"),
        ("5 µm", "0.005 mm"),
    ] {
        same::<Length>(typed, plain);
    }
}

#[test]
fn tapers_angles_and_forces() {
    for (typed, plain) in [
        (".602 per foot", "0.602 in/ft"),
        ("5/8 per foot", "0.625 in/ft"),
        ("3/4 TPF", "0.75 in/ft"),
        ("3/4 tpf", "0.75 in/ft"),
        ("3\" per ft", "3 in/ft"),
        ("1 1/2 in/ft", "1.5 in/ft"),
        ("1 in 10", "1:10"),
        ("1:12", "1 in/ft"),
        ("3 deg 34' included", "3 deg 34 min included"),
        ("62,5 mm/m", "62.5 mm/m"),
    ] {
        same::<Taper>(typed, plain);
    }
    same::<Angle>("3 deg 34'", "3 deg 34 min");
    same::<Force>("about 15 lb", "15 lbf");
    same::<Force>("15 lbs", "15 lbf");
    same::<Ratio>("1,3", "1.3");
}

#[test]
fn spreads_and_bands() {
    for (typed, plain) in [
        ("plus or minus 2 thou", "+-0.002 in"),
        ("+/- .002\"", "+-0.002 in"),
        ("+0,02 -0,02 mm", "+0.02 -0.02 mm"),
    ] {
        let [typed, plain] = [typed, plain].map(|text| parse_band::<Length>(text).expect(text));
        let apart = |one: Length, other: Length| (one.si() - other.si()).abs() < 1e-15;
        assert!(apart(typed.0, plain.0) && apart(typed.1, plain.1));
    }
    let spread = |text| Spread::<Length>::parse(text).expect("a spread");
    let typed = spread("0.080 in plus or minus 10 thou");
    let plain = spread("0.080 in +- 0.010 in");
    assert!((typed.half.si() - plain.half.si()).abs() < 1e-15);
    assert_eq!(typed.middle, plain.middle);
}

/// What could be meant in two ways, or in none, is refused as before.
#[test]
fn what_would_be_a_guess_is_refused() {
    for text in [
        "1,200 mm",
        "12,345 in",
        "1,2,3 mm",
        "1,5.2 mm",
        "3 mils",
        "0.938",
        "1 in 10",
    ] {
        assert!(Length::parse(text).is_err(), "{text}");
    }
    for text in ["5 deg", "3/4", "1 in 10 in", "5 lbf", "about"] {
        assert!(Taper::parse(text).is_err(), "{text}");
    }
    for text in ["3 in", "4 kg", "15"] {
        assert!(Force::parse(text).is_err(), "{text}");
    }
    let fault = Length::parse("1,200 mm").expect_err("either way");
    assert_eq!(&"1,200 mm"[fault.at], ",");
}

/// A bare number with a unit of its field behind it is a number of that field.
#[test]
fn fields_have_their_units() {
    for units in [Units::Inch, Units::Metric] {
        let [length, force, taper, rate, pressure, angle] = field_units(units);
        assert!(Length::parse(&format!(".020 {length}")).is_ok());
        assert!(Force::parse(&format!("14 {force}")).is_ok());
        assert!(Taper::parse(&format!("3/4 {taper}")).is_ok());
        assert!(tautway_sim::quantity::Stiffness::parse(&format!("60 {rate}")).is_ok());
        assert!(tautway_sim::quantity::Pressure::parse(&format!("4 {pressure}")).is_ok());
        assert!(Angle::parse(&format!("29 {angle}")).is_ok());
    }
}
