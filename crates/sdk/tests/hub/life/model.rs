//! What should be in force, by what the chef and the kitchens did.

use std::collections::BTreeMap;

use chablon_sdk::model::{DeviationId, DocumentKind, Moment, RevisionRef};

use super::RECIPES;

/// What a site should make of a recipe.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Right {
    Nothing,
    None,
    Revision(u32),
}

#[derive(Debug)]
pub(super) enum Fact {
    Released { recipe: &'static str, number: u32 },
    Withdrawn { recipe: &'static str, number: u32, to: Option<u32> },
}

/// When it was made, from when until when it holds, and over which revision; a refusal holds for no
/// time.
pub(super) type Decided = (Moment, Moment, Moment, u32);

/// What the chef and the kitchens did, in order.
#[derive(Debug, Default)]
pub(super) struct Model {
    /// From when at each site, whether to the pilot alone, and what.
    pub(super) facts: Vec<([Moment; 2], bool, Fact)>,
    /// By name: the site, and each decision in order.
    pub(super) decisions: BTreeMap<DeviationId, (usize, Vec<Decided>)>,
}

impl Model {
    fn concerns(pilot: bool, at_site: usize) -> bool {
        !pilot || at_site == 0
    }

    /// A revision is released, from when at each site.
    pub(super) fn released(&mut self, revision: &RevisionRef, from: [Moment; 2], pilot: bool) {
        let (key, number) = (&revision.key, revision.number);
        let named = RECIPES.into_iter().find(|one| *one == key.id.as_str());
        if let Some(recipe) = named.filter(|_| key.kind == DocumentKind::Recipe) {
            self.facts.push((from, pilot, Fact::Released { recipe, number }));
        }
    }

    pub(super) fn right(&self, at_site: usize, recipe: &str, at: Moment) -> Right {
        let mut best: Option<(Moment, usize, u32)> = None;
        for (index, (from, pilot, fact)) in self.facts.iter().enumerate() {
            let Fact::Released { recipe: of, number } = fact else { continue };
            let from = &from[at_site];
            let counts = *of == recipe && *from <= at && Self::concerns(*pilot, at_site);
            if counts && best.is_none_or(|(since, _, _)| since <= *from) {
                best = Some((*from, index, *number));
            }
        }
        let Some((_, mut seen, mut number)) = best else { return Right::Nothing };
        loop {
            let mut taken = None;
            for (index, (from, pilot, fact)) in self.facts.iter().enumerate().skip(seen + 1) {
                let Fact::Withdrawn { recipe: of, number: what, to } = fact else { continue };
                let counts =
                    *of == recipe && from[at_site] <= at && Self::concerns(*pilot, at_site);
                if counts && *what == number {
                    taken = Some((index, *to));
                }
            }
            match taken {
                None => return Right::Revision(number),
                Some((_, None)) => return Right::None,
                Some((index, Some(back))) => (seen, number) = (index, back),
            }
        }
    }

    /// The deviation that lies over a revision of the custard: of several the one that was granted
    /// first, for all depart in one line.
    pub(super) fn laid(&self, at_site: usize, number: u32, at: Moment) -> Vec<DeviationId> {
        let last = self.decisions.iter().filter(|(_, (site, _))| *site == at_site);
        let last = last.filter_map(|(id, (_, all))| {
            Some((id, all.iter().rfind(|(decided, ..)| *decided <= at)?))
        });
        let mut holding: Vec<_> = last
            .filter(|(_, (_, from, until, over))| *from <= at && at < *until && *over == number)
            .map(|(id, (decided, ..))| (*decided, id.clone()))
            .collect();
        holding.sort();
        holding.into_iter().take(1).map(|(_, id)| id).collect()
    }
}
