//! What is asked about the job.

use tautway_sim::quantity::Units;
use tautway_sim::scenario::template::{StartAnswer, ThreadAnswer};
use tautway_sim::scenario::{End, Kind, NO_FOLLOWER};

use super::answers::Answers;
use super::question::{File, Question, choice, parts};

/// What can be said of the start, with the surface that goes with it.
fn start(said: &str) -> Result<(StartAnswer, Option<&'static str>), String> {
    let hint = "say straight and its diameter, roughed and the stock left per side, or taper and \
                what is there: taper 0.6 in/ft at 2.05 in";
    let (word, rest) = said.split_once(char::is_whitespace).ok_or(hint)?;
    let rest = rest.trim().to_owned();
    let words = [("straight", 0), ("roughed", 1), ("taper", 2), ("worn", 3)];
    match choice(word, &words) {
        Ok(0) => Ok((StartAnswer::Straight(rest), None)),
        Ok(1) => {
            let stock = rest.trim_end_matches("per side").trim();
            Ok((StartAnswer::Roughed(stock.to_owned()), None))
        }
        Ok(kind) => {
            let rest = rest.trim_start_matches("seat").trim();
            let (taper, diameter) = rest.split_once(" at ").ok_or(hint)?;
            let surface = (kind == 3).then_some("worn seat");
            let tapered = StartAnswer::Tapered(taper.trim().into(), diameter.trim().into());
            Ok((tapered, surface))
        }
        Err(_) => Err(hint.to_owned()),
    }
}

/// Forms that are said behind the threads per inch.
const FORMS: &[(&str, &str)] = &[
    ("taper pipe", "taper pipe"),
    ("npt", "taper pipe"),
    ("pipe", "taper pipe"),
    ("60 degree", "60 degree"),
    ("60 deg", "60 degree"),
    ("60", "60 degree"),
    ("55 degree rounded", "55 degree rounded"),
    ("55 degree", "55 degree rounded"),
    ("55 deg", "55 degree rounded"),
    ("55", "55 degree rounded"),
];

/// `11-1/2 taper pipe`, `14 tpi, 60 degree`: threads per inch and form.
fn thread(said: &str) -> Result<ThreadAnswer, String> {
    let lower = said.to_lowercase();
    let hint = "say the threads per inch and the form: 11-1/2 taper pipe, 14 60 degree, 11 55 \
                degree rounded; left hand goes at the end";
    let (lower, hand) = match lower
        .strip_suffix("left hand")
        .or(lower.strip_suffix("left"))
    {
        Some(rest) => (rest.trim().to_owned(), Some("left".to_owned())),
        None => (lower, None),
    };
    let (threads, form) = FORMS
        .iter()
        .find_map(|(word, form)| {
            let threads = lower.trim_end().strip_suffix(word)?;
            (!threads.trim().is_empty()).then_some((threads, *form))
        })
        .ok_or(hint)?;
    let threads = threads.trim_matches(|c: char| c.is_whitespace() || c == ',');
    Ok(ThreadAnswer {
        form: Some(form.to_owned()),
        threads_per_inch: Some(threads.to_owned()),
        hand,
    })
}

/// How it is held, with the place of a steady rest; why a follower rest is none.
fn held(a: &mut Answers, said: Option<String>) -> Result<(), String> {
    let Some(said) = said else {
        (a.job.held, a.job.steady_at) = (None, None);
        return Ok(());
    };
    let plain = said.to_lowercase();
    if plain.contains("follow") {
        return Err(format!("another answer: {NO_FOLLOWER}"));
    }
    let (held, at) = match (plain.contains("steady"), plain.split_once(" at ")) {
        (true, Some((held, at))) => (held.trim().to_owned(), Some(at.trim().to_owned())),
        (true, None) => {
            return Err(
                "and where it bears, from the jaws to its band: chuck and steady rest at 6 in"
                    .to_owned(),
            );
        }
        (false, _) => (said, None),
    };
    (a.job.held, a.job.steady_at) = (Some(held), at);
    Ok(())
}

/// A needed answer that only the drawing can give.
fn drawing<T: Copy>(said: Option<String>, words: &[(&str, T)]) -> Result<T, String> {
    let said = said.ok_or("look at the drawing")?;
    choice(&said, words)
}

/// A question that is left to its default in most.
const PLAIN: Question = Question {
    key: "",
    file: File::Job,
    first: None,
    group: "the work",
    words: "",
    such_as: ["", ""],
    list: &[],
    help: "",
    set: |_, _| Ok(()),
    applies: |_| true,
    needed: |_| false,
};

const OF_TOOL: Question = Question {
    group: "the tool",
    ..PLAIN
};

const OF_PASSES: Question = Question {
    group: "the passes",
    ..PLAIN
};

/// The questions; of those that are not among the first, what tells most in general comes first.
pub const QUESTIONS: &[Question] = &[
    Question {
        key: "work.kind",
        first: Some(4),
        words: "Is the taper outside or inside, and has it a thread",
        list: &["outside", "inside", "outside thread", "inside thread"],
        help: "Outside is turned, inside is a bore. A thread is one cut along the taper.",
        set: |a, said| {
            let words = &[
                ("outside", (Kind::Outside, false)),
                ("inside", (Kind::Inside, false)),
                ("turned", (Kind::Outside, false)),
                ("bore", (Kind::Inside, false)),
                ("outside thread", (Kind::Outside, true)),
                ("inside thread", (Kind::Inside, true)),
            ];
            (a.job.kind, a.threaded) = drawing(said, words)?;
            a.job.thread = a.threaded.then(ThreadAnswer::default);
            Ok(())
        },
        group: "",
        ..PLAIN
    },
    Question {
        key: "work.big_end",
        first: Some(5),
        words: "Which end is big as it stands in the lathe",
        list: &["headstock", "tailstock"],
        help: "The end of the taper with the bigger diameter, as the piece is chucked.",
        set: |a, said| {
            let words = &[("headstock", End::Headstock), ("tailstock", End::Tailstock)];
            a.job.big_end = drawing(said, words)?;
            Ok(())
        },
        group: "",
        ..PLAIN
    },
    Question {
        key: "work.taper",
        first: Some(6),
        words: "The taper, on diameter, or its name",
        such_as: [
            "3/4 in/ft, 1:16, 1 deg 47 min per side, Morse 3, pipe thread 1-1/2",
            "1:16, 62.5 mm/m, 1.79 deg per side, Morse 3, BSPT 1-1/2",
        ],
        help: "Change of diameter over length, an angle per side or included, or a standard taper \
               by name, which brings its ends and its length.",
        set: |a, said| {
            a.job.taper = said.unwrap_or_default();
            a.threaded |= a.thread_is_known();
            Ok(())
        },
        needed: |_| true,
        ..PLAIN
    },
    Question {
        key: "work.length",
        first: Some(7),
        words: "How long is the taper, along the axis",
        such_as: ["3 in", "75 mm"],
        help: "Of the taper itself. Enter where its name says it.",
        set: |a, said| {
            a.job.length = said.unwrap_or_default();
            Ok(())
        },
        needed: |a| !a.length_is_known(),
        ..PLAIN
    },
    Question {
        key: "work.diameter",
        first: Some(8),
        words: "The diameter there, at the big end",
        such_as: ["2.500 in", "60 mm"],
        help: "At the big end, unless you say later where else it is measured. Of a thread: over \
               the crests. Enter where its name says it.",
        set: |a, said| {
            a.job.diameter = said.unwrap_or_default();
            Ok(())
        },
        needed: |a| !a.diameter_is_known(),
        ..PLAIN
    },
    Question {
        key: "work.tolerance",
        first: Some(9),
        words: "The tolerance on the taper, with its signs",
        such_as: ["+0.000 -0.030 in/ft", "+0.0 -2.5 mm/m"],
        help: "From the drawing: how far the taper may be off, in the taper's own unit.",
        set: |a, said| {
            a.job.tolerance = said;
            Ok(())
        },
        ..PLAIN
    },
    Question {
        key: "work.material",
        first: Some(10),
        words: "The material",
        such_as: ["1018, mild steel, 4140 30 HRC, grey iron", "1018, C45, 304"],
        help: "By its number or its usual name.",
        set: |a, said| {
            a.job.material = said.unwrap_or_default();
            Ok(())
        },
        needed: |_| true,
        ..PLAIN
    },
    Question {
        key: "work.start",
        first: Some(11),
        words: "What do you start from",
        such_as: [
            "straight 2.400 in, roughed 0.020 in per side, worn seat 0.6 in/ft at 2.05 in",
            "straight 50 mm, roughed 0.5 mm per side, worn seat 1:20 at 52 mm",
        ],
        help: "A plain bar or hole, the taper roughed with stock left on it, or another taper that \
               is there, with its diameter where the new one is measured.",
        set: |a, said| {
            let (start, surface) = match said {
                Some(said) => start(&said).map(|(start, surface)| (Some(start), surface))?,
                None => (None, None),
            };
            a.job.start = start;
            if let Some(surface) = surface {
                a.job.surface = Some(surface.to_owned());
            }
            Ok(())
        },
        applies: |a| !a.threaded,
        ..PLAIN
    },
    Question {
        key: "thread.threads_per_inch",
        first: Some(11),
        words: "Threads per inch, and the form",
        such_as: [
            "11-1/2 taper pipe, 14 60 degree",
            "11 55 degree rounded, 14 60 degree",
        ],
        help: "The form is that of the thread's flanks and crests. A left-hand thread: left hand \
               at the end.",
        set: |a, said| {
            a.job.thread = Some(said.as_deref().map(thread).transpose()?.unwrap_or_default());
            Ok(())
        },
        applies: |a| a.threaded && !a.thread_is_known(),
        needed: |_| true,
        ..PLAIN
    },
    Question {
        key: "tool.bar",
        first: Some(12),
        words: "The boring bar: its diameter, and how far it sticks out",
        such_as: ["1 in, 6 in", "25 mm, 150 mm"],
        help: "From where the bar is held to the edge. The bar is the softest link of a bore.",
        set: |a, said| {
            let said = said.unwrap_or_default();
            // Commas between digits are decimal ones where no number has a point.
            let mut sizes = parts(&said, Units::Metric).into_iter().map(str::to_owned);
            (a.job.bar_diameter, a.job.bar_stick_out) = (sizes.next(), sizes.next());
            match (said.is_empty(), &a.job.bar_stick_out) {
                (false, None) => Err("both, with a comma between: 1 in, 6 in".to_owned()),
                _ => Ok(()),
            }
        },
        applies: |a| a.job.kind == Kind::Inside,
        ..OF_TOOL
    },
    Question {
        key: "work.held",
        first: Some(12),
        words: "How is it held: chuck, chuck and centre, or between centres",
        help: "A centre holds the far end; without one, long work gives way. Or a steady rest, with its \
               place from the jaws: chuck and steady rest at 6 in.",
        set: held,
        applies: |a| a.job.kind == Kind::Outside,
        ..PLAIN
    },
    Question {
        key: "work.gauge_plane",
        words: "Where is the size measured",
        such_as: [
            "at the big end, or 1 in from there",
            "at the big end, or 25 mm from there",
        ],
        help: "Where the drawing gives the diameter.",
        set: |a, said| {
            let from = |said: String| said.trim_end_matches("from there").trim().to_owned();
            a.job.gauge_plane = said.map(from);
            Ok(())
        },
        applies: |a| !a.job.diameter.is_empty(),
        ..PLAIN
    },
    Question {
        key: "work.size_tolerance",
        words: "The tolerance on that diameter",
        such_as: ["+-0.002 in", "+-0.05 mm"],
        help: "From the drawing.",
        set: |a, said| {
            a.job.size_tolerance = said;
            Ok(())
        },
        ..PLAIN
    },
    Question {
        key: "work.room_headstock",
        words: "How far can the tool run past the headstock end of the taper",
        such_as: ["1-1/4 in", "30 mm"],
        help: "Before it meets jaws, a shoulder or the chuck. Slack is taken up in that room.",
        set: |a, said| {
            a.job.room_headstock = said;
            Ok(())
        },
        ..PLAIN
    },
    Question {
        key: "work.room_tailstock",
        words: "How far can the tool run past the tailstock end of the taper",
        such_as: ["4 in", "100 mm"],
        help: "Before it meets the tailstock or a shoulder.",
        set: |a, said| {
            a.job.room_tailstock = said;
            Ok(())
        },
        ..PLAIN
    },
    Question {
        key: "work.from_jaws",
        words: "From the jaws to the taper",
        such_as: ["1 in", "25 mm"],
        help: "How far the near end of the taper stands out of the chuck.",
        set: |a, said| {
            a.job.from_jaws = said;
            Ok(())
        },
        applies: |a| {
            !a.job
                .held
                .as_deref()
                .is_some_and(|held| held.starts_with("between"))
        },
        ..PLAIN
    },
    Question {
        key: "work.surface",
        words: "What surface are you starting on",
        such_as: [
            "turned in this setting, 4 jaw, cold drawn, black bar, cast, flame-cut, worn seat",
            "turned in this setting, 4 jaw, cold drawn, black bar, cast, flame-cut, worn seat",
        ],
        help: "It tells how far the blank runs out and how hard its skin is.",
        set: |a, said| {
            a.job.surface = said;
            Ok(())
        },
        ..PLAIN
    },
    Question {
        key: "work.held",
        words: "How is it held: in a chuck, or on a faceplate",
        help: "A bore is held at one end; long work has a steady rest on it: chuck and steady rest at \
               6 in, from the jaws.",
        set: held,
        applies: |a| a.job.kind == Kind::Inside,
        ..PLAIN
    },
    Question {
        key: "tool.edge",
        words: "Tool: sharp, worn or dull",
        help: "A dull edge pushes more and needs a deeper cut to bite.",
        set: |a, said| {
            a.job.edge = said;
            Ok(())
        },
        ..OF_TOOL
    },
    Question {
        key: "tool.nose_radius",
        words: "The tool's nose radius",
        such_as: ["1/32 in", "0.8 mm"],
        help: "As marked on the insert, or by a radius gauge.",
        set: |a, said| {
            a.job.nose_radius = said;
            Ok(())
        },
        ..OF_TOOL
    },
    Question {
        key: "tool.shape",
        words: "Insert or HSS (its shape, or hss for a ground tool)",
        such_as: [
            "80 degree diamond, triangle, square, hss",
            "80 degree diamond, triangle, square, hss",
        ],
        help: "The shape tells the angle at which the edge enters the work.",
        set: |a, said| {
            a.job.shape = said;
            Ok(())
        },
        ..OF_TOOL
    },
    Question {
        key: "passes.finish",
        words: "The last passes in order, per side",
        such_as: ["0.010 in, 0.005 in", "0.25 mm, 0.12 mm"],
        help: "The depth of each finishing pass, the last one last.",
        set: |a, said| {
            let list = said.unwrap_or_default();
            // Commas between digits are decimal ones where no number has a point.
            let depths = parts(&list, Units::Metric);
            a.job.finish = depths.into_iter().map(str::to_owned).collect();
            Ok(())
        },
        ..OF_PASSES
    },
    Question {
        key: "passes.feed",
        words: "Finishing feed per turn",
        such_as: ["0.005 in", "0.12 mm"],
        help: "Carriage travel for a turn of the spindle.",
        set: |a, said| {
            a.job.feed = said;
            Ok(())
        },
        ..OF_PASSES
    },
    Question {
        key: "passes.rough",
        words: "Depth of a roughing pass, per side",
        such_as: ["0.040 in", "1 mm"],
        help: "As dialled.",
        set: |a, said| {
            a.job.rough = said;
            Ok(())
        },
        ..OF_PASSES
    },
    Question {
        key: "passes.speed",
        words: "Speed",
        such_as: ["250 sfm or 400 rpm", "75 m/min or 400 rpm"],
        help: "Of the spindle, or at the cut.",
        set: |a, said| {
            a.job.speed = said;
            Ok(())
        },
        ..OF_PASSES
    },
    Question {
        key: "name",
        words: "What is the job",
        such_as: ["cone of a drive shaft", "cone of a drive shaft"],
        help: "The name that answers and sheets give it.",
        set: |a, said| {
            if let Some(name) = said {
                a.job.name = name;
            }
            Ok(())
        },
        ..PLAIN
    },
];
