//! Keys at rest.

use chablon_trust::{KeyFile, KeyFileError};
use proptest::prelude::*;

use crate::samples::key;

fn sealed() -> KeyFile {
    KeyFile::sealed("Group pastry chef", &key(1), "pear and honey", [3; 16], [4; 12]).unwrap()
}

#[test]
fn a_sealed_key_opens_with_its_passphrase_alone() {
    let file: KeyFile = sealed().to_string().parse().unwrap();
    assert_eq!((file.holder(), file.public()), ("Group pastry chef", key(1).public()));
    assert!(file.is_sealed());
    assert_eq!(file.open(Some("pear and honey")).unwrap().public(), key(1).public());
    assert_eq!(file.open(Some("pear and Honey")).unwrap_err(), KeyFileError::WrongPassphrase);
    assert_eq!(file.open(None).unwrap_err(), KeyFileError::Sealed);
    let seed = hex::encode([1; 32]);
    assert!(!file.to_string().contains(&seed) && !format!("{file:?}").contains(&seed));
}

#[test]
fn a_key_in_plain_opens_without() {
    let file: KeyFile = KeyFile::plain("Hub", &key(2)).unwrap().to_string().parse().unwrap();
    assert!(!file.is_sealed());
    assert_eq!(file.open(None).unwrap().public(), key(2).public());
}

#[test]
fn a_holder_is_one_line() {
    for holder in ["", "  ", "a\nplain: 00"] {
        assert_eq!(KeyFile::plain(holder, &key(1)).unwrap_err(), KeyFileError::Holder);
    }
}

#[test]
fn a_file_cannot_ask_for_endless_work() {
    let text = sealed().to_string();
    for cost in ["argon2id 4294967295 3 1", "argon2id 65536 4000000 1", "argon2id 65536 3 1000000"]
    {
        let greedy = text.replace("argon2id 65536 3 1", cost);
        assert!(matches!(greedy.parse::<KeyFile>(), Err(KeyFileError::Malformed(_))), "{cost}");
    }
}

#[test]
fn another_holder_or_public_key_in_the_file_is_told() {
    let text = sealed().to_string();
    let other = text.replace("Group pastry chef", "Somebody else");
    let opened = other.parse::<KeyFile>().unwrap().open(Some("pear and honey"));
    assert_eq!(opened.unwrap_err(), KeyFileError::WrongPassphrase);
    let plain = KeyFile::plain("Hub", &key(2)).unwrap().to_string();
    let other = plain.replace(&key(2).public().to_string(), &key(3).public().to_string());
    assert_eq!(other.parse::<KeyFile>().unwrap().open(None).unwrap_err(), KeyFileError::OtherKey);
}

proptest! {
    /// Whatever stands in a file, it is read or refused.
    #[test]
    fn no_text_is_too_odd(text in "(chablon key 1\n)?(holder: .*\n)?(public: [0-9a-f]{0,70}\n)?(plain|sealed)?: .*\n?") {
        _ = text.parse::<KeyFile>();
    }
}
