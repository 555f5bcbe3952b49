//! Files: opened only where they are files, written whole or not at all, never over what was not meant, and a value found
//! again in the text that it was read from.

pub mod input;
pub mod output;
pub mod place;
