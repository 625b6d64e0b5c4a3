//! What a law asks to be declared, out of what is known.
//!
//! A law is a table of [`Rule`]s, one module each; a new one is a table and a variant of [`Law`].

mod codex;
mod eu;
mod us;

use chablon_model::{Allergen, AllergenState};

use super::States;

/// A law, or a standard that laws follow.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Law {
    /// Annex II to Regulation (EU) No 1169/2011.
    Eu,
    /// The major food allergens of the United States.
    Us,
    /// Codex CXS 1-1985, section 4.2.1.4, as it stood before its revision of 2024.
    CodexBefore2024,
    /// Codex CXS 1-1985 since its revision of 2024. The wording is from memory: check it before
    /// use.
    Codex2024,
}

/// One thing that a law asks to be declared.
#[derive(Debug)]
pub struct Rule {
    /// What the law calls it.
    pub name: &'static str,
    /// The code of its group.
    pub group: &'static str,
    /// Whether what is said of the group itself counts, beside the kinds.
    pub whole_group: bool,
    /// The kinds of the group that count, by code, with what the law calls each.
    pub kinds: &'static [(&'static str, &'static str)],
    /// Whether kinds, or species where a book has no codes for them, are named singly.
    pub named_singly: bool,
    /// What doesn't count although it comes from it. The stated state decides; this is what an
    /// author checks it against.
    pub exempt: &'static [&'static str],
    /// Whether every country that follows the standard must ask for it.
    pub everywhere: bool,
    /// What else to know.
    pub note: Option<&'static str>,
}

impl Rule {
    /// A group without kinds of its own.
    const fn group(name: &'static str, group: &'static str) -> Self {
        Self {
            name,
            group,
            whole_group: true,
            kinds: &[],
            named_singly: false,
            exempt: &[],
            everywhere: true,
            note: None,
        }
    }
}

/// What a recipe declares under one rule.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ViewEntry {
    /// What the law calls it.
    pub name: &'static str,
    /// The worst state of all that counts.
    pub state: AllergenState,
    /// The codes to name with this state: kinds where they are named singly and known, else the
    /// group.
    pub named: Vec<NamedAllergen>,
    /// Whether something is contained that must be named singly, and no kind of it is known.
    pub unnamed: bool,
    /// Whether every country that follows the standard asks for it.
    pub everywhere: bool,
    /// What else to know.
    pub note: Option<&'static str>,
}

/// A code as a law calls it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NamedAllergen {
    /// The code.
    pub allergen: Allergen,
    /// What the law calls it.
    pub name: &'static str,
}

impl Law {
    /// Every one.
    pub const ALL: [Self; 4] = [Self::Eu, Self::Us, Self::CodexBefore2024, Self::Codex2024];

    /// A short name.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Eu => "eu",
            Self::Us => "us",
            Self::CodexBefore2024 => "codex-before-2024",
            Self::Codex2024 => "codex-2024",
        }
    }

    /// What it asks for, in its own order.
    pub fn rules(self) -> &'static [Rule] {
        match self {
            Self::Eu => eu::RULES,
            Self::Us => us::RULES,
            Self::CodexBefore2024 => codex::BEFORE_2024,
            Self::Codex2024 => codex::SINCE_2024,
        }
    }

    /// Where its table is from.
    pub fn source(self) -> &'static str {
        match self {
            Self::Eu => eu::SOURCE,
            Self::Us => us::SOURCE,
            Self::CodexBefore2024 => codex::SOURCE_BEFORE_2024,
            Self::Codex2024 => codex::SOURCE_SINCE_2024,
        }
    }

    /// What it makes of these states.
    pub fn view(self, states: &States) -> Vec<ViewEntry> {
        self.rules().iter().map(|rule| entry(rule, states)).collect()
    }

    /// What it asks for and nobody knows: groups, and kinds of a group that is otherwise known.
    pub fn unknown(self, states: &States) -> Vec<Allergen> {
        let of_rule = |rule: &Rule| -> Vec<Allergen> {
            let group = code(rule.group);
            // A kind that the law doesn't count may be contained, and hide what is unknown.
            let states = [entry(rule, states).state, states.of(&group)];
            let kinds = rule.kinds.iter().map(|(kind, _)| code(kind));
            let nothing_known = states == [AllergenState::Unknown; 2];
            if nothing_known { vec![group] } else { kinds.collect() }
        };
        let asked = self.rules().iter().flat_map(of_rule);
        asked.filter(|code| states.of(code) == AllergenState::Unknown).collect()
    }
}

fn code(code: &'static str) -> Allergen {
    code.parse().expect("a rule has the model's codes")
}

fn entry(rule: &Rule, states: &States) -> ViewEntry {
    let group = code(rule.group);
    // A group without codes for its kinds is all that is known of it.
    let own = if rule.kinds.is_empty() { states.of(&group) } else { states.own(&group) };
    let own = if rule.whole_group { own } else { AllergenState::Free };
    let of_kinds = rule.kinds.iter().map(|(kind, _)| states.of(&code(kind)));
    let state = of_kinds.fold(own, AllergenState::max);
    let named = named(rule, states, own, state);
    let only_group = !named.iter().any(|one| one.allergen != group);
    let unnamed = state == AllergenState::Contains && rule.named_singly && only_group;
    let (name, everywhere, note) = (rule.name, rule.everywhere, rule.note);
    ViewEntry { name, state, named, unnamed, everywhere, note }
}

/// What to name: the kinds with the state. Traces, or ignorance, of a group as such are those of
/// the group and not of each of its kinds.
fn named(
    rule: &Rule,
    states: &States,
    own: AllergenState,
    state: AllergenState,
) -> Vec<NamedAllergen> {
    let whole = NamedAllergen { allergen: code(rule.group), name: rule.name };
    if state == AllergenState::Free {
        return Vec::new();
    }
    let as_such = own == state && state != AllergenState::Contains;
    let kinds = rule.kinds.iter().map(|(kind, name)| NamedAllergen { allergen: code(kind), name });
    let with_state = |one: &NamedAllergen| states.of(&one.allergen) == state;
    let kinds: Vec<_> = if as_such { Vec::new() } else { kinds.filter(with_state).collect() };
    if kinds.is_empty() { vec![whole] } else { kinds }
}

#[cfg(test)]
mod tests {
    use chablon_model::Ingredient;

    use super::*;

    #[test]
    fn a_rule_that_lists_no_kinds_counts_all_of_them() {
        let almond = Ingredient {
            id: "almond".parse().expect("an id"),
            name: chablon_model::Text::default(),
            label_name: chablon_model::Text::default(),
            density: None,
            piece_mass: None,
            edible_yield: None,
            allergens: [(code("nuts.almond"), AllergenState::Contains)].into(),
            other_allergens: Some(AllergenState::Free),
            content: chablon_model::Content::default(),
            details: chablon_model::Details::default(),
            made_of: Vec::new(),
            note: None,
        };
        let states = States::of_ingredient(&almond);
        assert_eq!(entry(&Rule::group("nuts", "nuts"), &states).state, AllergenState::Contains);
        let own_alone = Rule { kinds: &[("nuts.pecan", "pecan")], ..Rule::group("nuts", "nuts") };
        assert_eq!(entry(&own_alone, &states).state, AllergenState::Free);
    }
}
