//! A straight line by least squares.

use crate::arithmetic::powi;

/// A straight line through points, by least squares.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Line {
    /// Rise over run.
    pub slope: f64,
    /// Mean of the places.
    pub middle: f64,
    /// Mean of the heights: that of the line at the middle.
    pub height: f64,
    /// Sum of the squares of the places about the middle.
    pub squares: f64,
}

impl Line {
    /// Through these, place and height; `None` of fewer than two places.
    pub fn through(points: &[(f64, f64)]) -> Option<Self> {
        let n = points.len() as f64;
        let middle = points.iter().map(|p| p.0).sum::<f64>() / n;
        let height = points.iter().map(|p| p.1).sum::<f64>() / n;
        let squares: f64 = points.iter().map(|p| powi(p.0 - middle, 2)).sum();
        let both: f64 = points.iter().map(|p| (p.0 - middle) * (p.1 - height)).sum();
        (points.len() >= 2 && squares > 0.0).then(|| Self {
            slope: both / squares,
            middle,
            height,
            squares,
        })
    }

    /// Its height at a place.
    pub fn at(&self, place: f64) -> f64 {
        self.height + self.slope * (place - self.middle)
    }
}
