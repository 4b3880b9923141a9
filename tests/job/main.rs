//! The maker's file: read, changed, and what is said of its faults.

mod bad_input;
mod edit;
mod read;
