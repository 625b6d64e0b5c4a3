//! By what names an entry addresses its readers.

use chablon_model::{Audience, GroupId, SiteId};
use chablon_store::SiteRecord;

const ALL: &str = "all";

fn group(id: &GroupId) -> String {
    format!("group/{id}")
}

fn site(id: &SiteId) -> String {
    format!("site/{id}")
}

/// The names that an audience consists of.
pub(super) fn of_audience(audience: &Audience) -> Vec<String> {
    match audience {
        Audience::All => vec![ALL.to_owned()],
        Audience::Of { groups, sites } => {
            groups.iter().map(group).chain(sites.iter().map(site)).collect()
        }
    }
}

/// The names by which a site is addressed.
pub(super) fn of_site(record: &SiteRecord) -> Vec<String> {
    let own = [ALL.to_owned(), site(&record.site)];
    own.into_iter().chain(record.groups.iter().map(group)).collect()
}
