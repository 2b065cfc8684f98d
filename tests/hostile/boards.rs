//! Board files.

use super::says;
use shortgrain::design::read_board;

fn refusal(text: &str) -> String {
    read_board("board.toml", text).expect_err("it should be refused").to_string()
}

#[test]
fn a_board_file_longer_than_anybody_writes_is_refused_unread() {
    let keys: String = (0..200_000).map(|k| format!("k{k} = 1\n")).collect();
    let told = read_board("board.toml", &keys).expect_err("it is too long").to_string();
    assert_eq!(told.lines().count(), 1, "{told}");
    assert!(told.contains("at most 65536 bytes"), "{told}");
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
