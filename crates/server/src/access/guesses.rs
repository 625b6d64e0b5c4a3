//! How often codes may be tried.

use std::collections::HashMap;
use std::net::{IpAddr, Ipv6Addr};
use std::sync::{Mutex, PoisonError};

use chablon_model::Moment;
use chablon_wire::pb::ErrorReason;
use tonic::Code;

use crate::status::Refusal;

/// For how long tries are counted together.
const WINDOW_MS: i64 = 60_000;

/// How many wrong codes one address may send within that time.
const MAX_FROM_ONE: u32 = 10;

/// How many wrong codes all together may send within that time. It also bounds how many addresses
/// are remembered.
const MAX_FROM_ALL: u32 = 100;

/// Counts wrong codes, so that nobody finds one by trying, nor makes others' void by the dozen.
///
/// A try is counted before it is looked at and given back unless the code was wrong: otherwise those
/// that are sent at once would all pass.
#[derive(Default)]
pub(crate) struct Guesses(Mutex<Counts>);

#[derive(Default)]
struct Counts {
    all: Count,
    by_address: HashMap<Option<IpAddr>, Count>,
}

#[derive(Clone, Copy, Default)]
struct Count {
    since: Moment,
    tried: u32,
}

impl Guesses {
    /// Counts a try from an address, or from somewhere that has none.
    ///
    /// Behind a relay that shows its own address, all who come through it count as one.
    pub(crate) fn admit(&self, from: Option<IpAddr>, now: Moment) -> Result<(), Refusal> {
        let mut counts = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let counts = &mut *counts;
        counts.by_address.retain(|_, count| count.runs(now));
        let known = counts.by_address.get(&network(from)).copied().unwrap_or_default();
        let waits = [known.wait(MAX_FROM_ONE, now), counts.all.wait(MAX_FROM_ALL, now)];
        if let Some(wait) = waits.into_iter().flatten().max() {
            return Err(too_many(wait));
        }
        counts.by_address.entry(network(from)).or_default().add(now);
        counts.all.add(now);
        Ok(())
    }

    /// Gives back a try by which nothing was guessed.
    pub(crate) fn give_back(&self, from: Option<IpAddr>) {
        let mut counts = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        counts.all.tried = counts.all.tried.saturating_sub(1);
        // Where its time ended meanwhile there is nothing to give back.
        if let Some(one) = counts.by_address.get_mut(&network(from)) {
            one.tried = one.tried.saturating_sub(1);
        }
    }
}

impl Count {
    /// Whether it still counts. A clock that was set back begins anew.
    fn runs(self, now: Moment) -> bool {
        (0..WINDOW_MS).contains(&(now.0 - self.since.0))
    }

    /// How long to wait until another try, in milliseconds; nothing where it may be made.
    fn wait(self, max: u32, now: Moment) -> Option<i64> {
        let spent = self.runs(now) && self.tried >= max;
        spent.then(|| self.since.0 + WINDOW_MS - now.0)
    }

    fn add(&mut self, now: Moment) {
        if !self.runs(now) {
            *self = Self { since: now, tried: 0 };
        }
        self.tried += 1;
    }
}

/// Whoever has one address of the newer kind commonly has all that share its first 64 bits.
fn network(from: Option<IpAddr>) -> Option<IpAddr> {
    from.map(|address| match address.to_canonical() {
        IpAddr::V6(address) => {
            IpAddr::V6(Ipv6Addr::from_bits(address.to_bits() & !u128::from(u64::MAX)))
        }
        older @ IpAddr::V4(_) => older,
    })
}

fn too_many(wait_ms: i64) -> Refusal {
    let seconds = (wait_ms + 999) / 1000;
    let message = format!("too many wrong codes were tried; try again in {seconds} s");
    Refusal::new(Code::ResourceExhausted, ErrorReason::TooManyGuesses, message)
        .with("retry_after_ms", wait_ms)
}

#[cfg(test)]
mod tests {
    use super::*;

    const T0: Moment = Moment(1_790_841_600_000);

    fn later(ms: i64) -> Moment {
        Moment(T0.0 + ms)
    }

    fn address(text: &str) -> IpAddr {
        text.parse().unwrap()
    }

    /// How many tries of many pass.
    fn passed(guesses: &Guesses, from: impl Into<Option<IpAddr>>, now: Moment) -> usize {
        let from = from.into();
        (0..1000).filter(|_| guesses.admit(from, now).is_ok()).count()
    }

    #[test]
    fn one_address_is_held_up_until_its_time_is_over() {
        let guesses = Guesses::default();
        let (here, there) = (address("192.0.2.1"), address("192.0.2.2"));
        assert_eq!(passed(&guesses, here, T0), 10);
        assert_eq!(passed(&guesses, here, later(59_999)), 0);
        assert_eq!(passed(&guesses, there, later(59_999)), 10);
        assert_eq!(passed(&guesses, here, later(60_000)), 10);
    }

    #[test]
    fn many_addresses_are_held_up_together() {
        let guesses = Guesses::default();
        let each = |last: u8| passed(&guesses, address(&format!("192.0.2.{last}")), T0);
        assert_eq!((0..=255).map(each).sum::<usize>(), 100);
        assert!(guesses.0.lock().unwrap().by_address.len() <= 100);
        assert_eq!(passed(&guesses, None, later(60_000)), 10);
        assert_eq!(guesses.0.lock().unwrap().by_address.len(), 1, "those of old are forgotten");
    }

    #[test]
    fn addresses_of_one_network_are_one() {
        let guesses = Guesses::default();
        assert_eq!(passed(&guesses, address("2001:db8::1"), T0), 10);
        assert_eq!(passed(&guesses, address("2001:db8::ffff:2"), T0), 0);
        assert_eq!(passed(&guesses, address("2001:db8:0:1::1"), T0), 10);
        assert_eq!(passed(&guesses, address("::ffff:192.0.2.1"), T0), 10);
        assert_eq!(passed(&guesses, address("192.0.2.1"), T0), 0);
    }

    #[test]
    fn what_guessed_nothing_does_not_count() {
        let guesses = Guesses::default();
        for _ in 0..1000 {
            guesses.admit(None, T0).expect("each is given back");
            guesses.give_back(None);
        }
        assert_eq!(passed(&guesses, None, T0), 10);
    }

    #[test]
    fn a_clock_that_is_set_back_begins_anew() {
        let guesses = Guesses::default();
        assert_eq!(passed(&guesses, None, T0), 10);
        assert_eq!(passed(&guesses, None, later(-1)), 10);
    }
}
