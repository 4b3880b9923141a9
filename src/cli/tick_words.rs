//! Records in words, and pieces as they are named on the command line.
//!
//! Invariant: the words say what the record holds, no more.

use crate::dayplan::Plan;
use crate::dayplan::document::{Operation, Stamp};
use crate::job::Job;
use crate::log::{Purpose, Record, What};
use crate::report::{Names, clean, holding as holding_words, title_of, when};
use crate::source::{nearest, visible};
use crate::units::Moment;

/// Piece ids for names: a piece's id, or a part's for all its pieces.
pub(super) fn pieces_named(named: &[String], job: &Job) -> Result<Vec<String>, String> {
    let mut found = Vec::new();
    for name in named {
        let name = name.trim();
        let part = job.parts.iter().position(|part| part.id == name || part.name == name);
        let hit = |piece: &&crate::job::Piece| piece.id == name || Some(piece.part) == part;
        let before = found.len();
        found.extend(job.pieces.iter().filter(hit).map(|piece| piece.id.clone()));
        if found.len() == before {
            let pieces = job.pieces.iter().map(|piece| piece.id.as_str());
            let words = pieces.chain(job.parts.iter().map(|part| part.id.as_str()));
            let near = nearest(name, words).map_or_else(String::new, |near| format!("; the nearest is {near}"));
            return Err(format!("the job has no piece \"{}\"{near}", visible(name)));
        }
    }
    Ok(found)
}

/// A record's content as one sentence.
pub(super) fn in_words(what: &What, job: &Job, plan: Option<&Plan>, records: &[Record], at: Moment) -> String {
    let words = Words {
        names: Names::of(job),
        plan,
        today: at.with_offset(job.zone),
    };
    match what {
        What::Done { operations, start, end } => {
            format!(
                "{} done, {} to {}.",
                words.work(operations),
                words.time(*start),
                words.time(*end)
            )
        }
        What::Begun { operations, start } => format!("{} begun at {}.", words.work(operations), words.time(*start)),
        What::Skipped { operations, reason } => {
            format!("{} will not be done: {}.", words.work(operations), clean(reason))
        }
        What::Undone { record } => match records.iter().find(|one| one.id == *record) {
            Some(record) => {
                let taken_back = in_words(&record.what, job, plan, &[], at);
                format!("taken back: {taken_back}")
            }
            None => "taken back.".to_owned(),
        },
        What::NotYetDry { operation, purpose } => {
            format!(
                "{} not dry enough to {} yet.",
                words.film(operation),
                purpose_word(*purpose)
            )
        }
        What::DryAlready { operation, purpose } => {
            format!(
                "{} dry enough to {} already.",
                words.film(operation),
                purpose_word(*purpose)
            )
        }
        What::Reading { temperature, humidity } => {
            let warm = if job.shown_in.fahrenheit {
                format!("{:.1} °F", temperature * 1.8 + 32.0)
            } else {
                format!("{temperature:.1} °C")
            };
            let damp = humidity.map_or_else(String::new, |percent| format!(", {percent:.0} %"));
            format!("the room reads {warm}{damp}.")
        }
        What::StripBack { piece, reason, .. } => {
            format!(
                "{} taken back to bare wood: {}.",
                words.names.in_words([piece.as_str()]),
                clean(reason)
            )
        }
        What::ExtraCoat { piece, reason, .. } => {
            format!(
                "one coat more on {}: {}.",
                words.names.in_words([piece.as_str()]),
                clean(reason)
            )
        }
        What::Mend { piece, fault, coat, .. } => {
            let then = if *coat {
                "worked over and coated again"
            } else {
                "worked over"
            };
            let piece = words.names.in_words([piece.as_str()]);
            format!("{} on {piece} made good: {then}.", fault.word())
        }
        What::HoldingChanged { piece, holding } => {
            format!(
                "{} kept {} from the next coat on.",
                words.names.in_words([piece.as_str()]),
                holding_words(*holding)
            )
        }
        What::Away { hands, from, until, .. } => {
            let who = if hands.is_empty() {
                "everybody".to_owned()
            } else {
                clean(&hands.join(", "))
            };
            format!("{who} away {} to {}.", words.time(*from), words.time(*until))
        }
        What::AcceptedPlan { plan } => format!("plan taken on, ready to glue {}.", words.time(plan.ready)),
        What::AcceptedCaution { code, reason, .. } => format!("caution {} accepted: {}.", clean(code), clean(reason)),
        What::Event { text } | What::Note { text } => format!("note: {}", clean(text)),
    }
}

struct Words<'a> {
    names: Names<'a>,
    plan: Option<&'a Plan>,
    today: Stamp,
}

impl Words<'_> {
    fn time(&self, at: Stamp) -> String {
        when(at, self.today.date_naive())
    }

    fn find(&self, id: &str) -> Option<&Operation> {
        self.plan?.operations.iter().find(|operation| operation.id == id)
    }

    /// `coat 1, brushing lacquer, on 4 legs, top`.
    fn work(&self, ids: &[String]) -> String {
        let operations: Vec<&Operation> = ids.iter().filter_map(|id| self.find(id)).collect();
        let Some(first) = operations.first() else {
            return clean(&ids.join(", "));
        };
        let mut text = title_of(first);
        if let Some(product) = &first.product {
            text = format!("{text}, {}", self.names.product(product));
        }
        let pieces = self
            .names
            .in_words(operations.iter().filter_map(|operation| operation.piece.as_deref()));
        let assemblies = operations.iter().filter_map(|operation| operation.assembly.as_deref());
        let assemblies: Vec<String> = assemblies.map(|id| self.names.assembly(id)).collect();
        let on = [pieces, assemblies.join(", ")]
            .into_iter()
            .filter(|words| !words.is_empty())
            .collect::<Vec<_>>();
        if on.is_empty() {
            text
        } else {
            format!("{text}, on {}", on.join(", "))
        }
    }

    fn film(&self, operation: &str) -> String {
        let found = self.find(operation);
        let piece = found.and_then(|operation| operation.piece.as_deref());
        piece.map_or_else(|| clean(operation), |piece| self.names.in_words([piece]))
    }
}

const fn purpose_word(purpose: Purpose) -> &'static str {
    match purpose {
        Purpose::Turn => "lay over",
        Purpose::Sand => "sand",
        Purpose::Recoat => "coat again",
        Purpose::Handle => "handle",
        Purpose::Glue => "glue",
        Purpose::Stack => "stack",
        Purpose::Rub => "rub out",
    }
}
