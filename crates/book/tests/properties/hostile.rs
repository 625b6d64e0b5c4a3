//! No text makes reading or showing fail, nor a finding point beside the text.

use chablon_book::{Files, RenderOptions, Severity, Style, read, render};
use proptest::prelude::*;
use proptest::sample::{Index, select};

/// Reads and shows a book in every way, and checks every place.
fn survive(files: Vec<(String, Vec<u8>)>) {
    let files = Files::from_bytes(files);
    let outcome = read(&files);
    let errors = outcome.findings.iter().any(|finding| finding.severity == Severity::Error);
    assert_eq!(outcome.book.is_none(), errors, "a book is refused if and only if it has errors");
    for finding in &outcome.findings {
        for label in &finding.labels {
            let text = files.text(label.span.file);
            assert!(text.get(label.span.start..label.span.end).is_some(), "{finding:?}");
        }
        assert!(finding.located(&files).file.is_some() || finding.code == "no-settings");
    }
    let wide = RenderOptions { colour: true, ..RenderOptions::default() };
    let narrow = RenderOptions { style: Style::Narrow, ..RenderOptions::default() };
    let small = RenderOptions { unicode: false, width: 1, ..RenderOptions::default() };
    for options in [wide, narrow, small] {
        let shown = render(&outcome.findings, &files, options);
        assert_eq!(shown.is_empty(), outcome.findings.is_empty());
    }
}

const PATHS: [&str; 6] = [
    "book.toml",
    "ingredients/dairy.toml",
    "recipes/honey-bavarois.toml",
    "sites/harbour.toml",
    "prices/harbour.toml",
    "odd/place.toml",
];

fn saltmarsh() -> Vec<(String, Vec<u8>)> {
    chablon_saltmarsh::files().into_iter().map(|(path, text)| (path, text.into_bytes())).collect()
}

/// Something done to a text.
#[derive(Clone, Debug)]
enum Damage {
    Cut(Index, Index),
    Insert(Index, Vec<u8>),
    Swap(Index, Index),
}

fn damage() -> impl Strategy<Value = Damage> {
    let odd = select(vec![
        "\"",
        "'",
        "[",
        "]",
        "{",
        "}",
        "=",
        "\n",
        "\r",
        ".",
        ",",
        "-",
        "0",
        "9e9",
        "é",
        "½",
        "%",
        "\u{feff}",
        "\u{0}",
        "[[line]]\n",
        "amount = \"1 l\"\n",
        "id = 3\n",
        "true",
        "2026-02-30",
    ]);
    let bytes = prop_oneof![
        odd.prop_map(|text| text.as_bytes().to_vec()),
        proptest::collection::vec(any::<u8>(), 1..4),
    ];
    prop_oneof![
        any::<(Index, Index)>().prop_map(|(from, to)| Damage::Cut(from, to)),
        (any::<Index>(), bytes).prop_map(|(at, bytes)| Damage::Insert(at, bytes)),
        any::<(Index, Index)>().prop_map(|(a, b)| Damage::Swap(a, b)),
    ]
}

/// At most this much is cut at once, so that most of the text stays what it was.
const LONGEST_CUT: usize = 40;

fn apply(damage: &Damage, text: &mut Vec<u8>) {
    if text.is_empty() {
        return;
    }
    match damage {
        Damage::Cut(from, to) => {
            let from = from.index(text.len());
            let to = (from + to.index(LONGEST_CUT)).min(text.len());
            text.drain(from..to);
        }
        Damage::Insert(at, bytes) => {
            let at = at.index(text.len());
            text.splice(at..at, bytes.iter().copied());
        }
        Damage::Swap(a, b) => {
            let (a, b) = (a.index(text.len()), b.index(text.len()));
            text.swap(a, b);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, ..ProptestConfig::default() })]

    #[test]
    fn any_text_in_any_file_is_survived(path in select(&PATHS[..]), text in any::<String>()) {
        survive(vec![(path.to_owned(), text.into_bytes())]);
    }

    #[test]
    fn any_bytes_are_survived(
        path in select(&PATHS[..]),
        bytes in proptest::collection::vec(any::<u8>(), 0..80),
    ) {
        survive(vec![(path.to_owned(), bytes)]);
    }

    #[test]
    fn text_in_the_letters_of_a_book_is_survived(
        path in select(&PATHS[..]),
        text in "([a-z_]{1,6} = |\\[\\[?(line|step|ingredient|price)\\]?\\]\\n|\"[0-9 ./,]{0,4}[a-zA-Z%°/]{0,3}\"|[0-9.,:{}\\[\\]-]|\\n){0,30}",
    ) {
        survive(vec![(path.to_owned(), text.into_bytes())]);
    }

    #[test]
    fn damaged_book_is_survived(
        file in any::<Index>(),
        damages in proptest::collection::vec(damage(), 1..5),
    ) {
        let mut files = saltmarsh();
        let at = file.index(files.len());
        for damage in &damages {
            apply(damage, &mut files[at].1);
        }
        survive(files);
    }
}
