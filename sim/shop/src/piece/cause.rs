//! What may be out of order: stories of one trouble each, as badly as they happen.

use schemars::JsonSchema;
use serde::Serialize;

use crate::arithmetic::{max, min, powf};
use crate::cut::{self, Operation, Options};
use crate::quantity::{INCHES_PER_FOOT, Length, Quantity, Taper};
use crate::scenario::{Kind, Known, Scenario};
use crate::setup::{Pull, Setup};

/// What made the piece as it is. How bad each can be is a guess of shop practice, written beside
/// it; all are drawn evenly, those that span decades in the logarithm.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Cause {
    /// Nothing: the lathe is as its file says.
    AsDescribed,
    /// The guide stands at another taper than was aimed at: 0.01 to 0.08 in/ft off.
    GuideSetting,
    /// The feed began with slack still to be taken up: 0.1 to 0.85 of what is lost.
    ShortRunIn,
    /// The slide drags about as much as the cut pushes, so that it floats: 0.5 to 1.1 of the
    /// push-off.
    DragNearPushOff,
    /// Bar or post gives way: 0.1 to 0.4 of the stiffness described.
    LongBar,
    /// Tool above or below centre: 1.2 to 3 mm, less on thin work.
    ToolHeight,
    /// The spindle isn't parallel to the bed: 0.05 to 0.4 mm in 300 mm per side.
    Headstock,
    /// The foot or its rod is loose: 1 to 5 mm along the bed, a quarter of its stiffness.
    FootLoose,
    /// The piece doesn't run true, or is sprung by its jaws: 0.1 to 0.5 mm.
    RunOut,
    /// The guide bar is bowed or climbs: 0.1 to 0.6 mm in the middle of its travel.
    GuideBowed,
}

impl Cause {
    /// All of them.
    pub const ALL: [Self; 10] = [
        Self::AsDescribed,
        Self::GuideSetting,
        Self::ShortRunIn,
        Self::DragNearPushOff,
        Self::LongBar,
        Self::ToolHeight,
        Self::Headstock,
        Self::FootLoose,
        Self::RunOut,
        Self::GuideBowed,
    ];

    /// In the shop's words.
    pub fn words(self) -> &'static str {
        match self {
            Self::AsDescribed => "nothing out of order: the lathe is as its file says",
            Self::GuideSetting => "the guide is set wrong",
            Self::ShortRunIn => "started too close: slack was still being taken up",
            Self::DragNearPushOff => "the slide drags about as much as the cut pushes: it floats",
            Self::LongBar => "bar or post gives way: too long, too thin or not clamped",
            Self::ToolHeight => "the tool is above or below centre",
            Self::Headstock => "headstock (or tailstock) out of line with the bed",
            Self::FootLoose => "the foot or its rod is loose",
            Self::RunOut => "the piece ran out or was sprung by its jaws",
            Self::GuideBowed => "the guide bar is bowed, worn or climbs",
        }
    }

    /// What mends it.
    pub fn mend(self) -> &'static str {
        match self {
            Self::AsDescribed => "what is left is the lathe's own spread: see `predict`",
            Self::GuideSetting => "prove the guide by readings after the run-in and nudge it",
            Self::ShortRunIn => "start further back, every pass, or seat the slide by hand",
            Self::DragNearPushOff => {
                "snug the slide's gib, feed the other way, or hold the slide out of the cut"
            }
            Self::LongBar => "shorter or thicker bar, clamp it anew, sharp edge, lighter last pass",
            Self::ToolHeight => "set the edge on centre",
            Self::Headstock => {
                "turn a straight test piece, align the headstock or set the guide \
                                for it"
            }
            Self::FootLoose => "tighten the foot and its clamp, and start further back",
            Self::RunOut => "true the piece, or finish from a surface turned in the same setting",
            Self::GuideBowed => "clean and level the guide, use its better stretch",
        }
    }

    /// The look that shows it by itself, with its minutes [guess].
    pub fn direct_look(self) -> (&'static str, f64) {
        match self {
            Self::AsDescribed => ("nothing", f64::INFINITY),
            Self::GuideSetting => (
                "carriage and slide readings over 3 in, after the run-in",
                10.0,
            ),
            Self::ShortRunIn => (
                "test 1, reversal: what is lost against where you started",
                5.0,
            ),
            Self::DragNearPushOff => ("test 4, drag with a spring scale", 5.0),
            Self::LongBar => ("test 6, bar tip", 5.0),
            Self::ToolHeight => (
                "the edge against a centre or a scale held between it and the work",
                1.0,
            ),
            Self::Headstock => (
                "test 8, a straight piece turned with the guide let go",
                15.0,
            ),
            Self::FootLoose => ("test 2, foot: an indicator on the guide's end", 5.0),
            Self::RunOut => ("an indicator on the piece while it is turned by hand", 2.0),
            Self::GuideBowed => ("test 7, guide true", 10.0),
        }
    }

    /// Whether it can happen on this job cut this way.
    pub fn can_be(self, setup: &Setup) -> bool {
        match self {
            // Pulled in, drag presses the slide to the same face as the push-off does.
            Self::DragNearPushOff => setup.pull() == Pull::Away,
            _ => true,
        }
    }

    /// Puts the trouble into a drawn scenario, as bad as three uniform numbers say; returns what
    /// the work's taper on diameter has besides, that no reading of the slide shows.
    pub(super) fn plant(
        self,
        scenario: &mut Scenario,
        setup: &Setup,
        options: &mut Options,
        u: [f64; 3],
    ) -> f64 {
        let sign = if u[1] < 0.5 { -1.0 } else { 1.0 };
        let evenly = |low: f64, high: f64| low + u[0] * (high - low);
        let decades = |low: f64, high: f64| low * powf(high / low, u[0]);
        match self {
            Self::AsDescribed => {}
            Self::GuideSetting => {
                let off = sign * decades(0.01 / INCHES_PER_FOOT, 0.08 / INCHES_PER_FOOT);
                let setting = &mut scenario.lathe.attachment.setting_error;
                *setting = Known::given(Taper::from_si(off));
            }
            Self::ShortRunIn => {
                let whole = Options {
                    run_in: None,
                    ..*options
                };
                let (_, approach) = cut::approach(scenario, setup, whole);
                options.run_in = Some(approach.lost.total * evenly(0.1, 0.85));
            }
            Self::DragNearPushOff => {
                let operation = Operation::new(scenario, *setup, *options);
                let passes = &scenario.job.passes;
                let set = passes.finish.last().map_or(0.25e-3, |set| set.si());
                let push = operation.law(passes.feed.si()).at(set, 0.0, 1.0).push_off;
                let eased = scenario.lathe.slide.drag_left_cutting.si();
                let drag = evenly(0.5, 1.1) * max(push, 1.0) / eased;
                scenario.lathe.slide.drag.middle = Quantity::from_si(drag);
            }
            Self::LongBar => {
                let share = evenly(0.1, 0.4);
                match &mut scenario.job.tool.bar {
                    Some(bar) if setup.kind == Kind::Inside => {
                        let holder = &mut bar.holder_factor.middle;
                        *holder = Quantity::from_si(share * holder.si());
                    }
                    _ => {
                        let post = &mut scenario.lathe.top_slide.spring.middle;
                        *post = Quantity::from_si(share * post.si());
                    }
                }
            }
            Self::ToolHeight => {
                let (_, small) = scenario.job.work.end_diameters();
                let most = min(3e-3_f64, 0.3 * small.si());
                let height = sign * most * evenly(0.4, 1.0);
                scenario.job.tool.height.middle = Length::from_si(height);
            }
            Self::Headstock => return sign * decades(2.0 * 0.05 / 300.0, 2.0 * 0.4 / 300.0),
            Self::FootLoose => {
                let attachment = &mut scenario.lathe.attachment;
                attachment.foot_slack.middle = Quantity::from_si(decades(1e-3, 5e-3));
                let spring = &mut attachment.foot_spring.middle;
                *spring = Quantity::from_si(0.25 * spring.si());
            }
            Self::RunOut => {
                let work = &mut scenario.job.work;
                let much = decades(0.1e-3, 0.5e-3);
                work.run_out.middle = Quantity::from_si(much);
                work.ovality.middle = Quantity::from_si(0.3 * u[2] * much);
                work.lobing.middle = Quantity::from_si(0.2 * (1.0 - u[2]) * much);
            }
            Self::GuideBowed => {
                let bow = sign * decades(0.1e-3, 0.6e-3);
                scenario.lathe.attachment.guide_bow.middle = Length::from_si(bow);
            }
        }
        0.0
    }
}
