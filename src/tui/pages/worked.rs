//! What the pages show beyond the sheet, worked out once for all that ask until the sheet changes.
//!
//! Invariant: what is shown is of the plan in force. Days are of the plan alone; air, balance, stores and places are of a
//! look at the bench, and of another one they are worked out anew: at once, or, where that is done beside the
//! screen, as soon as it can be, the last figures standing meanwhile.

use super::super::bench::Sheet;
use super::super::model::{Model, Page};
use super::day::{self, Days};
use super::places::{self, PlaceNow};
use crate::air::{self, RoomAir};
use crate::balance::{self, AirStep, Balance};
use crate::dayplan::Plan;
use crate::standing::Standing;
use crate::stores::{self, Stores};
use crate::whole::as_lived;
use std::sync::Arc;

/// The figures of a page.
#[derive(Clone, Debug)]
pub enum Figures {
    /// *Day*.
    Days(Arc<Days>),
    /// *Balance*.
    Balance(Arc<Balance>),
    /// *Air*; the inner `None`: it cannot be computed.
    Air(Arc<Option<RoomAir>>),
    /// *Stores*.
    Stores(Arc<Stores>),
    /// *Places*: each kind, and how many pieces stand at none.
    Places(Arc<(Vec<PlaceNow>, usize)>),
}

impl Figures {
    /// Works out what a page shows of a look at the bench; `None` where it needs nothing or there is no plan.
    pub fn of(page: Page, sheet: &Sheet) -> Option<Self> {
        let plan = sheet.plan.as_ref()?;
        Some(match page {
            Page::Day => Self::Days(day::shared(plan)),
            Page::Balance => {
                let live = (&*sheet.history, &*sheet.standing);
                Self::Balance(Arc::new(balance::of(&sheet.job, plan, Some(live), &AirStep::default())))
            }
            Page::Air => {
                // what is done counts as it was done
                let lived = as_lived(&sheet.job, plan, &sheet.history);
                Self::Air(Arc::new(air::with(&sheet.job, &lived, &air::Settings::of(&sheet.job))))
            }
            Page::Stores => Self::Stores(Arc::new(stores::of_shelf(&sheet.job, plan, Some(&sheet.history)))),
            Page::Places => Self::Places(Arc::new(places::of(sheet))),
            Page::Now | Page::Pieces | Page::Record => return None,
        })
    }
}

/// Figures with the look at the bench they are of.
#[derive(Clone, Debug)]
pub struct WorkedOut {
    /// Of this page.
    pub page: Page,
    plan: Option<Arc<Plan>>,
    standing: Arc<Standing>,
    figures: Option<Figures>,
}

impl WorkedOut {
    /// Works a page out.
    pub fn of(page: Page, sheet: &Sheet) -> Self {
        Self {
            page,
            plan: sheet.plan.clone(),
            standing: Arc::clone(&sheet.standing),
            figures: Figures::of(page, sheet),
        }
    }

    fn is_of_plan(&self, sheet: &Sheet) -> bool {
        match (&self.plan, &sheet.plan) {
            (Some(kept), Some(wanted)) => Arc::ptr_eq(kept, wanted),
            (None, None) => true,
            _ => false,
        }
    }

    fn is_of(&self, sheet: &Sheet) -> bool {
        self.is_of_plan(sheet) && (self.page == Page::Day || Arc::ptr_eq(&self.standing, &sheet.standing))
    }
}

/// What is kept.
#[derive(Clone, Default)]
pub struct Worked {
    pages: Vec<WorkedOut>,
    /// Figures are worked out beside the screen: what is not there is asked for and waited for.
    pub beside: bool,
    /// What was asked for and has not come yet.
    asked: Option<Page>,
}

impl Worked {
    fn page(&self, page: Page) -> Option<&WorkedOut> {
        self.pages.iter().find(|kept| kept.page == page)
    }

    fn keep(&mut self, worked: WorkedOut) {
        self.pages.retain(|kept| kept.page != worked.page);
        self.pages.push(worked);
    }
}

impl Model {
    /// The same on a screen that must not wait: dear figures are worked out beside it.
    #[must_use]
    pub fn worked_beside(mut self) -> Self {
        self.worked.beside = true;
        self
    }

    fn figures(&self, page: Page) -> Option<Figures> {
        let kept = self.worked.page(page);
        let good = |kept: &&WorkedOut| {
            if self.worked.beside {
                kept.is_of_plan(&self.sheet)
            } else {
                kept.is_of(&self.sheet)
            }
        };
        match kept.filter(good) {
            Some(kept) => kept.figures.clone(),
            None if self.worked.beside => None,
            None => Figures::of(page, &self.sheet),
        }
    }

    /// What a page without figures says: there is no plan, or they are on their way.
    pub fn no_figures(&self) -> &'static str {
        if self.sheet.plan.is_some() {
            "Being worked out."
        } else {
            "No plan is in force yet."
        }
    }

    /// The days of the plan in force.
    pub fn days(&self) -> Option<Arc<Days>> {
        match self.figures(Page::Day)? {
            Figures::Days(days) => Some(days),
            _ => None,
        }
    }

    /// The room's air by the plan and what is done; the inner `None`: it cannot be computed.
    pub fn room_air(&self) -> Option<Arc<Option<RoomAir>>> {
        match self.figures(Page::Air)? {
            Figures::Air(air) => Some(air),
            _ => None,
        }
    }

    /// The balance of the wide panels.
    pub fn balance(&self) -> Option<Arc<Balance>> {
        match self.figures(Page::Balance)? {
            Figures::Balance(balance) => Some(balance),
            _ => None,
        }
    }

    /// The stores.
    pub fn stores(&self) -> Option<Arc<Stores>> {
        match self.figures(Page::Stores)? {
            Figures::Stores(stores) => Some(stores),
            _ => None,
        }
    }

    /// What stands where, and how many pieces stand at none.
    pub fn places(&self) -> Option<Arc<(Vec<PlaceNow>, usize)>> {
        // places need no plan
        if self.sheet.plan.is_none() {
            return Some(Arc::new(places::of(&self.sheet)));
        }
        match self.figures(Page::Places)? {
            Figures::Places(places) => Some(places),
            _ => None,
        }
    }

    /// Works out what the page shown needs and keeps it; what is of another plan goes.
    pub(in crate::tui) fn keep_worked(&mut self) {
        let sheet = &self.sheet;
        self.worked.pages.retain(|kept| kept.is_of_plan(sheet));
        let there = self.worked.page(self.page).is_some_and(|kept| kept.is_of(sheet));
        if !self.worked.beside && !there && needs_figures(self.page) {
            self.worked.keep(WorkedOut::of(self.page, sheet));
        }
    }

    /// The page whose figures are to be asked for now.
    pub(in crate::tui) fn to_ask_for(&mut self) -> Option<Page> {
        let there = self.worked.page(self.page).is_some_and(|kept| kept.is_of(&self.sheet));
        let wanted = self.worked.beside && !there && needs_figures(self.page) && self.sheet.plan.is_some();
        if !wanted || self.worked.asked.is_some() {
            return None;
        }
        self.worked.asked = Some(self.page);
        self.worked.asked
    }

    /// Figures have come.
    pub(in crate::tui) fn take_figures(&mut self, worked: WorkedOut) {
        self.worked.asked = None;
        self.worked.keep(worked);
    }
}

/// Whether a page shows more than the sheet.
const fn needs_figures(page: Page) -> bool {
    matches!(
        page,
        Page::Day | Page::Balance | Page::Air | Page::Stores | Page::Places
    )
}
