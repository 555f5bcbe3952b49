//! To be furnished.
