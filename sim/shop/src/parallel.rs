//! Several at once on all cores, or where the build leaves that off one after another, to the same results.

#[cfg(feature = "parallel")]
pub use rayon::{join, prelude::*};

#[cfg(not(feature = "parallel"))]
pub use alone::{IntoParallelIterator, IntoParallelRefIterator, join};

/// The same names for a single thread.
#[cfg(not(feature = "parallel"))]
mod alone {
    /// What can be gone through.
    pub trait IntoParallelIterator: IntoIterator + Sized {
        /// One after another.
        fn into_par_iter(self) -> Self::IntoIter {
            self.into_iter()
        }
    }

    impl<T: IntoIterator> IntoParallelIterator for T {}

    /// What can be looked through.
    pub trait IntoParallelRefIterator {
        /// What it holds.
        type Item;

        /// One after another.
        fn par_iter(&self) -> std::slice::Iter<'_, Self::Item>;
    }

    impl<T> IntoParallelRefIterator for [T] {
        type Item = T;

        fn par_iter(&self) -> std::slice::Iter<'_, T> {
            self.iter()
        }
    }

    /// Both, the first one first.
    pub fn join<A, B>(a: impl FnOnce() -> A, b: impl FnOnce() -> B) -> (A, B) {
        (a(), b())
    }
}
