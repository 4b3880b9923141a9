//! The words of the wall, with what they are called on either side of the ocean.
//!
//! Invariant: a word that has another name in the United Kingdom or the United States has both here.

/// Words the wall uses: word, meaning.
pub(super) const WORDS: [(&str, &str); 17] = [
    (
        "LEAVE ALONE",
        "a surface is wet, or not dry to touch: neither carry nor turn it",
    ),
    (
        "coat only",
        "the next coat may go on where the piece is; neither carry nor turn it",
    ),
    ("turn only", "dry to touch: may be laid over where it lies, not carried"),
    (
        "touch test",
        "the fast estimate has passed, the slow one has not: test, then say so with t",
    ),
    ("carry", "dry to handle: by the edges, and to the rack; not stacked"),
    ("glue", "all coats on, dry hard, joints uncovered"),
    ("in parts", "an assembly that is not glued up yet"),
    (
        "SAND OFF",
        "the room fell below the floor before the film was far enough: it will not mend",
    ),
    ("coats 2/3", "two coats on, three due"),
    ("0-2/2", "the surfaces of this piece differ: unfold it"),
    (
        "14:10-15:00",
        "the fast estimate and the slow one; plans rely on the slow one",
    ),
    (
        "recoat window",
        "the span in which the next coat may go on; after it closes, scuff first",
    ),
    (
        "round",
        "one step on several pieces in one go; ticked as one, by exception",
    ),
    (
        "covered",
        "a joint that is taped or plugged, so that it stays bare for glue",
    ),
    (
        "bearers",
        "strips a piece lies on; points: pins or nails it stands on; hooks: it hangs",
    ),
    (
        "the label",
        "the label on the tin and its safety data sheet come before anything said here",
    ),
    (
        "rags",
        "oily rags can set themselves alight: lay them flat outside or keep them under water in a lidded tin",
    ),
];

/// The same thing in the United Kingdom and in the United States (usage of the two trades, common practice, no
/// source).
pub(super) const TWO_WORDS: [(&str, &str); 21] = [
    ("de-nib", "US: scuff-sand, or sand lightly between coats"),
    ("arris", "US: sharp edge; to break the arris is to ease the edge"),
    ("white spirit", "US: mineral spirits, paint thinner"),
    ("methylated spirit", "US: denatured alcohol"),
    ("cellulose thinner", "US: lacquer thinner"),
    ("cellulose lacquer", "US: nitrocellulose lacquer, often just lacquer"),
    ("glasspaper", "US: sandpaper; grits here are the P grades of ISO 6344"),
    ("wet-or-dry", "US: wet/dry paper, silicon carbide"),
    ("wire wool", "US: steel wool; 0000 is the finest on both sides"),
    ("tack rag", "US: tack cloth"),
    ("French polish", "US: shellac, rubbed on with a pad"),
    ("grain filler", "US: pore filler, paste wood filler"),
    ("timber", "US: lumber, or wood"),
    ("carcase", "US: case, carcass"),
    ("cramp", "US: clamp"),
    ("housing", "US: dado; a stopped housing is a stopped dado"),
    ("rebate", "US: rabbet"),
    ("plinth", "US: base, toe kick"),
    ("tin", "US: can"),
    ("bench", "US: workbench; the shop is the workshop on both sides"),
    (
        "cupped",
        "the face has gone hollow (or round) across the grain, on both sides",
    ),
];
