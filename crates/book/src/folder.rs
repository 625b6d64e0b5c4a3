//! A book on disk.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use crate::Files;
use crate::read::{FOLDERS, is_toml};

/// Why a book's folder can't be read.
#[derive(Debug, thiserror::Error)]
#[error("`{}` can't be read", path.display())]
pub struct FolderError {
    /// The file or folder.
    pub path: PathBuf,
    /// Why.
    pub source: io::Error,
}

/// How deep folders are looked through: one level more than a book has, so that a file too deep
/// is found and named.
const DEPTH: usize = 3;

/// The files of a book's folder.
///
/// Taken are TOML files, and in the book's own folders whatever else stands there, so that a
/// misspelt name is found. Hidden files and folders are passed over, and a book may lie beside a
/// licence or a read-me.
///
/// # Errors
/// Where the folder or a file in it can't be read at all.
pub fn read_folder(path: &Path) -> Result<Files, FolderError> {
    let mut found = Vec::new();
    look_through(path, "", DEPTH, &mut found)?;
    Ok(Files::from_bytes(found))
}

type Found = Vec<(String, Vec<u8>)>;

fn look_through(
    folder: &Path,
    prefix: &str,
    depth: usize,
    found: &mut Found,
) -> Result<(), FolderError> {
    let failed = |path: &Path| {
        let path = path.to_owned();
        move |source| FolderError { path, source }
    };
    for entry in fs::read_dir(folder).map_err(failed(folder))? {
        let entry = entry.map_err(failed(folder))?;
        let (name, path) = (entry.file_name().to_string_lossy().into_owned(), entry.path());
        let below = format!("{prefix}{name}");
        if name.starts_with('.') {
            continue;
        }
        // Through links, so that books may share a folder.
        if fs::metadata(&path).map_err(failed(&path))?.is_dir() {
            if depth > 1 {
                look_through(&path, &format!("{below}/"), depth - 1, found)?;
            }
        } else if is_toml(&below) {
            found.push((below, fs::read(&path).map_err(failed(&path))?));
        } else if FOLDERS.iter().any(|own| prefix.starts_with(own)) {
            // What it holds doesn't matter: by its name it isn't part of the book.
            found.push((below, Vec::new()));
        }
    }
    Ok(())
}
