//! Which items of two lists belong together.

use std::collections::{BTreeMap, VecDeque};

use crate::Pair;

/// Pairs the items of two lists by one key after another: the first of those that are left on one
/// side with the first on the other that has its key.
///
/// What has one key is alike in it, so exchanging the lists exchanges the pairs.
pub(crate) struct Pairing<'a, T> {
    lists: Pair<&'a [T]>,
    /// For each item before, the one after that belongs to it.
    partner: Vec<Option<usize>>,
    taken: Vec<bool>,
}

impl<'a, T> Pairing<'a, T> {
    pub(crate) fn of(lists: Pair<&'a [T]>) -> Self {
        let partner = vec![None; lists.before.len()];
        Self { lists, partner, taken: vec![false; lists.after.len()] }
    }

    /// Pairs what has no partner yet by a key; what has none stays alone.
    pub(crate) fn by<K: Ord>(
        mut self,
        key_before: impl Fn(&'a T) -> Option<K>,
        key_after: impl Fn(&'a T) -> Option<K>,
    ) -> Self {
        let mut free: BTreeMap<K, VecDeque<usize>> = BTreeMap::new();
        for (at, item) in self.lists.after.iter().enumerate().filter(|(at, _)| !self.taken[*at]) {
            if let Some(key) = key_after(item) {
                free.entry(key).or_default().push_back(at);
            }
        }
        let alone = self.partner.iter_mut().zip(self.lists.before);
        for (partner, item) in alone.filter(|(partner, _)| partner.is_none()) {
            let found = key_before(item).and_then(|key| free.get_mut(&key)?.pop_front());
            if let Some(found) = found {
                *partner = Some(found);
                self.taken[found] = true;
            }
        }
        self
    }

    /// Pairs by a key that is the same on both sides.
    pub(crate) fn by_key<K: Ord>(self, key: impl Fn(&'a T) -> Option<K> + Copy) -> Self {
        self.by(key, key)
    }

    /// The places of what belongs together, in the order before; then what is new.
    pub(crate) fn places(self) -> Vec<Pair<Option<usize>>> {
        let before = self.partner.into_iter().enumerate();
        let before = before.map(|(at, partner)| Pair::new(Some(at), partner));
        let new = self.taken.into_iter().enumerate().filter(|(_, taken)| !taken);
        before.chain(new.map(|(at, _)| Pair::new(None, Some(at)))).collect()
    }

    /// The items that belong together.
    pub(crate) fn items(self) -> impl Iterator<Item = Pair<Option<&'a T>>> {
        let Pair { before, after } = self.lists;
        self.places().into_iter().map(move |places| {
            Pair::new(places.before.map(|at| &before[at]), places.after.map(|at| &after[at]))
        })
    }
}

/// Whether what both lists have stands in another order.
pub(crate) fn reordered(places: &[Pair<Option<usize>>]) -> bool {
    let both = places.iter().filter_map(|pair| pair.both());
    let order: Vec<usize> = both.map(|pair| pair.after).collect();
    !order.is_sorted()
}

/// Whether two items differ in a key, or only one is there.
pub(crate) fn differ<'a, T, K: PartialEq>(
    items: &Pair<Option<&'a T>>,
    key: impl Fn(&'a T) -> K,
) -> bool {
    items.before.map(&key) != items.after.map(&key)
}
