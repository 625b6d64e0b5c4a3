"""The cases, a module for each file. `TITLE` and `CASES`, and `BOOKS` where there are some."""
