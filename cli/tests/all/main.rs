//! Every test of the program but those that need a browser, in one binary.

#[path = "../shared/digest.rs"]
mod digest;
mod golden;
#[path = "../shared/unchecked.rs"]
mod unchecked;
#[path = "../shared/workshop.rs"]
mod workshop;

mod answers {
    mod changes_and_preload;
    mod gauging;
    mod lathe_numbers;
    mod many_lathes;
    mod piece;
    mod printed;
    mod readings;
    mod rehearse;
    mod slide_weight;
    mod thread_plan;
    mod ways;
    mod without_attachment;
    mod worked_files;
}

mod page {
    mod said;

    mod advised;
    mod file;
    mod filled;
    mod told;
    mod whole_answers;
}

mod program {
    mod accepted;
    mod before;
    mod builds;
    mod failures;
    mod faults;
    mod files;
    mod help;
    mod options;
    mod output;
    mod reading;
    mod readme;
    mod refusals;
    mod schema;
    mod schema_answers;
    mod schema_moves;
    mod screens;
    mod tables;
}
