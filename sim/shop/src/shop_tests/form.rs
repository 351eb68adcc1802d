//! The blank forms: one to print and take to the lathe, one to type the readings into.

use crate::quantity::Units;
use crate::scenario::shop_tests::Test;

const SAFETY: &str = "\
BEFORE EVERY TEST: main switch off unless the test says otherwise. Tool out or well clear.
Air off and bled. Nothing the slide can run into. Pull from the operator's side. No loose
rope near the chuck. Read each thing three times and write all three down.
";

/// Procedure of a test, in shop words.
fn procedure(test: Test) -> &'static str {
    match test {
        Test::Reversal => {
            "\
Attachment coupled, guide at a known taper (2 in/ft or 160 mm/m is good), no cut. Indicator on
the slide against the carriage, or the readout. Move toward the chuck until both move
steadily, and 1 in more. Zero both. Move back until the slide has moved 0.001 in (0.02 mm).
Write down how far the carriage went. Do it both ways round; if there is time at both ends of
the guide too, and once more at a slow taper (1/2 in/ft): two tapers part foot from slack."
        }
        Test::Foot => {
            "\
Indicator from the bed to the end of the guide bar, along the bed. Reverse as in test 1. How
far the carriage goes before the bar stands still is the foot's."
        }
        Test::Parts => {
            "\
Carriage locked, indicator on the slide. (a) Turn the cross dial back and forth until the
slide moves each way: write what the dial loses, in mid stroke and near the ends. (b)
Indicator on the screw's end or the yoke, push and pull the slide: end float. (c) Indicator
from shoe to guide bar, square to the bar: the shoe. (a) and (c) must make up test 1."
        }
        Test::Drag => {
            "\
Spring scale or luggage scale to 50 - 100 lb. Slide in mid slack (dial back half of what it
loses) or uncoupled. Hook the tool post low down, pull level and slowly. To start it: the
reading when the indicator first moves. Running: the reading while it creeps. Both ways. At
five places along the stroke if there is time. Spindle running only with bare closed chuck,
tool off, scale line led away from the chuck; otherwise leave that out."
        }
        Test::Spring => {
            "\
Coupled, carriage locked, indicator on the tool post against the BED, a second one on the
slide if there is one. Pull toward you 30, 45, 60 lbf (all above the drag), write each, let
off; then push the same. Always go up, never back within a run. No hammers, no pry bars."
        }
        Test::BarTip => {
            "\
Slide blocked. Pull the bar's tip, then the work at the chuck, then at the centre, in line
with the depth, and read how far each goes. Then wag the tip lightly: what it moves without
force. Measure from the tip to the middle of the slide."
        }
        Test::GuideTrue => {
            "\
Guide at zero. Run the carriage 3 in and more against a test bar that lies along the bed, or
by the readout: the taper that is left, with its sign, is the setting's error. Feel the
crank: where it gets heavy, write the place. Climb of the bar: write it, in thou per foot."
        }
        Test::StraightCut => {
            "\
Guide let go, turn a straight piece or two collars in the chuck alone, tool in front, and mike
both ends. This is the taper that the readout can't see. (Main switch on for the cut.)"
        }
        Test::TwoWayCut => {
            "\
The best single test. Cut a taper on scrap one way at a dial setting, then the other way from
the same touch-off, at the finishing depth. Mike both in mid length. Half the difference is
the slack that the cut really uses. Waves seen? (Main switch on for the cut.)"
        }
        Test::SetAgainstTaken => {
            "\
Set 0.010 in per side on the dial, cut, mike what was taken per side. (Main switch on for the
cut.)"
        }
        Test::CarriageRock => {
            "\
Indicator from the bed on the tool post, in line with the depth. Push the carriage by hand at
its headstock end, then at its tailstock end, toward you and away, without moving it along: the
most that the indicator goes is its rock."
        }
        Test::TwoCuts => {
            "\
The strongest thing to bring. Outside, scrap in the chuck, any taper of the guide. Pulled in:
feed from the big end to the small; take one pass to even it; run in, touch off on that, mike
mid length, set 0.010 in per side, cut and mike again: set and taken. Then drawn away, from the
small end to the big, all of it anew. (Main switch on for the cuts.)"
        }
    }
}

/// What is written down for a test: key in the file, what it is, boxes.
fn boxes(test: Test) -> &'static [(&'static str, usize)] {
    match test {
        Test::Reversal => &[
            ("guide at (taper)", 1),
            ("lost, middle of the guide", 3),
            ("lost, headstock end", 3),
            ("lost, tailstock end", 3),
            ("slow taper", 1),
            ("lost at the slow taper", 3),
        ],
        Test::Foot => &[("carriage before the bar stands", 3)],
        Test::Parts => &[
            ("(a) dial loses, mid stroke", 3),
            ("(a) dial loses, near the ends", 3),
            ("(b) end float", 3),
            ("(c) shoe", 3),
        ],
        Test::Drag => &[
            ("start, toward the operator", 3),
            ("start, away", 3),
            ("running, toward the operator", 3),
            ("running, away", 3),
            ("running, along the stroke", 5),
        ],
        Test::Spring => &[
            ("pulls", 3),
            ("post, pulled: run 1", 3),
            ("run 2", 3),
            ("run 3", 3),
            ("post, pushed: run 1", 3),
            ("run 2", 3),
            ("run 3", 3),
            ("slide, pulled (if read)", 3),
            ("slide, pushed (if read)", 3),
        ],
        Test::BarTip => &[
            ("pull at tip / chuck / centre", 3),
            ("tip moved", 3),
            ("work moved at the chuck", 3),
            ("work moved at the centre", 3),
            ("tip wags", 3),
            ("tip to middle of slide", 1),
        ],
        Test::GuideTrue => &[
            ("taper left at zero, with sign", 3),
            ("heavy at / climb", 2),
        ],
        Test::StraightCut => &[
            ("diameter, headstock end", 3),
            ("diameter, tailstock end", 3),
            ("apart", 1),
        ],
        Test::TwoWayCut => &[
            ("diameter, fed to the headstock", 3),
            ("diameter, fed to the tailstock", 3),
            ("waves: none / seen", 1),
        ],
        Test::SetAgainstTaken => &[("set, per side", 1), ("taken, per side", 3)],
        Test::CarriageRock => &[("post goes between the pushes", 3)],
        Test::TwoCuts => &[
            ("material / nose / feed / taper", 4),
            ("pulled in: set, per side", 1),
            ("taken, per side", 3),
            ("drawn away: set, per side", 1),
            ("taken, per side", 3),
        ],
    }
}

/// The form to print: safety, then each test with its boxes; the least that should be done is
/// marked.
pub fn paper() -> String {
    let mut page =
        String::from("SHOP TESTS   lathe ____________________   date ______________\n\n");
    page.push_str(SAFETY);
    page.push_str("\nThe least to do: 1, 4 and 9 (marked *).\n");
    page.push_str(
        "Steps of the gauges: slide ________  carriage ________  scale ________  mike ________\n\
         The slide was read by (ring one):  readout on diameter   readout per side   indicator\n\
         Move the slide 0.100 in by the dial's per-side marks: a readout on diameter shows 0.200.\n",
    );
    for test in Test::ALL {
        let (_, title) = test.name().split_once(", ").unwrap_or(("", test.name()));
        let star = if test.is_minimum() { "*" } else { " " };
        let minutes = test.minutes();
        let number = test.number();
        page.push_str(&format!(
            "\n{star} TEST {number}: {title} ({minutes} min)\n"
        ));
        page.push_str(procedure(test));
        page.push('\n');
        for (words, count) in boxes(test) {
            page.push_str(&format!("    {words:<34}"));
            for _ in 0..*count {
                page.push_str(" [________]");
            }
            page.push('\n');
        }
    }
    page
}

/// The file to type the readings into: everything "not done".
pub fn blank(units: Units) -> String {
    let (system, texts) = match units {
        Units::Inch => ("inch", INCH),
        Units::Metric => ("metric", METRIC),
    };
    let [
        slide,
        carriage,
        scale,
        gauge,
        fast,
        slow,
        moved,
        lost,
        small,
        pull,
        dia,
    ] = texts;
    aligned(&format!(
        "\
# Shop tests of one lathe. Write every repeat, each with its unit: [{lost}].
# Leave \"not done\" where it wasn't. The least to do: [reversal], [drag], [two_way_cut].
name = \"the lathe\"
units = \"{system}\"

[steps]                                # how finely each gauge reads
slide = \"{slide}\"                    # readout or indicator on the slide, as it shows
reads = \"don't know\"                 # what that counts: diameter, radius (per side), indicator
carriage = \"{carriage}\"              # carriage travel
scale = \"{scale}\"                    # spring scale
gauge = \"{gauge}\"                    # micrometer or bore gauge

[reversal]                             # test 1 *: carriage travel before the slide follows
taper = \"{fast}\"                     # what the guide stands at, on diameter
slide_moved = \"{moved}\"              # how far the slide itself was let move before reading
middle = \"not done\"                  # [{lost}], both ways round
headstock_end = \"not done\"
tailstock_end = \"not done\"

[reversal_slow]                        # the same at a slow taper: parts foot from slack
taper = \"{slow}\"
slide_moved = \"{moved}\"
middle = \"not done\"

[foot]                                 # test 2
lost = \"not done\"                    # carriage travel before the guide bar stands still

[parts]                                # test 3
dial = \"not done\"                    # (a) what the dial loses, [{small}]
dial_at_ends = \"not done\"            # the same near the ends of the stroke
thrust = \"not done\"                  # (b) end float of screw or yoke
shoe = \"not done\"                    # (c) shoe on the guide, square to the bar

[drag]                                 # test 4 *
start_toward = \"not done\"            # pull that starts it, [{pull}]
start_away = \"not done\"
running_toward = \"not done\"          # pull that keeps it creeping
running_away = \"not done\"
along = \"not done\"                   # the same at five places along the stroke
spindle_running = \"not done\"         # only where it can be done safely

[spring]                               # test 5
forces = \"not done\"                  # the pulls of one run, [{pull}]
post_pulled = \"not done\"             # tool post against the bed: one for each pull, run after run
post_pushed = \"not done\"
slide_pulled = \"not done\"            # second indicator, on the slide
slide_pushed = \"not done\"

[bar]                                  # test 6
tip_force = \"not done\"
tip_moved = \"not done\"
chuck_force = \"not done\"
chuck_moved = \"not done\"
centre_force = \"not done\"
centre_moved = \"not done\"
wag = \"not done\"                     # what the tip moves without force
reach = \"not done\"                   # from the tip to the middle of the slide

[guide]                                # test 7
zero = \"not done\"                    # taper left with the guide at zero, with its sign

[straight_cut]                         # test 8
headstock_end = \"not done\"           # diameters, [{dia}]
tailstock_end = \"not done\"
apart = \"not done\"

[two_way_cut]                          # test 9 *
toward_headstock = \"not done\"        # diameters in mid length, [{dia}]
toward_tailstock = \"not done\"
waves = \"don't know\"                 # none or seen

[set_taken]                            # test 10
set = \"not done\"                     # per side
taken = \"not done\"                   # per side, [{small}]

[carriage_rock]                        # test 11
moved = \"not done\"                   # what the post moves between a push at either end

[two_cuts]                             # test 12: outside, one pass each way on an even one
material = \"not done\"                # as in a job file
taper = \"not done\"                   # what the guide stands at, on diameter
nose_radius = \"not done\"
feed = \"not done\"
pulled_in_set = \"not done\"           # fed from the big end to the small, per side
pulled_in_taken = \"not done\"         # per side, [{small}]
drawn_away_set = \"not done\"          # fed from the small end to the big
drawn_away_taken = \"not done\"
"
    ))
}

/// The comments behind values, brought under one another.
fn aligned(text: &str) -> String {
    text.lines()
        .map(|line| match line.split_once("  #") {
            Some((value, comment)) => format!("{:<30} #{comment}\n", value.trim_end()),
            None => format!("{line}\n"),
        })
        .collect()
}

const INCH: [&str; 11] = [
    "0.0005 in",
    "0.01 in",
    "1 lbf",
    "0.0002 in",
    "2 in/ft",
    "1/2 in/ft",
    "0.001 in",
    "\"0.95 in\", \"0.97 in\", \"0.96 in\"",
    "\"0.012 in\", \"0.013 in\", \"0.012 in\"",
    "\"30 lbf\", \"45 lbf\", \"60 lbf\"",
    "\"1.985 in\", \"1.985 in\", \"1.986 in\"",
];

const METRIC: [&str; 11] = [
    "0.01 mm",
    "0.2 mm",
    "5 N",
    "0.005 mm",
    "160 mm/m",
    "40 mm/m",
    "0.02 mm",
    "\"24.2 mm\", \"24.6 mm\", \"24.4 mm\"",
    "\"0.30 mm\", \"0.33 mm\", \"0.30 mm\"",
    "\"130 N\", \"200 N\", \"270 N\"",
    "\"50.42 mm\", \"50.42 mm\", \"50.44 mm\"",
];
