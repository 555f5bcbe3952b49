//! Corners at exactly the same place become one vertex.

use super::Mesh;
use glam::Vec3;

const EMPTY: u32 = u32::MAX;

/// One slot of the table: which vertex, and part of its hash so that most probes need not fetch the vertex.
#[derive(Clone, Copy)]
struct Slot {
    tag: u32,
    vertex: u32,
}

/// An open-addressed table from position to vertex.
struct Table {
    slots: Vec<Slot>,
    mask: usize,
}

impl Table {
    fn with_room_for(vertices: usize) -> Table {
        let len = (vertices.max(8) * 2).next_power_of_two();
        Table { slots: vec![Slot { tag: 0, vertex: EMPTY }; len], mask: len - 1 }
    }

    fn insert(&mut self, tag: u32, hash: u64, vertex: u32) {
        let mut i = hash as usize & self.mask;
        while self.slots[i].vertex != EMPTY {
            i = (i + 1) & self.mask;
        }
        self.slots[i] = Slot { tag, vertex };
    }

    fn grow(&mut self, positions: &[Vec3]) {
        let mut larger = Table::with_room_for(self.slots.len());
        for slot in &self.slots {
            if slot.vertex != EMPTY {
                larger.insert(slot.tag, hash_of(positions[slot.vertex as usize]), slot.vertex);
            }
        }
        *self = larger;
    }
}

/// Mixes the bits of the three coordinates; the low bits choose the slot, the high ones are the tag.
#[inline]
fn hash_of(p: Vec3) -> u64 {
    let [x, y, z] = [p.x, p.y, p.z].map(|c| c.to_bits() as u64);
    let mut h = (x | (y << 32)).wrapping_mul(0x9E37_79B9_7F4A_7C15);
    h ^= h >> 32;
    h = (h ^ z).wrapping_mul(0xD6E8_FEB8_6659_FD93);
    h ^= h >> 32;
    h.wrapping_mul(0xD6E8_FEB8_6659_FD93) ^ (h >> 29)
}

/// Hands out vertex numbers for positions, the same number for the same position.
pub(crate) struct Welder {
    table: Table,
    positions: Vec<Vec3>,
}

impl Welder {
    /// A welder that need not grow up to `vertices` vertices.
    pub(crate) fn with_capacity(vertices: usize) -> Welder {
        Welder { table: Table::with_room_for(vertices), positions: Vec::with_capacity(vertices) }
    }

    /// The number of the vertex at `p`, counted in order of first use. A coordinate of −0.0 becomes 0.0 first.
    #[inline]
    pub(crate) fn add(&mut self, p: Vec3) -> u32 {
        let p = p + Vec3::ZERO;
        let hash = hash_of(p);
        let tag = (hash >> 32) as u32;
        let table = &mut self.table;
        let mut i = hash as usize & table.mask;
        loop {
            let slot = table.slots[i];
            if slot.vertex == EMPTY {
                break;
            }
            if slot.tag == tag && self.positions[slot.vertex as usize] == p {
                return slot.vertex;
            }
            i = (i + 1) & table.mask;
        }
        let vertex = self.positions.len() as u32;
        table.slots[i] = Slot { tag, vertex };
        self.positions.push(p);
        // A load of at most 5/8.
        if self.positions.len() * 8 > table.slots.len() * 5 {
            table.grow(&self.positions);
        }
        vertex
    }

    /// The positions by vertex number.
    pub(crate) fn into_positions(self) -> Vec<Vec3> {
        self.positions
    }
}

/// Joins corners at exactly the same place into one vertex.
///
/// `soup` holds the three corners of each triangle. Vertices are numbered in order of first use, so a file with
/// neighbouring triangles together gives a mesh with neighbouring vertices together. A coordinate of −0.0 becomes
/// 0.0 first. Every triangle is kept, also one that has lost its area. Coordinates must be finite.
pub fn weld(soup: &[[Vec3; 3]]) -> Mesh {
    // A closed mesh has about half as many vertices as triangles.
    let mut welder = Welder::with_capacity(soup.len() / 2 + 16);
    let triangles = soup.iter().map(|corners| corners.map(|p| welder.add(p))).collect();
    Mesh { positions: welder.into_positions(), triangles }
}

/// The mesh as loose triangles, three corners each: what [`weld`] takes.
pub fn soup_of(mesh: &Mesh) -> Vec<[Vec3; 3]> {
    (0..mesh.triangles.len()).map(|t| mesh.corners(t)).collect()
}

/// The mesh with vertices at equal positions made one, unused vertices left out and triangles that use a vertex twice
/// dropped.
pub fn rewelded(mesh: &Mesh) -> Mesh {
    let mut welded = weld(&soup_of(mesh));
    welded.triangles.retain(|&[a, b, c]| a != b && b != c && c != a);
    welded
}
