//! Who calls.
//!
//! This version authenticates nobody: whoever reaches the hub is taken for whom the request says.
//! That is why it listens on the machine itself unless told otherwise, and why it belongs on a
//! network whose every member is trusted. What there is here is the one place through which every
//! call comes, so that roles have somewhere to be decided.

use chablon_model::{SiteId, View};
use chablon_wire::Violation;
use tonic::{Request, Status};

use crate::fields;

/// Who makes a call.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Caller {
    /// Somebody who reached the hub.
    Anyone,
}

impl Caller {
    /// Who made this call.
    pub(crate) fn of<T>(request: &Request<T>) -> Result<Self, Status> {
        let caller = request.extensions().get::<Self>().copied();
        caller.ok_or_else(|| Status::unauthenticated("nobody let this call in"))
    }

    /// The view that the caller reads when it asks for a site's, or for the whole by naming none.
    pub(crate) fn view(self, site: &str) -> Result<View, Violation> {
        match self {
            Self::Anyone => fields::view(site),
        }
    }

    /// The site that the caller speaks for when it names one.
    pub(crate) fn site(self, site: &str) -> Result<SiteId, Violation> {
        match self {
            Self::Anyone => fields::site(site),
        }
    }
}

/// Lets a call in and says who makes it.
#[expect(clippy::unnecessary_wraps, reason = "the signature is the interceptor's")]
pub(crate) fn admit(mut request: Request<()>) -> Result<Request<()>, Status> {
    request.extensions_mut().insert(Caller::Anyone);
    Ok(request)
}
