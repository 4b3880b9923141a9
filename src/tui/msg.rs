//! What can happen to the wall, and what the wall asks for.
//!
//! Invariant: a [`Write`] holds exactly the records that will be in the log when [`Msg::Written`] comes
//! back; nothing else writes.

use super::bench::{Bench, Fresh, Sheet};
use super::key::Key;
use super::model::Page;
use super::pages::worked::WorkedOut;
use crate::dayplan::{Plan, document::Stamp};
use crate::job::edit::Edit;
use crate::log::What;
use std::sync::Arc;

/// Something happened.
pub enum Msg {
    /// A key was pressed.
    Key(Key),
    /// Text was pasted.
    Paste(String),
    /// The screen has this many columns and rows.
    Size(u16, u16),
    /// The clock says.
    Clock(Stamp),
    /// A fresh look at the bench.
    Sheet(Box<Sheet>),
    /// What was asked for is in the log; the bench has been looked at since.
    Written(Write, Box<Sheet>),
    /// A plan was not written: another screen took one on first.
    Overtaken(Fresh, Box<Sheet>),
    /// It is not in the log, and why.
    NotWritten(Write, String),
    /// A replan has a plan already and looks for a better one.
    AtOnce(u64, Box<Plan>),
    /// A replan ended. `Ok(None)`: the plan in force stands.
    Planned(u64, Result<Option<Box<Plan>>, String>),
    /// What would be wrong with the file after the changes of the open form.
    Checked(Vec<String>),
    /// The file was changed; the bench has been looked at since.
    Edited(String, Box<Sheet>),
    /// It was not, and why.
    NotEdited(Vec<String>),
    /// The figures of a page.
    WorkedOut(Box<WorkedOut>),
    /// Others wrote; the bench has been looked at since.
    Refreshed(Fresh, Box<Sheet>),
    /// The editor has ended; why it could not be used, if so.
    EditorEnded(Option<String>, Fresh, Box<Sheet>),
    /// The screen came back after a stop: the size and the clock follow.
    Woken,
}

/// Something is wanted.
#[derive(Clone, Debug, PartialEq)]
pub enum Effect {
    /// Put these into the log, then answer with [`Msg::Written`] or [`Msg::NotWritten`].
    Write(Write),
    /// Look at the bench again.
    Recompute,
    /// Work out the figures of a page from the last look: [`Msg::WorkedOut`].
    WorkOut(Page),
    /// Work out a plan from where things stand; answers of older generations are of no use any more.
    Replan(u64),
    /// Hands are needed: ring.
    Bell,
    /// Say what would be wrong after these changes: [`Msg::Checked`].
    Check(Check),
    /// Change the file, then answer with [`Msg::Edited`] or [`Msg::NotEdited`]; the words are for the foot.
    Edit(Vec<Edit>, String),
    /// Open the file in the maker's editor, then answer with [`Msg::EditorEnded`].
    Editor,
    /// Leave.
    Quit,
    /// Leave as after an interrupt.
    Interrupt,
    /// Stop, to be woken later.
    Suspend,
    /// Paint everything afresh.
    Repaint,
}

/// Changes to be looked at before anybody writes them.
#[derive(Clone, Debug, PartialEq)]
pub struct Check {
    /// As the form is.
    pub edits: Vec<Edit>,
    /// As it would be with something in the lines that nobody has come to yet, where there are such lines.
    pub filled_on: Option<Vec<Edit>>,
}

impl Check {
    /// What is wrong, a line a fault. What goes away once an empty line further down is filled in is not wrong
    /// yet.
    pub fn wrong(&self, bench: &dyn Bench) -> Vec<String> {
        let mut wrong = bench.check(&self.edits);
        if let (false, Some(filled_on)) = (wrong.is_empty(), &self.filled_on) {
            let stays = bench.check(filled_on);
            wrong.retain(|line| stays.contains(line));
        }
        wrong
    }
}

/// Records to be written together.
#[derive(Clone, Debug, PartialEq)]
pub struct Write {
    /// What happened.
    pub what: Vec<What>,
    /// The line the screen shows once they are in the log, without its full stop.
    pub words: String,
    /// The plan in force that a plan was made in view of.
    pub over: Option<Arc<Plan>>,
}
