//! Good pairs of texts come out as the values they say, whatever the units and spreads.

use crate::given::scenario_texts::{INCH, JOB, LATHE, LBF, decoded, near};
use tautway_sim::quantity::{Quantity, Speed, Units};
use tautway_sim::scenario::material::{MATERIALS, Material};
use tautway_sim::scenario::{
    End, Kind, Origin, PreloadSource, Scenario, Source, SpindleNose, StartSurface, decode_lathe,
    lathe_named_in,
};

#[test]
fn good_pair_is_read_as_written() {
    let (scenario, warnings) = decoded(JOB, LATHE);
    assert_eq!(warnings, []);
    let Scenario { lathe, job } = scenario;
    assert_eq!(lathe.name, "the worn 15 inch lathe");
    assert_eq!(lathe.spindle.nose, SpindleNose::CamLock);
    assert!(lathe.spindle.reverse);
    let total = lathe.attachment.total_slack.expect("slack is given");
    near(total.middle.si(), 0.064 * INCH);
    near(total.low.si(), 0.056 * INCH);
    near(total.high.si(), 0.072 * INCH);
    assert_eq!(total.origin, Origin::Given);
    near(lathe.slide.drag.low.si(), 14.0 * LBF);
    near(lathe.slide.drag.middle.si(), 18.0 * LBF);
    near(lathe.slide.drag.high.si(), 22.0 * LBF);
    assert_eq!(lathe.slide.breakaway.origin, Origin::Assumed);

    assert_eq!(job.units, Units::Inch);
    assert_eq!(
        (job.work.kind, job.work.big_end),
        (Kind::Inside, End::Tailstock)
    );
    near(job.work.taper.si(), 1.0 / 6.0);
    near(job.work.tolerance.lower.si(), -0.030 / 12.0);
    near(job.work.tolerance.upper.si(), 0.0);
    near(job.work.gauge_plane.si(), 0.0);
    near(job.work.room_headstock.si(), 1.25 * INCH);
    assert_eq!(job.work.material, "4140 30 HRC");
    let StartSurface::Straight { diameter } = job.work.start else {
        panic!("{:?}", job.work.start);
    };
    near(diameter.si(), 2.4 * INCH);
    let (big, small) = job.work.end_diameters();
    near(big.si(), 3.0 * INCH);
    near(small.si(), 2.5 * INCH);
    near(
        job.tool.bar.expect("a bar is given").stick_out.si(),
        6.0 * INCH,
    );
    near(job.tool.entering_angle.si(), 95_f64.to_radians());
    assert_eq!(job.passes.finish.len(), 2);
    let Speed::Surface(speed) = job.passes.speed else {
        panic!("{:?}", job.passes.speed);
    };
    near(speed, 250.0 * 0.3048 / 60.0);
}

#[test]
fn nothing_but_the_needful_takes_every_default() {
    let lathe = "name = \"any\"\nunits = \"inch\"\n";
    let job = "name = \"plug\"\nlathe = \"any.toml\"\n[work]\nkind = \"outside\"\n\
               big_end = \"headstock\"\ntaper = \"1:16\"\ntolerance = \"+-0.010 in/ft\"\n\
               length = \"2 in\"\ndiameter = \"2 in\"\nmaterial = \"1018\"\n";
    let (mut scenario, warnings) = decoded(job, lathe);
    assert_eq!(warnings, []);
    // The ordinary used lathe of the starting numbers, from memory of trade books.
    near(scenario.lathe.slide.drag.middle.si(), 20.0 * LBF);
    near(scenario.lathe.attachment.nut_slack.high.si(), 0.040 * INCH);
    assert_eq!(scenario.lathe.attachment.total_slack, None);
    assert_eq!(scenario.job.preload, None);
    // VDI 3323 row for carbon steel under 0.25 % C, as printed in a turning catalogue of 2017.
    near(scenario.job.cutting.specific_force.middle.si(), 1350e6);
    near(scenario.job.cutting.exponent, 0.21);
    assert!(
        scenario
            .parameters_mut()
            .iter()
            .all(|k| k.value.origin() == Origin::Assumed)
    );
}

#[test]
fn dont_know_in_any_wording_is_the_default() {
    let bare = decoded(JOB, "name = \"a\"\nunits = \"inch\"").0.lathe;
    for words in [
        "don't know",
        "dont know",
        "Don\u{2019}t know",
        "unknown",
        "?",
        "not sure",
    ] {
        let lathe = format!(
            "name = \"a\"\nunits = \"inch\"\ncondition = \"{words}\"\nspindle.nose = \"{words}\"\n\
             spindle.reverse = \"{words}\"\nreadout = \"{words}\"\n[attachment]\n\
             slack = \"{words}\"\nsetting_error = \"{words}\"\n[slide]\ndrag = \"{words}\"\n"
        );
        let (read, warnings) = decoded(JOB, &lathe);
        assert_eq!(warnings, []);
        assert_eq!(read.lathe, bare, "{words}");
    }
}

#[test]
fn spreads_in_every_writing_are_the_same_numbers() {
    for text in [
        "\"0.080 in +- 0.010 in\"",
        "\"0.070 in to 0.090 in\"",
        "\"80 thou +- 10 thou\"",
        "{ low = \"0.070 in\", middle = \"2.032 mm\", high = \"0.090 in\" }",
    ] {
        let lathe = format!("name = \"a\"\nunits = \"inch\"\nattachment.slack = {text}\n");
        let slack = decoded(JOB, &lathe)
            .0
            .lathe
            .attachment
            .total_slack
            .expect(text);
        near(slack.low.si(), 0.070 * INCH);
        near(slack.middle.si(), 0.080 * INCH);
        near(slack.high.si(), 0.090 * INCH);
    }
}

#[test]
fn setting_error_and_height_count_both_ways() {
    let lathe = "name = \"a\"\nunits = \"inch\"\nattachment.setting_error = \"0.012 in/ft\"\n";
    let error = decoded(JOB, lathe).0.lathe.attachment.setting_error;
    near(error.low.si(), -0.001);
    near(error.middle.si(), 0.0);
    near(error.high.si(), 0.001);
}

#[test]
fn gib_drag_and_weight_make_the_drag() {
    let lathe = "name = \"a\"\nunits = \"inch\"\n[slide]\ngib_drag = \"10 lbf\"\n\
                 weight = \"80 lbf\"\nfriction = 0.15\n";
    let drag = decoded(JOB, lathe).0.lathe.slide.drag;
    near(drag.middle.si(), 22.0 * LBF);
    assert_eq!(drag.origin, Origin::Given);
}

#[test]
fn metric_pair_is_shown_in_metric() {
    let lathe = "name = \"a\"\nunits = \"metric\"\n[attachment]\nslack = \"2 mm +- 0.2 mm\"\n\
                 drive_spring = \"10 N/um\"\n[slide]\ndrag = \"90 N\"\n";
    let job = "name = \"b\"\nlathe = \"a.toml\"\n[work]\nkind = \"outside\"\n\
               big_end = \"headstock\"\ntaper = \"1:10\"\ntolerance = \"+-0.5 mm/m\"\n\
               length = \"80 mm\"\ndiameter = \"50 mm\"\ngauge_plane = \"10 mm\"\n\
               material = \"C45\"\nstart = { straight = \"52 mm\" }\n[passes]\n\
               finish = [\"0.25 mm\", \"0.1 mm\"]\nfeed = \"0.1 mm\"\nspeed = \"90 m/min\"\n\
               [preload]\ntoward = \"the operator\"\n\
               cylinder = { bore = \"25 mm\", pressure = \"4 bar\" }\n";
    let (mut scenario, warnings) = decoded(job, lathe);
    assert_eq!(warnings, []);
    assert_eq!(scenario.job.units, Units::Metric);
    near(scenario.job.work.end_diameters().0.si(), 0.051);
    assert!(matches!(
        scenario.job.preload.expect("given").source,
        PreloadSource::Cylinder { .. }
    ));
    let parameters = scenario.parameters_mut();
    let slack = parameters
        .iter()
        .find(|k| k.key == "attachment.slack")
        .expect("given");
    let shown = slack.value.show(Units::Metric);
    assert!(shown.iter().all(|text| text.contains("mm")), "{shown:?}");
}

#[test]
fn preload_of_each_kind_is_read() {
    for (lines, wanted) in [
        ("weight = \"40 lb\"", "constant"),
        ("constant = \"40 lbf\"", "constant"),
        ("spring = \"40 lbf\"\nrate = \"5 lbf/in\"", "spring"),
        ("spring = \"40 lbf\"", "spring"),
        (
            "cylinder = { bore = \"1 in\", rod = \"3/8 in\", pressure = \"60 psi\" }",
            "cylinder",
        ),
    ] {
        let job = format!("{JOB}\n[preload]\ntoward = \"away from the operator\"\n{lines}\n");
        let preload = decoded(&job, LATHE).0.job.preload.expect(lines);
        let kind = match preload.source {
            PreloadSource::Constant(force) => {
                near(force.si(), 40.0 * LBF);
                "constant"
            }
            PreloadSource::Spring { force, .. } => {
                near(force.si(), 40.0 * LBF);
                "spring"
            }
            PreloadSource::Cylinder { bore, .. } => {
                near(bore.si(), INCH);
                "cylinder"
            }
        };
        assert_eq!(kind, wanted);
    }
}

#[test]
fn own_force_law_allows_any_material() {
    let job = JOB.replace("4140 30 HRC", "unobtainium")
        + "\n[cutting]\nspecific_force = \"1800 N/mm2\"\nexponent = 0.22\n";
    let cutting = decoded(&job, LATHE).0.job.cutting;
    near(cutting.specific_force.si(), 1800e6);
    near(cutting.exponent, 0.22);
}

#[test]
fn a_lathe_alone_and_its_name_in_the_job() {
    let source = |text| Source { name: "t", text };
    assert_eq!(lathe_named_in(source(JOB)), Ok("lathe.toml".to_owned()));
    // Other faults don't stand in the way of the name.
    assert_eq!(
        lathe_named_in(source("lathe = \"b.toml\"\nx = 0.08 in\n")),
        Ok("b.toml".to_owned())
    );
    assert!(lathe_named_in(source("name = \"no lathe\"")).is_err());
    assert!(decode_lathe(source(LATHE)).is_ok());
}

#[test]
fn knobs_keep_number_and_order_and_can_be_turned() {
    let (mut scenario, _) = decoded(JOB, LATHE);
    let parameters = scenario.parameters_mut();
    let mut numbers: Vec<u32> = parameters
        .iter()
        .map(|parameter| parameter.number)
        .collect();
    numbers.sort_unstable();
    assert!(numbers.windows(2).all(|pair| pair[0] < pair[1]));
    let drag = parameters
        .iter()
        .find(|k| k.key == "slide.drag")
        .expect("always there");
    assert_eq!((drag.number, drag.words), (16, "drag of the cross-slide"));
    assert_eq!(drag.test, Some("test 4, drag"));
    drag.set_si(&mut scenario, 1.0);
    // The total was measured, so the parts it overrides are no parameters.
    assert!(!parameters.iter().any(|k| k.key == "attachment.nut_slack"));
    near(scenario.lathe.slide.drag.si(), 1.0);
}

#[test]
fn defaults_are_in_order_in_every_condition_and_worse_is_looser() {
    let mut last = 0.0;
    // Good, ordinary and worn from memory of trade books (0.018 with wear of the screw counted,
    // 0.014 as new parts add up); junk is judgement.
    for (condition, thou) in [
        ("good", 8.0),
        ("ordinary", 14.0),
        ("worn", 60.0),
        ("junk", 100.0),
    ] {
        let lathe = format!("name = \"a\"\nunits = \"inch\"\ncondition = \"{condition}\"\n");
        let (mut scenario, _) = decoded(JOB, &lathe);
        let a = &scenario.lathe.attachment;
        let sum = a.shoe_slack.si() + a.thrust_slack.si() + a.nut_slack.si();
        near(sum, thou * 0.001 * INCH);
        assert!(sum > last);
        last = sum;
        for parameter in scenario.parameters_mut() {
            let range = parameter.value.range_si();
            assert!(
                range.is_sorted(),
                "{condition} {}: {range:?}",
                parameter.key
            );
            assert!(
                range[0] < range[2],
                "{condition} {}: {range:?}",
                parameter.key
            );
        }
    }
}

#[test]
fn every_edge_and_surface_has_defaults_in_order() {
    for edge in ["fresh", "used", "dull", "don't know"] {
        for surface in [
            "turned in this setting",
            "re-chucked in a four-jaw",
            "re-chucked in a three-jaw",
            "cold-drawn bar",
            "black bar",
            "forging",
            "casting",
            "flame-cut",
            "weld",
        ] {
            for tool in ["carbide", "hss"] {
                let job = JOB
                    .replace(
                        "edge = \"fresh\"",
                        &format!("edge = \"{edge}\"\nmaterial = \"{tool}\""),
                    )
                    .replace("turned in this setting", surface);
                for parameter in decoded(&job, LATHE).0.parameters_mut() {
                    assert!(
                        parameter.value.range_si().is_sorted(),
                        "{edge} {surface} {}",
                        parameter.key
                    );
                }
            }
        }
    }
}

#[test]
fn a_thin_ring_in_three_jaws_has_lobes_a_thick_one_hardly() {
    let lobes = |outside: &str| {
        let job = JOB.replace(
            "turned in this setting\"",
            &format!("three-jaw\"\noutside_diameter = \"{outside}\""),
        );
        decoded(&job, LATHE).0.job.work.lobing.si()
    };
    // A thousandth in a thin ring: from memory of trade books.
    near(lobes("3.5 in"), 0.001 * INCH);
    assert!(lobes("6 in") < 0.0002 * INCH);
}

#[test]
fn published_force_rows_are_the_table_s() {
    // VDI 3323 groups as printed in a turning catalogue of 2017: kc1.1 in N/mm2, mc.
    for (name, kc, mc) in [
        ("1018", 1350.0, 0.21),
        ("1045", 1500.0, 0.22),
        ("4140 annealed", 1775.0, 0.24),
        ("304", 2150.0, 0.20),
        ("Gray Iron", 1150.0, 0.20),
        ("6061-T6", 700.0, 0.25),
        ("360 brass", 700.0, 0.27),
    ] {
        let row = Material::named(name).expect(name);
        near(row.specific_force().si(), kc * 1e6);
        near(row.exponent, mc);
    }
    for row in MATERIALS {
        for word in std::iter::once(&row.name).chain(row.also) {
            assert_eq!(Material::named(word), Some(row), "{word} names two rows");
        }
    }
}
