//! What is asked of a hub beyond single calls.

mod leaving;
mod users;

pub(crate) use leaving::{again_by_book, again_by_draft};
pub(crate) use users::users_of;
