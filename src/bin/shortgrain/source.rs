//! Reads what a name stands for: a file, a pipe that something is written into, or standard input. Nothing is waited for without a word.

use std::fs::{self, File};
use std::io::{self, ErrorKind, IsTerminal as _, Read as _};
use std::path::Path;
use std::sync::mpsc;
use std::thread;
use std::time::Duration;

use crate::talk;

/// So long a pipe may stay without anybody at its other end, and so long it may keep what it brings before that is said.
const PATIENCE: Duration = Duration::from_millis(1500);

/// Whether a name stands for standard input. A file that is really called so is named with its directory, `./-`.
pub(crate) fn is_standard_input(path: &Path) -> bool {
    path.as_os_str() == "-"
}

/// What to call it.
pub(crate) fn name(path: &Path) -> String {
    if is_standard_input(path) { "standard input".to_owned() } else { path.display().to_string() }
}

/// The bytes of a file or pipe; of a larger one, or one that never ends, one more than `most`.
///
/// # Errors
///
/// A sentence that says what to try: there is no such file, it may not be read, it is neither file nor pipe, nobody writes into it.
pub(crate) fn read(path: &Path, most: usize) -> Result<Vec<u8>, String> {
    let told = |why: &str| format!("{}: {why}", name(path));
    if is_standard_input(path) {
        if io::stdin().is_terminal() {
            return Err(told(
                "nothing is piped into it; write what makes the file and a | before, or name a file",
            ));
        }
        let bytes = awaited(path, move || whole(io::stdin().lock(), most), None);
        return bytes.map_err(|error| told(&format!("it cannot be read: {error}")));
    }
    let bytes = match kind(path) {
        Ok(Kind::Pipe) => from_pipe(path, most),
        Ok(Kind::Neither(what)) => return Err(told(&format!("this is {what}, not a file; name a file"))),
        Ok(Kind::File) => File::open(path).and_then(|file| whole(file, most)),
        Err(error) => Err(error),
    };
    bytes.map_err(|error| match error.kind() {
        ErrorKind::NotFound => told("there is no such file; check the name"),
        ErrorKind::PermissionDenied => told("it may not be read; check its permissions"),
        ErrorKind::TimedOut => {
            told("this is a pipe, and nothing writes into it; begin what writes first, or name a file")
        }
        _ => told(&format!("it cannot be read: {error}")),
    })
}

/// What may be read as a file is, and what may not.
enum Kind {
    File,
    Pipe,
    Neither(&'static str),
}

#[cfg(unix)]
fn kind(path: &Path) -> io::Result<Kind> {
    use std::os::unix::fs::FileTypeExt as _;
    let kind = fs::metadata(path)?.file_type();
    Ok(if kind.is_fifo() {
        Kind::Pipe
    } else if kind.is_socket() {
        Kind::Neither("a socket")
    } else if kind.is_char_device() || kind.is_block_device() {
        Kind::Neither("a device")
    } else {
        Kind::File
    })
}

#[cfg(not(unix))]
fn kind(path: &Path) -> io::Result<Kind> {
    fs::metadata(path).map(|_| Kind::File)
}

fn whole(file: impl io::Read, most: usize) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    let most = u64::try_from(most).unwrap_or(u64::MAX).saturating_add(1);
    file.take(most).read_to_end(&mut bytes)?;
    Ok(bytes)
}

/// What comes out of a pipe. Opening one waits until somebody writes into it, reading it until that ends: both are done aside.
fn from_pipe(path: &Path, most: usize) -> io::Result<Vec<u8>> {
    let (opened, open) = mpsc::channel();
    let name = path.to_owned();
    let read = move || {
        let file = File::open(name);
        // Where the wait was given up nobody hears it.
        let _ = opened.send(());
        file.and_then(|file| whole(file, most))
    };
    awaited(path, read, Some(&open))
}

/// What `read`, done aside, comes to; where it says when it has begun, that is not waited for long.
fn awaited(
    path: &Path,
    read: impl FnOnce() -> io::Result<Vec<u8>> + Send + 'static,
    begun: Option<&mpsc::Receiver<()>>,
) -> io::Result<Vec<u8>> {
    let (ended, end) = mpsc::channel();
    thread::spawn(move || {
        let _ = ended.send(read());
    });
    if let Some(begun) = begun {
        begun.recv_timeout(PATIENCE).map_err(|_| ErrorKind::TimedOut)?;
    }
    let ended = end.recv_timeout(PATIENCE).or_else(|_| {
        talk::say(&format!("{}: waiting for the end of what is written into it", name(path)));
        end.recv()
    });
    ended.unwrap_or_else(|_| Err(ErrorKind::BrokenPipe.into()))
}
