//! The straight line through seated readings, one branch for each direction.
//!
//! On a seat the play operator is `slide = a + b (z - d L / 2)`: `z` the carriage, `d` its
//! direction, `L` the lost motion as carriage travel. It is linear in `a`, `b` and the gap
//! `g = b L`, so least squares does. A reading taken after a reversal and before the slack is
//! taken up lies between the branches and must not take part.
//!
//! What is left out: foot and slack apart, which one guide setting can't tell.

use crate::arithmetic::max;

use nalgebra::{DMatrix, DVector};

/// One reading as the fit sees it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Point {
    /// Carriage from the middle of all, over half their span: -1 to 1.
    pub along: f64,
    /// Direction, +1 with growing carriage.
    pub way: f64,
    /// Slide movement, m.
    pub slide: f64,
}

/// What the line may do besides being straight.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Extra {
    None,
    /// Square of the place.
    Bow,
    /// Gap growing along.
    Climb,
    /// Another slope beyond this place.
    Kink(f64),
}

/// How a set of readings is modelled.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Shape {
    /// Both directions are there.
    pub gap: bool,
    pub extra: Extra,
}

impl Shape {
    /// Number of unknowns.
    pub fn unknowns(self) -> usize {
        2 + usize::from(self.gap) + usize::from(self.extra != Extra::None)
    }

    /// Intercept, slope, gap, extra.
    pub fn row(self, p: &Point) -> Vec<f64> {
        let mut row = vec![1.0, p.along];
        if self.gap {
            row.push(-0.5 * p.way);
        }
        match self.extra {
            Extra::None => {}
            Extra::Bow => row.push(p.along * p.along),
            Extra::Climb => row.push(-0.5 * p.way * p.along),
            Extra::Kink(at) => row.push(max(p.along - at, 0.0)),
        }
        row
    }
}

/// A least-squares fit.
#[derive(Clone, Debug)]
pub(super) struct Fit {
    pub shape: Shape,
    pub at: DVector<f64>,
    /// Inverse of the normal matrix.
    pub inverse: DMatrix<f64>,
    pub squares: f64,
    pub count: usize,
}

impl Fit {
    /// Through these points; none where they don't determine the line.
    pub fn through<'p>(shape: Shape, points: impl IntoIterator<Item = &'p Point>) -> Option<Self> {
        let points: Vec<&Point> = points.into_iter().collect();
        let p = shape.unknowns();
        if points.len() < p {
            return None;
        }
        let rows: Vec<f64> = points.iter().flat_map(|point| shape.row(point)).collect();
        let x = DMatrix::from_row_slice(points.len(), p, &rows);
        let y = DVector::from_iterator(points.len(), points.iter().map(|point| point.slide));
        let normal = x.transpose() * &x;
        let root = normal.cholesky()?;
        let diagonal = root.l_dirty().diagonal();
        if diagonal.min() <= 1e-5 * diagonal.max() {
            return None;
        }
        let inverse = root.inverse();
        let at = &inverse * (x.transpose() * &y);
        let squares = (y - x * &at).norm_squared();
        Some(Self {
            shape,
            at,
            inverse,
            squares,
            count: points.len(),
        })
    }

    /// Readings to spare.
    pub fn spare(&self) -> usize {
        self.count - self.shape.unknowns()
    }

    /// Reading less line, m.
    pub fn residual(&self, point: &Point) -> f64 {
        point.slide - self.value(point)
    }

    /// The line at a point, m.
    pub fn value(&self, point: &Point) -> f64 {
        let row = self.shape.row(point);
        row.iter().zip(self.at.iter()).map(|(x, t)| x * t).sum()
    }

    /// How much of the noise's variance the line takes up at a point.
    pub fn leverage(&self, point: &Point) -> f64 {
        let row = DVector::from_vec(self.shape.row(point));
        row.dot(&(&self.inverse * &row))
    }

    /// Variance of a reading, m2: from the residuals, and not below what the readout's steps
    /// alone make (rectangular, JCGM 100:2008, F.2.2.1).
    pub fn variance(&self, step: f64) -> f64 {
        let seen = if self.spare() > 0 {
            self.squares / self.spare() as f64
        } else {
            0.0
        };
        max(seen, step * step / 12.0)
    }
}
