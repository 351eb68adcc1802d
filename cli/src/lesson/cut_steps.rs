//! Steps six to nine: drag against push-off, the two cuts, the gib, dial and spring pass.

use tautway_sim::lesson::{SpringPass, Taught};
use tautway_sim::quantity::{INCH, Units};
use tautway_sim::verdict::NOT_SEEN;

use super::page::{self, State, Step, measure, say};
use super::told::{Told, picture};
use tautway_screens::screen::words;
use tautway_words::Words;

pub fn all(told: &Told<'_>) -> Vec<Step> {
    vec![drag(told), two_cuts(told), gib(told), dial(told)]
}

pub(super) fn depth(told: &Told<'_>, m: f64) -> String {
    match told.units {
        Units::Inch => format!("{:.3} in", m / INCH),
        Units::Metric => format!("{:.1} mm", m * 1e3),
    }
}

fn drag(told: &Told<'_>) -> Step {
    let depths = &told.lesson.depths;
    let asked = depths
        .rows
        .iter()
        .map(|row| vec![depth(told, row.depth), String::new()])
        .collect();
    let answered = depths
        .rows
        .iter()
        .map(|row| {
            let wins = if row.push_off > row.drag {
                "push-off: the tool is pushed back to the guide"
            } else {
                "drag: the slide stays where it is"
            };
            vec![
                depth(told, row.depth),
                told.force(row.push_off),
                told.force(row.drag),
                wins.to_owned(),
            ]
        })
        .collect();
    let alike = if depths.alike.is_empty() {
        "On this job one of them wins at every depth worth cutting.".to_owned()
    } else {
        let at: Vec<String> = depths.alike.iter().map(|at| told.height(*at)).collect();
        format!(
            "They are alike at about *{}*: round there a slide that is drawn away floats. Once \
             the whole nose of the tool is in, more depth adds little push-off, but more weight \
             on the ways.",
            at.join(" and ")
        )
    };
    Step {
        number: 6,
        title: "Pull the slide with a scale",
        state: State::Off,
        question: "The cut pushes the tool off, the ways hold the slide. Which of the two wins?"
            .to_owned(),
        cautions: Vec::new(),
        hands: vec![
            "Slide in the middle of its slack (dial back half the backlash), indicator on it."
                .to_owned(),
            "Hook the scale to the tool post, low down. Pull level and slowly, toward you; the \
             line led away from the chuck."
                .to_owned(),
            "Read when the indicator first moves: to start it. Read when it creeps: to keep it \
             moving. Three times; then push."
                .to_owned(),
        ],
        pieces: vec![
            page::measures(vec![
                measure("To start it", told.force(depths.starts)),
                measure("To keep it moving", told.force(depths.hand)),
            ]),
            say(format!(
                "*Guess first:* fed {} a turn, which wins, drag or push-off?",
                told.height(depths.feed)
            )),
            page::table(
                vec!["Depth per side".to_owned(), "Your guess".to_owned()],
                asked,
            ),
        ],
        answer: vec![
            page::table(
                ["depth per side", "push-off", "drag while cutting", "wins"]
                    .map(str::to_owned)
                    .to_vec(),
                answered,
            ),
            say(alike),
            say(format!(
                "In the cut the drag is less than the {} that the scale reads, because everything \
                 shakes, and more where the cut presses the slide down.",
                told.force(depths.hand)
            )),
        ],
    }
}

/// Waves as they are felt.
fn waves(told: &Told<'_>, taught: &Taught) -> String {
    let Some(o) = &taught.outcome else {
        return "not cut here".to_owned();
    };
    let step = o
        .step
        .filter(|(step, _)| step.abs() > NOT_SEEN)
        .map_or(String::new(), |(step, _)| {
            format!(", a step of {}", told.height(step))
        });
    if o.waves <= NOT_SEEN {
        format!("none you would see{step}")
    } else {
        format!("{}{step}", told.height(o.waves))
    }
}

/// What the last pass took.
fn taken(told: &Told<'_>, taught: &Taught) -> String {
    taught
        .outcome
        .as_ref()
        .map_or_else(|| "not cut here".to_owned(), |o| told.height(o.taken))
}

fn seat(told: &Told<'_>, taught: &Taught) -> String {
    match &taught.outcome {
        None => format!("it can't be cut on this lathe: {}", told.out(taught)),
        Some(o) => {
            let held = words::seat(o, told.units);
            format!(
                "push-off {}, drag {}: {held}",
                words::forces(o.push_off, told.units),
                words::forces(o.drag, told.units),
            )
        }
    }
}

fn two_cuts(told: &Told<'_>) -> Step {
    let lesson = told.lesson;
    let both = [&lesson.pulled, &lesson.drawn];
    let set = both
        .iter()
        .find_map(|taught| taught.outcome.as_ref())
        .map_or(0.0, |o| o.set);
    let mut rows: Vec<[Words; 3]> = both
        .iter()
        .map(|taught| {
            measure(
                format!(
                    "*Size:* {}, took per side of {} set",
                    told.way(taught),
                    told.height(set)
                ),
                taken(told, taught),
            )
        })
        .collect();
    rows.extend(both.iter().map(|taught| {
        measure(
            format!("*Then finish:* {}, waves per side", told.way(taught)),
            waves(told, taught),
        )
    }));
    let mut pieces = Vec::new();
    for taught in both {
        if !taught.out.is_empty() {
            pieces.push(say(format!(
                "*{} can't be cut on this lathe and job:* {}. Cut the other way only.",
                told.way(taught),
                told.out(taught)
            )));
        }
        if taught.start.by_hand && taught.out.is_empty() {
            pieces.push(say(format!(
                "{}: no room to run in {}. Spindle stopped, tool clear, pull the slide to its face \
                 by hand before each pass.",
                told.way(taught),
                told.travel(taught.start.wanted)
            )));
        }
    }
    pieces.push(page::measures(rows));
    let caption = |taught: &Taught| {
        format!(
            "{}: {}",
            words::pull(taught.pull),
            words::toward(taught.setup.feed)
        )
    };
    pieces.push(picture(
        &[
            ("pulled", caption(&lesson.pulled)),
            ("drawn", caption(&lesson.drawn)),
        ],
        false,
    ));
    let answer = both
        .iter()
        .map(|taught| say(format!("*{}:* {}.", told.way(taught), seat(told, taught))))
        .chain([say(
            "Gauge the size before you look at the finish: a cut that floats may look only a \
             little rough and still leave metal. Slack that stays on one face leaves the angle \
             alone; it shifts the start and the size.",
        )])
        .collect();
    Step {
        number: 7,
        title: "Cut pulled in, cut drawn away, same dial",
        state: State::Cutting,
        question:
            "The same dial both ways. Which one takes what you set? Size first, finish second."
                .to_owned(),
        cautions: Vec::new(),
        hands: vec![
            "Scrap of the job's material, roughed to the taper, finishing depth left.".to_owned(),
            format!(
                "Run in every pass: start {} before the taper pulled in, {} drawn away. Touch off \
                 after the run-in, in the direction of the feed, at a marked place; dial to zero.",
                told.travel(lesson.pulled.start.wanted),
                told.travel(lesson.drawn.start.wanted)
            ),
            format!(
                "Set {} per side, cut one way. Spindle stopped: mike mid length, then feel it.",
                told.height(set)
            ),
            "Touch off anew, set the same, cut the other way. Mike, feel.".to_owned(),
        ],
        pieces,
        answer,
    }
}

fn gib(told: &Told<'_>) -> Step {
    let lesson = told.lesson;
    let mut pieces = Vec::new();
    let mut hands = Vec::new();
    let mut answer = Vec::new();
    if let Some(snugged) = &lesson.snugged {
        hands = vec![
            format!(
                "Main switch off. Snug the slide's gib until the scale of step 6 reads {} to keep \
                 it moving. Never more than twice what it was; never by the lock screw.",
                told.force(snugged.hand[1])
            ),
            "Touch off anew after the run-in, cut drawn away at the same dial as in step 7."
                .to_owned(),
            "Afterwards set the gib back.".to_owned(),
        ];
        let mut rows = vec![
            measure("Drag by hand after snugging", told.force(snugged.hand[1])),
            measure("Took per side, as it was", taken(told, &lesson.drawn)),
            measure("Took per side, gib snugged", taken(told, &snugged.after)),
            measure("Waves, as it was", waves(told, &lesson.drawn)),
            measure("Waves, gib snugged", waves(told, &snugged.after)),
        ];
        if let Some(twice) = &snugged.twice {
            rows.push(measure(
                format!(
                    "On the screen only: drag doubled to {}, took",
                    told.force(2.0 * snugged.hand[0])
                ),
                taken(told, twice),
            ));
            rows.push(measure("and its waves", waves(told, twice)));
        }
        pieces.push(page::measures(rows));
        pieces.push(page::blank("Why?"));
        pieces.push(picture(
            &[
                ("drawn", "as it was".to_owned()),
                (
                    "snugged",
                    if snugged.twice.is_some() {
                        "drag doubled".to_owned()
                    } else {
                        "gib snugged".to_owned()
                    },
                ),
            ],
            false,
        ));
        let so = if lesson.drawn.is_steady() {
            "Here it was steady before: drag or push-off wins clearly at this depth, and a snug \
             gib changes little."
        } else if snugged.after.is_steady() {
            "With more drag than push-off the slide stays on the far face, where the run-in left \
             it: steady, and touched off there it is on size."
        } else if snugged.twice.as_ref().is_some_and(|t| t.is_steady()) {
            "The usual snugging isn't enough here; only twice the drag holds it. Then the slide \
             stays on the far face, where the run-in left it."
        } else {
            "On this lathe and at this depth even twice the drag is less than the push-off, so \
             the slide still floats: a lighter finishing pass, pulling in, or a preload does it. \
             More gib is no answer; it only wears the shoe."
        };
        answer.push(say(so));
        answer.push(say(format!(
            "After snugging: {}.",
            seat(told, snugged.most())
        )));
    } else {
        pieces.push(say(format!(
            "Drawing away can't be cut on this lathe and job ({}), so there is nothing to steady.",
            told.out(&lesson.drawn)
        )));
        answer.push(say(
            "More drag than push-off keeps a slide that is drawn away on the far face of its slack.",
        ));
    }
    Step {
        number: 8,
        title: "Snug the gib",
        state: State::Cutting,
        question: "More drag: does drawing away become steady? Why?".to_owned(),
        cautions: Vec::new(),
        hands,
        pieces,
        answer,
    }
}

fn spring_rows(told: &Told<'_>, name: &str, spring: &SpringPass) -> [[Words; 3]; 2] {
    [
        measure(
            format!("{name}: pass of {} took", told.height(spring.set)),
            told.height(spring.taken),
        ),
        measure(
            format!("{name}: spring pass, nothing set, took"),
            told.height(spring.spring),
        ),
    ]
}

fn dial(told: &Told<'_>) -> Step {
    let lesson = told.lesson;
    let mut hands = Vec::new();
    let mut rows = Vec::new();
    let mut answer = Vec::new();
    if let Some(dial) = &lesson.dial {
        let what = if dial.top_slide {
            "top slide's handle"
        } else {
            "cross dial"
        };
        let turned = told.height(dial.in_slack.turned);
        hands.push(format!(
            "Main switch off, tool clear. Reverse the carriage, then go on {} only: the slack is \
             half taken up. Turn the {what} {turned} into the cut, indicator on the tool.",
            told.travel(dial.half)
        ));
        hands.push("Go back, run in fully, turn the same again.".to_owned());
        rows.push(measure(
            format!("Tool moved for {turned} of dial, slack half taken up"),
            told.height(dial.in_slack.tool),
        ));
        rows.push(measure(
            "The same after the run-in",
            told.height(dial.after.tool),
        ));
        answer.push(say(if dial.top_slide {
            "On a plain attachment the top slide moves the tool on the slide, so the drive's slack \
             doesn't take the dial; only its own screw's backlash can. The slide is still loose."
        } else if dial.after.tool > 0.9 * dial.after.turned {
            "In the slack the dial only moves the slack: the screw turns, the slide stands. Seated \
             against the guide the slide follows at once."
        } else {
            "In the slack the dial only moves the slack. After this run-in the slide hangs on the \
             far face, so the dial has to cross the slack first: touch off again after every dial \
             move that went back."
        }));
    }
    let names = ["pulled in", "drawn away"];
    for (name, spring) in names.iter().zip(&lesson.spring) {
        if let Some(spring) = spring {
            rows.extend(spring_rows(told, name, spring));
        }
    }
    hands.push(
        "Spring pass: pulled in only, on scrap, spindle forward, trainer at the lathe. Drawn away \
         it is read off here, never tried: it may dig in."
            .to_owned(),
    );
    let words: Vec<String> = names
        .iter()
        .zip(&lesson.spring)
        .filter_map(|(name, spring)| {
            let spring = (*spring)?;
            let end = if spring.size_error > 2.0 * NOT_SEEN {
                format!("and ends {} too deep", told.height(spring.size_error))
            } else if spring.size_error < -2.0 * NOT_SEEN {
                format!("and still leaves {}", told.height(spring.size_error))
            } else {
                "and ends on size".to_owned()
            };
            Some(format!(
                "{name}: {} with nothing set, {end}",
                told.height(spring.spring)
            ))
        })
        .collect();
    let deeper = match lesson.spring {
        [Some(pulled), Some(drawn)] if drawn.spring > pulled.spring + NOT_SEEN => {
            "Drawn away it goes deeper than anyone set: "
        }
        _ => "Drawn away it may go deeper than anyone set: ",
    };
    answer.push(say(format!(
        "A spring pass takes what the push-off kept the tool from. {}. {deeper}a light pass has \
         little push-off, drag wins, and the slide can go as much as a whole slack in. A spring \
         pass is not always safe.",
        words.join("; ")
    )));
    Step {
        number: 9,
        title: "A dial in the slack, a spring pass that goes deep",
        state: State::Cutting,
        question: "You turn the dial and nothing moves; you turn nothing and it cuts. How come?"
            .to_owned(),
        cautions: told.cautions(&["draw-away-digs-in"]),
        hands,
        pieces: vec![
            page::measures(rows),
            page::blank("Where did the dial's move go?"),
        ],
        answer,
    }
}
