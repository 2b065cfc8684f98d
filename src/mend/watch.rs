//! Word of how far the work is, for whoever waits.

/// Hears what is being done, how much of it is done, and of how much. It may be called from several threads; nothing it does changes
/// an answer.
pub type Watch<'a> = &'a (dyn Fn(&str, usize, usize) + Sync);

/// Nobody waits.
pub fn unwatched(_doing: &str, _done: usize, _of: usize) {}
