//! `tautway lesson`: a lesson at this lathe on this job, as one file.

use tautway_sim::lesson::{Lesson, NoLesson};

use crate::failure::{Failure, Verdict};
use crate::output::file::{self, Kind};
use crate::plan::{self, LessonFormat};
use crate::progress::Progress;
use crate::{interrupt, lesson, terminal, texts};

/// What is written, for the messages about it.
const KIND: Kind = Kind {
    what: "lesson",
    option: "--out",
    example: "lesson.html",
    is_ours: lesson::is_lesson,
};

/// Works the lesson out and writes it.
///
/// # Errors
/// When the files are not right, or the lesson can't be written.
pub fn lesson(args: &plan::Lesson) -> Result<Verdict, Failure> {
    let mut read = texts::job(&args.job)?.map_err(|refused| refused.show())?;
    texts::show(&read.warnings, &read.texts);
    if let Some(file) = &args.to.out {
        file::may_be_written(file, args.to.overwrite, &KIND)?;
    }
    if let Some(units) = args.to.units {
        read.scenario.job.units = units;
    }
    let options = args.options;
    let progress = Progress::start("working the lesson out");
    let made = Lesson::new(&read.scenario, options, &|done, all| {
        interrupt::note(format!(
            "{done} of {all} parts were worked out; nothing was written"
        ));
        progress.tell(format!("working out part {} of {all}", done + 1));
        true
    });
    drop(progress);
    let made = match made {
        Ok(made) => made,
        Err(NoLesson::NoAttachment) => {
            return Err(Failure::Nothing(
                "no lesson: it is of the taper attachment, and this lathe has none fitted\n  help: \
                 [attachment] kind in the lathe file says what there is"
                    .to_owned(),
            ));
        }
        Err(NoLesson::NoWay(reasons)) => {
            let because: Vec<String> = reasons
                .iter()
                .map(|reason| reason.words(read.scenario.job.units))
                .collect();
            return Err(Failure::Nothing(format!(
                "no lesson: no way of this job can be cut with the attachment: {}\n  help: \
                 `tautway compare` shows every way; take a job that this lathe can cut",
                because.join("; ")
            )));
        }
        Err(NoLesson::Interrupted) => {
            return Err(Failure::Stopped("interrupted between two cuts".to_owned()));
        }
        Err(NoLesson::Range(fault)) => return Err(Failure::Input(fault.to_string())),
    };
    let job = args.job.file_name().unwrap_or(args.job.as_os_str());
    let job = job.display().to_string();
    let bytes = lesson::written(&made, &read, options, &job, (args.format, args.paper));
    match &args.to.out {
        Some(file) => {
            file::give(file, args.to.overwrite, &bytes, &KIND)?;
        }
        None if args.format == LessonFormat::Pdf => terminal::answer_pdf(&bytes)?,
        None => terminal::answer_bytes(&bytes)?,
    }
    Ok(Verdict::Done)
}
