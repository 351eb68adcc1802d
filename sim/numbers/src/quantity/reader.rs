//! The grammar of shop notation: number, unit over unit, which side is meant.

use std::ops::Range;

use super::fault::Fault;
use super::token::finite;
use super::token::{Sort, Token};
use super::unit::{self, Kind};

/// A unit as it stands in the text.
#[derive(Clone, Debug)]
pub(super) struct Unit {
    pub kind: Kind,
    /// SI in one.
    pub si: f64,
    pub at: Range<usize>,
    /// Several units make up one number, as in `1 deg 47 min`.
    pub compound: bool,
}

/// How the taper behind a number is meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Sense {
    PerSide,
    Included,
    OnDiameter,
}

/// A number with what was written behind it.
#[derive(Clone, Debug)]
pub(super) enum Amount {
    Bare(f64),
    Of(f64, Unit),
    /// `1:16`.
    Proportion(f64, f64),
}

/// One quantity as read, before it is known to be of the wanted dimension.
#[derive(Clone, Debug)]
pub(super) struct Reading {
    pub amount: Amount,
    pub sense: Option<(Sense, Range<usize>)>,
    /// The first sign, where there is one.
    pub sign: Option<char>,
    /// Number, unit and sense.
    pub at: Range<usize>,
    /// The number alone.
    pub number: Range<usize>,
}

/// Walks along the pieces of a text.
pub(super) struct Reader<'t> {
    text: &'t str,
    tokens: &'t [Token],
    /// A slash between numbers parts the two ends of a band unless it is tight.
    pub band: bool,
}

impl<'t> Reader<'t> {
    /// Over pieces of `text`, all or some.
    pub fn new(text: &'t str, tokens: &'t [Token]) -> Self {
        Self {
            text,
            tokens,
            band: false,
        }
    }

    fn sort(&self, ahead: usize) -> Option<Sort> {
        self.tokens.get(ahead).map(|token| token.sort)
    }

    /// The next piece when it is this mark, which is then passed.
    pub fn mark(&mut self, mark: char) -> Option<Range<usize>> {
        (self.sort(0) == Some(Sort::Mark(mark))).then(|| self.pass())
    }

    /// Whether the next piece is this word, which is then passed.
    pub fn word(&mut self, word: &str) -> bool {
        let found = self.is_word(0, &[word]);
        if found {
            self.pass();
        }
        found
    }

    /// Whether the piece so far ahead is this word.
    fn is_word(&self, ahead: usize, words: &[&str]) -> bool {
        self.tokens.get(ahead).is_some_and(|token| {
            token.sort == Sort::Word
                && words
                    .iter()
                    .any(|word| self.text[token.at.clone()].eq_ignore_ascii_case(word))
        })
    }

    fn pass(&mut self) -> Range<usize> {
        let at = self.tokens[0].at.clone();
        self.tokens = &self.tokens[1..];
        at
    }

    /// Whether all has been read.
    pub fn done(&self) -> bool {
        self.tokens.is_empty()
    }

    /// A fault at the next piece, or at the end of the text.
    pub fn fault(&self, wanted: &str, hint: &str) -> Fault {
        match self.tokens.first() {
            Some(token) => Fault {
                at: token.at.clone(),
                message: format!("{wanted}, not `{}`", &self.text[token.at.clone()]),
                hint: hint.into(),
            },
            None => {
                let end = self.text.trim_end().len();
                Fault {
                    at: end..end,
                    message: wanted.into(),
                    hint: hint.into(),
                }
            }
        }
    }

    /// Refuses anything left over.
    pub fn end(&self) -> Result<(), Fault> {
        let Some(token) = self.tokens.first() else {
            return Ok(());
        };
        let hint = match token.sort {
            Sort::Mark('-') | Sort::Number { .. } => {
                "one number and its unit are wanted; a mixed number is written `1-1/4` or `1 1/4`"
            }
            Sort::Mark('±') => "no spread is wanted here: leave it out",
            _ => "one number and its unit are wanted",
        };
        Err(Fault {
            at: token.at.start..self.tokens[self.tokens.len() - 1].at.end,
            message: "the quantity ends before this".into(),
            hint: hint.into(),
        })
    }

    /// A number with its unit and sense.
    pub fn reading(&mut self) -> Result<Reading, Fault> {
        let (value, sign, number) = self.value()?;
        let mut end = number.end;
        let amount = if self.mark(':').is_some() {
            let (under, _, at) = self.value()?;
            if under == 0.0 {
                return Err(Fault {
                    at,
                    message: "a taper over no length".into(),
                    hint: "write change of diameter, then length: `1:16`".into(),
                });
            }
            end = at.end;
            Amount::Proportion(value, under)
        } else {
            match self.unit()? {
                None => Amount::Bare(value),
                Some(unit) if sign.is_none() && value.fract() == 0.0 && self.is_one_in(&unit) => {
                    let (under, _, at) = self.value()?;
                    end = at.end;
                    Amount::Proportion(value, under)
                }
                Some(unit) => {
                    let (value, unit) = self.finer_angles(value, sign, unit)?;
                    end = unit.at.end;
                    Amount::Of(value, unit)
                }
            }
        };
        let sense = self.sense();
        if let Some((_, at)) = &sense {
            end = at.end;
        }
        // The total run-out of an indicator: a run-out is that anyway.
        if self.is_word(0, &["TIR"]) {
            end = self.pass().end;
        }
        Ok(Reading {
            amount,
            sense,
            sign,
            at: number.start..end,
            number,
        })
    }

    /// A number: decimal, fraction or mixed, with its sign.
    fn value(&mut self) -> Result<(f64, Option<char>, Range<usize>), Fault> {
        let start = self.tokens.first().map(|token| token.at.start);
        let sign = match self.sort(0) {
            Some(Sort::Mark(sign @ ('+' | '-'))) => {
                self.pass();
                Some(sign)
            }
            _ => None,
        };
        let Some(Sort::Number { mut value, whole }) = self.sort(0) else {
            return Err(self.fault(
                "a number is wanted here",
                "a quantity is a number and a unit, such as `0.065 in`, `3/4 in/ft` or `20 lbf`",
            ));
        };
        let first = self.pass();
        let mut end = first.end;
        if let Some((fraction, at)) = self.fraction_part(&first, whole)? {
            value += fraction;
            end = at.end;
        } else if let Some((under, at)) = self.denominator(whole, &first)? {
            value /= under;
            end = at.end;
        }
        let at = start.unwrap_or(first.start)..end;
        let value = if sign == Some('-') { -value } else { value };
        Ok((finite(value, &at)?, sign, at))
    }

    /// The fraction of a mixed number: ` 1/4` or `-1/4`.
    fn fraction_part(
        &mut self,
        before: &Range<usize>,
        whole: bool,
    ) -> Result<Option<(f64, Range<usize>)>, Fault> {
        let hyphen = match self.tokens.first() {
            Some(token) if token.sort == Sort::Mark('-') => {
                let tight = token.at.start == before.end
                    && self
                        .tokens
                        .get(1)
                        .is_some_and(|next| next.at.start == token.at.end);
                if !tight {
                    return Ok(None);
                }
                1
            }
            _ => 0,
        };
        let (
            Some(Sort::Number {
                value: over,
                whole: true,
            }),
            Some(Sort::Mark('/')),
            Some(Sort::Number {
                value: under,
                whole: true,
            }),
        ) = (
            self.sort(hyphen),
            self.sort(hyphen + 1),
            self.sort(hyphen + 2),
        )
        else {
            return Ok(None);
        };
        let at = self.tokens[hyphen].at.start..self.tokens[hyphen + 2].at.end;
        if !whole || over >= under {
            return Err(Fault {
                at: before.start..at.end,
                message: "this is no mixed number".into(),
                hint: "a whole number and a fraction smaller than one: `1-1/4` or `1 1/4`".into(),
            });
        }
        self.tokens = &self.tokens[hyphen + 3..];
        Ok(Some((over / under, at)))
    }

    /// What stands under the line of a fraction.
    fn denominator(
        &mut self,
        whole: bool,
        over: &Range<usize>,
    ) -> Result<Option<(f64, Range<usize>)>, Fault> {
        let (
            Some(Sort::Mark('/')),
            Some(Sort::Number {
                value: under,
                whole: under_whole,
            }),
        ) = (self.sort(0), self.sort(1))
        else {
            return Ok(None);
        };
        let at = self.tokens[1].at.clone();
        let tight = at.start - over.end == self.tokens[0].at.len();
        if self.band && !(tight && whole && under_whole) {
            return Ok(None);
        }
        if !whole || !under_whole || under == 0.0 {
            return Err(Fault {
                at: over.start..at.end,
                message: "this is no fraction".into(),
                hint: "write one whole number over another, such as `3/4`, or a decimal".into(),
            });
        }
        self.tokens = &self.tokens[2..];
        Ok(Some((under, at)))
    }

    fn sense(&mut self) -> Option<(Sense, Range<usize>)> {
        let (sense, pieces) = if self.is_word(0, &["per"]) && self.is_word(1, &["side"]) {
            (Sense::PerSide, 2)
        } else if self.is_word(0, &["included"]) {
            (Sense::Included, 1)
        } else if self.is_word(0, &["on"]) && self.is_word(1, &["diameter", "dia"]) {
            (Sense::OnDiameter, 2)
        } else {
            return None;
        };
        let at = self.tokens[0].at.start..self.tokens[pieces - 1].at.end;
        self.tokens = &self.tokens[pieces..];
        Some((sense, at))
    }

    /// Whether what was read so far is the beginning of `1 in 10`: `in` and a number, no more.
    fn is_one_in(&self, unit: &Unit) -> bool {
        let word = &self.text[unit.at.clone()];
        let whole =
            matches!(self.sort(0), Some(Sort::Number { value, whole: true }) if value > 1.0);
        word == "in" && whole && self.tokens.len() == 1
    }

    /// A unit, simple or one over another; none when the number stands bare.
    fn unit(&mut self) -> Result<Option<Unit>, Fault> {
        // `5/8 per foot`: of a taper nobody says of what.
        if self.is_word(0, &["per"]) && self.is_word(1, &["foot", "ft"]) {
            let at = self.tokens[0].at.start..self.tokens[1].at.end;
            self.tokens = &self.tokens[2..];
            return Ok(Some(Unit {
                kind: Kind::Taper,
                si: unit::INCH_PER_FOOT,
                at,
                compound: false,
            }));
        }
        if self.is_word(0, &["per", "included", "on", "to"]) {
            return Ok(None);
        }
        let Some((kind, si, mut at)) = self.simple_unit()? else {
            return Ok(None);
        };
        let per = self.is_word(0, &["per"]) && !self.is_word(1, &["side"]);
        // In a band, `+0.5 thou / -1 thou` has a slash that is no division.
        let slash = self.sort(0) == Some(Sort::Mark('/'))
            && !(self.band && matches!(self.sort(1), Some(Sort::Mark(_) | Sort::Number { .. })));
        let mut unit = Unit {
            kind,
            si,
            at: at.clone(),
            compound: false,
        };
        if !per && !slash {
            return Ok(Some(unit));
        }
        let line = self.pass();
        let mut many = 1.0;
        if let Some(Sort::Number { .. }) = self.sort(0) {
            let (value, _, number) = self.value()?;
            if value == 0.0 {
                return Err(Fault {
                    at: number,
                    message: "nothing can be divided by zero".into(),
                    hint: "write how much goes with one of it, such as `1-1/2 in/ft` or `N per \
                           0.01 mm`"
                        .into(),
                });
            }
            many = value;
        }
        let time = self
            .tokens
            .first()
            .filter(|token| token.sort == Sort::Word)
            .and_then(|token| unit::time(&self.text[token.at.clone()]));
        let (made, under) = if let Some(seconds) = time {
            at.end = self.pass().end;
            (unit::rate(kind), seconds)
        } else {
            let Some((under, si, under_at)) = self.simple_unit()? else {
                let line = self.text[line].to_string();
                return Err(self.fault(
                    &format!("a unit is wanted after `{line}`"),
                    "such as `in/ft`, `mm/m`, `lbf/thou` or `N per 0.01 mm`",
                ));
            };
            at.end = under_at.end;
            (unit::quotient(kind, under), si)
        };
        let Some(made) = made else {
            return Err(Fault {
                message: format!("`{}` measures nothing known here", &self.text[at.clone()]),
                at,
                hint: "such units are `in/ft`, `mm/m`, `lbf/thou`, `N/um`, `N/mm2`, `in/rev`, \
                       `m/min`"
                    .into(),
            });
        };
        unit.kind = made;
        unit.si = si / (many * under);
        unit.at = at;
        Ok(Some(unit))
    }

    fn simple_unit(&mut self) -> Result<Option<(Kind, f64, Range<usize>)>, Fault> {
        let Some(token) = self.tokens.first() else {
            return Ok(None);
        };
        let at = token.at.clone();
        let word = &self.text[at.clone()];
        let found = match token.sort {
            Sort::Mark('"') => Some((Kind::Length, unit::INCH)),
            Sort::Mark('%') => Some((Kind::Ratio, 0.01)),
            Sort::Mark('°') => unit::find("deg"),
            Sort::Mark('\'') => {
                return Err(Fault {
                    at,
                    message: "this mark may mean feet or minutes".into(),
                    hint: "write `ft`, `min`, or for inches `in`".into(),
                });
            }
            Sort::Word => {
                let found = unit::find(word);
                if found.is_none() {
                    return Err(Fault {
                        message: format!("`{word}` is no unit known here"),
                        at,
                        hint: unit::suggestion(word).unwrap_or_else(|| {
                            "units are `in`, `thou`, `mm`, `in/ft`, `mm/m`, `deg`, `lbf`, `N`, \
                             `psi`, `bar`"
                                .into()
                        }),
                    });
                }
                found
            }
            _ => None,
        };
        Ok(found.map(|(kind, si)| {
            self.pass();
            (kind, si, at)
        }))
    }

    /// Minutes and seconds that follow degrees; the sign of the first goes for all.
    fn finer_angles(
        &mut self,
        value: f64,
        sign: Option<char>,
        mut unit: Unit,
    ) -> Result<(f64, Unit), Fault> {
        let Kind::Angle(mut rank) = unit.kind else {
            return Ok((value, unit));
        };
        let mut total = value * unit.si;
        while rank < 2 && matches!(self.sort(0), Some(Sort::Number { .. })) {
            let (finer, _, number) = self.value()?;
            let (si, at, finer_rank) = match self.sort(0) {
                Some(Sort::Mark('\'')) => (std::f64::consts::PI / 10_800.0, self.pass(), 1),
                Some(Sort::Mark('"')) => (std::f64::consts::PI / 648_000.0, self.pass(), 2),
                _ => match self.simple_unit()? {
                    Some((Kind::Angle(finer), si, at)) => (si, at, finer),
                    _ => (0.0, number.clone(), 0),
                },
            };
            if finer_rank <= rank || finer_rank > 2 {
                return Err(Fault {
                    at: number.start..at.end,
                    message: "after degrees come minutes, then seconds".into(),
                    hint: "write `1 deg 47 min 24 sec`".into(),
                });
            }
            if finer >= 60.0 {
                return Err(Fault {
                    at: number,
                    message: "60 make one of the next".into(),
                    hint: "minutes and seconds after a larger unit are under 60".into(),
                });
            }
            total += if sign == Some('-') { -finer } else { finer } * si;
            rank = finer_rank;
            unit.at.end = at.end;
            unit.compound = true;
        }
        if !unit.compound {
            return Ok((value, unit));
        }
        unit.si = 1.0;
        Ok((total, unit))
    }
}
