//! The demonstration's book as files on disk, for the command line to read.

use std::path::{Path, PathBuf};

/// A book in a folder, whose honey bavarois can be changed to make something to release.
pub struct Book {
    folder: PathBuf,
}

const BAVAROIS: &str = "recipes/honey-bavarois.toml";
const HONEY: &str = "ingredient = \"honey-acacia\"\namount = \"170 g\"";

impl Book {
    /// Writes files, as paths and texts, into a folder.
    pub fn write(folder: &Path, files: impl IntoIterator<Item = (String, String)>) -> Self {
        for (path, text) in files {
            let path = folder.join(path);
            std::fs::create_dir_all(path.parent().expect("a folder")).expect("a folder is made");
            std::fs::write(path, text).expect("a file is written");
        }
        Self { folder: folder.to_owned() }
    }

    /// The folder, for `--book`.
    pub fn folder(&self) -> &str {
        self.folder.to_str().expect("a path in UTF-8")
    }

    /// Puts so many hundredths of a gram more honey into the bavarois than at first.
    ///
    /// # Panics
    /// Where the recipe has no such line.
    pub fn more_honey(&self, first: &str, hundredths: u32) {
        assert!(first.contains(HONEY), "the bavarois has its line of honey");
        let amount = format!("{}.{:02} g", 170 + hundredths / 100, hundredths % 100);
        let text = first.replace(HONEY, &HONEY.replace("170 g", &amount));
        std::fs::write(self.folder.join(BAVAROIS), text).expect("a file is written");
    }

    /// The bavarois as it stands.
    pub fn bavarois(&self) -> String {
        std::fs::read_to_string(self.folder.join(BAVAROIS)).expect("the recipe is there")
    }
}
