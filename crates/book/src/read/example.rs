//! One way to write the value of each key, for the hints of findings.

/// One way to write a key with its value, in the table that is called `what`; a list of tables
/// begins with its first header.
pub(super) fn example(what: &str, key: &str) -> Option<String> {
    if is_list_of_tables(what, key) {
        return Some(format!("[[{key}]]"));
    }
    let value = match (what, key) {
        ("the book" | "a site" | "a scale", "name") => r#""Harbour kitchen""#,
        ("a rate", "from") => r#""GBP""#,
        ("a limit", "from") => r#""63 °C""#,
        ("a limit", "to") => r#""10 °C""#,
        _ => value(key)?,
    };
    Some(format!("{key} = {value}"))
}

fn is_list_of_tables(what: &str, key: &str) -> bool {
    matches!(
        (what, key),
        ("a recipe", "line" | "loss" | "step")
            | ("a step", "control")
            | ("a site", "scale" | "equipment")
            | ("a price list", "price" | "rate")
            | ("a file of ingredients", "ingredient")
            | ("the food-safety plan", "limit" | "exempt")
    )
}

fn value(key: &str) -> Option<&'static str> {
    Some(match key {
        "id" => r#""honey-bavarois""#,
        "title" | "name" | "label_name" | "text" => r#"{ en = "..." }"#,
        "note" | "stage" => r#""...""#,
        "time_zone" => r#""Europe/Paris""#,
        "currency" | "to" => r#""EUR""#,
        "languages" => r#"["en", "fr"]"#,
        "labels" => r#"["eu"]"#,
        "density" => r#""1.03 g/mL""#,
        "piece_mass" => r#""50 g""#,
        "edible_yield" => r#""88 %""#,
        "allergens" => r#"{ egg = "contains" }"#,
        "other_allergens" => r#""free""#,
        "made_of" => r#"[{ ingredient = "cocoa-mass", amount = "58 %" }]"#,
        "ingredient" => r#""milk-whole""#,
        "component" => r#""pastry-cream""#,
        "amount" => r#""500 g""#,
        "base" | "critical" | "preferred" => "true",
        "tolerance" => r#""1 %""#,
        "pieces" => "48",
        "mass" | "max" | "capacity" => r#""6 kg""#,
        "min" => r#""800 g""#,
        "equipment" | "class" => r#""mixer""#,
        "kind" => r#""water""#,
        "fraction" => r#""4 %""#,
        "residue" => r#""30 g""#,
        "step" => r#""warm""#,
        "after" => r#"["warm"]"#,
        "active" | "passive" => r#""10 min""#,
        "measure" => r#""temperature""#,
        "target" => r#""80 °C""#,
        "condition" => r#""chilled""#,
        "keeps" => r#""48 h""#,
        "groups" => r#"["coast"]"#,
        "language" => r#""en""#,
        "label" => r#""eu""#,
        "labour_rate" => r#""24.50 EUR/h""#,
        "disc" | "half_sphere" | "cylinder" | "strip_around" => r#""16 cm""#,
        "ring" | "cone_frustum" => r#"["18 cm", "14 cm"]"#,
        "rectangle" | "frame" => r#"["60 cm", "40 cm"]"#,
        "loaf" => r#"["22 cm", "11 cm"]"#,
        "bottom" => r#"["20 cm", "8 cm"]"#,
        "thickness" => r#""4 mm""#,
        "height" | "tube" => r#""4.5 cm""#,
        "half_cylinder" => r#""8 cm""#,
        "savarin" => r#""18 cm""#,
        "length" => r#""60 cm""#,
        "width" => r#""40 cm""#,
        "gap" => r#""5 mm""#,
        "edge" => r#""1 cm""#,
        "fill" => r#"{ cylinder = "7 cm", height = "4 cm" }"#,
        "share" => r#""90 %""#,
        "count" => r#""48 pieces""#,
        "sheet" | "tray" => r#"{ length = "60 cm", width = "40 cm" }"#,
        "sheets" => "2",
        "trays" => "6",
        "tray_pieces" => "24",
        "layout" => r#""rows""#,
        "increment" => r#""1 g""#,
        "site" => r#""harbour""#,
        "supplier" => r#""dairy-1""#,
        "pack" => r#""10 kg""#,
        "price" => r#""78.40 EUR""#,
        "from" | "on" => "2026-10-01",
        "rate" => r#""1.17""#,
        "published" => r#""fr""#,
        "what" => r#""cold-holding""#,
        "reason" => r#""assessment of the product, 12 May 2026""#,
        "at_most" => r#""4 °C""#,
        "at_least" => r#""70 °C""#,
        "held" => r#""2 min""#,
        "within" => r#""2 h""#,
        "recipe" => r#""honey-loaf""#,
        _ => return None,
    })
}
