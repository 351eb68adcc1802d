//! Text as XML.

/// Text as XML content; control characters, which XML forbids, are dropped.
pub(crate) fn escape(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\u{fffe}' | '\u{ffff}' => {}
            _ if letter.is_control() => safe.push(' '),
            _ => safe.push(letter),
        }
    }
    safe
}
