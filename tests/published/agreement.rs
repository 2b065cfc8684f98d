//! How two numbers are held against each other.

/// Fails unless `ours` lies within a part of `theirs`.
#[track_caller]
pub(crate) fn agrees(ours: f64, theirs: f64, part: f64, what: &str) {
    assert!((ours - theirs).abs() <= part * theirs.abs(), "{what}: ours {ours}, theirs {theirs}");
}
