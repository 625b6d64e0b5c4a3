//! Who calls, and what they may do.
//!
//! Every call comes through here: [`admit`] says who makes it, and the services ask the [`Caller`]
//! before they do anything.
//!
//! A hub is open: it asks nobody who they are. A call may say a name, which is noted as a name that
//! nobody has checked, and may do everything. That is why a hub listens on the machine itself
//! unless told otherwise, and why it belongs on a network whose every member is trusted.

mod asserted;
mod caller;
mod rights;

use tonic::{Request, Status};

pub(crate) use caller::Caller;
pub(crate) use rights::Right;

use asserted::asserted_name;

/// Lets a call in and says who makes it.
pub(crate) fn admit(mut request: Request<()>) -> Result<Request<()>, Status> {
    let name = asserted_name(request.metadata())?;
    request.extensions_mut().insert(Caller::asserted(name));
    Ok(request)
}
