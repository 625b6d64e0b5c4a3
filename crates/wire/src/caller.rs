//! The name that a call says of its own accord, in the header of a request.

use chablon_model::ActorName;
use percent_encoding::{NON_ALPHANUMERIC, percent_decode_str, utf8_percent_encode};

/// The request header in which a caller says its name to a hub that asks nobody for an account:
/// UTF-8, percent-encoded, since a header holds ASCII alone.
pub const CALLER_HEADER: &str = "chablon-caller";

/// A name as the header holds it.
pub fn caller_to_header(name: &ActorName) -> String {
    utf8_percent_encode(name.as_str(), NON_ALPHANUMERIC).to_string()
}

/// The name that a header holds; nothing where it holds none.
pub fn caller_from_header(header: &str) -> Option<ActorName> {
    percent_decode_str(header).decode_utf8().ok()?.parse().ok()
}

#[cfg(test)]
mod tests {
    use super::{caller_from_header, caller_to_header};

    #[test]
    fn a_name_comes_back_from_its_header() {
        for name in ["Imogen Vale", "Zoë d'Été", "100 %", "名"] {
            let name = name.parse().unwrap();
            let header = caller_to_header(&name);
            assert!(header.is_ascii(), "{header}");
            assert_eq!(caller_from_header(&header), Some(name));
        }
    }

    #[test]
    fn what_is_no_name_is_none() {
        for header in ["", "%20", "a%0Ab", "%FF", &"a".repeat(201)] {
            assert_eq!(caller_from_header(header), None, "{header}");
        }
    }
}
