//! x
use tautway_sim::cut::*;
use tautway_sim::scenario::*;
use tautway_sim::setup::*;
fn main() {
    let a: Vec<String> = std::env::args().collect();
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../scenarios");
    let text = |name: &str| std::fs::read_to_string(folder.join(name)).unwrap();
    let (job, lathe) = (text("tapered-socket.toml"), text("worn-lathe.toml"));
    let source = |name, text| Source { name, text };
    let sc = decode(source("job", &job), source("lathe", &lathe))
        .unwrap()
        .0;
    let pull = if a[1] == "in" { Pull::In } else { Pull::Away };
    let setup = Setup::all(sc.job.work.kind, sc.job.work.big_end)
        .into_iter()
        .find(|s| s.cuts() && s.pull() == pull)
        .unwrap();
    let c = Course::new(&sc, setup, Options::default());
    let mut room = Room::default();
    let n: usize = a[3].parse().unwrap();
    let b = vec![c.clone(); 8];
    for _ in 0..n {
        match a[2].as_str() {
            "rough" => {
                std::hint::black_box(c.run());
            }
            "one" => {
                let f = c.run_finishing_in(&mut room);
                room.clear(std::hint::black_box(f));
            }
            _ => {
                std::hint::black_box(finish_batch(&b, &mut room));
            }
        }
    }
}
