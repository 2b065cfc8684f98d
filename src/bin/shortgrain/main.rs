//! The command line: the only code that prints.

fn main() {}
