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

/// Joins corners at exactly the same place into one vertex.
///
/// `soup` holds the three corners of each triangle. Vertices are numbered in order of first use, so a file with
/// neighbouring triangles together gives a mesh with neighbouring vertices together. A coordinate of −0.0 becomes
/// 0.0 first. Every triangle is kept, also one that has lost its area. Coordinates must be finite.
pub fn weld(soup: &[[Vec3; 3]]) -> Mesh {
    // A closed mesh has about half as many vertices as triangles.
    let mut table = Table::with_room_for(soup.len() / 2 + 16);
    let mut positions: Vec<Vec3> = Vec::with_capacity(soup.len() / 2 + 16);
    let mut triangles = Vec::with_capacity(soup.len());
    for corners in soup {
        // Room for three more at a load of at most 5/8, checked once a triangle.
        if (positions.len() + 3) * 8 > table.slots.len() * 5 {
            table.grow(&positions);
        }
        triangles.push(corners.map(|p| {
            let p = p + Vec3::ZERO;
            let hash = hash_of(p);
            let tag = (hash >> 32) as u32;
            let mut i = hash as usize & table.mask;
            loop {
                let slot = table.slots[i];
                if slot.vertex == EMPTY {
                    let vertex = positions.len() as u32;
                    positions.push(p);
                    table.slots[i] = Slot { tag, vertex };
                    return vertex;
                }
                if slot.tag == tag && positions[slot.vertex as usize] == p {
                    return slot.vertex;
                }
                i = (i + 1) & table.mask;
            }
        }));
    }
    Mesh { positions, triangles }
}

/// The mesh as loose triangles, three corners each: what [`weld`] takes.
pub fn soup_of(mesh: &Mesh) -> Vec<[Vec3; 3]> {
    (0..mesh.triangles.len()).map(|t| mesh.corners(t)).collect()
}
