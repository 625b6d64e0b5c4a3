//! Recipes, ingredients, sites, prices, releases: values, ids, and what is in force.
