//! What can be checked only when everything is read: names across documents.

mod cycles;
mod names;

pub(crate) use cycles::cycles;
pub(crate) use names::check_names;
