//! Names that stand for no file: pipes, sockets and devices. Each ends in an answer or a named refusal; none is waited for in silence.

use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

fn shortgrain() -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_shortgrain"));
    command.stdin(Stdio::null()).stdout(Stdio::piped()).stderr(Stdio::piped());
    command
}

fn check(path: &Path) -> Output {
    let board = ["--wood", "cherry", "--thickness", "19mm", "--grain", "0deg"];
    shortgrain().arg("check").arg(path).args(board).output().expect("the program starts")
}

fn told(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

/// A pipe with a name, in a folder of its own.
pub(crate) fn pipe(name: &str) -> PathBuf {
    let folder = std::env::temp_dir().join(format!("{name}-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a folder can be made");
    let path = folder.join("pipe");
    let made = Command::new("mkfifo").arg(&path).status().expect("mkfifo is there");
    assert!(made.success());
    path
}

pub(crate) fn gone(path: &Path) {
    std::fs::remove_dir_all(path.parent().expect("it lies in a folder")).expect("it can be removed");
}

const BAR: &str = r#"<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="80mm" viewBox="0 0 100 80">
<rect id="bar" x="5" y="5" width="12" height="60"/></svg>"#;

#[test]
fn a_pipe_that_nothing_writes_into_is_refused() {
    let path = pipe("silent");
    let ran = check(&path);
    gone(&path);
    assert_eq!(ran.status.code(), Some(2));
    assert!(told(&ran).contains("this is a pipe, and nothing writes into it"), "{}", told(&ran));
}

#[test]
fn what_is_written_into_a_pipe_is_read() {
    let path = pipe("written");
    let writer = {
        let path = path.clone();
        std::thread::spawn(move || std::fs::write(path, BAR))
    };
    let ran = check(&path);
    writer.join().expect("it ends").expect("it is read");
    gone(&path);
    assert!(String::from_utf8_lossy(&ran.stdout).contains("pipe: its one slender place"), "{}", told(&ran));
}

/// As a shell hands on what another command prints. A board comes through once and is asked for twice, by reading and by judging.
#[test]
fn a_board_may_come_through_a_pipe() {
    let path = pipe("board");
    let design = path.with_file_name("bar.svg");
    std::fs::write(&design, BAR).expect("it can be written");
    let writer = {
        let path = path.clone();
        let board = "wood = \"cherry\"\nthickness = \"19mm\"\ngrain = \"0deg\"\ndrawn-in = \"in\"\n";
        std::thread::spawn(move || std::fs::write(path, board))
    };
    let ran = shortgrain()
        .args(["check", "--measure"])
        .arg(&design)
        .arg("--board")
        .arg(&path)
        .output()
        .expect("the program starts");
    writer.join().expect("it ends").expect("it is read");
    gone(&path);
    let text = String::from_utf8_lossy(&ran.stdout);
    assert!(text.contains("size: from --drawn-in in"), "{text}{}", told(&ran));
}

#[test]
fn devices_are_refused() {
    for device in ["/dev/zero", "/dev/null"] {
        let ran = check(Path::new(device));
        assert_eq!(ran.status.code(), Some(2));
        assert!(told(&ran).contains("this is a device, not a file"), "{}", told(&ran));
    }
}

#[test]
fn a_socket_is_refused() {
    let path = std::env::temp_dir().join(format!("socket-{}", std::process::id()));
    let socket = std::os::unix::net::UnixListener::bind(&path).expect("a socket can be made");
    let ran = check(&path);
    drop(socket);
    std::fs::remove_file(&path).expect("it can be removed");
    assert!(told(&ran).contains("this is a socket, not a file"), "{}", told(&ran));
}

/// What a command reads from standard input, named as `-`.
fn piped(args: &[&str], given: &str) -> Output {
    use std::io::Write as _;
    let board = ["--wood", "cherry", "--thickness", "19mm", "--grain", "0deg"];
    let mut command = shortgrain();
    let mut child = command.args(args).args(board).stdin(Stdio::piped()).spawn().expect("the program starts");
    // Who refuses before reading goes away.
    let _ = child.stdin.take().expect("it is a pipe").write_all(given.as_bytes());
    child.wait_with_output().expect("it ends")
}

#[test]
fn a_hyphen_is_standard_input() {
    let ran = piped(&["check", "-"], BAR);
    let text = String::from_utf8_lossy(&ran.stdout);
    assert!(text.contains("standard input: its one slender place"), "{text}{}", told(&ran));
    let ran = piped(&["check", "--measure", "-"], BAR);
    assert!(String::from_utf8_lossy(&ran.stdout).contains("area: 720.00 mm"), "{}", told(&ran));
    let dxf = include_str!("doubled.dxf");
    assert!(String::from_utf8_lossy(&piped(&["check", "--measure", "-"], dxf).stdout).contains("$INSUNITS"));
}

#[test]
fn what_is_wrong_with_standard_input_is_told_by_that_name() {
    for (given, says) in [
        ("", "standard input: the file is empty"),
        ("<svg", "standard input: line 1:"),
        ("some words", "standard input: a file without an ending"),
    ] {
        let ran = piped(&["check", "-"], given);
        assert_eq!(ran.status.code(), Some(2));
        assert!(told(&ran).contains(says), "{given}: {}", told(&ran));
    }
}

#[test]
fn standard_input_is_read_once() {
    for args in
        [["check", "-", "-"].as_slice(), &["check", "-", "--board", "-"], &["check", "--measure", "-", "-"]]
    {
        let ran = piped(args, BAR);
        assert_eq!(ran.status.code(), Some(2));
        assert!(told(&ran).contains("standard input (-) is named more than once"), "{}", told(&ran));
    }
}
