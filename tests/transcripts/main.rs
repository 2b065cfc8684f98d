//! Shell sessions, run and compared word for word: every flag, every exit status, every message.
//!
//! A session is a Markdown file beside this one, or one of two pages in `docs`. In its `console` blocks a line after `$ ` is run by `sh`, what
//! follows is what it must print, stdout before stderr, and `? 1` is its exit status when that is not 0. A
//! session has a directory of its own, with the sample designs in `shapes` and the drawings of
//! `tests/transcripts/drawings` and the carried font in `drawings`. `...` on a line of its own stands for any lines.
//!
//! `SHORTGRAIN_ACCEPT=1` writes what is printed into the sessions; read the difference before it is committed.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

const ROOT: &str = env!("CARGO_MANIFEST_DIR");

macro_rules! sessions {
    ($($name:ident)*) => {
        $(#[test] fn $name() { hold(stringify!($name)); })*

        #[test]
        fn every_session_is_run() {
            let mut listed = vec![$(format!("{}.md", stringify!($name))),*];
            listed.sort();
            let folder = Path::new(ROOT).join("tests/transcripts");
            let mut found: Vec<String> = fs::read_dir(folder)
                .expect("the sessions are there")
                .map(|entry| entry.expect("it can be read").file_name().into_string().expect("plain names"))
                .filter(|name| name.ends_with(".md"))
                .collect();
            found.sort();
            assert_eq!(listed, found);
        }
    };
}

/// The guide is a session too: what it shows is what is printed.
#[test]
fn the_guide() {
    hold_file(&Path::new(ROOT).join("docs/guide.md"), "guide");
}

/// So is the page on the board file.
#[test]
fn the_board_file() {
    hold_file(&Path::new(ROOT).join("docs/board.md"), "board");
}

sessions! { check drawings faults files fit help letter mend readme seasons turn wood }

/// Runs a session and compares, or accepts.
fn hold(name: &str) {
    hold_file(&Path::new(ROOT).join("tests/transcripts").join(format!("{name}.md")), name);
}

fn hold_file(path: &Path, name: &str) {
    let written = fs::read_to_string(path).expect("the session is there");
    let room = room(name);
    let seen = replayed(&written, &room);
    let _ = fs::remove_dir_all(&room);
    if std::env::var_os("SHORTGRAIN_ACCEPT").is_some() {
        fs::write(path, seen).expect("the session can be written");
        return;
    }
    if let Some((line, (want, got))) =
        written.lines().zip(seen.lines()).enumerate().find(|(_, (want, got))| want != got)
    {
        panic!("{name}.md, line {}:\n  written: {want}\n  printed: {got}\nall of it:\n{seen}", line + 1);
    }
    assert_eq!(
        written.lines().count(),
        seen.lines().count(),
        "{name}.md has lines too many or too few:\n{seen}"
    );
}

/// A new directory with the designs a session uses.
fn room(name: &str) -> PathBuf {
    let room = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(format!("{name}-{}", std::process::id()));
    let _ = fs::remove_dir_all(&room);
    fs::create_dir_all(&room).expect("a directory can be made");
    copy(&Path::new(ROOT).join("shapes"), &room.join("shapes"));
    copy(&Path::new(ROOT).join("tests/transcripts/drawings"), &room.join("drawings"));
    let font = Path::new(ROOT).join("src/letter/font/sans-bold.ttf");
    fs::copy(font, room.join("drawings/sans-bold.ttf")).expect("the carried font is there");
    room
}

fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).expect("a directory can be made");
    for entry in fs::read_dir(from).expect("it can be listed") {
        let entry = entry.expect("it can be read");
        let target = to.join(entry.file_name());
        if entry.path().is_dir() {
            copy(&entry.path(), &target);
        } else {
            fs::copy(entry.path(), target).expect("it can be copied");
        }
    }
}

/// The session's text with what its commands print now.
fn replayed(written: &str, room: &Path) -> String {
    let mut text = String::new();
    let mut lines = written.lines().peekable();
    let mut inside = false;
    while let Some(line) = lines.next() {
        text.push_str(line);
        text.push('\n');
        if line.starts_with("```") {
            inside = line == "```console";
        }
        let Some(command) = line.strip_prefix("$ ").filter(|_| inside) else { continue };
        let mut want = Vec::new();
        while let Some(next) = lines.next_if(|next| !next.starts_with("$ ") && !next.starts_with("```")) {
            want.push(next);
        }
        let got = run(command, room);
        let got: Vec<&str> = got.lines().collect();
        for line in if matches(&want, &got) { want } else { got } {
            text.push_str(line);
            text.push('\n');
        }
    }
    text
}

/// Whether what was printed is what is written, `...` standing for any lines.
fn matches(want: &[&str], got: &[&str]) -> bool {
    match want.split_first() {
        None => got.is_empty(),
        Some((&"...", rest)) => (0..=got.len()).any(|skip| matches(rest, &got[skip..])),
        Some((first, rest)) => got.first() == Some(first) && matches(rest, &got[1..]),
    }
}

/// What a command prints, with its exit status when it is not 0.
fn run(command: &str, room: &Path) -> String {
    let program = Path::new(env!("CARGO_BIN_EXE_shortgrain"));
    let own = program.parent().expect("a program lies in a directory");
    let path = format!("{}:{}", own.display(), std::env::var("PATH").unwrap_or_default());
    let done = Command::new("sh")
        .args(["-c", command])
        .current_dir(room)
        .env("PATH", path)
        .env("COLUMNS", "100")
        .env("LC_ALL", "C")
        .output()
        .expect("sh can be run");
    let mut text = String::from_utf8_lossy(&done.stdout).into_owned();
    text.push_str(&String::from_utf8_lossy(&done.stderr));
    if !text.is_empty() && !text.ends_with('\n') {
        text.push('\n');
    }
    match done.status.code() {
        Some(0) => {}
        Some(code) => text.push_str(&format!("? {code}\n")),
        None => text.push_str("? stopped by a signal\n"),
    }
    text
}
