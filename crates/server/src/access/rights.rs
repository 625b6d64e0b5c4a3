//! Who may do what: one table for all calls.

use chablon_model::Role::{self, Chef, Deputy, Kitchen, Reader};
use chablon_model::SiteId;
use chablon_wire::pb::ErrorReason;
use tonic::Code;

use crate::status::Refusal;

/// What may be asked of a hub.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Right {
    /// Everything that was released, with every site's prices.
    ReadGroup,
    /// What one site sees, with its prices.
    ReadSite,
    /// Saying whose signatures count.
    SetRoot,
    /// Putting revisions in force.
    Release,
    /// Taking a revision back.
    Withdraw,
    /// Making, changing and dropping drafts.
    Draft,
    /// Reading drafts, and saying yes or no to another's.
    Review,
    /// Granting and refusing deviations.
    DecideDeviation,
    /// Asking for a deviation at a site.
    AskDeviation,
    /// Saying for a site what it has received and uses.
    Acknowledge,
    /// Noting what happened to a lot at a site.
    NoteLot,
    /// Letting others in and shutting them out.
    ManageAccess,
    /// Reading who did what.
    ReadAudit,
}

/// A right: its name for programs, words that follow "may", and the roles that have it.
struct Line(Right, &'static str, &'static str, &'static [Role]);

// A deputy withdraws, because what is faulty must be stopped by whoever is there. Statements and
// requests of a kitchen are made by that kitchen alone, or they would prove nothing.
const TABLE: &[Line] = &[
    Line(Right::ReadGroup, "read-group", "read the whole group's view", &[Chef, Deputy, Reader]),
    Line(Right::ReadSite, "read-site", "read a site's view", &[Chef, Deputy, Kitchen, Reader]),
    Line(Right::SetRoot, "set-root", "say whose signatures count", &[Chef]),
    Line(Right::Release, "release", "release", &[Chef]),
    Line(Right::Withdraw, "withdraw", "withdraw", &[Chef, Deputy]),
    Line(Right::Draft, "draft", "draft", &[Chef]),
    Line(Right::Review, "review", "review drafts", &[Chef, Deputy]),
    Line(Right::DecideDeviation, "decide-deviation", "decide deviations", &[Chef]),
    Line(Right::AskDeviation, "ask-deviation", "ask for a deviation", &[Kitchen]),
    Line(Right::Acknowledge, "acknowledge", "make statements for a site", &[Kitchen]),
    Line(Right::NoteLot, "note-lot", "note lots", &[Chef, Deputy, Kitchen]),
    Line(Right::ManageAccess, "manage-access", "manage access", &[Chef]),
    Line(Right::ReadAudit, "read-audit", "read the audit log", &[Chef, Deputy]),
];

impl Right {
    fn line(self) -> &'static Line {
        TABLE.iter().find(|line| line.0 == self).expect("the table has a line for every right")
    }

    /// Whether a role has it.
    pub(super) fn belongs_to(self, role: Role) -> bool {
        self.line().3.contains(&role)
    }
}

/// The refusal of a right, with who has it.
pub(super) fn refused(right: Right, role: Role, bound_to: Option<&SiteId>) -> Refusal {
    let Line(_, name, words, roles) = right.line();
    let message = match bound_to.filter(|_| right.belongs_to(role)) {
        Some(site) if right == Right::ReadGroup => {
            format!(
                "this {role} belongs to `{site}` and reads that site's view alone; name the site"
            )
        }
        Some(site) => format!("this {role} belongs to `{site}` and may {words} there alone"),
        None => format!("a {role} may not {words}; {} may", listed(roles, "a ", " or ")),
    };
    Refusal::new(Code::PermissionDenied, ErrorReason::NotAllowed, message)
        .with("right", name)
        .with("role", role)
        .with("site", bound_to.map(ToString::to_string).unwrap_or_default())
        .with("allowed", listed(roles, "", ","))
}

fn listed(roles: &[Role], article: &str, between: &str) -> String {
    let each: Vec<String> = roles.iter().map(|role| format!("{article}{role}")).collect();
    each.join(between)
}

#[cfg(test)]
pub(super) fn every_right() -> impl Iterator<Item = Right> {
    TABLE.iter().map(|line| line.0)
}
