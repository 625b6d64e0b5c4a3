//! Says when to compile the book in anew: the compiler itself doesn't notice an added file.

fn main() {
    println!("cargo::rerun-if-changed=book");
}
