//! Scratch.
use std::path::Path;
use tautway_sim::cut::{Operation, Options};
use tautway_sim::measure::measure;
use tautway_sim::scenario::{Source, decode, lathe_named_in};
use tautway_sim::setup::{Face, Pull, Rotation, Setup, Side};
fn main() {
    let folder = Path::new("scenarios");
    for file in [
        "tapered-socket.toml",
        "long-bar-socket.toml",
        "plug-cock.toml",
        "close-bore.toml",
        "air-into-the-cut.toml",
        "air-too-weak.toml",
        "taper-sleeve.toml",
        "snug-slide-socket.toml",
    ] {
        let job = std::fs::read_to_string(folder.join(file)).unwrap();
        let lathe = lathe_named_in(Source {
            name: file,
            text: &job,
        })
        .unwrap();
        let lt = std::fs::read_to_string(folder.join(&lathe)).unwrap();
        let (sc, _) = decode(
            Source {
                name: file,
                text: &job,
            },
            Source {
                name: "l",
                text: &lt,
            },
        )
        .unwrap();
        for pull in [Pull::In, Pull::Away] {
            let Some(s) = Setup::all(sc.job.work.kind, sc.job.work.big_end)
                .into_iter()
                .find(|s| {
                    s.cuts()
                        && s.side == Side::Front
                        && s.rotation == Rotation::Forward
                        && s.face == Face::Up
                        && s.pull() == pull
                })
            else {
                continue;
            };
            let op = Operation::new(&sc, s, Options::default());
            let f = op.run_finishing();
            let (o, p) = measure(&sc, &s, &op, &f);
            println!(
                "{file} {pull:?} starts_low {} feed {} seat {:?} size {:.2} waves {:.2} taper_err*L/2 {:.2} straight {:.2} step {:?} L {:.1} gauge {:.1}",
                s.feed.sign() > 0.0,
                sc.job.passes.feed.as_ref_si(),
                o.seat,
                o.size_error * 1e6,
                o.waves * 1e6,
                o.taper_error * op.length() * 0.5e6,
                o.straight_part * 1e3,
                o.step,
                op.length() * 1e3,
                op.gauge_z() * 1e3
            );
            let n = p.z.len();
            let mut idx: Vec<usize> = Vec::new();
            let dz = p.z[1] - p.z[0];
            let k5 = (5e-3 / dz) as usize;
            let st = (k5 / 16).max(1);
            idx.extend((0..k5).step_by(st));
            idx.extend((k5..n - k5).step_by(((n - 2 * k5) / 14).max(1)));
            idx.extend((n - k5..n).step_by(st));
            idx.push(n - 1);
            println!(
                "   entry {:?} exit {:?} rests {:?} taken {:.2}",
                o.entry,
                o.exit,
                o.gauge_reads,
                o.taken * 1e6
            );
            if std::env::var("P").is_ok() {
                println!(
                    "   {}",
                    idx.iter()
                        .map(|&i| format!("{:.1}:{:.1}", p.z[i] * 1e3, p.mean[i] * 1e6))
                        .collect::<Vec<_>>()
                        .join(" ")
                );
            }
        }
    }
}
trait Si {
    fn as_ref_si(&self) -> f64;
}
impl<T: tautway_sim::quantity::Quantity + Copy> Si for T {
    fn as_ref_si(&self) -> f64 {
        self.si()
    }
}
