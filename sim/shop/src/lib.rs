//! What the shop does with it: the sums of the bench, what may be cut and what can hurt, the ways
//! side by side and over many lathes, what to change, the sheet and the lesson.
#![warn(missing_docs)]
#![cfg_attr(not(test), deny(clippy::disallowed_methods))]

use tautway_engine::{
    balance, cut, cutting, machine, measure, motion, record, threading, unevenness,
};
use tautway_input::{moves, scenario, setup, standard_taper};
use tautway_numbers::{arithmetic, quantity, special, spread, variates};

mod parallel;
pub mod cone;
pub mod gauging;
pub mod heat;
pub mod readings;
pub mod weighing;
pub mod steady;
pub mod shop_tests;
pub mod verdict;
pub mod bore_room;
pub mod caution;
pub mod feasibility;
pub mod rehearse;
pub mod sensitivity;
pub mod inertia;
pub mod study;
pub mod learn;
pub mod expect;
pub mod method;
pub mod advice;
pub mod after_test;
pub mod worth;
pub mod compare;
pub mod thread;
pub mod piece;
pub mod sheet;
pub mod lesson;
