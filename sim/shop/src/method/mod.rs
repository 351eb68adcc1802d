//! The ways of making the taper other than one set-up of the taper attachment, each with its setting
//! and limits.
//!
//! With the tailstock over, and with the top slide set over, the tool runs along the cone's side,
//! so the cross-slide stands still: no motion is lost. Such a cut is simulated as a straight one
//! on the same piece ([`side`]), by the same engine, surface and gauges as with the attachment.
//! An offset centre is the tailstock's sums again; reamer, form tool, grinding and lapping are named
//! where they fit; a cone longer than the guide is cut along it in two set-ups ([`two_set_ups`]).

mod way;
mod hand_feed;
mod named;
mod abrasive;
pub mod tailstock;
pub mod top_slide;
pub mod side;
mod swings;
pub mod two_set_ups;
mod worked;
mod trials;
mod plan;

use crate::cut::Options;
use crate::expect::{Source, Wanted};
use crate::parallel::*;
use crate::record::Measures;
use crate::scenario::Scenario;
use crate::study::RangeFault;

pub use trials::{MethodOutlook, MethodTrials};
pub use way::{Effort, Grinding, Joint, Lapping, Method, MethodWay, Obstacle, Setting, TwoSetUps};

impl Method {
    /// Every method.
    pub const ALL: [Self; 8] = [
        Self::Tailstock,
        Self::OffsetCentre,
        Self::TopSlide,
        Self::Reamer,
        Self::FormTool,
        Self::Grinding,
        Self::Lapping,
        Self::TwoSetUps,
    ];

    /// What comes of it on one job and lathe.
    pub fn way(self, scenario: &Scenario, options: Options) -> MethodWay {
        match self {
            Self::Tailstock => worked::tailstock_over(scenario, options),
            Self::OffsetCentre => worked::offset_centre(scenario, options),
            Self::TopSlide => worked::top_slide_over(scenario, options),
            Self::Reamer => named::reamer(scenario),
            Self::FormTool => named::form_tool(scenario),
            Self::Grinding => abrasive::grinding(scenario),
            Self::Lapping => abrasive::lapping(scenario),
            Self::TwoSetUps => two_set_ups::way(scenario, options),
        }
    }
}

/// Every method on one job and lathe, best first, those that are out at the end; two set-ups of the
/// guide alone where one isn't enough.
pub fn methods(scenario: &Scenario, options: Options) -> Vec<MethodWay> {
    let guide_is_short = two_set_ups::wanted(scenario, options);
    let all = Method::ALL.par_iter();
    let all = all.filter(|method| guide_is_short || **method != Method::TwoSetUps);
    ranked(all.map(|method| method.way(scenario, options)).collect())
}

impl MethodWay {
    /// Plays its plan on many lathes, where it was simulated.
    ///
    /// # Errors
    /// A number whose range makes no distribution.
    pub fn weigh(&mut self, scenario: &Scenario, options: Options) -> Result<(), RangeFault> {
        self.expect = plan::expected(scenario, self, options)?;
        self.joint = plan::joint(scenario, self, options)?;
        Ok(())
    }

    /// The same, its lathes cut elsewhere: whether all were there.
    ///
    /// # Errors
    /// A number whose range makes no distribution.
    pub(crate) fn weigh_from(
        &mut self,
        scenario: &Scenario,
        options: Options,
        source: &Source<'_>,
    ) -> Result<bool, RangeFault> {
        let found = plan::expected_from(scenario, self, options, source)?;
        let there = found.as_ref().is_none_or(Option::is_some);
        self.expect = found.flatten();
        self.joint = plan::joint(scenario, self, options)?;
        Ok(there)
    }

    /// Cuts lathes of its plan that are wanted elsewhere.
    ///
    /// # Errors
    /// A number whose range makes no distribution.
    pub fn cut(
        &self,
        scenario: &Scenario,
        wanted: &Wanted,
        options: Options,
    ) -> Result<Vec<[Measures; 2]>, RangeFault> {
        plan::cut(scenario, self, wanted, options)
    }
}

/// All methods, in the order of [`Method::ALL`]: best first.
fn ranked(mut all: Vec<MethodWay>) -> Vec<MethodWay> {
    all.sort_by_key(|way| way.rank());
    all
}
