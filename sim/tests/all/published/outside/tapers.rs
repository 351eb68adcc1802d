//! Tapers, setting over, threads and gauging: what books and standards print.

use tautway_sim::cone::{along_side, diameter_along};
use tautway_sim::gauging::standoff_rows;
use tautway_sim::method::tailstock::{by_rule, hyperboloid, offset};
use tautway_sim::quantity::{Length, Quantity, Taper};
use tautway_sim::scenario::groove::triangle_height;
use tautway_sim::standard_taper::{find, pipe_pitch_diameters};
use tautway_sim::thread::lead::{bent_tail, hooke, hooke_speed, short_with_tailstock_over};

use super::{How, Ours, Table};

const INCH: f64 = 0.0254;

fn rate(name: &str) -> f64 {
    find(name).expect("a standard taper").taper.si() * 12.0
}

fn half(taper: f64) -> f64 {
    Taper::from_si(taper).half_angle().to_degrees()
}

pub fn tapers(table: &mut Table) {
    use How::{Exact, Memory, Practice, Read};
    use Ours::{Here, Typed};
    table.group("Tapers");
    // ISO 296, ASME B5.10: in/ft, sizes 0 to 7; half angle of size 2.
    let source = "ISO 296, ASME B5.10";
    let rates = [
        0.62460, 0.59858, 0.59941, 0.60235, 0.62326, 0.63151, 0.62565, 0.62400,
    ];
    for (size, printed) in rates.into_iter().enumerate() {
        let name = format!("morse {size}");
        let ours = Typed(printed, rate(&name), 5, 1e-9);
        table.row(source, Read, format!("Morse {size}, in/ft"), ours);
    }
    let ours = Here(1.430689, half(rate("morse 2") / 12.0), 6);
    table.row(source, Read, "Morse 2, half angle, deg", ours);
    // US Navy NAVEDTRA 14345: taper pins, Brown and Sharpe and Jarno, in/ft.
    let source = "NAVEDTRA 14345";
    for (name, what, printed, digits) in [
        ("jarno 6", "Jarno, in/ft", 0.600, 3),
        ("brown and sharpe", "Brown and Sharpe, in/ft", 0.5, 1),
        (
            "brown and sharpe 10",
            "Brown and Sharpe 10, in/ft",
            0.5161,
            4,
        ),
        ("taper pin", "taper pins, in/ft", 0.25, 2),
    ] {
        let ours = Typed(printed, rate(name), digits, 1e-9);
        table.row(source, Read, what, ours);
    }
    // NAVEDTRA 14345: a Jarno of size n is n/8, n/10 and n/2.
    let six = find("jarno 6").expect("a size");
    for (what, end, printed) in [
        ("large end", six.large, 0.75),
        ("small end", six.small, 0.6),
        ("length", six.length, 3.0),
    ] {
        let ours = Here(printed, end.expect("an end").si() / INCH, 2);
        table.row(source, Read, format!("Jarno 6, {what}, in"), ours);
    }
    // Closed form: atan(7/48); 8.1301 is a known mistake.
    let ours = Here(8.297145, half(rate("7:24") / 12.0), 6);
    table.row("closed form", Exact, "7:24, half angle, deg", ours);
    // ASME B1.20.1.
    let source = "ASME B1.20.1";
    let ours = Here(1.789911, half(rate("npt") / 12.0), 6);
    table.row(source, Read, "taper pipe, half angle, deg", ours);
    let ours = Typed(0.75, rate("npt"), 2, 1e-9);
    table.row(source, Read, "taper pipe, in/ft", ours);
    let ours = Ours::There(
        "1 deg 47 min 23.7 sec",
        "quantity/show",
        "a_taper_in_every_form",
    );
    table.row(source, Read, "taper pipe, half angle in words", ours);
    for (what, d, n, l, printed) in [
        ("taper pipe 1/2, E1, in", 0.840, 14.0, 0.320, 0.77843),
        ("taper pipe 2, E1, in", 2.375, 11.5, 0.436, 2.29627),
    ] {
        let ours = Here(printed, pipe_pitch_diameters(d, n, l).1, 5);
        table.row(source, Read, what, ours);
    }
    // ASME B1.20.1, from memory: E1 of other sizes.
    for (size, e1) in [
        ("1/8", 0.37360),
        ("1/4", 0.49163),
        ("3/8", 0.62701),
        ("1", 1.23863),
    ] {
        let large = find(&format!("pipe {size}")).expect("a size").large;
        let ours = large.expect("E1").si() / INCH;
        let what = format!("taper pipe {size}, E1, in");
        table.row(source, Memory, what, Ours::Within(e1, ours, 5, 1e-5));
    }
    // API Spec 7-2: ends and length, mm; NC38 is rounded to thousandths of an inch there first.
    let source = "API Spec 7-2";
    for (name, large, small, length, within) in [
        ("NC38", 102.01, 85.06, 101.61, 0.02),
        ("NC50", 133.35, 114.30, 114.31, 0.01),
        ("NC56", 149.25, 117.50, 127.01, 0.01),
    ] {
        let one = find(name).expect("a connection");
        let run = one.large.expect("large").si() * 1e3 - one.taper.si() * length;
        let ours = Ours::Within(small, run, 2, within);
        table.row(
            source,
            Read,
            format!("{name}, small end from {large} over {length}, mm"),
            ours,
        );
    }
    for (taper, printed) in [(2.0, 2.00693), (3.0, 2.01556)] {
        let side = along_side(Taper::from_si(taper / 12.0), Length::from_si(2.0)).si();
        let what = format!("2 in along the axis, along the side of {taper} in/ft");
        table.row(source, Read, what, Here(printed, side, 5));
    }
    // Colvin, Turning and Boring Tapers (1902): taper per unit of an included angle.
    for (degrees, printed, digits) in [
        (10.0_f64, 0.17498, 5),
        (20.0, 0.35266, 5),
        (30.0, 0.53590, 5),
    ] {
        let taper = 2.0 * (degrees / 2.0).to_radians().tan();
        let shown = Taper::parse(&format!("{degrees} deg included")).expect("a taper");
        assert!((shown.si() - taper).abs() < 1e-12);
        let what = format!("{degrees} deg included, taper per unit");
        // His 20 deg is a unit high in its last digit, and his row of 4 deg is misprinted.
        let ours = Ours::Within(printed, shown.si(), digits, 1.1e-5);
        table.row("Colvin, Turning and Boring Tapers, 1902", Read, what, ours);
    }
    // Closed form: what his misprinted row should say.
    let four = Taper::parse("4 deg included").expect("a taper").si();
    let what = "4 deg included, taper per unit";
    table.row("closed form", Exact, what, Here(0.06984, four, 5));
    // ISO 1947, from memory: angle grades of cones 63 to 100 mm long, microradian; over 100 mm
    // that is as many tenths of a micrometre on diameter, to first order.
    for (grade, angle) in [(4, 63.0), (5, 100.0), (6, 160.0), (7, 250.0), (8, 400.0)] {
        let wide = Taper::parse(&format!("{} rad included", angle * 1e-6)).expect("an angle");
        let nought = Length::from_si(0.0);
        let ours = diameter_along(wide, nought, Length::from_si(0.1)).si() * 1e6;
        let what = format!("AT{grade}, {angle} urad, over 100 mm on diameter, um");
        table.row("ISO 1947", Memory, what, Here(0.1 * angle, ours, 1));
    }
    // Common practice, no source: the standoff of 0.001 in on diameter.
    for (taper, standoff) in [(2.0, 0.006), (1.0, 0.012), (0.75, 0.016)] {
        let row = standoff_rows(Taper::from_si(taper / 12.0), standoff, 1)[0];
        let what = format!("standoff {standoff} in at {taper} in/ft, on diameter, in");
        table.row("-", Practice, what, Here(0.001, row.on_diameter, 3));
    }
}

pub fn setting_over(table: &mut Table) {
    use How::{Exact, Read};
    use Ours::{Here, There};
    table.group("Tailstock set over, lost motion, tool height");
    let foot = 1.0 / 12.0;
    for (source, taper, between, printed, digits) in [
        // Jones, Turning and Boring (1914).
        ("Jones, Turning and Boring, 1914", 1.0, 9.0, 0.375, 3),
        ("Jones, Turning and Boring, 1914", 1.5, 8.0, 0.5, 1),
        // US Navy NAVEDTRA 14345: 3 in to 2 in over 12 in.
        ("NAVEDTRA 14345", 1.0, 12.0, 0.5, 1),
        // Rose, Modern Machine-Shop Practice (1887).
        (
            "Rose, Modern Machine-Shop Practice, 1887",
            1.0,
            36.0,
            1.5,
            1,
        ),
    ] {
        let what = format!("{taper} in/ft, {between} in between centres, over by the rule, in");
        let ours = Here(printed, by_rule(between, taper * foot), digits);
        table.row(source, Read, what, ours);
    }
    // Closed form.
    let ours = Here(0.499567, offset(12.0, foot), 6);
    table.row(
        "closed form",
        Exact,
        "1 in/ft, 12 in, over exactly, in",
        ours,
    );
    // Closed form: a thread cut with the tailstock over is short by 1 - cos of the half angle.
    for (what, taper, printed) in [
        ("1:16", 1.0 / 16.0, 488.0),
        ("2 in/ft", 2.0 * foot, 3454.0),
        ("3 in/ft", 3.0 * foot, 7722.0),
    ] {
        let short = short_with_tailstock_over(Taper::from_si(taper).half_angle()) * 1e6;
        let what = format!("pitch short at {what}, ppm");
        table.row("closed form", Exact, what, Here(printed, short, 0));
    }
    // US Army OD1645 and NAVEDTRA 14345: lost motion leaves the start straight.
    let ours = There(
        "8.0 and 3.0",
        "machine/laws",
        "lost_motion_leaves_the_work_straight_handbooks",
    );
    let what = "0.25 mm of slack, straight at 1:16 and 2 in/ft, mm";
    table.row("OD1645, NAVEDTRA 14345", Read, what, ours);
    // Colvin, Turning and Boring Tapers (1902) says flatter; closed form: h 1, r 5, a step of 5.
    let off = hyperboloid(|z| 5.0 + z, 0.0, [1.0, 0.0], [0.0, 20.0], 5.0);
    let what = "tool 1 off centre, radius 5, a step of 5: radius there";
    table.row(
        "Colvin, Turning and Boring Tapers, 1902",
        Exact,
        what,
        Here(9.949362, 10.0 + off, 6),
    );
    // Closed form: Hooke's joint at 10 deg.
    let angle = 10f64.to_radians();
    let (slow, fast) = hooke_speed(angle);
    for (what, printed, ours) in [
        ("Hooke's joint at 10 deg, slowest", 0.984808, slow),
        ("Hooke's joint at 10 deg, fastest", 1.015427, fast),
        (
            "Hooke's joint at 10 deg, angle, deg",
            0.438561,
            hooke(angle).to_degrees(),
        ),
    ] {
        table.row("closed form", Exact, what, Here(printed, ours, 6));
    }
    // Derived here, unpublished.
    let tail = bent_tail(0.5, (1.0f64 / 32.0).atan());
    let what = "bent tail at half its distance, 1:16, rad";
    table.row("derived here", Exact, what, Here(0.01563, tail, 5));
}

pub fn threads(table: &mut Table) {
    use How::{Memory, Read};
    use Ours::{Here, There, Within};
    table.group("Threads");
    let height = |rise| {
        let tan = 30f64.to_radians().tan();
        triangle_height(1.0, tan, tan, rise)
    };
    // ASME B1.20.1; the closed form gives 0.86574349 for 1 in 16.
    let source = "ASME B1.20.1";
    let ours = Within(0.86574320, height(1.0 / 32.0), 8, 1e-6);
    table.row(
        source,
        Read,
        "triangle of a thread at 1:16, in pitches",
        ours,
    );
    let ours = Here(0.86602540, height(0.0), 8);
    table.row(
        source,
        Read,
        "triangle of a straight thread, in pitches",
        ours,
    );
    // ASME B1.20.1, from memory.
    let ours = There(
        "0.800",
        "thread/laws",
        "depth_of_a_taper_pipe_thread_from_memory",
    );
    table.row(
        source,
        Memory,
        "depth of a taper pipe thread, in pitches",
        ours,
    );
    // API Spec 7-2, from memory: truncated heights, in.
    let ours = There(
        "0.121844, 0.121381, 0.117842, 0.147804, 0.147303, 0.055930",
        "thread/laws",
        "heights_of_rotary_shouldered_threads_from_memory",
    );
    table.row(
        "API Spec 7-2",
        Memory,
        "heights of rotary shouldered threads, in",
        ours,
    );
    // ISO 228-1, from memory.
    let ours = There(
        "0.960491, 0.640327",
        "thread/laws",
        "a_rounded_55_degree_thread_is_as_deep_as_the_standard_has_it",
    );
    table.row(
        "ISO 228-1",
        Memory,
        "55 degree thread: triangle and depth, in pitches",
        ours,
    );
}

pub fn gauging(table: &mut Table) {
    table.group("Gauging");
    // Machinery's Handbook, from memory.
    let source = "a handbook of the trade";
    let ours = Ours::There(
        "4.002",
        "gauging/laws",
        "two_balls_are_two_discs_of_the_handbook",
    );
    let what = "discs of 1 1/4 and 1 1/2 in at 3/4 in/ft, centres apart, in";
    table.row(source, How::Memory, what, ours);
    let ours = Ours::There(
        "1 + cot of half the angle",
        "gauging/laws",
        "rolls_are_the_rolls_in_a_dovetail_of_the_handbook",
    );
    let what = "dovetail factors over rolls, 60, 55, 50 and 45 deg";
    table.row(source, How::Memory, what, ours);
    // ISO 296, API Spec 7-2.
    let ours = Ours::There(
        "its printed rate",
        "gauging/rational",
        "a_morse_plug_over_rolls_gives_its_printed_rate",
    );
    table.row("ISO 296", How::Read, "a Morse plug over rolls", ours);
    let ours = Ours::There(
        "their ends",
        "gauging/rational",
        "published_cones_gauged_on_paper_come_back",
    );
    table.row(
        "API Spec 7-2",
        How::Read,
        "NC38, NC50, NC56 over rolls and balls",
        ours,
    );
}
