//! What a kitchen is told: figures worked by hand, laws that hold for any book, and published
//! examples with their sources.

mod absurd;
mod book;
mod change;
mod cost;
mod digits;
mod generate;
mod laws;
mod plan;
mod problems;
mod published;
mod shapes;
