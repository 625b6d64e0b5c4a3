//! Test fixtures: an in-process hub, a fixed clock, sample documents, a breaking proxy.
//!
//! For tests alone; what goes wrong here panics.
//!
//! ```
//! # tokio::runtime::Runtime::new().unwrap().block_on(async {
//! use chablon_model::Audience;
//! use chablon_testkit::{Chef, Keeping, TestHub, sample};
//!
//! let hub = TestHub::start(Keeping::Memory).await;
//! let mut chef = Chef::new();
//! let release = chef.release(&sample::book().documents(), &Audience::All);
//! assert_eq!(release.parts.len(), 3, "one for all, one each for two kitchens' own documents");
//! assert!(hub.url().starts_with("http://127.0.0.1:"));
//! hub.stop().await;
//! # });
//! ```

mod chef;
mod clock;
mod hub;
pub mod postgres;
mod proxy;
pub mod sample;
mod tls;
pub mod trust;

pub use chef::{Chef, FrozenPart, FrozenRelease, FrozenRevision, frozen};
pub use clock::TestClock;
pub use hub::{Keeping, TestHub, TestHubBuilder};
pub use proxy::Proxy;
pub use tls::Authority;
