//! The stores of a hub and of a kitchen on SQLite.
