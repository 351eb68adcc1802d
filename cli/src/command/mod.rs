//! What each command does.

mod own_files;
mod draft;
mod blank;
mod check;
mod threaded;
mod compare;
mod fit;
mod join;
mod method;
mod new;
mod lesson;
mod page;
mod piece;
mod predict;
mod lathe;
mod modify;
mod preload;
mod readings;
mod rehearse;
mod sheet;
mod taper;
mod thread;
mod schema;

use crate::failure::{Failure, Verdict};
use crate::plan::Plan;
use crate::terminal;

/// Does what is planned.
///
/// # Errors
/// When the files are not right, it was stopped, or the answer can't be written.
pub fn run(plan: Plan) -> Result<Verdict, Failure> {
    match plan {
        Plan::Compare(plan) => compare::compare(&plan),
        Plan::Join(plan) => join::join(&plan),
        Plan::Predict(plan) => predict::predict(&plan),
        Plan::WithoutAttachment(plan) => method::method(&plan),
        Plan::Preload(plan) => preload::preload(&plan),
        Plan::Modify(plan) => modify::modify(&plan),
        Plan::Page(plan) => page::page(&plan),
        Plan::Sheet(plan) => sheet::sheet(&plan),
        Plan::Lesson(plan) => lesson::lesson(&plan),
        Plan::Piece(plan) => piece::piece(&plan),
        Plan::Check { files, format } => check::check(&files, format),
        Plan::Readings(plan) => readings::readings(&plan),
        Plan::Rehearse(plan) => rehearse::rehearse(&plan),
        Plan::Blank(plan) => blank::blank(&plan),
        Plan::Lathe(plan) => lathe::lathe(plan),
        Plan::New(plan) => new::new(&plan),
        Plan::Fit(plan) => fit::fit(&plan),
        Plan::Thread(plan) => thread::thread(&plan),
        Plan::Taper(plan) => taper::taper(&plan),
        Plan::Schema(kind) => schema::schema(kind),
        Plan::Help(text) => {
            terminal::answer(&text)?;
            Ok(Verdict::Done)
        }
    }
}
