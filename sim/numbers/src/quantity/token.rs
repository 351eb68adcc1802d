//! Cuts shop notation into numbers, words and marks, each with its place in the text.

use std::ops::Range;

use super::fault::Fault;

/// What a piece of text is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Sort {
    /// A decimal number without sign; `whole` when it has neither point nor exponent.
    Number { value: f64, whole: bool },
    /// A run of letters, with a trailing square (`mm2`, `in^2`).
    Word,
    /// A sign, one spelling for each: `+ - ± / : % ° ' "`.
    Mark(char),
}

/// A piece of text and its byte range.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Token {
    pub sort: Sort,
    pub at: Range<usize>,
}

/// Cuts the whole text.
pub(super) fn cut(text: &str) -> Result<Vec<Token>, Fault> {
    let mut tokens = Vec::new();
    let mut from = 0;
    while let Some(first) = text[from..].chars().next() {
        let rest = &text[from..];
        let next = rest[first.len_utf8()..].chars().next();
        let starts_number = first.is_ascii_digit()
            || (first == '.' && next.is_some_and(|digit| digit.is_ascii_digit()));
        let (sort, length) = if first.is_whitespace() {
            from += first.len_utf8();
            continue;
        } else if let Some(part) = vulgar(first) {
            // `3½` and `3 ½` are one number.
            if let Some(Token {
                sort:
                    Sort::Number {
                        value,
                        whole: whole @ true,
                    },
                at,
            }) = tokens.last_mut()
            {
                *value += part;
                *whole = false;
                at.end = from + first.len_utf8();
                from = at.end;
                continue;
            }
            let number = Sort::Number {
                value: part,
                whole: false,
            };
            (number, first.len_utf8())
        } else if starts_number {
            number(rest, from)?
        } else if first.is_alphabetic() && first != 'º' {
            (Sort::Word, word(rest))
        } else {
            mark(rest, first, from)?
        };
        tokens.push(Token {
            sort,
            at: from..from + length,
        });
        from += length;
        // "0.080 in." carries the full stop of an abbreviation.
        if sort == Sort::Word
            && text[from..].starts_with('.')
            && !text[from + 1..].starts_with(|next: char| next.is_ascii_digit())
        {
            from += 1;
        }
    }
    Ok(in_words(text, tokens))
}

/// What the shop says in words: `about` before a number is left out, as the number is what is
/// known; `plus or minus` is its sign; `half a` is a number.
fn in_words(text: &str, tokens: Vec<Token>) -> Vec<Token> {
    let said = |at: usize, word: &str| {
        tokens.get(at).is_some_and(|token| {
            token.sort == Sort::Word && text[token.at.clone()].eq_ignore_ascii_case(word)
        })
    };
    let mut made = Vec::with_capacity(tokens.len());
    let mut at = 0;
    while let Some(token) = tokens.get(at) {
        let (sort, pieces) = if said(at, "plus") && said(at + 1, "or") && said(at + 2, "minus") {
            (Some(Sort::Mark('±')), 3)
        } else if said(at, "half") && (said(at + 1, "a") || said(at + 1, "an")) {
            let half = Sort::Number {
                value: 0.5,
                whole: false,
            };
            (Some(half), 2)
        } else if at == 0
            && ["about", "approx", "roughly"]
                .iter()
                .any(|word| said(at, word))
        {
            (None, 1)
        } else {
            (Some(token.sort), 1)
        };
        let end = tokens[at + pieces - 1].at.end;
        made.extend(sort.map(|sort| Token {
            sort,
            at: token.at.start..end,
        }));
        at += pieces;
    }
    made
}

/// A fraction written as one character.
fn vulgar(c: char) -> Option<f64> {
    Some(match c {
        '½' => 0.5,
        '¼' => 0.25,
        '¾' => 0.75,
        '⅛' => 0.125,
        '⅜' => 0.375,
        '⅝' => 0.625,
        '⅞' => 0.875,
        _ => return None,
    })
}

fn digits(text: &str) -> usize {
    text.bytes().take_while(u8::is_ascii_digit).count()
}

fn number(rest: &str, from: usize) -> Result<(Sort, usize), Fault> {
    let mut length = digits(rest);
    let mut whole = true;
    let mut comma = None;
    if rest[length..].starts_with('.') {
        whole = false;
        length += 1;
        length += digits(&rest[length..]);
    }
    let behind = digits(rest[length..].strip_prefix(',').unwrap_or(""));
    if whole && length > 0 && behind > 0 {
        // `0,3` and `50,8` are decimals; `1,200` may be twelve hundred as well.
        let parts_thousands = behind == 3 && !rest.starts_with('0');
        if parts_thousands || rest[length + 1 + behind..].starts_with([',', '.']) {
            return Err(Fault {
                at: from + length..from + length + 1,
                message: "this comma may part thousands or decimals".into(),
                hint: "write decimals with a point, thousands without a mark: `0.5`, `1200`".into(),
            });
        }
        comma = Some(length);
        whole = false;
        length += 1 + behind;
    }
    if rest[length..].starts_with(['e', 'E']) {
        let sign = usize::from(rest[length + 1..].starts_with(['+', '-']));
        let power = digits(&rest[length + 1 + sign..]);
        if power > 0 {
            whole = false;
            length += 1 + sign + power;
        }
    }
    let value = match comma {
        None => rest[..length].parse::<f64>(),
        Some(at) => format!("{}.{}", &rest[..at], &rest[at + 1..length]).parse(),
    };
    match value {
        Ok(value) if value.is_finite() => Ok((Sort::Number { value, whole }, length)),
        _ => Err(Fault {
            at: from..from + length,
            message: "this number is too large to compute with".into(),
            hint: "write it with fewer digits, in a larger unit".into(),
        }),
    }
}

fn word(rest: &str) -> usize {
    let length = rest
        .find(|letter: char| !letter.is_alphabetic() || letter == 'º')
        .unwrap_or(rest.len());
    let squared = ["in", "inch", "ft", "mm", "cm", "m"]
        .iter()
        .any(|unit| rest[..length].eq_ignore_ascii_case(unit));
    let square = ["^2", "²", "2"]
        .into_iter()
        .find(|square| rest[length..].starts_with(square));
    match square {
        Some(square) if squared => {
            let end = length + square.len();
            let ends = !rest[end..].starts_with(|next: char| next.is_ascii_digit() || next == '.');
            if ends { end } else { length }
        }
        _ => length,
    }
}

fn mark(rest: &str, first: char, from: usize) -> Result<(Sort, usize), Fault> {
    for pair in ["+/-", "+-", "+\u{2212}", "+/\u{2212}"] {
        if rest.starts_with(pair) {
            return Ok((Sort::Mark('±'), pair.len()));
        }
    }
    let same = match first {
        '+' | '-' | '±' | '/' | ':' | '%' | '°' | '\'' | '"' => first,
        '\u{2212}' | '\u{2013}' => '-',
        '\u{2044}' => '/',
        'º' => '°',
        '\u{2032}' | '\u{2019}' => '\'',
        '\u{2033}' | '\u{201d}' | '\u{201c}' => '"',
        _ => {
            let hint = match first {
                ',' => "write decimals with a point, thousands without a mark: `0.5`, `1200`",
                '⅓' | '⅔' | '⅙' | '⅚' => "write the fraction with a slash: `1/3`, `1-2/3`",
                _ => "a quantity is a number and a unit, such as `3/4 in` or `20 lbf`",
            };
            return Err(Fault {
                at: from..from + first.len_utf8(),
                message: format!("`{}` has no place here", first.escape_debug()),
                hint: hint.into(),
            });
        }
    };
    Ok((Sort::Mark(same), first.len_utf8()))
}

pub(super) fn finite(value: f64, at: &Range<usize>) -> Result<f64, Fault> {
    if value.is_finite() {
        Ok(value)
    } else {
        Err(Fault {
            at: at.clone(),
            message: "this number is too large to compute with".into(),
            hint: "check the digits and the unit".into(),
        })
    }
}
