//! What every call has: a span, a deadline, an outcome in the log.

use std::future::Future;
use std::time::{Duration, Instant};

use chablon_model::ActorName;
use tonic::{Request, Response, Status};
use tracing::field::Empty;
use tracing::{Instrument, Span};

use crate::access::Caller;
use crate::status::Refusal;

/// A call under way. One that is dropped before it has an outcome was given up by its caller.
pub(crate) struct Call {
    span: Span,
    began: Instant,
    deadline: Duration,
    ended: bool,
}

impl Call {
    /// Begins a call. The texts come from the caller and are shown only if they look like names.
    pub(crate) fn begin<T>(
        method: &'static str,
        request: &Request<T>,
        site: &str,
        request_id: &str,
        deadline: Duration,
    ) -> Self {
        let span = tracing::info_span!(
            "call",
            method,
            site = shown(site),
            request_id = shown(request_id),
            peer = Empty,
            caller = Empty,
            verified = Empty,
            outcome = Empty,
            elapsed_ms = Empty
        );
        if let Some(peer) = request.remote_addr() {
            span.record("peer", tracing::field::display(peer));
        }
        if let Some(caller) = request.extensions().get::<Caller>() {
            span.record("caller", caller.name().map(ActorName::as_str));
            span.record("verified", caller.is_verified());
        }
        Self { span, began: Instant::now(), deadline, ended: false }
    }

    /// Does the work of a call, within the deadline.
    pub(crate) async fn answer<T>(
        mut self,
        work: impl Future<Output = Result<T, Refusal>>,
    ) -> Result<Response<T>, Status> {
        let work = tokio::time::timeout(self.deadline, work).instrument(self.span.clone());
        match work.await {
            Ok(Ok(answer)) => {
                self.end("OK");
                Ok(Response::new(answer))
            }
            Ok(Err(refusal)) => Err(self.refuse(refusal)),
            Err(_) => {
                self.end("DEADLINE_EXCEEDED");
                Err(Status::deadline_exceeded(format!(
                    "not done within {} s; a change may have been made all the same, so repeat \
                     it under the same request id",
                    self.deadline.as_secs()
                )))
            }
        }
    }

    fn refuse(&mut self, refusal: Refusal) -> Status {
        if let Some(fault) = refusal.fault() {
            tracing::error!(parent: &self.span, fault, "the store failed");
        }
        self.end(refusal.reason());
        refusal.into()
    }

    fn end(&mut self, outcome: &str) {
        self.ended = true;
        let elapsed = u64::try_from(self.began.elapsed().as_millis()).unwrap_or(u64::MAX);
        self.span.record("outcome", outcome).record("elapsed_ms", elapsed);
        tracing::info!(parent: &self.span, "answered");
    }
}

impl Drop for Call {
    fn drop(&mut self) {
        if !self.ended {
            self.end("ABANDONED");
        }
    }
}

/// A caller's text, unless it is nothing that a log should hold.
fn shown(text: &str) -> &str {
    let name = text.len() <= 128 && text.bytes().all(|byte| byte.is_ascii_graphic());
    if name { text } else { "(not a name)" }
}
