//! Files that are accepted, at and inside their limits two numbers at a time, through every command:
//! no panic, no number that is none, and time and memory bounded.
//!
//! `TAUTWAY_FUZZ=10000` makes so many instead of 300, `TAUTWAY_FUZZ_FROM=500` begins there.

use std::fs;
use std::process::{Child, Stdio};
use std::sync::Mutex;
use std::sync::atomic::{AtomicU64, Ordering};
use std::thread;
use std::time::Duration;

use tautway_sim::quantity::{
    Angle, Dimension, EdgeLoad, Force, Length, Pressure, Quantity, Ratio, Stiffness, Taper,
    common_units,
};
use tautway_sim::scenario::numbers::bounds::{self, Bounds};
use tautway_sim::scenario::{Source, decode};
use toml_edit::{DocumentMut, Item, Value};

use crate::workshop::Workshop;

const RUNS: u64 = 300;
/// Seconds of a processor, whatever else it does; 20 are wanted. What a fine feed or a long piece
/// makes many turns of takes longer: a plan of six thousand turns 21, the slide's mass over fifty
/// thousand some 30, a hundred draws of a thread 60 in long some 50. Room for a busy one is on top.
const MOST_SECONDS: f64 = 120.0;
const MOST_BYTES: u64 = 1 << 30;

/// Jobs with their lathes, each with another part of what a job may have.
const BASES: &[(&str, &str)] = &[
    ("tapered-socket.toml", "worn-lathe.toml"),
    ("spring-held-cone.toml", "worn-lathe.toml"),
    ("air-into-the-cut.toml", "worn-lathe.toml"),
    ("long-mandrel.toml", "toolroom-lathe.toml"),
    ("valve-seat.toml", "bare-lathe.toml"),
    ("pipe-nipple.toml", "toolroom-lathe.toml"),
    ("plug-cock.toml", "metric-lathe.toml"),
];

/// With how many each is run of twenty-five; JOB is the job, GAUGED what was gauged, the other words
/// in capitals what the job says of its work.
const COMMANDS: &[(u64, &str)] = &[
    (3, "compare JOB --trials 0 --threads 1"),
    (3, "predict JOB --trials 0 --feed headstock --threads 1"),
    (
        3,
        "predict JOB --trials 0 --feed headstock --inertia --threads 1",
    ),
    (
        2,
        "predict JOB --trials 0 --feed tailstock --trial 3 --threads 1",
    ),
    (1, "compare JOB --trials 20 --threads 1"),
    (2, "thread JOB --trials 0 --threads 1"),
    (1, "preload JOB --trials 20 --threads 1"),
    (1, "modify JOB --trials 20 --threads 1"),
    (1, "sheet JOB --feed headstock"),
    (1, "lesson JOB --format json"),
    (1, "lathe learn JOB GAUGED --draws 100 --threads 1"),
    (1, "piece GAUGED --job JOB --cuts 10 --threads 1"),
    (1, "taper TAPER"),
    (
        1,
        "fit standoff --taper TAPER --read LENGTH --at-size LENGTH --kind KIND",
    ),
    (
        1,
        "fit diameters --big DIAMETER --small LENGTH --apart LENGTH --wanted TAPER",
    ),
    (
        1,
        "fit rolls --roll LENGTH --low DIAMETER --taper TAPER --length LENGTH",
    ),
    (
        1,
        "fit blue --taper TAPER --kind KIND --big-end END --bears big --shake 0.002in --over LENGTH",
    ),
];

/// What the words of a command stand for: keys of the job's work.
const OF_THE_WORK: &[(&str, &str)] = &[
    ("TAPER", "taper"),
    ("LENGTH", "length"),
    ("DIAMETER", "diameter"),
    ("KIND", "kind"),
    ("END", "big_end"),
];

const GAUGED: &str =
    "units = \"inch\"\n[way]\nfeed = \"tailstock\"\n[gauged]\ntaken = \"0.0085 in +- 0.0003 in\"\n";

/// Numbers as evenly as a fuzz needs, from one number.
struct Luck(u64);

impl Luck {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    fn below(&mut self, many: usize) -> usize {
        (self.next() % many as u64) as usize
    }
}

/// What a written value measures, by the reading that takes it.
fn dimension(text: &str) -> Option<Dimension> {
    fn takes<Q: Quantity>(text: &str) -> Option<Dimension> {
        let spread = tautway_sim::quantity::Spread::<Q>::parse(text).is_ok();
        let band = tautway_sim::quantity::parse_band::<Q>(text).is_ok();
        (spread || band).then_some(Q::DIMENSION)
    }
    takes::<Length>(text)
        .or_else(|| takes::<Taper>(text))
        .or_else(|| takes::<Force>(text))
        .or_else(|| takes::<Pressure>(text))
        .or_else(|| takes::<Angle>(text))
        .or_else(|| takes::<Stiffness>(text))
        .or_else(|| takes::<EdgeLoad>(text))
        .or_else(|| takes::<Ratio>(text))
}

/// A number at one of its limits, or inside.
fn target(bounds: &Bounds, luck: &mut Luck) -> f64 {
    let [least, most] = bounds.usual;
    let [hard_least, hard_most] = bounds.hard;
    match luck.below(6) {
        0 => least,
        1 => most,
        2 => hard_least,
        3 => hard_most,
        4 => (least * most).sqrt(),
        _ => 0.5 * (most + hard_most),
    }
}

/// Puts a number under a key that is there; whether it could.
fn put(document: &mut DocumentMut, bounds: &Bounds, luck: &mut Luck) -> bool {
    let mut item: &mut Item = document.as_item_mut();
    for part in bounds.key.split('.') {
        let Some(inner) = item.get_mut(part) else {
            return false;
        };
        item = inner;
    }
    let Some(text) = item.as_str().map(str::to_owned) else {
        return false;
    };
    let Some(dimension) = dimension(&text) else {
        return false;
    };
    let si = target(bounds, luck);
    let written = match common_units(dimension).next() {
        Some((unit, one)) => format!("{} {unit}", si / one),
        None => format!("{si}"),
    };
    let band = text.starts_with(['+', '-']);
    let written = if band {
        format!("+-{written}")
    } else {
        written
    };
    *item = Item::Value(Value::from(written));
    true
}

/// The files of a run, where they are accepted.
fn files(number: u64, luck: &mut Luck, texts: &[(String, String)]) -> Option<[String; 2]> {
    const TRIES: usize = 40;
    let (job, lathe) = &texts[(number as usize) % texts.len()];
    let rows: Vec<&Bounds> = bounds::of_job_and_lathe().collect();
    // Most numbers at random don't go with the rest: two that do are looked for.
    (0..TRIES).find_map(|_| {
        let mut documents = [job, lathe].map(|text| text.parse::<DocumentMut>().expect("TOML"));
        let mut changed = 0;
        while changed < 2 {
            let row = rows[luck.below(rows.len())];
            let mut there = documents.iter_mut();
            changed += usize::from(there.any(|document| put(document, row, luck)));
        }
        let texts = documents.map(|document| document.to_string());
        let source = |text| Source { name: "", text };
        let accepted = decode(source(&texts[0]), source(&texts[1])).is_ok();
        accepted.then_some(texts)
    })
}

/// Seconds of a processor and most memory of a process so far, where it is still there to be asked.
fn used(child: &Child) -> Option<(f64, u64)> {
    let of = |what: &str| fs::read_to_string(format!("/proc/{}/{what}", child.id())).ok();
    let stat = of("stat")?;
    let mut fields = stat.rsplit_once(')')?.1.split_whitespace().skip(11);
    let ticks = fields.next()?.parse::<f64>().ok()? + fields.next()?.parse::<f64>().ok()?;
    let status = of("status")?;
    let line = status.lines().find(|line| line.starts_with("VmHWM"))?;
    let kilobytes: u64 = line.split_whitespace().nth(1)?.parse().ok()?;
    Some((ticks / 100.0, kilobytes << 10))
}

/// One run: what is wrong with it, and what it took.
fn run(shop: &Workshop, name: &str, command: &str, work: &Item) -> (Option<String>, f64, u64) {
    let out = shop.path(&format!("{name}.out"));
    let err = shop.path(&format!("{name}.err"));
    let typed = command
        .split(' ')
        .map(|word| match OF_THE_WORK.iter().find(|of| of.0 == word) {
            Some((_, key)) => work[*key].as_str().unwrap_or("1 in").to_owned(),
            None => word
                .replace("JOB", &format!("{name}.toml"))
                .replace("GAUGED", "taken.gauged"),
        });
    let mut child = shop
        .program()
        .args(typed)
        .stdin(Stdio::null())
        .stdout(fs::File::create(&out).expect("a file"))
        .stderr(fs::File::create(&err).expect("a file"))
        .spawn()
        .expect("the program");
    let (mut seconds, mut bytes) = (0.0, 0);
    let ended = loop {
        if let Some(ended) = child.try_wait().expect("a child") {
            break Some(ended);
        }
        if let Some((now, most)) = used(&child) {
            (seconds, bytes) = (now, most);
        }
        if seconds > MOST_SECONDS || bytes > MOST_BYTES {
            let _ = child.kill();
            let _ = child.wait();
            break None;
        }
        thread::sleep(Duration::from_millis(10));
    };
    let said = format!(
        "{}{}",
        fs::read_to_string(&out).unwrap_or_default(),
        fs::read_to_string(&err).unwrap_or_default()
    );
    let no_number = said
        .split(|c: char| !c.is_alphanumeric())
        .any(|word| matches!(word, "NaN" | "inf"))
        || said.contains("no value");
    let fault = match ended.map(|ended| ended.code()) {
        None => Some("it did not end, or took too much".to_owned()),
        Some(Some(0..=3)) if !no_number => None,
        Some(code) => Some(format!("exit code {code:?}: {said}")),
    };
    (fault, seconds, bytes)
}

#[test]
fn accepted_files_go_through_every_command() {
    let number_of = |name: &str| std::env::var(name).ok().and_then(|text| text.parse().ok());
    let runs: u64 = number_of("TAUTWAY_FUZZ").unwrap_or(RUNS);
    let from: u64 = number_of("TAUTWAY_FUZZ_FROM").unwrap_or(0);
    let shop = Workshop::with_scenarios();
    shop.write("taken.gauged", GAUGED);
    let texts: Vec<(String, String)> = BASES
        .iter()
        .map(|(job, lathe)| (shop.read(job), shop.read(lathe)))
        .collect();
    let commands: Vec<&str> = COMMANDS
        .iter()
        .flat_map(|(many, command)| std::iter::repeat_n(*command, *many as usize))
        .collect();
    let next = AtomicU64::new(from);
    let faults = Mutex::new(Vec::new());
    let most = Mutex::new((0.0_f64, String::new(), 0_u64, String::new()));
    let [made, accepted] = [AtomicU64::new(0), AtomicU64::new(0)];
    thread::scope(|scope| {
        for _ in 0..thread::available_parallelism().map_or(1, usize::from) {
            scope.spawn(|| {
                while accepted.load(Ordering::SeqCst) < runs {
                    let number = next.fetch_add(1, Ordering::SeqCst);
                    made.fetch_add(1, Ordering::SeqCst);
                    let mut luck = Luck(number);
                    let command = commands[luck.below(commands.len())];
                    let Some([job, lathe]) = files(number, &mut luck, &texts) else {
                        continue;
                    };
                    accepted.fetch_add(1, Ordering::SeqCst);
                    let name = format!("fuzz-{number}");
                    let of_lathe = format!("{name}-lathe.toml");
                    let mut document: DocumentMut = job.parse().expect("TOML");
                    document["lathe"] = toml_edit::value(of_lathe.as_str());
                    shop.write(&format!("{name}.toml"), document.to_string());
                    shop.write(&of_lathe, lathe);
                    let (fault, seconds, bytes) = run(&shop, &name, command, &document["work"]);
                    let mut most = most.lock().expect("no panic");
                    if seconds > most.0 {
                        (most.0, most.1) = (seconds, format!("{number}: {command}"));
                    }
                    if bytes > most.2 {
                        (most.2, most.3) = (bytes, format!("{number}: {command}"));
                    }
                    if let Some(fault) = fault {
                        let all = format!("{number}: {command}: {fault}\n{document}");
                        println!("{all}");
                        faults.lock().expect("no panic").push(all);
                    }
                    for ending in [".toml", "-lathe.toml", ".out", ".err"] {
                        let _ = fs::remove_file(shop.path(&format!("{name}{ending}")));
                    }
                }
            });
        }
    });
    let most = most.into_inner().expect("no panic");
    println!(
        "{} files made, {} accepted and run; most: {:.1} s of a processor ({}), {} MB ({})",
        made.into_inner(),
        accepted.into_inner(),
        most.0,
        most.1,
        most.2 >> 20,
        most.3
    );
    let faults = faults.into_inner().expect("no panic");
    assert!(
        faults.is_empty(),
        "{}:\n{}",
        faults.len(),
        faults.join("\n\n")
    );
}
