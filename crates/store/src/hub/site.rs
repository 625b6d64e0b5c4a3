//! Sites as a hub knows them.

use std::collections::BTreeSet;

use chablon_model::{Digest, GroupId, RevisionRef, SiteId};

use crate::digest_of;

/// What a hub knows of a site, by the site document that was released last.
///
/// It counts from when it is recorded, whatever moment the release holds from: who is addressed
/// must not change by itself between two commits. A withdrawal that goes back to an earlier
/// revision takes the groups back with it; one that says "make none" leaves them, so that the site
/// still hears of what comes next.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SiteRecord {
    /// The site.
    pub site: SiteId,
    /// The groups it belongs to.
    pub groups: BTreeSet<GroupId>,
    /// The revision of the site document that says so.
    pub stated_by: RevisionRef,
}

impl SiteRecord {
    /// A token for what the site's view consists of. It changes with the groups, and then the site
    /// must list its view anew, since entries before its cursor may have come in or dropped out.
    pub fn view(&self) -> Digest {
        let groups = self.groups.iter().map(GroupId::as_str);
        let parts: Vec<&str> = ["view 1", self.site.as_str()].into_iter().chain(groups).collect();
        digest_of(parts.join("\n").as_bytes())
    }
}
