//! Everything the wall knows between two messages.
//!
//! Invariant: cursors point at lines that are there; what is left out is still to do in the round shown;
//! nothing here is ahead of the log.

use super::bench::{Faulty, Sheet};
use super::key::Key;
use super::layer::Layer;
use super::pages::{Pages, worked::Worked};
use super::piece_rows::{self, Line, LineKey, Listed};
use super::quiet::Quiet;
use super::round_card::RoundCard;
use super::symbols::{self, Symbols};
use super::theme::{self, Theme};
use super::timing;
use super::verdict::Filter;
use crate::cli::Manner;
use crate::dayplan::{Plan, document::Stamp};
use crate::standing::{RoundState, Standing};
use crate::units::Moment;
use std::collections::{BTreeSet, VecDeque};
use std::sync::Arc;

/// A page.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Page {
    /// What do hands do now?
    #[default]
    Now,
    /// Where is every piece?
    Pieces,
    /// How does the day run?
    Day,
    /// Are panels balanced?
    Balance,
    /// What is in the air?
    Air,
    /// What is left in the tins?
    Stores,
    /// What stands where, and when does each place come free?
    Places,
    /// What was done, by whom, when?
    Record,
}

impl Page {
    /// All pages, in order.
    pub const ALL: [Self; 8] = [
        Self::Now,
        Self::Pieces,
        Self::Day,
        Self::Balance,
        Self::Air,
        Self::Stores,
        Self::Places,
        Self::Record,
    ];

    /// Its name.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Now => "Now",
            Self::Pieces => "Pieces",
            Self::Day => "Day",
            Self::Balance => "Balance",
            Self::Air => "Air",
            Self::Stores => "Stores",
            Self::Places => "Places",
            Self::Record => "Record",
        }
    }

    /// The question it answers.
    pub const fn question(self) -> &'static str {
        match self {
            Self::Now => "What do hands do now?",
            Self::Pieces => "Where is every piece?",
            Self::Day => "How does the day run?",
            Self::Balance => "Are panels balanced?",
            Self::Air => "What is in the air?",
            Self::Stores => "What is left in the tins?",
            Self::Places => "What stands where, and when does each place come free?",
            Self::Record => "What was done, by whom, when?",
        }
    }

    /// The page so many places on, round and round.
    #[must_use]
    pub fn turned(self, by: usize) -> Self {
        let at = Self::ALL.iter().position(|page| *page == self).unwrap_or(0);
        Self::ALL.get((at + by) % Self::ALL.len()).copied().unwrap_or_default()
    }
}

/// The page *Now*.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct NowPage {
    /// Cursor in the rows of the round.
    pub cursor: usize,
    /// Operations left out of the tick.
    pub left_out: BTreeSet<String>,
}

/// The page *Pieces*.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PiecesPage {
    /// The line the cursor is on; `None` before the first move.
    pub cursor: Option<LineKey>,
    /// Pieces unfolded.
    pub unfolded: BTreeSet<usize>,
    /// What is listed.
    pub filter: Filter,
    /// Part of a name.
    pub find: String,
}

/// How a thing said at the foot of the page is meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tone {
    /// It is done.
    Done,
    /// Worth knowing.
    Plain,
    /// It went wrong.
    Wrong,
}

/// Something typed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Typed {
    /// A key.
    Key(Key),
    /// Pasted text.
    Text(String),
}

/// Where a replan stands.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum Planning {
    /// Nothing under way.
    #[default]
    Still,
    /// Being worked out.
    Working,
    /// Found, waiting for the layers to close.
    Found(Box<Plan>),
}

/// Whether a replan that has told a plan at once looks for a better one.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Better {
    /// It does not, or it has told none.
    #[default]
    NotLookedFor,
    /// It does.
    LookedFor,
}

/// What a replan was asked for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Cause {
    /// Something done at this screen.
    #[default]
    Here,
    /// Somebody else changed the files: every screen plans then, and one plan is enough.
    Files,
}

/// When the wall next changes by itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wake {
    /// Not before something happens.
    Never,
    /// At the next full minute: a time to go is on the screen.
    Minute,
    /// At the next second: a time to go under ten minutes is on the screen.
    Second,
}

/// The model.
#[derive(Clone)]
pub struct Model {
    /// The last look at the bench.
    pub sheet: Sheet,
    /// The clock.
    pub now: Stamp,
    /// Columns and rows.
    pub size: (u16, u16),
    /// The page shown.
    pub page: Page,
    /// *Now*.
    pub now_page: NowPage,
    /// *Pieces*.
    pub pieces_page: PiecesPage,
    /// The other pages.
    pub pages: Pages,
    /// The far wall: one round, one time to go, in large type.
    pub far: bool,
    /// Hours in which nothing rings.
    pub quiet: Quiet,
    /// What lies over the page, the top one last.
    pub layers: Vec<Layer>,
    /// What is said at the foot.
    pub said: Option<(Tone, String)>,
    /// The clock was put back by so many minutes since the last key.
    pub went_back: Option<i64>,
    /// This screen only shows; nothing is written from it.
    pub read_only: bool,
    /// What is wrong with the maker's files; the last good ones are shown.
    pub problems: Vec<String>,
    /// Which of them it is wrong with.
    pub faulty: Faulty,
    /// Something has been handed over to be written and is not in the log yet.
    pub writing: bool,
    /// The layers it was handed over from: they come back if it could not be written.
    pub handed: Vec<Layer>,
    /// What was typed since and hangs on what is being written, in order.
    pub put_off: VecDeque<Typed>,
    /// The minute a look at the bench was asked for that has not come yet.
    pub asked: Option<Moment>,
    /// Replans asked for so far.
    pub generation: u64,
    /// The replan.
    pub planning: Planning,
    /// Whether it has told a plan and goes on looking for a better one.
    pub better: Better,
    /// What it was asked for.
    pub cause: Cause,
    /// The round hands were last called for.
    pub called: Option<String>,
    /// Signs.
    pub symbols: Symbols,
    /// Styles.
    pub theme: Theme,
    kept: Kept,
    pub(super) worked: Worked,
}

/// What makes up the lines of *Pieces*, besides the sheet.
type LinesOf = (Filter, String, BTreeSet<usize>);

/// The lines of one look at the bench; of no use for another look.
#[derive(Clone, Default)]
struct Kept {
    of: Option<Arc<Standing>>,
    lines: Option<(LinesOf, Arc<Listed>)>,
}

impl Kept {
    /// Every sheet has a standing of its own, so the same standing is the same sheet.
    fn is_of(&self, sheet: &Sheet) -> bool {
        self.of.as_ref().is_some_and(|of| Arc::ptr_eq(of, &sheet.standing))
    }

    fn lines(&self, sheet: &Sheet, page: &PiecesPage) -> Option<Arc<Listed>> {
        let ((filter, find, unfolded), lines) = self.lines.as_ref().filter(|_| self.is_of(sheet))?;
        let same = *filter == page.filter && *find == page.find && *unfolded == page.unfolded;
        same.then(|| Arc::clone(lines))
    }
}

/// Smallest screen the pages are drawn for.
pub const SMALLEST: (u16, u16) = (80, 24);

impl Model {
    /// A wall, first page up.
    pub fn new(sheet: Sheet, now: Stamp, size: (u16, u16)) -> Self {
        let called = due_round(&sheet);
        let mut model = Self {
            sheet,
            now,
            size,
            page: Page::Now,
            now_page: NowPage::default(),
            pieces_page: PiecesPage::default(),
            pages: Pages::default(),
            far: false,
            quiet: Quiet::default(),
            layers: Vec::new(),
            said: None,
            went_back: None,
            read_only: false,
            problems: Vec::new(),
            faulty: Faulty::default(),
            writing: false,
            handed: Vec::new(),
            put_off: VecDeque::new(),
            asked: None,
            generation: 0,
            planning: Planning::Still,
            better: Better::default(),
            cause: Cause::Here,
            called,
            symbols: symbols::UNICODE,
            theme: theme::COLOUR,
            kept: Kept::default(),
            worked: Worked::default(),
        };
        model.keep();
        model
    }

    /// The same put up so: its theme (none but the mono one without colour), quiet hours, the far wall.
    #[must_use]
    pub fn put_up(mut self, manner: &Manner, colour: bool) -> Self {
        self.theme = match manner.theme {
            _ if !colour => theme::MONO,
            Some(look) => *look.theme(),
            None => self.theme,
        };
        self.quiet.hours.clone_from(&manner.quiet);
        self.far = manner.far;
        self
    }

    /// The same without colour.
    #[must_use]
    pub fn mono(mut self) -> Self {
        self.theme = theme::MONO;
        self
    }

    /// The same in ASCII only.
    #[must_use]
    pub fn ascii(mut self) -> Self {
        self.symbols = symbols::ASCII;
        self
    }

    /// The same on a screen that only shows.
    #[must_use]
    pub const fn read_only(mut self) -> Self {
        self.read_only = true;
        self
    }

    /// The minute it is.
    pub fn moment(&self) -> Moment {
        Moment::of(&self.now)
    }

    /// The round shown on *Now*.
    pub fn card(&self) -> Option<Arc<RoundCard>> {
        self.sheet.card()
    }

    /// The lines shown on *Pieces*.
    pub fn lines(&self) -> Arc<Listed> {
        let page = &self.pieces_page;
        match self.kept.lines(&self.sheet, page) {
            Some(lines) => lines,
            None => Arc::new(piece_rows::list(&self.sheet, page.filter, &page.find, &page.unfolded)),
        }
    }

    /// Works the lines out once for all that ask until something changes.
    pub fn keep(&mut self) {
        self.keep_worked();
        if !self.kept.is_of(&self.sheet) {
            self.kept = Kept {
                of: Some(Arc::clone(&self.sheet.standing)),
                lines: None,
            };
        }
        if self.page == Page::Pieces && self.kept.lines(&self.sheet, &self.pieces_page).is_none() {
            let page = &self.pieces_page;
            let key = (page.filter, page.find.clone(), page.unfolded.clone());
            self.kept.lines = Some((key, self.lines()));
        }
    }

    /// Where the cursor is in these lines.
    pub fn cursor_in(&self, lines: &[Line]) -> usize {
        let Some(key) = self.pieces_page.cursor else { return 0 };
        let exact = lines.iter().position(|line| line.key == key);
        let near = || lines.iter().position(|line| line.key >= key);
        exact.or_else(near).unwrap_or(lines.len().saturating_sub(1))
    }

    /// The screen is too small for the pages.
    pub const fn too_small(&self) -> bool {
        self.size.0 < SMALLEST.0 || self.size.1 < SMALLEST.1
    }

    /// When the wall next changes by itself.
    pub fn wake(&self) -> Wake {
        if self.too_small() {
            return Wake::Never;
        }
        let target = self
            .counted_to()
            .filter(|_| (self.page == Page::Now || self.far) && self.layers.is_empty());
        let close = target.is_some_and(|target| {
            let seconds = target.0.saturating_mul(60) - self.now.timestamp();
            (-timing::COUNTED_BY_SECONDS + 1..timing::COUNTED_BY_SECONDS + 60).contains(&seconds)
        });
        if close { Wake::Second } else { Wake::Minute }
    }

    /// The instant *Now* counts down to: the start of a round ahead, the planned end of one on the bench.
    pub fn counted_to(&self) -> Option<Moment> {
        let card = self.card()?;
        if card.is_ahead(self.moment()) {
            return Some(card.start);
        }
        (card.state == RoundState::Running).then_some(card.end)
    }
}

/// The round whose time has come, by id.
pub fn due_round(sheet: &Sheet) -> Option<String> {
    let card = sheet.card()?;
    let due = matches!(card.state, RoundState::Due | RoundState::Late) && !card.is_ahead(sheet.standing.now);
    due.then(|| card.id.clone())
}
