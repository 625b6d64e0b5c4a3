//! A published table of two columns that both rise.

use chablon_quantity::Exact;

/// The rows of a table in whole units of its last printed decimal.
pub(super) struct Table {
    /// (left, right), both strictly rising.
    pub(super) rows: &'static [(i32, i32)],
    /// How many units of its last decimal a 1 of the left column is.
    pub(super) left_scale: u32,
    /// The same of the right column.
    pub(super) right_scale: u32,
}

impl Table {
    /// The right column at a value of the left: a row's own figure, or on the straight line
    /// between the two rows around it. Nothing outside the rows.
    pub(super) fn right_at(&self, left: &Exact) -> Option<Exact> {
        between(self.points(), left)
    }

    /// The left column at a value of the right, on the same lines: the inverse of
    /// [`Table::right_at`].
    pub(super) fn left_at(&self, right: &Exact) -> Option<Exact> {
        between(self.points().map(|(left, right)| (right, left)), right)
    }

    /// The first and the last of the left column.
    pub(super) fn left_range(&self) -> (Exact, Exact) {
        let (first, last) = self.ends();
        (first.0, last.0)
    }

    /// The first and the last of the right column.
    pub(super) fn right_range(&self) -> (Exact, Exact) {
        let (first, last) = self.ends();
        (first.1, last.1)
    }

    fn ends(&self) -> ((Exact, Exact), (Exact, Exact)) {
        let first = self.points().next().expect("a table has rows");
        let last = self.points().next_back().expect("a table has rows");
        (first, last)
    }

    fn points(&self) -> impl DoubleEndedIterator<Item = (Exact, Exact)> + Clone {
        let (left_scale, right_scale) =
            (Exact::from(self.left_scale), Exact::from(self.right_scale));
        self.rows.iter().map(move |(left, right)| {
            (Exact::from(*left) / &left_scale, Exact::from(*right) / &right_scale)
        })
    }
}

fn between(points: impl Iterator<Item = (Exact, Exact)> + Clone, at: &Exact) -> Option<Exact> {
    let (low, high) =
        points.clone().zip(points.skip(1)).find(|(low, high)| *at >= low.0 && *at <= high.0)?;
    let part = (at - &low.0) / (&high.0 - &low.0);
    Some(&low.1 + part * (&high.1 - &low.1))
}
