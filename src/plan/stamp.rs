//! What a plan's file held when it was read or written last, so that a save sees whether somebody else wrote to it since.
//!
//! The content is compared, not the time: a copy brought back has an old time, and one save may follow another within a tick.

use sha2::{Digest, Sha256};
use std::io::{ErrorKind, Read};
use std::path::Path;

/// Largest file that is looked into, bytes; plans are some kilobytes.
const LARGEST: u64 = 64 << 20;

/// What a file held.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stamp {
    /// There was no such file.
    Absent,
    /// The SHA-256 digest of its bytes.
    Digest([u8; 32]),
    /// It could not be looked into: no plain file, too large, or not to be read.
    Unknown,
}

impl Stamp {
    /// What the file at `path` holds now.
    pub fn of(path: &Path) -> Stamp {
        match std::fs::metadata(path) {
            Err(e) if e.kind() == ErrorKind::NotFound => Stamp::Absent,
            Ok(m) if m.is_file() && m.len() <= LARGEST => {
                let mut bytes = Vec::new();
                let read = std::fs::File::open(path).and_then(|f| f.take(LARGEST).read_to_end(&mut bytes));
                read.map_or(Stamp::Unknown, |_| Stamp::of_bytes(&bytes))
            }
            _ => Stamp::Unknown,
        }
    }

    /// What a file of these bytes holds.
    pub fn of_bytes(bytes: &[u8]) -> Stamp {
        Stamp::Digest(Sha256::digest(bytes).into())
    }

    /// True where a save to `path` writes over nothing but what this tells of: it holds the same still, or is gone.
    pub fn still_holds(self, path: &Path) -> bool {
        match Stamp::of(path) {
            Stamp::Absent => true,
            Stamp::Unknown => false,
            now => now == self,
        }
    }

    /// The digest as hexadecimal digits; none where there is none.
    pub fn to_hex(self) -> Option<String> {
        let Stamp::Digest(bytes) = self else { return None };
        Some(bytes.iter().map(|b| format!("{b:02x}")).collect())
    }

    /// A stamp from its hexadecimal digits; [`Stamp::Unknown`] where they are none.
    pub fn from_hex(text: &str) -> Stamp {
        let mut bytes = [0; 32];
        if text.len() != 64 || !text.bytes().all(|b| b.is_ascii_hexdigit()) {
            return Stamp::Unknown;
        }
        for (i, byte) in bytes.iter_mut().enumerate() {
            let Ok(two) = u8::from_str_radix(&text[2 * i..2 * i + 2], 16) else { return Stamp::Unknown };
            *byte = two;
        }
        Stamp::Digest(bytes)
    }
}
