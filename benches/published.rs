//! Runs folders of published scheduling problems through the engine that plans a finishing day.
//!
//! `cargo bench --bench published -- FOLDER... [--seconds S] [--threads N] [--tries N] [--seed N] [--csv FILE]`
//!
//! Reads every `.sm` and `.txt` below each folder. `best_known.csv` beside a folder (columns instance, set,
//! cpm, `best_lb`, `best_ub`) gives the values to compare with. Exits 1 when a plan breaks a rule or is shorter
//! than a known lower bound, 2 when something cannot be read.
#![allow(
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "a bench reports on the terminal"
)]

use denib::planner::{Network, Settings, Solution, published, solve, verify};
use std::collections::{BTreeMap, HashMap};
use std::fmt::Write as _;
use std::ops::ControlFlow;
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::time::{Duration, Instant};

struct Known {
    path: u64,
    lower: u64,
    upper: u64,
}

struct Options {
    folders: Vec<PathBuf>,
    seconds: f64,
    threads: u32,
    tries: u32,
    seed: u64,
    csv: Option<PathBuf>,
}

#[derive(Default)]
struct Sums {
    files: u32,
    compared: u32,
    over_best: f64,
    over_path: f64,
    hit: u32,
    gap: f64,
    ready: u64,
    tries: u64,
}

fn options() -> Result<Options, String> {
    let mut options = Options {
        folders: Vec::new(),
        seconds: 1.0,
        threads: 2,
        tries: u32::MAX,
        seed: 1,
        csv: None,
    };
    let mut words = std::env::args().skip(1).filter(|word| word != "--bench");
    while let Some(word) = words.next() {
        let mut value = || words.next().ok_or(format!("{word} wants a value"));
        match word.as_str() {
            "--seconds" => options.seconds = value()?.parse().map_err(|_| "--seconds wants a number")?,
            "--threads" => options.threads = value()?.parse().map_err(|_| "--threads wants a number")?,
            "--tries" => options.tries = value()?.parse().map_err(|_| "--tries wants a number")?,
            "--seed" => options.seed = value()?.parse().map_err(|_| "--seed wants a number")?,
            "--csv" => options.csv = Some(value()?.into()),
            _ => options.folders.push(word.into()),
        }
    }
    Ok(options)
}

fn main() -> ExitCode {
    match run() {
        Ok(true) => ExitCode::SUCCESS,
        Ok(false) => ExitCode::from(1),
        Err(message) => {
            eprintln!("{message}");
            ExitCode::from(2)
        }
    }
}

fn run() -> Result<bool, String> {
    let options = options()?;
    if options.folders.is_empty() {
        println!("SKIPPED: no folder given, 0 files");
        return Ok(true);
    }
    let mut csv = "instance,makespan,bound,seconds,starts\n".to_owned();
    let mut sets: BTreeMap<String, Sums> = BTreeMap::new();
    let mut good = true;
    for folder in &options.folders {
        let mut files = Vec::new();
        gather(folder, &mut files)?;
        files.sort();
        for file in files {
            let known = file.parent().map(known).unwrap_or_default();
            good &= one(&file, &options, &known, &mut sets, &mut csv)?;
        }
    }
    for (set, sums) in &sets {
        let files = f64::from(sums.files.max(1));
        let compared = f64::from(sums.compared.max(1));
        print!(
            "{set}: {} files, sum {}, {} tries, bound {:.2} % below",
            sums.files,
            sums.ready,
            sums.tries,
            sums.gap / files
        );
        if sums.compared > 0 {
            print!(
                ", {:.3} % over best known, {:.2} % over critical path, best known hit {} of {}",
                sums.over_best / compared,
                sums.over_path / compared,
                sums.hit,
                sums.compared
            );
        }
        println!();
    }
    if let Some(path) = &options.csv {
        std::fs::write(path, csv).map_err(|error| format!("{}: {error}", path.display()))?;
    }
    Ok(good)
}

fn gather(path: &Path, files: &mut Vec<PathBuf>) -> Result<(), String> {
    let say = |error: std::io::Error| format!("{}: {error}", path.display());
    if path.is_dir() {
        for entry in std::fs::read_dir(path).map_err(say)? {
            gather(&entry.map_err(say)?.path(), files)?;
        }
    } else if path.extension().is_some_and(|end| end == "sm" || end == "txt") {
        files.push(path.to_owned());
    }
    Ok(())
}

/// Best known values from the list beside the folder; none when there is no list.
fn known(folder: &Path) -> HashMap<String, Known> {
    let list = folder.parent().map(|above| above.join("best_known.csv"));
    let text = list
        .and_then(|list| std::fs::read_to_string(list).ok())
        .unwrap_or_default();
    let row = |line: &str| {
        let cells: Vec<&str> = line.split(',').collect();
        let number = |index: usize| cells.get(index).and_then(|cell| cell.trim().parse().ok());
        let known = Known {
            path: number(2)?,
            lower: number(3)?,
            upper: number(4)?,
        };
        Some(((*cells.first()?).to_owned(), known))
    };
    text.lines().filter_map(row).collect()
}

fn read(file: &Path) -> Result<Network, String> {
    let bytes = std::fs::read(file).map_err(|error| format!("{}: {error}", file.display()))?;
    // old files carry letters of their time's code pages in comments
    let text = String::from_utf8_lossy(&bytes);
    let network = if file.extension().is_some_and(|end| end == "sm") {
        published::psplib(&text)
    } else {
        published::load(&text)
    };
    network.map_err(|error| format!("{}: {error}", file.display()))
}

fn one(
    file: &Path,
    options: &Options,
    known: &HashMap<String, Known>,
    sets: &mut BTreeMap<String, Sums>,
    csv: &mut String,
) -> Result<bool, String> {
    let network = read(file)?;
    let name = file.file_name().unwrap_or_default().to_string_lossy().into_owned();
    let set = file
        .parent()
        .and_then(Path::file_name)
        .unwrap_or_default()
        .to_string_lossy()
        .into_owned();
    let begun = Instant::now();
    let limit = Duration::from_secs_f64(options.seconds);
    let settings = Settings {
        seed: options.seed,
        tries: options.tries,
        threads: options.threads,
        ..Settings::default()
    };
    let mut first = None;
    let mut watch = |solution: &Solution| {
        first.get_or_insert((begun.elapsed(), solution.score.ready));
        // nothing can be shorter than the bound
        let met = solution.score.late == 0 && solution.score.ready <= u64::from(solution.bound.ready);
        if met || begun.elapsed() >= limit {
            ControlFlow::Break(())
        } else {
            ControlFlow::Continue(())
        }
    };
    let solution = solve(&network, &settings, &mut watch).map_err(|why| format!("{name}: {why}"))?;
    let seconds = begun.elapsed().as_secs_f64();
    let breaches = verify(&network, &solution);
    let ready = solution.score.ready;
    let mut good = breaches.is_empty();
    if !good {
        println!("{name}: BREAKS RULES: {breaches:?}");
    }
    let sums = sets.entry(set.clone()).or_default();
    sums.files += 1;
    sums.ready += ready;
    sums.tries += solution.tries;
    sums.gap += 100.0 * (ready as f64 - f64::from(solution.bound.ready)) / ready.max(1) as f64;
    if let Some(known) = known.get(&name) {
        if ready < known.lower || u64::from(solution.bound.ready) > known.upper {
            println!(
                "{name}: {ready} (bound {}) against known {}..{}",
                solution.bound.ready, known.lower, known.upper
            );
            good = false;
        }
        sums.compared += 1;
        sums.over_best += 100.0 * (ready as f64 - known.upper as f64) / known.upper as f64;
        sums.over_path += 100.0 * (ready as f64 - known.path as f64) / known.path as f64;
        sums.hit += u32::from(ready <= known.upper);
    } else {
        let (when, what) = first.unwrap_or_default();
        println!(
            "{set}/{name}: {ready} after {seconds:.2} s, bound {} ({:?}), first {what} after {:.1} ms, {} tries",
            solution.bound.ready,
            solution.bound.reason,
            when.as_secs_f64() * 1000.0,
            solution.tries
        );
    }
    let starts: Vec<String> = solution
        .starts
        .iter()
        .map(|start| start.map_or_else(|| "-".to_owned(), |start| start.to_string()))
        .collect();
    let _ = writeln!(
        csv,
        "{name},{ready},{},{seconds:.3},{}",
        solution.bound.ready,
        starts.join(" ")
    );
    Ok(good)
}
