//! What to expect of a way, worked out once and read by every voice: many lathes like the one
//! described, each cut and gauged as the sheet tells the hand to.
//!
//! The plan played: the guide proven with the gauge while stock remains and nudged where it reads
//! off, then two passes alike from an even stock, the work gauged between them, the dial of the last
//! turned by a rule fitted on other lathes. In it stand the errors a person makes: touching off and
//! the dial (of [`crate::study::Study`]), the gauge's own error and its scatter, the setting of the
//! guide, the edge dulling.
//!
//! Same files, seed and way: the same record, whatever is asked for beside it.

mod plan;
mod record;
mod elsewhere;
mod play;
mod fit;
mod yardstick;
mod many;

pub use elsewhere::{Of, Source, Turn, Wanted};
pub(crate) use many::{Effort, chance as chance_of, expect_by, expect_from, expect_of, reach_of};
pub use many::{cut, expect};
pub use plan::{End, Limits, SIZE_TAKEN, alike_at_end, depth_of, planned, size_band};
pub(crate) use play::Play;
pub(crate) use record::Times;
pub use record::{Asked, Cost, Expect, Gauging, LastPass, Middle, Reach, Share};
pub(crate) use yardstick::pass_over;
