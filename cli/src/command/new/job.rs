//! What is asked about the job.

use tautway_sim::quantity::Units;
use tautway_sim::scenario::template::{JobAnswers, StartAnswer};
use tautway_sim::scenario::{End, Kind};

use super::question::{Question, choice, parts};

/// Nothing known yet. What the drawing has to say stands at an example until it is answered, so
/// that each answer can be checked by itself.
pub fn nothing(lathe: &str) -> JobAnswers {
    JobAnswers {
        name: "taper".to_owned(),
        lathe: lathe.to_owned(),
        tolerance: None,
        gauge_plane: None,
        size_tolerance: None,
        material: "1018".to_owned(),
        held: None,
        from_jaws: None,
        room_headstock: None,
        room_tailstock: None,
        start: None,
        surface: None,
        nose_radius: None,
        shape: None,
        edge: None,
        bar_diameter: None,
        bar_stick_out: None,
        rough: None,
        finish: Vec::new(),
        feed: None,
        speed: None,
        ..JobAnswers::default()
    }
}

/// Leaves open what nobody could say.
pub fn leave_open(answers: &mut JobAnswers, key: &str) {
    let place = match key {
        "work.taper" => &mut answers.taper,
        "work.length" => &mut answers.length,
        "work.diameter" => &mut answers.diameter,
        "work.material" => &mut answers.material,
        _ => return,
    };
    "don't know".clone_into(place);
}

fn start(said: &str) -> Result<StartAnswer, String> {
    let hint = "say straight and its diameter, or roughed and the stock left per side";
    let (word, size) = said.split_once(char::is_whitespace).ok_or(hint)?;
    let size = size.trim().to_owned();
    match choice(word, &[("straight", true), ("roughed", false)]) {
        Ok(true) => Ok(StartAnswer::Straight(size)),
        Ok(false) => Ok(StartAnswer::Roughed(size)),
        Err(_) => Err(hint.to_owned()),
    }
}

/// A needed answer that only the drawing can give.
fn drawing<T: Copy>(said: Option<String>, words: &[(&str, T)]) -> Result<T, String> {
    let said = said.ok_or("look at the drawing")?;
    choice(&said, words)
}

macro_rules! ask {
    (needed $key:literal, $words:literal, $such_as:expr, $field:ident) => {
        Question {
            key: $key,
            words: $words,
            such_as: $such_as,
            set: |a, said| {
                a.$field = said.unwrap_or_default();
                Ok(())
            },
            applies: |_| true,
            needed: true,
        }
    };
    ($key:literal, $words:literal, $such_as:expr, $field:ident) => {
        Question {
            key: $key,
            words: $words,
            such_as: $such_as,
            set: |a, said| {
                a.$field = said;
                Ok(())
            },
            applies: |_| true,
            needed: false,
        }
    };
    (set $key:literal, $words:literal, $such_as:expr, $set:expr) => {
        Question {
            key: $key,
            words: $words,
            such_as: $such_as,
            set: $set,
            applies: |_| true,
            needed: false,
        }
    };
    (bore $key:literal, $words:literal, $such_as:expr, $field:ident) => {
        Question {
            applies: |a| a.kind == Kind::Inside,
            ..ask!($key, $words, $such_as, $field)
        }
    };
}

/// The questions, in the order asked: each can be checked against those before it.
pub const QUESTIONS: &[Question<JobAnswers>] = &[
    ask!(set "name", "What is the job", ["cone of a drive shaft", "cone of a drive shaft"],
    |a, said| {
        if let Some(name) = said {
            a.name = name;
        }
        Ok(())
    }),
    ask!(set "work.kind", "Is the taper outside or inside", ["", ""], |a, said| {
        a.kind = drawing(said, &[
            ("outside", Kind::Outside),
            ("inside", Kind::Inside),
            ("turned", Kind::Outside),
            ("bore", Kind::Inside),
        ])?;
        Ok(())
    }),
    ask!(set "work.big_end",
    "Which end is big as it stands in the lathe: headstock or tailstock",
    ["", ""], |a, said| {
        let words = &[("headstock", End::Headstock), ("tailstock", End::Tailstock)];
        a.big_end = drawing(said, words)?;
        Ok(())
    }),
    ask!(needed "work.taper", "The taper, on diameter",
        ["3/4 in/ft, 1:16 or 1 deg 47 min per side", "1:16, 62.5 mm/m or 1.79 deg per side"],
        taper),
    ask!(
        "work.tolerance",
        "The tolerance on the taper, with its signs",
        ["+0.000 -0.030 in/ft", "+0.0 -2.5 mm/m"],
        tolerance
    ),
    ask!(needed "work.length", "How long is the taper, along the axis", ["3 in", "75 mm"], length),
    ask!(
        "work.gauge_plane",
        "Where is the size measured",
        [
            "at the big end, or 1 in from there",
            "at the big end, or 25 mm from there"
        ],
        gauge_plane
    ),
    ask!(needed "work.diameter", "The diameter there", ["2.500 in", "60 mm"], diameter),
    ask!(
        "work.size_tolerance",
        "The tolerance on that diameter",
        ["+-0.002 in", "+-0.05 mm"],
        size_tolerance
    ),
    ask!(needed "work.material", "The material", ["1018, 4140 30 HRC, grey iron", "1018, 304"],
        material),
    ask!(
        "work.held",
        "How is it held: chuck, chuck and centre, or between centres",
        ["", ""],
        held
    ),
    ask!(
        "work.from_jaws",
        "From the jaws to the taper",
        ["1 in", "25 mm"],
        from_jaws
    ),
    ask!(
        "work.room_headstock",
        "How far can the tool run past the headstock end of the taper",
        ["1-1/4 in", "30 mm"],
        room_headstock
    ),
    ask!(
        "work.room_tailstock",
        "How far can the tool run past the tailstock end of the taper",
        ["4 in", "100 mm"],
        room_tailstock
    ),
    ask!(set "work.start", "What do you start from",
    ["straight 2.400 in, or roughed 0.020 in per side",
     "straight 50 mm, or roughed 0.5 mm per side"],
    |a, said| {
        a.start = said.map(|said| start(&said)).transpose()?;
        Ok(())
    }),
    ask!(
        "work.surface",
        "What surface are you starting on",
        [
            "turned in this setting, re-chucked in a three-jaw, black bar, forging, casting",
            "turned in this setting, re-chucked in a three-jaw, black bar, forging, casting"
        ],
        surface
    ),
    ask!(
        "tool.nose_radius",
        "The tool's nose radius",
        ["1/32 in", "0.8 mm"],
        nose_radius
    ),
    ask!(
        "tool.shape",
        "Insert or HSS (its shape, or hss for a ground tool)",
        [
            "80 degree diamond, triangle, square, hss",
            "80 degree diamond, triangle, square, hss"
        ],
        shape
    ),
    ask!("tool.edge", "Tool: sharp, worn or dull", ["", ""], edge),
    ask!(bore "tool.bar.diameter", "The boring bar's diameter", ["1 in", "25 mm"], bar_diameter),
    ask!(bore "tool.bar.stick_out", "How far it sticks out", ["6 in", "150 mm"], bar_stick_out),
    ask!(
        "passes.rough",
        "Depth of a roughing pass, per side",
        ["0.040 in", "1 mm"],
        rough
    ),
    ask!(set "passes.finish", "The last passes in order, per side",
    ["0.010 in, 0.005 in", "0.25 mm, 0.12 mm"],
    |a, said| {
        let list = said.unwrap_or_default();
        // Commas between digits are decimal ones where no number has a point.
        let depths = parts(&list, Units::Metric);
        a.finish = depths.into_iter().map(str::to_owned).collect();
        Ok(())
    }),
    ask!(
        "passes.feed",
        "Finishing feed per turn",
        ["0.005 in", "0.12 mm"],
        feed
    ),
    ask!(
        "passes.speed",
        "Speed",
        ["250 sfm or 400 rpm", "75 m/min or 400 rpm"],
        speed
    ),
];
