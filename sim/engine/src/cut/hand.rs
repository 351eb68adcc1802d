//! A cut whose force changes along the way for another reason than the material's: a feed by hand.

use std::sync::Arc;

use super::Course;

impl Course<'_> {
    /// The same cut with the force of the chip times these factors, at places this far apart from
    /// the headstock-side end on, m.
    pub fn times(mut self, spacing: f64, factors: &[f64]) -> Self {
        let length = self.length();
        let luck = Arc::make_mut(&mut self.luck);
        luck.hardness = luck.hardness.times(length, spacing, factors);
        self
    }
}
