//! Releases: manifests and audiences.

use std::collections::BTreeMap;

use chablon_model::{Audience, DocumentKey, Manifest, Moment, ReleaseId, SiteId};
use prost::Message;

use crate::bytes::{self, SCHEMA_VERSION, SITE_MOMENTS};
use crate::common::moment;
use crate::form::{Wire, collect, list, parsed, required, sorted, to_list, words};
use crate::{At, Violation, WireError, pb};

/// What manifests are called in messages.
const WHAT: &str = "a release manifest";

/// The most parts of a release.
pub const MAX_PARTS: u32 = 1000;

/// The bytes of a manifest: equal manifests give equal bytes.
///
/// A value that breaks a rule of the schema gives bytes that [`decode_manifest`] refuses.
pub fn encode_manifest(manifest: &Manifest) -> Vec<u8> {
    let form = pb::ReleaseManifest {
        schema_version: SCHEMA_VERSION,
        required_features: required_features(manifest),
        release_id: manifest.release.to_string(),
        part: manifest.part,
        part_count: manifest.part_count,
        audience: Some(manifest.audience.to_pb()),
        items: to_list(&manifest.items),
        holds_from_ms: manifest.holds_from.0,
        note: manifest.note.clone(),
        author: manifest.author.clone(),
        at_sites: manifest.at_sites.iter().map(site_moment).collect(),
    };
    form.encode_to_vec()
}

/// The manifest that the bytes hold, if they keep all rules of the schema.
pub fn decode_manifest(bytes: &[u8]) -> Result<Manifest, WireError> {
    Ok(from_pb(bytes::decode(bytes, WHAT)?)?)
}

fn from_pb(form: pb::ReleaseManifest) -> Result<Manifest, Violation> {
    let release: ReleaseId = parsed(&form.release_id).at("release_id")?;
    check_part(form.part, form.part_count)?;
    let manifest = Manifest {
        release,
        part: form.part,
        part_count: form.part_count,
        audience: required(form.audience, "audience")?,
        holds_from: moment(form.holds_from_ms).at("holds_from_ms")?,
        items: list(form.items, "items")?,
        note: words(form.note, "note")?,
        author: words(form.author, "author")?,
        at_sites: site_moments(form.at_sites, &form.required_features)?,
    };
    if manifest.items.is_empty() {
        return Err(Violation::required().at("items"));
    }
    let documents: Vec<&DocumentKey> = manifest.items.iter().map(|item| &item.key).collect();
    sorted(&documents, "items")?;
    Ok(manifest)
}

/// Whoever passed over the sites' moments would be wrong about what is in force, so none may.
fn required_features(manifest: &Manifest) -> Vec<String> {
    let any = (!manifest.at_sites.is_empty()).then(|| SITE_MOMENTS.to_owned());
    any.into_iter().collect()
}

fn site_moment((site, at): (&SiteId, &Moment)) -> pb::SiteMoment {
    pb::SiteMoment { site: site.to_string(), holds_from_ms: at.0 }
}

fn site_moments(
    moments: Vec<pb::SiteMoment>,
    features: &[String],
) -> Result<BTreeMap<SiteId, Moment>, Violation> {
    if moments.is_empty() == features.iter().any(|feature| feature == SITE_MOMENTS) {
        let reason =
            format!("must name `{SITE_MOMENTS}` where `at_sites` is given, and only there");
        return Err(Violation::new(reason).at("required_features"));
    }
    let sites: Vec<&str> = moments.iter().map(|one| one.site.as_str()).collect();
    sorted(&sites, "at_sites")?;
    let moments = collect(moments, "at_sites", |one| {
        let site: SiteId = parsed(&one.site).at("site")?;
        Ok((site, moment(one.holds_from_ms).at("holds_from_ms")?))
    })?;
    Ok(moments.into_iter().collect())
}

fn check_part(part: u32, count: u32) -> Result<(), Violation> {
    if !(1..=MAX_PARTS).contains(&count) {
        return Err(Violation::new(format!("must be 1 to {MAX_PARTS}")).at("part_count"));
    }
    if !(1..=count).contains(&part) {
        return Err(Violation::new(format!("must be 1 to `part_count`, {count}")).at("part"));
    }
    Ok(())
}

impl Wire for Audience {
    type Pb = pb::Audience;

    fn to_pb(&self) -> pb::Audience {
        let addressed = match self {
            Self::All => pb::audience::Addressed::Everyone(pb::Everyone {}),
            Self::Of { groups, sites } => pb::audience::Addressed::Addressees(pb::Addressees {
                groups: groups.iter().map(ToString::to_string).collect(),
                sites: sites.iter().map(ToString::to_string).collect(),
            }),
        };
        pb::Audience { addressed: Some(addressed) }
    }

    fn from_pb(audience: pb::Audience) -> Result<Self, Violation> {
        match audience.addressed.ok_or_else(Violation::required)? {
            pb::audience::Addressed::Everyone(pb::Everyone {}) => Ok(Self::All),
            pb::audience::Addressed::Addressees(addressees) => {
                self::addressees(addressees).at("addressees")
            }
        }
    }
}

fn addressees(addressees: pb::Addressees) -> Result<Audience, Violation> {
    let pb::Addressees { groups, sites } = addressees;
    if groups.is_empty() && sites.is_empty() {
        return Err(Violation::new("names neither a group nor a site"));
    }
    sorted(&groups, "groups")?;
    sorted(&sites, "sites")?;
    let groups = collect(groups, "groups", |id| parsed(&id))?;
    let sites = collect(sites, "sites", |id| parsed(&id))?;
    Ok(Audience::Of { groups: groups.into_iter().collect(), sites: sites.into_iter().collect() })
}
