//! Reads what a name stands for: a file, or a pipe that something is written into. Nothing is waited for without a word.

use std::fs::{self, File};
use std::io::{self, ErrorKind, Read as _};
use std::path::Path;
use std::sync::mpsc;
use std::thread;
use std::time::Duration;

use crate::talk;

/// So long a pipe may stay without anybody at its other end, and so long it may keep what it brings before that is said.
const PATIENCE: Duration = Duration::from_millis(1500);

/// The bytes of a file or pipe; of a larger one, or one that never ends, one more than `most`.
///
/// # Errors
///
/// A sentence that says what to try: there is no such file, it may not be read, it is neither file nor pipe, nobody writes into it.
pub(crate) fn read(path: &Path, most: usize) -> Result<Vec<u8>, String> {
    let told = |why: &str| format!("{}: {why}", path.display());
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

fn whole(file: File, most: usize) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    let most = u64::try_from(most).unwrap_or(u64::MAX).saturating_add(1);
    file.take(most).read_to_end(&mut bytes)?;
    Ok(bytes)
}

/// What comes out of a pipe. Opening one waits until somebody writes into it, reading it until that ends: both are done aside.
fn from_pipe(path: &Path, most: usize) -> io::Result<Vec<u8>> {
    let (opened, open) = mpsc::channel();
    let (ended, end) = mpsc::channel();
    let name = path.to_owned();
    thread::spawn(move || {
        let file = File::open(name);
        // Where the wait was given up nobody hears it.
        let _ = opened.send(());
        let _ = ended.send(file.and_then(|file| whole(file, most)));
    });
    open.recv_timeout(PATIENCE).map_err(|_| ErrorKind::TimedOut)?;
    let ended = end.recv_timeout(PATIENCE).or_else(|_| {
        talk::say(&format!("{}: waiting for the end of what is written into this pipe", path.display()));
        end.recv()
    });
    ended.unwrap_or_else(|_| Err(ErrorKind::BrokenPipe.into()))
}
