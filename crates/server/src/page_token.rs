//! Page tokens: where a list goes on.
//!
//! A token is opaque to clients. It holds the place after which to go on, as lines of text, and a
//! mark of that and of the request that it belongs to, so that one that was damaged or is used with
//! other fields is refused. It is no secret and gives nobody access to anything.

use chablon_store::digest_of;

use crate::status::Refusal;

/// How much of the digest marks a token: enough that a mix-up or a cut is noticed.
const MARK: usize = 8;

/// A request whose pages are listed.
pub(crate) struct Paged {
    request: String,
}

impl Paged {
    /// A call with all its fields but the page's size and token.
    pub(crate) fn new(call: &str, fields: &[&str]) -> Self {
        Self { request: [&[call], fields].concat().join("\n") }
    }

    /// The token for the page after a place.
    pub(crate) fn token(&self, place: &[&str]) -> String {
        let place = place.join("\n");
        let mut bytes = self.mark(&place).to_vec();
        bytes.extend_from_slice(place.as_bytes());
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
        let place = self.held(token).ok_or_else(Refusal::invalid_page_token)?;
        let parts: Vec<String> = place.split('\n').map(str::to_owned).collect();
        parts.try_into().map(Some).map_err(|_| Refusal::invalid_page_token())
    }

    fn held(&self, token: &str) -> Option<String> {
        let mut bytes = hex::decode(token).ok().filter(|bytes| bytes.len() >= MARK)?;
        let place = String::from_utf8(bytes.split_off(MARK)).ok()?;
        (bytes == self.mark(&place)).then_some(place)
    }

    fn mark(&self, place: &str) -> [u8; MARK] {
        let digest = digest_of(format!("{}\n\n{place}", self.request).as_bytes()).0;
        std::array::from_fn(|index| digest[index])
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
        for odd in ["x", "00", "zz00", &token[2..], &token[..token.len() - 2]] {
            assert!(request.place::<2>(odd).is_err(), "{odd} was taken");
        }
        assert_eq!(request.place::<2>("").unwrap(), None);
    }
}
