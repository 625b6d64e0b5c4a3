//! The authored book: a folder of TOML files read into the model, with every finding located.
