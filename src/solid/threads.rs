//! Work on several threads, its results in order.

use std::sync::atomic::{AtomicUsize, Ordering};

/// `work(0)`, `work(1)` … `work(count − 1)` on up to `threads` threads. What each gives depends on its number
/// alone, so the outcome is the same on any number of threads.
pub(crate) fn in_order<T: Send>(count: usize, threads: usize, work: impl Fn(usize) -> T + Sync) -> Vec<T> {
    let threads = threads.min(count);
    if threads <= 1 {
        return (0..count).map(work).collect();
    }
    let next = AtomicUsize::new(0);
    let share = || {
        let mut done = Vec::new();
        loop {
            let index = next.fetch_add(1, Ordering::Relaxed);
            if index >= count {
                return done;
            }
            done.push((index, work(index)));
        }
    };
    let mut done: Vec<(usize, T)> = std::thread::scope(|scope| {
        let others: Vec<_> = (1..threads).map(|_| scope.spawn(share)).collect();
        let own = share();
        let join = |other: std::thread::ScopedJoinHandle<'_, Vec<_>>| match other.join() {
            Ok(done) => done,
            Err(panic) => std::panic::resume_unwind(panic),
        };
        own.into_iter().chain(others.into_iter().flat_map(join)).collect()
    });
    done.sort_by_key(|(index, _)| *index);
    done.into_iter().map(|(_, result)| result).collect()
}
