//! Text STL.
//!
//! Read as a stream of words, so that any layout of lines will do. Facets are
//! `facet normal x y z outer loop vertex x y z vertex x y z vertex x y z endloop endfacet`, any case.

use super::{FARTHEST_MM, Fault, MOST_TRIANGLES, Welded, about, whole_middle};
use crate::mesh::Mesh;
use crate::mesh::weld::Welder;
use glam::DVec3;
use sha2::{Digest, Sha256};

/// True where the beginning of a file reads like text STL: `solid` or `facet` after any mark and blanks, and no byte
/// that text cannot have.
pub(super) fn looks_like_text(head: &[u8]) -> bool {
    let start = skip_mark(head);
    let start = &start[start.iter().position(|b| !b.is_ascii_whitespace()).unwrap_or(start.len())..];
    let begins = |word: &[u8]| start.get(..word.len()).is_some_and(|s| s.eq_ignore_ascii_case(word));
    (begins(b"solid") || begins(b"facet")) && start.iter().all(|&b| b >= 0x20 || b.is_ascii_whitespace() || b == 0x0b)
}

/// The bytes after a UTF-8 byte order mark.
fn skip_mark(bytes: &[u8]) -> &[u8] {
    bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes)
}

/// Words of a text with the line that each stands in.
struct Words<'a> {
    rest: &'a [u8],
    line: u64,
}

impl<'a> Words<'a> {
    fn next(&mut self) -> Option<&'a [u8]> {
        let blanks = self.rest.iter().take_while(|b| b.is_ascii_whitespace() || **b == 0x0b).count();
        self.line += self.rest[..blanks].iter().filter(|&&b| b == b'\n').count() as u64;
        self.rest = &self.rest[blanks..];
        let length = self.rest.iter().position(|b| b.is_ascii_whitespace()).unwrap_or(self.rest.len());
        let (word, rest) = self.rest.split_at(length);
        self.rest = rest;
        (!word.is_empty()).then_some(word)
    }

    /// Leaves out what is left of the line: the name of a solid may be anything.
    fn skip_line(&mut self) {
        let length = self.rest.iter().position(|&b| b == b'\n').unwrap_or(self.rest.len());
        self.rest = &self.rest[length..];
    }

    fn wrong(&self, expected: &'static str, found: &[u8]) -> Fault {
        let found: String = String::from_utf8_lossy(found).chars().take(40).collect();
        Fault::Text { line: self.line, expected, found: found.escape_debug().to_string() }
    }

    fn expect(&mut self, word: &'static str) -> Result<(), Fault> {
        match self.next() {
            None => Err(Fault::TextCutShort { line: self.line }),
            Some(found) if found.eq_ignore_ascii_case(word.as_bytes()) => Ok(()),
            Some(found) => Err(self.wrong(word, found)),
        }
    }

    fn number(&mut self) -> Result<f64, Fault> {
        let Some(word) = self.next() else { return Err(Fault::TextCutShort { line: self.line }) };
        std::str::from_utf8(word).ok().and_then(|w| w.parse().ok()).ok_or_else(|| self.wrong("a number", word))
    }

    fn corner(&mut self, triangle: u64, farthest: f64) -> Result<DVec3, Fault> {
        self.expect("vertex")?;
        let p = DVec3::new(self.number()?, self.number()?, self.number()?);
        if !p.is_finite() {
            return Err(Fault::NotFinite { triangle });
        }
        if p.abs().max_element() > farthest {
            return Err(Fault::TooFar { triangle });
        }
        Ok(p)
    }
}

pub(super) fn read(bytes: &[u8], mm_per_unit: f64) -> Result<Welded, Fault> {
    let (soup, digest) = rayon::join(|| corners(bytes, FARTHEST_MM / mm_per_unit), || Sha256::digest(bytes));
    let (soup, notes) = soup?;
    let (mut min, mut max) = (DVec3::INFINITY, DVec3::NEG_INFINITY);
    for &p in soup.iter().flatten() {
        (min, max) = (min.min(p), max.max(p));
    }
    let centre = whole_middle(min, max);
    let mut welder = Welder::with_capacity(soup.len() / 2 + 16);
    let triangles = soup.iter().map(|t| t.map(|p| welder.add(about(p, centre, mm_per_unit)))).collect();
    let mesh = Mesh { positions: welder.into_positions(), triangles };
    Ok(Welded { mesh, centre: centre * mm_per_unit, digest: digest.into(), notes })
}

/// Every facet of every solid.
fn corners(bytes: &[u8], farthest: f64) -> Result<(Vec<[DVec3; 3]>, Vec<String>), Fault> {
    let mut words = Words { rest: skip_mark(bytes), line: 1 };
    let mut soup: Vec<[DVec3; 3]> = Vec::new();
    let (mut solids, mut open) = (0u64, false);
    while let Some(word) = words.next() {
        let is = |wanted: &str| word.eq_ignore_ascii_case(wanted.as_bytes());
        if is("solid") {
            words.skip_line();
            solids += 1;
            open = true;
        } else if is("endsolid") {
            words.skip_line();
            open = false;
        } else if is("facet") {
            if soup.len() as u64 >= MOST_TRIANGLES {
                return Err(Fault::TooLarge { triangles: soup.len() as u64 + 1 });
            }
            let triangle = soup.len() as u64 + 1;
            words.expect("normal")?;
            // A normal is not used: one that is no number does no harm, one that is missing does.
            for _ in 0..3 {
                words.number()?;
            }
            words.expect("outer")?;
            words.expect("loop")?;
            let corners = [
                words.corner(triangle, farthest)?,
                words.corner(triangle, farthest)?,
                words.corner(triangle, farthest)?,
            ];
            words.expect("endloop")?;
            words.expect("endfacet")?;
            soup.push(corners);
        } else {
            return Err(words.wrong("`facet`, `solid` or `endsolid`", word));
        }
    }
    if soup.is_empty() {
        return Err(Fault::NoTriangles);
    }
    let mut notes = Vec::new();
    if open {
        notes.push("The text ends without `endsolid`; every facet before that is whole.".to_string());
    }
    if solids > 1 {
        notes.push(format!("{solids} solids in the file were read as one part."));
    }
    Ok((soup, notes))
}
