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
    let settle = Span(room.settle_minutes);
    let mut dusty: Vec<&Op<'_>> = sheet.ops.iter().filter(|op| makes_dust(op)).collect();
    dusty.sort_by_key(|dust| dust.from);
    let lengths = dusty.iter().map(|dust| dust.until - dust.from);
    let longest = lengths.max().unwrap_or(Span(0)).max(Span(0));
    for coat in sheet.ops.iter().filter(|op| op.is_coating()) {
        let free = sheet.surely(coat, Stage::DustFree);
        // what began earlier has settled, however long it took; what begins later finds the film dust-free
        let earliest = coat.from - settle - longest;
        let near = dusty.partition_point(|dust| dust.from < earliest);
        let near = dusty
            .iter()
            .skip(near)
            .take_while(|dust| dust.from <= free.max(coat.from));
        for dust in near {
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
            let settled = dust.until + settle;
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
