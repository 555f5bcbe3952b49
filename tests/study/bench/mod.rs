//! The cache of all facts.

mod cached;
