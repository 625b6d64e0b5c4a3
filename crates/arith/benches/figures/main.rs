//! Exactly rounded figures beside flat passes in plain floats over the same lines, in one run.
//!
//! `cargo bench -p chablon-arith` prints a median for each. Within a group, divide a figure's
//! median by that of its flat pass. The flat passes round nothing they don't say, prove nothing,
//! and are wrong at a part of the ties.

#[path = "../../tests/kitchen/generate.rs"]
mod generate;

mod flat;
mod piece;

#[expect(clippy::print_stdout, reason = "says what is measured")]
fn main() {
    let book = piece::GroupBook::get();
    let mut recost = book.recost();
    let (recipes, lines) = (book.compiled.recipes().len(), book.compiled.lines().len());
    println!("the book: {recipes} recipes, {lines} lines; {} done exactly", recost.redone());
    let redone = piece::GroupBook::round().recost().redone();
    println!("with round numbers throughout: {redone} done exactly");
    let touched = recost.change(&book.compiled, &[(book.typical_ingredient(), None)]);
    println!("one price: {} recipes depend on it", touched.len());
    divan::main();
}

/// A finished piece of 60 leaf lines on four levels: its ingredient masses and what they cost.
mod sixty_leaves {
    use divan::{Bencher, black_box};

    use crate::piece::Piece;

    /// Masses to 0.001 g, costs and their total to 0.01, all of them exactly rounded.
    #[divan::bench]
    fn exactly_rounded(bencher: Bencher<'_, '_>) {
        let piece = Piece::new();
        let explosion = piece.explosion();
        let costs = piece.gram_costs(&explosion);
        let mut demands = piece.demands().into_iter().cycle();
        bencher.bench_local(|| {
            let net = demands.next().unwrap();
            explosion.food_cost(black_box(std::slice::from_ref(&net)), &costs).unwrap()
        });
    }

    /// The same in exact ratios throughout.
    #[divan::bench]
    fn exact_ratios(bencher: Bencher<'_, '_>) {
        let piece = Piece::new();
        let explosion = piece.explosion();
        let mut demands = piece.demands().into_iter().cycle();
        bencher.bench_local(|| {
            let net = demands.next().unwrap();
            explosion.exact_masses(black_box(std::slice::from_ref(&net))).unwrap()
        });
    }

    /// Plain floats from the amounts as authored, converted on the way, nothing rounded.
    #[divan::bench]
    fn flat(bencher: Bencher<'_, '_>) {
        let flat = Piece::new().flat();
        let mut demands = (1..=64).cycle();
        bencher.bench_local(|| flat.food_cost(black_box(f64::from(demands.next().unwrap()))));
    }

    /// The same, then rounded as floats round.
    #[divan::bench]
    fn flat_rounded(bencher: Bencher<'_, '_>) {
        let flat = Piece::new().flat();
        let mut demands = (1..=64).cycle();
        bencher.bench_local(|| flat.rounded(black_box(f64::from(demands.next().unwrap()))));
    }
}

/// The standard unit costs of 50,000 recipes with 750,000 lines.
mod whole_book {
    use divan::Bencher;

    use crate::flat::FlatBook;
    use crate::piece::GroupBook;

    /// By the gram and by the piece to 0.0001, all of them exactly rounded.
    #[divan::bench(sample_count = 40)]
    fn exactly_rounded(bencher: Bencher<'_, '_>) {
        let book = GroupBook::get();
        let mut recost = book.recost();
        bencher.bench_local(|| recost.refresh(&book.compiled));
    }

    /// A book of round numbers throughout, where halves of a digit are as common as can be.
    #[divan::bench(sample_count = 10)]
    fn exactly_rounded_with_ties(bencher: Bencher<'_, '_>) {
        let book = GroupBook::round();
        let mut recost = book.recost();
        bencher.bench_local(|| recost.refresh(&book.compiled));
    }

    /// The same in exact ratios throughout.
    #[divan::bench(sample_count = 3)]
    fn exact_ratios(bencher: Bencher<'_, '_>) {
        let book = GroupBook::get();
        bencher.bench_local(|| book.exact());
    }

    /// Plain floats over the same arrays, nothing rounded.
    #[divan::bench(sample_count = 40)]
    fn flat(bencher: Bencher<'_, '_>) {
        let mut flat = FlatBook::new(GroupBook::get());
        bencher.bench_local(|| flat.all());
    }
}

/// One changed price, which some 500 recipes depend on.
mod one_price {
    use chablon_quantity::Exact;
    use divan::Bencher;

    use crate::flat::FlatBook;
    use crate::piece::GroupBook;

    /// Finds what depends on it and rounds its unit costs exactly.
    #[divan::bench]
    fn exactly_rounded(bencher: Bencher<'_, '_>) {
        let book = GroupBook::get();
        let mut recost = book.recost();
        let index = book.typical_ingredient();
        let mut cents = (1u32..=100).cycle();
        bencher.bench_local(|| {
            let cost = Exact::from(cents.next().unwrap()) / Exact::from(10_000);
            recost.change(&book.compiled, &[(index, Some(cost))])
        });
    }

    /// Plain floats over the touched part, which is known beforehand; nothing rounded.
    #[divan::bench]
    fn flat(bencher: Bencher<'_, '_>) {
        let book = GroupBook::get();
        let mut flat = FlatBook::new(book);
        let index = book.typical_ingredient();
        let touched = book.recost().change(&book.compiled, &[(index, None)]);
        let touched: Vec<usize> = touched.into_iter().map(|recipe| recipe.0).collect();
        let mut cents = (1u32..=100).cycle();
        bencher.bench_local(|| {
            flat.set(index, f64::from(cents.next().unwrap()) / 10_000.0);
            flat.some(&touched);
        });
    }
}
