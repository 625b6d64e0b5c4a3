//! What is gathered while the files are read.

use std::cell::{OnceCell, RefCell};
use std::collections::BTreeMap;

use chablon_model::{Book, DocumentId, DocumentKey, DocumentKind};

use crate::locations::Places;
use crate::{Finding, Span};

/// What an id may name.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) enum Named {
    /// An ingredient.
    Ingredient,
    /// A recipe.
    Recipe,
    /// A site.
    Site,
    /// A class of equipment, which is there when a site has it.
    Equipment,
}

impl Named {
    /// What it is called in a message.
    pub(crate) fn noun(self) -> &'static str {
        match self {
            Self::Ingredient => "ingredient",
            Self::Recipe => "recipe",
            Self::Site => "site",
            Self::Equipment => "equipment",
        }
    }
}

/// An id with what it names and where it is written.
#[derive(Clone, Debug)]
pub(crate) struct Mention {
    /// What it names.
    pub(crate) named: Named,
    /// The id.
    pub(crate) id: String,
    /// Where.
    pub(crate) span: Span,
    /// The document in which it is written, once that has an id.
    pub(crate) within: Option<DocumentKey>,
}

/// What is gathered while the files are read. It is only ever added to.
#[derive(Debug, Default)]
pub(crate) struct Notes {
    /// Everything wrong so far.
    findings: RefCell<Vec<Finding>>,
    /// Where the fields of the documents are, the document being read last.
    documents: RefCell<Vec<(Option<DocumentKey>, Places)>>,
    /// Ids that are given to something.
    pub(crate) declared: RefCell<Vec<Mention>>,
    /// Ids that something uses.
    pub(crate) used: RefCell<Vec<Mention>>,
    /// Of what some declarations may be unread, because a file is broken.
    pub(crate) unread: RefCell<Vec<Named>>,
    /// The group's settings, once they are read.
    pub(crate) settings: OnceCell<Book>,
}

impl Notes {
    /// Notes a finding.
    pub(crate) fn note(&self, finding: Finding) {
        self.findings.borrow_mut().push(finding);
    }

    /// Begins a document: places that are noted from now on are its own.
    pub(crate) fn begin(&self) {
        self.documents.borrow_mut().push((None, Places::new()));
    }

    /// Gives the document being read its id.
    pub(crate) fn identify(&self, kind: DocumentKind, id: DocumentId, span: Span) {
        if let Some((key, places)) = self.documents.borrow_mut().last_mut() {
            *key = Some(DocumentKey { kind, id });
            places.insert(String::new(), span);
        }
    }

    /// Notes where a field of the document being read stands.
    pub(crate) fn place(&self, path: &str, span: Span) {
        if let Some((_, places)) = self.documents.borrow_mut().last_mut() {
            places.insert(path.to_owned(), span);
        }
    }

    /// Where a field of the document being read stands.
    pub(crate) fn placed(&self, path: &str) -> Option<Span> {
        self.documents.borrow().last().and_then(|(_, places)| places.get(path).copied())
    }

    /// Notes that an id is given to something.
    pub(crate) fn declare(&self, named: Named, id: &str, span: Span) {
        self.declared.borrow_mut().push(self.mention(named, id, span));
    }

    /// Notes that an id is used.
    pub(crate) fn use_of(&self, named: Named, id: &str, span: Span) {
        self.used.borrow_mut().push(self.mention(named, id, span));
    }

    fn mention(&self, named: Named, id: &str, span: Span) -> Mention {
        let within = self.documents.borrow().last().and_then(|(key, _)| key.clone());
        Mention { named, id: id.to_owned(), span, within }
    }

    /// Ids by what they name, each with its first place.
    pub(crate) fn declared_ids(&self, named: Named) -> BTreeMap<String, Span> {
        let mut ids = BTreeMap::new();
        for mention in self.declared.borrow().iter().filter(|mention| mention.named == named) {
            ids.entry(mention.id.clone()).or_insert(mention.span);
        }
        ids
    }

    /// The findings and the places of every document that has an id.
    pub(crate) fn into_parts(self) -> (Vec<Finding>, Vec<(DocumentKey, Places)>) {
        let documents = self.documents.into_inner().into_iter();
        let identified = documents.filter_map(|(key, places)| Some((key?, places))).collect();
        (self.findings.into_inner(), identified)
    }
}
