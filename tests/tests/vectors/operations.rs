//! What a case may ask for, by name.

use chablon_book::Outcome;
use serde_json::Value;

use crate::given::{Answer, Given};
use crate::shelf::Shelf;
use crate::{bench, kitchen, numbers, shapes};

/// One operation.
#[derive(Clone, Copy)]
pub(crate) enum Operation {
    /// On plain values.
    Plain(fn(Given<'_>) -> Answer),
    /// On a book of the file.
    OnABook(fn(&Outcome, Given<'_>) -> Answer),
}

use Operation::{OnABook, Plain};

const ALL: &[(&str, Operation)] = &[
    ("number", Plain(numbers::read_number)),
    ("quantity", Plain(numbers::read_quantity)),
    ("money", Plain(numbers::read_money)),
    ("round", Plain(numbers::round)),
    ("price-for-share", Plain(numbers::price_for_share)),
    ("area", Plain(shapes::area)),
    ("outline-mass", Plain(shapes::outline_mass)),
    ("outline-thickness", Plain(shapes::outline_thickness)),
    ("mould", Plain(shapes::mould_fill)),
    ("mould-factor", Plain(shapes::mould_factor)),
    ("fit", Plain(shapes::fit)),
    ("oven", Plain(shapes::oven)),
    ("dough-water", Plain(bench::dough_water)),
    ("dough-friction", Plain(bench::dough_friction)),
    ("ice", Plain(bench::ice)),
    ("gelatine", Plain(bench::gelatine)),
    ("gelatine-sheets", Plain(bench::gelatine_sheets)),
    ("overrun", Plain(bench::overrun)),
    ("aerated", Plain(bench::aerated)),
    ("before-air", Plain(bench::before_air)),
    ("syrup-of", Plain(bench::syrup_of)),
    ("syrup-mix", Plain(bench::syrup_mix)),
    ("syrup-bring-to", Plain(bench::syrup_bring_to)),
    ("syrup-boil-down", Plain(bench::syrup_boil_down)),
    ("syrup-boils-at", Plain(bench::syrup_boils_at)),
    ("syrup-that-boils-at", Plain(bench::syrup_that_boils_at)),
    ("syrup-saturated-at", Plain(bench::syrup_saturated_at)),
    ("syrup-crystallises-below", Plain(bench::syrup_crystallises_below)),
    ("sugar-stage", Plain(bench::sugar_stage)),
    ("sugar-stage-range", Plain(bench::sugar_stage_range)),
    ("percentages", Plain(bench::percentages)),
    ("weights", Plain(bench::weights)),
    ("hydration", Plain(bench::hydration)),
    ("blend", Plain(bench::blend)),
    ("eggs", Plain(bench::eggs)),
    ("egg-class", Plain(bench::egg_class)),
    ("written-batch", OnABook(kitchen::written_batch)),
    ("scale", OnABook(kitchen::scale)),
    ("plan", OnABook(kitchen::plan)),
    ("cost", OnABook(kitchen::cost)),
    ("cost-plan", OnABook(kitchen::cost_plan)),
    ("standard-cost", OnABook(kitchen::standard_cost)),
];

impl Operation {
    /// The operation of this name.
    pub(crate) fn named(name: &str) -> Option<Self> {
        ALL.iter().find(|(known, _)| *known == name).map(|(_, operation)| *operation)
    }

    /// The names of all operations.
    pub(crate) fn names() -> impl Iterator<Item = &'static str> {
        ALL.iter().map(|(name, _)| *name)
    }

    /// What a case comes to.
    pub(crate) fn run(self, books: &Shelf, input: &Value) -> Answer {
        let given = Given(input);
        match self {
            Plain(run) => run(given),
            OnABook(run) => run(books.book(given.text("book")), given),
        }
    }
}
