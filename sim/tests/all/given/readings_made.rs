//! Made-up readings with known truth: play, noise, readout steps, slips.

use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use rand_distr::StandardNormal;
use tautway_sim::quantity::{Quantity, Taper, Units};
use tautway_sim::readings::{Reading, ReadingSet, Reads};
use tautway_sim::scenario::End;
use tautway_sim::setup::{Feed, Side};

pub const INCH: f64 = 0.0254;
/// in/ft as ratio on diameter.
pub const IN_FT: f64 = 1.0 / 12.0;

/// How the person went about it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Pattern {
    /// Up, past the end, back.
    Past,
    /// Up, turned at the last place, back.
    Turned,
    /// Up only, slack taken up before.
    OneWay,
    /// Up and back twice, turned beyond the ends.
    Twice,
}

/// The truth.
#[derive(Clone, Copy, Debug)]
pub struct Truth {
    /// On diameter.
    pub taper: f64,
    /// Carriage travel, m.
    pub lost: f64,
    /// Standard deviation, m of slide movement.
    pub noise: f64,
    /// m of slide movement.
    pub step: f64,
    /// m.
    pub span: f64,
    pub places: usize,
    pub pattern: Pattern,
    /// Row that slipped, counted from 0, and by how much, m of slide movement.
    pub slip: Option<(usize, f64)>,
    /// Height of a bow over the span, m of slide movement.
    pub bow: f64,
    /// Added slope beyond three fifths of the span.
    pub kink: f64,
    /// Change of lost motion from end to end, m.
    pub climb: f64,
}

impl Truth {
    pub fn plain(taper: f64) -> Self {
        Self {
            taper,
            lost: 0.0,
            noise: 0.0,
            step: 0.0,
            span: 6.0 * INCH,
            places: 7,
            pattern: Pattern::Past,
            slip: None,
            bow: 0.0,
            kink: 0.0,
            climb: 0.0,
        }
    }

    /// Carriage places in the order of travel, with those at which is read.
    fn operation(&self) -> Vec<(f64, bool)> {
        let beyond = 3.0 * self.lost + 0.1 * INCH;
        let at = |i: usize| self.span * i as f64 / (self.places - 1) as f64;
        let up = || (0..self.places).map(at).map(|z| (z, true));
        let down = || (0..self.places).rev().map(at).map(|z| (z, true));
        let mut operation = vec![(-beyond, false)];
        operation.extend(up());
        if self.pattern == Pattern::OneWay {
            return operation;
        }
        let past = self.pattern != Pattern::Turned;
        if past {
            operation.push((self.span + beyond, false));
        }
        operation.extend(down());
        if self.pattern == Pattern::Twice {
            operation.push((-beyond, false));
            operation.extend(up());
            operation.push((self.span + beyond, false));
            operation.extend(down());
        }
        operation
    }

    pub fn readings(&self, seed: u64) -> ReadingSet {
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        let zero = 0.01 * INCH * rng.random::<f64>();
        let slope = self.taper / 2.0;
        let guide = |z: f64| {
            let u = z / self.span;
            slope * z + self.bow * 4.0 * u * (1.0 - u) + self.kink * (z - 0.6 * self.span).max(0.0)
        };
        // The play operator on the carriage: the slide's place is the guide's at `seat`.
        let operation = self.operation();
        let mut seat = operation[0].0 - self.lost;
        let mut readings = Vec::new();
        let mut before = operation[0].0;
        for (z, read) in operation {
            let lost = self.lost + self.climb * (z / self.span - 0.5);
            seat = seat.clamp(z - lost / 2.0, z + lost / 2.0);
            let way = if z >= before && !(z == before && readings.len() >= self.places) {
                Feed::Tailstock
            } else {
                Feed::Headstock
            };
            before = z;
            if !read {
                continue;
            }
            let noise: f64 = rng.sample(StandardNormal);
            let mut slide = zero + guide(seat) + self.noise * noise;
            if let Some((row, by)) = self.slip
                && row == readings.len()
            {
                slide += by;
            }
            if self.step > 0.0 {
                slide = (slide / self.step).round() * self.step;
            }
            readings.push(Reading {
                row: readings.len() + 1,
                carriage: z,
                slide,
                feed: way,
            });
        }
        ReadingSet {
            name: "made up".to_owned(),
            units: Units::Inch,
            wanted: Taper::from_si(self.taper),
            tolerance: None,
            kind: None,
            big_end: Some(End::Tailstock),
            side: Side::Front,
            reads: Reads::Diameter,
            step: self.step,
            carriage_step: 0.0,
            repeatability: None,
            carriage_sign: 1.0,
            end_radius: None,
            nudged_end: End::Tailstock,
            travel: None,
            scale: None,
            test_cut: None,
            readings,
        }
    }
}

/// Cases of all sorts.
pub fn case(seed: u64) -> Truth {
    let mut rng = ChaCha8Rng::seed_from_u64(1000 + seed);
    let mut pick = |from: &[f64]| from[(rng.random::<f64>() * from.len() as f64) as usize];
    let step = INCH * pick(&[0.00025, 0.00025, 0.0001, 0.00005]);
    let noise = step * pick(&[0.05, 0.2, 0.5, 1.0, 2.0]);
    let pattern = [
        Pattern::Past,
        Pattern::Turned,
        Pattern::OneWay,
        Pattern::Twice,
    ][pick(&[0.0, 1.0, 2.0, 3.0]) as usize];
    let places = pick(&[5.0, 6.0, 7.0, 9.0]) as usize;
    let span = INCH * pick(&[3.0, 4.3, 6.0, 8.0]);
    let lost = INCH * pick(&[0.02, 0.1, 0.3, 0.6, 1.0]);
    let odd = pick(&[0.0, 0.013, 0.029, 0.071]);
    let taper = IN_FT * (pick(&[0.5, 0.6024, 0.75, 1.25, 2.0, 3.0]) + odd);
    let size = pick(&[20.0, 40.0]) * noise.max(step / 2.0);
    let slips = pick(&[0.0, 0.0, 1.0]) > 0.5;
    let sign = pick(&[-1.0, 1.0]);
    let rows = match pattern {
        Pattern::OneWay => places,
        Pattern::Twice => 4 * places,
        _ => 2 * places,
    };
    // Not where it could be a reading before the slack was taken up.
    let row = 1 + (pick(&[0.1, 0.3, 0.5, 0.7, 0.9]) * (rows - 1) as f64) as usize;
    let at_turn = matches!(row % places, 0 | 1);
    Truth {
        lost,
        noise,
        step,
        span,
        places,
        pattern,
        slip: (slips && !at_turn).then_some((row.min(rows - 1), sign * size)),
        ..Truth::plain(taper)
    }
}
