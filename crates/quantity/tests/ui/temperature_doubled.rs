use chablon_quantity::{Exact, Temperature};

fn main() {
    let _ = Temperature::of_celsius(80) * Exact::from(2);
}
