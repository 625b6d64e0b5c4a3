//! Sites: what a kitchen weighs and makes with, and how releases address it.

use chablon_model::{Equipment, GroupId, Scale, Site};

use super::settings::name_change;
use super::sink::Sink;
use crate::matching::{Pairing, differ};
use crate::{Pair, SiteChange, What, sense};

pub(super) fn compare(sites: Pair<&Site>, sink: &mut Sink<'_>) {
    let Pair { before, after } = sites;
    let Site { id: _, name, groups, time_zone, language, label, currency, .. } = after;
    let Site { labour_rate, scales, equipment, .. } = after;
    sink.add(name_change(&before.name, name));
    let changes = [
        Pair::changed(sorted(&before.groups), sorted(groups)).map(SiteChange::Groups),
        Pair::changed(before.time_zone.clone(), time_zone.clone()).map(SiteChange::TimeZone),
        Pair::changed(before.language.clone(), language.clone()).map(SiteChange::Language),
        Pair::changed(before.label, *label).map(SiteChange::Label),
        Pair::changed(before.currency, *currency).map(SiteChange::Currency),
        rate(before, after)
            .then(|| SiteChange::LabourRate(Pair::new(before.labour_rate, *labour_rate))),
    ];
    changes.into_iter().flatten().for_each(|change| sink.add(What::Site(change)));
    compare_scales(Pair::new(&before.scales[..], scales), sink);
    compare_equipment(Pair::new(&before.equipment[..], equipment), sink);
}

/// Groups, whose order means nothing.
fn sorted(groups: &[GroupId]) -> Vec<GroupId> {
    let mut groups = groups.to_vec();
    groups.sort();
    groups
}

/// Whether an hour of labour costs otherwise.
fn rate(before: &Site, after: &Site) -> bool {
    let hour = |site: &Site| site.labour_rate.map(|rate| sense::money(&rate.0));
    hour(before) != hour(after)
}

fn compare_scales(scales: Pair<&[Scale]>, sink: &mut Sink<'_>) {
    let named = |scale: &'_ Scale| Some(scale.name.clone());
    let pairs = Pairing::of(scales).by_key(|one| Some(sense::scale(one))).by_key(named);
    for scale in pairs.items().filter(|scale| differ(scale, sense::scale)) {
        sink.add(What::Site(SiteChange::Scale(scale.map(Option::<&Scale>::cloned))));
    }
}

fn compare_equipment(equipment: Pair<&[Equipment]>, sink: &mut Sink<'_>) {
    let class = |one: &'_ Equipment| Some(one.class.clone());
    let pairs = Pairing::of(equipment).by_key(|one| Some(sense::equipment(one))).by_key(class);
    for one in pairs.items().filter(|one| differ(one, sense::equipment)) {
        sink.add(What::Site(SiteChange::Equipment(one.map(Option::<&Equipment>::cloned))));
    }
}
