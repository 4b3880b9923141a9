//! The plan as its document, for other programs.
//!
//! Invariant: the same plan gives the same bytes; reading them back gives the same plan.

use crate::dayplan::Plan;
use serde::Serialize;

/// The plan as schema 1, indented, with a line feed at the end.
pub fn plan_json(plan: &Plan) -> Result<String, serde_json::Error> {
    page_json(plan)
}

/// A page of figures, indented, with a line feed at the end.
pub fn page_json(page: &impl Serialize) -> Result<String, serde_json::Error> {
    let mut text = serde_json::to_string_pretty(page)?;
    text.push('\n');
    Ok(text)
}

#[cfg(test)]
mod tests {
    use super::super::sample;
    use super::*;

    #[test]
    fn reads_back_equal_and_keeps_its_bytes() {
        let plan = sample::plan();
        let text = plan_json(&plan).unwrap();
        assert_eq!(text, plan_json(&plan).unwrap());
        let back: Plan = serde_json::from_str(&text).unwrap();
        assert_eq!(back, plan);
        assert_eq!(plan_json(&back).unwrap(), text);
    }

    #[test]
    fn times_carry_their_offset_and_unknown_things_are_null() {
        let text = plan_json(&sample::plan()).unwrap();
        let value: serde_json::Value = serde_json::from_str(&text).unwrap();
        assert_eq!(value["schema"], 1);
        assert_eq!(value["air"], serde_json::Value::Null);
        assert_eq!(value["stores"], serde_json::Value::Null);
        assert_eq!(value["starts"], "2026-11-30T08:00:00Z");
    }
}
