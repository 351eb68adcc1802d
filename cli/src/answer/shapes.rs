//! What a command answers as a JSON Schema: made from the records' own types, with what is written
//! about each number where it stands, its unit too.

use schemars::generate::SchemaSettings;
use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde_json::{Value, json};

use super::json::sometimes;
use super::parts::written;

/// A form that an answer may have.
pub type Shape = fn(&mut SchemaGenerator) -> Schema;

/// The form of a record.
pub fn shape<T: JsonSchema>(generator: &mut SchemaGenerator) -> Schema {
    generator.subschema_for::<T>()
}

/// The schema of an answer that has one of these forms, after JSON Schema 2020-12.
pub fn of(title: &str, shapes: &[Shape]) -> String {
    let settings = SchemaSettings::draft2020_12().for_serialize();
    let mut generator = settings.into_generator();
    let forms: Vec<Schema> = shapes.iter().map(|shape| shape(&mut generator)).collect();
    let mut all = Value::Object(generator.take_definitions(true));
    sometimes(&mut all);
    let mut schema = match &forms[..] {
        [form] => json!(form),
        forms => json!({ "anyOf": forms }),
    };
    schema["$schema"] = json!("https://json-schema.org/draft/2020-12/schema");
    schema["title"] = json!(title);
    schema["$defs"] = all;
    written(&schema)
}
