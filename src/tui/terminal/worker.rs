//! The thread that works plans out while keys stay live.
//!
//! Invariant: one at a time and one waiting, the newest; what it does when it panics is say so; it gives
//! way to everything else on the machine.

use super::super::bench::Replan;
use super::watch::Happening;
use rustix::process::setpriority_process;
use rustix::thread::gettid;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::Sender;
use std::sync::{Arc, Condvar, Mutex, PoisonError};
use std::thread;

/// What the thread is handed.
#[derive(Default)]
struct Desk {
    next: Option<(u64, Replan)>,
    /// Tells the one under way to give up.
    give_up: Arc<AtomicBool>,
    close: bool,
}

/// The thread's other end.
#[derive(Clone)]
pub struct Worker {
    desk: Arc<(Mutex<Desk>, Condvar)>,
}

impl Worker {
    /// Starts it.
    pub fn start(to: Sender<Happening>) -> Self {
        let desk = Arc::new((Mutex::new(Desk::default()), Condvar::new()));
        let own = Arc::clone(&desk);
        thread::spawn(move || work(&own, &to));
        Self { desk }
    }

    /// Asks for a plan; whatever is under way or waiting is of no use any more.
    pub fn ask(&self, generation: u64, replan: Replan) {
        let mut desk = self.desk.0.lock().unwrap_or_else(PoisonError::into_inner);
        desk.give_up.store(true, Ordering::Relaxed);
        desk.next = Some((generation, replan));
        self.desk.1.notify_one();
    }

    /// Nothing more is wanted.
    pub fn stop(&self) {
        let mut desk = self.desk.0.lock().unwrap_or_else(PoisonError::into_inner);
        desk.give_up.store(true, Ordering::Relaxed);
        desk.close = true;
        self.desk.1.notify_one();
    }
}

/// How far planning gives way to all else: as far as there is.
pub const PRIORITY: i32 = 19;

fn work(desk: &(Mutex<Desk>, Condvar), to: &Sender<Happening>) {
    // typing must not lag behind planning, which may be of several threads; where the system does not allow it, it
    // works all the same
    let _ = setpriority_process(Some(gettid()), PRIORITY);
    loop {
        let (generation, replan, give_up) = {
            let mut state = desk.0.lock().unwrap_or_else(PoisonError::into_inner);
            loop {
                if state.close {
                    return;
                }
                if let Some((generation, replan)) = state.next.take() {
                    state.give_up = Arc::new(AtomicBool::new(false));
                    break (generation, replan, Arc::clone(&state.give_up));
                }
                state = desk.1.wait(state).unwrap_or_else(PoisonError::into_inner);
            }
        };
        let mut at_once = |plan| {
            // a wall that has gone is noticed when the replan ends
            let _ = to.send(Happening::AtOnce(generation, Box::new(plan)));
        };
        let outcome = catch_unwind(AssertUnwindSafe(|| replan(&give_up, &mut at_once)));
        let outcome = outcome.unwrap_or_else(|_| Err("the planning broke off; the plan in force stands.".to_owned()));
        if to
            .send(Happening::Planned(generation, outcome.map(|plan| plan.map(Box::new))))
            .is_err()
        {
            return;
        }
    }
}
