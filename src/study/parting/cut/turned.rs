//! The cut with the names of the halves exchanged, see [`crate::study::parting::turned`].

use super::border::{Border, BorderLoop};
use super::facts::CutFacts;
use super::frame::Frame;
use super::keys::Key;
use super::surface::CutSurface;
use glam::DVec2;
use std::sync::Arc;

impl CutFacts {
    /// The same facts with the names of the halves exchanged.
    pub(super) fn turned(self) -> CutFacts {
        let key = |k: Key| Key { at: DVec2::new(k.at.x, -k.at.y), crest: !k.crest, ..k };
        CutFacts {
            surface: self.surface.map(|s| Arc::new(Arc::unwrap_or_clone(s).turned())),
            keys: self.keys.into_iter().map(key).collect(),
            ..self
        }
    }
}

impl CutSurface {
    fn turned(self) -> CutSurface {
        let Frame { origin, u, v, w } = self.frame;
        let [a, b, c, d] = self.corners;
        CutSurface {
            border: self.border.turned(),
            frame: Frame { origin, u, v: -v, w: -w },
            triangles: self.triangles.into_iter().map(|[a, b, c]| [a, c, b]).collect(),
            corners: [d, c, b, a],
            wave: self.wave.turned(),
            ..self
        }
    }
}

impl Border {
    fn turned(mut self) -> Border {
        self.halves.iter_mut().for_each(|h| *h = h.other());
        for BorderLoop { vertices, normals, .. } in &mut self.loops {
            // From the same first vertex, as the normals stand at the vertices.
            if vertices.len() == normals.len() && !vertices.is_empty() {
                vertices[1..].reverse();
                normals[1..].reverse();
            }
        }
        self
    }
}
