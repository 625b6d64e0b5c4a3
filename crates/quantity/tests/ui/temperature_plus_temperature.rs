use chablon_quantity::Temperature;

fn main() {
    let _ = Temperature::of_celsius(80) + Temperature::of_celsius(2);
}
