//! Every test of the drawings from outside, in one binary.

mod advice;
mod drawings;
mod gallery;
mod records;
mod study;
mod thread;
