//! Where something is used in one kitchen.

use chablon_model::RevisionRef;

use super::Replica;
use crate::Error;
use crate::where_used::{Shelf, Sought, Use, ever_in_force};

impl Replica {
    /// Every recipe of the site that uses something, or did or will, with its time, by recipe and
    /// then by time. The hub need not be there.
    pub async fn where_used(&self, sought: &Sought) -> Result<Vec<Use>, Error> {
        let entries = self.entries().await?;
        let mut stock = Shelf::default();
        let mut wanted: Vec<RevisionRef> = ever_in_force(&entries).into_iter().collect();
        while !wanted.is_empty() {
            for (reference, revision) in self.read_all(&wanted).await? {
                stock.put(reference, revision);
            }
            wanted = stock.wanted();
        }
        Ok(stock.uses(self.site(), &entries, &stock.keys(sought)))
    }
}
