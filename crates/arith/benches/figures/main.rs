//! Exactly rounded figures beside flat passes in plain floats over the same lines, in one run.
//!
//! `cargo bench -p chablon-arith` prints a median for each. The flat passes round nothing they
//! don't say, prove nothing, and are wrong at a part of the ties.
//!
//! `cargo bench -p chablon-arith -- beside FOLDER` takes the measured cases and their flat passes
//! in turn instead, and writes the medians and the book's tables to a folder, for databases to do
//! the same. `cargo xtask bench` does all of that and prints one table.

#[path = "../../tests/kitchen/generate.rs"]
mod generate;

mod beside;
mod cases;
mod export;
mod flat;
mod piece;

use std::io;
use std::path::Path;

fn main() -> io::Result<()> {
    let mut arguments = std::env::args_os().skip(1);
    if arguments.next().is_some_and(|first| first == "beside") {
        let folder = arguments.next().expect("a folder after `beside`");
        return beside(Path::new(&folder));
    }
    by_itself();
    Ok(())
}

fn beside(folder: &Path) -> io::Result<()> {
    export::write(piece::GroupBook::get(), folder)?;
    beside::write(folder)
}

#[expect(clippy::print_stdout, reason = "says what is measured")]
fn by_itself() {
    let book = piece::GroupBook::get();
    let recost = book.recost();
    let (recipes, lines) = (book.compiled.recipes().len(), book.compiled.lines().len());
    println!("the book: {recipes} recipes, {lines} lines; {} done exactly", recost.redone());
    let redone = piece::GroupBook::round().recost().redone();
    println!("with round numbers throughout: {redone} done exactly");
    let touched = book.touched(book.typical_ingredient());
    println!("one price: {} recipes depend on it", touched.len());
    divan::main();
}

mod sixty_leaves {
    use divan::Bencher;

    use crate::cases::sixty_leaves;

    #[divan::bench]
    fn exactly_rounded(bencher: Bencher<'_, '_>) {
        bencher.bench_local(sixty_leaves::exactly_rounded());
    }

    #[divan::bench]
    fn exact_ratios(bencher: Bencher<'_, '_>) {
        bencher.bench_local(sixty_leaves::exact_ratios());
    }

    #[divan::bench]
    fn flat(bencher: Bencher<'_, '_>) {
        bencher.bench_local(sixty_leaves::flat());
    }

    #[divan::bench]
    fn flat_rounded(bencher: Bencher<'_, '_>) {
        bencher.bench_local(sixty_leaves::flat_rounded());
    }
}

mod whole_book {
    use divan::Bencher;

    use crate::cases::whole_book;
    use crate::piece::GroupBook;

    #[divan::bench(sample_count = 40)]
    fn exactly_rounded(bencher: Bencher<'_, '_>) {
        bencher.bench_local(whole_book::exactly_rounded(GroupBook::get()));
    }

    /// A book of round numbers throughout, where halves of a digit are as common as can be.
    #[divan::bench(sample_count = 10)]
    fn exactly_rounded_with_ties(bencher: Bencher<'_, '_>) {
        bencher.bench_local(whole_book::exactly_rounded(GroupBook::round()));
    }

    /// The same in exact ratios throughout.
    #[divan::bench(sample_count = 3)]
    fn exact_ratios(bencher: Bencher<'_, '_>) {
        bencher.bench_local(|| GroupBook::get().exact());
    }

    #[divan::bench(sample_count = 40)]
    fn flat(bencher: Bencher<'_, '_>) {
        bencher.bench_local(whole_book::flat(GroupBook::get()));
    }
}

mod one_price {
    use divan::Bencher;

    use crate::cases::one_price;
    use crate::piece::GroupBook;

    #[divan::bench]
    fn exactly_rounded(bencher: Bencher<'_, '_>) {
        bencher.bench_local(one_price::exactly_rounded(GroupBook::get()));
    }

    #[divan::bench]
    fn flat(bencher: Bencher<'_, '_>) {
        bencher.bench_local(one_price::flat(GroupBook::get()));
    }
}
