//! Finish schedules and products: read, checked, laid, and every class of them in a plan.

mod classes;
mod classes_glaze;
mod classes_mixed;
mod classes_mixing;
mod classes_plan;
mod classes_steps;
mod compat;
mod laid;
mod own;
mod read;
mod sample_board;
mod shipped;
