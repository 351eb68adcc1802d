//! x
#[allow(dead_code)]
mod diagnostics;
#[allow(dead_code)]
mod screen;
use tautway_sim::{compare::*, cut::*, mattered::*, scenario::*};
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
    let c = compare(&s, Options::default());
    let l = c
        .best()
        .map(|b| mattered(&s, &b.setup, Options::default(), s.job.units));
    print!(
        "{}",
        screen::compare(&s, &c, l.as_ref(), s.job.units, false)
    );
    println!("=======");
    print!(
        "{}",
        screen::predict(
            &s,
            &c.ways[a.get(2).map_or(0, |x| x.parse().unwrap())],
            l.as_ref(),
            s.job.units,
            true
        )
    );
}
