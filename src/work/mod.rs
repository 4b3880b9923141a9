//! Parts × schedules → operations: what has to be done to every piece, in which order, with which waits.
//!
//! Invariant: a pure function of the job; ids of operations depend only on the piece and the step, so they
//! stay the same from plan to plan. The rules of the trade about *order* live here and nowhere else.

mod after;
mod assembled;
pub mod compat;
mod film;
pub(crate) mod fresh;
mod groups;
mod lay;
mod left_out;
mod levels;
mod mend;
mod minutes;
mod operation;
mod prepare;
mod sample;
mod writer;

pub use operation::{Delay, Place, Span, Wait, Window, Work, WorkOperation};

use crate::job::Job;

/// All the work of a job.
pub fn of(job: &Job) -> Work {
    let mut writer = writer::Writer::new(job);
    for piece in 0..job.pieces.len() {
        writer.begin_piece(piece);
        let groups = groups::of(job, piece);
        prepare::write(&mut writer, piece, &groups);
        let films = film::write(&mut writer, piece, &groups);
        after::write(&mut writer, piece, &groups, &films);
        writer.end_piece(piece);
    }
    assembled::write(&mut writer);
    sample::write(&mut writer);
    writer.finish()
}
