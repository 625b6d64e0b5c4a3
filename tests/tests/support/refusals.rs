//! The oracle's names for refusals, in our words.

/// Our codes for what the oracle calls a refusal of a book or of a request.
///
/// # Panics
/// For a kind that isn't known here: then nobody has said what it is to be compared with.
pub(crate) fn codes(kind: &str) -> &[&str] {
    match kind {
        "bad-base" => &["share-without-base", "share-as-base", "base-share"],
        "bad-target" | "not-above-0" => &["not-positive", "not-above-zero"],
        "below-per-batch" => &["below-per-batch"],
        "cycle" => &["cycle", "component-cycle"],
        "labour-needs-pieces" => &["labour-needs-pieces"],
        "loss-of-all" => &["loss-out-of-range", "out-of-range"],
        "missing-density" => &["missing-density"],
        "missing-piece-mass" => &["missing-piece-mass"],
        "no-pieces" => &["no-pieces"],
        "nothing-asked" => &["nothing-asked"],
        "nothing-scales" => &["nothing-scales", "no-mass"],
        "on-hand-among-others" => &["on-hand-among-others"],
        "on-hand-no-limit" => &["on-hand-no-limit"],
        "on-hand-not-used" => &["on-hand-not-used"],
        "on-hand-too-little" => &["on-hand-too-little"],
        "residue-exceeds-batch" => &["capacity-below-residue", "nothing-left"],
        "unexplained-loss" => &["unexplained-loss"],
        other => panic!("the oracle refuses with `{other}`, which isn't known here"),
    }
}
