//! The parts of the machine, one file each, and the drive they make for one way of cutting.
//!
//! A part knows its own law and nothing of the others. [`Machine::new`] asks each for its links,
//! condenses what doesn't rub, and hands the balance a chain of plain links.

mod part;
pub mod foot;
pub mod headstock;
pub mod guide;
pub mod preload;
pub mod screw;
pub mod slide;
pub mod tool;
pub mod work;
pub mod wear;
pub mod carriage;

pub use part::{RIGID, SlackPart};

use crate::arithmetic::max;
use crate::balance::Link;
use crate::quantity::Quantity;
use crate::scenario::{AttachmentKind, End, Lathe, Scenario, Work};
use crate::setup::Setup;
use foot::Foot;
use preload::PreloadForce;
use slide::Drag;
use wear::Wear;
use work::Bench;

/// The machine as one way of cutting uses it, in SI along `n`.
#[derive(Clone, Debug, PartialEq)]
pub struct Machine {
    /// From guide to slide, condensed.
    pub drive: Link,
    /// What the drive's slack is made of.
    pub slack_parts: Vec<SlackPart>,
    /// How its slack changes along the guide; in it is what there is at the gauge plane.
    pub wear: Wear,
    /// Foot and rod.
    pub foot: Foot,
    /// The slide's drag.
    pub drag: Drag,
    /// What holds the slide to one side.
    pub hold: PreloadForce,
    /// How far the tool gives way, m/N: top slide, post and bar.
    pub tool_gives: f64,
    /// The bar's share of that, m/N.
    pub bar_gives: f64,
    /// How far the tip swings in the side slack of the slide's gib, m.
    pub swing: f64,
    /// How much further into the cut the tip stands than at the touch-off, the carriage having
    /// turned in its clearance, m.
    pub rock: f64,
    /// How far the work gives way along its length.
    pub bench: Bench,
    /// Change of radius over length, without sign.
    pub slope: f64,
}

impl Machine {
    /// The machine for one way of cutting a taper of this slope (per side, without sign).
    pub fn new(scenario: &Scenario, setup: &Setup, slope: f64) -> Self {
        let Scenario { lathe, job } = scenario;
        let foot = Foot::new(&lathe.attachment);
        let (mut drive, mut slack_parts) = drive(lathe, setup, slope);
        let wear = Wear::new(&lathe.attachment);
        let more: f64 = wear.more_at(gauge_from_middle(&job.work));
        slack_parts[0].slack = max(slack_parts[0].slack + more, 0.0);
        drive.slack = max(drive.slack + more, 0.0);
        let hold = PreloadForce::new(job.preload.as_ref(), setup);
        let (tool_gives, bar_gives) = tool::gives(&lathe.top_slide, job.tool.bar.as_ref());
        Self {
            drive,
            slack_parts,
            wear,
            foot,
            drag: Drag::new(&lathe.slide, setup.press(), hold.seal_drag),
            hold,
            tool_gives,
            bar_gives,
            swing: tool::swing(&lathe.slide, job.tool.bar.as_ref()),
            rock: carriage::rock(lathe, job.tool.bar.as_ref(), setup),
            bench: Bench::new(lathe, &job.work, slope),
            slope,
        }
    }

    /// The same machine with another slack in its drive, m along the cross-slide.
    pub fn set_slack(&mut self, slack: f64) {
        share_out(&mut self.slack_parts, slack);
        self.drive.slack = slack;
    }

    /// Spring rate at the tip with the drive on its first face, N/m, at `z` along the work.
    pub fn tip_spring(&self, z: f64) -> f64 {
        1.0 / (1.0 / self.drive.first + self.tool_gives + self.bench.gives(z))
    }
}

/// From the middle of the taper to the gauge plane along `+Z`, m.
fn gauge_from_middle(work: &Work) -> f64 {
    let from_middle = work.gauge_plane.si() - 0.5 * work.length.si();
    match work.big_end {
        End::Headstock => from_middle,
        End::Tailstock => -from_middle,
    }
}

/// The drive from guide to slide, condensed, and what its slack is made of.
pub fn drive(lathe: &Lathe, setup: &Setup, slope: f64) -> (Link, Vec<SlackPart>) {
    let attachment = &lathe.attachment;
    let mut parts = vec![guide::shoe(attachment, slope)];
    match attachment.kind {
        AttachmentKind::Telescoping => {
            parts.push(screw::thrust(attachment));
            parts.push(screw::nut(attachment, setup));
        }
        AttachmentKind::Plain => {
            if !lathe.top_slide.locked {
                parts.push((
                    SlackPart {
                        name: "top slide screw",
                        slack: lathe.top_slide.slack.si(),
                    },
                    RIGID,
                ));
            }
        }
    }
    let mut slack_parts: Vec<SlackPart> = parts.iter().map(|(slack, _)| slack.clone()).collect();
    let mut drive = parts
        .iter()
        .map(|(part, link)| Link {
            slack: part.slack,
            ..*link
        })
        .reduce(Link::in_series)
        .unwrap_or(RIGID);
    if let Some(total) = &attachment.total_slack {
        // A measured total overrides the sum of guessed parts.
        share_out(&mut slack_parts, total.si());
        drive.slack = total.si();
    }
    if let Some(measured) = &attachment.drive_spring {
        let (first, other) = screw::shares(attachment, setup);
        drive.first = measured.si() * first;
        drive.other = measured.si() * other;
    }
    let seen_across = Foot::new(attachment).seen_across(slope);
    (drive.in_series(seen_across), slack_parts)
}

/// Brings the parts to this total; they keep their shares, or share alike where none has slack.
fn share_out(parts: &mut [SlackPart], total: f64) {
    let sum: f64 = parts.iter().map(|part| part.slack).sum();
    let alike = total / parts.len() as f64;
    for part in parts {
        part.slack = if sum > 0.0 {
            part.slack * (total / sum)
        } else {
            alike
        };
    }
}
