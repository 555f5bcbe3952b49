//! Rubber that goes through a hole of the part and comes back to itself.

use super::finding::{Finding, Remedy, Severity, Step};
use super::look::Look;
use crate::plan::{Half, PieceOf, Plan};
use crate::study::job::setting::Setting;
use crate::study::job::words::{length, place};
use crate::study::parting::locked::{LockedCore, Tunnel};
use crate::study::parting::release::Release;
use crate::study::parting::release::locks::{Lock, Opened};
use crate::study::parting::release::wish::{proposed_core, severing_cut};

/// One finding for each locked core: a Stop while it is locked, a note once it is freed.
pub fn check(look: &Look) -> Vec<Finding> {
    let (Some(parting), Some(release)) = (&look.facts.parting, &look.facts.release) else { return Vec::new() };
    let cores = parting.locked.iter().zip(&release.locks);
    cores
        .map(|(core, lock)| if lock.left > 0 { locked(look, core, lock) } else { freed(release, core, lock) })
        .collect()
}

fn name(half: Half) -> &'static str {
    match half {
        Half::One => "half 1",
        Half::Two => "half 2",
    }
}

fn locked(look: &Look, core: &LockedCore, lock: &Lock) -> Finding {
    let half = name(core.half);
    let closed = core.tunnels.iter().zip(&lock.opened).find(|(_, o)| !o.is_open());
    let through = match closed {
        Some((tunnel, _)) => format!(
            "a hole {} wide and {} long at {}",
            length(2.0 * tunnel.radius_mm),
            length(tunnel.length_mm),
            place(&look.facts.setting, look.plan, tunnel.middle)
        ),
        None => format!("the part at {}", place(&look.facts.setting, look.plan, core.at)),
    };
    let short = closed.and_then(|(_, o)| shallow(look, o)).unwrap_or_default();
    let message = match lock.left {
        1 => format!("A core of {half} goes through {through} and is locked{short}"),
        n => format!("Cores of {half} go through the part in {n} places and are locked, one through {through}{short}"),
    };
    let mut remedies = closed.map_or(Vec::new(), |(tunnel, _)| choices(look.plan, &look.facts.setting, tunnel));
    remedies.push(Remedy::ProposeDraw);
    Finding {
        severity: Severity::Stop,
        code: "core-locked",
        step: Step::Parting,
        message,
        why: "Rubber that goes through a hole and comes back to itself cannot be drawn out without tearing".to_owned(),
        remedy: if closed.is_some() {
            "Set a metal core or a loose piece through the hole, sever the rubber in it, or choose another draw"
                .to_owned()
        } else {
            "Choose another draw, or lead the line through the hole by hand".to_owned()
        },
        place: Some(closed.map_or(core.at, |(tunnel, _)| tunnel.middle)),
        remedies,
    }
}

/// What is said of relief cuts that do not go through.
fn shallow(look: &Look, opened: &Opened) -> Option<String> {
    let &(i, wanted) = opened.shallow.first()?;
    let cut = look.facts.release.as_ref()?.cuts.get(i)?;
    Some(format!("; {} goes {} deep round it, {} would sever it", cut.name, length(cut.depth_mm), length(wanted)))
}

/// What the plan can hold against a locked hole.
pub fn choices(plan: &Plan, setting: &Setting, tunnel: &Tunnel) -> Vec<Remedy> {
    let (frames, part) = (&setting.frames, setting.part_at(tunnel.middle));
    let planned = &plan.parting;
    let of = |of: PieceOf| planned.loose_pieces.iter().filter(|p| p.of == of).count() + 1;
    let core = proposed_core(tunnel, frames, part, PieceOf::Metal, format!("Core {}", of(PieceOf::Metal)));
    let piece = proposed_core(tunnel, frames, part, PieceOf::Rubber, format!("Loose piece {}", of(PieceOf::Rubber)));
    let cut = severing_cut(tunnel, frames, part, format!("Relief cut {}", planned.relief_cuts.len() + 1));
    vec![Remedy::AddLoosePiece(core), Remedy::AddLoosePiece(piece), Remedy::AddReliefCut(cut)]
}

fn freed(release: &Release, core: &LockedCore, lock: &Lock) -> Finding {
    let cuts = lock.opened.iter().flat_map(|o| &o.cuts).filter_map(|&i| release.cuts.get(i)).map(|c| &c.name);
    let pieces = lock.opened.iter().flat_map(|o| &o.pieces).filter_map(|&i| release.pieces.get(i)).map(|p| &p.name);
    let mut by: Vec<&str> = pieces.chain(cuts).map(String::as_str).collect();
    by.dedup();
    Finding {
        severity: Severity::Note,
        code: "core-freed",
        step: Step::Parting,
        message: format!("The rubber of {} through the part is freed by {}", name(core.half), by.join(" and ")),
        why: "Without it the rubber would go through the part and come back to itself, locked".to_owned(),
        remedy:
            "Nothing, but do not forget it: a core is drawn before the halves are opened, a cut is made before that"
                .to_owned(),
        place: Some(core.at),
        remedies: Vec::new(),
    }
}
