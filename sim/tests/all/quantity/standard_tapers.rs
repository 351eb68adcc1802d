//! Named tapers and what a taper comes to, against published values.

use tautway_sim::cone::{
    along_axis, along_side, diameter_along, reading_over, sine_bar, travel_for,
};
use tautway_sim::quantity::{Length, Quantity, Taper};
use tautway_sim::standard_taper::{StandardTaper, all, find, pipe_pitch_diameters, same_as};

const INCH: f64 = 0.0254;

fn named(name: &str) -> StandardTaper {
    find(name).unwrap_or_else(|unknown| panic!("{name}: {unknown:?}"))
}

fn in_per_ft(name: &str) -> f64 {
    named(name).taper.si() * 12.0
}

fn half_degrees(taper: Taper) -> f64 {
    taper.half_angle().to_degrees()
}

fn close(got: f64, wanted: f64, within: f64) {
    assert!((got - wanted).abs() <= within, "{got} is not {wanted}");
}

fn inches(value: f64) -> Length {
    Length::from_si(value * INCH)
}

#[test]
fn morse_tapers_are_as_printed() {
    // ISO 296 and ASME B5.10, in/ft, sizes 0 to 7.
    let printed = [
        0.62460, 0.59858, 0.59941, 0.60235, 0.62326, 0.63151, 0.62565, 0.62400,
    ];
    for (size, rate) in printed.into_iter().enumerate() {
        close(in_per_ft(&format!("morse {size}")), rate, 1e-12);
    }
    // ISO 296, half angle of size 2.
    close(half_degrees(named("MT2").taper), 1.430689, 5e-7);
}

#[test]
fn other_machine_tapers_are_as_printed() {
    // US Navy NAVEDTRA 14345: Jarno 0.600 in/ft, large n/8, small n/10, length n/2.
    for n in 2..=20 {
        let one = named(&format!("jarno {n}"));
        close(one.taper.si() * 12.0, 0.600, 1e-12);
        let size = |length: Option<Length>| length.map(Length::si).expect("an end") / INCH;
        let n = f64::from(n);
        close(size(one.large), n / 8.0, 1e-12);
        close(size(one.small), n / 10.0, 1e-12);
        close(size(one.length), n / 2.0, 1e-12);
    }
    // US Navy NAVEDTRA 14345.
    close(in_per_ft("Brown & Sharpe"), 0.5, 1e-12);
    close(in_per_ft("brown and sharpe no. 10"), 0.5161, 1e-12);
    close(in_per_ft("taper pin"), 0.25, 1e-12);
    // Closed form: atan(7/48); 8.1301 deg is a known mistake.
    close(half_degrees(named("7:24").taper), 8.297145, 5e-7);
}

#[test]
fn pipe_thread_is_as_printed() {
    // ASME B1.20.1: 1 in 16, half angle 1.789911 deg = 1 deg 47' 23.7".
    let taper = named("npt").taper;
    close(half_degrees(taper), 1.789911, 5e-7);
    close(
        half_degrees(taper),
        1.0 + 47.0 / 60.0 + 23.7 / 3600.0,
        0.05 / 3600.0,
    );
    // Common practice, no source: 3/4 in/ft.
    close(taper.si() * 12.0, 0.75, 1e-12);
    // ASME B1.20.1: E1 of 1/2 in and of 2 in. D, n and L1, and the formula, from memory.
    close(pipe_pitch_diameters(0.840, 14.0, 0.320).1, 0.77843, 5e-6);
    close(pipe_pitch_diameters(2.375, 11.5, 0.436).1, 2.29627, 5e-6);
    // From memory: E1 of the other sizes.
    for (size, e1) in [
        ("1/8", 0.37360),
        ("1/4", 0.49163),
        ("3/8", 0.62701),
        ("3/4", 0.98887),
        ("1", 1.23863),
        ("1-1/4", 1.58338),
        ("1-1/2", 1.82234),
    ] {
        let large = named(&format!("pipe {size}")).large.expect("E1").si() / INCH;
        close(large, e1, 1e-5);
    }
}

#[test]
fn ends_length_and_taper_of_every_entry_agree() {
    for one in all() {
        let (Some(large), Some(small), Some(length)) = (one.large, one.small, one.length) else {
            continue;
        };
        let other = diameter_along(one.taper, large, Length::from_si(-length.si()));
        // API Spec 7-2 rounds NC38 to thousandths of an inch before millimetres: half a thou each
        // end. The others agree to 0.01 mm.
        let room = if one.name == "NC38" {
            0.0254e-3
        } else {
            0.01e-3
        };
        close(other.si(), small.si(), room);
    }
    // API Spec 7-2, on diameter 1/6 and 1/4.
    for (name, taper) in [
        ("NC38", 1.0 / 6.0),
        ("NC50", 1.0 / 6.0),
        ("NC56", 1.0 / 4.0),
    ] {
        close(named(name).taper.si(), taper, 1e-12);
    }
}

#[test]
fn names_are_found_as_people_write_them() {
    for (written, name) in [
        ("Morse taper No. 2", "Morse 2"),
        ("mt-2", "Morse 2"),
        ("MORSE #3", "Morse 3"),
        ("b&s 10", "Brown and Sharpe 10"),
        ("brown-and-sharpe 10", "Brown and Sharpe 10"),
        ("7/24", "7:24"),
        ("taper pins", "taper pin"),
        ("1/2 NPT", "pipe thread 1/2"),
        ("taper pipe thread 1-1/4", "pipe thread 1-1/4"),
        ("nc 50", "NC50"),
        ("jarno taper 10", "Jarno 10"),
    ] {
        assert_eq!(named(written).name, name, "{written}");
    }
    for one in all() {
        assert_eq!(named(&one.name), one);
    }
}

#[test]
fn unknown_names_get_suggestions() {
    let nearest = |name: &str| find(name).expect_err("no such taper").nearest;
    assert_eq!(nearest("morse"), ["Morse 0 to Morse 7"]);
    assert_eq!(nearest("mt 9"), ["Morse 0 to Morse 7"]);
    assert_eq!(nearest("jarno 30"), ["Jarno 2 to Jarno 20"]);
    assert!(nearest("mrose 2").contains(&"Morse 2".to_owned()));
    assert!(nearest("jarnoo 10").contains(&"Jarno 10".to_owned()));
    assert_eq!(nearest("").len(), 3);
}

#[test]
fn a_taper_finds_its_names() {
    let taper = Taper::parse("3/4 in/ft").expect("a taper");
    let names: Vec<_> = same_as(taper).into_iter().map(|one| one.name).collect();
    assert!(names.contains(&"pipe thread".to_owned()), "{names:?}");
    assert!(!names.contains(&"Morse 2".to_owned()), "{names:?}");
}

#[test]
fn length_along_the_side_is_as_printed() {
    // API Spec 7-2: two inches along the axis, along a 2 in/ft and a 3 in/ft cone.
    for (rate, side) in [(2.0, 2.00693), (3.0, 2.01556)] {
        let taper = Taper::from_si(rate / 12.0);
        let got = along_side(taper, inches(2.0));
        close(got.si() / INCH, side, 5e-6);
        close(along_axis(taper, got).si() / INCH, 2.0, 1e-12);
    }
}

#[test]
fn colvins_table_of_included_angles() {
    // Colvin, Turning and Boring Tapers (1902): taper per unit of length. The 4 deg row is
    // misprinted there; the true value is 0.06984. His 20 deg is a unit high in its last digit.
    for (degrees, taper) in [(10, 0.17498), (20, 0.35266), (30, 0.53590), (4, 0.06984)] {
        let read = Taper::parse(&format!("{degrees} deg included")).expect("a taper");
        close(read.si(), taper, if degrees == 20 { 1e-5 } else { 5e-6 });
    }
}

#[test]
fn three_inches_of_travel_at_two_in_per_ft() {
    // Common practice, no source: 0.500 in on a diameter readout, 0.250 per side.
    let taper = Taper::from_si(2.0 / 12.0);
    let reading = reading_over(taper, inches(3.0));
    close(reading.on_diameter.si() / INCH, 0.500, 1e-12);
    close(reading.per_side.si() / INCH, 0.250, 1e-12);
    let back = travel_for(taper, reading.on_diameter).expect("not straight");
    close(back.si() / INCH, 3.0, 1e-12);
    assert_eq!(travel_for(Taper::from_si(0.0), inches(0.5)), None);
}

#[test]
fn sine_bar_blocks() {
    // Closed form: sin 30 deg = 1/2, so 2.5 in under a 5 in bar.
    let taper = Taper::parse("30 deg included").expect("a taper");
    let bar = sine_bar(taper, inches(5.0));
    close(bar.included.expect("not past 90").si() / INCH, 2.5, 1e-12);
    // Closed form: 5 sin 15 deg = 5 (sqrt 6 - sqrt 2) / 4.
    let half = 5.0 * (6.0_f64.sqrt() - 2.0_f64.sqrt()) / 4.0;
    close(bar.half_angle.si() / INCH, half, 1e-12);
    assert!(!bar.steep);
    let blunt = Taper::parse("100 deg included").expect("a taper");
    let bar = sine_bar(blunt, inches(5.0));
    assert!(bar.steep && bar.included.is_none());
}

/// From memory of trade books, except where a closed form is named.
#[test]
fn chuck_collet_steep_and_pipe_tapers_are_as_printed() {
    for (name, big) in [
        ("Morse 3", 0.938),
        ("MT2", 0.700),
        ("Jacobs 6", 0.676),
        ("JT33", 0.624),
        ("R8", 1.25),
        ("7:24 No. 40", 1.75),
        ("NMTB 30", 1.25),
        ("7:24 no 50", 2.75),
    ] {
        close(named(name).large.expect("an end").si() / INCH, big, 1e-9);
    }
    close(in_per_ft("JT6"), 0.62292, 1e-9);
    // 16 deg 51 min across.
    close(2.0 * half_degrees(named("R8").taper), 16.85, 1e-9);
    close(half_degrees(named("7:24 No. 60").taper), 8.297145, 5e-7);
    // ISO 7-1: over the crests at the gauge plane, mm.
    for (name, gauge) in [
        ("BSPT 1/2", 20.955),
        ("BSP taper thread 2", 59.614),
        ("Rc 1", 33.249),
    ] {
        close(named(name).large.expect("an end").si() * 1e3, gauge, 1e-9);
    }
    // ASME B1.20.1: E0 and L2 of 1/2 in are 0.75843 and 0.5337, of 4 in 4.33438 and 1.3000.
    for (name, e0, l2) in [
        ("pipe thread 1/2", 0.75843, 0.5337),
        ("NPT 4", 4.33438, 1.3),
    ] {
        let one = named(name);
        close(one.small.expect("an end").si() / INCH, e0, 6e-6);
        close(one.thread.expect("a thread").length / INCH, l2, 5e-5);
    }
}
