//! What people and kitchens are to the group's standards.

use std::fmt;

use crate::SiteId;

/// What somebody is to the group's standards.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Role {
    /// Answers for the standards: drafts, reviews, releases, withdraws, grants deviations, lets
    /// others in.
    Chef,
    /// Stands beside the chef: drafts, reviews, and takes back what is faulty.
    Deputy,
    /// Makes what is released. It belongs to one site and sees that site's view alone.
    Kitchen,
    /// Reads: the whole, or one site's view where it belongs to a site.
    Reader,
}

impl Role {
    /// Every role, the one that answers for most first.
    pub const ALL: [Self; 4] = [Self::Chef, Self::Deputy, Self::Kitchen, Self::Reader];

    /// The role's name.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Chef => "chef",
            Self::Deputy => "deputy",
            Self::Kitchen => "kitchen",
            Self::Reader => "reader",
        }
    }

    /// Whether somebody of the role may belong to this site, or to none: a kitchen always belongs to
    /// one, a reader may, a chef and a deputy answer for all.
    pub fn fits(self, site: Option<&SiteId>) -> bool {
        match self {
            Self::Chef | Self::Deputy => site.is_none(),
            Self::Kitchen => site.is_some(),
            Self::Reader => true,
        }
    }

    /// The role of this name.
    pub fn parse(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|role| role.as_str() == name)
    }
}

impl fmt::Display for Role {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.as_str())
    }
}
