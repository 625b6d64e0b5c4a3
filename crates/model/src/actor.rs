//! Names under which somebody acts.

use std::fmt;
use std::str::FromStr;

/// The longest name, in bytes of UTF-8.
const MAX_NAME_BYTES: usize = 200;

/// Why a text is no name.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error(
    "{0:?} is not a name; write 1 to 200 bytes, with no control characters and no blanks around"
)]
pub struct ActorNameError(String);

/// The name under which a person, a kitchen or a program acts, as people write it: `Imogen Vale`,
/// `Harbour, cold kitchen`.
///
/// 1 to 200 bytes of UTF-8, without control characters, without white space at its ends. Names are
/// compared as they are written.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ActorName(Box<str>);

impl ActorName {
    /// The name as text.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl FromStr for ActorName {
    type Err = ActorNameError;
    fn from_str(text: &str) -> Result<Self, ActorNameError> {
        let fits = (1..=MAX_NAME_BYTES).contains(&text.len());
        let plain = text.trim() == text && !text.contains(char::is_control);
        if fits && plain { Ok(Self(text.into())) } else { Err(ActorNameError(text.to_owned())) }
    }
}

impl fmt::Display for ActorName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.0)
    }
}

impl fmt::Debug for ActorName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Debug::fmt(&self.0, f)
    }
}

#[cfg(test)]
mod tests {
    use super::ActorName;

    #[test]
    fn a_name_is_what_people_write() {
        for good in ["Imogen Vale", "Zoë d'Été", "名", &"a".repeat(200)] {
            assert_eq!(good.parse::<ActorName>().unwrap().as_str(), good);
        }
        for bad in ["", " ", " a", "a\n", "a\u{7}b", &"a".repeat(201)] {
            assert!(bad.parse::<ActorName>().is_err(), "{bad:?} was taken");
        }
    }
}
