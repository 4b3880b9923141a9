//! Dust against wet work, in a room that has both.
//!
//! Invariant: a coat is kept from dust from its start until it is dust-free (slow estimate), and starts only
//! after the dust before it has settled; wet abrasives make none.

use super::abrading::makes_dust;
use super::rule::{Breaches, Rule};
use super::sheet::{Op, Sheet};
use crate::finish::Stage;
use crate::units::Span;

pub(super) fn check(sheet: &Sheet<'_>, found: &mut Breaches) {
    let room = &sheet.job.room;
    if room.dust_separated {
        return;
    }
    let dusty: Vec<&Op<'_>> = sheet.ops.iter().filter(|op| makes_dust(op)).collect();
    for coat in sheet.ops.iter().filter(|op| op.is_coating()) {
        let free = sheet.surely(coat, Stage::DustFree);
        for dust in &dusty {
            if dust.from < free && coat.from < dust.until {
                let text = format!(
                    "{} makes dust from {}; {} is wet until {}",
                    dust.id,
                    sheet.clock(dust.from),
                    coat.id,
                    sheet.clock(free)
                );
                found.between(Rule::DustOnWet, &[dust, coat], text);
            }
            let settled = dust.until + Span(room.settle_minutes);
            if dust.until <= coat.from && coat.from < settled {
                let text = format!(
                    "{} starts {}; the dust of {} settles by {}",
                    coat.id,
                    sheet.clock(coat.from),
                    dust.id,
                    sheet.clock(settled)
                );
                found.by(Rule::DustSettle, &[coat, dust], text);
            }
        }
    }
}
