//! The direction of imports, held by the manifests themselves.

use std::collections::{BTreeMap, BTreeSet};

use cargo_metadata::{DependencyKind, MetadataCommand, Package};

/// What each crate may import of the workspace. An arrow that isn't here doesn't exist.
const ARROWS: &[(&str, &[&str])] = &[
    ("chablon-quantity", &[]),
    ("chablon-model", &["quantity"]),
    ("chablon-arith", &["quantity", "model"]),
    ("chablon-declare", &["quantity", "model", "arith"]),
    ("chablon-change", &["quantity", "model", "arith", "declare"]),
    ("chablon-book", &["quantity", "model"]),
    ("chablon-wire", &["quantity", "model"]),
    ("chablon-trust", &["model", "wire"]),
    ("chablon-store", &["model"]),
    ("chablon-store-sqlite", &["model", "store"]),
    ("chablon-store-postgres", &["model", "store"]),
    ("chablon-exchange", &["model", "arith", "declare", "change", "wire", "trust", "store"]),
    (
        "chablon-server",
        &[
            "quantity",
            "model",
            "arith",
            "declare",
            "change",
            "wire",
            "trust",
            "store",
            "store-postgres",
            "store-sqlite",
            "exchange",
        ],
    ),
    (
        "chablon-sdk",
        &[
            "quantity",
            "model",
            "arith",
            "declare",
            "change",
            "wire",
            "trust",
            "store",
            "store-sqlite",
        ],
    ),
    ("chablon-cli", &["quantity", "model", "arith", "book", "saltmarsh", "sdk", "server"]),
    ("chablon-saltmarsh", &[]),
    ("chablon-testkit", &["model", "book", "saltmarsh", "wire", "trust", "store", "server"]),
    ("chablon-tests", &[]),
    ("xtask", &[]),
];

/// What the pure crates may use from outside: numbers, dimensions, derived errors.
const PURE: &[&str] =
    &["num-bigint", "num-integer", "num-rational", "num-traits", "thiserror", "uom"];

fn packages() -> BTreeMap<String, Package> {
    let metadata = MetadataCommand::new().no_deps().exec().expect("cargo metadata runs");
    metadata.packages.into_iter().map(|package| (package.name.to_string(), package)).collect()
}

/// What a package depends on, development aside.
fn imports(package: &Package) -> BTreeSet<String> {
    let normal = |kind| kind != DependencyKind::Development;
    let names = package.dependencies.iter().filter(|one| normal(one.kind)).map(|one| &one.name);
    names.cloned().collect()
}

#[test]
fn imports_follow_the_arrows() {
    let packages = packages();
    let known: BTreeSet<&str> = ARROWS.iter().map(|(name, _)| *name).collect();
    let found: BTreeSet<&str> = packages.keys().map(String::as_str).collect();
    assert_eq!(found, known, "every crate has its arrows, and every arrow its crate");
    for (name, allowed) in ARROWS {
        let allowed: BTreeSet<String> =
            allowed.iter().map(|name| format!("chablon-{name}")).collect();
        let imported = imports(&packages[*name]);
        let own = imported.iter().filter(|import| import.starts_with("chablon-"));
        for import in own {
            assert!(allowed.contains(import), "{name} imports {import}");
        }
    }
}

#[test]
fn the_pure_crates_use_numbers_alone() {
    let packages = packages();
    for name in ["chablon-quantity", "chablon-model", "chablon-arith"] {
        for import in imports(&packages[name]) {
            let allowed = PURE.contains(&import.as_str()) || import.starts_with("chablon-");
            assert!(allowed, "{name} depends on {import}");
        }
    }
}

#[test]
fn test_helpers_are_for_development_only() {
    for (name, package) in packages() {
        assert!(!imports(&package).contains("chablon-testkit"), "{name} ships the test kit");
    }
}
