//! Which bodies hang together, so that they can only be one part, and which lie loose beside them.

use super::{BodyKind, MeshCheck};

impl MeshCheck {
    /// The bodies in groups that hang together: bodies that touch, overlap or lie in each other's solid are one group, and
    /// a void goes with what it is a void in. Largest volume first, then from left to right, front to back and bottom to
    /// top, so that the order does not hang on that of the triangles in the file.
    ///
    /// A mesh that is not closed is one group: what its bodies are nobody can tell.
    pub fn pieces(&self) -> Vec<Vec<u32>> {
        let n = self.bodies.len();
        if n < 2 || !self.is_closed() {
            return vec![(0..n as u32).collect()];
        }
        let mut root: Vec<u32> = (0..n as u32).collect();
        fn find(root: &[u32], mut b: u32) -> u32 {
            while root[b as usize] != b {
                b = root[b as usize];
            }
            b
        }
        let voids = self.bodies.iter().enumerate().filter_map(|(b, body)| match body.kind {
            BodyKind::Void { inside } => Some([inside, b as u32]),
            _ => None,
        });
        for [a, b] in self.meetings.iter().map(|m| m.bodies).chain(voids) {
            let (a, b) = (find(&root, a), find(&root, b));
            root[a.max(b) as usize] = a.min(b);
        }
        let mut groups: Vec<Vec<u32>> = vec![Vec::new(); n];
        (0..n as u32).for_each(|b| groups[find(&root, b) as usize].push(b));
        groups.retain(|g| !g.is_empty());
        let volume = |g: &[u32]| g.iter().map(|&b| self.bodies[b as usize].measures.volume_mm3).sum::<f64>().abs();
        let lowest = |g: &[u32]| -> [f32; 3] {
            let corners = g.iter().map(|&b| self.bodies[b as usize].bounds.min.to_array());
            corners.min_by(by_place).unwrap_or_default()
        };
        groups.sort_by(|a, b| volume(b).total_cmp(&volume(a)));
        // Bodies of one drawing that are alike differ by rounding only.
        let alike = |a: &Vec<u32>, b: &Vec<u32>| volume(a) - volume(b) <= 1e-4 * volume(a);
        for run in groups.chunk_by_mut(alike) {
            run.sort_by(|a, b| by_place(&lowest(a), &lowest(b)));
        }
        groups
    }
}

/// From left to right, front to back, bottom to top.
fn by_place(a: &[f32; 3], b: &[f32; 3]) -> std::cmp::Ordering {
    a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])).then(a[2].total_cmp(&b[2]))
}
