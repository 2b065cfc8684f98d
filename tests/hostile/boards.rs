//! Board files.

use super::says;
use shortgrain::design::read_board;

fn refusal(text: &str) -> String {
    read_board("board.toml", text).expect_err("it should be refused").to_string()
}

#[test]
fn numbers_that_are_none_are_refused() {
    let message = refusal("thickness = \"nanmm\"\npush = \"infN\"\nmoisture = nan\n");
    says(
        &message,
        &[&["thickness: ", "nanmm"], &["push: ", "infN"], &["moisture: ", "nan is not a moisture"]],
    );
}

#[test]
fn a_key_twice_is_refused() {
    assert!(refusal("wood = \"oak\"\nwood = \"ash\"\n").contains("line 2:"));
}

#[test]
fn tables_without_end_are_refused() {
    let deep = format!("wood = {}{}", "[".repeat(5000), "]".repeat(5000));
    assert!(refusal(&deep).contains("board.toml: line 1:"));
}
