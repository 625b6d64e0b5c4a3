//! Rust and descriptors from the schema, without `protoc`.
//!
//! The results are committed, so that nobody needs `proto/` or this task to build the crates.
//! Everything is generated into a folder of its own first: a failure leaves the tree as it was,
//! and `--check` compares without writing.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use anyhow::{Context, bail};
use prost::Message as _;

use crate::schema;

/// File names and what they hold.
type Files = BTreeMap<String, Vec<u8>>;

/// The file that gRPC reflection serves.
const DESCRIPTORS: &str = "descriptors.bin";

/// How to generate.
#[derive(clap::Args)]
pub(crate) struct Arguments {
    /// Write nothing; fail if what is committed isn't what the schema gives.
    #[arg(long)]
    pub(crate) check: bool,
    /// Promise what is in the schema now: from then on it may only grow.
    #[arg(long, conflicts_with = "check")]
    pub(crate) promise: bool,
}

/// Generates, or checks that there is nothing to generate.
pub(crate) fn run(arguments: &Arguments) -> anyhow::Result<()> {
    let root = crate::shell::root();
    let target = root.join("crates/wire/src/pb");
    let wanted = generate(&root.join("proto"))?;
    let found = read(&target)?;
    if arguments.promise {
        fs::write(root.join("proto").join(schema::PROMISED), &wanted[DESCRIPTORS])?;
    }
    if arguments.check { check(&wanted, &found) } else { write(&target, &wanted, &found) }
}

/// The files that the schema gives.
fn generate(proto: &Path) -> anyhow::Result<Files> {
    let mut descriptors = compile(proto)?;
    let folder = tempfile::tempdir()?;
    tonic_prost_build::configure()
        .bytes(".")
        .emit_rerun_if_changed(false)
        .out_dir(folder.path())
        .compile_fds(descriptors.clone())
        .context("generating Rust")?;
    let mut files = read(folder.path())?;
    // The comments are in the Rust code; in the descriptors they would only make each edit of one
    // a change of a binary file.
    for file in &mut descriptors.file {
        file.source_code_info = None;
    }
    files.insert(DESCRIPTORS.to_owned(), descriptors.encode_to_vec());
    Ok(files)
}

fn compile(proto: &Path) -> anyhow::Result<prost_types::FileDescriptorSet> {
    let package = proto.join("chablon/v1");
    let mut sources: Vec<PathBuf> = fs::read_dir(&package)
        .with_context(|| format!("reading {}", package.display()))?
        .map(|entry| entry.map(|e| e.path()))
        .collect::<Result<_, _>>()?;
    sources.retain(|path| path.extension().is_some_and(|extension| extension == "proto"));
    sources.sort();
    let mut compiler = protox::Compiler::new([proto])?;
    compiler.include_source_info(true).include_imports(true).open_files(&sources)?;
    Ok(compiler.file_descriptor_set())
}

fn read(folder: &Path) -> anyhow::Result<Files> {
    if !folder.exists() {
        return Ok(Files::new());
    }
    let mut files = Files::new();
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        let name = path.file_name().context("a folder entry without a name")?;
        files.insert(name.to_string_lossy().into_owned(), fs::read(&path)?);
    }
    Ok(files)
}

fn check(wanted: &Files, found: &Files) -> anyhow::Result<()> {
    let differing = differences(wanted, found);
    if differing.is_empty() {
        return Ok(());
    }
    bail!(
        "crates/wire/src/pb isn't what proto/ gives:\n  {}\nrun `cargo xtask generate` and commit \
         the result",
        differing.join("\n  ")
    )
}

fn differences(wanted: &Files, found: &Files) -> Vec<String> {
    let missing_or_other = wanted.iter().filter_map(|(name, content)| match found.get(name) {
        None => Some(format!("{name} is missing")),
        Some(other) if other != content => Some(format!("{name} is out of date")),
        Some(_) => None,
    });
    let left_over = found.keys().filter(|name| !wanted.contains_key(*name));
    missing_or_other.chain(left_over.map(|name| format!("{name} is left over"))).collect()
}

fn write(target: &Path, wanted: &Files, found: &Files) -> anyhow::Result<()> {
    fs::create_dir_all(target)?;
    for name in found.keys().filter(|name| !wanted.contains_key(*name)) {
        fs::remove_file(target.join(name))?;
    }
    for (name, content) in wanted {
        // Unchanged files are left alone, so that nothing is built again for them.
        if found.get(name) != Some(content) {
            fs::write(target.join(name), content)?;
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn files(pairs: &[(&str, &str)]) -> Files {
        pairs.iter().map(|(name, text)| ((*name).to_owned(), text.as_bytes().to_vec())).collect()
    }

    #[test]
    fn every_way_of_differing_is_named() {
        let wanted = files(&[("a", "1"), ("b", "2"), ("c", "3")]);
        let found = files(&[("a", "1"), ("b", "old"), ("d", "4")]);
        let differing = differences(&wanted, &found);
        assert_eq!(differing, ["b is out of date", "c is missing", "d is left over"]);
        assert!(check(&wanted, &found).is_err());
        assert!(check(&wanted, &wanted).is_ok());
    }

    #[test]
    fn writing_makes_the_folder_what_is_wanted() -> anyhow::Result<()> {
        let folder = tempfile::tempdir()?;
        let found = files(&[("b", "old"), ("d", "4")]);
        write(folder.path(), &found, &Files::new())?;
        let wanted = files(&[("a", "1"), ("b", "2")]);
        write(folder.path(), &wanted, &found)?;
        assert_eq!(read(folder.path())?, wanted);
        Ok(())
    }

    #[test]
    fn generating_twice_gives_the_same() -> anyhow::Result<()> {
        let proto = crate::shell::root().join("proto");
        let first = generate(&proto)?;
        assert!(first.contains_key("chablon.v1.rs") && first.contains_key(DESCRIPTORS));
        assert_eq!(first, generate(&proto)?);
        Ok(())
    }
}
