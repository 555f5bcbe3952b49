//! What the system said of a file, in words: one place, so that no message ends in a number that nobody can look up.

use std::io::{Error, ErrorKind};

/// Why something with a file did not go, as it stands inside a sentence.
pub fn said(error: &Error) -> String {
    let words = match error.kind() {
        ErrorKind::NotFound => "there is no such file or folder",
        ErrorKind::PermissionDenied => "this user may not do that there",
        ErrorKind::AlreadyExists => "something of that name is there already",
        ErrorKind::IsADirectory => "it is a folder",
        ErrorKind::NotADirectory => "a part of the path is a file, not a folder",
        ErrorKind::DirectoryNotEmpty => "a folder of that name is there already",
        ErrorKind::ReadOnlyFilesystem => "that place can only be read",
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded => "the disk is full",
        ErrorKind::FileTooLarge => "the file is too large for that disk",
        ErrorKind::InvalidFilename => "that is no name that a file can have there",
        ErrorKind::TimedOut => "the disk did not answer in time",
        ErrorKind::BrokenPipe => "nobody reads it any more",
        ErrorKind::OutOfMemory => "there is not enough memory",
        _ => return without_number(&error.to_string()),
    };
    words.to_owned()
}

/// The system's own words without its number at the end, with a small first letter.
fn without_number(words: &str) -> String {
    let words = words.rsplit_once(" (os error ").map_or(words, |(before, _)| before);
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_number_of_the_system_is_told() {
        // Numbers of Linux (errno(3)): 2 no such file, 13 permission, 28 no space, 5 input/output, which has no kind of its own.
        for (number, words) in [(2, "no such file"), (13, "may not"), (28, "full"), (5, "nput/output")] {
            let told = said(&Error::from_raw_os_error(number));
            assert!(told.contains(words) && !told.contains("os error"), "{number}: {told}");
        }
        assert_eq!(said(&Error::other("It went away")), "it went away");
    }
}
