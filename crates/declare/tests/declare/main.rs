//! What is in it, worked by hand, against published figures and tables, and by laws that hold for
//! any book.

mod allergens;
mod balance;
mod content;
mod control;
mod declared;
mod fixture;
mod ingredient_list;
mod kitchen;
mod label;
mod laws;
mod properties;
mod published;
mod saltmarsh;
mod sr28;
mod tables;
