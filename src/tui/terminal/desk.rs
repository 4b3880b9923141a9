//! The thread the bench is on: what is written, read and looked at is dealt with there, so that no key waits
//! for it.
//!
//! Invariant: errands are dealt with in the order they came; whatever was handed over before the wall comes
//! down is dealt with first. Of looks and checks that wait together only the last is made.

use super::super::bench::{Bench, Fresh, Replan, Sheet};
use super::super::msg::{Effect, Msg, Write};
use super::super::pages::worked::WorkedOut;
use super::Clock;
use crate::dayplan::Plan;
use crate::log::What;
use crate::units::Moment;
use rustix::process::setpriority_process;
use rustix::thread::gettid;
use std::panic::{AssertUnwindSafe, catch_unwind, resume_unwind};
use std::path::PathBuf;
use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread::{self, JoinHandle};

/// The thread's name.
pub const NAME: &str = "desk";

/// Something to be done at the bench.
enum Errand {
    /// What the model asked for.
    Effect(Effect),
    /// Others may have written.
    Refresh,
    /// The maker's editor is about to be opened: what it writes is read when it has ended. Answered when all
    /// that was handed over before is done.
    Editor(Sender<()>),
    /// The maker's editor has ended.
    EditorEnded(Option<String>),
}

impl Errand {
    /// A look at the bench comes with its answer, whatever it is.
    const fn looks(&self) -> bool {
        matches!(self, Self::Effect(Effect::Recompute) | Self::EditorEnded(_))
    }

    const fn checks(&self) -> bool {
        matches!(self, Self::Effect(Effect::Check(_) | Effect::Edit(..)))
    }
}

/// Where the files of the bench are.
#[derive(Default)]
struct Files {
    /// The maker's file.
    path: Option<PathBuf>,
    /// What is watched.
    watched: Vec<PathBuf>,
}

impl Files {
    fn of(bench: &dyn Bench) -> Self {
        Self {
            path: bench.path(),
            watched: bench.watched(),
        }
    }
}

/// The other end of the thread.
pub struct Desk {
    errands: Sender<Errand>,
    files: Arc<Mutex<Files>>,
    thread: Option<JoinHandle<()>>,
}

impl Desk {
    /// Puts the bench on its thread, last looked at so; replans go to `plan`, answers to `tell`, which says
    /// whether anybody still listens; `broke` is called where the thread broke off.
    pub fn start(
        bench: Box<dyn Bench>,
        looked_at: Sheet,
        clock: Clock,
        plan: impl Fn(u64, Replan) + Send + 'static,
        tell: impl Fn(Msg) -> bool + Send + 'static,
        broke: impl Fn() + Send + 'static,
    ) -> Self {
        let (errands, waiting) = channel();
        let files = Arc::new(Mutex::new(Files::of(&*bench)));
        let own = Arc::clone(&files);
        let mut bench = At {
            bench,
            last: looked_at,
            before: None,
            clock,
            plan: Box::new(plan),
            files: own,
            unsaid: None,
            editing: false,
        };
        let thread = thread::Builder::new().name(NAME.to_owned()).spawn(move || {
            // keys come first; where the system does not allow it, it works all the same
            let _ = setpriority_process(Some(gettid()), 5);
            let kept = catch_unwind(AssertUnwindSafe(|| bench.keep(&waiting, &tell)));
            if let Err(broken) = kept {
                broke();
                resume_unwind(broken);
            }
        });
        Self {
            errands,
            files,
            thread: thread.ok(),
        }
    }

    /// Hands over what the model asked for.
    pub fn take(&self, effect: Effect) {
        self.hand(Errand::Effect(effect));
    }

    /// Others may have written into the files.
    pub fn refresh(&self) {
        self.hand(Errand::Refresh);
    }

    /// The maker's editor is about to be opened; waits until nothing reads the file any more.
    pub fn editor_begins(&self) {
        let (done, wait) = channel();
        self.hand(Errand::Editor(done));
        // an end without a word: the thread is gone, and reads nothing either
        let _ = wait.recv();
    }

    /// The maker's editor has ended; why it could not be used, if so.
    pub fn editor_ended(&self, why: Option<String>) {
        self.hand(Errand::EditorEnded(why));
    }

    fn hand(&self, errand: Errand) {
        // the thread is there for as long as this end is
        let _ = self.errands.send(errand);
    }

    /// Where the maker's file is.
    pub fn path(&self) -> Option<PathBuf> {
        self.files().path.clone()
    }

    /// What is to be watched.
    pub fn watched(&self) -> Vec<PathBuf> {
        self.files().watched.clone()
    }

    fn files(&self) -> std::sync::MutexGuard<'_, Files> {
        self.files.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Waits until everything handed over is dealt with.
    pub fn finish(mut self) {
        let (none, _) = channel();
        drop(std::mem::replace(&mut self.errands, none));
        if let Some(thread) = self.thread.take() {
            // what broke off there breaks off here
            if let Err(broken) = thread.join() {
                resume_unwind(broken);
            }
        }
    }
}

/// The bench on its thread.
struct At {
    bench: Box<dyn Bench>,
    /// The last look, and the one before it: it is large, and the screen must not be the one to clear it away.
    last: Sheet,
    before: Option<Sheet>,
    clock: Clock,
    plan: Box<dyn Fn(u64, Replan) + Send>,
    files: Arc<Mutex<Files>>,
    /// What was read of others' writing while something else was answered.
    unsaid: Option<Fresh>,
    /// The maker's editor is open.
    editing: bool,
}

impl At {
    fn keep(&mut self, waiting: &Receiver<Errand>, tell: &dyn Fn(Msg) -> bool) {
        while let Ok(first) = waiting.recv() {
            let mut errands: Vec<Errand> = std::iter::once(first).chain(waiting.try_iter()).collect();
            while !errands.is_empty() {
                let errand = errands.remove(0);
                let later = |alike: fn(&Errand) -> bool| alike(&errand) && errands.iter().any(alike);
                let idle = match errand {
                    Errand::Effect(Effect::Recompute) => later(Errand::looks),
                    Errand::Effect(Effect::Check(_)) => later(Errand::checks),
                    _ => false,
                };
                if idle {
                    continue;
                }
                if let Some(msg) = self.answer(errand) {
                    // nobody listens once the wall comes down; what is left is done all the same
                    let _ = tell(msg);
                }
                if let Some(fresh) = self.unsaid.take() {
                    let _ = tell(Msg::Refreshed(fresh, self.look()));
                }
                errands.extend(waiting.try_iter());
            }
        }
    }

    fn answer(&mut self, errand: Errand) -> Option<Msg> {
        let clock = Arc::clone(&self.clock);
        let now = || clock();
        Some(match errand {
            Errand::Effect(Effect::Write(write))
                if write.what.iter().any(|what| matches!(what, What::AcceptedPlan { .. })) =>
            {
                self.take_on(write)
            }
            Errand::Effect(Effect::Write(write)) => match self.bench.append(now(), write.what.clone()) {
                Ok(_) => Msg::Written(write, self.look()),
                Err(why) => Msg::NotWritten(write, why),
            },
            Errand::Effect(Effect::Recompute) => Msg::Sheet(self.look()),
            Errand::Effect(Effect::WorkOut(page)) => Msg::WorkedOut(Box::new(WorkedOut::of(page, &self.last))),
            Errand::Effect(Effect::Replan(generation)) => {
                (self.plan)(generation, self.bench.replan(Moment::of(&now())));
                return None;
            }
            Errand::Effect(Effect::Check(check)) => Msg::Checked(check.wrong(self.bench.as_ref())),
            Errand::Effect(Effect::Edit(edits, words)) => match self.bench.edit(&edits, now()) {
                Ok(()) => {
                    self.moved();
                    Msg::Edited(words, self.look())
                }
                Err(wrong) => Msg::NotEdited(wrong),
            },
            Errand::Editor(done) => {
                self.editing = true;
                let _ = done.send(());
                return None;
            }
            Errand::Refresh if self.editing => return None,
            Errand::Refresh => {
                let fresh = self.bench.refresh();
                if fresh == Fresh::default() {
                    return None;
                }
                Msg::Refreshed(fresh, self.look())
            }
            Errand::EditorEnded(why) => {
                self.editing = false;
                let fresh = self.bench.refresh();
                Msg::EditorEnded(why, fresh, self.look())
            }
            Errand::Effect(
                Effect::Bell | Effect::Editor | Effect::Quit | Effect::Interrupt | Effect::Suspend | Effect::Repaint,
            ) => return None,
        })
    }

    /// Takes a plan on unless another screen was first: seen at once by what it wrote, or, where both write within
    /// the same moment, by whose turn came first at the log.
    fn take_on(&mut self, write: Write) -> Msg {
        if let Some(fresh) = self.overtaken() {
            return Msg::Overtaken(fresh, self.look());
        }
        // theirs may have been read between the plan and its turn here
        if !is_same(write.over.as_ref(), self.bench.plan().as_ref()) {
            return self.behind();
        }
        match self.bench.take_on((self.clock)(), write.what.clone()) {
            Ok(true) => Msg::Written(write, self.look()),
            Ok(false) => self.behind(),
            Err(why) => Msg::NotWritten(write, why),
        }
    }

    /// Another screen's plan is in force by now.
    fn behind(&mut self) -> Msg {
        let fresh = Fresh {
            log: true,
            ..self.unsaid.take().unwrap_or_default()
        };
        Msg::Overtaken(fresh, self.look())
    }

    /// What others wrote, if a plan was among it.
    fn overtaken(&mut self) -> Option<Fresh> {
        let known = self.bench.plan();
        let fresh = self.bench.refresh();
        let same = is_same(known.as_ref(), self.bench.plan().as_ref());
        if same && fresh != Fresh::default() {
            // read, and not said yet
            self.unsaid = Some(fresh);
            return None;
        }
        (!same).then_some(fresh)
    }

    /// The file may be another now.
    fn moved(&self) {
        *self.files.lock().unwrap_or_else(PoisonError::into_inner) = Files::of(&*self.bench);
    }

    fn look(&mut self) -> Box<Sheet> {
        let fresh = self.last.again(&*self.bench, Moment::of(&(self.clock)()));
        let _ = (fresh.piece_lines(), fresh.card());
        self.before = Some(std::mem::replace(&mut self.last, fresh));
        Box::new(self.last.clone())
    }
}

/// Whether two looks at the plan in force saw one plan.
fn is_same(known: Option<&Arc<Plan>>, now: Option<&Arc<Plan>>) -> bool {
    match (known, now) {
        (Some(known), Some(now)) => Arc::ptr_eq(known, now) || known == now,
        (known, now) => known.is_none() && now.is_none(),
    }
}
