//! Films the maker leaves out: what was to go over one goes over what lies beneath it.
//!
//! Invariant: only links of films left out change; operations and their ids stay as they are.

use super::operation::{Delay, Span, Window, Work, WorkOperation};
use crate::finish::{Prepare, Stage};

impl Work {
    /// Hangs everything that waits for a film that will not be laid on the film beneath; where there is none, on nothing.
    pub(crate) fn leave_out(&mut self, operation: usize) {
        if !self.operations.get(operation).is_some_and(WorkOperation::lays_film) {
            return;
        }
        // what was to be fresh for it need not be
        let (into, kept): (Vec<Window>, Vec<Window>) = std::mem::take(&mut self.windows)
            .into_iter()
            .partition(|window| window.after == operation);
        let into: Vec<Window> = into.into_iter().filter(|window| self.goes_over(window)).collect();
        let (onward, kept): (Vec<Window>, Vec<Window>) =
            kept.into_iter().partition(|window| window.before == operation);
        self.windows = kept;
        for next in &onward {
            let over = into.iter().map(|beneath| self.over(beneath, next));
            let over: Vec<Window> = over.collect();
            self.windows.extend(over);
        }
        let beneath: Vec<usize> = into.iter().map(|window| window.before).collect();
        self.hang_waits(operation, &beneath);
        for place in &mut self.places {
            replace(&mut place.last, operation, &beneath);
        }
        for ready in &mut self.ready {
            let delays: Vec<Delay> = ready.iter().filter(|of| of.0 == operation).map(|of| of.1).collect();
            ready.retain(|(of, _)| *of != operation);
            // with nothing beneath it is ready when all that came before in its line is over
            if beneath.is_empty() && !delays.is_empty() {
                ready.push((operation, Delay::Minutes(0)));
            }
            for delay in delays {
                ready.extend(beneath.iter().map(|&film| (film, delay)));
            }
        }
    }

    /// Whether a window is that of one film over another.
    fn goes_over(&self, window: &Window) -> bool {
        let lays = |at: usize| self.operations.get(at).is_some_and(WorkOperation::lays_film);
        lays(window.before) && lays(window.after)
    }

    /// The window of the next film over the one beneath, the one between left out.
    fn over(&self, beneath: &Window, next: &Window) -> Window {
        let product = |at: usize| self.operations.get(at).and_then(|one| one.product.as_deref());
        let gone = product(beneath.after);
        let one = |opens: Delay| {
            vec![Span {
                opens,
                closes: None,
                via: None,
                prepare: Prepare::None,
            }]
        };
        let spans = if product(beneath.before) == gone {
            next.spans.clone()
        } else if !self.goes_over(next) {
            // its end goes by the minutes of another product
            next.spans.first().map_or_else(Vec::new, |first| one(first.opens))
        } else if product(next.after) == gone {
            beneath.spans.clone()
        } else {
            // no window is stated for this pair: when dry to recoat, for ever
            one(Delay::Film(Stage::DryToRecoat))
        };
        Window {
            before: beneath.before,
            after: next.after,
            spans,
            rule: next.rule,
        }
    }

    /// Waits for the film become waits for those beneath.
    fn hang_waits(&mut self, operation: usize, beneath: &[usize]) {
        let mut hung = Vec::new();
        for wait in &mut self.waits {
            if wait.before != operation || !matches!(wait.min, Delay::Film(_)) {
                continue;
            }
            hung.extend(beneath.iter().map(|&film| super::Wait {
                before: film,
                ..wait.clone()
            }));
            // it keeps its place in the line
            wait.min = Delay::Minutes(0);
        }
        self.waits.extend(hung);
    }
}

/// Puts others in the place of one.
fn replace(list: &mut Vec<usize>, one: usize, others: &[usize]) {
    if list.contains(&one) {
        list.retain(|at| *at != one);
        list.extend(
            others
                .iter()
                .filter(|at| !list.contains(at))
                .copied()
                .collect::<Vec<_>>(),
        );
    }
}

#[cfg(test)]
#[allow(clippy::panic)] // a check that cannot be set up has failed
mod tests {
    use super::*;
    use crate::{finish, job, source::SourceFile, work};

    /// The invented press of the demo, and the films laid on its first piece.
    fn press() -> (Work, Vec<usize>) {
        let file = SourceFile::new("press.toml", include_str!("../../demo/linen-press.toml"));
        let (job, problems) = job::read(&file, &finish::shipped());
        let work = work::of(&job.unwrap_or_else(|| panic!("{problems:?}")));
        let on_first = |at: &usize| work.operations[*at].piece == Some(0) && work.operations[*at].lays_film();
        let films = (0..work.operations.len()).filter(on_first).collect();
        (work, films)
    }

    fn waits_for(work: &Work, film: usize) -> usize {
        let waits = work.waits.iter();
        let waits = waits.filter(|wait| wait.before == film && matches!(wait.min, Delay::Film(_)));
        let windows = work.windows.iter();
        waits.count()
            + windows
                .filter(|window| [window.before, window.after].contains(&film))
                .count()
    }

    #[test]
    fn nothing_hangs_on_a_film_left_out() {
        let (mut work, films) = press();
        let before: Vec<usize> = films.iter().map(|&film| waits_for(&work, film)).collect();
        assert!(films.len() > 2 && before.iter().all(|waits| *waits > 0), "{before:?}");
        let second = films[films.len() / 2];
        work.leave_out(second);
        assert_eq!(waits_for(&work, second), 0);
        assert!(work.ready[0].iter().all(|(film, _)| *film != second));
        assert!(!work.ready[0].is_empty());
    }

    #[test]
    fn a_piece_without_any_film_is_ready_when_its_line_is_over() {
        let (mut work, films) = press();
        for &film in &films {
            work.leave_out(film);
        }
        let waits: usize = films.iter().map(|&film| waits_for(&work, film)).sum();
        assert_eq!(waits, 0);
        assert!(!work.ready[0].is_empty());
        assert!(work.ready[0].iter().all(|(_, delay)| *delay == Delay::Minutes(0)));
        assert!(
            work.places
                .iter()
                .filter(|place| place.piece == 0)
                .all(|place| place.last.is_empty())
        );
    }
}
