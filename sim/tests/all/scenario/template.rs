//! What `new` writes can be read back, whatever is left open.

use crate::given::scenario_texts::{decode_pair, decoded, near};
use tautway_sim::quantity::{Quantity, Units};
use tautway_sim::scenario::template::{JobAnswers, LatheAnswers, StartAnswer, job, lathe};
use tautway_sim::scenario::{AttachmentKind, Condition, End, Kind, Severity, SpindleNose};

fn open_lathe() -> LatheAnswers {
    LatheAnswers {
        condition: None,
        kind: None,
        slack: None,
        foot_slack: None,
        drive_spring: None,
        guide_travel: None,
        steepest: None,
        drag: None,
        breakaway: None,
        nose: None,
        reverse: None,
        rear_post: None,
        readout_step: None,
        readout_reads: None,
        ..LatheAnswers::default()
    }
}

fn open_job() -> JobAnswers {
    JobAnswers {
        tolerance: None,
        gauge_plane: None,
        size_tolerance: None,
        held: None,
        from_jaws: None,
        room_headstock: None,
        room_tailstock: None,
        start: None,
        surface: None,
        nose_radius: None,
        shape: None,
        edge: None,
        bar_diameter: None,
        bar_stick_out: None,
        rough: None,
        finish: Vec::new(),
        feed: None,
        speed: None,
        ..JobAnswers::default()
    }
}

#[test]
fn the_examples_decode_without_a_word() {
    let (scenario, warnings) = decoded(
        &job(&JobAnswers::default()),
        &lathe(&LatheAnswers::default()),
    );
    assert_eq!(warnings, []);
    near(scenario.job.work.taper.si(), 1.0 / 8.0);
}

#[test]
fn every_answer_may_be_dont_know() {
    let (scenario, warnings) = decoded(&job(&open_job()), &lathe(&open_lathe()));
    // Only what no default can truly stand in for is said: tolerance, bar and how far it reaches.
    let said: Vec<_> = warnings.iter().map(|w| w.message.as_str()).collect();
    assert_eq!(
        said,
        [
            "the tolerance on the taper is not known",
            "`tool.bar.diameter` is not known",
            "`tool.bar.stick_out` is not known",
        ]
    );
    assert_eq!(scenario.lathe.condition, Condition::Ordinary);
}

#[test]
fn every_choice_of_words_is_read_back_as_it_was_meant() {
    for condition in [
        Condition::Good,
        Condition::Ordinary,
        Condition::Worn,
        Condition::Junk,
    ] {
        for kind in [AttachmentKind::Telescoping, AttachmentKind::Plain] {
            for nose in [
                SpindleNose::ScrewedOn,
                SpindleNose::CamLock,
                SpindleNose::KeyDrive,
                SpindleNose::Bolted,
            ] {
                for units in [Units::Inch, Units::Metric] {
                    let answers = LatheAnswers {
                        condition: Some(condition),
                        kind: Some(kind),
                        nose: Some(nose),
                        units,
                        name: "the \"old\" one, 15\\16".to_owned(),
                        ..LatheAnswers::default()
                    };
                    let (read, _) = decoded(&job(&JobAnswers::default()), &lathe(&answers));
                    assert_eq!(read.lathe.condition, condition);
                    assert_eq!(read.lathe.attachment.kind, kind);
                    assert_eq!(read.lathe.spindle.nose, nose);
                    assert_eq!(read.lathe.units, units);
                    assert_eq!(read.lathe.name, answers.name);
                }
            }
        }
    }
    for big_end in [End::Headstock, End::Tailstock] {
        let answers = JobAnswers {
            kind: Kind::Outside,
            big_end,
            start: Some(StartAnswer::Roughed("1/32\"".to_owned())),
            room_headstock: None,
            ..JobAnswers::default()
        };
        let (read, warnings) = decoded(&job(&answers), &lathe(&LatheAnswers::default()));
        assert_eq!(warnings, []);
        assert_eq!(
            (read.job.work.kind, read.job.work.big_end),
            (Kind::Outside, big_end)
        );
    }
}

#[test]
fn the_templates_name_every_number_that_can_be_given() {
    let (lathe, job) = (lathe(&LatheAnswers::default()), job(&JobAnswers::default()));
    // Without the measured totals the parts are in the list as well.
    let open = tautway_sim::scenario::template::lathe(&open_lathe());
    let (mut scenario, _) = decoded(&job, &open);
    for parameter in scenario.parameters_mut() {
        let key = parameter.key.rsplit('.').next().expect("a key");
        // What a bar's holder does is no question for the first page.
        let hidden = key == "holder_factor";
        let named = [&lathe, &job].iter().any(|text| {
            text.split(|c: char| !(c.is_alphanumeric() || c == '_'))
                .any(|w| w == key)
        });
        assert!(named || hidden, "{}", parameter.key);
    }
}

#[test]
fn a_wrong_answer_is_pointed_at_in_what_was_written() {
    let answers = JobAnswers {
        taper: "2 lbf".to_owned(),
        ..JobAnswers::default()
    };
    let text = job(&answers);
    let found = decode_pair(&text, &lathe(&LatheAnswers::default())).expect_err("a force");
    assert_eq!(found.len(), 1, "{found:#?}");
    assert_eq!(found[0].severity, Severity::Error);
    assert_eq!(&text[found[0].span.clone()], "lbf");
}
