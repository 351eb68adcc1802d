//! What was found, with all that the forms of an answer need.

use tautway_sim::compare::Way;
use tautway_sim::cut::Options;
use tautway_sim::expect::Expect;
use tautway_sim::method::MethodWay;
use tautway_sim::quantity::Units;
use tautway_sim::sensitivity::Likely;
use tautway_words::Document;

use super::thread::Planned;
use crate::output::folder::Filling;
use crate::texts::Read;
use tautway_screens::spread::{MethodTried, Spread};

/// What was found, with all that its forms need.
pub struct Found<'a> {
    /// Job and lathe.
    pub read: &'a Read,
    /// What to expect of what is advised, or of the one way asked for.
    pub first: Option<&'a Expect>,
    /// The ways, best first; one way of a prediction.
    pub ways: &'a [&'a Way],
    /// The ways without the attachment, best first; none in a prediction.
    pub methods: &'a [MethodWay],
    /// Those on many lathes.
    pub methods_tried: &'a [MethodTried],
    /// How sure the first way is, one number at a time.
    pub likely: Option<&'a Likely>,
    /// Many lathes like this one.
    pub spread: Option<&'a Spread>,
    /// Every lathe tried, in the folder that is being written.
    pub rows: Option<&'a Filling>,
    /// The part of the trials that this is, from and how many; none of a whole.
    pub part: Option<(u64, u64)>,
    /// The job's thread, where it has one.
    pub thread: Option<&'a Planned<'a>>,
    /// The words of the screen.
    pub document: Document,
    /// The person's units.
    pub units: Units,
    /// How finely and with which luck it was run.
    pub options: Options,
    /// Whether more was to be told.
    pub detail: bool,
    /// What its files are called.
    pub named: &'static str,
}
