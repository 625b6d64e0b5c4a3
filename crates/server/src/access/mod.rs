//! Who calls, and what they may do.
//!
//! Every call comes through here: the [`Gate`] says who makes it, and the services ask the
//! [`Caller`] before they do anything.

mod asserted;
mod bearer;
mod caller;
mod gate;
mod guesses;
mod kitchen;
mod local;
mod rights;

pub(crate) use caller::Caller;
pub(crate) use gate::{Gate, GateLayer};
pub(crate) use guesses::Guesses;
pub(crate) use local::own_machine;
pub use local::{InviteError, invite, knows_anybody};
pub(crate) use rights::Right;

/// Whom a hub lets in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Access {
    /// Whoever reaches it, for everything. A call may say a name, which is noted as one that nobody
    /// has checked. For the machine itself, and for a network whose every member is trusted.
    #[default]
    Open,
    /// Those who have a token, for what their role may do.
    Required,
}
