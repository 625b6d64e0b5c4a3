//! What is asked of a hub beyond single calls.

mod standing;
mod users;

pub(crate) use standing::{At, On, SiteStandings, site_standings, sites};
pub(crate) use users::users_of;
