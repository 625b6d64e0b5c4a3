//! Copies of a store that is in use.

use std::error::Error;
use std::ffi::OsString;
use std::path::{Path, PathBuf};

use sqlx::SqlitePool;
use tokio::fs;

/// Why there is no copy.
#[derive(Debug, thiserror::Error)]
pub enum BackupError {
    /// A file of that name exists.
    #[error("`{}` exists; name a new file for the backup", .0.display())]
    Exists(PathBuf),
    /// The copy could not be written.
    #[error("the backup could not be written to `{}`", path.display())]
    Failed {
        /// Where to.
        path: PathBuf,
        /// Why not.
        #[source]
        source: Box<dyn Error + Send + Sync>,
    },
}

/// Writes a copy as of one moment. It gets its name once it is whole and on the disk: a copy that
/// broke off would else pass for a backup.
pub(crate) async fn back_up(readers: &SqlitePool, path: &Path) -> Result<(), BackupError> {
    let failed = |source| BackupError::Failed { path: path.to_owned(), source };
    match fs::try_exists(path).await {
        Ok(false) => {}
        Ok(true) => return Err(BackupError::Exists(path.to_owned())),
        Err(error) => return Err(failed(error.into())),
    }
    let mut unfinished = OsString::from(path);
    unfinished.push(".unfinished");
    write(readers, Path::new(&unfinished), path).await.map_err(failed)
}

async fn write(
    readers: &SqlitePool,
    unfinished: &Path,
    path: &Path,
) -> Result<(), Box<dyn Error + Send + Sync>> {
    if fs::try_exists(unfinished).await? {
        fs::remove_file(unfinished).await?;
    }
    let name = unfinished.to_str().ok_or("the path is not UTF-8, as SQLite wants it")?;
    sqlx::query("VACUUM INTO ?1").bind(name).execute(readers).await?;
    fs::File::options().write(true).open(unfinished).await?.sync_all().await?;
    fs::rename(unfinished, path).await?;
    sync_folder(path).await?;
    Ok(())
}

/// A new name outlives a loss of power only once its folder is on the disk too.
#[cfg(unix)]
async fn sync_folder(path: &Path) -> std::io::Result<()> {
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty());
    fs::File::open(folder.unwrap_or(Path::new("."))).await?.sync_all().await
}

/// Elsewhere a folder can't be opened as a file, and the file system sees to it.
#[cfg(not(unix))]
async fn sync_folder(_path: &Path) -> std::io::Result<()> {
    Ok(())
}
