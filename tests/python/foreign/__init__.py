"""A foreign client: knows the schema alone, and none of the project's Rust."""
