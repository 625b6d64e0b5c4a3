use chablon_quantity::{Grams, Mass, Millilitres, Volume};

fn main() {
    let _ = Mass::of_grams(1) + Volume::of_millilitres(1);
}
