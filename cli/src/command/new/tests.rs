//! The questions with scripted answers.

use std::collections::VecDeque;
use std::io;

use tautway_sim::quantity::Quantity;

use super::*;

/// Answers by what is asked; Enter to everything else.
struct Scripted {
    answers: Vec<(&'static str, VecDeque<&'static str>)>,
    said: String,
    asked: usize,
    ends_after: usize,
}

impl Scripted {
    fn new(answers: &[(&'static str, &[&'static str])]) -> Self {
        Self {
            answers: answers
                .iter()
                .map(|(words, lines)| (*words, lines.iter().copied().collect()))
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
            .find(|(words, lines)| prompt.contains(words) && !lines.is_empty())
            .and_then(|(_, lines)| lines.pop_front());
        Ok(Some(answer.unwrap_or("").to_owned()))
    }
}

const DRAWING: &[(&str, &[&str])] = &[
    ("outside or inside", &["outside"]),
    ("Which end is big", &["head"]),
    ("The taper, on diameter", &["3/4 in/ft"]),
    ("How long is the taper", &["4 in"]),
    ("The diameter there", &["2 in"]),
    ("The material", &["1018"]),
];

fn decoded(asked: &Asked) -> tautway_sim::scenario::Scenario {
    let source = |name, text| Source { name, text };
    decode(source("job", &asked.job), source("lathe", &asked.lathe))
        .unwrap_or_else(|found| panic!("{found:#?}\n{}", asked.job))
        .0
}

#[test]
fn the_drawing_and_enter_to_all_else_make_a_pair_that_decodes() {
    let mut person = Scripted::new(DRAWING);
    let asked = interview(&mut person, None).expect("answers enough");
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
    let asked = interview(&mut person, None).expect("answers enough");
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
    let asked = interview(&mut person, None).expect("answers enough");
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
    let asked = interview(&mut person, None).expect("answers enough");
    assert!(
        person.said.contains("Needed: the unit. 15 in?"),
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
    let asked = interview(&mut person, None).expect("answers enough");
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
    let asked = interview(&mut person, None).expect("answers enough");
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
    let asked = interview(&mut person, None).expect("answers enough");
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
    let asked = interview(&mut person, Some(&text)).expect("answers enough");
    assert!(!person.said.contains("What state is it in"));
    assert_eq!(decoded(&asked).lathe.name, LatheAnswers::default().name);
}

#[test]
fn when_the_answers_end_so_do_the_questions() {
    let mut person = Scripted::new(DRAWING);
    person.ends_after = 7;
    assert!(matches!(interview(&mut person, None), Err(Ended::Early)));
}
