//! What can be typed after `tautway page`.

use std::path::PathBuf;

use clap::Args;

use crate::plan;

/// Open the moving picture in the browser: turn a knob and see what comes of it.
///
/// Serves a page to this machine alone (127.0.0.1) until Ctrl-C, and prints its address. Shows
/// the drive with its gaps as the slack is taken up, the ranking of the ways, and before and
/// after. Nothing is written on disk but what you download from it.
#[derive(Args, Clone, Debug)]
#[command(
    after_help = "Examples:\n  tautway page job.toml --open\n  tautway page job.toml --out bench.html"
)]
pub struct PageArgs {
    /// The job file to begin with [default: a worked example, its numbers invented].
    pub scenario: Option<PathBuf>,
    /// Port to serve on [default: any that is free].
    #[arg(long, value_name = "N")]
    pub port: Option<u16>,
    /// Open the page in this machine's browser.
    #[arg(long)]
    pub open: bool,
    /// Write the bench as one HTML file instead: two cuts to be touched, with the engine inside.
    #[arg(
        long,
        value_name = "FILE",
        requires = "scenario",
        conflicts_with = "port"
    )]
    pub out: Option<PathBuf>,
    /// Replace what an earlier run wrote there.
    #[arg(long, requires = "out")]
    pub overwrite: bool,
    /// Luck of the work's hard patches and run-out, in the file.
    #[arg(long, value_name = "N", default_value_t = 1, requires = "out")]
    pub seed: u64,
}

impl From<PageArgs> for plan::Page {
    fn from(typed: PageArgs) -> Self {
        Self {
            scenario: typed.scenario,
            port: typed.port,
            open: typed.open,
            out: typed.out,
            overwrite: typed.overwrite,
            seed: typed.seed,
        }
    }
}
