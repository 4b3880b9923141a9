//! Many short lists in two vectors.
//!
//! Invariant: list i is `items[at[i]..at[i + 1]]`, in the order given.

/// Short lists, one per owner.
#[derive(Clone, Debug, Default)]
pub(super) struct Lists<T> {
    at: Vec<u32>,
    items: Vec<T>,
}

impl<T: Copy> Lists<T> {
    /// Gathers `(owner, item)` into one list per owner.
    pub(super) fn gather(owners: usize, pairs: &[(u32, T)]) -> Self {
        let mut at = vec![0_u32; owners + 1];
        for &(owner, _) in pairs {
            at[owner as usize + 1] += 1;
        }
        for owner in 0..owners {
            at[owner + 1] += at[owner];
        }
        let mut next = at.clone();
        let mut order = vec![0_usize; pairs.len()];
        for (index, &(owner, _)) in pairs.iter().enumerate() {
            order[next[owner as usize] as usize] = index;
            next[owner as usize] += 1;
        }
        Self {
            at,
            items: order.into_iter().map(|index| pairs[index].1).collect(),
        }
    }

    /// The list of one owner.
    #[inline]
    pub(super) fn of(&self, owner: u32) -> &[T] {
        &self.items[self.at[owner as usize] as usize..self.at[owner as usize + 1] as usize]
    }
}
