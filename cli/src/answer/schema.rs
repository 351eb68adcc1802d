//! What a file may say as a JSON Schema, for editors and other programs.

use std::collections::BTreeMap;

use serde_json::{Map, Value, json};
use tautway_screens::keys::descriptions;
use tautway_sim::quantity::Dimension;
use tautway_sim::rehearse::OPENING;
use tautway_sim::scenario::keys::{Key, Keys, Want};

use super::parts::written;

/// The wordings for "nobody knows" that the schema lets pass.
const DONT_KNOW: [&str; 3] = ["don't know", "unknown", "?"];

/// The schema of a file with these keys, after JSON Schema 2020-12.
///
/// It is a little stricter than the program: words are wanted as written here, while the program
/// takes capitals, hyphens for spaces and other ways to say "don't know", too. It can't read a
/// number's unit: that is left to `tautway check`.
pub fn of(title: &str, keys: &Keys, example: &str) -> String {
    let said = descriptions(example);
    let mut top = table("", &keys.all, &said);
    let mut definitions = Map::new();
    definitions.insert("dont-know".to_owned(), json!({ "enum": DONT_KNOW }));
    for dimension in DIMENSIONS {
        let (name, plain) = (name(dimension), number(dimension));
        let mut spread = table("", &keys.spread, &BTreeMap::new());
        let numbers = json!({ "$ref": format!("#/$defs/{name}") });
        for key in &keys.spread {
            // Every number of the table is of the kind that the table stands for.
            if matches!(key.wants[..], [Want::Number(_)]) {
                spread["properties"][&key.path] = numbers.clone();
            }
        }
        definitions.insert(name.to_owned(), plain);
        definitions.insert(
            format!("{name}-spread"),
            json!({ "anyOf": [numbers, spread] }),
        );
        definitions.insert(
            format!("{name}-band"),
            json!({ "type": "string", "description": "with its signs, upper limit first" }),
        );
    }
    top["$schema"] = json!("https://json-schema.org/draft/2020-12/schema");
    top["title"] = json!(title);
    top["$defs"] = Value::Object(definitions);
    written(&top)
}

/// What a file of hand moves may say: its head's keys, then its lines. It is no JSON, nor anything
/// that JSON can stand for, so this is no JSON Schema.
pub fn of_moves(head: &Keys, lines: &[(&str, String)]) -> String {
    let mut text = format!(
        "# What a file of hand moves may say. It is lines of words, which no JSON Schema describes:\n\
         # `tautway check` reads it. A head in TOML, the line `{OPENING}`, then one move a line;\n\
         # `#` begins a remark in both, and `the` may stand before any word of a move.\n\
         # [ ] may be left out, ( | ) is one of several; LENGTH, FORCE and PRESSURE are numbers\n\
         # with their unit, such as 2-1/2 in, 30 lbf, 60 psi. Which way the carriage goes is said in its\n\
         # first move; later ones go on that way, and after `reverse` the other.\n\n"
    );
    for key in &head.all {
        let wants: Vec<String> = key.wants.iter().map(in_words).collect();
        let must = if key.required { ", must be there" } else { "" };
        text += &format!("{} = {}{must}\n", key.path, wants.join(" or "));
    }
    text += &format!("\n{OPENING}\n");
    for (begins, follows) in lines {
        text += format!("{begins} {follows}").trim_end();
        text.push('\n');
    }
    text
}

fn in_words(want: &Want) -> String {
    match want {
        Want::Table => "a table".to_owned(),
        Want::Sources => "a table of sources".to_owned(),
        Want::Keys => "a list of keys".to_owned(),
        Want::Text => "text".to_owned(),
        Want::Word(words) => format!("({})", words.join(" | ")),
        Want::Flag => "(true | false)".to_owned(),
        Want::Count(from, to) => format!("a whole number from {from} to {to}"),
        Want::Number(of) | Want::Spread(of) => of.noun().to_owned(),
        Want::Band(of) => format!("limits of {}", of.noun()),
        Want::List(of) | Want::Repeats(of) => format!("a list, each {}", of.noun()),
        Want::Pairs(of) => format!("a list of pairs, each {}", of.noun()),
        Want::Notation(example) => format!("text like {example}"),
    }
}

const DIMENSIONS: [Dimension; 8] = [
    Dimension::Length,
    Dimension::Angle,
    Dimension::Taper,
    Dimension::Force,
    Dimension::Stiffness,
    Dimension::Pressure,
    Dimension::EdgeLoad,
    Dimension::Ratio,
];

fn name(dimension: Dimension) -> &'static str {
    match dimension {
        Dimension::Length => "length",
        Dimension::Angle => "angle",
        Dimension::Taper => "taper",
        Dimension::Force => "force",
        Dimension::Stiffness => "spring-rate",
        Dimension::Pressure => "pressure",
        Dimension::EdgeLoad => "edge-load",
        Dimension::Ratio => "ratio",
    }
}

fn number(dimension: Dimension) -> Value {
    let words = dimension.examples().replace('`', "");
    let description = format!("{}: {words}", dimension.noun());
    json!({ "type": ["number", "string"], "description": description })
}

/// A table of these keys; `path` is what stands before the names of its own.
fn table(path: &str, keys: &[Key], said: &BTreeMap<String, String>) -> Value {
    let mut properties = Map::new();
    let mut required = Vec::new();
    let own = |key: &Key| {
        let name = key.path.strip_prefix(path)?;
        (!name.is_empty() && !name.contains('.')).then(|| name.to_owned())
    };
    for key in keys {
        let Some(name) = own(key) else {
            continue;
        };
        let mut value = any(key
            .wants
            .iter()
            .flat_map(|want| of_want(want, key, keys, said)));
        if let Some(words) = said.get(&key.path) {
            value["description"] = json!(words);
        }
        if key.required {
            required.push(json!(name));
        }
        properties.insert(name, value);
    }
    let mut value = json!({
        "type": "object",
        "properties": properties,
        "additionalProperties": false,
    });
    if !required.is_empty() {
        value["required"] = Value::Array(required);
    }
    value
}

fn any(all: impl Iterator<Item = Value>) -> Value {
    let mut all: Vec<Value> = all.collect();
    all.dedup();
    match all.len() {
        1 => all.remove(0),
        _ => json!({ "anyOf": all }),
    }
}

fn of_want(want: &Want, key: &Key, keys: &[Key], said: &BTreeMap<String, String>) -> Vec<Value> {
    let defined = |name: String| json!({ "$ref": format!("#/$defs/{name}") });
    let dont_know = defined("dont-know".to_owned());
    match want {
        Want::Table => {
            let inner = table(&format!("{}.", key.path), keys, said);
            match key.required {
                true => vec![inner],
                false => vec![inner, dont_know],
            }
        }
        Want::Sources => vec![json!({
            "type": "object",
            "additionalProperties": {
                "type": "object",
                "additionalProperties": { "type": "string" },
            },
        })],
        Want::Keys => vec![json!({
            "type": "array",
            "items": { "type": "string", "minLength": 1 },
        })],
        Want::Text => vec![json!({ "type": "string", "minLength": 1 })],
        Want::Word(words) => vec![json!({ "enum": words }), dont_know],
        Want::Flag => vec![
            json!({ "type": "boolean" }),
            json!({ "enum": ["yes", "no"] }),
            dont_know,
        ],
        Want::Count(from, to) => vec![
            json!({ "type": "integer", "minimum": from, "maximum": to }),
            json!({ "type": "string", "pattern": "^[0-9]+$" }),
            dont_know,
        ],
        Want::Number(dimension) => vec![defined(name(*dimension).to_owned())],
        Want::Spread(dimension) => vec![defined(format!("{}-spread", name(*dimension)))],
        Want::Band(dimension) => vec![defined(format!("{}-band", name(*dimension)))],
        Want::List(dimension) => vec![json!({
            "type": "array",
            "minItems": 1,
            "items": defined(name(*dimension).to_owned()),
        })],
        Want::Repeats(dimension) => {
            let number = defined(name(*dimension).to_owned());
            vec![json!({ "type": "array", "items": number }), number]
        }
        Want::Pairs(dimension) => vec![json!({
            "type": "array",
            "minItems": 2,
            "items": {
                "type": "array",
                "minItems": 2,
                "maxItems": 2,
                "items": defined(name(*dimension).to_owned()),
            },
        })],
        Want::Notation(example) => {
            vec![json!({ "type": ["string", "number"], "examples": [example] })]
        }
    }
}
