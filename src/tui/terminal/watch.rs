//! What comes in from outside: keys, signals, a line that was hung up.
//!
//! Invariant: the reader reads one event a grant, so that nobody else's keys are taken; the hang-up watch
//! sleeps until the line is gone and never polls.

use super::super::msg::Msg;
use crate::dayplan::Plan;
use ratatui::crossterm::event::{self, Event};
use rustix::event::{PollFd, PollFlags, poll};
use signal_hook::consts::{SIGCONT, SIGHUP, SIGINT, SIGTERM, SIGTSTP, SIGWINCH};
use signal_hook::iterator::{Handle, Signals};
use std::io;
use std::sync::mpsc::{Sender, SyncSender, sync_channel};
use std::thread;

/// Something came in.
pub enum Happening {
    /// A key, pasted text, another size.
    Input(Event),
    /// A signal.
    Signal(i32),
    /// The terminal is gone.
    HungUp,
    /// Log, job file or schedules were written to.
    FilesChanged,
    /// The clock was set, or the machine woke from sleep.
    ClockSet,
    /// The bench's thread broke off.
    Broke,
    /// The bench answers.
    Answer(Box<Msg>),
    /// A replan has a plan and looks for a better one.
    AtOnce(u64, Box<Plan>),
    /// A replan ended.
    Planned(u64, Result<Option<Box<Plan>>, String>),
}

/// The thread that reads keys.
pub struct Reader(SyncSender<()>);

impl Reader {
    /// Starts it; it reads nothing before the first grant.
    pub fn start(to: Sender<Happening>) -> Self {
        let (grant, granted) = sync_channel::<()>(1);
        thread::spawn(move || {
            while granted.recv().is_ok() {
                let read = event::read().map_or(Happening::HungUp, Happening::Input);
                if to.send(read).is_err() {
                    return;
                }
            }
        });
        Self(grant)
    }

    /// Lets it read one event.
    pub fn grant(&self) {
        // full: it has a grant already
        let _ = self.0.try_send(());
    }
}

/// Listens for the signals that end, stop, wake or resize the wall. Sizes come as events too, but only once
/// the reader has begun to read: a window resized in the first moments would be missed.
pub fn signals(to: Sender<Happening>) -> io::Result<Handle> {
    let mut signals = Signals::new([SIGTERM, SIGINT, SIGHUP, SIGTSTP, SIGCONT, SIGWINCH])?;
    let handle = signals.handle();
    thread::spawn(move || {
        for signal in signals.forever() {
            if to.send(Happening::Signal(signal)).is_err() {
                return;
            }
        }
    });
    Ok(handle)
}

/// Watches for the line being hung up: with no events asked for, only that can wake the wait.
pub fn hang_up(to: Sender<Happening>) {
    thread::spawn(move || {
        let stdin = io::stdin();
        loop {
            let mut watched = [PollFd::new(&stdin, PollFlags::empty())];
            match poll(&mut watched, None) {
                Err(rustix::io::Errno::INTR) => {}
                Ok(_) => {
                    let _ = to.send(Happening::HungUp);
                    return;
                }
                Err(_) => return,
            }
        }
    });
}

/// Far enough ahead that no clock is ever set past it: the year 2200.
const FAR: i64 = 7_258_118_400;

/// Watches for the clock being set and for the machine waking from sleep: a timer far ahead, which the system
/// cancels when that happens. Sleeps until then and never polls.
#[cfg(target_os = "linux")]
pub fn clock_set(to: Sender<Happening>) {
    use rustix::time::{
        Itimerspec, TimerfdClockId, TimerfdFlags, TimerfdTimerFlags, Timespec, timerfd_create, timerfd_settime,
    };
    let Ok(timer) = timerfd_create(TimerfdClockId::Realtime, TimerfdFlags::CLOEXEC) else {
        return;
    };
    thread::spawn(move || {
        let never = Timespec { tv_sec: 0, tv_nsec: 0 };
        let far = Timespec {
            tv_sec: FAR,
            tv_nsec: 0,
        };
        let spec = Itimerspec {
            it_interval: never,
            it_value: far,
        };
        let flags = TimerfdTimerFlags::ABSTIME | TimerfdTimerFlags::CANCEL_ON_SET;
        while timerfd_settime(&timer, flags, &spec).is_ok() {
            match rustix::io::read(&timer, &mut [0; 8]) {
                Err(rustix::io::Errno::CANCELED) => {
                    if to.send(Happening::ClockSet).is_err() {
                        return;
                    }
                }
                Ok(_) | Err(rustix::io::Errno::INTR) => {}
                Err(_) => return,
            }
        }
    });
}

/// Elsewhere the next full minute tells.
#[cfg(not(target_os = "linux"))]
pub fn clock_set(_to: Sender<Happening>) {}

/// Whether somebody is there to wake a stopped wall: a parent in the same session, as a shell is. Without
/// one (the wall is all that runs in a window) a stop would be for good.
pub fn can_be_woken() -> bool {
    use nix::unistd::{getppid, getsid};
    let session = |process| getsid(process).ok().filter(|session| session.as_raw() > 0);
    // nought is a session out of sight (a container's, say): nobody in it can be counted on
    session(None).is_some_and(|own| session(Some(getppid())) == Some(own))
}
