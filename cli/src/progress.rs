//! A line on the terminal for whoever waits longer than a moment.

use std::io::{self, IsTerminal};
use std::thread;
use std::time::Duration;

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

use crate::terminal;

/// Work shorter than this shows nothing.
const MOMENT: Duration = Duration::from_millis(500);

/// A line that tells what is going on, gone when dropped.
pub struct Progress(ProgressBar);

impl Progress {
    /// Begins; the line appears after a moment, and at a terminal only.
    pub fn start(what: &str) -> Self {
        let bar = ProgressBar::with_draw_target(None, ProgressDrawTarget::hidden());
        if let Ok(style) = ProgressStyle::with_template("{spinner} {msg}, {elapsed}") {
            bar.set_style(style);
        }
        bar.set_message(what.to_owned());
        if io::stderr().is_terminal() && !terminal::is_quiet() {
            let later = bar.clone();
            thread::spawn(move || {
                thread::sleep(MOMENT);
                if !later.is_finished() {
                    later.set_draw_target(ProgressDrawTarget::stderr());
                    later.enable_steady_tick(Duration::from_millis(120));
                }
            });
        }
        Self(bar)
    }

    /// Tells what goes on now.
    pub fn tell(&self, what: String) {
        self.0.set_message(what);
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        self.0.finish_and_clear();
    }
}
