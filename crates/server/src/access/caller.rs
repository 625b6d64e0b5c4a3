//! Who makes a call.

use chablon_model::{ActorName, Role, SiteId, View};
use chablon_store::{Actor, TokenId};
use chablon_wire::CALLER_HEADER;
use chablon_wire::pb::ErrorReason;
use tonic::{Code, Request, Status};

use super::rights::{Right, refused};
use crate::fields;
use crate::status::Refusal;

/// Who makes a call.
#[derive(Clone, Debug)]
pub(crate) struct Caller {
    name: Option<ActorName>,
    standing: Standing,
}

/// What is known of a caller.
#[derive(Clone, Debug)]
enum Standing {
    /// Nothing: the hub is open, and whoever reaches it may do everything.
    Asserted,
    /// It is beside a kitchen's replica, and reads what that site sees.
    Beside(SiteId),
    /// A role, the one site to which it is bound, if to any, and by which token it was let in.
    Known { role: Role, site: Option<SiteId>, token: TokenId },
}

impl Caller {
    /// Somebody who reached an open hub and said this name, if any.
    pub(crate) fn asserted(name: Option<ActorName>) -> Self {
        Self { name, standing: Standing::Asserted }
    }

    /// Somebody who reached the replica of a site and said this name, if any.
    pub(crate) fn beside(name: Option<ActorName>, site: SiteId) -> Self {
        Self { name, standing: Standing::Beside(site) }
    }

    /// Somebody whom the hub knows.
    pub(crate) fn known(name: ActorName, role: Role, site: Option<SiteId>, token: TokenId) -> Self {
        Self { name: Some(name), standing: Standing::Known { role, site, token } }
    }

    /// Who made this call.
    pub(crate) fn of<T>(request: &Request<T>) -> Result<Self, Status> {
        let caller = request.extensions().get::<Self>().cloned();
        caller.ok_or_else(|| Status::unauthenticated("nobody let this call in"))
    }

    /// The caller's name: the account's, or on an open hub the one that the call asserts, if any.
    pub(crate) fn name(&self) -> Option<&ActorName> {
        self.name.as_ref()
    }

    /// Whether the hub has checked that the caller is who it says.
    pub(crate) fn is_verified(&self) -> bool {
        matches!(self.standing, Standing::Known { .. })
    }

    /// The role; none on an open hub, where whoever calls may do everything.
    pub(crate) fn role(&self) -> Option<Role> {
        match &self.standing {
            Standing::Asserted => None,
            Standing::Beside(_) => Some(Role::Reader),
            Standing::Known { role, .. } => Some(*role),
        }
    }

    /// The one site to which the caller is bound, if to any. A kitchen always is.
    pub(crate) fn bound_to(&self) -> Option<&SiteId> {
        match &self.standing {
            Standing::Asserted => None,
            Standing::Beside(site) => Some(site),
            Standing::Known { site, .. } => site.as_ref(),
        }
    }

    /// The token by which the caller was let in; none where none was asked for.
    pub(super) fn token(&self) -> Option<&TokenId> {
        match &self.standing {
            Standing::Asserted | Standing::Beside(_) => None,
            Standing::Known { token, .. } => Some(token),
        }
    }

    /// Whoever makes a change, as the log has it; nobody where the call says no name.
    pub(crate) fn named(&self) -> Option<Actor> {
        let name = self.name.as_ref()?.to_string();
        Some(Actor { name, role: self.role() })
    }

    /// The same for a change that needs no name on an open hub.
    pub(crate) fn somebody(&self) -> Actor {
        self.named().unwrap_or_else(|| Actor { name: "somebody".to_owned(), role: None })
    }

    /// The same, where the change can't be told without one.
    pub(crate) fn actor(&self) -> Result<Actor, Refusal> {
        self.named().ok_or_else(|| {
            let message = format!(
                "this is kept with the name of whoever does it; say yours in the header \
                 `{CALLER_HEADER}`"
            );
            Refusal::new(Code::Unauthenticated, ErrorReason::NameMissing, message)
        })
    }

    /// Asks for a right over the whole group. Whoever is bound to a site has none.
    pub(crate) fn may(&self, right: Right) -> Result<(), Refusal> {
        self.holds(right, None)
    }

    /// Asks for a right at one site.
    pub(crate) fn may_at(&self, right: Right, site: &SiteId) -> Result<(), Refusal> {
        self.holds(right, Some(site))
    }

    fn holds(&self, right: Right, at: Option<&SiteId>) -> Result<(), Refusal> {
        let Some(role) = self.role() else { return Ok(()) };
        let bound = self.bound_to();
        let reaches = bound.is_none() || bound == at;
        if right.belongs_to(role) && reaches { Ok(()) } else { Err(refused(right, role, bound)) }
    }

    /// The view that the caller reads when it asks for a site's, or for the whole by naming none.
    pub(crate) fn view(&self, site: &str) -> Result<View, Refusal> {
        let view = fields::view(site)?;
        match &view {
            View::Whole => self.may(Right::ReadGroup)?,
            View::Site(site) => self.may_at(Right::ReadSite, site)?,
        }
        Ok(view)
    }

    /// The site that the caller reads about when it names one.
    pub(crate) fn site(&self, site: &str) -> Result<SiteId, Refusal> {
        let site = fields::site(site)?;
        self.may_at(Right::ReadSite, &site)?;
        Ok(site)
    }
}

#[cfg(test)]
mod tests {
    use chablon_model::{ActorName, Role, SiteId, View};
    use tonic::Status;

    use super::{Caller, Right};
    use crate::access::rights::every_right;

    fn site(id: &str) -> SiteId {
        id.parse().unwrap()
    }

    fn known(name: &str, role: Role, at: Option<&str>) -> Caller {
        Caller::known(name.parse().unwrap(), role, at.map(site), "t".parse().unwrap())
    }

    #[test]
    fn whoever_reaches_an_open_hub_may_do_everything() {
        let name: ActorName = "Imogen Vale".parse().unwrap();
        let caller = Caller::asserted(Some(name.clone()));
        assert_eq!((caller.name(), caller.is_verified()), (Some(&name), false));
        for right in every_right() {
            assert!(caller.may(right).is_ok() && caller.may_at(right, &site("harbour")).is_ok());
        }
    }

    #[test]
    fn a_kitchen_has_its_own_view_alone() {
        let kitchen = known("Harbour", Role::Kitchen, Some("harbour"));
        assert_eq!(kitchen.view("harbour").unwrap(), View::Site(site("harbour")));
        for other in ["", "station"] {
            assert_eq!(kitchen.view(other).unwrap_err().reason(), "NOT_ALLOWED", "{other}");
        }
        assert!(kitchen.may_at(Right::Acknowledge, &site("harbour")).is_ok());
        assert!(kitchen.may_at(Right::Acknowledge, &site("station")).is_err());
        assert!(kitchen.may(Right::Acknowledge).is_err());
    }

    #[test]
    fn a_reader_bound_to_a_site_reads_that_site_alone() {
        let reader = known("Till", Role::Reader, Some("harbour"));
        assert!(reader.site("harbour").is_ok());
        assert!(reader.site("station").is_err() && reader.view("").is_err());
        let reader = known("Ledger", Role::Reader, None);
        assert!(reader.site("station").is_ok() && reader.view("").is_ok());
    }

    #[test]
    fn a_refusal_says_who_may() {
        let kitchen = known("Harbour", Role::Kitchen, Some("harbour"));
        let status = Status::from(kitchen.may(Right::Withdraw).unwrap_err());
        assert_eq!(status.message(), "a kitchen may not withdraw; a chef or a deputy may");
        let status = Status::from(kitchen.view("station").unwrap_err());
        assert_eq!(
            status.message(),
            "this kitchen belongs to `harbour` and may read a site's view there alone"
        );
    }
}
