//! The questions with scripted answers.

use std::collections::VecDeque;
use std::io;

use tautway_sim::quantity::Quantity;
use tautway_sim::scenario::Kind;

use super::*;

/// Answers by what is asked; Enter to everything else.
pub(super) struct Scripted {
    answers: Vec<(String, VecDeque<String>)>,
    pub said: String,
    asked: usize,
    ends_after: usize,
}

impl Scripted {
    pub fn new(answers: &[(&str, &[&str])]) -> Self {
        Self {
            answers: answers
                .iter()
                .map(|(words, lines)| {
                    let lines = lines.iter().map(|line| (*line).to_owned());
                    ((*words).to_owned(), lines.collect())
                })
                .collect(),
            said: String::new(),
            asked: 0,
            ends_after: usize::MAX,
        }
    }
}

impl Person for Scripted {
    fn tell(&mut self, line: &str) -> io::Result<()> {
        self.said.push_str(line);
        self.said.push('\n');
        Ok(())
    }

    fn ask(&mut self, prompt: &str) -> io::Result<Option<String>> {
        self.said.push_str(prompt);
        self.said.push('\n');
        self.asked += 1;
        assert!(self.asked < 200, "asked for ever:\n{}", self.said);
        if self.asked > self.ends_after {
            return Ok(None);
        }
        let answer = self
            .answers
            .iter_mut()
            .find(|(words, lines)| prompt.contains(&**words) && !lines.is_empty())
            .and_then(|(_, lines)| lines.pop_front());
        Ok(Some(answer.unwrap_or_default()))
    }
}

/// Asks without keeping anything and without a comparison.
pub(super) fn asked(person: &mut dyn Person, there: Option<&Text>) -> Result<Asked, Ended> {
    with_first(person, there, &mut |_| Ok(Vec::new()))
}

/// The same with this in place of the comparison.
fn with_first(
    person: &mut dyn Person,
    there: Option<&Text>,
    first: &mut dyn FnMut(&Asked) -> Result<Vec<&'static str>, Failure>,
) -> Result<Asked, Ended> {
    interview(person, there, &mut Draft::nowhere(), first).map_err(|stopped| match stopped {
        Stopped::Ended(ended) => ended,
        Stopped::Failed(failure) => panic!("{failure:?}"),
    })
}

pub(super) const DRAWING: &[(&str, &[&str])] = &[
    ("outside or inside", &["outside"]),
    ("Which end is big", &["head"]),
    ("The taper, on diameter", &["3/4 in/ft"]),
    ("How long is the taper", &["4 in"]),
    ("The diameter there", &["2 in"]),
    ("The material", &["1018"]),
];

pub(super) fn decoded(asked: &Asked) -> tautway_sim::scenario::Scenario {
    let source = |name, text| Source { name, text };
    decode(source("job", &asked.job), source("lathe", &asked.lathe))
        .unwrap_or_else(|found| panic!("{found:#?}\n{}", asked.job))
        .0
}

#[test]
fn the_drawing_and_enter_to_all_else_make_a_pair_that_decodes() {
    let mut person = Scripted::new(DRAWING);
    let asked = asked(&mut person, None).expect("answers enough");
    assert!(asked.open.is_empty());
    let scenario = decoded(&asked);
    assert!((scenario.job.work.taper.si() - 0.75 / 12.0).abs() < 1e-12);
    assert_eq!(scenario.job.work.kind, tautway_sim::scenario::Kind::Outside);
    assert!(
        !person.said.contains("boring bar"),
        "no bar for outside work"
    );
}

#[test]
fn a_wrong_answer_is_refused_at_once_with_what_would_be_right() {
    let mut answers = DRAWING.to_vec();
    answers[2] = ("The taper, on diameter", &["5 deg", "3/4 in/ft"]);
    answers.push(("All slack", &["0.080 lbf", "0.080 in"]));
    answers.push(("What state is it in", &["rusty", "worn"]));
    let mut person = Scripted::new(&answers);
    let asked = asked(&mut person, None).expect("answers enough");
    let refused = person.said.matches("Needed").count();
    assert_eq!(refused, 3, "{}", person.said);
    assert!(person.said.contains("per side"), "{}", person.said);
    assert!(person.said.contains("good, ordinary, worn, junk"));
    let slack = decoded(&asked).lathe.attachment.total_slack.expect("given");
    assert!((slack.si() - 0.080 * 0.0254).abs() < 1e-12);
}

#[test]
fn a_bare_number_takes_the_unit_of_its_field_and_is_read_back() {
    let mut answers = DRAWING.to_vec();
    answers[2] = ("The taper, on diameter", &["3/4"]);
    answers[3] = ("How long is the taper", &["4"]);
    answers[4] = ("The diameter there", &["1 15/16"]);
    answers.push(("All slack", &[".060 +- .010"]));
    answers.push(("keeps the cross-slide moving", &["14 to 22"]));
    answers.push(("What do you start from", &["straight 2"]));
    answers.push(("The last passes", &[".010, .005"]));
    answers.push(("Speed", &["400", "400 rpm"]));
    answers.push(("Which end is big", &["tailstock end"]));
    answers.push(("How is the chuck held", &["threaded"]));
    let mut person = Scripted::new(&answers);
    let asked = asked(&mut person, None).expect("answers enough");
    for taken in [
        "3/4 in/ft",
        "4 in",
        "1 15/16 in",
        ".060 +- .010 in",
        "14 to 22 lbf",
        "straight 2 in",
        ".010 in, .005 in",
    ] {
        let told = format!("  Taken as {taken}.\n");
        assert!(person.said.contains(&told), "{taken}: {}", person.said);
    }
    // Turns a minute, or feet: nobody can tell.
    assert_eq!(person.said.matches("Needed").count(), 1, "{}", person.said);
    let scenario = decoded(&asked);
    assert!((scenario.job.work.diameter.si() - 1.9375 * 0.0254).abs() < 1e-12);
    assert_eq!(scenario.job.passes.finish.len(), 2);
}

#[test]
fn a_bare_number_that_would_be_odd_is_asked_for_its_unit() {
    let mut answers = DRAWING.to_vec();
    answers.push(("All slack", &["15", "15 thou"]));
    answers.push(("units", &["inches"]));
    let mut person = Scripted::new(&answers);
    let asked = asked(&mut person, None).expect("answers enough");
    assert!(
        person.said.contains("Needed: the unit. 15 in or 15 thou?"),
        "{}",
        person.said
    );
    assert!(person.said.contains("15 thou"), "{}", person.said);
    let slack = decoded(&asked).lathe.attachment.total_slack.expect("given");
    assert!((slack.si() - 0.015 * 0.0254).abs() < 1e-12);
}

#[test]
fn in_metric_a_comma_between_digits_is_a_decimal_one() {
    let mut answers = DRAWING.to_vec();
    answers[2] = ("The taper, on diameter", &["1:16"]);
    answers[3] = ("How long is the taper", &["101,6"]);
    answers[4] = ("The diameter there", &["50,8 mm"]);
    answers.push(("inch or metric", &["metric"]));
    answers.push(("The last passes", &["0,25, 0,12"]));
    let mut person = Scripted::new(&answers);
    let asked = asked(&mut person, None).expect("answers enough");
    let scenario = decoded(&asked);
    assert!((scenario.job.work.length.si() - 0.1016).abs() < 1e-12);
    assert!((scenario.job.work.diameter.si() - 0.0508).abs() < 1e-12);
    let finish: Vec<f64> = scenario.job.passes.finish.iter().map(|f| f.si()).collect();
    assert!((finish[0] - 0.25e-3).abs() < 1e-12 && (finish[1] - 0.12e-3).abs() < 1e-12);
}

#[test]
fn what_the_drawing_must_say_may_be_left_open_and_is_named() {
    let mut answers = DRAWING.to_vec();
    answers.retain(|(words, _)| *words != "The material");
    let mut person = Scripted::new(&answers);
    let asked = asked(&mut person, None).expect("answers enough");
    assert_eq!(asked.open, ["work.material"]);
    assert!(
        asked.job.contains("material = \"don't know\""),
        "{}",
        asked.job
    );
}

#[test]
fn answers_that_do_not_go_together_are_asked_for_again() {
    let mut answers = DRAWING.to_vec();
    answers.push(("What do you start from", &["roughed 0.010 in"]));
    answers.push((
        "The last passes",
        &["0.010 in, 0.005 in", "0.005 in, 0.003 in"],
    ));
    let mut person = Scripted::new(&answers);
    let asked = asked(&mut person, None).expect("answers enough");
    assert!(
        person.said.contains("more than there is"),
        "{}",
        person.said
    );
    assert_eq!(decoded(&asked).job.passes.finish.len(), 2);
}

#[test]
fn a_lathe_that_is_there_is_not_asked_about() {
    let text = Text {
        name: "lathe.toml".to_owned(),
        text: template::lathe(&LatheAnswers::default()),
    };
    let mut person = Scripted::new(DRAWING);
    let asked = asked(&mut person, Some(&text)).expect("answers enough");
    assert!(!person.said.contains("What state is it in"));
    assert_eq!(decoded(&asked).lathe.name, LatheAnswers::default().name);
}

#[test]
fn when_the_answers_end_so_do_the_questions() {
    let mut person = Scripted::new(DRAWING);
    person.ends_after = 7;
    assert!(matches!(asked(&mut person, None), Err(Ended::Early)));
}

/// What is asked before the first comparison of a piece of each sort.
#[test]
fn a_first_comparison_comes_after_at_most_twelve_questions() {
    for (kind, taper) in [
        ("outside", "3/4 in/ft"),
        ("inside", "3/4 in/ft"),
        ("outside thread", "3/4 in/ft"),
        ("inside thread", "3/4 in/ft"),
        ("outside", "pipe thread 1-1/2"),
        ("inside", "Morse 3"),
    ] {
        let answers: &[(&str, &[&str])] = &[
            ("outside or inside", &[kind]),
            ("Which end is big", &["2"]),
            ("The taper, on diameter", &[taper]),
            ("How long is the taper", &["2 in"]),
            ("The diameter there", &["2 in"]),
            ("The material", &["C45"]),
            ("Threads per inch", &["11-1/2 taper pipe"]),
            ("What do you start from", &[""]),
        ];
        // Where its name brings the ends they are left to it.
        let mut person = Scripted::new(answers);
        if taper.contains("pipe") || taper.contains("Morse") {
            person
                .answers
                .retain(|(words, _)| !words.starts_with("How long"));
            person
                .answers
                .retain(|(words, _)| !words.starts_with("The diameter"));
        }
        let mut compared = None;
        let asked = with_first(&mut person, None, &mut |asked| {
            compared = Some(asked.job.clone());
            Ok(Vec::new())
        })
        .expect("answers enough");
        let compared = compared.unwrap_or_else(|| panic!("{kind}: no comparison"));
        let scenario = decoded(&asked);
        assert_eq!(
            scenario.job.thread.is_some(),
            kind.ends_with("thread") || taper.contains("pipe")
        );
        assert!(!compared.contains("taper = \"don't know\""), "{compared}");
        let before = person.said.find("The rest tells less").expect("told");
        let questions = person.said[..before]
            .lines()
            .filter(|line| line.ends_with('?'));
        let questions: Vec<&str> = questions.collect();
        println!(
            "{kind}, {taper}: {} questions\n{questions:#?}",
            questions.len()
        );
        assert!(questions.len() <= 12, "{kind}: {questions:#?}");
    }
}

#[test]
fn the_rest_comes_in_the_order_of_what_moves_the_comparison_most() {
    let mut person = Scripted::new(DRAWING);
    let matters = [
        "tool.edge_radius",
        "attachment.nut_slack",
        "slide.drag",
        "attachment.foot_slack",
    ];
    with_first(&mut person, None, &mut |_| Ok(matters.to_vec())).expect("answers enough");
    let (_, rest) = person
        .said
        .split_once("4 more would narrow this most: ")
        .expect("told");
    let asked: Vec<&str> = rest
        .lines()
        .skip(1)
        .filter(|line| line.ends_with('?'))
        .collect();
    for (line, words) in asked.iter().zip([
        "Tool: sharp",
        "All slack",
        "keeps the cross-slide",
        "Slack of the foot",
    ]) {
        assert!(line.contains(words), "{asked:#?}");
    }
    assert!(
        asked
            .last()
            .is_some_and(|line| line.contains("What does the shop call")),
        "{asked:#?}"
    );
}

#[test]
fn back_undo_help_skip_and_quit_are_no_answers() {
    let mut answers = DRAWING.to_vec();
    answers[2] = ("The taper, on diameter", &["1/2 in/ft", "3/4 in/ft"]);
    answers[3] = ("How long is the taper", &["back", "?", "help", "4 in"]);
    answers[4] = ("The diameter there", &["2 in", "3 in"]);
    answers.push(("The tolerance on the taper", &["undo", "+-0.005 in/ft"]));
    answers.push(("Which end is big", &["skip", "1"]));
    answers.push(("The tool's nose radius", &["skip"]));
    answers.retain(|(words, lines)| *words != "Which end is big" || lines.len() == 2);
    let mut person = Scripted::new(&answers);
    let asked = asked(&mut person, None).expect("answers enough");
    let scenario = decoded(&asked);
    assert!((scenario.job.work.taper.si() - 0.75 / 12.0).abs() < 1e-12);
    assert!((scenario.job.work.diameter.si() - 3.0 * 0.0254).abs() < 1e-12);
    assert!(
        person.said.contains("This one is needed"),
        "{}",
        person.said
    );
    assert_eq!(
        person
            .said
            .matches("quit: stop, with the answers kept")
            .count(),
        3
    );
    // The rest of the tool was left, the passes were not.
    assert!(!person.said.contains("Insert or HSS"), "{}", person.said);
    assert!(person.said.contains("Finishing feed"));

    let mut answers = DRAWING.to_vec();
    answers.push(("What state is it in", &["back", "quit"]));
    let mut person = Scripted::new(&answers);
    let ended = super::tests::asked(&mut person, None);
    assert!(matches!(ended, Err(Ended::Quit)));
    assert_eq!(
        person.said.matches("inch or metric").count(),
        2,
        "{}",
        person.said
    );
}

#[test]
fn what_was_answered_is_kept_and_gone_on_with() {
    let room = tempfile::tempdir().expect("a directory");
    let place = room.path().join("job.toml");
    let mut person = Scripted::new(DRAWING);
    person.ends_after = 7;
    let mut draft = Draft::beside(&place).expect("nothing there");
    let nothing = &mut |_: &Asked| Ok(Vec::new());
    let stopped = interview(&mut person, None, &mut draft, nothing);
    assert!(matches!(stopped, Err(Stopped::Ended(Ended::Early))));
    assert!(
        draft.told().contains("the 7 answers so far are kept"),
        "{}",
        draft.told()
    );

    let mut draft = Draft::beside(&place).expect("ours");
    let mut person = Scripted::new(&DRAWING[4..]);
    let asked = interview(&mut person, None, &mut draft, nothing);
    let Ok(asked) = asked else {
        panic!("{}", person.said)
    };
    assert!(
        person.said.contains("Going on with the 7 answers"),
        "{}",
        person.said
    );
    assert!(
        !person.said.contains("How long is the taper"),
        "{}",
        person.said
    );
    let scenario = decoded(&asked);
    assert!((scenario.job.work.length.si() - 4.0 * 0.0254).abs() < 1e-12);
    assert_eq!(scenario.job.work.kind, Kind::Outside);
    draft.done();
    assert!(!room.path().join("job.answers").exists());
}

/// What the drawing has to say and was left open is never made up, and nothing is compared.
#[test]
fn a_taper_left_open_stays_open() {
    let mut answers = DRAWING.to_vec();
    answers
        .retain(|(words, _)| !["The taper, on diameter", "How long is the taper"].contains(words));
    let mut person = Scripted::new(&answers);
    let asked = with_first(&mut person, None, &mut |_| {
        panic!("compared with a taper made up")
    })
    .expect("answers enough");
    assert_eq!(asked.open, ["work.taper", "work.length"]);
    assert!(
        asked.job.contains("taper = \"don't know\""),
        "{}",
        asked.job
    );
    assert!(
        asked.job.contains("length = \"don't know\""),
        "{}",
        asked.job
    );
}
