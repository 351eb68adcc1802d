//! What a test can't check here: where the whole suite is to be held it fails, elsewhere it says so.

use std::env;
use std::io::Write as _;

/// Says past the captured output, so that it is seen under the results, that nobody checked `what`
/// for want of `tool`.
///
/// # Panics
/// Where `TAUTWAY_CI` is set: there every tool has to be.
pub fn for_want_of(tool: &str, what: &str) {
    assert!(
        env::var_os("TAUTWAY_CI").is_none(),
        "{tool} is not here, so nobody checked {what}: .ci/run fetches it"
    );
    writeln!(std::io::stderr(), "NOT CHECKED: {what}: no {tool} here").expect("an error output");
}
