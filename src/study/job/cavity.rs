//! The whole cavity: the body of resin and its channels as one closed mesh.

use super::body::Body;
use super::channels::Channels;
use crate::mesh::measure::Measures;
use crate::mesh::{Bounds, Mesh, boolean};
use crate::solve::run::{Cancelled, Run};
use std::sync::Arc;

/// The space that resin fills, up to the top of the block.
#[derive(Clone, Debug)]
pub struct Cavity {
    /// One closed mesh in `work`; none where it could not be had.
    pub mesh: Option<Arc<Mesh>>,
    /// Its volume, mm³; where there is no mesh, the sum of body and channels, which counts what they share twice.
    pub volume_mm3: f64,
    /// Why there is no mesh, in words.
    pub trouble: Option<String>,
}

impl Cavity {
    /// Unites `body` and `channels`.
    ///
    /// # Errors
    /// [`Cancelled`] where the run was.
    pub fn new(body: &Body, channels: &Channels, run: &Run) -> Result<Cavity, Cancelled> {
        let sum = body.measures.volume_mm3.abs() + channels.vents_mm3() + channels.feed_mm3();
        let without = |why: String| Cavity { mesh: None, volume_mm3: sum, trouble: Some(why) };
        if let Some(why) = &body.trouble {
            return Ok(without(why.clone()));
        }
        let rods: Vec<Mesh> = channels.vents.iter().chain(&channels.gates).flat_map(|c| c.meshes()).collect();
        if rods.is_empty() {
            return Ok(Cavity { mesh: Some(body.mesh.clone()), volume_mm3: sum, trouble: None });
        }
        run.check()?;
        let mut solids: Vec<&Mesh> = vec![&body.mesh];
        solids.extend(&rods);
        let made = boolean::unite(&solids);
        run.check()?;
        Ok(match made {
            Ok(mesh) => {
                Cavity { volume_mm3: Measures::of(&mesh).volume_mm3, mesh: Some(Arc::new(mesh)), trouble: None }
            }
            Err(e) => without(e.to_string()),
        })
    }

    /// The box round the cavity; empty where there is no mesh.
    pub fn bounds(&self) -> Bounds {
        self.mesh.as_ref().map_or(Bounds::EMPTY, |m| m.bounds())
    }
}
