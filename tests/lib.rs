//! Checks that belong to no single crate; each lives in its own test or bench file.
