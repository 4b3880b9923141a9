//! The command line: one file a command.
//!
//! Invariant: results go to the output, everything else to the error stream; clock, environment, paths and
//! streams come in a [`Context`] and nothing here looks for them itself.

mod air;
mod balance;
mod begin;
mod bench;
mod check;
mod colour;
mod compare;
mod context;
mod demo;
mod exit;
mod export;
mod failure;
mod file;
mod files;
mod finishes;
mod manner;
mod new;
mod options;
mod plan;
mod schedules;
mod shop;
mod status;
mod stores;
mod tick;
mod tick_more;
mod tick_words;
mod time;
mod wall;

pub use bench::Bench;
pub use colour::{Colour, use_colour};
pub use context::{Context, Surroundings};
pub use exit::Exit;
pub use failure::Failure;
pub use file::{Faulty, Fresh, JobFile};
pub use files::Folders;
pub use manner::{Look, Manner};
pub use wall::{INSTEAD, Screen, Showing, refuses};

use clap::{Parser, Subcommand};
use std::ffi::OsString;

/// Plans and runs the finishing of loose furniture parts.
#[derive(Debug, Parser)]
#[command(name = "denib", version, about, long_about = None, max_term_width = 100)]
#[command(
    after_help = "Begin with `denib demo`. Exit codes: 0 done; 1 the job has errors or no plan keeps its rules; \
2 wrong usage or unreadable input; 130 stopped with Ctrl-C."
)]
struct Line {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    Demo(demo::Demo),
    New(new::New),
    Check(check::Check),
    Plan(plan::Plan),
    Wall(wall::Wall),
    Tick(Box<tick::Tick>),
    Status(status::Status),
    Air(air::Air),
    Balance(balance::Balance),
    Stores(stores::Stores),
    Finishes(finishes::Finishes),
    Compare(compare::Compare),
    Export(export::Export),
}

/// How a command ends.
#[derive(Debug)]
pub enum End {
    /// With this code.
    Exit(Exit),
    /// With the wall, which the caller puts up.
    Wall(Box<Showing>),
}

/// Reads the command line and does what it says.
pub fn run<I>(arguments: I, context: &mut Context<'_>) -> End
where
    I: IntoIterator,
    I::Item: Into<OsString> + Clone,
{
    let done = match Line::try_parse_from(arguments) {
        Ok(line) => dispatch(line.command, context),
        Err(error) => usage(&error, context),
    };
    match done {
        Ok(end) => end,
        Err(failure) => End::Exit(failure.tell(context)),
    }
}

fn dispatch(command: Command, context: &mut Context<'_>) -> Result<End, Failure> {
    match command {
        Command::Demo(demo) => demo.run(context),
        Command::New(new) => new.run(context),
        Command::Wall(wall) => wall.run(context),
        Command::Check(check) => check.run(context).map(End::Exit),
        Command::Plan(plan) => plan.run(context).map(End::Exit),
        Command::Tick(tick) => tick.run(context).map(End::Exit),
        Command::Status(status) => status.run(context).map(End::Exit),
        Command::Air(air) => air.run(context).map(End::Exit),
        Command::Balance(balance) => balance.run(context).map(End::Exit),
        Command::Stores(stores) => stores.run(context).map(End::Exit),
        Command::Finishes(finishes) => finishes.run(context).map(End::Exit),
        Command::Compare(compare) => compare.run(context).map(End::Exit),
        Command::Export(export) => export.run(context).map(End::Exit),
    }
}

/// Help and version are results; anything else is wrong usage.
fn usage(error: &clap::Error, context: &mut Context<'_>) -> Result<End, Failure> {
    let text = error.render().to_string();
    if error.use_stderr() {
        context.tell(&text)?;
        Ok(End::Exit(Exit::USAGE))
    } else {
        context.print(&text)?;
        Ok(End::Exit(Exit::DONE))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

    #[test]
    fn the_command_line_is_sound() {
        Line::command().debug_assert();
    }

    #[test]
    fn every_command_has_an_example() {
        for command in Line::command().get_subcommands_mut() {
            let name = command.get_name().to_owned();
            let help = command.render_long_help().to_string();
            assert!(help.contains("Example"), "{name} has no example");
            assert!(
                help.contains(&format!("denib {name}")),
                "{name}'s example does not use it"
            );
        }
    }
}
