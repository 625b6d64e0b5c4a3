//! Sample documents.
//!
//! [`book`] is small enough to know by heart: a custard and a cream that uses it, two kitchens, the
//! group's prices and one kitchen's own. [`saltmarsh`] is the whole book of Saltmarsh Kitchens.

use chablon_book::{AuthoredBook, Files, read};
use chablon_model::{DocumentContent, DocumentKey};

const BOOK: &str = "name = 'Saltmarsh Kitchens'\ncurrency = 'EUR'\nlanguages = ['en']\n";

const INGREDIENTS: &str = r#"
[[ingredient]]
id = "milk-whole"
name = { en = "Whole milk" }
density = "1.03 g/mL"
allergens = { milk = "contains" }
other_allergens = "free"

[[ingredient]]
id = "egg-yolk"
name = { en = "Egg yolk" }
piece_mass = "18 g"
allergens = { egg = "contains" }
other_allergens = "free"

[[ingredient]]
id = "sugar-caster"
name = { en = "Caster sugar" }
other_allergens = "free"

[[ingredient]]
id = "cream-35"
name = { en = "Whipping cream 35 %" }
allergens = { milk = "contains" }
other_allergens = "free"
"#;

const CUSTARD: &str = r#"
id = "custard"
title = { en = "Custard" }
[yield]
mass = "1.4 kg"
[[line]]
ingredient = "milk-whole"
amount = "1 L"
[[line]]
ingredient = "egg-yolk"
amount = "240 g"
[[line]]
ingredient = "sugar-caster"
amount = "200 g"
[[loss]]
stage = "cook"
kind = "water"
fraction = "4 %"
"#;

const CREAM: &str = r#"
id = "custard-cream"
title = { en = "Custard cream" }
[yield]
pieces = 20
piece_mass = "50 g"
[batch]
max = "3 kg"
equipment = "mixer"
[[line]]
component = "custard"
amount = "600 g"
[[line]]
ingredient = "cream-35"
amount = "400 g"
[[step]]
id = "fold"
text = { en = "Fold the whipped cream into the cold custard." }
active = "10 min"
"#;

const HARBOUR: &str = r#"
id = "harbour"
name = "Harbour kitchen"
groups = ["coast"]
currency = "EUR"
labour_rate = "24.00 EUR/h"
[[scale]]
name = "bench"
capacity = "6 kg"
increment = "1 g"
[[equipment]]
class = "mixer"
capacity = "2 kg"
"#;

const MILLRACE: &str = r#"
id = "millrace"
name = "Millrace kitchen"
groups = ["inland"]
currency = "EUR"
"#;

const GROUP_PRICES: &str = r#"
[[price]]
ingredient = "milk-whole"
pack = "10 L"
price = "11.00 EUR"
from = 2026-01-01
supplier = "dairy-1"
[[price]]
ingredient = "egg-yolk"
pack = "1 kg"
price = "9.00 EUR"
from = 2026-01-01
supplier = "egg-1"
[[price]]
ingredient = "sugar-caster"
pack = "25 kg"
price = "30.00 EUR"
from = 2026-01-01
supplier = "dry-1"
[[price]]
ingredient = "cream-35"
pack = "1 kg"
price = "5.00 EUR"
from = 2026-01-01
supplier = "dairy-1"
"#;

const HARBOUR_PRICES: &str = r#"
site = "harbour"
[[price]]
ingredient = "cream-35"
pack = "1 kg"
price = "4.00 EUR"
from = 2026-06-01
supplier = "dairy-2"
"#;

/// The small book.
pub fn book() -> AuthoredBook {
    read_book([
        ("book.toml", BOOK),
        ("ingredients/all.toml", INGREDIENTS),
        ("recipes/custard.toml", CUSTARD),
        ("recipes/custard-cream.toml", CREAM),
        ("sites/harbour.toml", HARBOUR),
        ("sites/millrace.toml", MILLRACE),
        ("prices/group.toml", GROUP_PRICES),
        ("prices/harbour.toml", HARBOUR_PRICES),
    ])
}

/// The book of Saltmarsh Kitchens.
pub fn saltmarsh() -> AuthoredBook {
    read_book(chablon_saltmarsh::files())
}

/// A document of the small book, such as `recipe/custard`.
///
/// # Panics
/// Where the book has no such document.
pub fn document(name: &str) -> DocumentContent {
    let key: DocumentKey = name.parse().expect("a document such as `recipe/custard`");
    let found = book().documents().into_iter().find(|content| content.key() == key);
    found.unwrap_or_else(|| panic!("the small book has no `{name}`"))
}

fn read_book<P: Into<String>, T: Into<String>>(
    files: impl IntoIterator<Item = (P, T)>,
) -> AuthoredBook {
    let outcome = read(&Files::new(files));
    outcome.book.unwrap_or_else(|| panic!("the sample is faulty: {:#?}", outcome.findings))
}
