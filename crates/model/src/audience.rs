//! Whom a release concerns.

use std::collections::BTreeSet;

use crate::{GroupId, SiteId};

/// Whom a release or a withdrawal addresses.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Audience {
    /// Every site of the group.
    All,
    /// The sites of these groups, and these sites.
    Of {
        /// Groups of sites, sorted.
        groups: BTreeSet<GroupId>,
        /// Single sites, sorted.
        sites: BTreeSet<SiteId>,
    },
}

impl Audience {
    /// The site, where it addresses one site and nobody else.
    pub fn only_site(&self) -> Option<&SiteId> {
        match self {
            Self::Of { groups, sites } if groups.is_empty() && sites.len() == 1 => sites.first(),
            _ => None,
        }
    }

    /// One site alone.
    pub fn site(site: SiteId) -> Self {
        Self::Of { groups: BTreeSet::new(), sites: BTreeSet::from([site]) }
    }

    /// Whether a site is addressed, given the groups it belongs to.
    pub fn addresses(&self, site: &SiteId, its_groups: &BTreeSet<GroupId>) -> bool {
        match self {
            Self::All => true,
            Self::Of { groups, sites } => sites.contains(site) || !groups.is_disjoint(its_groups),
        }
    }

    /// Whether every site that another audience addresses is addressed by this one, whatever groups
    /// it is in.
    pub fn covers(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::All, _) => true,
            (Self::Of { .. }, Self::All) => false,
            (Self::Of { groups, sites }, Self::Of { groups: others, sites: named }) => {
                groups.is_superset(others) && sites.is_superset(named)
            }
        }
    }
}

/// Whose part of the feed is read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum View {
    /// All of it, as the group's chef sees it.
    Whole,
    /// What concerns one site.
    Site(SiteId),
}
