//! The machine: what is assumed of it beside what is printed, cylinders, play.

use tautway_sim::machine::preload::cylinder;
use tautway_sim::quantity::Quantity;
use tautway_sim::scenario::Condition;
use tautway_sim::scenario::numbers::preload::SEAL_SHARE;
use tautway_sim::scenario::numbers::{slide, tailstock};

use super::{How, Ours, Table};

pub fn machine(table: &mut Table) {
    use How::{Exact, Memory, Unnamed};
    table.group("Machine");
    // Sources on slideways, cast iron on cast iron; they differ by a factor of two or three. What
    // is assumed of a lathe that nobody measured: middle, and the ends of its range.
    let assumed = slide::FRICTION.of(Condition::Ordinary);
    for (what, printed, ours, within) in [
        ("dry sliding", 0.15, assumed.middle.si(), 0.0),
        ("greasy", 0.07, assumed.low.si(), 0.01),
        ("lubricated, at rest, most", 0.21, assumed.high.si(), 0.01),
    ] {
        let ours = Ours::Typed(printed, ours, 2, within + 1e-12);
        let what = format!("friction of slideways, {what}");
        table.row("tables of friction", Unnamed, what, ours);
    }
    // A cylinder's seals take 10 to 20 %: what is assumed holds that.
    let ours = Ours::Typed(0.15, SEAL_SHARE.always().middle.si(), 2, 1e-12);
    let what = "share of a cylinder's force that its seals take, middle of 10 to 20 %";
    table.row("makers of cylinders", Unnamed, what, ours);
    // A maker's inspection sheet in the pattern of ISO 1708: centre heights within 0.04 mm.
    let ours = tailstock::CENTRE_HEIGHT.of(Condition::Good).high.si() * 1e3;
    let what = "centre heights of a good lathe, within, mm";
    table.row(
        "a maker's sheet, ISO 1708",
        Unnamed,
        what,
        Ours::Typed(0.04, ours, 2, 1e-9),
    );
    // ISO 230-2, from memory: mean up less mean down at each target, the largest; play b gives b.
    let ours = Ours::There(
        "the play",
        "balance/limits",
        "reversal_value_of_pure_play_from_memory",
    );
    table.row("ISO 230-2", Memory, "reversal value of pure play", ours);
    // Closed form: air cylinders at 6 bar, out and back.
    for (bore, rod, out, back) in [
        (32.0, 12.0, 482.5, 414.7),
        (50.0, 20.0, 1178.1, 989.6),
        (100.0, 25.0, 4712.4, 4417.9),
    ] {
        let force = |rod: f64| cylinder(bore * 1e-3, rod * 1e-3, 6e5);
        let what = format!("cylinder {bore}/{rod} mm at 6 bar");
        table.row(
            "closed form",
            Exact,
            format!("{what}, out, N"),
            Ours::Here(out, force(0.0), 1),
        );
        table.row(
            "closed form",
            Exact,
            format!("{what}, back, N"),
            Ours::Here(back, force(rod), 1),
        );
    }
    // Krasnosel'skii and Pokrovskii; survey Nordin and Gutman, Automatica 38 (2002) 1633.
    let ours = Ours::There(
        "0.8, 0.64, 0.857622 - 0.203718 j",
        "balance/limits",
        "play_of_a_sine_published",
    );
    let what = "play of a sine, half clearance 0.2: amplitude, loop area, describing function";
    table.row("Nordin and Gutman 2002", Exact, what, ours);
}
