//! Checks against numbers that others, or a separate study of ours, found; a file a source.

mod insert;
mod strength;
