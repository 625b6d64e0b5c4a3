//! Ids, digests, texts, days and moments.

use std::collections::BTreeMap;

use bytes::Bytes;
use chablon_model::{Day, Digest, DocumentKey, DocumentKind, Language, Moment, RevisionRef, Text};

use crate::form::{self, Coded, Wire, code, coded, collect, parsed, required, sorted, words};
use crate::{At, Violation, pb};

coded!(DocumentKind = pb::DocumentKind { Book, Ingredient, Recipe, Site, Prices });

/// The first moment of the year 1 and the last of the year 9999, in milliseconds.
const MOMENTS: std::ops::RangeInclusive<i64> = -62_135_596_800_000..=253_402_300_799_999;

/// A moment, from a field in milliseconds.
pub fn moment(milliseconds: i64) -> Result<Moment, Violation> {
    if MOMENTS.contains(&milliseconds) {
        Ok(Moment(milliseconds))
    } else {
        Err(Violation::new(format!("{milliseconds} is not within the years 1 to 9999")))
    }
}

/// The kind of document that a field names.
pub fn document_kind(number: i32) -> Result<DocumentKind, Violation> {
    code(number, "kind")
}

/// The number of a kind of document in the schema.
pub fn document_kind_code(kind: DocumentKind) -> i32 {
    kind.code()
}

impl Wire for Digest {
    type Pb = Bytes;

    fn to_pb(&self) -> Bytes {
        Bytes::copy_from_slice(&self.0)
    }

    fn from_pb(bytes: Bytes) -> Result<Self, Violation> {
        let wrong = |_| match bytes.len() {
            0 => Violation::required(),
            length => Violation::new(format!("a digest has 32 bytes, not {length}")),
        };
        bytes.as_ref().try_into().map(Self).map_err(wrong)
    }
}

impl Wire for Day {
    type Pb = pb::Date;

    fn to_pb(&self) -> pb::Date {
        pb::Date { year: self.year().into(), month: self.month().into(), day: self.day().into() }
    }

    fn from_pb(date: pb::Date) -> Result<Self, Violation> {
        let pb::Date { year, month, day } = date;
        let in_range = |_| Violation::new(format!("{year}-{month}-{day} is not a day"));
        let year = u16::try_from(year).map_err(in_range)?;
        let month = u8::try_from(month).map_err(in_range)?;
        let day = u8::try_from(day).map_err(in_range)?;
        Self::new(year, month, day).map_err(|error| Violation::new(error.to_string()))
    }
}

impl Wire for Text {
    type Pb = Vec<pb::LocalisedText>;

    fn to_pb(&self) -> Vec<pb::LocalisedText> {
        let form = |(language, text): (&Language, &String)| pb::LocalisedText {
            language: language.to_string(),
            text: text.clone(),
        };
        self.0.iter().map(form).collect()
    }

    fn from_pb(texts: Vec<pb::LocalisedText>) -> Result<Self, Violation> {
        let each = |text: pb::LocalisedText| {
            let language: Language = parsed(&text.language).at("language")?;
            Ok((language, words(text.text, "text")?))
        };
        let texts = collect(texts, "", each)?;
        let languages: Vec<&Language> = texts.iter().map(|(language, _)| language).collect();
        sorted(&languages, "")?;
        Ok(Self(BTreeMap::from_iter(texts)))
    }
}

/// A text that must be there in at least one language.
pub(crate) fn text(texts: Vec<pb::LocalisedText>, field: &str) -> Result<Text, Violation> {
    if texts.is_empty() { Err(Violation::required()) } else { Text::from_pb(texts) }.at(field)
}

impl Wire for DocumentKey {
    type Pb = pb::DocumentName;

    fn to_pb(&self) -> pb::DocumentName {
        pb::DocumentName { kind: self.kind.code(), id: self.id.to_string() }
    }

    fn from_pb(name: pb::DocumentName) -> Result<Self, Violation> {
        Ok(Self { kind: code(name.kind, "kind")?, id: form::id(name.id).at("id")? })
    }
}

impl Wire for RevisionRef {
    type Pb = pb::RevisionRef;

    fn to_pb(&self) -> pb::RevisionRef {
        pb::RevisionRef {
            kind: self.key.kind.code(),
            id: self.key.id.to_string(),
            number: self.number,
            digest: self.digest.to_pb(),
        }
    }

    fn from_pb(reference: pb::RevisionRef) -> Result<Self, Violation> {
        let pb::RevisionRef { kind, id, number, digest } = reference;
        Ok(Self {
            key: DocumentKey::from_pb(pb::DocumentName { kind, id })?,
            number: revision_number(number)?,
            digest: required(Some(digest), "digest")?,
        })
    }
}

/// The number of a revision, from 1.
pub(crate) fn revision_number(number: u32) -> Result<u32, Violation> {
    if number == 0 { Err(Violation::required().at("number")) } else { Ok(number) }
}
