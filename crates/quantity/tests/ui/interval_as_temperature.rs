use chablon_quantity::Temperature;

fn bake(_: Temperature) {}

fn main() {
    bake(Temperature::of_celsius(80) - Temperature::of_celsius(20));
}
