//! Shop notation in: every form a machinist writes, and every fault with its place.

use proptest::prelude::*;
use tautway_sim::quantity::{
    Angle, EdgeLoad, Fault, Force, Length, Pressure, Quantity, Ratio, Speed, Stiffness, Taper,
};

fn si<Q: Quantity>(text: &str) -> f64 {
    match Q::parse(text) {
        Ok(quantity) => quantity.si(),
        Err(fault) => panic!("{text}: {fault:?}"),
    }
}

fn near(left: f64, right: f64, within: f64) {
    assert!((left - right).abs() <= within, "{left} is not {right}");
}

/// Asserts that both texts say the same.
fn same<Q: Quantity>(left: &str, right: &str) {
    let (left, right) = (si::<Q>(left), si::<Q>(right));
    near(left, right, 1e-12 * right.abs());
}

/// The part of the text that the fault points at, and the fault.
fn fault<Q: Quantity>(text: &str) -> (&str, Fault) {
    let fault = Q::parse(text).expect_err(text);
    (&text[fault.at.clone()], fault)
}

#[test]
fn lengths() {
    // Inch, 25.4 mm: exact by definition (yard and pound agreement, 1959; from memory).
    near(si::<Length>("1 in"), 0.0254, 1e-17);
    same::<Length>("1 in", "25.4 mm");
    for text in [
        "1.25 in",
        "1-1/4 in",
        "1 1/4 in",
        "1-1/4\"",
        "1 1/4 inches",
        "5/4 in",
        "+1.25in",
        "1.25 in.",
        "1250 thou",
        "31.75 mm",
        "3.175 cm",
        "1.25e0 inch",
        "1.25″",
        "1–1/4 in",
    ] {
        same::<Length>(text, "1.25 in");
    }
    same::<Length>(".5 in", "1/2\"");
    same::<Length>("-0.080 in", "-80 thou");
    same::<Length>("1 ft", "12 in");
    same::<Length>("32 uin", "32 microinch");
    same::<Length>("0.8 \u{b5}m", "0.8 um");
    same::<Length>("0.8 \u{3bc}m", "0.8 um");
    same::<Length>("1e-3 m", "1 MM");
    for text in [
        "0.005 in/rev",
        "0.005 ipr",
        "0.127 mm/rev",
        "0.005 in per turn",
        "5 thou",
    ] {
        same::<Length>(text, "0.005 in");
    }
}

#[test]
fn tapers() {
    near(si::<Taper>("3/4 in/ft"), 1.0 / 16.0, 1e-17);
    for text in [
        "0.75 in/ft",
        "3/4\"/ft",
        "3/4 in per ft",
        "62.5 mm/m",
        "1:16",
        "0.0625 in/in",
        "0.0625 mm/mm",
        "3/8 in/ft per side",
        "1:32 per side",
        "1:16 on diameter",
    ] {
        same::<Taper>(text, "3/4 in/ft");
    }
    same::<Taper>("2 in per ft", "1/6 in/in");
    for text in [
        "3 deg 34 min 47.4 sec included",
        "1°47'23.7\" per side",
        "1° 47′ 23.7″ per side",
    ] {
        near(si::<Taper>(text), 1.0 / 16.0, 1e-6);
    }
    near(si::<Taper>("1.79 deg per side"), 1.0 / 16.0, 1e-5);
}

#[test]
fn published_tapers() {
    let half = |text: &str| Taper::parse(text).unwrap().half_angle().to_degrees();
    // ASME B1.20.1: taper 1 in 16 on diameter, half angle 1 deg 47 min, 1.789911 deg.
    near(
        half("1:16"),
        1.0 + 47.0 / 60.0 + 23.7 / 3600.0,
        0.05 / 3600.0,
    );
    near(half("1:16"), 1.789_911, 5e-7);
    // ISO 296: Morse no. 2, 0.59941 in/ft, half angle 1.430689 deg.
    near(half("0.59941 in/ft"), 1.430_689, 1.2e-5);
    // 7:24 machine taper: half angle 8.297145 deg, which is atan(7/48).
    near(half("7:24"), 8.297_145, 5e-7);
    near(half("3.5 in/ft"), 8.297_145, 5e-7);
    // Colvin, Turning and Boring Tapers (1902): taper per unit for an included angle.
    near(si::<Taper>("10 deg included"), 0.17498, 5.1e-6);
    near(si::<Taper>("20 deg included"), 0.35266, 1.1e-5);
    near(si::<Taper>("30 deg included"), 0.53590, 5.1e-6);
}

#[test]
fn angles() {
    let degrees = |text: &str| si::<Angle>(text).to_degrees();
    near(degrees("1 deg 47 min"), 1.0 + 47.0 / 60.0, 1e-12);
    near(degrees("-1 deg 30 min"), -1.5, 1e-12);
    near(degrees("1 deg 36 sec"), 1.01, 1e-12);
    near(degrees("30 min"), 0.5, 1e-12);
    near(degrees("29-1/2 deg"), 29.5, 1e-12);
    near(degrees("15°"), 15.0, 1e-12);
    near(si::<Angle>("0.5 rad"), 0.5, 0.0);
}

#[test]
fn forces_and_the_like() {
    // Pound-force, 4.4482216152605 N: exact (NIST SP 811, appendix B; from memory).
    near(si::<Force>("1 lbf"), 4.448_221_615_260_5, 0.0);
    same::<Force>("20 lb", "20 lbf");
    same::<Force>("0.09 kN", "90 N");
    // Kilogram-force, 9.80665 N: exact (NIST SP 811, appendix B; from memory).
    near(si::<Force>("1 kgf"), 9.806_65, 0.0);
    // 1 lbf/in = 175.1268 N/m (NIST SP 811, appendix B; from memory).
    near(si::<Stiffness>("1 lbf/thou") / 1e6, 0.175_126_8, 5e-8);
    same::<Stiffness>("60 lbf per thou", "60000 lbf/in");
    same::<Stiffness>("10 N/um", "10 N/µm");
    same::<Stiffness>("100 N per 0.01 mm", "10 N/um");
    same::<Stiffness>("100 N/0.01 mm", "10000 N/mm");
    // Pound-force per square inch, 6894.757 Pa (NIST SP 811, appendix B; from memory).
    near(si::<Pressure>("1 psi"), 6894.757, 5e-4);
    same::<Pressure>("1 lbf/in2", "1 psi");
    same::<Pressure>("6 bar", "600 kPa");
    for text in ["2000 MPa", "2000 N/mm^2", "2000 N/mm²"] {
        same::<Pressure>(text, "2000 N/mm2");
    }
    near(si::<EdgeLoad>("20 N/mm"), 20e3, 1e-9);
    near(si::<EdgeLoad>("1 lbf/in"), 175.1268, 5e-5);
    for text in ["15 %", "15%", ".15", "3/20"] {
        same::<Ratio>(text, "0.15");
    }
}

#[test]
fn speeds() {
    assert_eq!(Speed::parse("600 rpm"), Ok(Speed::Turns(10.0)));
    assert_eq!(Speed::parse("90 m/min"), Ok(Speed::Surface(1.5)));
    for text in ["300 sfm", "300 ft/min", "300 ft per min"] {
        let Ok(Speed::Surface(speed)) = Speed::parse(text) else {
            panic!("{text}");
        };
        near(speed, 1.524, 1e-12);
    }
    assert_eq!(Speed::parse("600").unwrap_err().at, 0..3);
    assert_eq!(Speed::parse("600 lbf").unwrap_err().at, 4..7);
    assert!(Speed::parse("1:16").is_err());
    assert!(Speed::parse("600 rpm per side").is_err());
}

#[test]
fn faults_point_at_the_place() {
    let (at, fault_) = fault::<Length>("0.080");
    assert_eq!(at, "0.080");
    assert!(fault_.hint.contains("`0.080 in`") && fault_.hint.contains("`0.080 mm`"));

    let (at, fault_) = fault::<Length>("12 lbf");
    assert_eq!(
        (at, fault_.message.as_str()),
        ("lbf", "`lbf` is a force, a length is wanted")
    );

    let (at, fault_) = fault::<Length>("5 tho");
    assert_eq!((at, fault_.hint.as_str()), ("tho", "did you mean `thou`?"));

    let (at, fault_) = fault::<Taper>("  5 deg ");
    assert_eq!(at, "5 deg");
    assert!(fault_.hint.contains("`5 deg per side`") && fault_.hint.contains("`5 deg included`"));

    let (at, fault_) = fault::<Taper>("1/24 per side");
    assert_eq!(at, "1/24 per side");
    assert!(fault_.hint.contains("`1/24 in/ft`"));

    assert_eq!(fault::<Taper>("3/4 in").0, "in");
    assert_eq!(fault::<Taper>("3/4 in/ft included").0, "included");
    assert_eq!(fault::<Taper>("1:0").0, "0");
    assert_eq!(fault::<Taper>("90 deg per side").0, "90 deg per side");
    assert_eq!(fault::<Taper>("3/4 in/").0, "");
    assert_eq!(fault::<Taper>("3/4 in/lbf").0, "in/lbf");
    assert_eq!(fault::<Length>("1:16").0, "1:16");
    assert_eq!(fault::<Length>("1 in per side").0, "per side");
    assert_eq!(fault::<Length>("3/0 in").0, "3/0");
    assert_eq!(fault::<Length>("1-5/4 in").0, "1-5/4");
    assert_eq!(fault::<Length>("0.5/2 in").0, "0.5/2");
    assert_eq!(fault::<Length>("1e999 in").0, "1e999");
    assert_eq!(fault::<Length>("1e308 ft 2").0, "2");
    assert_eq!(fault::<Stiffness>("1e308 lbf/uin").0, "1e308 lbf/uin");
    assert_eq!(fault::<Stiffness>("10 N per 0 mm").0, "0");
    assert_eq!(fault::<Length>("inf").0, "inf");
    assert_eq!(fault::<Length>("NaN in").0, "NaN");
    assert_eq!(fault::<Length>("3 mils").0, "mils");
    assert_eq!(fault::<Length>("1,500 mm").0, ",");
    assert_eq!(fault::<Length>("1,200.5 mm").0, ",");
    assert_eq!(fault::<Length>("⅓ in").0, "⅓");
    assert_eq!(fault::<Length>("5'").0, "'");
    assert_eq!(fault::<Length>("0.070 in - 0.090 in").0, "- 0.090 in");
    assert_eq!(fault::<Length>("").0, "");
    assert_eq!(fault::<Angle>("1 deg 61 min").0, "61");
    assert_eq!(fault::<Angle>("1 min 2 deg").0, "2 deg");
    assert_eq!(fault::<Force>("4 kg").0, "kg");
    assert_eq!(fault::<Ratio>("4 mm").0, "mm");
}

fn well_placed(text: &str, fault: &Fault) {
    assert!(
        fault.at.start <= fault.at.end && fault.at.end <= text.len(),
        "{text:?} {fault:?}"
    );
    assert!(text.is_char_boundary(fault.at.start) && text.is_char_boundary(fault.at.end));
    assert!(!fault.message.is_empty() && !fault.hint.is_empty());
}

fn try_all(text: &str) {
    fn one<Q: Quantity>(text: &str) {
        match Q::parse(text) {
            Ok(quantity) => assert!(quantity.si().is_finite(), "{text:?}"),
            Err(fault) => well_placed(text, &fault),
        }
    }
    one::<Length>(text);
    one::<Angle>(text);
    one::<Taper>(text);
    one::<Force>(text);
    one::<Stiffness>(text);
    one::<Pressure>(text);
    one::<EdgeLoad>(text);
    one::<Ratio>(text);
    if let Err(fault) = Speed::parse(text) {
        well_placed(text, &fault);
    }
}

proptest! {
    #[test]
    fn any_text_is_read_or_refused(text in any::<String>()) {
        try_all(&text);
    }

    #[test]
    fn any_jumble_of_pieces_is_read_or_refused(
        pieces in prop::collection::vec(prop::sample::select(vec![
            "1", "0.080", "1e308", "1e-320", "0", "3/4", "-", "+", "±", "+-", "/", ":", " ", "'",
            "\"", "°", "%", "in", "ft", "mm2", "m", "µm", "lbf", "N", "per", "side", "included",
            "deg", "min", "sec", "to", "rev", "²", "^", ".", "″", "e", "rpm", "é", "on", "diameter",
        ]), 0..9)
    ) {
        try_all(&pieces.concat());
        try_all(&pieces.join(" "));
    }
}
