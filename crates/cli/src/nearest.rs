//! The known name that was probably meant.

/// Below this two names have too little in common. As similarity by Jaro and Winkler, where 1 is
/// equal; a slip of one or two letters in an id stays well above it.
const ALIKE: f64 = 0.8;

/// The known name that is most like the one that was typed, if one is.
pub(crate) fn nearest<'a>(
    typed: &str,
    known: impl IntoIterator<Item = &'a str>,
) -> Option<&'a str> {
    let rated = known.into_iter().map(|name| (strsim::jaro_winkler(typed, name), name));
    let best = rated.filter(|(alike, _)| *alike >= ALIKE).max_by(|a, b| a.0.total_cmp(&b.0));
    best.map(|(_, name)| name)
}

/// `did you mean ...?`, or else the names there are, where they are few.
pub(crate) fn hint<'a>(
    typed: &str,
    known: impl IntoIterator<Item = &'a str> + Clone,
) -> Option<String> {
    if let Some(name) = nearest(typed, known.clone()) {
        return Some(format!("did you mean `{name}`?"));
    }
    let all: Vec<String> = known.into_iter().map(|name| format!("`{name}`")).collect();
    (!all.is_empty() && all.len() <= 12).then(|| format!("there are {}", all.join(", ")))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_finds_its_name() {
        let known = ["honey-bavarois", "honey-biscuit", "honey-loaf"];
        assert_eq!(nearest("honey-bavaroi", known), Some("honey-bavarois"));
        assert_eq!(nearest("haney-loaf", known), Some("honey-loaf"));
        assert_eq!(nearest("trout", known), None);
    }
}
