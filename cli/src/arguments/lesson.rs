//! Arguments of `lesson`.

use std::path::PathBuf;

use clap::Args;

use super::answer::{To, of_seed};
use super::endings;
use crate::failure::Failure;
use crate::plan::{self, LessonFormat, Paper};

/// Write a lesson on the attachment: one HTML file with questions, numbers of this lathe, motion.
///
/// Step by step at the lathe: what to ask, what to do, the number expected of this lathe on this
/// job beside a blank for the measured one, and the moving picture. It opens without a net, on a
/// phone or a projector, and prints as a hand-out (as PDF: that alone); the answers stand apart. Safety comes first.
#[derive(Args, Debug)]
#[command(after_help = "Example:\n  tautway lesson job.toml --out lesson.html")]
pub struct LessonArgs {
    /// The job file. The lathe file it names is looked for beside it.
    pub job: PathBuf,
    /// How to answer: HTML, the hand-out as PDF, or JSON with the records in SI [default: by the
    /// ending of --out, else HTML].
    #[arg(long, value_enum)]
    pub format: Option<LessonFormat>,
    #[command(flatten)]
    pub to: To,
    /// Paper of the printed page [default: letter with inches, A4 with millimetres; of HTML the
    /// printer's own].
    #[arg(long, value_enum)]
    pub paper: Option<Paper>,
    /// Luck of all that is drawn: the same number gives the same answer.
    #[arg(long, short, value_name = "N", default_value_t = 1)]
    pub seed: u64,
}

impl TryFrom<LessonArgs> for plan::Lesson {
    type Error = Failure;

    fn try_from(typed: LessonArgs) -> Result<Self, Failure> {
        let form = endings::LESSON.form(typed.to.out.as_deref(), typed.format)?;
        Ok(Self {
            job: typed.job,
            format: form.unwrap_or(LessonFormat::Html),
            to: typed.to.into(),
            paper: typed.paper.map(Into::into),
            options: of_seed(typed.seed),
        })
    }
}
