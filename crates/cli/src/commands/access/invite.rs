//! `chablon access invite`.

use std::time::Duration;

use chablon_model::{ActorName, Moment, Role, SiteId};
use chablon_sdk::access::{EnrolmentCode, Invitation};
use clap::Args;

use crate::arguments::HubArguments;
use crate::clock::{self, parse_moment};
use crate::console;
use crate::failure::{Exit, Failure};

/// Make a code by which somebody joins, once
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    #[command(flatten)]
    whom: Whom,
    #[command(flatten)]
    hub: HubArguments,
}

/// Whom to let in, and as what.
#[derive(Debug, Args)]
pub(in crate::commands) struct Whom {
    /// The name under which somebody acts, unique for ever; a known name gets another machine
    #[arg(long, value_name = "NAME")]
    name: ActorName,
    /// What they may do: chef, deputy, kitchen or reader
    #[arg(long, value_name = "ROLE", value_parser = parse_role)]
    role: Role,
    /// The site of a kitchen, or the one site that a reader may read
    #[arg(long, value_name = "ID")]
    site: Option<SiteId>,
    /// For how many hours the code is good, at most 744
    #[arg(long, value_name = "HOURS", default_value_t = 24, value_parser = clap::value_parser!(u64).range(1..=744))]
    hours: u64,
    /// From when the token is no longer good that is got by it; it doesn't end if not given
    #[arg(long, value_name = "MOMENT", value_parser = parse_moment)]
    until: Option<Moment>,
}

impl Whom {
    /// The same for the hub, if role and site go together.
    pub(in crate::commands) fn invitation(&self) -> Result<Invitation, Failure> {
        if !self.role.fits(self.site.as_ref()) {
            return Err(match self.site {
                None => Failure::usage("a kitchen belongs to a site").hint("add --site ID"),
                Some(_) => Failure::usage(format!("a {} belongs to no site", self.role))
                    .hint("leave --site out"),
            });
        }
        let good = i64::try_from(Duration::from_hours(self.hours).as_millis());
        let expires_at = Moment(clock::now().0 + good.expect("a month is no long time"));
        let (name, site) = (self.name.clone(), self.site.clone());
        let invitation = Invitation::new(name, self.role, site, expires_at);
        Ok(match self.until {
            Some(at) => invitation.with_token_until(at),
            None => invitation,
        })
    }
}

pub(super) async fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    let invitation = arguments.whom.invitation()?;
    let client = arguments.hub.client()?;
    let invited = client.invite(&invitation).await;
    let (code, _) = invited.map_err(|error| Failure::of(&error, "no code was made"))?;
    console::result(&handed_over(&invitation, &code))?;
    Ok(Exit::Result)
}

/// What there is to hand over.
pub(in crate::commands) fn handed_over(invitation: &Invitation, code: &EnrolmentCode) -> String {
    let Invitation { name, role, site, expires_at, .. } = invitation;
    let whom = super::whom(*role, site.as_ref());
    format!(
        "{name} ({whom}) may join once by this code, until {}:\n\n    {}\n\nHand it over so that \
         nobody else hears it. On the machine that joins: chablon join URL CODE",
        clock::show(*expires_at),
        code.reveal()
    )
}

/// A role as it is typed.
fn parse_role(text: &str) -> Result<Role, String> {
    let roles = Role::ALL.map(Role::as_str).join(", ");
    Role::parse(text).ok_or_else(|| format!("`{text}` is not a role; there are {roles}"))
}
