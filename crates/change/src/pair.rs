//! Two sides of one thing.

/// Something before a change and after it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Pair<T> {
    /// Before the change.
    pub before: T,
    /// After it.
    pub after: T,
}

impl<T> Pair<T> {
    /// Both sides.
    pub const fn new(before: T, after: T) -> Self {
        Self { before, after }
    }

    /// The same of each side.
    pub fn map<U>(self, of: impl Fn(T) -> U) -> Pair<U> {
        Pair { before: of(self.before), after: of(self.after) }
    }

    /// Both sides, borrowed.
    pub const fn as_ref(&self) -> Pair<&T> {
        Pair { before: &self.before, after: &self.after }
    }

    /// The sides exchanged: what going back would mean.
    #[must_use]
    pub fn swapped(self) -> Self {
        Self { before: self.after, after: self.before }
    }
}

impl<T: PartialEq> Pair<T> {
    /// Both sides, where they differ.
    pub(crate) fn changed(before: T, after: T) -> Option<Self> {
        (before != after).then_some(Self { before, after })
    }
}

impl<T> Pair<Option<T>> {
    /// Whether either side is there and passes.
    pub(crate) fn any(self, passes: impl Fn(T) -> bool) -> bool {
        self.before.is_some_and(&passes) || self.after.is_some_and(&passes)
    }

    /// Both sides, where both are there.
    pub(crate) fn both(self) -> Option<Pair<T>> {
        Some(Pair { before: self.before?, after: self.after? })
    }
}
