//! `preload` and `modify`: what they say first, what they refuse, whole outputs, the same bytes on
//! any threads, wrong input.

use crate::workshop::{Workshop, code, err, out};
use serde_json::Value;

const SOCKET: &str = include_str!("../../../../scenarios/tapered-socket.toml");
const LONG: &str = include_str!("../../../../scenarios/long-bar-socket.toml");
const WRONG: &str = include_str!("../../../../scenarios/air-into-the-cut.toml");
const PLUG: &str = include_str!("../../../../scenarios/plug-cock.toml");
const WORN: &str = include_str!("../../../../scenarios/worn-lathe.toml");
const SNUG: &str = include_str!("../../../../scenarios/snug-lathe.toml");
const METRIC: &str = include_str!("../../../../scenarios/metric-lathe.toml");

fn shop() -> Workshop {
    let shop = Workshop::empty();
    for (name, text) in [
        ("socket.toml", SOCKET),
        ("long.toml", LONG),
        ("wrong.toml", WRONG),
        ("plug.toml", PLUG),
        ("worn-lathe.toml", WORN),
        ("snug-lathe.toml", SNUG),
        ("metric-lathe.toml", METRIC),
    ] {
        shop.write(name, text);
    }
    shop
}

fn json(text: &str) -> Value {
    serde_json::from_str(text).unwrap_or_else(|why| panic!("{why}:\n{text}"))
}

/// A page as one line: words are looked for wherever they wrap.
fn said(shop: &Workshop, arguments: &[&str]) -> String {
    let done = shop.run(arguments);
    assert!(code(&done) < 2, "{arguments:?}: {}", err(&done));
    out(&done).split_whitespace().collect::<Vec<_>>().join(" ")
}

const FEW: [&str; 2] = ["--trials", "50"];

fn few(arguments: &[&'static str]) -> Vec<&'static str> {
    [arguments, &FEW].concat()
}

#[test]
fn a_preload_is_told_with_the_danger_first_and_the_way_in_the_shops_words() {
    let shop = shop();
    let text = said(&shop, &few(&["preload", "socket.toml"]));
    assert!(text.starts_with("BEFORE ANYTHING: Shut the air off and bleed it before uncoupling"));
    // Boring the front wall, out of the cut is away; turning in front it is toward.
    assert!(text.contains("HOLD IT AWAY FROM THE OPERATOR, if at all: boring the front wall"));
    assert!(text.contains("turning outside in front it is toward the operator"));
    assert!(text.contains("NEEDED? No, if you cut it the best way, pull-in"));
    assert!(text.contains("The plain rule, at least twice what starts the slide"));
    assert!(text.contains("TOO WEAK: worse than none."));
    assert!(text.contains(
        "NEVER INTO THE CUT: here that is toward the operator. This is a rule of safety"
    ));
    assert!(text.contains("relieving regulator") && text.contains("Stroke: at least"));
    assert!(text.contains("SWITCHING OFF, in this order: spindle stopped"));
    assert!(text.contains("100 mm") && text.contains("1059 lbf refused: absurd"));
    assert!(text.contains("32 mm") && text.contains("108 lbf good"));
    assert!(text.contains("A prediction is not an inspection"));
    let plug = said(&shop, &few(&["preload", "plug.toml"]));
    assert!(plug.contains("HOLD IT TOWARD THE OPERATOR, if at all: turning outside in front"));
    for word in [
        "regime", "quantile", "meridian", "Sobol", "chain", "follower", "anchor",
    ] {
        assert!(!text.contains(word), "{word}");
    }
}

#[test]
fn a_preload_of_ones_own_is_judged_and_too_much_or_into_the_cut_refused() {
    let shop = shop();
    let of = |more: &[&'static str]| {
        said(
            &shop,
            &[&few(&["preload", "socket.toml"])[..], more].concat(),
        )
    };
    assert!(of(&["--weight", "60 lbf"]).contains("YOURS: a weight of 60 lbf: it holds."));
    assert!(of(&["--weight", "250 lbf"]).contains("REFUSED: above 200 lbf"));
    let absurd = of(&["--bore", "100 mm", "--pressure", "6 bar"]);
    assert!(absurd.contains("1059 lbf: REFUSED"), "{absurd}");
    let slips = of(&["--bore", "2 in", "--pressure", "27 psi"]);
    assert!(slips.contains("a slip of the regulator"), "{slips}");
    // A stiff spring is weakest at one end of its stroke.
    let spring = of(&["--spring", "40 lbf", "--rate", "100 lbf/in"]);
    assert!(
        spring.contains("YOURS: a spring of 30 to") && spring.contains("TOO WEAK"),
        "{spring}"
    );
    let wrong = said(&shop, &few(&["preload", "wrong.toml"]));
    assert!(wrong.contains("toward the operator: INTO THE CUT. Never, even where it reads steady"));
    // Pulled in nothing is needed, and nothing sold.
    let pulled = of(&["--feed", "tailstock"]);
    assert!(pulled.contains("nothing is the least") && !pulled.contains("set it to"));
}

#[test]
fn where_no_force_may_be_advised_none_is_and_the_script_is_told_when_one_is_needed() {
    let shop = shop();
    shop.edit("worn-lathe.toml", "drag = \"14 lbf\"", "drag = \"120 lbf\"");
    let text = said(&shop, &few(&["preload", "socket.toml"]));
    assert!(text.contains("NO PRELOAD CAN BE ADVISED"), "{text}");
    assert!(!text.contains("USE ") && !text.contains("set it to"));
    // Only the way that is drawn away is left: a right-hand thread, no reverse; and it floats.
    let shop = self::shop();
    shop.write(
        "thread.toml",
        format!("{SOCKET}\n[thread]\nhand = \"right\"\n"),
    );
    shop.edit("worn-lathe.toml", "reverse = true", "reverse = false");
    let done = shop.run(&few(&["preload", "thread.toml"]));
    assert_eq!(code(&done), 0, "{}", err(&done));
    let text = out(&done).split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("NEEDED? Yes, that or a change"), "{text}");
    shop.edit(
        "worn-lathe.toml",
        "drag = \"14 lbf\"",
        "drag = { low = \"15 lbf\", middle = \"40 lbf\", high = \"300 lbf\" }",
    );
    let done = shop.run(&few(&["preload", "thread.toml"]));
    let text = out(&done);
    assert!(text.contains("NO PRELOAD CAN BE ADVISED"), "{text}");
    assert_eq!(
        code(&done),
        i32::from(text.contains("NEEDED? Yes")),
        "{text}"
    );
}

#[test]
fn changes_are_ranked_and_what_cannot_matter_is_said() {
    let shop = shop();
    let text = said(
        &shop,
        &few(&["modify", "socket.toml", "--feed", "headstock"]),
    );
    assert!(text.contains("MOST GAIN FIRST: 1. "), "{text}");
    assert!(
        text.contains("feed the other way: 2 min, easily undone. Saves "),
        "{text}"
    );
    assert!(text.contains("BY THE PLAN: OUT OF REACH: "), "{text}");
    assert!(text.contains("a weight or constant-force spring of 40 lbf"));
    assert!(text.contains("MOST FOR THE HOUR: feed the other way (2 min)"));
    assert!(text.contains("Gain: first the minutes saved a piece by the plan"));
    assert!(text.contains("seed 1, 50 lathes tried"));
    assert!(!text.contains("THE WEAK LINK"));
    let long = said(&shop, &few(&["modify", "long.toml", "--detail"]));
    assert!(long.contains("THE WEAK LINK: is the bar"), "{long}");
    assert!(
        long.contains("the bar only 4-5/8 in out: 5 min, easily undone."),
        "{long}"
    );
    assert!(
        long.contains("What each does (nothing here was measured)") && long.contains("guesses")
    );
    for word in [
        "regime", "quantile", "meridian", "Sobol", "chain", "follower", "anchor",
    ] {
        assert!(!text.contains(word) && !long.contains(word), "{word}");
    }
    // A preload into the cut is nothing to start from.
    let done = shop.run(&few(&["modify", "wrong.toml", "--side", "front"]));
    assert_eq!(code(&done), 1);
    assert!(out(&done).contains("never to be used"), "{}", out(&done));
}

#[test]
fn another_lathe_file_is_the_same_job_on_both() {
    let shop = shop();
    let arguments = ["modify", "socket.toml", "--feed", "headstock", "--against"];
    let to = |lathe: &'static str, more: &[&'static str]| {
        said(
            &shop,
            &[&few(&arguments)[..5], &[lathe], &FEW, more].concat(),
        )
    };
    let snug = to("snug-lathe.toml", &[]);
    assert!(
        snug.contains("ON THE OTHER: the old 14 in lathe, gib drawn up"),
        "{snug}"
    );
    assert!(snug.contains("nearer") && !snug.contains("MOST GAIN FIRST"));
    // The same lathe under another name differs in nothing.
    let own = json(&to("worn-lathe.toml", &["--format", "json"]));
    let gains = &own["tried"][0]["gains"];
    for measure in ["met", "taper", "size", "waves"] {
        assert_eq!(gains[measure]["mean"], 0.0, "{measure}");
    }
    assert!(own["tried"][0]["minutes"].is_null());
}

#[test]
fn directories_come_whole_with_figures_and_the_same_on_any_threads() {
    let shop = shop();
    for (command, job, named) in [
        ("preload", "plug.toml", "preload"),
        ("modify", "plug.toml", "changes"),
    ] {
        for threads in ["1", "3"] {
            let to = format!("{command}{threads}");
            let done = shop.run(&[
                command,
                job,
                "--trials",
                "50",
                "--threads",
                threads,
                "--out",
                &to,
            ]);
            assert_eq!(code(&done), 0, "{}", err(&done));
            let mut wanted = ["csv", "json", "png", "svg"]
                .map(|end| format!("{named}.{end}"))
                .to_vec();
            wanted.extend(["report.html", "report.txt"].map(str::to_owned));
            wanted.push("tautway-output.txt".to_owned());
            wanted.sort();
            assert_eq!(shop.names(&to), wanted);
        }
        for file in [
            "report.txt".to_owned(),
            format!("{named}.csv"),
            format!("{named}.json"),
            format!("{named}.svg"),
        ] {
            let [one, three] = ["1", "3"].map(|t| shop.read(&format!("{command}{t}/{file}")));
            assert!(one == three, "{command} {file}");
        }
        // What is there is kept, and replaced only when asked.
        let again = shop.run(&[
            command,
            job,
            "--trials",
            "50",
            "--out",
            &format!("{command}1"),
        ]);
        assert_eq!(code(&again), 2);
        assert!(err(&again).contains("--overwrite"), "{}", err(&again));
        let again = shop.run(&[
            command,
            job,
            "--trials",
            "50",
            "--out",
            &format!("{command}1"),
            "--overwrite",
        ]);
        assert_eq!(code(&again), 0, "{}", err(&again));
    }
    let table = shop.read("modify1/changes.csv");
    let head = table.lines().next().expect("a heading");
    for column in [
        "rank",
        "rank_by_hour",
        "time_minutes",
        "taper_off_before_mm_per_m",
        "size_off_gain_least_um",
    ] {
        assert!(head.contains(column), "{column} in {head}");
    }
    let record = json(&shop.read("preload1/preload.json"));
    assert_eq!(record["preload"]["trials"], 50);
    assert!(record["preload"]["scan"].as_array().expect("forces").len() > 25);
    assert_eq!(record["cautions"][0]["id"], "air-on");
}

#[test]
fn pairs_are_tried_when_asked_for() {
    let shop = shop();
    let arguments = [
        "modify",
        "long.toml",
        "--pairs",
        "--format",
        "json",
        "--trials",
        "50",
    ];
    let done = shop.run(&arguments);
    assert_eq!(code(&done), 0, "{}", err(&done));
    let record = json(&out(&done));
    let single = record["changes"].as_array().expect("changes").len();
    let tried = record["tried"].as_array().expect("all");
    // Every two but weight with cylinder.
    assert_eq!(tried.len(), single + single * (single - 1) / 2 - 1);
    let of = |id: &str| {
        let row = tried.iter().find(|row| row["id"] == id);
        row.unwrap_or_else(|| panic!("no {id}"))["gains"]["size"]["mean"]
            .as_f64()
            .expect("a number")
    };
    // Both bars together gain more than either, less than the sum: it is one compliance.
    let both = of("shorter-bar+thicker-bar");
    let (shorter, thicker) = (of("shorter-bar"), of("thicker-bar"));
    assert!(both > shorter.max(thicker) && both < shorter + thicker);
}

#[test]
fn wrong_input_is_refused_with_what_would_be_right_and_nothing_is_written() {
    let shop = shop();
    for (arguments, wants) in [
        (&["preload", "socket.toml", "--weight", "40"][..], "lbf"),
        (&["preload", "socket.toml", "--weight", "0 lbf"], "above 0"),
        (&["preload", "socket.toml", "--spring", "40 lbf"], "--rate"),
        (&["preload", "socket.toml", "--bore", "32 mm"], "--pressure"),
        (
            &[
                "preload",
                "socket.toml",
                "--weight",
                "40 lbf",
                "--bore",
                "1 in",
                "--pressure",
                "60 psi",
            ],
            "cannot be used with",
        ),
        (&["preload", "socket.toml", "--sure", "100"], "50 to 99"),
        (&["preload", "socket.toml", "--margin", "200"], "0 to 100"),
        (&["preload", "socket.toml", "--trials", "10"], "50"),
        (&["preload", "worn-lathe.toml"], "describes a lathe"),
        (
            &["modify", "socket.toml", "--against", "long.toml"],
            "describes no lathe",
        ),
        (
            &[
                "modify",
                "socket.toml",
                "--pairs",
                "--against",
                "snug-lathe.toml",
            ],
            "cannot be used with",
        ),
        (&["modify", "socket.toml", "--trials", "many"], "--trials"),
    ] {
        let done = shop.run(&[arguments, &["--out", "report"]].concat());
        assert_eq!(
            code(&done),
            2,
            "{arguments:?}: {}{}",
            out(&done),
            err(&done)
        );
        assert!(err(&done).contains(wants), "{arguments:?}: {}", err(&done));
        assert!(out(&done).is_empty(), "{arguments:?}");
        assert!(!shop.path("report").exists(), "{arguments:?}");
    }
    shop.edit("worn-lathe.toml", "reverse = true", "reverse = false");
    let done = shop.run(&["preload", "socket.toml", "--rotation", "reverse"]);
    assert_eq!(code(&done), 2);
    assert!(
        err(&done).contains("can't be cut: this spindle"),
        "{}",
        err(&done)
    );
    let done = shop.run(&["modify", "socket.toml", "--against", "gone.toml"]);
    assert_eq!(code(&done), 3);
    assert!(err(&done).contains("gone.toml"), "{}", err(&done));
    // A fault in the other lathe is pointed at in that file.
    shop.write("bad.toml", SNUG.replace("50 lbf", "50 lbx"));
    let done = shop.run(&["modify", "socket.toml", "--against", "bad.toml"]);
    assert_eq!(code(&done), 2);
    assert!(err(&done).contains("bad.toml"), "{}", err(&done));
}
