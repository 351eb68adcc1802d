use tautway_sim::{cut::*, measure, record::*, scenario::*, setup::*};
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
    for setup in Setup::all(s.job.work.kind, s.job.work.big_end) {
        if !setup.cuts() || setup.side != Side::Front {
            continue;
        }
        let t = std::time::Instant::now();
        let course = Course::new(&s, setup, Options::default());
        let t1 = t.elapsed();
        let f = course.run();
        let t2 = t.elapsed();
        let (o, _) = measure::measure(&s, &setup, &course, &f);
        println!(
            "{:?} {:?} {:?} {:?}: lost {:.3} in  k_tip {:.2} N/um",
            setup.pull(),
            setup.feed,
            setup.rotation,
            setup.face,
            course.approach().lost.total / 0.0254,
            course.machine.tip_spring(0.0) * 1e-6
        );
        let steps: u64 = f.passes.iter().map(|p| p.counters.steps).sum();
        println!(
            "   prep {:?} run {:?} measure {:?} ns/step {:.0}",
            t1,
            t2 - t1,
            t.elapsed() - t2,
            (t2 - t1).as_nanos() as f64 / steps as f64
        );
        for p in &f.passes {
            let c = p.counters;
            let n = p.turns.iter().filter(|t| t.cutting).count();
            let m = &p.turns[p.turns.len() / 2];
            println!(
                "   pass {} set {:.4} taken {:.4} turns {} seatchg {} | mid depth {:.4} Fp {:.1} F {:.1} L {:.1} {:?} | stuck {} it {:.2} amb {} unc {}",
                p.number,
                p.set / 0.0254,
                p.taken / 0.0254,
                n,
                p.seat_changes.len(),
                m.depth / 0.0254,
                m.push_off / 4.448,
                m.drag / 4.448,
                m.drive / 4.448,
                m.seat,
                c.stuck,
                c.iterations as f64 / c.steps as f64,
                c.ambiguous,
                c.unconverged
            );
        }
        println!(
            "   taper err {:.4} in/ft size {:.5} in waves {:.5} in spacing {:?} step {:?} straight {:.3} round {:.5} seat {:?} margin {:.1} lbf Fp {:.1}-{:.1} F {:.1}-{:.1} Ra {:.2} um Rz {:.2}",
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
