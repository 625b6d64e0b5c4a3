//! A connection with what every call over it says of its caller.

use chablon_wire::caller_to_header;
use tonic::metadata::{Ascii, MetadataValue};
use tonic::service::Interceptor;
use tonic::service::interceptor::InterceptedService;
use tonic::transport::Channel;
use tonic::{Request, Status};

use crate::error::Kind;
use crate::{Error, Options};

/// A connection whose calls say who makes them.
pub(super) type Link = InterceptedService<Channel, Spoken>;

/// What every call says of its caller.
#[derive(Clone)]
pub(super) struct Spoken {
    token: Option<MetadataValue<Ascii>>,
    caller: Option<MetadataValue<Ascii>>,
}

impl Spoken {
    pub(super) fn new(options: &Options) -> Result<Self, Error> {
        let token = options.token.as_ref().map(|token| format!("Bearer {}", token.reveal()));
        let token = token.map(|text| value(&text)).transpose()?.map(|mut value| {
            // Kept out of what the transport logs.
            value.set_sensitive(true);
            value
        });
        let caller = options.caller.as_ref().map(|name| value(&caller_to_header(name)));
        Ok(Self { token, caller: caller.transpose()? })
    }

    pub(super) fn over(&self, channel: Channel) -> Link {
        InterceptedService::new(channel, self.clone())
    }
}

fn value(text: &str) -> Result<MetadataValue<Ascii>, Error> {
    text.parse().map_err(|_| Error::new(Kind::Invalid, "who calls can't be said in a header"))
}

impl Interceptor for Spoken {
    fn call(&mut self, mut request: Request<()>) -> Result<Request<()>, Status> {
        let said = [("authorization", &self.token), ("chablon-caller", &self.caller)];
        for (name, value) in said {
            if let Some(value) = value {
                request.metadata_mut().insert(name, value.clone());
            }
        }
        Ok(request)
    }
}
