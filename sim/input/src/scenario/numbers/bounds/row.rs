//! What a row of bounds says of its number.

/// Judgement.
pub const GUESS: &str = "guess";
/// From memory of trade books.
pub const MEMORY: &str = "memory of trade books";

/// What a number may be and what it usually is, in SI.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounds {
    /// The key in the person's files: `work.length`.
    pub key: &'static str,
    /// Outside of this it is refused.
    pub hard: [f64; 2],
    /// Why it is.
    pub why: &'static str,
    /// Outside of this it is taken for a slip, and said so.
    pub usual: [f64; 2],
    /// Nothing at all is usual too: no slack, no room, no error.
    pub or_nothing: bool,
    /// Who says what is usual.
    pub source: &'static str,
}

impl Bounds {
    /// In one of a unit: refused outside the first, doubted outside the second.
    pub(super) const fn new(
        key: &'static str,
        unit: f64,
        hard: [f64; 2],
        usual: [f64; 2],
        why: &'static str,
    ) -> Self {
        Self {
            key,
            hard: [hard[0] * unit, hard[1] * unit],
            why,
            usual: [usual[0] * unit, usual[1] * unit],
            or_nothing: false,
            source: GUESS,
        }
    }

    /// The same of a number that may be nothing.
    pub(super) const fn or_nothing(self) -> Self {
        Self {
            or_nothing: true,
            ..self
        }
    }

    /// The same where somebody else says what is usual.
    pub(super) const fn from(self, source: &'static str) -> Self {
        Self { source, ..self }
    }

    /// Whether it can't be this.
    pub fn keep_out(&self, si: f64) -> bool {
        !self.is_nothing(si) && (si.abs() < self.hard[0] || si.abs() > self.hard[1])
    }

    /// Whether it usually is something like this. A last digit of rounding is no matter.
    pub fn is_usual(&self, si: f64) -> bool {
        const ROUNDING: f64 = 1e-9;
        let size = si.abs();
        self.is_nothing(si)
            || size >= self.usual[0] * (1.0 - ROUNDING) && size <= self.usual[1] * (1.0 + ROUNDING)
    }

    fn is_nothing(&self, si: f64) -> bool {
        self.or_nothing && si == 0.0
    }
}
