//! Binary STL: 80 bytes, a count, then 50 bytes a triangle.

use super::{FARTHEST_MM, Fault, HEADER, MOST_TRIANGLES, Welded, about, note_on_coarseness, whole_middle};
use crate::mesh::Mesh;
use crate::mesh::weld::Welder;
use glam::{DVec3, Vec3};
use sha2::{Digest, Sha256};
use std::io::Read;

/// Bytes of one triangle: normal, three corners, attribute.
const RECORD: usize = 50;
/// Triangles read at once: the buffer stays in the cache while it is hashed and welded.
const BATCH: usize = 20_000;

/// What the header and the length say of a binary file.
#[derive(Debug)]
pub(super) struct Layout {
    /// Triangles to read.
    pub triangles: u64,
    /// Bytes after the last triangle.
    pub trailing: u64,
}

/// How a binary file is laid out; `None` for text. `head` is the first 1024 bytes, or all of a shorter file.
pub(super) fn layout(head: &[u8], length: u64) -> Result<Option<Layout>, Fault> {
    let length = length.max(head.len() as u64);
    let count = head.get(80..HEADER).and_then(|b| b.try_into().ok()).map(u32::from_le_bytes).map(u64::from);
    let held = length.saturating_sub(HEADER as u64) / RECORD as u64;
    if let Some(count) = count
        && length == HEADER as u64 + RECORD as u64 * count
    {
        return accept(count, 0).map(Some);
    }
    if super::text::looks_like_text(head) {
        return Ok(None);
    }
    let Some(count) = count else { return Err(Fault::NotStl { length }) };
    let trailing = (length - HEADER as u64) as i128 - (RECORD as u64 * count) as i128;
    if trailing < 0 {
        // A count that is far beyond the length is no count: the file is something else.
        return Err(if held == 0 || count > held.saturating_mul(1000) {
            Fault::NotStl { length }
        } else {
            Fault::Truncated { promised: count, held }
        });
    }
    if (trailing as u64).is_multiple_of(RECORD as u64) || count == 0 {
        return Err(Fault::CountTooSmall { promised: count, held });
    }
    accept(count, trailing as u64).map(Some)
}

fn accept(triangles: u64, trailing: u64) -> Result<Layout, Fault> {
    match triangles {
        0 => Err(Fault::NoTriangles),
        n if n > MOST_TRIANGLES => Err(Fault::TooLarge { triangles: n }),
        triangles => Ok(Layout { triangles, trailing }),
    }
}

/// Reads the triangles batch by batch, hashing on one thread while another welds.
pub(super) fn read(head: &[u8], source: impl Read, layout: &Layout, mm_per_unit: f64) -> Result<Welded, Fault> {
    let mut source = head.chain(source);
    let mut hasher = Sha256::new();
    let mut header = [0u8; HEADER];
    source.read_exact(&mut header)?;
    hasher.update(header);
    let triangles = layout.triangles as usize;
    let mut welding = Welding {
        welder: Welder::with_capacity(triangles / 2 + 16),
        triangles: Vec::with_capacity(triangles),
        min: Vec3::INFINITY,
        max: Vec3::NEG_INFINITY,
        farthest: (FARTHEST_MM / mm_per_unit) as f32,
    };
    let mut buffer = vec![0u8; BATCH.min(triangles) * RECORD];
    while welding.triangles.len() < triangles {
        let batch = BATCH.min(triangles - welding.triangles.len());
        let bytes = &mut buffer[..batch * RECORD];
        let mut filled = 0;
        while filled < bytes.len() {
            match source.read(&mut bytes[filled..]) {
                Ok(0) => {
                    let held = (welding.triangles.len() + filled / RECORD) as u64;
                    return Err(Fault::Truncated { promised: layout.triangles, held });
                }
                Ok(n) => filled += n,
                Err(e) if e.kind() == std::io::ErrorKind::Interrupted => {}
                Err(e) => return Err(e.into()),
            }
        }
        let bytes = &*bytes;
        let (_, welded) = rayon::join(|| hasher.update(bytes), || welding.add(bytes));
        welded?;
    }
    // The digest covers what trails, too.
    loop {
        match source.read(&mut buffer) {
            Ok(0) => break,
            Ok(n) => hasher.update(&buffer[..n]),
            Err(e) if e.kind() == std::io::ErrorKind::Interrupted => {}
            Err(e) => return Err(e.into()),
        }
    }
    let mut notes = Vec::new();
    if layout.trailing > 0 {
        notes.push(format!("{} bytes after the last triangle were ignored.", layout.trailing));
    }
    let (min, max) = (welding.min.as_dvec3(), welding.max.as_dvec3());
    let centre = whole_middle(min, max);
    note_on_coarseness(min.abs().max(max.abs()).max_element() * mm_per_unit, (max - min).length(), &mut notes);
    let mut positions = welding.welder.into_positions();
    if centre != DVec3::ZERO || mm_per_unit != 1.0 {
        for p in &mut positions {
            *p = about(p.as_dvec3(), centre, mm_per_unit);
        }
    }
    let mesh = Mesh { positions, triangles: welding.triangles };
    Ok(Welded { mesh, centre: centre * mm_per_unit, digest: hasher.finalize().into(), notes })
}

struct Welding {
    welder: Welder,
    triangles: Vec<[u32; 3]>,
    min: Vec3,
    max: Vec3,
    farthest: f32,
}

impl Welding {
    fn add(&mut self, bytes: &[u8]) -> Result<(), Fault> {
        for record in bytes.chunks_exact(RECORD) {
            let number = |at: usize| f32::from_le_bytes([record[at], record[at + 1], record[at + 2], record[at + 3]]);
            let corner = |k: usize| Vec3::new(number(12 + 12 * k), number(16 + 12 * k), number(20 + 12 * k));
            let corners = [corner(0), corner(1), corner(2)];
            let (low, high) = (corners[0].min(corners[1]).min(corners[2]), corners[0].max(corners[1]).max(corners[2]));
            // Adding up keeps any NaN and infinity, which minimum and maximum may lose.
            let sum = corners[0].abs() + corners[1].abs() + corners[2].abs();
            let total = sum.element_sum();
            if total.is_nan() || total > self.farthest {
                self.refuse_if_bad(corners)?;
            }
            self.min = self.min.min(low);
            self.max = self.max.max(high);
            let triangle = corners.map(|p| self.welder.add(p));
            self.triangles.push(triangle);
        }
        Ok(())
    }

    #[cold]
    fn refuse_if_bad(&self, corners: [Vec3; 3]) -> Result<(), Fault> {
        let triangle = self.triangles.len() as u64 + 1;
        if !corners.iter().all(|p| p.is_finite()) {
            return Err(Fault::NotFinite { triangle });
        }
        if corners.iter().any(|p| p.abs().max_element() > self.farthest) {
            return Err(Fault::TooFar { triangle });
        }
        Ok(())
    }
}
