//! A surface as gauges meet it: means, out of round, and a few lines along the work.

/// A surface as gauges and a profile tracer meet it.
#[derive(Clone, Debug)]
pub struct Traced {
    /// Of the places along the work, m.
    pub(crate) spacing: f64,
    /// Mean round the work at each, m, and peak to valley.
    pub(crate) mean: Vec<f64>,
    pub(crate) out_of_round: Vec<f64>,
    /// Heights along a few lines on metal, m.
    pub(crate) lines: Vec<Vec<f64>>,
    /// Mean in the band round the gauge plane, m.
    pub(crate) gauged: f64,
}

/// The lines that are traced, of those on metal.
pub(crate) fn traced(on_metal: &[usize]) -> impl Iterator<Item = usize> {
    let every = (on_metal.len() / 6).max(1);
    on_metal.iter().step_by(every).copied()
}
