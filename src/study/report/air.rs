//! What the report says of how part and block stand while rubber and resin are poured.

use crate::study::air::closed_off::Pocket;
use crate::study::bench::Facts;
use crate::study::job::frames::Frames;
use crate::study::ways_up::wedge::Lying;
use glam::Vec3;
use serde::Serialize;

/// Ceilings, basins, air in the rubber, and the wedge; nothing where they are still being computed.
#[derive(Clone, Debug, Default, Serialize)]
pub struct StandingReport {
    /// Surface that faces up within the shop's angle of level as resin is poured, mm².
    pub near_level_mm2: f64,
    /// Its largest connected patches, largest first.
    pub ceilings: Vec<CeilingReport>,
    /// Basins without a gate, which fill only over a sill, largest first.
    pub second_basins: Vec<PocketReport>,
    /// Air that recesses of the master keep while rubber is poured, mm³.
    pub in_rubber_mm3: f64,
    /// Those recesses, largest first.
    pub rubber_recesses: Vec<PocketReport>,
    /// The wedge under the closed block that helps.
    pub wedge: Option<WedgeReport>,
    /// Edges of the block that are raised now while resin is poured.
    pub raised: Vec<RaisedReport>,
    /// Degrees by which it is tilted for that.
    pub tilt_deg: f64,
}

/// A raised edge of the block.
#[derive(Clone, Debug, Serialize)]
pub struct RaisedReport {
    /// `front`, `right`, `back` or `left`, as the block stands for casting.
    pub edge: &'static str,
    /// By how much.
    pub lift_mm: f64,
}

/// A near-level ceiling.
#[derive(Clone, Debug, Serialize)]
pub struct CeilingReport {
    /// Its area.
    pub area_mm2: f64,
    /// The place of it nearest to its middle.
    pub position_mm: [f64; 3],
    /// The least tilt that frees it, degrees; none where no small one does.
    pub tilt_deg: Option<f64>,
    /// The level direction in the box whose side is raised for that.
    pub tilt_towards: Option<[f64; 3]>,
    /// The longest way under it to a mouth on it; none without one.
    pub run_mm: Option<f64>,
}

/// A basin or a recess.
#[derive(Clone, Debug, Serialize)]
pub struct PocketReport {
    /// Its volume up to the sill.
    pub volume_mm3: f64,
    /// From its far end to the sill.
    pub depth_mm: f64,
    /// Its far end.
    pub position_mm: [f64; 3],
}

/// A wedge under one edge of the closed block.
#[derive(Clone, Debug, Serialize)]
pub struct WedgeReport {
    /// The edge that is raised: `front`, `right`, `back`, `left`, as the block stands for casting.
    pub edge: &'static str,
    /// By how much.
    pub lift_mm: f64,
    /// Tilt, degrees.
    pub tilt_deg: f64,
    /// High points now and with it.
    pub high_points: [usize; 2],
    /// Vents that the program proposes now and with it; none of them once the block is cut.
    pub vents: [usize; 2],
    /// Near-level ceiling now and with it.
    pub near_level_mm2: [f64; 2],
    /// Air that stays level with the plan's vents now and with it, once the block is cut; with none before.
    pub trapped_mm3: [f64; 2],
}

/// The report of what is there.
pub fn standing_report(facts: &Facts) -> StandingReport {
    let frames = &facts.setting.frames;
    let standing = &facts.standing;
    let in_box = |at: Vec3| frames.point_in_box(at).to_array();
    let ceilings = standing.ceilings.as_deref();
    let runs = standing.runs_mm.as_deref();
    let ceiling = |(i, c): (usize, &crate::study::air::ceiling::Ceiling)| CeilingReport {
        area_mm2: c.area_mm2,
        position_mm: in_box(c.position),
        tilt_deg: c.tilt.map(|t| t.degrees),
        tilt_towards: c.tilt.map(|t| frames.box_from_work.transform_vector3(t.towards.as_dvec3()).to_array()),
        run_mm: runs.and_then(|r| r.get(i)).copied().flatten(),
    };
    let lying = Lying::of(frames, facts.setting.block.size_mm);
    let raised = lying.raised();
    StandingReport {
        tilt_deg: if raised.is_empty() { 0.0 } else { lying.tilt_deg() },
        raised: raised.iter().map(|r| RaisedReport { edge: r.edge.name(), lift_mm: r.lift_mm }).collect(),
        near_level_mm2: ceilings.map_or(0.0, |c| c.area_mm2),
        ceilings: ceilings.map_or_else(Vec::new, |c| c.patches.iter().enumerate().map(ceiling).collect()),
        second_basins: pockets(standing.basins.as_ref().map_or(&[], |b| b.pockets.as_slice()), frames),
        in_rubber_mm3: standing.rubber_air.as_ref().map_or(0.0, |a| a.total_mm3),
        rubber_recesses: pockets(standing.rubber_air.as_ref().map_or(&[], |a| a.recesses.as_slice()), frames),
        wedge: standing.wedge.as_deref().copied().flatten().map(|w| WedgeReport {
            edge: w.edge.name(),
            lift_mm: w.lift_mm,
            tilt_deg: w.tilt_deg,
            high_points: [w.now.high_points, w.with.high_points],
            vents: [w.now, w.with].map(|s| s.measured.map_or(0, |m| m.vents)),
            near_level_mm2: [w.now.ceiling_mm2, w.with.ceiling_mm2],
            trapped_mm3: [w.now.trapped_mm3, w.with.trapped_mm3],
        }),
    }
}

fn pockets(pockets: &[Pocket], frames: &Frames) -> Vec<PocketReport> {
    let report = |p: &Pocket| PocketReport {
        volume_mm3: p.volume_mm3,
        depth_mm: p.depth_mm,
        position_mm: frames.point_in_box(p.position).to_array(),
    };
    pockets.iter().map(report).collect()
}
