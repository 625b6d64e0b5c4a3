//! Acknowledgements.

use super::state::State;
use crate::{Ack, AckFilter, HubError};

impl State {
    pub(super) fn acknowledge(&mut self, acks: &[Ack]) -> Result<(), HubError> {
        acks.iter().try_for_each(|ack| self.check_ack(ack))?;
        for Ack { site, position, statement, at, reason, .. } in acks {
            let key = (*position, site.clone(), *statement);
            let kept = self.acks.get(&key).is_some_and(|(old, _)| !statement.renews() || old >= at);
            if !kept {
                self.acks.insert(key, (*at, reason.clone()));
            }
        }
        Ok(())
    }

    pub(super) fn acks(&self, filter: &AckFilter) -> Vec<Ack> {
        self.acks
            .iter()
            .filter(|((position, site, _), _)| {
                filter.positions.contains(position)
                    && filter.site.as_ref().is_none_or(|wanted| wanted == site)
            })
            .filter_map(|((position, site, statement), (at, reason))| {
                Some(Ack {
                    site: site.clone(),
                    position: *position,
                    body_digest: self.entry(*position)?.body.digest,
                    statement: *statement,
                    at: *at,
                    reason: reason.clone(),
                })
            })
            .collect()
    }

    fn check_ack(&self, ack: &Ack) -> Result<(), HubError> {
        let Ack { position, body_digest, .. } = *ack;
        let entry = self.entry(position).ok_or(HubError::UnknownEntry { position })?;
        crate::backend::check_ack(position, body_digest, entry.body.digest)
    }
}
