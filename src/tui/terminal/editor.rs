//! The maker's own editor on the maker's file.
//!
//! Invariant: returns when the editor has ended; a stop in the editor stops the wall too, and both are woken
//! together.

use rustix::process::{Pid, WaitOptions, waitpid};
use signal_hook::consts::SIGTSTP;
use std::path::Path;
use std::process::Command;

/// The variables that name an editor, the first that is set counts.
const VARIABLES: [&str; 3] = ["DENIB_EDITOR", "VISUAL", "EDITOR"];
/// Where none is set.
const USUAL: &str = "vi";

/// Opens the editor and waits for its end.
pub fn edit(path: &Path) -> Result<(), String> {
    let set = VARIABLES.iter().filter_map(|name| std::env::var(name).ok());
    let line = set
        .into_iter()
        .find(|line| !line.trim().is_empty())
        .unwrap_or_else(|| USUAL.to_owned());
    let words = shell_words::split(&line).map_err(|error| format!("The editor \"{line}\" cannot be read: {error}."))?;
    let Some((program, arguments)) = words.split_first() else {
        return Err(format!("The editor \"{line}\" names no program."));
    };
    let child = Command::new(program).args(arguments).arg(path).spawn();
    let child = child.map_err(|error| {
        format!("The editor \"{program}\" does not start: {error}. Set VISUAL or EDITOR to one that does.")
    })?;
    let child = i32::try_from(child.id()).ok().and_then(Pid::from_raw);
    loop {
        match waitpid(child, WaitOptions::UNTRACED) {
            Ok(Some((_, status))) if status.stopped() => {
                // whoever wakes one wakes all that run in this window
                let _ = signal_hook::low_level::emulate_default_handler(SIGTSTP);
            }
            Ok(Some((_, status))) => {
                return match status.exit_status() {
                    Some(0) => Ok(()),
                    Some(code) => Err(format!(
                        "The editor ended with code {code}; the job file is read all the same."
                    )),
                    None => Err("The editor was ended by a signal; the job file is read all the same.".to_owned()),
                };
            }
            Ok(None) | Err(rustix::io::Errno::INTR) => {}
            Err(error) => return Err(format!("The editor cannot be waited for: {error}.")),
        }
    }
}
