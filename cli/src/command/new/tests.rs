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
    answers.push(("All slack", &["0.080", "0.080 in"]));
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
