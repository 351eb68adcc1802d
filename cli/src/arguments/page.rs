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
#[command(after_help = "Example:\n  tautway page job.toml --open")]
pub struct PageArgs {
    /// The job file to begin with [default: a worked example, its numbers invented].
    pub scenario: Option<PathBuf>,
    /// Port to serve on [default: any that is free].
    #[arg(long, value_name = "N")]
    pub port: Option<u16>,
    /// Open the page in this machine's browser.
    #[arg(long)]
    pub open: bool,
}

impl From<PageArgs> for plan::Page {
    fn from(typed: PageArgs) -> Self {
        Self {
            scenario: typed.scenario,
            port: typed.port,
            open: typed.open,
        }
    }
}
