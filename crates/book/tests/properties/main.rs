//! What holds for any book and for any text.

mod documents;
mod hostile;
mod quantities;
mod recipes;
mod round_trip;
mod shapes;
