//! A pseudo-terminal with the wall at its other end.
//!
//! Invariant: waits on what is on the screen or on what the system says of the process, never for a time.

// a line that fails fails the test
#![allow(clippy::expect_used, clippy::panic)]

use portable_pty::{Child, CommandBuilder, MasterPty, PtySize, native_pty_system};
use rustix::process::{Pid, Signal, kill_process};
use std::ffi::OsStr;
use std::io::{Read, Write};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Condvar, Mutex};
use std::thread::JoinHandle;
use std::time::{Duration, Instant};

/// The name of the test that is the wall when it is started on a line.
pub const CHILD: &str = "pty::refuses_what_is_no_terminal_and_is_the_wall_on_a_line";
/// The variable that says how it is to behave.
pub const MODE: &str = "DENIB_WALL_TEST";

/// Longest any wait may take before the test fails.
const PATIENCE: Duration = Duration::from_secs(20);

/// What came over the line.
struct Seen {
    screen: vt100::Parser,
    bytes: Vec<u8>,
}

/// A line.
pub struct Line {
    master: Option<Box<dyn MasterPty + Send>>,
    keys: Option<Box<dyn Write + Send>>,
    child: Box<dyn Child + Send + Sync>,
    seen: Arc<(Mutex<Seen>, Condvar)>,
    listening: Arc<AtomicBool>,
    listener: Option<JoinHandle<()>>,
    /// The terminal's modes before the wall started.
    pub modes_before: String,
}

impl Line {
    /// Starts the wall on a line of 80 by 24; `shell` runs it, with `$0` and `$@` being the wall.
    pub fn start(mode: &str, shell: &str, variables: &[(&str, &str)]) -> Self {
        let wall = std::env::current_exe().expect("this test has a path");
        let variables = [&[(MODE, mode)], variables].concat();
        Self::of(
            shell,
            wall.as_os_str(),
            &[CHILD, "--exact", "--nocapture", "--test-threads=1"],
            &variables,
        )
    }

    /// Starts a program with its arguments.
    pub fn of(shell: &str, program: &OsStr, arguments: &[&str], variables: &[(&str, &str)]) -> Self {
        let size = PtySize {
            rows: 24,
            cols: 80,
            pixel_width: 0,
            pixel_height: 0,
        };
        let pair = native_pty_system().openpty(size).expect("a pseudo-terminal");
        let modes_before = modes(&*pair.master);
        let mut command = CommandBuilder::new("/bin/sh");
        command.env_clear();
        command.args(["-c", shell]);
        command.arg(program);
        command.args(arguments);
        command.env("TERM", "xterm");
        for (name, value) in variables {
            command.env(name, value);
        }
        let child = pair.slave.spawn_command(command).expect("the wall starts");
        drop(pair.slave);
        let seen = Arc::new((
            Mutex::new(Seen {
                screen: vt100::Parser::new(24, 80, 0),
                bytes: Vec::new(),
            }),
            Condvar::new(),
        ));
        let (mut from, own) = (pair.master.try_clone_reader().expect("a reader"), Arc::clone(&seen));
        let listening = Arc::new(AtomicBool::new(true));
        let still_own = Arc::clone(&listening);
        let listener = std::thread::spawn(move || {
            let mut buffer = [0; 4096];
            while let Ok(read @ 1..) = from.read(&mut buffer) {
                let mut seen = own.0.lock().expect("the line is whole");
                seen.screen.process(&buffer[..read]);
                seen.bytes.extend_from_slice(&buffer[..read]);
                own.1.notify_all();
                drop(seen);
                if !still_own.load(Ordering::SeqCst) {
                    return;
                }
            }
        });
        let keys = Some(pair.master.take_writer().expect("a writer"));
        Self {
            master: Some(pair.master),
            keys,
            child,
            seen,
            listening,
            listener: Some(listener),
            modes_before,
        }
    }

    /// The usual: the shell turns into the wall.
    pub fn plain(mode: &str) -> Self {
        Self::start(mode, r#"exec "$0" "$@""#, &[])
    }

    /// Types.
    pub fn send(&mut self, keys: &str) {
        let line = self.keys.as_mut().expect("the line is up");
        line.write_all(keys.as_bytes())
            .and_then(|()| line.flush())
            .expect("the line takes keys");
    }

    /// Waits until the screen is as wanted.
    pub fn wait_for(&self, what: &str, wanted: impl Fn(&vt100::Screen) -> bool) {
        let end = Instant::now() + PATIENCE;
        let mut seen = self.seen.0.lock().expect("the line is whole");
        while !wanted(seen.screen.screen()) {
            let left = end.saturating_duration_since(Instant::now());
            if left.is_zero() {
                let contents = seen.screen.screen().contents();
                drop(seen); // the line is cleared away in whatever state it is
                panic!("never saw {what}; the screen is:\n{contents}");
            }
            seen = self.seen.1.wait_timeout(seen, left).expect("the line is whole").0;
        }
    }

    /// Waits for a text on the screen.
    pub fn wait_for_text(&self, text: &str) {
        self.wait_for(text, |screen| screen.contents().contains(text));
    }

    /// Waits until the wall is up.
    pub fn wait_for_wall(&self) {
        self.wait_for("the wall", |screen| {
            screen.alternate_screen() && screen.contents().contains("? help")
        });
    }

    /// Looks at the screen.
    pub fn look<T>(&self, look: impl Fn(&vt100::Screen) -> T) -> T {
        look(self.seen.0.lock().expect("the line is whole").screen.screen())
    }

    /// Everything that came over the line.
    pub fn all_shown(&self) -> String {
        String::from_utf8_lossy(&self.seen.0.lock().expect("the line is whole").bytes).into_owned()
    }

    /// The process number of the wall, which it says before it goes up.
    pub fn wall(&self) -> Pid {
        self.said_process().expect("it said its number")
    }

    fn said_process(&self) -> Option<Pid> {
        let all_shown = self.all_shown();
        let number = all_shown.split("process ").nth(1)?.split_whitespace().next()?;
        Pid::from_raw(number.parse().ok()?)
    }

    /// Sends the wall a signal.
    pub fn signal(&self, signal: Signal) {
        kill_process(self.wall(), signal).expect("the wall is there");
    }

    /// Waits until the system says the wall is stopped.
    pub fn wait_for_stop(&self) {
        let path = format!("/proc/{}/stat", self.wall().as_raw_nonzero());
        let end = Instant::now() + PATIENCE;
        loop {
            let stat = std::fs::read_to_string(&path).expect("the wall is there");
            // the state is the first word after the name in brackets
            if stat
                .rsplit(')')
                .next()
                .is_some_and(|rest| rest.trim_start().starts_with('T'))
            {
                return;
            }
            assert!(Instant::now() < end, "never stopped: {stat}");
            std::thread::yield_now();
        }
    }

    /// How much each thread of the wall gives way to others: its nice value.
    pub fn threads(&self) -> Vec<i64> {
        let tasks = format!("/proc/{}/task", self.wall().as_raw_nonzero());
        let threads = std::fs::read_dir(tasks).expect("the wall is there");
        let stat = threads.map(|thread| std::fs::read_to_string(thread.expect("a thread").path().join("stat")));
        // proc(5): nice is field 19, the 17th after the name in brackets
        let nice = |stat: String| {
            stat.rsplit(')')
                .next()
                .and_then(|rest| rest.split_whitespace().nth(16)?.parse().ok())
        };
        stat.filter_map(|stat| nice(stat.ok()?)).collect()
    }

    /// Another size.
    pub fn resize(&self, rows: u16, cols: u16) {
        self.seen
            .0
            .lock()
            .expect("the line is whole")
            .screen
            .screen_mut()
            .set_size(rows, cols);
        let size = PtySize {
            rows,
            cols,
            pixel_width: 0,
            pixel_height: 0,
        };
        self.master
            .as_ref()
            .expect("the line is up")
            .resize(size)
            .expect("a size");
    }

    /// Hangs up: nobody holds the other end any more. The listener lets go of it with the next thing it hears,
    /// so a key is sent that moves the cursor.
    pub fn hang_up(&mut self) {
        self.listening.store(false, Ordering::SeqCst);
        self.send("j");
        self.listener
            .take()
            .expect("hung up once")
            .join()
            .expect("the line was whole");
        self.keys = None;
        self.master = None;
    }

    /// The terminal's modes now.
    pub fn modes(&self) -> String {
        modes(&**self.master.as_ref().expect("the line is up"))
    }

    /// Waits for the end; the exit code.
    pub fn end(&mut self) -> u32 {
        let end = Instant::now() + PATIENCE;
        loop {
            if let Some(status) = self.child.try_wait().expect("the child is ours") {
                return status.exit_code();
            }
            assert!(
                Instant::now() < end,
                "never ended; the screen is:\n{}",
                self.look(vt100::Screen::contents)
            );
            std::thread::yield_now();
        }
    }
}

impl Drop for Line {
    fn drop(&mut self) {
        // a test that failed may leave a wall stopped under its shell
        if matches!(self.child.try_wait(), Ok(None))
            && !self.seen.0.is_poisoned()
            && let Some(wall) = self.said_process()
        {
            let _ = kill_process(wall, Signal::KILL);
        }
        let _ = self.child.kill();
    }
}

fn modes(master: &dyn MasterPty) -> String {
    format!("{:?}", master.get_termios().expect("a terminal has modes"))
}
