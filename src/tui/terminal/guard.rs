//! Entering and leaving the terminal's modes.
//!
//! Invariant: leaving undoes exactly what entering did; both may be called any number of times; leaving
//! happens on drop and on a panic of the thread that entered.

use ratatui::crossterm::cursor::Show;
use ratatui::crossterm::event::{DisableBracketedPaste, EnableBracketedPaste};
use ratatui::crossterm::execute;
use ratatui::crossterm::terminal::{EnterAlternateScreen, LeaveAlternateScreen, disable_raw_mode, enable_raw_mode};
use std::io::{self, stdout};
use std::sync::Once;
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread;

/// The modes are set now.
static ENTERED: AtomicBool = AtomicBool::new(false);
static HOOK: Once = Once::new();

/// Holds the modes; leaves them when dropped.
pub struct Guard(());

impl Guard {
    /// Sets raw mode, the other screen and bracketed paste.
    pub fn enter() -> io::Result<Self> {
        leave_on_panic();
        enter()?;
        Ok(Self(()))
    }

    /// Puts everything back.
    #[allow(clippy::unused_self)] // only who holds the guard may leave
    pub fn leave(&self) {
        leave();
    }

    /// Sets everything again after a stop, whatever somebody else did to the modes meanwhile.
    #[allow(clippy::unused_self)] // as above
    pub fn enter_again(&self) -> io::Result<()> {
        leave();
        enter()
    }
}

impl Drop for Guard {
    fn drop(&mut self) {
        leave();
    }
}

fn enter() -> io::Result<()> {
    if ENTERED.swap(true, Ordering::SeqCst) {
        return Ok(());
    }
    let entered = enable_raw_mode().and_then(|()| execute!(stdout(), EnterAlternateScreen, EnableBracketedPaste));
    if entered.is_err() {
        leave();
    }
    entered
}

fn leave() {
    if !ENTERED.swap(false, Ordering::SeqCst) {
        return;
    }
    // each by itself: when the terminal is gone the others are tried all the same
    let _ = execute!(stdout(), DisableBracketedPaste, LeaveAlternateScreen, Show);
    let _ = disable_raw_mode();
}

/// A panic of the thread that draws leaves first, so that its message can be read; one of the planning
/// thread is caught there and said on the screen, and writes nothing over it.
fn leave_on_panic() {
    let drawing = thread::current().id();
    HOOK.call_once(|| {
        let usual = std::panic::take_hook();
        std::panic::set_hook(Box::new(move |info| {
            let entered = ENTERED.load(Ordering::SeqCst);
            // the bench's thread takes the drawing one along
            let own = thread::current().id() == drawing || thread::current().name() == Some(super::desk::NAME);
            if entered && !own {
                return;
            }
            leave();
            usual(info);
        }));
    });
}
