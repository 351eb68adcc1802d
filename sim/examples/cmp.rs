use tautway_sim::{compare::*, cut::*, mattered::*, quantity::Units, scenario::*};
fn main() {
    let a: Vec<String> = std::env::args().collect();
    let job = std::fs::read_to_string(&a[1]).unwrap();
    let lathe = std::fs::read_to_string(
        std::path::Path::new(&a[1]).parent().unwrap().join(
            lathe_named_in(Source {
                name: "j",
                text: &job,
            })
            .unwrap(),
        ),
    )
    .unwrap();
    let (s, w) = match decode(
        Source {
            name: "job",
            text: &job,
        },
        Source {
            name: "lathe",
            text: &lathe,
        },
    ) {
        Ok(x) => x,
        Err(d) => {
            for d in d {
                println!("{d:?}");
            }
            return;
        }
    };
    for d in w {
        println!("{d:?}");
    }
    let seed = a.get(2).map_or(1, |x| x.parse().unwrap());
    let t = std::time::Instant::now();
    let c = compare(
        &s,
        Options {
            seed,
            ..Default::default()
        },
    );
    println!("compare {:?}", t.elapsed());
    for w in &c.ways {
        println!(
            "{:?} {:?} {:?} {:?} {:?} also {} out {:?} verdict {:?} tip {:.2} drive {:.2} bar {:.2} hand {}",
            w.pull,
            w.setup.side,
            w.setup.feed,
            w.setup.rotation,
            w.setup.face,
            w.also.len(),
            w.out,
            w.verdict,
            w.tip_spring * 1e-6,
            w.drive_spring * 1e-6,
            w.bar_share,
            w.start.by_hand
        );
        if let Some(r) = &w.run {
            let o = &r.outcome;
            println!("   rough {:?}", r.roughing);
            println!(
                "   set {:.5} taken {:.5} taper err {:.4} in/ft size {:.5} in waves {:.5} in spacing {:?} step {:?} straight {:.3} round {:.5} seat {:?} margin {:.1} lbf Fp {:.1}-{:.1} F {:.1}-{:.1} Ra {:.2} um Rz {:.2}",
                o.set / 0.0254,
                o.taken / 0.0254,
                o.taper_error * 12.0,
                o.size_error / 0.0254,
                o.waves / 0.0254,
                o.wave_spacing.map(|w| w / 0.0254),
                o.step.map(|(a, b)| (a / 0.0254, b / 0.0254)),
                o.straight_part / 0.0254,
                o.roundness / 0.0254,
                o.seat,
                o.seat_margin / 4.448,
                o.push_off.0 / 4.448,
                o.push_off.1 / 4.448,
                o.drag.0 / 4.448,
                o.drag.1 / 4.448,
                o.ra * 1e6,
                o.rz * 1e6
            );
        }
    }
    if let Some(b) = c.best() {
        let t = std::time::Instant::now();
        let l = mattered(
            &s,
            &b.setup,
            Options {
                seed,
                ..Default::default()
            },
            Units::Inch,
        );
        println!(
            "mattered {:?}: taper +-{:.4} in/ft size {:.5} waves {:.5} may float {}",
            t.elapsed(),
            l.taper * 12.0,
            l.size / 0.0254,
            l.waves / 0.0254,
            l.may_float
        );
        for m in l.matters {
            println!(
                "   {} {} [{} .. {}] {:?} taper {:.4} size {:.5} waves {:.5} floats {}",
                m.key,
                m.taken,
                m.low,
                m.high,
                m.origin,
                m.taper * 12.0,
                m.size / 0.0254,
                m.waves / 0.0254,
                m.floats
            );
        }
    }
}
