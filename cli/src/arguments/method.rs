//! The ways other than one set-up of the attachment that can be chosen.

use clap::ValueEnum;
use tautway_sim::method::Method;

/// A way without the attachment.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum MethodArg {
    /// Between centres, the tailstock set over.
    Tailstock,
    /// Between centres, an offset centre in an unmoved tailstock.
    OffsetCentre,
    /// The top slide set over, fed by hand.
    TopSlide,
    /// A taper reamer.
    Reamer,
    /// A form tool.
    FormTool,
    /// A wheel on the slide, after turning.
    Grinding,
    /// Lapping to the mate, after turning.
    Lapping,
    /// Along the guide in two set-ups, for a cone longer than it.
    TwoSetUps,
}

impl From<MethodArg> for Method {
    fn from(arg: MethodArg) -> Self {
        match arg {
            MethodArg::Tailstock => Self::Tailstock,
            MethodArg::OffsetCentre => Self::OffsetCentre,
            MethodArg::TopSlide => Self::TopSlide,
            MethodArg::Reamer => Self::Reamer,
            MethodArg::FormTool => Self::FormTool,
            MethodArg::Grinding => Self::Grinding,
            MethodArg::Lapping => Self::Lapping,
            MethodArg::TwoSetUps => Self::TwoSetUps,
        }
    }
}
