//! How a client behaves on a network that fails.

use std::time::Duration;

use backon::ExponentialBuilder;
use chablon_model::ActorName;
use chablon_wire::AccessToken;

use crate::Tls;

/// How long a client waits, how often it tries again, and how it finds out that a hub is gone.
///
/// The defaults suit a kitchen's line. What they do together:
///
/// - A call that answers once has [`deadline`](Self::deadline); the hub is told and gives up too.
///   A stream has it for its first answer and for each that follows.
/// - A call that fails in a way that may pass is tried up to [`retries`](Self::retries) times more,
///   at the next address in turn. Pauses grow from [`first_pause`](Self::first_pause) twofold to
///   [`longest_pause`](Self::longest_pause), and are jittered, so that kitchens that lost one hub
///   don't return to the next all at once.
/// - That holds for changes as well: each carries a request id, so a repetition changes nothing.
/// - A stream that follows the feed resumes for ever, with the same pauses; it takes a hub for
///   gone when it is silent for [`silence`](Self::silence). Hubs speak at least once a minute.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Options {
    /// How long one attempt of a call may take. 10 s.
    pub deadline: Duration,
    /// How long a connection may take to be made. 3 s.
    pub connect_timeout: Duration,
    /// After how long without traffic the hub is asked whether it is there. 20 s.
    pub keepalive: Duration,
    /// How long it may take to answer that. 10 s.
    pub keepalive_timeout: Duration,
    /// After how long a stream that follows the feed counts as lost. 150 s: two signs of life may
    /// go missing.
    pub silence: Duration,
    /// How often a failed call is tried again. 4.
    pub retries: usize,
    /// The pause before the first repetition. 100 ms.
    pub first_pause: Duration,
    /// The longest pause. 5 s.
    pub longest_pause: Duration,
    /// How many entries of the feed are asked for at once. 200.
    pub page_size: u32,
    /// The name that calls say to a hub that asks nobody for a token. None.
    pub caller: Option<ActorName>,
    /// The token that lets calls in at a hub that asks for one. None.
    pub token: Option<AccessToken>,
    /// Whether the token may be sent to another machine unencrypted. No.
    pub token_in_clear: bool,
    /// What an encrypted line goes by. The roots that the machine trusts.
    pub tls: Tls,
}

impl Default for Options {
    fn default() -> Self {
        Self {
            deadline: Duration::from_secs(10),
            connect_timeout: Duration::from_secs(3),
            keepalive: Duration::from_secs(20),
            keepalive_timeout: Duration::from_secs(10),
            silence: Duration::from_secs(150),
            retries: 4,
            first_pause: Duration::from_millis(100),
            longest_pause: Duration::from_secs(5),
            page_size: 200,
            caller: None,
            token: None,
            token_in_clear: false,
            tls: Tls::default(),
        }
    }
}

macro_rules! setters {
    ($($(#[$doc:meta])* $setter:ident $field:ident: $type:ty;)+) => {
        impl Options {
            $($(#[$doc])*
            #[must_use]
            pub fn $setter(mut self, $field: $type) -> Self {
                self.$field = $field;
                self
            })+
        }
    };
}

setters!(
    /// With another [`deadline`](Self::deadline).
    with_deadline deadline: Duration;
    /// With another [`connect_timeout`](Self::connect_timeout).
    with_connect_timeout connect_timeout: Duration;
    /// With another [`keepalive`](Self::keepalive).
    with_keepalive keepalive: Duration;
    /// With another [`keepalive_timeout`](Self::keepalive_timeout).
    with_keepalive_timeout keepalive_timeout: Duration;
    /// With another [`silence`](Self::silence).
    with_silence silence: Duration;
    /// With another number of [`retries`](Self::retries).
    with_retries retries: usize;
    /// With another [`first_pause`](Self::first_pause).
    with_first_pause first_pause: Duration;
    /// With another [`longest_pause`](Self::longest_pause).
    with_longest_pause longest_pause: Duration;
    /// With another [`page_size`](Self::page_size).
    with_page_size page_size: u32;
    /// With another answer to [`token_in_clear`](Self::token_in_clear).
    with_token_in_clear token_in_clear: bool;
    /// With another [`tls`](Self::tls).
    with_tls tls: Tls;
);

impl Options {
    /// With a [`caller`](Self::caller).
    #[must_use]
    pub fn with_caller(mut self, caller: ActorName) -> Self {
        self.caller = Some(caller);
        self
    }

    /// With a [`token`](Self::token).
    #[must_use]
    pub fn with_token(mut self, token: AccessToken) -> Self {
        self.token = Some(token);
        self
    }

    /// The pauses between the attempts of a call.
    pub(crate) fn pauses(&self) -> ExponentialBuilder {
        self.growing().with_max_times(self.retries)
    }

    /// The pauses of a stream that never gives up.
    pub(crate) fn endless_pauses(&self) -> ExponentialBuilder {
        self.growing().without_max_times()
    }

    fn growing(&self) -> ExponentialBuilder {
        ExponentialBuilder::new()
            .with_min_delay(self.first_pause)
            .with_max_delay(self.longest_pause)
            .with_factor(2.0)
            .with_jitter()
    }
}
