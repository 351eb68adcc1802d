//! What many lathes like the one described came to, as the screen reads it.

use tautway_sim::method::{Method, MethodOutlook};
use tautway_sim::setup::Setup;
use tautway_sim::spread::Ending;
use tautway_sim::study::{Checked, Mend, Outlook, Study, WayOutlook};

/// What the trials came to.
pub struct Spread {
    /// What was drawn, and how.
    pub study: Study,
    /// The trials' sum.
    pub outlook: Outlook,
    /// What makes the spread of the first way.
    pub mend: Option<Mend>,
    /// Why they ended.
    pub ending: Ending,
    /// Taper, size and waves of the first way to first order, if asked for.
    pub first_order: Option<Vec<Checked>>,
}

impl Spread {
    /// What came of one way.
    pub fn of(&self, setup: &Setup) -> Option<&WayOutlook> {
        let at = self.study.ways().position(|way| way == setup)?;
        self.outlook.ways.get(at)
    }

    /// What a person has to know of how the trials ended.
    pub fn remark(&self) -> Option<String> {
        (self.ending == Ending::Stopped).then(|| {
            format!(
                "you stopped it after {} lathes: ranges and chances are those of these",
                self.outlook.trials
            )
        })
    }
}

/// A method on the first of the lathes tried.
pub struct MethodTried {
    /// The method.
    pub method: Method,
    /// What came of it.
    pub outlook: MethodOutlook,
}
