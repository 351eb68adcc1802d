//! Job and lathe as forms: every key that the two files may have, what it is, what may stand there,
//! what is usual, and what stands there now.

use std::collections::BTreeMap;
use std::ops::Range;

use serde::{Deserialize, Serialize};
use serde_json::{Value, json};
use tautway_screens::keys::descriptions;
use tautway_sim::arithmetic::{log10, powi};
use tautway_sim::quantity::{Dimension, Units};
use tautway_sim::scenario::keys::{self, Key, Want};
use tautway_sim::scenario::template::{self, JobAnswers, LatheAnswers};
use tautway_sim::scenario::{Condition, Diagnostic, Severity, numbers};
use tautway_sim::shop_tests::Test;
use tautway_sim::shop_tests::notation::written;
use toml_edit::{Array, Document, DocumentMut, Item, TableLike};

use crate::edit;
use crate::names::NAMES;

/// Which of the two texts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum File {
    /// The job.
    Job,
    /// The lathe.
    Lathe,
}

/// A table of a file, where on the machine or the work it is, and which file.
const GROUPS: [(File, &str, &str); 19] = [
    (File::Job, "", "The job"),
    (File::Job, "work", "The work"),
    (File::Job, "tool", "The tool"),
    (File::Job, "passes", "The passes"),
    (File::Job, "gauge", "The gauge"),
    (File::Job, "pieces", "How many"),
    (File::Job, "preload", "Force on the slide"),
    (File::Job, "cutting", "How it cuts"),
    (File::Job, "thread", "The thread"),
    (File::Lathe, "", "The lathe"),
    (File::Lathe, "attachment", "Taper attachment"),
    (File::Lathe, "slide", "Cross-slide"),
    (File::Lathe, "spindle", "Headstock"),
    (File::Lathe, "posts", "Tool posts"),
    (File::Lathe, "readout", "Readout"),
    (File::Lathe, "top_slide", "Top slide"),
    (File::Lathe, "tailstock", "Tailstock"),
    (File::Lathe, "carriage", "Carriage"),
    (File::Lathe, "lead_screw", "Lead screw"),
];

/// Figures that are said, between one ten and the next.
const ROUND: [f64; 11] = [1.0, 1.2, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0];

/// A field.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Field {
    file: File,
    /// The key.
    path: String,
    /// The table it stands in, which is its place on the machine.
    group: String,
    words: String,
    /// `word`, `flag`, `list`, `text` or `number`.
    kind: &'static str,
    /// What may be chosen, or an example.
    words_known: Vec<String>,
    /// What is usual, in inches and in millimetres.
    usual: Option<[String; 2]>,
    /// What is taken where nothing stands, for each condition of a lathe, in inches and millimetres.
    left_out: Option<Vec<[String; 2]>>,
    /// What gives it.
    test: Option<&'static str>,
    required: bool,
    /// Whether a file to start from has it.
    common: bool,
}

/// Every field, in the order of the forms.
pub fn all() -> Vec<Field> {
    let of_job = template::job(&JobAnswers::default());
    let of_lathe = template::lathe(&LatheAnswers::default());
    let mut fields = Vec::new();
    for (file, keys, example) in [
        (File::Job, keys::job(), &of_job),
        (File::Lathe, keys::lathe(), &of_lathe),
    ] {
        let said = descriptions(example);
        let in_example = in_order(example);
        let place = |path: &str| in_example.iter().position(|one| one == path);
        let mut own: Vec<Field> = { keys.all.iter() }
            .filter(|key| is_field(key))
            .map(|key| {
                let required = key.required && is_in_needed(&key.path, &keys.all);
                field((file, key, required), &said, place(&key.path).is_some())
            })
            .collect();
        own.sort_by_key(|field| place(&field.path).unwrap_or(usize::MAX));
        fields.append(&mut own);
    }
    let place = |field: &Field| {
        let known = |(file, table, _): &(File, &str, _)| {
            (*file, *table) == (field.file, table_of(&field.path))
        };
        GROUPS.iter().position(known).unwrap_or(GROUPS.len())
    };
    fields.sort_by_key(place);
    fields
}

/// The keys of a text as they stand in it.
fn in_order(text: &str) -> Vec<String> {
    let mut found = Vec::new();
    if let Ok(document) = text.parse::<DocumentMut>() {
        gather(document.as_table(), "", &mut |path, _| found.push(path));
    }
    found
}

/// Whether every table that a key stands in has to be there.
fn is_in_needed(path: &str, all: &[Key]) -> bool {
    path.match_indices('.').all(|(at, _)| {
        let table = all.iter().find(|key| key.path == path[..at]);
        table.is_some_and(|table| table.required)
    })
}

/// Whether a key holds a value, not a table of others.
fn is_field(key: &Key) -> bool {
    let tables = [Want::Table, Want::Sources];
    !matches!(&key.wants[..], [one] if tables.contains(one))
        && !key.wants.iter().all(|want| tables.contains(want))
}

fn table_of(path: &str) -> &str {
    path.split_once('.').map_or("", |(table, _)| table)
}

fn field(
    (file, key, required): (File, &Key, bool),
    said: &BTreeMap<String, String>,
    in_example: bool,
) -> Field {
    let path = key.path.as_str();
    let table = table_of(path);
    let known = |(of, name, _): &&(File, &str, &str)| (*of, *name) == (file, table);
    let group = GROUPS.iter().find(known);
    let row = numbers::all()
        .map(|row| row.about())
        .find(|about| about.key == path);
    let plain = || path.rsplit('.').next().unwrap_or(path).replace('_', " ");
    let named = NAMES.iter().find(|(name, _)| *name == path);
    let words = named
        .map(|(_, words)| (*words).to_owned())
        .or_else(|| row.as_ref().map(|about| about.words.to_owned()))
        .or_else(|| said.get(path).map(|words| format!("{}: {words}", plain())))
        .unwrap_or_else(plain);
    let (kind, words_known) = kind(&key.wants);
    let dimension = key.wants.iter().find_map(|want| match want {
        Want::Number(of) | Want::Spread(of) | Want::Band(of) | Want::List(of) => Some(*of),
        _ => None,
    });
    let both = |range: [f64; 2], of: Dimension, rounded: fn(&str) -> String| {
        [Units::Inch, Units::Metric].map(|units| {
            let exact = range.map(|si| written(si, of, units));
            let round = [&exact[0], &exact[1]].map(|told| rounded(told));
            let [low, high] = if round[0] == round[1] { exact } else { round };
            let bare = low.split(' ').next().unwrap_or(&low);
            match low == high {
                true => low,
                false => format!("{bare} to {high}"),
            }
        })
    };
    let usual = numbers::bounds::of(path).zip(dimension);
    let usual = usual
        .filter(|(bounds, _)| bounds.usual[1].is_finite())
        .map(|(bounds, of)| both(bounds.usual, of, in_round_figures));
    let conditions = [
        Condition::Good,
        Condition::Ordinary,
        Condition::Worn,
        Condition::Junk,
    ];
    let assumed = |condition| {
        let rows = numbers::all();
        let row = { rows }.find(|row| row.about().key == path)?;
        let ([low, _, high], _) = row.assumed_si(condition)?;
        Some(both([low, high], dimension?, shortened))
    };
    Field {
        file,
        path: path.to_owned(),
        group: group.map_or_else(
            || table.replace('_', " "),
            |(.., words)| (*words).to_owned(),
        ),
        words,
        kind,
        words_known,
        usual,
        left_out: conditions.into_iter().map(assumed).collect(),
        test: row.and_then(|about| about.test).map(|test| test.name()),
        required,
        common: required || in_example,
    }
}

/// A number, its unit, and how many of its digits count.
fn parted(told: &str) -> Option<(f64, &str, usize)> {
    let (number, unit) = told.split_once(' ').unwrap_or((told, ""));
    let plain = number.trim_start_matches('-').replace('.', "");
    let digits = plain.trim_matches('0').len();
    Some((number.parse().ok()?, unit, digits))
}

/// A number with its unit in two digits, where a conversion brought it more than three.
fn shortened(told: &str) -> String {
    match parted(told) {
        Some((value, unit, digits)) if digits > 3 => {
            let plain: f64 = format!("{value:.1e}").parse().unwrap_or(value);
            format!("{plain} {unit}").trim_end().to_owned()
        }
        _ => told.to_owned(),
    }
}

/// A number with its unit as one says it of what is usual: what a conversion brings of digits goes.
fn in_round_figures(told: &str) -> String {
    let Some((value, unit, _)) = parted(told).filter(|(.., digits)| *digits > 2) else {
        return told.to_owned();
    };
    let ten = powi(10f64, log10(value.abs()).floor() as i32);
    let off = |figure: &f64| (figure * ten - value.abs()).abs();
    let figure = ROUND.into_iter().min_by(|a, b| off(a).total_cmp(&off(b)));
    // By its digits, so that none of the arithmetic shows.
    let figure = format!("{:.1e}", figure.unwrap_or(1.0) * ten * value.signum());
    let plain = figure.parse().unwrap_or(value);
    format!("{plain} {unit}").trim_end().to_owned()
}

/// How a field is filled in, and what may be chosen.
fn kind(wants: &[Want]) -> (&'static str, Vec<String>) {
    for want in wants {
        match want {
            Want::Word(words) => {
                return (
                    "word",
                    words.iter().map(|word| (*word).to_owned()).collect(),
                );
            }
            Want::Flag => return ("flag", Vec::new()),
            Want::List(_) | Want::Keys => return ("list", Vec::new()),
            Want::Text => return ("text", Vec::new()),
            Want::Notation(example) => return ("text", vec![example.clone()]),
            _ => {}
        }
    }
    ("number", Vec::new())
}

/// What stands in a text, by key; nothing of one that is no TOML.
pub fn values(text: &str) -> BTreeMap<String, String> {
    let mut found = BTreeMap::new();
    if let Ok(document) = text.parse::<DocumentMut>() {
        gather(document.as_table(), "", &mut |path, value| {
            found.insert(path, value);
        });
    }
    found
}

/// Tells every key and its value, in order.
fn gather(table: &dyn TableLike, before: &str, tell: &mut dyn FnMut(String, String)) {
    for (key, item) in table.iter() {
        let path = format!("{before}{key}");
        match item.as_table_like() {
            // A spread of its own is a value of one line.
            Some(inner) if inner.contains_key("low") || inner.contains_key("shape") => {
                tell(path, item.to_string().trim().to_owned());
            }
            Some(inner) => gather(inner, &format!("{path}."), tell),
            None => tell(path, shown(item)),
        }
    }
}

fn shown(item: &Item) -> String {
    match item.as_array() {
        Some(list) => {
            let each = list.iter().map(|one| {
                let text = one.as_str().map(str::to_owned);
                text.unwrap_or_else(|| one.to_string().trim().to_owned())
            });
            each.collect::<Vec<_>>().join(", ")
        }
        None => match item.as_str() {
            Some(text) => text.to_owned(),
            None => item.to_string().trim().to_owned(),
        },
    }
}

/// Whether a key of job or lathe holds a list.
pub fn is_list(path: &str) -> bool {
    let (job, lathe) = (keys::job().all, keys::lathe().all);
    let mut all = job.iter().chain(&lathe);
    all.any(|key| key.path == path && kind(&key.wants).0 == "list")
}

/// A table of a form of shop tests.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Group {
    /// What it is about.
    pub words: String,
    /// Key, what it is, and what stands there.
    pub keys: Vec<[String; 3]>,
}

/// The name of a test whose number alone stands beside its table, starred where it is of the least.
fn test_of(about: &str) -> Option<String> {
    let (number, star) = match about.strip_prefix("test ")?.strip_suffix(" *") {
        Some(number) => (number, " *"),
        None => (about.strip_prefix("test ")?, ""),
    };
    let all = Test::ALL.iter();
    let test = { all }.find(|test| test.number().to_string() == number)?;
    Some(format!("{}{star}", test.name()))
}

/// A form of shop tests as its tables; what each is stands beside it as a comment.
///
/// # Errors
/// A text that is no TOML.
pub fn of_form(text: &str) -> Result<Vec<Group>, String> {
    let document: DocumentMut = text
        .parse()
        .map_err(|why: toml_edit::TomlError| why.to_string())?;
    let comment = |raw: Option<&toml_edit::RawString>| {
        let raw = raw.and_then(|raw| raw.as_str()).unwrap_or("");
        raw.trim().trim_start_matches('#').trim().to_owned()
    };
    let plain = |key: &str| key.replace('_', " ");
    let mut groups = Vec::new();
    for (name, item) in document.iter() {
        let Some(table) = item.as_table() else {
            continue;
        };
        let about = comment(table.decor().suffix());
        let own = table.iter().filter_map(|(key, item)| {
            let value = item.as_value()?;
            let words = comment(value.decor().suffix()).replace(['[', ']', '"'], "");
            let words = match words.as_str() {
                "" => plain(key),
                words => format!("{}: {words}", plain(key)),
            };
            Some([format!("{name}.{key}"), words, shown(item)])
        });
        groups.push(Group {
            words: match (about.as_str(), test_of(&about)) {
                ("", _) => plain(name),
                (_, Some(test)) => test,
                (about, None) => about.to_owned(),
            },
            keys: own.collect(),
        });
    }
    Ok(groups)
}

/// A text with the value of a key changed, comments and order kept; nothing takes the key away.
///
/// # Errors
/// A text that is no TOML.
pub fn put(text: &str, path: &str, typed: &str, is_list: bool) -> Result<String, String> {
    let mut document: DocumentMut = text
        .parse()
        .map_err(|why: toml_edit::TomlError| why.to_string())?;
    let parts: Vec<&str> = path.split('.').collect();
    let typed = typed.trim();
    if typed.is_empty() {
        edit::remove(&mut document, &parts);
        return Ok(document.to_string());
    }
    let table = typed.starts_with('{').then(|| typed.parse().ok()).flatten();
    match table {
        Some(value) => edit::put_value(&mut document, &parts, value),
        None if is_list => {
            let each = typed
                .split(',')
                .map(str::trim)
                .filter(|one| !one.is_empty());
            edit::put_value(&mut document, &parts, each.collect::<Array>().into());
        }
        None => edit::put(&mut document, &parts, typed),
    }
    Ok(document.to_string())
}

/// Faults and warnings, each with the key whose field it belongs beside.
pub fn faults(found: &[Diagnostic], job: &str, lathe: &str) -> Vec<Value> {
    let each = found.iter().map(|one| {
        let text = if one.file == "lathe" { lathe } else { job };
        json!({
            "severity": match one.severity {
                Severity::Error => "error",
                Severity::Warning => "warning",
                Severity::Note => "note",
            },
            "file": one.file,
            "line": one.line(text),
            "path": path_at(text, one.span.start),
            "message": one.message,
            "hint": one.hint,
        })
    });
    each.collect()
}

/// The key that stands at a place of a text; of a table that is named there the table.
pub fn path_at(text: &str, at: usize) -> String {
    Document::parse(text)
        .ok()
        .and_then(|document| within(document.as_table(), at))
        .unwrap_or_default()
}

fn within(table: &dyn TableLike, at: usize) -> Option<String> {
    table.iter().find_map(|(key, item)| {
        let inner = item.as_table_like().and_then(|inner| within(inner, at));
        if let Some(inner) = inner {
            return Some(format!("{key}.{inner}"));
        }
        // A table's own span is that of its head alone.
        let spans = [table.key(key).and_then(|key| key.span()), item.span()];
        let here = |span: Range<usize>| span.start <= at && at <= span.end;
        let mut spans = spans.into_iter().flatten();
        spans.any(here).then(|| key.to_owned())
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_key_of_both_files_is_a_field_with_a_place_and_words() {
        let fields = all();
        for (file, keys) in [(File::Job, keys::job()), (File::Lathe, keys::lathe())] {
            for key in keys.all.iter().filter(|key| is_field(key)) {
                let field = fields
                    .iter()
                    .find(|field| field.file == file && field.path == key.path);
                let field = field.expect(&key.path);
                assert!(
                    !field.group.is_empty() && !field.words.is_empty(),
                    "{}",
                    key.path
                );
            }
        }
        let drag = fields
            .iter()
            .find(|field| field.path == "slide.drag")
            .expect("the drag");
        assert_eq!(
            (drag.group.as_str(), drag.words.as_str()),
            ("Cross-slide", "drag of the cross-slide")
        );
        assert!(drag.usual.is_some() && drag.left_out.is_some() && drag.test.is_some());
    }

    #[test]
    fn what_is_usual_is_told_in_round_figures_of_either_unit() {
        assert_eq!(in_round_figures("0.0254 mm"), "0.025 mm");
        assert_eq!(in_round_figures("457.2 mm"), "500 mm");
        assert_eq!(in_round_figures("0.96 in"), "0.96 in");
        assert_eq!(in_round_figures("0.957 in"), "1 in");
        assert_eq!(shortened("1.3335 mm"), "1.3 mm");
        assert_eq!(shortened("0.0525 in"), "0.0525 in");
        let mut told = 0;
        for field in all() {
            for usual in field.usual.iter().flatten() {
                for word in usual.split(' ').filter(|word| word.parse::<f64>().is_ok()) {
                    let (.., digits) = parted(word).expect("a number");
                    assert!(digits <= 2, "{}: {usual}", field.path);
                    told += 1;
                }
            }
        }
        assert!(told > 100, "{told}");
    }

    #[test]
    fn a_field_changed_is_one_line_of_the_text() {
        let text = "# a lathe\nname = \"a\"\n\n[slide] # ways\ndrag = \"14 lbf\" # by hand\n";
        let changed = put(text, "slide.drag", "20 lbf", false).expect("TOML");
        assert_eq!(changed, text.replace("14 lbf", "20 lbf"));
        let job = "[passes]\nfinish = [\"0.010 in\"] # last\n";
        let changed = put(
            job,
            "passes.finish",
            "0.010 in, 0.005 in",
            is_list("passes.finish"),
        )
        .expect("TOML");
        assert_eq!(
            changed,
            "[passes]\nfinish = [\"0.010 in\", \"0.005 in\"] # last\n"
        );
        assert_eq!(values(&changed)["passes.finish"], "0.010 in, 0.005 in");
        assert_eq!(
            put(text, "slide.drag", " ", false).expect("TOML"),
            "# a lathe\nname = \"a\"\n\n[slide] # ways\n"
        );
    }

    #[test]
    fn a_fault_stands_beside_its_field() {
        let text = "name = \"a\"\n\n[slide]\ndrag = \"14 mm\"\n";
        let at = text.find("14 mm").expect("a place");
        assert_eq!(path_at(text, at), "slide.drag");
        assert_eq!(
            path_at(text, text.find("drag").expect("a key")),
            "slide.drag"
        );
        assert_eq!(
            path_at(text, text.find("[slide").expect("a table") + 1),
            "slide"
        );
    }
}
