//! Running the command line and its hub as processes, for whole-system tests.

mod hub;
mod program;

pub use hub::Hub;
pub use program::{chablon, json, program, python, succeed};
