//! A column of rounded figures.

use std::collections::BTreeMap;

use chablon_quantity::{Exact, Rounded};
use num_traits::ToPrimitive;

use crate::filter::{Bounded, round_row};

/// Rounded figures with one number of decimals, held flat.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Figures {
    decimals: u32,
    /// In units of the last decimal.
    units: Vec<i64>,
    /// Those that don't fit beside, by their place.
    large: BTreeMap<usize, Rounded>,
}

impl Figures {
    /// The figures of exact numbers.
    pub(crate) fn of(decimals: u32, values: &[Exact]) -> Self {
        let mut figures = Self { decimals, units: vec![0; values.len()], large: BTreeMap::new() };
        for (at, value) in values.iter().enumerate() {
            figures.set(at, value);
        }
        figures
    }

    /// The figures of numbers that are at least 0; those that their bounds don't decide are asked
    /// for exactly.
    pub(crate) fn of_row<E>(
        decimals: u32,
        row: &[Bounded],
        mut exact: impl FnMut(usize) -> Result<Exact, E>,
    ) -> Result<Self, E> {
        let (units, undecided) = round_row(row, decimals);
        let mut figures = Self { decimals, units, large: BTreeMap::new() };
        for at in undecided {
            figures.set(at, &exact(at)?);
        }
        Ok(figures)
    }

    fn set(&mut self, at: usize, value: &Exact) {
        let rounded = value.round(self.decimals);
        match rounded.units().to_i64() {
            Some(units) => self.units[at] = units,
            None => {
                self.large.insert(at, rounded);
            }
        }
    }

    /// How many figures there are.
    pub fn len(&self) -> usize {
        self.units.len()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.units.is_empty()
    }

    /// The figure at a place.
    pub fn get(&self, at: usize) -> Option<Rounded> {
        let units = *self.units.get(at)?;
        let large = self.large.get(&at).cloned();
        Some(large.unwrap_or_else(|| Rounded::from_small(units, self.decimals)))
    }

    /// Every figure in order.
    pub fn iter(&self) -> impl Iterator<Item = Rounded> {
        (0..self.len()).filter_map(|at| self.get(at))
    }
}
