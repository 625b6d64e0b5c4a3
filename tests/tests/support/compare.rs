//! Comparing two results key by key.

use serde_json::Value;

/// What a comparison found.
#[derive(Default)]
pub(crate) struct Comparison {
    /// How many figures were equal, exact and rounded.
    pub(crate) figures: u64,
    /// Where the two differ.
    pub(crate) differences: Vec<String>,
}

impl Comparison {
    /// Holds our result to every key that the oracle gives; ours may have more.
    pub(crate) fn hold(&mut self, path: &str, expected: &Value, found: &Value) {
        match (expected, found) {
            (Value::Object(expected), Value::Object(found)) => {
                if expected.contains_key("exact") {
                    self.figures += 1;
                }
                for (key, expected) in expected {
                    let found = found.get(key).unwrap_or(&Value::Null);
                    let path = format!("{path}.{key}");
                    if key == "warnings" {
                        self.warnings(&path, expected, found);
                    } else {
                        self.hold(&path, expected, found);
                    }
                }
            }
            (Value::Array(expected), Value::Array(found)) if expected.len() == found.len() => {
                for (index, (expected, found)) in expected.iter().zip(found).enumerate() {
                    self.hold(&format!("{path}[{index}]"), expected, found);
                }
            }
            _ if expected == found => {}
            _ => self.differences.push(format!("{path}: {expected} is expected, found {found}")),
        }
    }

    /// Warnings are a set of codes; the wording is ours alone.
    fn warnings(&mut self, path: &str, expected: &Value, found: &Value) {
        let (expected, found) = (codes(expected), codes(found));
        if expected != found {
            self.differences.push(format!("{path}: {expected:?} are expected, found {found:?}"));
        }
    }
}

fn codes(warnings: &Value) -> std::collections::BTreeSet<&str> {
    let all = warnings.as_array().map_or(&[][..], Vec::as_slice);
    all.iter().filter_map(|warning| warning["code"].as_str()).collect()
}
