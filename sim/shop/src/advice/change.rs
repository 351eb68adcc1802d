//! A change to the lathe, the tool or the way of cutting, as a plain value.
//!
//! A change is a list of effects on the numbers of a scenario. An effect says what becomes of the
//! middle and of the range: a number that is multiplied keeps its own doubt and gets that of the
//! change, both as shares, added as squares; one that is brought down to a range has the lesser of
//! either end. Where a number comes from (given or assumed) stays, so that it keeps its place in
//! the draws and before and after are cut on the same lathes.

use schemars::JsonSchema;
use serde::Serialize;

use crate::arithmetic::{hypot, max, min};
use crate::quantity::{Length, Quantity};
use crate::scenario::{AttachmentKind, Gauge, Known, Lathe, Preload, Scenario};
use crate::setup::{Feed, Setup};

/// What a cut is made on and how.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Arrangement {
    /// Lathe and job.
    pub scenario: Scenario,
    /// The way.
    pub setup: Setup,
    /// Whether the slide is seated by hand before each pass, whatever the room.
    pub by_hand: bool,
}

/// Whether a change can be taken back.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Undone {
    /// In a moment, or by itself with the next job.
    Easily,
    /// With as much work again.
    WithWork,
    /// Metal is gone or parts are scrap.
    No,
}

/// What a change does to one number, or to the cut. Middles and ranges in SI: low, middle, high.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(tag = "effect", rename_all = "snake_case")]
pub enum Effect {
    /// Multiplies a number by a share: at the least, most likely, at the most.
    Times {
        /// Key of the number.
        key: &'static str,
        /// The share.
        share: [f64; 3],
    },
    /// Brings a number down to a range, if it is above.
    DownTo {
        /// Key of the number.
        key: &'static str,
        /// The range.
        si: [f64; 3],
    },
    /// Brings a signed number to a range about nothing.
    About {
        /// Key of the number.
        key: &'static str,
        /// Half of the range.
        half: f64,
    },
    /// Takes up the slack of one part of the drive; a measured total comes down with it, by the
    /// share of the parts (which is an assumption, as a total doesn't tell).
    TakeUp {
        /// The part.
        part: SlackOf,
        /// Its slack then.
        si: [f64; 3],
    },
    /// Locks the top slide.
    LockTopSlide,
    /// Feeds the other way.
    FeedBack,
    /// Seats the slide by hand before each pass.
    SeatByHand,
    /// Another boring bar.
    Bar {
        /// Diameter, m, if it is another.
        diameter: Option<f64>,
        /// Sticking out, m, if it is otherwise.
        stick_out: Option<f64>,
    },
    /// Holds the slide by a force.
    Hold {
        /// From what, which way.
        preload: Preload,
    },
    /// Gauges the work before the last pass.
    Gauge {
        /// With what.
        gauge: Gauge,
    },
    /// Another indicator on the slide.
    Indicator {
        /// One step of it, m.
        step: f64,
    },
    /// Another lathe.
    Lathe {
        /// It.
        lathe: Box<Lathe>,
    },
}

/// A part of the drive with slack.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum SlackOf {
    /// Shoe on the guide.
    Shoe,
    /// End float of the screw.
    Thrust,
    /// Cross screw and nut.
    Nut,
    /// Screw of the top slide.
    TopSlide,
}

/// Something worth trying.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Change {
    /// Stable name.
    pub id: &'static str,
    /// In the shop's words.
    pub words: String,
    /// What it does to which number, and what of that is a guess.
    pub does: String,
    /// How long it takes, min.
    pub minutes: f64,
    /// Whether it can be taken back.
    pub undone: Undone,
    /// What it does.
    pub effects: Vec<Effect>,
}

impl Change {
    /// The arrangement after it.
    pub fn applied(&self, to: &Arrangement) -> Arrangement {
        let mut after = to.clone();
        for effect in &self.effects {
            effect.act(&mut after);
        }
        after
    }

    /// Keys of the numbers it moves.
    pub fn keys(&self) -> Vec<&'static str> {
        self.effects
            .iter()
            .flat_map(|effect| match effect {
                Effect::Times { key, .. }
                | Effect::DownTo { key, .. }
                | Effect::About { key, .. } => vec![*key],
                Effect::TakeUp { part, .. } => vec![part.key(), "attachment.slack"],
                Effect::LockTopSlide => vec!["top_slide.slack"],
                Effect::Bar { .. } => vec!["tool.bar.holder_factor"],
                Effect::Hold { .. } => vec!["preload"],
                Effect::Indicator { .. } => vec!["readout.step"],
                Effect::Gauge { .. } => vec!["gauge"],
                Effect::FeedBack | Effect::SeatByHand | Effect::Lathe { .. } => Vec::new(),
            })
            .collect()
    }

    /// Whether two can be made together: not both of them a preload.
    pub fn goes_with(&self, other: &Change) -> bool {
        let holds = |change: &Change| {
            let mut effects = change.effects.iter();
            effects.any(|effect| matches!(effect, Effect::Hold { .. }))
        };
        self.id != other.id && !(holds(self) && holds(other))
    }
}

impl SlackOf {
    fn key(self) -> &'static str {
        match self {
            Self::Shoe => "attachment.shoe_slack",
            Self::Thrust => "attachment.thrust_slack",
            Self::Nut => "attachment.nut_slack",
            Self::TopSlide => "top_slide.slack",
        }
    }

    /// The part's slack.
    pub fn of(self, lathe: &Lathe) -> &Known<Length> {
        match self {
            Self::Shoe => &lathe.attachment.shoe_slack,
            Self::Thrust => &lathe.attachment.thrust_slack,
            Self::Nut => &lathe.attachment.nut_slack,
            Self::TopSlide => &lathe.top_slide.slack,
        }
    }

    fn of_mut(self, lathe: &mut Lathe) -> &mut Known<Length> {
        match self {
            Self::Shoe => &mut lathe.attachment.shoe_slack,
            Self::Thrust => &mut lathe.attachment.thrust_slack,
            Self::Nut => &mut lathe.attachment.nut_slack,
            Self::TopSlide => &mut lathe.top_slide.slack,
        }
    }

    /// Whether it is in the drive of this lathe.
    pub fn is_in(self, lathe: &Lathe) -> bool {
        match (self, lathe.attachment.kind) {
            (Self::Shoe, _) => true,
            (Self::Thrust | Self::Nut, kind) => kind == AttachmentKind::Telescoping,
            (Self::TopSlide, AttachmentKind::Plain) => !lathe.top_slide.locked,
            (Self::TopSlide, AttachmentKind::Telescoping) => false,
        }
    }
}

impl Effect {
    fn act(&self, on: &mut Arrangement) {
        let lathe = &mut on.scenario.lathe;
        match self {
            Self::Times { key, share } => moved(&mut on.scenario, key, |r| times(r, *share)),
            Self::DownTo { key, si } => moved(&mut on.scenario, key, |r| down_to(r, *si)),
            Self::About { key, half } => {
                moved(&mut on.scenario, key, |_| [-half, 0.0, *half]);
            }
            Self::TakeUp { part, si } => take_up(lathe, *part, |known| {
                let range = [known.low.si(), known.middle.si(), known.high.si()];
                set(known, down_to(range, *si));
            }),
            Self::LockTopSlide => {
                if SlackOf::TopSlide.is_in(lathe) {
                    take_up(lathe, SlackOf::TopSlide, |known| set(known, [0.0; 3]));
                }
                lathe.top_slide.locked = true;
            }
            Self::FeedBack => {
                on.setup.feed = match on.setup.feed {
                    Feed::Headstock => Feed::Tailstock,
                    Feed::Tailstock => Feed::Headstock,
                };
            }
            Self::SeatByHand => on.by_hand = true,
            Self::Bar {
                diameter,
                stick_out,
            } => {
                if let Some(bar) = &mut on.scenario.job.tool.bar {
                    bar.diameter = diameter.map_or(bar.diameter, Length::from_si);
                    bar.stick_out = stick_out.map_or(bar.stick_out, Length::from_si);
                }
            }
            Self::Hold { preload } => on.scenario.job.preload = Some(*preload),
            Self::Gauge { gauge } => on.scenario.job.gauge = *gauge,
            Self::Indicator { step } => set(&mut lathe.readout_step, [*step; 3]),
            Self::Lathe { lathe: other } => *lathe = (**other).clone(),
        }
    }
}

/// Moves the range of a number, where the scenario has it.
fn moved(scenario: &mut Scenario, key: &str, to: impl Fn([f64; 3]) -> [f64; 3]) {
    for parameter in scenario.parameters_mut() {
        if parameter.key == key {
            parameter.set_range_si(scenario, to(parameter.value.range_si()));
        }
    }
}

fn set(known: &mut Known<Length>, range: [f64; 3]) {
    [known.low, known.middle, known.high] = range.map(Length::from_si);
}

/// Both doubts as shares of their middles, added as squares; what can't be negative isn't.
fn times([low, middle, high]: [f64; 3], [least, likely, most]: [f64; 3]) -> [f64; 3] {
    if middle == 0.0 || likely == 0.0 {
        return [low * likely, 0.0, high * likely];
    }
    let share = |part: f64, whole: f64| part / whole - 1.0;
    let below = hypot(share(low, middle), share(least, likely));
    let above = hypot(share(high, middle), share(most, likely));
    let to = middle * likely;
    let bottom = to * (1.0 - below);
    [
        if low >= 0.0 { max(bottom, 0.0) } else { bottom },
        to,
        to * (1.0 + above),
    ]
}

fn down_to(range: [f64; 3], to: [f64; 3]) -> [f64; 3] {
    [0, 1, 2].map(|end| min(range[end], to[end]))
}

/// Changes a part's slack; a total measured in one go is brought down by the part's share of it.
fn take_up(lathe: &mut Lathe, part: SlackOf, change: impl Fn(&mut Known<Length>)) {
    let sum = |lathe: &Lathe| -> f64 {
        [
            SlackOf::Shoe,
            SlackOf::Thrust,
            SlackOf::Nut,
            SlackOf::TopSlide,
        ]
        .iter()
        .filter(|part| part.is_in(lathe))
        .map(|part| part.of(lathe).si())
        .sum()
    };
    let before = sum(lathe);
    change(part.of_mut(lathe));
    let after = sum(lathe);
    if let Some(total) = &mut lathe.attachment.total_slack
        && before > 0.0
    {
        let share = after / before;
        let range = [total.low.si(), total.middle.si(), total.high.si()];
        set(total, range.map(|si| si * share));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_share_of_a_range_closed_form() {
        // 3-4-5: a doubt of 30 % and one of 40 % are 50 % together.
        let found = times([7.0, 10.0, 13.0], [0.3, 0.5, 0.7]);
        for (found, wanted) in found.into_iter().zip([2.5, 5.0, 7.5]) {
            assert!((found - wanted).abs() < 1e-12);
        }
        // An exact number has the doubt of the change alone, an exact change none.
        assert_eq!(times([4.0; 3], [1.5, 2.0, 2.5]), [6.0, 8.0, 10.0]);
        assert_eq!(times([3.0, 4.0, 6.0], [0.5; 3]), [1.5, 2.0, 3.0]);
        // Nothing that can't be negative becomes so.
        assert_eq!(times([0.0, 1.0, 2.0], [0.0, 1.0, 2.0])[0], 0.0);
        // About nothing there is no share of the middle: the ends shrink.
        assert_eq!(times([-2.0, 0.0, 2.0], [0.2, 0.25, 0.3]), [-0.5, 0.0, 0.5]);
    }

    #[test]
    fn brought_down_never_goes_up() {
        assert_eq!(down_to([1.0, 5.0, 9.0], [2.0, 3.0, 4.0]), [1.0, 3.0, 4.0]);
        assert_eq!(down_to([1.0, 2.0, 3.0], [2.0, 3.0, 4.0]), [1.0, 2.0, 3.0]);
    }
}
