//! The two texts as documents that a control can change, comments and order kept.

use std::ops::Range;

use toml_edit::{Array, Document, DocumentMut, Item, Table, TableLike, Value, table};

/// The text under a key, as a person would write it without the quotes; a list's last entry.
pub fn get(document: &DocumentMut, path: &[&str]) -> Option<String> {
    let mut item = document.as_item();
    for key in path {
        item = item.as_table_like()?.get(key)?;
    }
    let value = item.as_value()?;
    Some(bare(match value {
        Value::Array(list) => list.iter().last()?,
        one => one,
    }))
}

fn bare(value: &Value) -> String {
    match value {
        Value::String(text) => text.value().clone(),
        Value::Boolean(flag) => flag.value().to_string(),
        other => other.clone().decorated("", "").to_string(),
    }
}

/// Puts a text under a key, in a list in place of its last entry; `true` and `false` as such.
pub fn put(document: &mut DocumentMut, path: &[&str], text: &str) {
    let Some((key, folders)) = path.split_last() else {
        return;
    };
    let Some(place) = place(document.as_table_mut(), folders) else {
        return;
    };
    let value = match text {
        "true" => Value::from(true),
        "false" => Value::from(false),
        text => Value::from(text),
    };
    match place.get_mut(key).and_then(Item::as_value_mut) {
        Some(Value::Array(list)) => put_last(list, value),
        _ => put_in(place, key, value),
    }
}

/// Puts a value under a key, the whole of a list too.
pub fn put_value(document: &mut DocumentMut, path: &[&str], value: Value) {
    if let Some((key, folders)) = path.split_last()
        && let Some(place) = place(document.as_table_mut(), folders)
    {
        put_in(place, key, value);
    }
}

fn put_in(place: &mut dyn TableLike, key: &str, mut value: Value) {
    match place.get_mut(key).and_then(Item::as_value_mut) {
        Some(old) => {
            *value.decor_mut() = old.decor().clone();
            *old = value;
        }
        None => {
            place.insert(key, Item::Value(value));
        }
    }
}

fn put_last(list: &mut Array, mut value: Value) {
    match list.iter_mut().last() {
        Some(last) => {
            *value.decor_mut() = last.decor().clone();
            *last = value;
        }
        None => list.push(value),
    }
}

/// Takes a key away.
pub fn remove(document: &mut DocumentMut, path: &[&str]) {
    if let Some((key, folders)) = path.split_last() {
        let mut place: &mut dyn TableLike = document.as_table_mut();
        for folder in folders {
            match place.get_mut(folder).and_then(Item::as_table_like_mut) {
                Some(next) => place = next,
                None => return,
            }
        }
        place.remove(key);
    }
}

/// The table at a path, made where it isn't there or says "don't know".
fn place<'a>(top: &'a mut Table, folders: &[&str]) -> Option<&'a mut dyn TableLike> {
    let mut place: &mut dyn TableLike = top;
    for folder in folders {
        let item = place.entry(folder).or_insert_with(table);
        if item.as_table_like().is_none() {
            *item = table();
        }
        place = item.as_table_like_mut()?;
    }
    Some(place)
}

/// Where in a text the value of a key stands, bytes.
pub fn span(text: &str, path: &[&str]) -> Option<Range<usize>> {
    let document = Document::parse(text).ok()?;
    let mut item = document.as_item();
    for key in path {
        item = item.as_table_like()?.get(key)?;
    }
    item.span()
}

#[cfg(test)]
mod tests {
    use super::*;

    const JOB: &str = "name = \"a\"\n\n[passes]\nfinish = [\"0.010 in\", \"0.005 in\"] # last\n\
                       bar = { diameter = \"1 in\" }\n";

    fn changed(path: &[&str], text: &str) -> String {
        let mut document: DocumentMut = JOB.parse().expect("TOML");
        put(&mut document, path, text);
        document.to_string()
    }

    #[test]
    fn a_change_keeps_comments_order_and_the_rest_of_a_list() {
        let text = changed(&["passes", "finish"], "3 thou");
        assert_eq!(text, JOB.replace("0.005 in", "3 thou"));
        let text = changed(&["passes", "bar", "diameter"], "say \"two\"");
        assert_eq!(text, JOB.replace("\"1 in\"", "'say \"two\"'"));
    }

    #[test]
    fn a_key_in_a_table_that_is_not_there_makes_the_table() {
        let text = changed(&["slide", "drag"], "20 lbf");
        assert!(text.ends_with("\n[slide]\ndrag = \"20 lbf\"\n"), "{text}");
    }

    #[test]
    fn what_is_taken_away_is_gone_and_what_is_not_there_stays_away() {
        let mut document: DocumentMut = JOB.parse().expect("TOML");
        remove(&mut document, &["nothing", "here"]);
        assert_eq!(document.to_string(), JOB);
        remove(&mut document, &["passes", "finish"]);
        assert_eq!(get(&document, &["passes", "finish"]), None);
    }

    #[test]
    fn a_value_is_found_in_its_text() {
        let at = span(JOB, &["passes", "bar", "diameter"]).expect("a place");
        assert_eq!(&JOB[at], "\"1 in\"");
    }
}
