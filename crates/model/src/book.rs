//! A group's settings.

use chablon_quantity::Currency;

use crate::{ControlSettings, Language, Role};

/// What holds for the whole group.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Book {
    /// The group's name.
    pub name: String,
    /// The currency of a site that names none.
    pub currency: Currency,
    /// The book's languages; the first is the fallback. Never empty.
    pub languages: Vec<Language>,
    /// The label regimes that the group declares under.
    pub labels: Vec<LabelRegime>,
    /// The group's food-safety plan.
    pub control: ControlSettings,
    /// How the group looks at changes before they are released, where it says so.
    pub review: Option<ReviewRule>,
}

impl Book {
    /// The language that is used where a text lacks the one asked for.
    ///
    /// # Panics
    /// Where the list is empty, which reading a book or a revision refuses.
    pub fn fallback_language(&self) -> &Language {
        self.languages.first().expect("a book names at least one language")
    }

    /// How the group looks at changes: what it says, or what holds where it says nothing.
    pub fn review_rule(&self) -> ReviewRule {
        self.review.clone().unwrap_or_default()
    }
}

/// A set of labelling rules.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LabelRegime {
    /// Regulation (EU) No 1169/2011.
    Eu,
    /// 21 CFR 101.9.
    Us,
}

impl LabelRegime {
    /// Every regime.
    pub const ALL: [Self; 2] = [Self::Eu, Self::Us];

    /// The regime's name in a book.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Eu => "eu",
            Self::Us => "us",
        }
    }

    /// The regime of this name.
    pub fn parse(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|regime| regime.as_str() == name)
    }
}

/// How a group looks at a change before it is released.
///
/// A change has a class by what it means: safety, recipe, cost or text. How many people must
/// approve a draft beside those who wrote it goes by the class of its weightiest change.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReviewRule {
    /// How many others approve what can hurt someone, 0 to [`ReviewRule::MOST`].
    pub safety: u32,
    /// How many others approve what is weighed, done or yielded, 0 to [`ReviewRule::MOST`].
    pub recipe: u32,
    /// How many others approve what it costs, 0 to [`ReviewRule::MOST`].
    pub cost: u32,
    /// How many others approve wording, 0 to [`ReviewRule::MOST`].
    pub text: u32,
    /// Whose approval counts, each once. Never empty.
    pub by: Vec<Reviewer>,
    /// Whether what is new may also be released without a draft.
    pub direct: bool,
}

impl ReviewRule {
    /// The most people that a rule may ask for.
    pub const MOST: u32 = 9;

    /// Whether the approval of somebody with this role counts. Where no role is known, nobody can
    /// tell, and it does.
    pub fn counts(&self, role: Option<Role>) -> bool {
        role.is_none_or(|role| self.by.iter().any(|reviewer| reviewer.role() == role))
    }
}

impl Default for ReviewRule {
    /// What holds where a group says nothing: one other chef or deputy for a draft, and releases
    /// without a draft besides.
    fn default() -> Self {
        let by = Reviewer::ALL.to_vec();
        Self { safety: 1, recipe: 1, cost: 1, text: 1, by, direct: true }
    }
}

/// Whose approval may count.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Reviewer {
    /// A chef's.
    Chef,
    /// A deputy's.
    Deputy,
}

impl Reviewer {
    /// Every reviewer.
    pub const ALL: [Self; 2] = [Self::Chef, Self::Deputy];

    /// The role that it is.
    pub fn role(self) -> Role {
        match self {
            Self::Chef => Role::Chef,
            Self::Deputy => Role::Deputy,
        }
    }

    /// The reviewer's name in a book.
    pub fn as_str(self) -> &'static str {
        self.role().as_str()
    }
}
