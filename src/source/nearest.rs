//! The nearest valid word to one that is not.
//!
//! Invariant: offers only words from the list, and none where nothing is near.

/// The word of `accepted` most like `found`, if any is like enough: a third of its letters may differ.
pub fn nearest<'w>(found: &str, accepted: impl IntoIterator<Item = &'w str>) -> Option<&'w str> {
    let found = fold(found);
    let allowed = (found.chars().count() / 3).max(1);
    accepted
        .into_iter()
        .map(|word| (strsim::osa_distance(&found, &fold(word)), word))
        .filter(|(distance, word)| *distance <= allowed && *distance < word.chars().count())
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, word)| word)
}

/// Case, spaces and underscores do not make a word another word.
fn fold(word: &str) -> String {
    word.trim().to_lowercase().replace([' ', '_'], "-")
}

#[cfg(test)]
mod tests {
    use super::nearest;

    #[test]
    fn near_words_are_found_and_far_ones_are_not() {
        let words = ["panel", "square", "round", "frame", "box", "free"];
        let check = |found: &str, expected: Option<&str>| assert_eq!(nearest(found, words), expected, "{found}");
        check("pannel", Some("panel"));
        check("Panel", Some("panel"));
        check("sqaure", Some("square"));
        check("bx", Some("box"));
        check("wardrobe", None);
        check("", None);
    }
}
