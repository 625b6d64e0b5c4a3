//! Where something is used, and who has it: what is asked when a supply is recalled.
//!
//! [`Client::where_used`](crate::Client::where_used) asks for every kitchen,
//! [`Replica::where_used`](crate::Replica::where_used) for its own. Both tell of all that was ever
//! in force, or will be, each with its time: what was made last month is asked for as well as what
//! is made now.

use std::collections::{BTreeMap, BTreeSet};

use chablon_model::{
    Deviation, DeviationId, Digest, DocumentContent, DocumentKey, DocumentKind, Entry, EntryBody,
    IngredientId, Moment, RecipeId, Revision, RevisionRef, SiteId, Standing, SupplierId, in_force,
};

/// What is looked for.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Sought {
    /// An ingredient, also as a part of a compound one.
    Ingredient(IngredientId),
    /// A recipe that others use.
    Component(RecipeId),
    /// Every ingredient that a supplier has a price for, in any list that was in force.
    Supplier(SupplierId),
}

/// A recipe that uses what is looked for, at one site, while it was or is in force there.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Use {
    /// The kitchen.
    pub site: SiteId,
    /// The recipe's revision.
    pub revision: RevisionRef,
    /// The way down to what is looked for, the recipe first and what is looked for last.
    pub path: Vec<DocumentKey>,
    /// The site's deviation by which it is used, where the standard doesn't use it.
    pub deviation: Option<DeviationId>,
    /// From when it is in force.
    pub from: Moment,
    /// Until when; nothing where nothing ends it yet.
    pub until: Option<Moment>,
}

impl Use {
    /// The recipe.
    pub fn recipe(&self) -> RecipeId {
        RecipeId::from(&self.revision.key.id)
    }

    /// Whether it is in force at some moment from one until before another.
    pub fn within(&self, from: Moment, until: Moment) -> bool {
        self.from < until && self.until.is_none_or(|end| end > from)
    }
}

/// A stretch of time in which a revision is in force.
struct Stretch {
    revision: RevisionRef,
    from: Moment,
    until: Option<Moment>,
}

/// The revisions of documents of these kinds that a site's entries ever put in force.
pub(crate) fn ever_in_force(entries: &[Entry]) -> BTreeSet<RevisionRef> {
    let kinds = [DocumentKind::Recipe, DocumentKind::Prices];
    stretches(entries, |key| kinds.contains(&key.kind)).map(|one| one.revision).collect()
}

fn stretches(
    entries: &[Entry],
    wanted: impl Fn(&DocumentKey) -> bool,
) -> impl Iterator<Item = Stretch> {
    let mut by_key: BTreeMap<DocumentKey, Vec<Entry>> = BTreeMap::new();
    for entry in entries {
        let mut put = |key: &DocumentKey| {
            if wanted(key) {
                by_key.entry(key.clone()).or_default().push(entry.clone());
            }
        };
        match &entry.body {
            EntryBody::Release(manifest) => manifest.items.iter().for_each(|item| put(&item.key)),
            EntryBody::Withdrawal(withdrawal) => put(&withdrawal.revision.key),
            EntryBody::Deviation(_) => {}
        }
    }
    by_key.into_iter().flat_map(|(key, entries)| stretches_of(&key, &entries))
}

/// When which revision of a document is in force, given all entries about it.
fn stretches_of(key: &DocumentKey, entries: &[Entry]) -> Vec<Stretch> {
    let moments: BTreeSet<Moment> = entries.iter().filter_map(begins).collect();
    let mut all: Vec<Stretch> = Vec::new();
    for at in moments {
        let revision = match in_force(entries, key, at) {
            Standing::InForce { revision, .. } => Some(revision),
            Standing::None | Standing::Stopped { .. } => None,
        };
        let open = all.last_mut().filter(|last| last.until.is_none());
        match (open, revision) {
            (Some(open), Some(revision)) if open.revision == *revision => continue,
            (Some(open), _) => open.until = Some(at),
            (None, _) => {}
        }
        all.extend(revision.map(|one| Stretch { revision: one.clone(), from: at, until: None }));
    }
    all
}

fn begins(entry: &Entry) -> Option<Moment> {
    match &entry.body {
        EntryBody::Release(manifest) => Some(manifest.holds_from),
        EntryBody::Withdrawal(withdrawal) => Some(withdrawal.holds_from),
        EntryBody::Deviation(_) => None,
    }
}

/// Everything that was ever in force somewhere, with all that it pins.
#[derive(Debug, Default)]
pub(crate) struct Shelf(BTreeMap<Digest, (RevisionRef, Revision)>);

impl Shelf {
    pub(crate) fn put(&mut self, reference: RevisionRef, revision: Revision) {
        self.0.insert(reference.digest, (reference, revision));
    }

    /// What is pinned by something here and isn't here.
    pub(crate) fn wanted(&self) -> Vec<RevisionRef> {
        let pins = self.0.values().flat_map(|(_, revision)| &revision.pins);
        let absent = pins.filter(|pin| !self.0.contains_key(&pin.digest));
        absent.cloned().collect::<BTreeSet<_>>().into_iter().collect()
    }

    pub(crate) fn has(&self, reference: &RevisionRef) -> bool {
        self.0.contains_key(&reference.digest)
    }

    /// The documents that are looked for.
    pub(crate) fn keys(&self, sought: &Sought) -> BTreeSet<DocumentKey> {
        match sought {
            Sought::Ingredient(id) => [id.into()].into(),
            Sought::Component(id) => [id.into()].into(),
            Sought::Supplier(supplier) => {
                let lists = self.0.values().filter_map(|(_, revision)| match &revision.content {
                    DocumentContent::Prices(list) => Some(&list.prices),
                    _ => None,
                });
                let theirs =
                    lists.flatten().filter(|price| price.supplier.as_ref() == Some(supplier));
                theirs.map(|price| (&price.ingredient).into()).collect()
            }
        }
    }

    /// The shortest way down from a revision to one of some documents, itself left out.
    fn way(&self, from: &RevisionRef, keys: &BTreeSet<DocumentKey>) -> Option<Vec<DocumentKey>> {
        let mut ahead = std::collections::VecDeque::from([(from, vec![from.key.clone()])]);
        let mut seen = BTreeSet::from([from.digest]);
        while let Some((at, path)) = ahead.pop_front() {
            if path.len() > 1 && keys.contains(&at.key) {
                return Some(path);
            }
            let pins = self.0.get(&at.digest).map(|(_, revision)| &revision.pins[..]);
            for pin in pins.unwrap_or_default() {
                if seen.insert(pin.digest) {
                    let path = path.iter().cloned().chain([pin.key.clone()]).collect();
                    ahead.push_back((pin, path));
                }
            }
        }
        None
    }

    /// Whether a revision is another one or uses it.
    pub(crate) fn reaches(&self, from: &RevisionRef, other: &RevisionRef) -> bool {
        let mut ahead = vec![from];
        let mut seen = BTreeSet::new();
        while let Some(at) = ahead.pop() {
            if at.digest == other.digest {
                return true;
            }
            if seen.insert(at.digest) {
                ahead.extend(self.0.get(&at.digest).iter().flat_map(|(_, one)| &one.pins));
            }
        }
        false
    }

    /// Where one site uses some documents.
    pub(crate) fn uses(
        &self,
        site: &SiteId,
        entries: &[Entry],
        keys: &BTreeSet<DocumentKey>,
    ) -> Vec<Use> {
        let recipes: Vec<Stretch> =
            stretches(entries, |key| key.kind == DocumentKind::Recipe).collect();
        let mut uses: Vec<Use> = Vec::new();
        for Stretch { revision, from, until } in &recipes {
            if let Some(path) = self.way(revision, keys) {
                let (site, revision) = (site.clone(), revision.clone());
                let (from, until) = (*from, *until);
                uses.push(Use { site, revision, path, deviation: None, from, until });
            }
        }
        for (deviation, from, until) in granted(entries) {
            uses.extend(self.by_deviation(deviation, (from, until), &recipes, keys));
        }
        uses
    }

    /// What uses some documents by a deviation alone: what it is of, and all that uses that.
    fn by_deviation(
        &self,
        deviation: &Deviation,
        (from, until): (Moment, Moment),
        recipes: &[Stretch],
        keys: &BTreeSet<DocumentKey>,
    ) -> Vec<Use> {
        let taken = deviation.substitutes().map(DocumentKey::from).find(|key| keys.contains(key));
        let Some(taken) = taken else { return Vec::new() };
        let over = recipes.iter().filter(|one| self.reaches(&one.revision, &deviation.based_on));
        let both = over.filter_map(|one| {
            let start = one.from.max(from);
            let end = one.until.map_or(until, |end| end.min(until));
            let own = [deviation.based_on.key.clone()].into();
            let way = self.way(&one.revision, &own);
            let path = way.unwrap_or_else(|| vec![one.revision.key.clone()]);
            (start < end).then(|| Use {
                site: deviation.site.clone(),
                revision: one.revision.clone(),
                path: path.into_iter().chain([taken.clone()]).collect(),
                deviation: Some(deviation.id.clone()),
                from: start,
                until: Some(end),
            })
        });
        both.collect()
    }
}

/// The grants of a site, each with the time for which it counted: until it was decided anew.
fn granted(entries: &[Entry]) -> Vec<(&Deviation, Moment, Moment)> {
    let mut in_order: Vec<&Entry> = entries.iter().collect();
    in_order.sort_by_key(|entry| entry.position);
    let decisions: Vec<&Deviation> = in_order
        .into_iter()
        .filter_map(|entry| match &entry.body {
            EntryBody::Deviation(deviation) => Some(deviation),
            _ => None,
        })
        .collect();
    let mut all = Vec::new();
    for (index, deviation) in decisions.iter().enumerate() {
        let Some(grant) = deviation.decision.granted() else { continue };
        let mut later = decisions[index + 1..].iter().filter(|one| one.id == deviation.id);
        let anew = later.find_map(|one| one.decision.at()).unwrap_or(deviation.until);
        all.push((*deviation, deviation.from.max(grant.at), deviation.until.min(anew)));
    }
    all
}
