//! Page tokens: where a list goes on.
//!
//! A token is opaque to clients. It holds a mark of the request that it belongs to, so that one
//! that is used with other fields is refused, and the place after which to go on, as lines of text.

use chablon_store::digest_of;

use crate::status::Refusal;

/// How much of the digest marks a request: enough that a mix-up is noticed.
const MARK: usize = 8;

/// A request whose pages are listed.
pub(crate) struct Paged {
    mark: [u8; MARK],
}

impl Paged {
    /// A call with all its fields but the page's size and token.
    pub(crate) fn new(call: &str, fields: &[&str]) -> Self {
        let text = [&[call], fields].concat().join("\n");
        let digest = digest_of(text.as_bytes()).0;
        let mut mark = [0; MARK];
        mark.copy_from_slice(&digest[..MARK]);
        Self { mark }
    }

    /// The token for the page after a place.
    pub(crate) fn token(&self, place: &[&str]) -> String {
        let mut bytes = self.mark.to_vec();
        bytes.extend_from_slice(place.join("\n").as_bytes());
        hex::encode(bytes)
    }

    /// The place that a token holds; nothing where there is no token.
    pub(crate) fn place<const N: usize>(
        &self,
        token: &str,
    ) -> Result<Option<[String; N]>, Refusal> {
        if token.is_empty() {
            return Ok(None);
        }
        let bytes = hex::decode(token).map_err(|_| Refusal::invalid_page_token())?;
        let place = bytes.strip_prefix(&self.mark).ok_or_else(Refusal::invalid_page_token)?;
        let text = std::str::from_utf8(place).map_err(|_| Refusal::invalid_page_token())?;
        let parts: Vec<String> = text.split('\n').map(str::to_owned).collect();
        parts.try_into().map(Some).map_err(|_| Refusal::invalid_page_token())
    }
}

/// A part of a token's place.
pub(crate) fn part<T: std::str::FromStr>(text: &str) -> Result<T, Refusal> {
    text.parse().map_err(|_| Refusal::invalid_page_token())
}

#[cfg(test)]
mod tests {
    use super::Paged;

    #[test]
    fn a_token_goes_back_to_its_own_request_only() {
        let request = Paged::new("ListDocuments", &["harbour", "recipe"]);
        let token = request.token(&["recipe/choux", "17"]);
        let place = request.place::<2>(&token).unwrap();
        assert_eq!(place, Some(["recipe/choux".to_owned(), "17".to_owned()]));
        assert!(request.place::<1>(&token).is_err(), "another number of parts");
        let other = Paged::new("ListDocuments", &["station", "recipe"]);
        assert!(other.place::<2>(&token).is_err(), "another request");
        for odd in ["x", "00", "zz00", &token[2..]] {
            assert!(request.place::<2>(odd).is_err(), "{odd} was taken");
        }
        assert_eq!(request.place::<2>("").unwrap(), None);
    }
}
