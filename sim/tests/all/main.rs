//! Every test of the engine from outside, in one binary.

mod published;

/// What the tests are given: texts, lathes, jobs, made-up readings.
mod given {
    pub mod even_work;
    pub mod hands;
    pub mod many;
    pub mod readings_made;
    pub mod scenario_texts;
    pub mod worked;
}

mod advice {
    mod against_shares;
    mod changes;
    mod preload_against_drag;
    mod seat;
    mod window;
}

mod balance {
    mod chain;
    mod limits;
    mod peers;
    mod properties;
}

mod cut {
    mod batch;
    mod chip;
    mod ends;
    mod laws;
    mod run_in;
    mod scans;
    mod stick_slip;
    mod thin_chip;
    mod spring;
    mod start;
    mod step;
}

mod gauging {
    mod errors;
    mod laws;
    mod rational;
}

mod inertia {
    mod cut;
    mod laws;
    mod peers;
}

mod machine {
    mod bed_and_spindle;
    mod bore_room;
    mod guide_gib_slots;
    mod laws;
    mod motion;
    mod parts;
    mod setup_signs;
    mod steady_rest;
    mod wear;
}

mod quantity {
    mod parse;
    mod shop_words;
    mod show;
    mod spread;
    mod standard_tapers;
}

mod readings {
    mod sample;
    mod file;
    mod limits;
    mod truth;
}

mod rehearse {
    mod faults;
    mod moves;
    mod properties;
}

mod scenario {
    mod faults;
    mod good;
    mod mutated;
    mod named;
    mod odd;
    mod plausible;
    mod rows;
    mod slips;
    mod teach;
    mod template;
}

mod shop {
    mod abrasive;
    mod two_set_ups;
    mod blind;
    mod heat;
    mod learn_truth;
    mod lesson_numbers;
    mod method_laws;
    mod piece_truth;
    mod setup_sheet;
    mod tool_needed;
    mod shop_tests_truth;
    mod two_cuts_truth;
}

mod spread {
    mod adaptive;
    mod coverage;
    mod distributions;
    mod draws;
    mod guide;
    mod peers;
}

mod study {
    mod distributions;
    mod draws;
    mod expect;
    mod mend;
    mod methods;
    mod outlook;
    mod single;
    mod worth;
}

mod thread {
    mod runs_out;
    mod faults;
    mod laws;
    mod marched;
    mod order;
    mod ways;
}
