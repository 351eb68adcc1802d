//! Set and taken of one pass pulled in and one drawn away, with the cut that they were made with.

use toml::de::DeValue;

use super::job;
use super::reading::{Reading, nearest};
use super::repeats::is_not_done;
use super::section::{Got, Section, plain_words};
use super::syntax;
use crate::quantity::{Angle, INCH, Length, Quantity, Taper, Units};
use crate::scenario::limits::Limits;
use crate::scenario::material::{MATERIALS, Material};
use crate::scenario::shop_tests::{SetTaken, TwoCuts};
use crate::scenario::want::Want;
use crate::scenario::{Job, Source};

/// No pass takes more than this share of what was set: what gives way in air and not in the cut
/// makes some of it.
pub(super) const MOST_TAKEN: f64 = 1.25;

const DEPTH: Limits = Limits::POSITIVE;
const FEED: Limits = Limits::POSITIVE;
const NOSE: Limits = Limits::POSITIVE;
const DIAMETER: Limits = Limits::POSITIVE;
const TAKEN: Limits = Limits::NOT_NEGATIVE;

/// Reports that a pass took more than can be.
pub(super) fn more_than_set(table: &Section<'_>, key: &str, taken: Length, set: Length) {
    let units = table.reading.units.get();
    table.reading.error(
        table.reading.place(&table.key_path(key)),
        format!(
            "`{}` is more than was set: {} of {}",
            table.key_path(key),
            taken.show(units),
            set.show(units)
        ),
        "no pass takes that much more",
        "give both per side, of the same pass, set from a touch-off after the run-in",
    );
}

/// Reads `[two_cuts]`; none where neither cut was made, or where there are faults.
pub(super) fn read(table: Section<'_>, units: Units) -> Option<TwoCuts> {
    let cut = |set_key, taken_key| -> (Option<SetTaken>, bool) {
        let set: Option<Length> = given(&table, set_key, DEPTH);
        let taken = table.repeats::<Length>(taken_key, TAKEN);
        let there = done(&table, set_key) || done(&table, taken_key);
        let (set, taken) = match set {
            Some(set) if !taken.is_empty() => (set.si(), taken),
            _ => return (None, there),
        };
        let mean = taken.iter().sum::<f64>() / taken.len() as f64;
        if mean > MOST_TAKEN * set {
            more_than_set(
                &table,
                taken_key,
                Length::from_si(mean),
                Length::from_si(set),
            );
        }
        (Some(SetTaken { set, taken }), there)
    };
    let (pulled_in, one) = cut("pulled_in_set", "pulled_in_taken");
    let (drawn_away, other) = cut("drawn_away_set", "drawn_away_taken");
    table.want("material", Want::Text);
    let material = done(&table, "material")
        .then(|| table.text("material"))
        .and_then(Got::given);
    let taper: Option<Taper> = given(&table, "taper", Limits::POSITIVE);
    let feed: Option<Length> = given(&table, "feed", FEED);
    let nose: Option<Length> = given(&table, "nose_radius", NOSE);
    let entering: Option<Angle> = given(&table, "entering_angle", Limits::ENTERING);
    let diameter: Option<Length> = given(&table, "diameter", DIAMETER);
    if one || other {
        // One cut alone narrows nothing that test 10 doesn't tell.
        for (key, example) in [
            ("pulled_in_set", "\"0.010 in\""),
            ("pulled_in_taken", "[\"0.0085 in\"]"),
            ("drawn_away_set", "\"0.010 in\""),
            ("drawn_away_taken", "[\"0.0062 in\"]"),
            ("material", "\"1018\""),
            ("taper", "\"1-1/2 in/ft\""),
            ("feed", "\"0.004 in\""),
            ("nose_radius", "\"1/32 in\""),
        ] {
            if !done(&table, key) {
                table.missing(key, example);
            }
        }
    }
    let known = material.as_deref().map(Material::named);
    if let (Some(name), Some(None)) = (&material, known) {
        unknown(&table, name);
    }
    table.finish();
    let known = known.flatten()?;
    let cut = Cut {
        material: known.name,
        taper: taper?,
        feed: feed?,
        nose: nose?,
        entering,
        diameter: diameter.unwrap_or(Length::from_si(2.0 * INCH)),
    };
    let (pulled_in, drawn_away) = (pulled_in?, drawn_away?);
    Some(TwoCuts {
        job: Box::new(cut.as_job(pulled_in.set, units)),
        pulled_in,
        drawn_away,
    })
}

/// Whether something stands under a key.
fn done(table: &Section<'_>, key: &'static str) -> bool {
    let open = |value: &DeValue<'_>| {
        is_not_done(value)
            || matches!(value, DeValue::String(text) if plain_words(text) == "don't know")
    };
    matches!(table.find(key), Some((value, _)) if !open(value))
}

/// A quantity under a key, where there is one.
fn given<Q: Quantity>(table: &Section<'_>, key: &'static str, limits: Limits) -> Option<Q> {
    table.want(key, Want::Number(Q::DIMENSION));
    done(table, key)
        .then(|| table.quantity::<Q>(key, limits))
        .and_then(Got::given)
}

fn unknown(table: &Section<'_>, name: &str) {
    let names = MATERIALS
        .iter()
        .flat_map(|row| std::iter::once(row.name).chain(row.also.iter().copied()));
    let near = nearest(&name.to_lowercase(), names);
    table.reading.error(
        table.reading.place(&table.key_path("material")),
        format!("\"{name}\" is not in the table of materials"),
        "unknown material",
        match near {
            Some(near) => format!("did you mean \"{near}\"?"),
            None => {
                let all: Vec<_> = MATERIALS.iter().map(|row| row.name).collect();
                format!("choose one of {}", all.join(", "))
            }
        },
    );
}

/// What the force of the cut hangs on.
struct Cut {
    material: &'static str,
    taper: Taper,
    feed: Length,
    nose: Length,
    entering: Option<Angle>,
    diameter: Length,
}

impl Cut {
    /// The job that makes it, with all that a job file left to itself assumes.
    fn as_job(&self, set: f64, units: Units) -> Job {
        let entering = self.entering.map_or(String::new(), |angle| {
            format!("entering_angle = \"{} rad\"\n", angle.si())
        });
        let text = format!(
            "name = \"a pass each way\"\nlathe = \"lathe.toml\"\n\
             [work]\nkind = \"outside\"\nbig_end = \"headstock\"\ntaper = \"{} mm/m\"\n\
             tolerance = \"+-1 mm/m\"\nlength = \"2 in\"\ngauge_plane = \"1 in\"\n\
             diameter = \"{} m\"\nmaterial = \"{}\"\nheld = \"chuck\"\n\
             [tool]\nnose_radius = \"{} m\"\n{entering}\
             [passes]\nfinish = [\"{set} m\"]\nfeed = \"{} m\"\n",
            1e3 * self.taper.si(),
            self.diameter.si(),
            self.material,
            self.nose.si(),
            self.feed.si(),
        );
        let source = Source {
            name: "",
            text: &text,
        };
        let parsed = syntax::parse(source);
        let reading = Reading::new(source);
        job::read(Section::top(&reading, &parsed.table), units)
    }
}
