//! Moves in shop words, one a line.

use std::ops::Range;

use super::script::{Move, Push, Spoken};
use crate::quantity::{Dimension, Fault, Force, INCH, Length, Pressure, Quantity, field_unit};
use crate::scenario::decode::reading::{Reading, nearest};
use crate::scenario::{Diagnostic, Severity, Toward};
use crate::setup::Feed;

/// Travel beyond which no lathe of this kind goes, m (200 in).
const LONGEST: f64 = 5.08;
/// Push beyond which no hand goes, N (some 220 lbf).
const HARDEST: f64 = 1000.0;
/// Pressure beyond which no shop air goes, Pa (20 bar, some 290 psi).
const HIGHEST: f64 = 2e6;

/// Of the most that a move may have, so much is usual, and of a dial or a push so much travel, m
/// (1 in): a number without a unit that is more is not taken.
const USUAL: f64 = 0.3;
const FINE: f64 = INCH;

/// What a line begins with.
#[derive(Clone, Copy, PartialEq)]
enum Verb {
    Carriage,
    Dial(Toward),
    TopSlide(Toward),
    Bump,
    AirOn,
    Reverse,
    /// Nothing more belongs on the line.
    Plain(Move),
}

/// Phrases without "the"; a longer one stands before a shorter that begins alike.
const PHRASES: &[(&str, Verb)] = &[
    ("carriage", Verb::Carriage),
    ("dial in", Verb::Dial(Toward::Away)),
    ("dial out", Verb::Dial(Toward::Operator)),
    ("top slide in", Verb::TopSlide(Toward::Away)),
    ("top slide out", Verb::TopSlide(Toward::Operator)),
    ("bump slide", Verb::Bump),
    ("reverse", Verb::Reverse),
    ("zero readout", Verb::Plain(Move::ZeroReadout)),
    ("zero dial", Verb::Plain(Move::ZeroDial)),
    ("lock slide", Verb::Plain(Move::SlideLock { locked: true })),
    (
        "unlock slide",
        Verb::Plain(Move::SlideLock { locked: false }),
    ),
    (
        "lock top slide",
        Verb::Plain(Move::TopSlideLock { locked: true }),
    ),
    (
        "unlock top slide",
        Verb::Plain(Move::TopSlideLock { locked: false }),
    ),
    ("lock shoe", Verb::Plain(Move::ShoeLock { locked: true })),
    ("unlock shoe", Verb::Plain(Move::ShoeLock { locked: false })),
    ("clamp foot", Verb::Plain(Move::Foot { clamped: true })),
    ("let foot go", Verb::Plain(Move::Foot { clamped: false })),
    ("couple", Verb::Plain(Move::Couple)),
    ("uncouple", Verb::Plain(Move::Uncouple)),
    (
        "cross feed in",
        Verb::Plain(Move::CrossFeed { engaged: true }),
    ),
    (
        "cross feed out",
        Verb::Plain(Move::CrossFeed { engaged: false }),
    ),
    ("air on", Verb::AirOn),
    ("air off", Verb::Plain(Move::AirOff)),
];

/// The ends of the bed.
const SIDES: &[(&str, Feed)] = &[
    ("headstock", Feed::Headstock),
    ("chuck", Feed::Headstock),
    ("tailstock", Feed::Tailstock),
];

/// Where a hand pushes the slide; a longer phrase stands before a shorter that begins alike.
const PUSHED: &[(&str, Toward)] = &[
    ("toward operator", Toward::Operator),
    ("towards operator", Toward::Operator),
    ("away from operator", Toward::Away),
    ("away", Toward::Away),
];

/// Every line that may be written: the words that it begins with, and what follows them. There
/// `[ ]` may be left out, `( | )` is one of several, and a `LENGTH`, `FORCE` or `PRESSURE` is a
/// number with its unit.
pub fn lines() -> Vec<(&'static str, String)> {
    let any = |all: Vec<&str>| format!("({})", all.join(" | "));
    let follows = |verb| match verb {
        Verb::Carriage => {
            let sides = any(SIDES.iter().map(|(side, _)| *side).collect());
            format!("LENGTH [toward {sides}]")
        }
        Verb::Dial(_) | Verb::TopSlide(_) => "LENGTH".to_owned(),
        Verb::Bump => {
            let pushed = any(PUSHED.iter().map(|(pushed, _)| *pushed).collect());
            format!("{pushed} [(by LENGTH | with FORCE)]")
        }
        Verb::AirOn => "PRESSURE".to_owned(),
        Verb::Reverse | Verb::Plain(_) => String::new(),
    };
    let phrases = PHRASES.iter();
    phrases
        .map(|(phrase, verb)| (*phrase, follows(*verb)))
        .collect()
}

/// A word of a line, in small letters, and its place in the text.
struct Word {
    word: String,
    at: Range<usize>,
}

/// The moves being read: a line may lean on those before it.
pub(super) struct Course<'a> {
    reading: &'a Reading<'a>,
    has_air: bool,
    /// Which way the carriage went last.
    last: Option<Feed>,
    /// Where `reverse` was said since.
    reversed: Option<Range<usize>>,
}

impl<'a> Course<'a> {
    pub fn new(reading: &'a Reading<'a>, has_air: bool) -> Self {
        Self {
            reading,
            has_air,
            last: None,
            reversed: None,
        }
    }

    /// Reads every line of a part of the text.
    pub fn read(mut self, range: Range<usize>) -> Vec<Spoken> {
        let text = self.reading.source.text;
        let mut spoken = Vec::new();
        let mut from = range.start;
        let first_line = 1 + text[..from].matches('\n').count();
        let mut any = false;
        let lines = text[range.clone()].split_inclusive('\n');
        for (line_number, line) in (first_line..).zip(lines) {
            let plain = line.split('#').next().unwrap_or("");
            let words = words(plain, from);
            if let (Some(first), Some(last)) = (words.first(), words.last()) {
                any = true;
                let span = first.at.start..last.at.end;
                if let Some(action) = self.line(&words, span.clone()) {
                    spoken.push(Spoken {
                        action,
                        words: text[span.clone()].to_owned(),
                        span,
                        line: line_number,
                    });
                }
            }
            from += line.len();
        }
        if !any {
            self.reading.error(
                range.start.saturating_sub(1)..range.start,
                "there are no moves",
                "nothing follows",
                "write one move a line, such as `carriage 3 in toward the headstock`",
            );
        } else if let Some(at) = self.reversed {
            self.reading.report(
                Severity::Warning,
                at,
                "no carriage move follows this `reverse`",
                "does nothing",
                "add the move, such as `carriage 1 in`, or leave the line out",
            );
        }
        spoken
    }

    fn line(&mut self, words: &[Word], whole: Range<usize>) -> Option<Move> {
        let matched = PHRASES.iter().find_map(|(phrase, verb)| {
            let rest = after(words, phrase)?;
            Some((*phrase, *verb, rest))
        });
        let Some((phrase, verb, rest)) = matched else {
            self.unknown(words, whole);
            return None;
        };
        match verb {
            Verb::Carriage => self.carriage(rest, whole),
            Verb::Dial(toward) => {
                let by = self.length(rest, &whole, &format!("{phrase} 0.010 in"))?;
                Some(Move::Dial { toward, by })
            }
            Verb::TopSlide(toward) => {
                let by = self.length(rest, &whole, &format!("{phrase} 0.010 in"))?;
                Some(Move::TopSlide { toward, by })
            }
            Verb::Bump => self.bump(rest, whole),
            Verb::AirOn => self.air_on(rest, whole),
            Verb::Reverse => {
                self.nothing_more(rest);
                if self.last.is_none() {
                    self.reading.error(
                        whole,
                        "nothing to reverse: the carriage hasn't moved yet",
                        "too early",
                        "say which way in the first carriage move: `carriage 3 in toward the \
                         headstock`",
                    );
                } else {
                    self.reversed = Some(whole);
                }
                None
            }
            Verb::Plain(action) => {
                if action == Move::AirOff && !self.has_air {
                    self.no_cylinder(whole);
                }
                self.nothing_more(rest).then_some(action)
            }
        }
    }

    fn unknown(&self, words: &[Word], whole: Range<usize>) {
        // As many words as the phrase has, so that what follows doesn't blur the likeness.
        let said = |count: usize| -> String {
            let words: Vec<_> = words.iter().filter(|w| w.word != "the").collect();
            let first: Vec<_> = words.iter().take(count).map(|w| w.word.as_str()).collect();
            first.join(" ")
        };
        let mut best: Option<(f64, &str)> = None;
        for (phrase, _) in PHRASES {
            let said = said(phrase.split(' ').count());
            let likeness = strsim::normalized_damerau_levenshtein(&said, phrase);
            if nearest(&said, std::iter::once(*phrase)).is_some()
                && best.is_none_or(|(most, _)| likeness > most)
            {
                best = Some((likeness, phrase));
            }
        }
        // `lock` alone leaves open what: every move that begins so.
        let begun: Vec<_> = PHRASES
            .iter()
            .filter(|(phrase, _)| phrase.starts_with(&format!("{} ", said(usize::MAX))))
            .map(|(phrase, _)| format!("`{phrase}`"))
            .collect();
        let hint = match best {
            _ if !begun.is_empty() => format!("did you mean {}?", begun.join(" or ")),
            Some((_, phrase)) => format!("did you mean `{phrase}`?"),
            None => {
                let all: Vec<_> = PHRASES.iter().map(|(phrase, _)| *phrase).collect();
                format!("the moves are: {}", all.join(", "))
            }
        };
        self.reading
            .error(whole, "this is no move I know", "unknown move", hint);
    }

    /// Whether the line ends here; if not, says so.
    fn nothing_more(&self, rest: &[Word]) -> bool {
        let (Some(first), Some(last)) = (rest.first(), rest.last()) else {
            return true;
        };
        self.reading.error(
            first.at.start..last.at.end,
            "nothing more belongs on this line",
            "too much",
            "one move a line; a remark goes behind a #",
        );
        false
    }

    fn carriage(&mut self, rest: &[Word], whole: Range<usize>) -> Option<Move> {
        let split = rest
            .iter()
            .position(|w| matches!(w.word.as_str(), "toward" | "towards"))
            .or_else(|| rest.iter().position(|w| side(&w.word).is_some()))
            .unwrap_or(rest.len());
        let (amount, direction) = rest.split_at(split);
        let said = self.direction(direction);
        let reversed = self.reversed.take();
        let meant = self.last.map(|last| match (reversed.is_some(), last) {
            (false, last) => last,
            (true, Feed::Headstock) => Feed::Tailstock,
            (true, Feed::Tailstock) => Feed::Headstock,
        });
        let toward = match (said, meant) {
            (Err(()), _) => None,
            (Ok(Some(said)), Some(meant)) if reversed.is_some() && said != meant => {
                self.reading.error(
                    whole.clone(),
                    "`reverse` before this says the other way",
                    "which of the two?",
                    "leave out the `reverse`, or the direction here",
                );
                None
            }
            (Ok(Some(said)), _) => Some(said),
            (Ok(None), Some(meant)) => Some(meant),
            (Ok(None), None) => {
                self.reading.error(
                    whole.clone(),
                    "which way does the carriage go?",
                    "no direction yet",
                    "add `toward the headstock` or `toward the tailstock`",
                );
                None
            }
        };
        // A faulty direction must not make every later line look wrong.
        self.last = toward.or(meant).or(Some(Feed::Headstock));
        let example = "carriage 3 in toward the headstock";
        let travel = self.amount::<Length>(amount, &whole, example, [USUAL * LONGEST, LONGEST]);
        Some(Move::Carriage {
            toward: toward?,
            travel: travel?,
        })
    }

    /// `toward the headstock`; nothing when nothing is said.
    fn direction(&self, words: &[Word]) -> Result<Option<Feed>, ()> {
        let plain: Vec<_> = words
            .iter()
            .filter(|w| !matches!(w.word.as_str(), "the" | "toward" | "towards"))
            .collect();
        match plain.as_slice() {
            [] if words.is_empty() => Ok(None),
            [one] if side(&one.word).is_some() => Ok(side(&one.word)),
            _ => {
                let (first, last) = match (plain.first(), plain.last()) {
                    (Some(first), Some(last)) => (first.at.start, last.at.end),
                    _ => (words[0].at.start, words[words.len() - 1].at.end),
                };
                self.reading.error(
                    first..last,
                    "the carriage goes toward the headstock or toward the tailstock",
                    "which end?",
                    "write `toward the headstock` or `toward the tailstock`",
                );
                Err(())
            }
        }
    }

    fn bump(&self, rest: &[Word], whole: Range<usize>) -> Option<Move> {
        let way = PUSHED
            .iter()
            .find_map(|(phrase, toward)| Some((*toward, after(rest, phrase)?)));
        let Some((toward, rest)) = way else {
            self.reading.error(
                rest.first()
                    .map_or(whole.clone(), |w| w.at.start..whole.end),
                "which way is the slide pushed?",
                "no direction",
                "write `bump slide toward the operator` or `bump slide away`",
            );
            return None;
        };
        let push = match rest {
            [] => Push::ToFace,
            [by, rest @ ..] if by.word == "by" => {
                Push::By(self.length(rest, &whole, "bump slide away by 0.100 in")?)
            }
            [with, rest @ ..] if with.word == "with" => self.force(rest, &whole)?,
            rest => self.force(rest, &whole)?,
        };
        Some(Move::Bump { toward, push })
    }

    fn force(&self, rest: &[Word], whole: &Range<usize>) -> Option<Push> {
        let example = "bump slide away with 30 lbf";
        self.amount::<Force>(rest, whole, example, [USUAL * HARDEST, HARDEST])
            .map(Push::With)
    }

    fn air_on(&self, rest: &[Word], whole: Range<usize>) -> Option<Move> {
        let limits = [USUAL * HIGHEST, HIGHEST];
        let pressure = self.amount::<Pressure>(rest, &whole, "air on 60 psi", limits);
        if !self.has_air {
            self.no_cylinder(whole);
            return None;
        }
        Some(Move::AirOn {
            pressure: pressure?,
        })
    }

    fn no_cylinder(&self, at: Range<usize>) {
        self.reading.error(
            at,
            "there is no cylinder for the air to work on",
            "no [cylinder] in the head",
            "add to the head a table [cylinder] with bore = \"1-1/16 in\" and toward = \"toward \
             the operator\"",
        );
    }

    fn length(&self, words: &[Word], whole: &Range<usize>, example: &str) -> Option<f64> {
        self.amount::<Length>(words, whole, example, [FINE, LONGEST])
    }

    /// An amount above zero and up to the most, in SI, after what is usual.
    fn amount<Q: Quantity>(
        &self,
        words: &[Word],
        whole: &Range<usize>,
        example: &str,
        [usual, most]: [f64; 2],
    ) -> Option<f64> {
        let (Some(first), Some(last)) = (words.first(), words.last()) else {
            self.reading.error(
                whole.clone(),
                format!("a {} is wanted here", Q::NAME),
                "how much?",
                format!("write it like this: {example}"),
            );
            return None;
        };
        let at = first.at.start..last.at.end;
        let text = &self.reading.source.text[at.clone()];
        let said = Q::parse(text);
        if said
            .as_ref()
            .is_err_and(|fault| fault.is_of_a_bare_number())
            && let Some(taken) = self.bare::<Q>(text, &at, whole, usual)
        {
            return Some(taken);
        }
        match said {
            Ok(q) if q.si() > 0.0 && q.si() <= most => Some(q.si()),
            Ok(q) => {
                let (message, hint) = if q.si() > most {
                    let units = self.reading.units.get();
                    (
                        format!("no hand moves it by {}", q.show(units)),
                        format!(
                            "at most {}: check the digits and the unit",
                            Q::from_si(most).show(units)
                        ),
                    )
                } else {
                    (
                        format!("this {} is not above zero", Q::NAME),
                        match Q::DIMENSION {
                            Dimension::Pressure => "`air off` is for none",
                            _ => "the direction is said in words, the amount without a sign",
                        }
                        .to_owned(),
                    )
                };
                self.reading.error(at, message, "out of range", hint);
                None
            }
            Err(Fault {
                at: place,
                message,
                hint,
            }) => {
                let place = if place.is_empty() {
                    at
                } else {
                    at.start + place.start..at.start + place.end
                };
                self.reading.error(place, message, "here", hint);
                None
            }
        }
    }
}

impl Course<'_> {
    /// A usual number without a unit, in its field's, which is noted.
    fn bare<Q: Quantity>(
        &self,
        text: &str,
        at: &Range<usize>,
        whole: &Range<usize>,
        usual: f64,
    ) -> Option<f64> {
        let unit = field_unit(Q::DIMENSION, self.reading.family()?);
        let said = format!("{text} {unit}");
        let taken = Q::parse(&said).ok()?.si();
        if taken <= 0.0 || taken > usual {
            return None;
        }
        let source = self.reading.source;
        let first = source.text[whole.clone()].split_whitespace().next()?;
        let note = Diagnostic::bare(source, at.clone(), first, &said);
        self.reading.note(note);
        Some(taken)
    }
}

fn side(word: &str) -> Option<Feed> {
    let mut sides = SIDES.iter();
    sides.find_map(|(side, feed)| (*side == word).then_some(*feed))
}

/// The words of a line; `from` is where it begins in the text.
fn words(line: &str, from: usize) -> Vec<Word> {
    let mut words = Vec::new();
    let mut start = None;
    for (index, letter) in line.char_indices().chain([(line.len(), ' ')]) {
        match (letter.is_whitespace(), start) {
            (false, None) => start = Some(index),
            (true, Some(first)) => {
                words.push(Word {
                    word: line[first..index].to_lowercase(),
                    at: from + first..from + index,
                });
                start = None;
            }
            _ => {}
        }
    }
    words
}

/// What follows a phrase at the beginning of some words, "the" left aside; nothing when they
/// don't begin so.
fn after<'w>(words: &'w [Word], phrase: &str) -> Option<&'w [Word]> {
    let mut rest = words;
    for wanted in phrase.split(' ') {
        while let [first, more @ ..] = rest
            && first.word == "the"
        {
            rest = more;
        }
        let [first, more @ ..] = rest else {
            return None;
        };
        if first.word != wanted {
            return None;
        }
        rest = more;
    }
    Some(rest)
}
