use chablon_quantity::{Authored, Mass, VolumeUnit};

fn main() {
    let milk: Authored<VolumeUnit> = "1 L".parse().unwrap();
    let _: Mass = milk.quantity();
}
