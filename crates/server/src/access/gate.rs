//! The gate through which every call comes.

use std::convert::Infallible;
use std::future::Future;
use std::mem;
use std::pin::Pin;
use std::sync::Arc;
use std::task::{Context, Poll};
use std::time::Duration;

use chablon_exchange::Exchange;
use chablon_model::ActorName;
use http::{HeaderMap, Request, Response};
use tonic::Status;
use tonic::body::Body;
use tower::{Layer, Service};

use super::asserted::asserted_name;
use super::bearer::bearer;
use super::{Access, Caller};
use crate::clock::Clock;
use crate::desk::Kitchen;
use crate::status::Refusal;

/// What a hub that asks for tokens answers without one: how it is, what can be asked, and joining
/// it. Everything else is shut unless it is named here.
const OPEN: [&str; 3] = [
    "/grpc.health.v1.Health/",
    "/grpc.reflection.v1.ServerReflection/",
    "/chablon.v1.AccessService/Enrol",
];

/// Says who calls, or that they may not.
pub(crate) struct Gate {
    pub(crate) exchange: Exchange,
    pub(crate) clock: Clock,
    pub(crate) access: Access,
    /// The replica that is served, where this isn't a hub.
    pub(crate) kitchen: Option<Kitchen>,
    /// How long it may take to find out.
    pub(crate) within: Duration,
}

impl Gate {
    /// Who makes a call; nobody where the call needs nobody.
    async fn admit(&self, path: &str, headers: &HeaderMap) -> Result<Option<Caller>, Refusal> {
        let caller = match self.access {
            Access::Open => Some(self.somebody(asserted_name(headers)?)),
            Access::Required if is_open(path) => None,
            Access::Required => Some(self.known(headers).await?),
        };
        if let Some(kitchen) = &self.kitchen {
            kitchen.admit(path).await?;
        }
        Ok(caller)
    }

    /// Whoever reaches what asks for no token.
    fn somebody(&self, name: Option<ActorName>) -> Caller {
        match &self.kitchen {
            Some(Kitchen(store)) => Caller::beside(name, store.whose().clone()),
            None => Caller::asserted(name),
        }
    }

    async fn known(&self, headers: &HeaderMap) -> Result<Caller, Refusal> {
        let token = bearer(headers)?;
        let found = self.exchange.let_in(&token, self.clock.now());
        let found = tokio::time::timeout(self.within, found).await;
        let account = found.map_err(|_| Refusal::late())??;
        let id = token.id().parse().expect("a token that was found has a name");
        Ok(Caller::known(account.name, account.role, account.site, id))
    }

    /// Whether a caller that was let in still may be: asked again by streams, which outlast it.
    pub(crate) async fn still(&self, caller: &Caller) -> Result<(), Refusal> {
        match caller.token() {
            None => Ok(()),
            Some(token) => Ok(self.exchange.still_in(token, self.clock.now()).await?),
        }
    }
}

fn is_open(path: &str) -> bool {
    OPEN.iter().any(|open| if open.ends_with('/') { path.starts_with(open) } else { path == *open })
}

/// Puts a gate before services.
#[derive(Clone)]
pub(crate) struct GateLayer(pub(crate) Arc<Gate>);

impl<S> Layer<S> for GateLayer {
    type Service = Gated<S>;

    fn layer(&self, service: S) -> Gated<S> {
        Gated { gate: Arc::clone(&self.0), service }
    }
}

/// Services behind a gate.
#[derive(Clone)]
pub(crate) struct Gated<S> {
    gate: Arc<Gate>,
    service: S,
}

impl<S> Service<Request<Body>> for Gated<S>
where
    S: Service<Request<Body>, Response = Response<Body>, Error = Infallible>,
    S: Clone + Send + 'static,
    S::Future: Send,
{
    type Response = Response<Body>;
    type Error = Infallible;
    type Future = Pin<Box<dyn Future<Output = Result<Response<Body>, Infallible>> + Send>>;

    fn poll_ready(&mut self, cx: &mut Context<'_>) -> Poll<Result<(), Infallible>> {
        self.service.poll_ready(cx)
    }

    fn call(&mut self, mut request: Request<Body>) -> Self::Future {
        let gate = Arc::clone(&self.gate);
        // The one that said it is ready takes the call; its clone has yet to be asked.
        let next = self.service.clone();
        let mut service = mem::replace(&mut self.service, next);
        Box::pin(async move {
            match gate.admit(request.uri().path(), request.headers()).await {
                Ok(caller) => {
                    caller.map(|caller| request.extensions_mut().insert(caller));
                    service.call(request).await
                }
                Err(refusal) => {
                    turned_away(&request, &refusal);
                    Ok(Status::from(refusal).into_http())
                }
            }
        })
    }
}

/// Logs a call that wasn't let in. The path is the caller's own text.
fn turned_away(request: &Request<Body>, refusal: &Refusal) {
    let path = request.uri().path();
    let path: String = path.chars().filter(char::is_ascii_graphic).take(128).collect();
    if let Some(fault) = refusal.fault() {
        tracing::error!(path, fault, "the store failed at the gate");
    }
    tracing::info!(path, outcome = refusal.reason(), "turned away");
}
