//! What a browser shows of page, lesson, report and sheet, and what is written for it.

mod bench;
#[path = "../shared/digest.rs"]
mod digest;
mod firefox;
mod gallery;
mod lesson;
mod lesson_learner;
mod page;
mod page_forms;
mod page_speed;
mod picture;
mod report;
mod setup_sheet;
mod tab;
#[path = "../shared/unchecked.rs"]
mod unchecked;
#[path = "../shared/workshop.rs"]
mod workshop;
