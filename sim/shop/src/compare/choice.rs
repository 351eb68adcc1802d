//! With the attachment or without: what is advised first.
//!
//! What costs less, played on many lathes, comes first; of what these can't tell apart the plainer.
//! Where nothing was played, an attachment that does the job well comes first. Another method then
//! takes its place where the attachment can't do it or isn't expected to meet the drawing, and where
//! both do: where the method is sure of its taper and either asks for less setting up and leaves no
//! more wrong, or leaves less than a quarter.

use super::{Comparison, Way};
use crate::arithmetic::max;
use crate::expect::Expect;
use crate::method::{Effort, MethodWay};
use crate::sensitivity::unsteady;
use crate::verdict::{NOT_SEEN, trouble};

/// What is advised first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Advised<'a> {
    /// A way with the attachment.
    Attachment(&'a Way),
    /// A way without it.
    Method(&'a MethodWay),
}

impl<'a> Advised<'a> {
    /// What to expect of it, where its plan was played.
    pub fn expect(&self) -> Option<&'a Expect> {
        match self {
            Self::Attachment(way) => way.expect.as_ref(),
            Self::Method(way) => way.expect.as_ref(),
        }
    }
}

impl Comparison {
    /// What to do first: with the attachment or without; none where nothing can be advised.
    pub fn advised(&self) -> Option<Advised<'_>> {
        let method = self
            .methods
            .iter()
            .find(|way| way.out.is_empty() && way.outcome.is_some());
        match (self.best(), method) {
            (None, None) => None,
            (Some(way), None) => Some(Advised::Attachment(way)),
            (None, Some(method)) => Some(Advised::Method(method)),
            (Some(way), Some(method)) => Some(if is_better(method, way) {
                Advised::Method(method)
            } else {
                Advised::Attachment(way)
            }),
        }
    }
}

/// What it takes to set up a way with the attachment: more where the slide is seated by hand
/// before every pass.
pub fn effort(way: &Way) -> Effort {
    if way.start.by_hand {
        Effort::Many
    } else {
        Effort::Some
    }
}

/// Whether a method is clearly better than the attachment's best, or as good and plainer.
fn is_better(method: &MethodWay, way: &Way) -> bool {
    if let (Some(ours), Some(theirs)) = (&method.expect, &way.expect) {
        let less = theirs.cost.expected - ours.cost.expected;
        let doubt = max(ours.doubt(), theirs.doubt());
        // What these lathes can't tell apart goes to the plainer.
        return less > doubt || less > -doubt && method.effort < effort(way);
    }
    let (Some(ours), Some(run)) = (&method.outcome, &way.run) else {
        return false;
    };
    if !method.met() {
        return false;
    }
    if !way.verdict.is_some_and(|verdict| verdict.met()) {
        return true;
    }
    let (ours, theirs) = (
        max(trouble(ours), NOT_SEEN),
        max(trouble(&run.outcome), NOT_SEEN),
    );
    let plainer = method.effort < effort(way) && ours <= 2.0 * theirs;
    let clearly = 4.0 * ours <= theirs || unsteady(&run.outcome);
    method.sure && (plainer || clearly)
}
