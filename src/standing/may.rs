//! Whether something may be done, from estimates.
//!
//! Invariant: of several films the one that says least decides.

use super::ladder::{Opens, Reached};
use super::state::{May, When};
use crate::units::Moment;

impl May {
    /// Both must allow it.
    #[must_use]
    pub fn and(self, other: Self) -> Self {
        match (self, other) {
            (Self::Held, _) | (_, Self::Held) => Self::Held,
            (Self::Yes, may) | (may, Self::Yes) => may,
            (Self::Test { late: one }, Self::Test { late: other }) => Self::Test { late: one.max(other) },
            (Self::NotYet { when }, Self::Test { late }) | (Self::Test { late }, Self::NotYet { when }) => {
                Self::NotYet {
                    when: When {
                        late: when.late.max(late),
                        ..when
                    },
                }
            }
            (Self::NotYet { when: one }, Self::NotYet { when: other }) => Self::NotYet {
                when: When {
                    early: one.early.max(other.early),
                    late: one.late.max(other.late),
                },
            },
        }
    }

    /// When it is, where that can be said and is still to come.
    pub const fn when(self, now: Moment) -> Option<When> {
        match self {
            Self::Yes | Self::Held => None,
            Self::Test { late } => Some(When { early: now, late }),
            Self::NotYet { when } => Some(when),
        }
    }
}

/// What an estimate allows.
pub(super) fn by(reached: Reached, now: Moment) -> May {
    match (reached.early, reached.late) {
        (_, Some(late)) if late <= now => May::Yes,
        (Some(early), Some(late)) if early <= now => May::Test { late },
        (Some(early), Some(late)) => May::NotYet {
            when: When { early, late },
        },
        _ => May::Held,
    }
}

/// What recoat windows allow: the first that is not over.
pub(super) fn within(windows: &[Opens], now: Moment) -> May {
    let open = windows
        .iter()
        .find(|window| window.closes.is_none_or(|closes| now < closes));
    open.map_or(May::Held, |window| by(window.from, now))
}
