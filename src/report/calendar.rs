//! The plan as a calendar (iCalendar, RFC 5545): one event a round, one for every section that is ready.
//!
//! Invariant: times are UTC; an event keeps its identity from plan to plan as long as its first piece does, so
//! that a calendar read in again moves events instead of doubling them; lines are folded by the library.

use super::STANDING_LINE;
use super::stretch::{Kind, Stretch, stretches};
use crate::dayplan::Plan;
use crate::job::Job;
use chrono::Utc;
use icalendar::{Calendar, Component, Event, EventLike, Property};

/// The plan as a calendar.
pub fn calendar(plan: &Plan, job: &Job) -> String {
    let mut calendar = Calendar::empty();
    calendar
        .append_property(Property::new("VERSION", "2.0"))
        .append_property(Property::new("PRODID", "-//denib//finishing plan//EN"))
        .append_property(Property::new("CALSCALE", "GREGORIAN"));
    calendar.name(&super::clean(&job.title));
    for stretch in stretches(plan, job) {
        calendar.push(event(plan, job, &stretch));
    }
    calendar.to_string()
}

fn event(plan: &Plan, job: &Job, stretch: &Stretch) -> Event {
    let mut text = stretch.lines.join("\n");
    if !stretch.hands.is_empty() {
        text = format!("{}\n{text}", super::clean(&stretch.hands.join(", ")));
    }
    if stretch.kind == Kind::Work {
        text.push('\n');
        text.push_str(STANDING_LINE);
    }
    let mut event = Event::new();
    event
        .uid(&format!("{}@{}.denib", slug(&stretch.key), slug(&job.title)))
        .timestamp(plan.now.with_timezone(&Utc))
        .summary(&stretch.title)
        .description(&text)
        .starts(stretch.from.with_timezone(&Utc))
        .ends(stretch.until.with_timezone(&Utc));
    event.done()
}

/// Letters, digits and hyphens only.
fn slug(text: &str) -> String {
    let mut slug = String::new();
    for letter in text.chars() {
        if letter.is_alphanumeric() {
            slug.extend(letter.to_lowercase());
        } else if !slug.ends_with('-') {
            slug.push('-');
        }
    }
    slug
}

#[cfg(test)]
mod tests {
    use super::super::sample;
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn keeps_the_lines_of_the_standard() {
        let text = calendar(&sample::plan(), &sample::job());
        assert!(text.starts_with("BEGIN:VCALENDAR\r\n") && text.ends_with("END:VCALENDAR\r\n"));
        for line in text.split_terminator("\r\n") {
            assert!(line.len() <= 75, "{line}");
            assert!(!line.contains('\n'), "{line}");
        }
        for needed in ["VERSION:2.0", "PRODID:"] {
            let count = text.lines().filter(|line| line.starts_with(needed)).count();
            assert_eq!(count, 1, "{needed}");
        }
    }

    #[test]
    fn has_one_event_a_stretch_at_its_own_time() {
        let (plan, job) = (sample::plan(), sample::job());
        let text = calendar(&plan, &job);
        let stretches = stretches(&plan, &job);
        assert!(!stretches.is_empty());
        let of = |name: &str| -> Vec<String> {
            let lines = text.split("\r\n").filter_map(|line| line.strip_prefix(name));
            lines.map(ToOwned::to_owned).collect()
        };
        let starts: Vec<String> = stretches
            .iter()
            .map(|one| one.from.with_timezone(&Utc).format("%Y%m%dT%H%M%SZ").to_string())
            .collect();
        assert_eq!(of("DTSTART:"), starts);
        let unique: BTreeSet<String> = of("UID:").into_iter().collect();
        assert_eq!(unique.len(), stretches.len(), "every event has an identity of its own");
    }

    #[test]
    fn an_event_keeps_its_identity_when_its_round_moves() {
        let (mut plan, job) = (sample::plan(), sample::job());
        let uids = |plan: &Plan| -> BTreeSet<String> {
            let text = calendar(plan, &job);
            text.split("\r\n")
                .filter(|line| line.starts_with("UID:"))
                .map(ToOwned::to_owned)
                .collect()
        };
        let before = uids(&plan);
        for round in &mut plan.rounds {
            round.id = format!("moved-{}", round.id);
            round.start += chrono::TimeDelta::minutes(30);
            round.end += chrono::TimeDelta::minutes(30);
        }
        assert_eq!(uids(&plan), before);
    }
}
