//! What is asked of the program on every worked example.

use crate::workshop::Workshop;

/// Commands about one worked example; their answers are kept in one file.
pub struct Case {
    pub name: String,
    pub commands: Vec<String>,
}

/// Files beside the worked examples.
pub const FILES: [(&str, &str); 2] = [
    (
        "taken.gauged",
        "units = \"inch\"\n[way]\nfeed = \"tailstock\"\n[gauged]\ntaken = \"0.0085 in +- 0.0003 in\"\n",
    ),
    (
        "one-word.toml",
        "name = \"the old 14 in lathe\"\nunits = \"inch\"\ncondition = \"worn\"\n",
    ),
];

/// Of every job.
const JOB: [&str; 18] = [
    "check JOB",
    "compare JOB --trials 50",
    "predict JOB --trials 50",
    "predict JOB --trials 0 --trial 9",
    "predict JOB --trials 0 --feed headstock --detail",
    "predict JOB --trials 0 --feed headstock --inertia",
    "predict JOB --trials 50 --method tailstock",
    "predict JOB --trials 50 --method offset-centre",
    "predict JOB --trials 50 --method top-slide",
    "predict JOB --trials 50 --method reamer",
    "predict JOB --trials 50 --method form-tool",
    "predict JOB --trials 50 --method grinding",
    "predict JOB --trials 50 --method lapping",
    "sheet JOB",
    "preload JOB --trials 50",
    "modify JOB --trials 50",
    "lathe next JOB",
    "thread JOB --trials 50",
];

/// Jobs that differ from another in the cylinder alone: their ways are not compared again.
const LIKE: [&str; 2] = ["air-into-the-cut", "air-too-weak"];

/// Of one job each, what isn't worth asking of all.
const MORE: [(&str, &[&str]); 7] = [
    (
        "tapered-socket",
        &[
            "compare JOB --trials 100 --first-order --coverage 90",
            "compare JOB --trials 0 --seed 7 --start '0.2 in'",
            "compare JOB --trials 0 --detail",
            "predict JOB --trials 0 --side rear --feed tailstock --detail",
            "predict JOB --trials 0 --rotation reverse --detail",
            "predict JOB --trials 0 --trial 1",
            "predict JOB --trials 0 --trial 8",
            "predict JOB --trials 0 --feed headstock --trial 50",
            "predict JOB --trials 0 --trial 1 --inertia",
            "preload JOB --trials 50 --detail --weight '40 lbf'",
            "preload JOB --trials 50 --feed headstock --spring '50 lbf' --rate '5 lbf/in'",
            "preload JOB --trials 50 --bore '1-1/4 in' --pressure '60 psi'",
            "modify JOB --trials 50 --pairs --detail",
            "modify JOB --trials 50 --against toolroom-lathe.toml",
            "sheet JOB --feed headstock",
            "lesson JOB",
            "lathe learn JOB taken.gauged --draws 200",
        ],
    ),
    (
        "plug-cock",
        &[
            "predict JOB --trials 0 --method two-set-ups",
            "compare JOB --trials 0 --seed 7 --start '2 mm'",
            "modify JOB --trials 50 --feed headstock --detail",
            "lesson JOB",
        ],
    ),
    (
        "taper-sleeve",
        &["compare JOB --trials 0 --detail", "lesson JOB"],
    ),
    (
        "long-core",
        &["predict JOB --trials 50 --method two-set-ups"],
    ),
    (
        "pipe-nipple",
        &[
            "thread JOB --trials 0 --detail",
            "thread JOB --trials 0 --seed 7",
        ],
    ),
    ("threaded-plug", &["thread JOB --trials 0 --detail"]),
    ("threaded-socket", &["thread JOB --trials 0 --detail"]),
];

/// Of files that are no jobs, and of none.
const APART: [(&str, &[&str]); 3] = [
    (
        "shop",
        &[
            "check worn-lathe.toml",
            "check bare-lathe.toml",
            "check metric-lathe.toml",
            "check snug-lathe.toml",
            "check toolroom-lathe.toml",
            "check worn-lathe.tests",
            "check short-start.gauged",
            "check reversal.moves",
            "check socket-after-setting.readings",
            "check old-plug.sample",
            "lathe update worn-lathe.tests --from good",
            "lathe update worn-lathe.tests --from ordinary",
            "lathe update worn-lathe.tests --from worn",
            "lathe update worn-lathe.tests --from junk",
            "lathe update worn-lathe.tests --from one-word.toml --job tapered-socket.toml",
            "piece short-start.gauged --cuts 20",
            "piece taken.gauged --job tapered-socket.toml --cuts 20 --seed 3",
        ],
    ),
    (
        "hand",
        &[
            "readings slack-as-long-as-the-travel.readings",
            "readings socket-after-setting.readings",
            "guide old-plug.sample",
            "rehearse reversal.moves",
            "rehearse zero-too-early.moves",
        ],
    ),
    (
        "sums",
        &[
            "taper --list",
            "taper 1-1/2 in/ft",
            "taper 1:16 --travel '3 in'",
            "taper morse 2 --length '2.5 in'",
            "taper 3/4 in/ft --reading '0.2 in'",
            "fit standoff --taper '1-1/2 in/ft' --read '0.100 in' --kind inside",
            "fit standoff --taper 'morse 3' --read '2 mm +- 0.1 mm' --kind outside --at-size '1 mm'",
            "fit blue --taper '1-1/2 in/ft' --kind outside --big-end headstock --bears big \
             --shake '0.002 in' --over '3 in'",
            "fit blue --taper '1-1/2 in/ft' --kind inside --big-end tailstock --bears small \
             --mark '0.5 in'",
            "fit rolls --roll '0.250 in' --low '1.7702 in' --high '1.9368 in' \
             --high-blocks '1 in'",
            "fit balls --small '0.500 in' --small-depth '3.1 in' --large '0.750 in' \
             --large-depth '1.47 in'",
            "fit diameters --big '1.378 in' --small '1.000 in' --apart '3 in' --wanted '1-1/2 in/ft'",
        ],
    ),
];

/// Every case.
pub fn all(shop: &Workshop) -> Vec<Case> {
    let names = shop.names(".");
    let jobs: Vec<&str> = names
        .iter()
        .filter(|name| name.ends_with(".toml") && shop.read(name).contains("[work]"))
        .filter_map(|name| name.strip_suffix(".toml"))
        .collect();
    assert!(jobs.len() > 12, "{jobs:?}");
    let more = |job: &str| {
        let found = MORE.iter().find(|(name, _)| *name == job);
        found.map_or(&[][..], |(_, commands)| commands)
    };
    let of_job = |job: &&str| Case {
        name: (*job).to_owned(),
        commands: JOB
            .iter()
            .filter(|command| !LIKE.contains(job) || !command.starts_with("compare"))
            .chain(more(job))
            .map(|command| command.replace("JOB", &format!("{job}.toml")))
            .collect(),
    };
    let apart = APART.iter().map(|(name, commands)| Case {
        name: (*name).to_owned(),
        commands: commands.iter().map(|&command| command.to_owned()).collect(),
    });
    let cases: Vec<Case> = jobs.iter().map(of_job).chain(apart).collect();
    let asked = |name: &str| {
        let mut commands = cases.iter().flat_map(|case| &case.commands);
        commands.any(|command| command.contains(name))
    };
    for name in names.iter().filter(|name| shop.path(name).is_file()) {
        assert!(asked(name), "nothing is asked about {name}");
    }
    cases
}

/// The words of a command line, what stands between quotes as one.
pub fn words(line: &str) -> Vec<&str> {
    let mut words = Vec::new();
    for (at, part) in line.split('\'').enumerate() {
        if at % 2 == 1 {
            words.push(part);
        } else {
            words.extend(part.split_whitespace());
        }
    }
    words
}
