//! How much a change weighs, and what follows from that.

use std::fmt;

/// How much a change weighs; the heavier is the greater.
///
/// The class of several changes is that of the heaviest, so that another change never makes it
/// lighter. What each asks for, unless the group's own rule asks for more:
///
/// | class | what it is | reviewers beside the author | what a kitchen does |
/// | --- | --- | --- | --- |
/// | safety | an allergen's state, a critical limit, how a result is kept, or that any of it can't be told | 2 | stops, confirms before the next batch, looks at what is made and labelled already |
/// | recipe | what is weighed, done or yielded, or what a label states | 1 | makes by it from the next batch |
/// | cost | what it costs | 1 | nothing at the bench |
/// | text | wording, translation, order of a list | 0 | nothing |
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

    /// How many look at it beside its author, where the group has no rule of its own.
    pub fn reviewers(self) -> usize {
        match self {
            Self::Safety => 2,
            Self::Recipe | Self::Cost => 1,
            Self::Text => 0,
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
