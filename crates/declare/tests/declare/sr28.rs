//! Composition of foods per 100 g edible portion.
//!
//! Source: USDA National Nutrient Database for Standard Reference, release 28 (public domain), files
//! `FOOD_DES` and `NUT_DATA`, by NDB number. An empty figure isn't reported, which isn't nothing.

use chablon_quantity::Exact;

use crate::fixture::{exact, ingredient};

/// One food: grams in 100 g, sodium in milligrams.
pub(crate) struct Food {
    pub(crate) ndb: &'static str,
    pub(crate) name: &'static str,
    water: &'static str,
    protein: &'static str,
    fat: &'static str,
    saturates: &'static str,
    /// By difference, fibre in it.
    carbohydrate: &'static str,
    fibre: &'static str,
    sugars: &'static str,
    sodium: &'static str,
    ash: &'static str,
    alcohol: &'static str,
}

const fn food(ndb: &'static str, name: &'static str, figures: [&'static str; 10]) -> Food {
    let [water, protein, fat, saturates, carbohydrate, fibre, sugars, sodium, ash, alcohol] =
        figures;
    Food {
        ndb,
        name,
        water,
        protein,
        fat,
        saturates,
        carbohydrate,
        fibre,
        sugars,
        sodium,
        ash,
        alcohol,
    }
}

/// The food of an NDB number.
pub(crate) fn food_of(ndb: &str) -> &'static Food {
    FOODS.iter().find(|food| food.ndb == ndb).expect("a food of the table")
}

impl Food {
    /// The food as an ingredient of a book: carbohydrate without fibre, and salt as sodium x 2.5
    /// (Regulation (EU) No 1169/2011, Annex I). It holds no sugar alcohols.
    pub(crate) fn ingredient(&self, id: &str) -> String {
        let figure = |text: &str| (!text.is_empty()).then(|| exact(text));
        let carbohydrate = figure(self.carbohydrate).zip(figure(self.fibre)).map(|(a, b)| a - b);
        let salt = figure(self.sodium).map(|milligrams| milligrams / Exact::from(400));
        let content = [
            ("water", figure(self.water)),
            ("fat", figure(self.fat)),
            ("saturates", figure(self.saturates)),
            ("carbohydrate", carbohydrate.clone()),
            // Of milk, sugars by analysis come to more than carbohydrate by difference, which no
            // book may state.
            ("sugars", figure(self.sugars).filter(|one| Some(one) <= carbohydrate.as_ref())),
            ("polyols", Some(Exact::from(0))),
            ("fibre", figure(self.fibre)),
            ("protein", figure(self.protein)),
            ("salt", salt),
            ("alcohol", figure(self.alcohol)),
        ];
        let lines = content
            .into_iter()
            .filter_map(|(key, grams)| Some(format!("{key} = '{} g'\n", grams?)));
        let content: String = lines.collect();
        ingredient(id, &format!("other_allergens = 'free'\n[ingredient.content]\n{content}"))
    }

    /// Grams of ash.
    pub(crate) fn ash(&self) -> Exact {
        exact(self.ash)
    }

    /// Whether every figure is reported.
    pub(crate) fn is_complete(&self) -> bool {
        let all = [
            self.water,
            self.protein,
            self.fat,
            self.carbohydrate,
            self.fibre,
            self.ash,
            self.alcohol,
        ];
        all.iter().all(|figure| !figure.is_empty())
    }
}

/// All of them.
#[rustfmt::skip]
pub(crate) const FOODS: &[Food] = &[
    food("20081", "Wheat flour, white, all-purpose, enriched, b", ["11.92", "10.33", "0.98", "0.155", "76.31", "2.7", "0.27", "2", "0.47", "0"]),
    food("20083", "Wheat flour, white, bread, enriched", ["13.36", "11.98", "1.66", "0.244", "72.53", "2.4", "0.31", "2", "0.47", "0"]),
    food("20084", "Wheat flour, white, cake, enriched", ["12.51", "8.2", "0.86", "0.127", "78.03", "1.7", "0.31", "2", "0.39", "0"]),
    food("20481", "Wheat flour, white, all-purpose, unenriched", ["11.92", "10.33", "0.98", "0.155", "76.31", "2.7", "0.27", "2", "0.47", "0"]),
    food("20080", "Wheat flour, whole-grain", ["10.74", "13.21", "2.5", "0.43", "71.97", "10.7", "0.41", "2", "1.58", "0"]),
    food("20027", "Cornstarch", ["8.32", "0.26", "0.05", "0.009", "91.27", "0.9", "0", "9", "0.09", "0"]),
    food("19335", "Sugars, granulated", ["0.02", "0", "0", "0", "99.98", "0", "99.8", "1", "0.01", "0"]),
    food("19336", "Sugars, powdered", ["0.23", "0", "0", "0", "99.77", "0", "97.81", "2", "0.01", "0"]),
    food("19334", "Sugars, brown", ["1.34", "0.12", "0", "0", "98.09", "0", "97.02", "28", "0.45", "0"]),
    food("19296", "Honey", ["17.1", "0.3", "0", "0", "82.4", "0.2", "82.12", "4", "0.2", "0"]),
    food("19350", "Syrups, corn, light", ["22.81", "0", "0.2", "0", "76.79", "0", "76.77", "62", "0.2", "0"]),
    food("19304", "Molasses", ["21.87", "0", "0.1", "0.018", "74.73", "0", "74.72", "37", "3.3", "0"]),
    food("19353", "Syrups, maple", ["32.39", "0.04", "0.06", "0.007", "67.04", "0", "60.46", "12", "0.47", "0"]),
    food("01123", "Egg, whole, raw, fresh", ["76.15", "12.56", "9.51", "3.126", "0.72", "0", "0.37", "142", "1.06", "0"]),
    food("01124", "Egg, white, raw, fresh", ["87.57", "10.9", "0.17", "0", "0.73", "0", "0.71", "166", "0.63", "0"]),
    food("01125", "Egg, yolk, raw, fresh", ["52.31", "15.86", "26.54", "9.551", "3.59", "0", "0.56", "48", "1.71", "0"]),
    food("01136", "Egg, white, dried, powder, stabilized, gluco", ["8.54", "82.4", "0.04", "0", "4.47", "0", "0", "1238", "4.55", "0"]),
    food("01127", "Egg, yolk, raw, frozen, sugared, pasteurized", ["51.23", "13.87", "22.82", "7.11", "10.95", "0", "10.3", "70", "1.13", "0"]),
    food("01145", "Butter, without salt", ["17.94", "0.85", "81.11", "50.489", "0.06", "0", "0.06", "11", "0.09", "0"]),
    food("01001", "Butter, salted", ["15.87", "0.85", "81.11", "51.368", "0.06", "0", "0.06", "643", "2.11", "0"]),
    food("01077", "Milk, whole, 3.25% milkfat, with added vitam", ["88.13", "3.15", "3.25", "1.865", "4.8", "0", "5.05", "43", "0.67", "0"]),
    food("01085", "Milk, nonfat, fluid, with added vitamin A an", ["90.84", "3.37", "0.08", "0.056", "4.96", "0", "5.09", "42", "0.75", "0"]),
    food("01091", "Milk, dry, nonfat, regular, without added vi", ["3.16", "36.16", "0.77", "0.499", "51.98", "0", "51.98", "535", "7.93", "0"]),
    food("01095", "Milk, canned, condensed, sweetened", ["27.16", "7.91", "8.7", "5.486", "54.4", "0", "54.4", "127", "1.83", "0"]),
    food("01096", "Milk, canned, evaporated, with added vitamin", ["74.04", "6.81", "7.56", "4.591", "10.04", "0", "10.04", "106", "1.55", "0"]),
    food("01053", "Cream, fluid, heavy whipping", ["57.81", "2.84", "36.08", "23.032", "2.74", "0", "2.92", "27", "0.53", "0"]),
    food("01049", "Cream, fluid, half and half", ["81.24", "3.13", "10.39", "7.032", "4.73", "0", "4.13", "61", "0.51", "0"]),
    food("01056", "Cream, sour, cultured", ["73.07", "2.44", "19.35", "10.14", "4.63", "0", "3.41", "31", "0.51", "0"]),
    food("01017", "Cheese, cream", ["52.62", "6.15", "34.44", "20.213", "5.52", "0", "3.76", "314", "1.27", "0"]),
    food("01036", "Cheese, ricotta, whole milk", ["71.7", "11.26", "12.98", "8.295", "3.04", "0", "0.27", "84", "1.02", "0"]),
    food("01116", "Yogurt, plain, whole milk, 8 grams protein p", ["87.9", "3.47", "3.25", "2.096", "4.66", "0", "4.66", "46", "0.72", "0"]),
    food("19165", "Cocoa, dry powder, unsweetened", ["3", "19.6", "13.7", "8.07", "57.9", "37", "1.75", "21", "5.8", "0"]),
    food("19904", "Chocolate, dark, 70-85% cacao solids", ["1.37", "7.79", "42.63", "24.489", "45.9", "10.9", "23.99", "20", "2.32", ""]),
    food("19903", "Chocolate, dark, 60-69% cacao solids", ["1.25", "6.12", "38.31", "22.031", "52.42", "8", "36.71", "10", "1.9", ""]),
    food("19120", "Candies, milk chocolate", ["1.5", "7.65", "29.66", "18.509", "59.4", "3.4", "51.5", "79", "1.78", "0"]),
    food("19087", "Candies, white chocolate", ["1.3", "5.87", "32.09", "19.412", "59.24", "0.2", "59", "90", "1.5", "0"]),
    food("04501", "Oil, cocoa butter", ["0", "0", "100", "59.7", "0", "0", "0", "0", "0", "0"]),
    food("12061", "Nuts, almonds", ["4.41", "21.15", "49.93", "3.802", "21.55", "12.5", "4.35", "1", "2.97", "0"]),
    food("12062", "Nuts, almonds, blanched", ["4.51", "21.4", "52.52", "3.953", "18.67", "9.9", "4.63", "19", "2.91", "0"]),
    food("12071", "Nuts, almond paste", ["14.08", "9", "27.74", "2.629", "47.81", "4.8", "36.25", "9", "1.37", "0"]),
    food("12120", "Nuts, hazelnuts or filberts", ["5.31", "14.95", "60.75", "4.464", "16.7", "9.7", "4.34", "0", "2.29", "0"]),
    food("12151", "Nuts, pistachio nuts, raw", ["4.37", "20.16", "45.32", "5.907", "27.17", "10.6", "7.66", "1", "2.99", "0"]),
    food("12155", "Nuts, walnuts, english", ["4.07", "15.23", "65.21", "6.126", "13.71", "6.7", "2.61", "2", "1.78", "0"]),
    food("12142", "Nuts, pecans", ["3.52", "9.17", "71.97", "6.18", "13.86", "9.6", "3.97", "0", "1.49", "0"]),
    food("12087", "Nuts, cashew nuts, raw", ["5.2", "18.22", "43.85", "7.783", "30.19", "3.3", "5.91", "12", "2.54", ""]),
    food("12131", "Nuts, macadamia nuts, raw", ["1.36", "7.91", "75.77", "12.061", "13.82", "8.6", "4.57", "5", "1.14", "0"]),
    food("12078", "Nuts, brazilnuts, dried, unblanched", ["3.42", "14.32", "67.1", "16.134", "11.74", "7.5", "2.33", "3", "3.43", "0"]),
    food("12108", "Nuts, coconut meat, dried (desiccated), not", ["3", "6.88", "64.53", "57.218", "23.65", "16.3", "7.35", "37", "1.94", "0"]),
    food("12023", "Seeds, sesame seeds, whole, dried", ["4.69", "17.73", "49.67", "6.957", "23.45", "11.8", "0.3", "11", "4.45", "0"]),
    food("16087", "Peanuts, all types, raw", ["6.5", "25.8", "49.24", "6.279", "16.13", "8.5", "4.72", "18", "2.33", "0"]),
    food("19177", "Gelatins, dry powder, unsweetened", ["13", "85.6", "0.1", "0.07", "0", "0", "0", "196", "1.3", "0"]),
    food("18369", "Leavening agents, baking powder, double-acti", ["5", "0", "0", "0", "27.7", "0.2", "0", "10600", "67.3", "0"]),
    food("18372", "Leavening agents, baking soda", ["0.2", "0", "0", "0", "0", "0", "0", "27360", "36.9", "0"]),
    food("18373", "Leavening agents, cream of tartar", ["1.7", "0", "0", "0", "61.5", "0.2", "0", "52", "36.8", "0"]),
    food("18375", "Leavening agents, yeast, baker's, active dry", ["5.08", "40.44", "7.61", "1.001", "41.22", "26.9", "0", "51", "5.65", "0"]),
    food("18374", "Leavening agents, yeast, baker's, compressed", ["69", "8.4", "1.9", "0.243", "18.1", "8.1", "0", "30", "1.8", "0"]),
    food("02047", "Salt, table", ["0.2", "0", "0", "0", "0", "0", "0", "38758", "99.8", "0"]),
    food("02050", "Vanilla extract", ["52.58", "0.06", "0.06", "0.01", "12.65", "0", "12.65", "9", "0.26", "34.4"]),
    food("04053", "Oil, olive, salad or cooking", ["0", "0", "100", "13.808", "0", "0", "0", "2", "0", "0"]),
    food("04042", "Oil, peanut, salad or cooking", ["0", "0", "100", "16.9", "0", "0", "0", "0", "0", "0"]),
    food("04518", "Oil, corn, industrial and retail, all purpos", ["0", "0", "100", "12.948", "0", "0", "0", "0", "0", "0"]),
    food("04047", "Oil, coconut", ["0.03", "0", "99.06", "82.475", "0", "0", "0", "0", "0.03", "0"]),
    food("09003", "Apples, raw, with skin", ["85.56", "0.26", "0.17", "0.028", "13.81", "2.4", "10.39", "1", "0.19", "0"]),
    food("09040", "Bananas, raw", ["74.91", "1.09", "0.33", "0.112", "22.84", "2.6", "12.23", "1", "0.82", "0"]),
    food("09316", "Strawberries, raw", ["90.95", "0.67", "0.3", "0.015", "7.68", "2", "4.89", "1", "0.4", "0"]),
    food("09302", "Raspberries, raw", ["85.75", "1.2", "0.65", "0.019", "11.94", "6.5", "4.42", "1", "0.46", "0"]),
    food("09150", "Lemons, raw, without peel", ["88.98", "1.1", "0.3", "0.039", "9.32", "2.8", "2.5", "2", "0.3", "0"]),
    food("09152", "Lemon juice, raw", ["92.31", "0.35", "0.24", "0.04", "6.9", "0.3", "2.52", "1", "0.21", "0"]),
    food("09200", "Oranges, raw, all commercial varieties", ["86.75", "0.94", "0.12", "0.015", "11.75", "2.4", "9.35", "0", "0.44", "0"]),
    food("09298", "Raisins, seedless", ["15.43", "3.07", "0.46", "0.058", "79.18", "3.7", "59.19", "11", "1.85", "0"]),
    food("14429", "Beverages, water, tap, municipal", ["99.9", "0", "0", "0", "0", "0", "0", "3", "0.1", "0"]),
    food("14037", "Alcoholic beverage, distilled, all (gin, rum", ["66.6", "0", "0", "0", "0", "0", "0", "1", "0.01", "33.4"]),
    food("19300", "Jellies", ["29.77", "0.15", "0.02", "0.005", "69.95", "1", "51.22", "30", "0.12", "0"]),
    food("14209", "Beverages, coffee, brewed, prepared with tap", ["99.39", "0.12", "0.02", "0.002", "0", "0", "0", "2", "0.35", "0"]),
    food("16122", "Soy protein isolate", ["4.98", "88.32", "3.39", "0.422", "0", "0", "0", "1005", "3.58", "0"]),
    food("12118", "Nuts, coconut milk, canned (liquid expressed", ["72.88", "2.02", "21.33", "18.915", "2.81", "", "", "13", "0.97", ""]),
    food("04002", "Lard", ["0", "0", "100", "39.2", "0", "0", "0", "0", "0", "0"]),
    // Shortening, household; its sodium and alcohol are none.
    food("04031", "Shortening, household, soybean and cottonseed", ["0", "0", "100", "25", "0", "0", "0", "0", "0", "0"]),
];
