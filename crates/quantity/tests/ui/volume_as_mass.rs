use chablon_quantity::{Mass, Millilitres, Volume};

fn weigh(_: Mass) {}

fn main() {
    weigh(Volume::of_millilitres(1));
}
