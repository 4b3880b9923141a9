//! What the pages show beyond the sheet, worked out once for all that ask until the sheet changes.
//!
//! Invariant: what is kept is of the plan (days) or of the look at the bench (air, balance, stores) it is asked
//! for; of another one it is worked out anew.

use super::super::bench::Sheet;
use super::super::model::{Model, Page};
use super::day::{self, Days};
use crate::air::{self, RoomAir};
use crate::balance::{self, AirStep, Balance};
use crate::dayplan::Plan;
use crate::standing::Standing;
use crate::stores::{self, Stores};
use crate::whole::as_lived;
use std::sync::Arc;

/// What is kept.
#[derive(Clone, Default)]
pub struct Worked {
    plan: Option<Arc<Plan>>,
    days: Option<Arc<Days>>,
    air: Option<Arc<Option<RoomAir>>>,
    standing: Option<Arc<Standing>>,
    balance: Option<Arc<Balance>>,
    stores: Option<Arc<Stores>>,
}

fn same<T>(kept: Option<&Arc<T>>, wanted: Option<&Arc<T>>) -> bool {
    match (kept, wanted) {
        (Some(kept), Some(wanted)) => Arc::ptr_eq(kept, wanted),
        _ => false,
    }
}

impl Worked {
    fn of_plan(&self, sheet: &Sheet) -> bool {
        same(self.plan.as_ref(), sheet.plan.as_ref())
    }

    fn of_sheet(&self, sheet: &Sheet) -> bool {
        self.of_plan(sheet) && same(self.standing.as_ref(), Some(&sheet.standing))
    }
}

impl Model {
    /// The days of the plan in force.
    pub fn days(&self) -> Option<Arc<Days>> {
        let plan = self.sheet.plan.as_ref()?;
        let kept = self.worked.days.as_ref().filter(|_| self.worked.of_plan(&self.sheet));
        Some(kept.map_or_else(|| day::shared(plan), Arc::clone))
    }

    /// The room's air by the plan and what is done; the inner `None`: it cannot be computed.
    pub fn room_air(&self) -> Option<Arc<Option<RoomAir>>> {
        let sheet = &self.sheet;
        let plan = sheet.plan.as_ref()?;
        let kept = self.worked.air.as_ref().filter(|_| self.worked.of_sheet(sheet));
        // what is done counts as it was done
        let lived = || as_lived(&sheet.job, plan, &sheet.history);
        let work_out = || Arc::new(air::with(&sheet.job, &lived(), &air::Settings::of(&sheet.job)));
        Some(kept.map_or_else(work_out, Arc::clone))
    }

    /// The balance of the wide panels.
    pub fn balance(&self) -> Option<Arc<Balance>> {
        let sheet = &self.sheet;
        let plan = sheet.plan.as_ref()?;
        let kept = self.worked.balance.as_ref().filter(|_| self.worked.of_sheet(sheet));
        let live = (&*sheet.history, &*sheet.standing);
        let work_out = || Arc::new(balance::of(&sheet.job, plan, Some(live), &AirStep::default()));
        Some(kept.map_or_else(work_out, Arc::clone))
    }

    /// The stores.
    pub fn stores(&self) -> Option<Arc<Stores>> {
        let sheet = &self.sheet;
        let plan = sheet.plan.as_ref()?;
        let kept = self.worked.stores.as_ref().filter(|_| self.worked.of_sheet(sheet));
        let work_out = || Arc::new(stores::of_shelf(&sheet.job, plan, Some(&sheet.history)));
        Some(kept.map_or_else(work_out, Arc::clone))
    }

    /// Works out what the page shown needs and keeps it.
    pub(in crate::tui) fn keep_worked(&mut self) {
        if !self.worked.of_plan(&self.sheet) {
            self.worked = Worked {
                plan: self.sheet.plan.clone(),
                ..Worked::default()
            };
        }
        if !self.worked.of_sheet(&self.sheet) {
            self.worked.standing = Some(Arc::clone(&self.sheet.standing));
            (self.worked.air, self.worked.balance, self.worked.stores) = (None, None, None);
        }
        match self.page {
            Page::Day => self.worked.days = self.days(),
            Page::Balance => self.worked.balance = self.balance(),
            Page::Air => self.worked.air = self.room_air(),
            Page::Stores => self.worked.stores = self.stores(),
            Page::Now | Page::Pieces | Page::Places | Page::Record => {}
        }
    }
}
