//! What can be typed after `tautway page`.

use std::path::PathBuf;

use clap::Args;

use super::endings;
use crate::failure::Failure;
use crate::plan;

/// Write a page to touch: both cuts, what to do, job and lathe as forms, in one HTML file.
///
/// The file has job, lathe and the whole program's sums inside and needs no net. It is written beside
/// the job (socket.toml: socket.page.html), its path is printed, and at a desktop it is opened. A
/// page as this wrote it is replaced; one that was saved from the browser, or any other file, is not.
#[derive(Args, Clone, Debug)]
#[command(
    after_help = "Examples:\n  tautway page job.toml\n  tautway page job.toml --out shown.html --open"
)]
pub struct PageArgs {
    /// The job file [default: a worked example, its numbers invented, as tautway.page.html].
    pub scenario: Option<PathBuf>,
    /// Open it in this machine's browser, from a script too.
    #[arg(long)]
    pub open: bool,
    /// Write it to this new file; - for standard output.
    #[arg(long, short, value_name = "FILE")]
    pub out: Option<PathBuf>,
    /// Replace what an earlier run wrote there; a page that was saved, too.
    #[arg(long)]
    pub overwrite: bool,
    /// Luck of all that is drawn: the same number gives the same answer.
    #[arg(long, short, value_name = "N", default_value_t = 1)]
    pub seed: u64,
}

impl TryFrom<PageArgs> for plan::Page {
    type Error = Failure;

    fn try_from(typed: PageArgs) -> Result<Self, Failure> {
        endings::PAGE.form(typed.out.as_deref(), None)?;
        Ok(Self {
            scenario: typed.scenario,
            open: typed.open,
            out: typed.out,
            overwrite: typed.overwrite,
            seed: typed.seed,
        })
    }
}
