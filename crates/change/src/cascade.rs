//! What stands above a change, and what is released together.

use std::collections::{BTreeMap, BTreeSet, VecDeque};
use std::fmt;

use chablon_model::{DocumentKey, DocumentKind, RecipeId};

use crate::Edition;

/// Everything above documents that change: what uses them, what uses that, up to the finished
/// pieces.
///
/// A recipe pins the revisions of all that it uses, so a change reaches it only by a new revision
/// of its own, although it says the same.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Cascade {
    /// The ingredients and recipes that change, themselves among what is above them.
    changed: BTreeMap<DocumentKey, Above>,
    /// All of it in one.
    reached: BTreeSet<DocumentKey>,
    finished: BTreeSet<RecipeId>,
}

/// What stands above one document.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
struct Above {
    /// For each of them, what it uses on the shortest way down.
    down: BTreeMap<DocumentKey, DocumentKey>,
}

/// The way from a document down to one that changes.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Route {
    /// From the user at the top to the document that changes; that one alone where it changes
    /// itself.
    pub path: Vec<DocumentKey>,
}

impl fmt::Display for Route {
    /// `pear-buckwheat-entremet -> honey-bavarois -> creme-anglaise`
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let ids: Vec<&str> = self.path.iter().map(|key| key.id.as_str()).collect();
        f.write_str(&ids.join(" -> "))
    }
}

impl Cascade {
    /// What stands in an edition above documents that change.
    pub fn above(edition: &Edition<'_>, changed: impl IntoIterator<Item = DocumentKey>) -> Self {
        let pinned = edition.uses();
        let users = users(&pinned);
        let of = |key: DocumentKey| {
            let above = Above { down: walk_up(&users, &key) };
            (key, above)
        };
        let changed = changed.into_iter().filter(has_users).map(of).collect();
        Self::new(changed, edition.finished().into_iter().cloned().collect())
    }

    fn new(changed: BTreeMap<DocumentKey, Above>, finished: BTreeSet<RecipeId>) -> Self {
        let above = changed.values().flat_map(|above| above.down.keys());
        let reached = above.chain(changed.keys()).cloned().collect();
        Self { changed, reached, finished }
    }

    /// What stands above the documents that two editions have otherwise, in either of them: a
    /// component that a piece no longer takes has changed that piece as well.
    pub fn between(old: &Edition<'_>, new: &Edition<'_>) -> Self {
        let ingredients =
            crate::edition::both(crate::Pair::new(&old.ingredients, &new.ingredients));
        let ingredients = ingredients.into_iter().filter(|(_, one)| one.before != one.after);
        let recipes = crate::edition::both(crate::Pair::new(&old.recipes, &new.recipes));
        let recipes = recipes.into_iter().filter(|(_, one)| one.before != one.after);
        let changed: BTreeSet<DocumentKey> =
            ingredients.map(|(id, _)| id.into()).chain(recipes.map(|(id, _)| id.into())).collect();
        let mut cascade = Self::above(new, changed.clone());
        let before = Self::above(old, changed);
        cascade.finished.extend(before.finished);
        for (key, above) in before.changed {
            let known = &mut cascade.changed.entry(key).or_default().down;
            for (user, used) in above.down {
                known.entry(user).or_insert(used);
            }
        }
        Self::new(cascade.changed, cascade.finished)
    }

    /// The ingredients and recipes that change.
    pub fn changed(&self) -> impl Iterator<Item = &DocumentKey> {
        self.changed.keys()
    }

    /// Whether a document changes or stands above one that does.
    pub fn reaches(&self, key: &DocumentKey) -> bool {
        self.reached.contains(key)
    }

    /// Every recipe and compound ingredient above the documents that change, with a shortest way
    /// to each of those.
    pub fn affected(&self) -> BTreeMap<&DocumentKey, Vec<Route>> {
        let mut affected: BTreeMap<&DocumentKey, Vec<Route>> = BTreeMap::new();
        for (changed, above) in &self.changed {
            for user in above.down.keys() {
                affected.entry(user).or_default().push(above.route(user, changed));
            }
        }
        affected
    }

    /// The finished pieces that a document is in, with a shortest way down to it.
    pub fn pieces_of(&self, changed: &DocumentKey) -> Vec<Route> {
        let Some(above) = self.changed.get(changed) else { return Vec::new() };
        let all = above.down.keys().chain([changed]);
        let finished = all.filter(|key| self.is_finished(key));
        finished.map(|key| above.route(key, changed)).collect()
    }

    /// Whether a document is a recipe that no other uses.
    pub fn is_finished(&self, key: &DocumentKey) -> bool {
        key.kind == DocumentKind::Recipe && self.finished.contains(&RecipeId::from(&key.id))
    }

    /// What must be released together: each change with everything above it. Changes that share
    /// something above them share a set; different sets may go in different releases.
    pub fn together(&self) -> Vec<BTreeSet<DocumentKey>> {
        let mut sets: Vec<BTreeSet<DocumentKey>> = Vec::new();
        for (changed, above) in &self.changed {
            let mut own: BTreeSet<DocumentKey> = above.down.keys().cloned().collect();
            own.insert(changed.clone());
            let (shared, others) = sets.into_iter().partition(|set| !set.is_disjoint(&own));
            sets = others;
            own.extend(Vec::into_iter(shared).flatten());
            sets.push(own);
        }
        sets.sort();
        sets
    }
}

impl Above {
    fn route(&self, from: &DocumentKey, changed: &DocumentKey) -> Route {
        let mut path = vec![from.clone()];
        let mut at = from;
        while let Some(used) = self.down.get(at).filter(|_| at != changed) {
            path.push(used.clone());
            at = used;
        }
        Route { path }
    }
}

/// Whether a document of this kind is pinned by others.
fn has_users(key: &DocumentKey) -> bool {
    matches!(key.kind, DocumentKind::Ingredient | DocumentKind::Recipe)
}

type Users<'a> = BTreeMap<&'a DocumentKey, Vec<&'a DocumentKey>>;

fn users(pinned: &BTreeMap<DocumentKey, BTreeSet<DocumentKey>>) -> Users<'_> {
    let mut users: Users<'_> = BTreeMap::new();
    for (user, used) in pinned {
        for one in used {
            users.entry(one).or_default().push(user);
        }
    }
    users
}

/// Everything above a document, level by level, with what each uses on the way down.
fn walk_up(users: &Users<'_>, from: &DocumentKey) -> BTreeMap<DocumentKey, DocumentKey> {
    let mut down = BTreeMap::new();
    let mut waiting = VecDeque::from([from]);
    while let Some(used) = waiting.pop_front() {
        for user in users.get(used).into_iter().flatten().copied() {
            if user != from && !down.contains_key(user) {
                down.insert(user.clone(), used.clone());
                waiting.push_back(user);
            }
        }
    }
    down
}
