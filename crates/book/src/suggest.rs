//! The nearest of what is known to what was written.

/// The known name that was most likely meant, if one is near enough.
///
/// A name is near where few letters differ for its length, or where the written text is its first
/// word: `cream` for `cream-35`.
pub(crate) fn nearest<'a>(
    written: &str,
    known: impl IntoIterator<Item = &'a str>,
) -> Option<&'a str> {
    let written = written.trim().to_lowercase();
    let allowed = written.chars().count().div_ceil(3).min(4);
    known
        .into_iter()
        .filter_map(|name| distance(&written, name, allowed).map(|steps| (steps, name)))
        .min()
        .map(|(_, name)| name)
}

/// How far a name is from what was written; nothing where it is out of reach.
fn distance(written: &str, name: &str, allowed: usize) -> Option<usize> {
    let steps = strsim::damerau_levenshtein(written, &name.to_lowercase());
    let first_word =
        !written.is_empty() && name.strip_prefix(written).is_some_and(|rest| rest.starts_with('-'));
    // A first word comes after anything that is merely misspelt.
    if steps <= allowed { Some(steps) } else { first_word.then_some(allowed + 1) }
}

/// `` `a`, `b` or `c` ``.
pub(crate) fn either<T: AsRef<str>>(names: &[T]) -> String {
    join(&quoted(names), "or")
}

/// `` `a`, `b` and `c` ``.
pub(crate) fn all<T: AsRef<str>>(names: &[T]) -> String {
    join(&quoted(names), "and")
}

fn quoted<T: AsRef<str>>(names: &[T]) -> Vec<String> {
    names.iter().map(|name| format!("`{}`", name.as_ref())).collect()
}

/// `a, b or c` of phrases as they are.
pub(crate) fn join<T: AsRef<str>>(phrases: &[T], last: &str) -> String {
    let phrases: Vec<&str> = phrases.iter().map(AsRef::as_ref).collect();
    match phrases.split_last() {
        None => String::new(),
        Some((only, [])) => (*only).to_owned(),
        Some((end, start)) => format!("{} {last} {end}", start.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nearest_takes_the_fewest_changes() {
        assert_eq!(nearest("tolerence", ["target", "tolerance"]), Some("tolerance"));
        assert_eq!(nearest("milk-hole", ["milk-whole", "milk-powder"]), Some("milk-whole"));
    }

    #[test]
    fn nearest_prefers_a_misspelling_to_a_first_word() {
        assert_eq!(nearest("cream", ["cream-35", "creams"]), Some("creams"));
        assert_eq!(nearest("cream", ["cream-35", "sugar"]), Some("cream-35"));
    }

    #[test]
    fn nearest_gives_nothing_for_what_is_unlike() {
        assert_eq!(nearest("saffron", ["milk-whole", "sugar"]), None);
        assert_eq!(nearest("", ["milk"]), None);
    }

    #[test]
    fn either_names_all() {
        assert_eq!(either(&["a", "b", "c"]), "`a`, `b` or `c`");
        assert_eq!(either(&["a"]), "`a`");
    }
}
