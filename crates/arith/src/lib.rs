//! The arithmetic of the kitchen: yield, scaling, weigh-up and cost as pure functions.
