//! What the demonstration needs: a folder, a book, a hub and three kitchens.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use chablon_model::SiteId;
use chablon_sdk::{Client, Replica};
use chablon_server::{Hub, ServeError, SqliteHub, Stopped, open_store};
use tempfile::TempDir;
use tokio::net::TcpListener;
use tokio::task::JoinHandle;
use tokio_util::sync::CancellationToken;

use crate::arguments::LineArguments;
use crate::book::Checked;
use crate::failure::Failure;

/// The kitchens of the book.
pub(super) const SITES: [&str; 3] = ["harbour", "millrace", "station"];

/// Everything that was set up.
pub(super) struct Stage {
    folder: PathBuf,
    /// Removes the folder when it is dropped; none where it is kept.
    temporary: Option<TempDir>,
    hub: RunningHub,
    /// Speaks to the hub over the network.
    pub(super) client: Client,
    /// The kitchens' own copies.
    pub(super) kitchens: Vec<Replica>,
}

struct RunningHub {
    url: String,
    store: Arc<SqliteHub>,
    stop: CancellationToken,
    serving: JoinHandle<Result<Stopped, ServeError>>,
}

impl Stage {
    /// Sets everything up, in a folder of its own.
    pub(super) async fn build(keep: Option<&Path>) -> Result<Self, Failure> {
        let (folder, temporary) = folder(keep)?;
        write_book(&folder.join("book"))?;
        let hub = RunningHub::start(&folder.join("hub.db")).await?;
        let client = LineArguments::default().connect_as_stranger(&hub.url)?;
        let mut kitchens = Vec::new();
        for site in SITES {
            let site: SiteId = site.parse().expect("a constant id");
            let opened = Replica::open(folder.join(format!("{site}.db")), site).await;
            kitchens
                .push(opened.map_err(|error| Failure::of(&error, "there is no kitchen to show"))?);
        }
        Ok(Self { folder, temporary, hub, client, kitchens })
    }

    /// Stops the hub and closes the replicas.
    pub(super) async fn take_down(self) -> Result<(), Failure> {
        for kitchen in self.kitchens {
            kitchen.close().await;
        }
        self.hub.stop().await?;
        match self.temporary.map(TempDir::close) {
            Some(Err(error)) => Err(unwritable(&self.folder, &error)),
            _ => Ok(()),
        }
    }

    pub(super) fn folder(&self) -> &Path {
        &self.folder
    }

    /// The folder, where it is kept.
    pub(super) fn kept(&self) -> Option<&Path> {
        self.temporary.is_none().then_some(&self.folder)
    }

    pub(super) fn url(&self) -> &str {
        &self.hub.url
    }

    pub(super) fn book_folder(&self) -> PathBuf {
        self.folder.join("book")
    }

    /// Reads and checks the book as it is now.
    pub(super) fn book(&self) -> Result<Checked, Failure> {
        Checked::folder(&self.book_folder())
    }

    /// A kitchen by its site.
    pub(super) fn kitchen(&self, site: &str) -> &Replica {
        let kitchen = self.kitchens.iter().find(|kitchen| kitchen.site().as_str() == site);
        kitchen.expect("one of the three")
    }

    /// Changes one place in a file of the book, as an author does.
    pub(super) fn edit(&self, file: &str, from: &str, to: &str) -> Result<(), Failure> {
        let path = self.book_folder().join(file);
        let text = fs::read_to_string(&path).map_err(|error| unwritable(&path, &error))?;
        if text.matches(from).count() != 1 {
            return Err(Failure::internal(format!("{file} doesn't hold the place to edit once")));
        }
        fs::write(&path, text.replace(from, to)).map_err(|error| unwritable(&path, &error))
    }
}

impl RunningHub {
    async fn start(file: &Path) -> Result<Self, Failure> {
        let failed = |error: &dyn std::error::Error| {
            Failure::hub(format!("the hub can't be started: {error}"))
        };
        let store = open_store(file).await.map_err(|error| failed(&error))?;
        let listener = TcpListener::bind("127.0.0.1:0").await.map_err(|error| failed(&error))?;
        let address = listener.local_addr().map_err(|error| failed(&error))?;
        let stop = CancellationToken::new();
        let serving = tokio::spawn(Hub::new(store.clone()).serve(listener, stop.clone()));
        Ok(Self { url: format!("http://{address}"), store, stop, serving })
    }

    async fn stop(self) -> Result<(), Failure> {
        self.stop.cancel();
        let ended = self.serving.await;
        self.store.close().await;
        match ended {
            Ok(Ok(_)) => Ok(()),
            Ok(Err(error)) => Err(Failure::hub(format!("the hub stopped: {error}"))),
            Err(error) => Err(Failure::internal(format!("the hub broke off: {error}"))),
        }
    }
}

/// A folder that is new, and removed at the end unless it is kept.
fn folder(keep: Option<&Path>) -> Result<(PathBuf, Option<TempDir>), Failure> {
    let Some(kept) = keep else {
        let temporary = tempfile::Builder::new().prefix("chablon-demo-").tempdir();
        let temporary = temporary.map_err(|error| unwritable(&std::env::temp_dir(), &error))?;
        return Ok((temporary.path().to_owned(), Some(temporary)));
    };
    let empty = fs::read_dir(kept).map_or(true, |mut entries| entries.next().is_none());
    if !empty {
        return Err(Failure::refused(format!(
            "{} is not empty, so nothing was written to it",
            kept.display()
        ))
        .hint("name a new folder with --keep"));
    }
    fs::create_dir_all(kept).map_err(|error| unwritable(kept, &error))?;
    Ok((kept.to_owned(), None))
}

fn write_book(folder: &Path) -> Result<(), Failure> {
    for (path, text) in chablon_saltmarsh::files() {
        let path = folder.join(path);
        let below = path.parent().unwrap_or(folder);
        fs::create_dir_all(below).map_err(|error| unwritable(below, &error))?;
        fs::write(&path, text).map_err(|error| unwritable(&path, &error))?;
    }
    Ok(())
}

fn unwritable(path: &Path, error: &std::io::Error) -> Failure {
    Failure::hub(format!("{} can't be written: {error}", path.display()))
}
