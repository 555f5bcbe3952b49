//! Marks for the bench: on each wall the line along which the knife goes in, unrolled, with the depth at stations; and the
//! lengths of tape on the master.

use super::block_box::{BlockBox, Wall};
use super::entry::EntryLine;
use super::knife::Knife;
use crate::mesh::Mesh;
use crate::mesh::tree::Tree;
use glam::DVec2;

/// Distance between stations along an entry line, millimetres.
pub const STATION_MM: f64 = 10.0;

/// A place on an entry line with the depth of the knife there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Station {
    /// Millimetres from the wall's lower left corner seen from outside.
    pub at_mm: DVec2,
    /// Way along the line up to it, millimetres.
    pub along_mm: f64,
    /// How deep the knife goes, square to the wall, millimetres.
    pub depth_mm: f64,
    /// True where it ends at the part; false where the blade from a nearer wall goes on.
    pub to_part: bool,
}

/// One entry line with its stations.
#[derive(Clone, Debug, PartialEq)]
pub struct MarkedLine {
    /// The line.
    pub line: EntryLine,
    /// Its stations in order: every ten millimetres, and the end of an open line.
    pub stations: Vec<Station>,
}

/// What is marked on one wall.
#[derive(Clone, Debug, PartialEq)]
pub struct WallMarks {
    /// The wall.
    pub wall: Wall,
    /// Its width and height, millimetres.
    pub size_mm: [f64; 2],
    /// Where its left edge lies on the strip that wraps the four sides, millimetres; none for top and floor, which have a
    /// sheet of their own.
    pub unrolled_at_mm: Option<f64>,
    /// Its lines.
    pub lines: Vec<MarkedLine>,
}

/// Marks of every wall, in the order of [`Wall::ALL`].
pub fn wall_marks(knife: &Knife, block: &BlockBox, lines: &[EntryLine], inserts: &[(&Mesh, &Tree)]) -> Vec<WallMarks> {
    let mut along = 0.0;
    Wall::ALL
        .iter()
        .map(|&wall| {
            let size_mm = block.wall_size_mm(wall);
            let side = wall.axes()[2].z == 0.0;
            let unrolled_at_mm = side.then_some(along);
            if side {
                along += size_mm[0];
            }
            let lines = lines
                .iter()
                .filter(|l| l.wall == wall)
                .map(|line| MarkedLine {
                    stations: places(line)
                        .into_iter()
                        .map(|(along_mm, at_mm)| {
                            let section = knife.section(wall, at_mm, inserts);
                            Station { at_mm, along_mm, depth_mm: section.depth_mm, to_part: section.to_part }
                        })
                        .collect(),
                    line: line.clone(),
                })
                .collect();
            WallMarks { wall, size_mm, unrolled_at_mm, lines }
        })
        .collect()
}

/// Places along a line at which the depth is marked.
fn places(line: &EntryLine) -> Vec<(f64, DVec2)> {
    let length = line.length_mm();
    let mut points = line.points.clone();
    if line.closed {
        points.extend(line.points.first().copied());
    }
    let whole = (length / STATION_MM).floor() as usize;
    let mut wanted: Vec<f64> = (0..=whole).map(|i| i as f64 * STATION_MM).collect();
    if line.closed {
        // The last place is the first one again where the line closes there.
        wanted.retain(|w| length - w > 0.5 * STATION_MM || *w == 0.0);
    } else if length - wanted[whole] > 0.2 * STATION_MM {
        wanted.push(length);
    }
    let mut places = Vec::with_capacity(wanted.len());
    let (mut leg, mut upto) = (0, 0.0);
    for w in wanted {
        while leg + 2 < points.len() && upto + points[leg].distance(points[leg + 1]) < w {
            upto += points[leg].distance(points[leg + 1]);
            leg += 1;
        }
        let step = points[leg].distance(points[leg + 1]).max(1e-12);
        places.push((w, points[leg].lerp(points[leg + 1], ((w - upto) / step).clamp(0.0, 1.0))));
    }
    places
}
