//! What is asked of a hub beyond single calls.

mod users;

pub(crate) use users::users_of;
