//! Command lines that README showed before words were renamed: the same bytes on standard output.

use super::readme::in_a_clone;
use crate::digest::fingerprint;
use crate::workshop::{code, err, out};

/// Command lines as they were shown, those that answer in seconds, with the fingerprint of their
/// answers when they were shown. Left out: what says more since (`thread`: turns of standoff;
/// `schema job`: new keys).
const SHOWN: &[(&str, u64)] = &[
    (
        "guide scenarios/socket-after-setting.readings",
        0xe39b_b460_9405_3bd1,
    ),
    (
        "rehearse scenarios/zero-too-early.moves",
        0x34ff_6643_7a77_1559,
    ),
    ("piece scenarios/short-start.gauged", 0xc24f_2968_0d7f_9ac8),
    ("taper morse 2", 0x073d_09d4_b499_5815),
    ("schema lathe", 0x947a_5de7_57da_39f0),
    (
        "preload scenarios/spring-held-cone.toml",
        0x9c8d_8031_9bf6_c4cb,
    ),
    (
        "lathe update scenarios/worn-lathe.tests --from worn",
        0xbd38_626b_f817_5773,
    ),
];

#[test]
fn what_was_shown_gives_the_bytes_it_gave() {
    let shop = in_a_clone();
    let mut wrong = Vec::new();
    for (line, wanted) in SHOWN {
        let words: Vec<&str> = line.split(' ').collect();
        let done = shop.run(&words);
        assert!(code(&done) < 2, "{line}: {}", err(&done));
        // What they tell to type has today's words and numbers in it.
        let said = out(&done).replace("give --out", "give --write");
        let said = said.replace("more --trials", "more --cuts");
        let said = said.replace("write 0.065 in", "write 0.080 in");
        let now = fingerprint(said.as_bytes());
        if now != *wanted {
            wrong.push(format!("(\"{line}\", {now:#018x}),\n{}", out(&done)));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
