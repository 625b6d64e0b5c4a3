//! From the book to files.

use crate::AuthoredBook;

/// x
pub fn write(_book: &AuthoredBook) -> Vec<(String, String)> {
    Vec::new()
}
