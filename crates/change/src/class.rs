//! How much a change weighs, and what follows from that.

use std::fmt;

use chablon_model::ReviewRule;

/// How much a change weighs; the heavier is the greater.
///
/// The class of several changes is that of the heaviest, so that another change never makes it
/// lighter. How many others look at it is for the group's rule to say
/// ([`reviewers`](Self::reviewers)). What a kitchen does:
///
/// | class | what it is | what a kitchen does |
/// | --- | --- | --- |
/// | safety | an allergen's state, a critical limit, how a result is kept, that any of it can't be told, or the rule by which others look at it | stops, confirms before the next batch, looks at what is made and labelled already |
/// | recipe | what is weighed, done or yielded, or what a label states | makes by it from the next batch |
/// | cost | what it costs | nothing at the bench |
/// | text | wording, translation, order of a list | nothing |
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Class {
    /// Wording alone.
    Text,
    /// What it costs.
    Cost,
    /// What is weighed, done, yielded or labelled.
    Recipe,
    /// What can hurt someone.
    Safety,
}

/// What a kitchen does when a change reaches it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Reaction {
    /// Nothing at the bench.
    Nothing,
    /// It makes by the change from the next batch.
    FromNextBatch,
    /// It stops, confirms the change before the next batch, and looks at what is made and
    /// labelled already.
    BeforeNextBatch,
}

impl Class {
    /// Every class, the heaviest first.
    pub const ALL: [Self; 4] = [Self::Safety, Self::Recipe, Self::Cost, Self::Text];

    /// The class's name.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Safety => "safety",
            Self::Recipe => "recipe",
            Self::Cost => "cost",
            Self::Text => "text",
        }
    }

    /// The class of this name.
    pub fn parse(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|class| class.as_str() == name)
    }

    /// How many look at it beside its author, by a group's rule.
    pub fn reviewers(self, rule: &ReviewRule) -> u32 {
        match self {
            Self::Safety => rule.safety,
            Self::Recipe => rule.recipe,
            Self::Cost => rule.cost,
            Self::Text => rule.text,
        }
    }

    /// What a kitchen does when it reaches it.
    pub fn reaction(self) -> Reaction {
        match self {
            Self::Safety => Reaction::BeforeNextBatch,
            Self::Recipe => Reaction::FromNextBatch,
            Self::Cost | Self::Text => Reaction::Nothing,
        }
    }
}

impl fmt::Display for Class {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.as_str())
    }
}
