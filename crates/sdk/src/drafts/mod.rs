//! Drafts on a hub: what is proposed, looked at by others, and then released.
//!
//! A [`Proposal`] is what a draft is to hold: the revisions that are new, made on the latest ones
//! that the hub has. A [`Step`] does something to a draft; [`Client::take`](crate::Client::take)
//! sends it. Who changes a draft or judges it says by its etag what they looked at: where somebody
//! else was first the error [is a conflict](crate::Error::is_conflict), and
//! [`Client::apart`](crate::Client::apart) shows both sides.
//!
//! The hub keeps all of it with the caller's name, so [`Options::caller`](crate::Options) must say
//! one.

mod proposal;
mod release;
mod step;

pub use chablon_model::{Draft, DraftAct, DraftEvent, DraftState};
pub use chablon_wire::{DraftCheck, DraftFinding};
pub(crate) use proposal::laid_over;
pub use proposal::{Apart, Proposal, Proposed};
pub use release::DraftRelease;
pub use step::Step;
pub(crate) use step::{Content, What};
