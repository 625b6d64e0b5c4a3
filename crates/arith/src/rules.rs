#![doc = include_str!("../docs/rules.md")]

/// The version of the rules that these figures follow; every result's basis names it.
pub const RULES_VERSION: &str = "1";

#[cfg(test)]
mod tests {
    use super::RULES_VERSION;

    #[test]
    fn the_written_rules_state_their_version() {
        let rules = include_str!("../docs/rules.md");
        assert!(rules.contains(&format!("Version {RULES_VERSION}.")));
    }
}
