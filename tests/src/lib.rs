//! Running the command line and its hub as processes, for whole-system tests.

mod book;
mod hub;
mod program;

pub use book::Book;
pub use hub::Hub;
pub use program::{chablon, json, program, python, succeed};
