//! Whom a release or a withdrawal addresses, and from when.

use std::collections::BTreeSet;

use chablon_model::{Audience, IdError, Moment};
use clap::Args;

use crate::clock::{self, parse_moment};

/// What releases and withdrawals have in common.
#[derive(Debug, Args)]
pub(crate) struct AddressArguments {
    /// Only these: group:pilot,site:harbour; every kitchen if not given
    #[arg(long, value_name = "WHOM", value_parser = parse_audience)]
    to: Option<Audience>,
    /// The moment from which it holds; now if not given
    #[arg(long, value_name = "MOMENT", value_parser = parse_moment)]
    from: Option<Moment>,
    /// Who signs it, as kitchens read it
    #[arg(long, value_name = "NAME", env = "CHABLON_AUTHOR", default_value = "group pastry chef")]
    pub(crate) author: String,
    /// Don't ask
    #[arg(long, conflicts_with = "dry_run")]
    pub(crate) yes: bool,
    /// Show what would be sent, and send nothing
    #[arg(long)]
    pub(crate) dry_run: bool,
}

/// Whether to ask before something is sent.
#[derive(Debug, Args)]
pub(crate) struct SendArguments {
    /// Don't ask
    #[arg(long, conflicts_with = "dry_run")]
    pub(crate) yes: bool,
    /// Show what would be sent, and send nothing
    #[arg(long)]
    pub(crate) dry_run: bool,
}

impl AddressArguments {
    /// Whom it addresses.
    pub(crate) fn audience(&self) -> Audience {
        self.to.clone().unwrap_or(Audience::All)
    }

    /// From when it holds.
    pub(crate) fn holds_from(&self) -> Moment {
        self.from.unwrap_or_else(clock::now)
    }
}

fn parse_audience(text: &str) -> Result<Audience, String> {
    let (mut groups, mut sites) = (BTreeSet::new(), BTreeSet::new());
    let wrong = |error: IdError| error.to_string();
    for one in text.split(',').map(str::trim) {
        match one.split_once(':') {
            Some(("group", id)) => groups.insert(id.parse().map_err(wrong)?),
            Some(("site", id)) => sites.insert(id.parse().map_err(wrong)?),
            _ => {
                return Err(format!(
                    "`{one}` is neither a group nor a site; write group:pilot or site:harbour"
                ));
            }
        };
    }
    Ok(Audience::Of { groups, sites })
}

/// An audience for people.
pub(crate) fn show_audience(audience: &Audience) -> String {
    let Audience::Of { groups, sites } = audience else { return "every kitchen".to_owned() };
    let groups = groups.iter().map(|group| format!("group {group}"));
    groups.chain(sites.iter().map(ToString::to_string)).collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn groups_and_sites_may_be_mixed() {
        let audience = parse_audience("group:pilot, site:harbour").unwrap();
        assert_eq!(show_audience(&audience), "group pilot, harbour");
    }

    #[test]
    fn a_bare_name_is_refused() {
        assert!(parse_audience("pilot").unwrap_err().contains("group:pilot"));
    }
}
