//! What lets go of what, for the report.

use super::{
    FilmReport, LockedHoleReport, LockedReport, LoosePieceReport, Range, ReliefCutReport, RubberReport, ShutOffReport,
    UndercutReport,
};
use crate::plan::{Half, Plan, Separation};
use crate::shop::Shop;
use crate::study::bench::Facts;
use crate::study::parting::release::piece_files;
use crate::study::parting::release::shut_offs::{Fit, ShutOff};
use glam::Vec3;

fn number(half: Half) -> u8 {
    match half {
        Half::One => 1,
        Half::Two => 2,
    }
}

fn in_box(facts: &Facts, at: Vec3) -> [f64; 3] {
    facts.setting.frames.point_in_box(at).to_array()
}

fn direction_in_box(facts: &Facts, along: Vec3) -> [f64; 3] {
    facts.setting.frames.box_from_work.transform_vector3(along.as_dvec3()).to_array()
}

/// Undercuts, largest first.
pub fn undercuts(plan: &Plan, shop: &Shop, facts: &Facts) -> Vec<UndercutReport> {
    let Some(release) = &facts.release else { return Vec::new() };
    let undercuts = release.undercuts.iter().enumerate();
    undercuts
        .map(|(i, u)| {
            let judged = release.judged(i, plan.silicone(shop), &shop.limits);
            UndercutReport {
                area_mm2: u.area_mm2,
                depth_mm: u.depth_mm,
                kind: u.form.kind(),
                closed_round: u.closed_round,
                stretch: Some(u.form.stretch()).filter(|s| s.is_finite()),
                verdict: judged.verdict,
                life: judged.life,
                position_mm: in_box(facts, u.middle),
            }
        })
        .collect()
}

/// Pieces of the rubber itself.
pub fn rubber(facts: &Facts) -> Vec<RubberReport> {
    let pieces = facts.rubber.iter().flat_map(|r| &r.pieces);
    pieces
        .map(|p| RubberReport {
            kind: p.kind,
            half: number(p.half),
            thickness_mm: p.thickness_mm,
            length_mm: p.length_mm,
            slenderness: p.slenderness(),
            position_mm: in_box(facts, p.tip),
        })
        .collect()
}

/// Rubber between bodies.
pub fn films(facts: &Facts) -> Vec<FilmReport> {
    let films = facts.rubber.iter().flat_map(|r| &r.films);
    films
        .map(|film| FilmReport {
            bodies: film.bodies.map(|b| b + 1),
            thickness_mm: Range { min: film.thickness_mm[0], max: film.thickness_mm[1] },
            area_mm2: film.area_mm2,
            position_mm: in_box(facts, film.place()),
        })
        .collect()
}

/// Locked cores, with what was planned against each of their holes.
pub fn locked(facts: &Facts) -> Vec<LockedReport> {
    let (Some(parting), Some(release)) = (&facts.parting, &facts.release) else { return Vec::new() };
    let cut = |i: &usize| release.cuts.get(*i).map(|c| c.name.clone());
    let piece = |i: &usize| release.pieces.get(*i).map(|p| p.name.clone());
    parting
        .locked
        .iter()
        .zip(&release.locks)
        .map(|(core, lock)| LockedReport {
            body: core.body + 1,
            half: number(core.half),
            handles: core.handles,
            genus: core.genus,
            loops: core.loops,
            left: lock.left,
            holes: core
                .tunnels
                .iter()
                .zip(&lock.opened)
                .map(|(tunnel, opened)| LockedHoleReport {
                    position_mm: in_box(facts, tunnel.middle),
                    axis: direction_in_box(facts, tunnel.axis),
                    length_mm: tunnel.length_mm,
                    width_mm: 2.0 * tunnel.radius_mm,
                    opened_by: opened
                        .pieces
                        .iter()
                        .filter_map(piece)
                        .chain(opened.cuts.iter().filter_map(cut))
                        .collect(),
                    too_shallow: opened.shallow.iter().filter_map(|(i, _)| cut(i)).collect(),
                    choices: vec!["metal_core", "loose_piece", "relief_cut"],
                })
                .collect(),
            position_mm: in_box(facts, core.at),
        })
        .collect()
}

/// Shut-offs, in the order of their loops.
pub fn shut_offs(plan: &Plan, shop: &Shop, facts: &Facts) -> Vec<ShutOffReport> {
    let shut_offs = facts.release.iter().flat_map(|r| &r.shut_offs);
    shut_offs.map(|s| shut_off(plan, shop, facts, s)).collect()
}

fn shut_off(plan: &Plan, shop: &Shop, facts: &Facts, shut_off: &ShutOff) -> ShutOffReport {
    let separation = shut_off.separation(&shop.blades, &shop.limits);
    let (blade, unfit) = match shut_off.fit(separation, &shop.blades, &shop.limits) {
        Fit::Fits(blade) => (blade, None),
        Fit::Not(why) => (None, Some(why)),
    };
    let taped = separation == Separation::Taped;
    ShutOffReport {
        length_mm: shut_off.length_mm,
        area_mm2: shut_off.patch.area_mm2,
        span_mm: shut_off.patch.span_mm,
        plug: number(shut_off.plug),
        separation,
        decided: shut_off.decided.is_some(),
        blade,
        unfit,
        tape_mm: taped.then(|| shut_off.tape_mm(plan.master_factor())),
        skin_mm2: taped.then_some(shut_off.patch.area_mm2),
        moved_mm: shut_off.hole.as_ref().map_or(0.0, |h| f64::from(h.moved_mm)),
        from_ends_mm: shut_off.hole.as_ref().map(|h| h.from_ends_mm.map(f64::from)),
        position_mm: in_box(facts, shut_off.middle),
    }
}

/// Relief cuts, in plan order.
pub fn relief_cuts(facts: &Facts) -> Vec<ReliefCutReport> {
    let (Some(parting), Some(release)) = (&facts.parting, &facts.release) else { return Vec::new() };
    let opened = || release.locks.iter().flat_map(|l| &l.opened);
    let cuts = release.cuts.iter().enumerate();
    cuts.map(|(i, cut)| ReliefCutReport {
        name: cut.name.clone(),
        length_mm: cut.length_mm(),
        along_draw_mm: cut.extent_along(parting.draw),
        depth_mm: cut.depth_mm,
        area_mm2: cut.area_mm2(),
        serves: (0..release.services.len()).filter(|&u| release.services[u].cuts.contains(&i)).collect(),
        severs: opened().filter(|o| o.cuts.contains(&i)).count(),
    })
    .collect()
}

/// Loose pieces, in plan order.
pub fn loose_pieces(plan: &Plan, facts: &Facts) -> Vec<LoosePieceReport> {
    let Some(release) = &facts.release else { return Vec::new() };
    let files = piece_files::file_names(release.pieces.iter().map(|p| p.name.as_str()));
    let opened = || release.locks.iter().flat_map(|l| &l.opened);
    let pieces = release.pieces.iter().zip(&plan.parting.loose_pieces).zip(files).enumerate();
    pieces
        .map(|(i, ((p, planned), file))| LoosePieceReport {
            of: planned.of,
            name: p.name.clone(),
            volume_mm3: p.volume_mm3,
            length_mm: p.length_mm,
            diameter_mm: 2.0 * f64::from(p.wish.radius_mm),
            leaves_along: direction_in_box(facts, p.wish.leaves_along),
            serves: (0..release.services.len()).filter(|&u| release.services[u].pieces.contains(&i)).collect(),
            fills: opened().filter(|o| o.pieces.contains(&i)).count(),
            file,
            serves_mm2: p.serves_mm2,
            trouble: p.solid.as_ref().err().cloned(),
        })
        .collect()
}
