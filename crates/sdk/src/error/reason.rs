//! Why a hub refuses.

use std::fmt;

macro_rules! reasons {
    ($($(#[$doc:meta])* $variant:ident $name:literal,)+) => {
        /// Why a hub refused a call, or a replica what it was asked.
        ///
        /// A reason that this version doesn't know is left out of an error; its kind and message
        /// still say what to do.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
        #[non_exhaustive]
        pub enum Reason {
            $($(#[$doc])* $variant,)+
        }

        impl Reason {
            #[cfg(test)]
            const ALL: &[Self] = &[$(Self::$variant),+];

            /// The name in the schema.
            pub fn as_str(self) -> &'static str {
                match self {
                    $(Self::$variant => $name,)+
                }
            }

            /// The reason of this name.
            pub(crate) fn parse(name: &str) -> Option<Self> {
                match name {
                    $($name => Some(Self::$variant),)+
                    _ => None,
                }
            }
        }
    };
}

reasons!(
    /// A field is missing or out of range.
    InvalidRequest "INVALID_REQUEST",
    /// Bytes are not what their digest says.
    DigestMismatch "DIGEST_MISMATCH",
    /// A revision, manifest or notice doesn't decode or breaks a rule.
    InvalidContent "INVALID_CONTENT",
    /// A revision or a request is too long.
    TooLarge "TOO_LARGE",
    /// Written by a schema version, or needing a feature, that the reader doesn't know.
    UnsupportedFeature "UNSUPPORTED_FEATURE",
    /// Somebody else released a revision first.
    RevisionConflict "REVISION_CONFLICT",
    /// A revision that is referred to is not stored.
    RevisionMissing "REVISION_MISSING",
    /// No such document that may be read.
    DocumentNotFound "DOCUMENT_NOT_FOUND",
    /// No such revision that may be read.
    RevisionNotFound "REVISION_NOT_FOUND",
    /// No site document of this id was ever released.
    SiteNotFound "SITE_NOT_FOUND",
    /// No release of the document addresses the site and holds by the moment.
    NotInForce "NOT_IN_FORCE",
    /// The standard was withdrawn and none is to be made.
    Withdrawn "WITHDRAWN",
    /// A recipe of the release has an allergen whose state is unknown.
    AllergenUnknown "ALLERGEN_UNKNOWN",
    /// The parts of a release don't fit together.
    IncoherentRelease "INCOHERENT_RELEASE",
    /// A part of a release would show one site's document to others.
    AudienceTooWide "AUDIENCE_TOO_WIDE",
    /// A release of this id was recorded by another request.
    ReleaseExists "RELEASE_EXISTS",
    /// The request id was used with other content.
    RequestIdReused "REQUEST_ID_REUSED",
    /// What is to be withdrawn, or gone back to, was never released to those addressed.
    NeverReleased "NEVER_RELEASED",
    /// The cursor belongs to another history: list anew from the start.
    WrongEpoch "WRONG_EPOCH",
    /// The site's groups changed since the cursor was made: list anew from the start.
    ViewChanged "VIEW_CHANGED",
    /// The cursor lies ahead of the hub: list anew from the start.
    FuturePosition "FUTURE_POSITION",
    /// The entries after the cursor are no longer served one by one.
    HistoryCompacted "HISTORY_COMPACTED",
    /// No entry at this position addresses the site.
    EntryNotFound "ENTRY_NOT_FOUND",
    /// A page token isn't one that the hub made for this request.
    InvalidPageToken "INVALID_PAGE_TOKEN",
    /// The figure can't be computed.
    NotComputable "NOT_COMPUTABLE",
    /// The watcher took too long to read.
    WatcherTooSlow "WATCHER_TOO_SLOW",
    /// The hub shuts down.
    ShuttingDown "SHUTTING_DOWN",
    /// Too many streams at once.
    TooManyStreams "TOO_MANY_STREAMS",
    /// The hub's store doesn't answer.
    StoreUnavailable "STORE_UNAVAILABLE",
    /// The hub's store is damaged.
    StoreDamaged "STORE_DAMAGED",
    /// A recipe reaches two revisions of one document along its pins.
    PinsDisagree "PINS_DISAGREE",
    /// Whoever calls may not do this, or not at this site.
    NotAllowed "NOT_ALLOWED",
    /// The hub asks for a token, and the call has none that is good.
    NotAuthenticated "NOT_AUTHENTICATED",
    /// A code doesn't let anybody in.
    CodeRefused "CODE_REFUSED",
    /// The name of an account, a code or a token is that of another one.
    NameTaken "NAME_TAKEN",
    /// There is no such account or token.
    AccountNotFound "ACCOUNT_NOT_FOUND",
    /// Too many wrong codes were tried; the detail `retry_after_ms` says when to try again.
    TooManyGuesses "TOO_MANY_GUESSES",
    /// Nobody asked for a deviation of this id.
    DeviationNotFound "DEVIATION_NOT_FOUND",
    /// A deviation of this id was asked for in other words.
    DeviationExists "DEVIATION_EXISTS",
    /// A deviation doesn't fit what it departs from, or what was asked for.
    DeviationUnfit "DEVIATION_UNFIT",
    /// Somebody else decided on the deviation meanwhile.
    DeviationDecided "DEVIATION_DECIDED",
    /// What is granted brings something that the grant doesn't acknowledge.
    DeviationObjected "DEVIATION_OBJECTED",
    /// The call says no name, and what it does is kept with one.
    NameMissing "NAME_MISSING",
    /// No such draft.
    DraftNotFound "DRAFT_NOT_FOUND",
    /// A draft of this id was made before.
    DraftExists "DRAFT_EXISTS",
    /// The draft holds something else by now.
    DraftChanged "DRAFT_CHANGED",
    /// Not possible where the draft stands.
    DraftState "DRAFT_STATE",
    /// Somebody else must approve it.
    NotAReviewer "NOT_A_REVIEWER",
    /// The draft has findings that must be mended first.
    DraftUnsound "DRAFT_UNSOUND",
    /// What the draft was made on was released anew since.
    DraftOutdated "DRAFT_OUTDATED",
    /// What is new is released as an approved draft.
    ReviewNeeded "REVIEW_NEEDED",
    /// Too few of the keys that count have signed, or what was signed once is sent once more.
    SignatureMissing "SIGNATURE_MISSING",
    /// Another version of the root of trust is next.
    RootConflict "ROOT_CONFLICT",
    /// A kitchen's replica was asked for what only a hub answers.
    NotAtKitchen "NOT_AT_KITCHEN",
);

impl fmt::Display for Reason {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.as_str())
    }
}

#[cfg(test)]
mod tests {
    use chablon_wire::pb::ErrorReason;

    use super::Reason;

    #[test]
    fn every_reason_of_the_schema_is_known() {
        let in_schema = (1..1000).filter_map(|number| ErrorReason::try_from(number).ok());
        let named: Vec<String> = in_schema
            .map(|reason| reason.as_str_name().trim_start_matches("ERROR_REASON_").to_owned())
            .collect();
        let known: Vec<&str> = Reason::ALL.iter().map(|reason| reason.as_str()).collect();
        assert_eq!(known, named);
        assert!(Reason::ALL.iter().all(|reason| Reason::parse(reason.as_str()) == Some(*reason)));
    }
}
