//! Work on several threads, its results in order.

use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Condvar, Mutex, PoisonError};

/// How many are at work that may hold much memory.
static AT_WORK: Mutex<usize> = Mutex::new(0);
/// One of them has ended.
static ENDED: Condvar = Condvar::new();

/// A turn at work that holds much memory, until it is dropped: no more are taken at once than there are threads, however many wait for one.
/// Whoever has a turn takes no other.
pub(super) struct Turn(());

impl Turn {
    /// Waits for one.
    pub(super) fn wait() -> Self {
        let most = threads_at_once();
        let at_work = AT_WORK.lock().unwrap_or_else(PoisonError::into_inner);
        let mut at_work =
            ENDED.wait_while(at_work, |at_work| *at_work >= most).unwrap_or_else(PoisonError::into_inner);
        *at_work += 1;
        Self(())
    }
}

impl Drop for Turn {
    fn drop(&mut self) {
        *AT_WORK.lock().unwrap_or_else(PoisonError::into_inner) -= 1;
        ENDED.notify_one();
    }
}

/// How many threads this machine runs at once; one where it does not tell.
pub(crate) fn threads_at_once() -> usize {
    std::thread::available_parallelism().map_or(1, std::num::NonZero::get)
}

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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_more_turns_are_taken_at_once_than_there_are_threads() {
        let threads = threads_at_once();
        let (now, most) = (AtomicUsize::new(0), AtomicUsize::new(0));
        in_order(8 * threads, 4 * threads, |_| {
            let _turn = Turn::wait();
            most.fetch_max(now.fetch_add(1, Ordering::SeqCst) + 1, Ordering::SeqCst);
            std::thread::yield_now();
            now.fetch_sub(1, Ordering::SeqCst);
        });
        assert!((1..=threads).contains(&most.load(Ordering::SeqCst)), "{most:?}");
    }
}
