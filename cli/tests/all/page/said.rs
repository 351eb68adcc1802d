//! What page and command say, to be held against each other: their words, however they are set.

use crate::workshop::{Workshop, code, err, out};

/// The words without the marks of a list and the lines' order, in which cells of a table differ; a
/// line may end at a hyphen.
fn words(text: &str) -> Vec<String> {
    let text = text.replace('-', " ");
    let is_mark = |word: &str| {
        let number = word.strip_suffix('.');
        number.is_some_and(|number| number.parse::<u32>().is_ok())
    };
    let mut words: Vec<String> = { text.split_whitespace() }
        .filter(|word| !is_mark(word))
        .map(str::to_owned)
        .collect();
    words.sort_unstable();
    words
}

/// A page's words.
pub fn on_page(html: &str) -> Vec<String> {
    let mut plain = String::new();
    let mut within = false;
    for letter in html.chars() {
        match letter {
            '<' => within = true,
            '>' => {
                within = false;
                plain.push(' ');
            }
            _ if !within => plain.push(letter),
            _ => {}
        }
    }
    words(
        &plain
            .replace("&quot;", "\"")
            .replace("&lt;", "<")
            .replace("&gt;", ">")
            .replace("&amp;", "&"),
    )
}

/// A command's words, without the hints given.
pub fn by_command(shop: &Workshop, args: &[&str], hints: &[&str]) -> Vec<String> {
    let done = shop.run(args);
    assert!(code(&done) <= 1, "{args:?}: {}", err(&done));
    let mut said = out(&done).split_whitespace().collect::<Vec<_>>().join(" ");
    for hint in hints {
        said = said.replace(hint, "");
    }
    words(&said)
}
