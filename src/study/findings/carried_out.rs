//! What a remedy does to a plan, so that whoever holds a plan can take it, with a window or without.

use super::finding::Remedy;
use crate::plan::{Made, PieceOf, Plan, Scale};
use crate::shop::Shop;

impl Remedy {
    /// What the edit is called that carries it out.
    pub fn edit_name(&self) -> String {
        match self {
            Remedy::PropBlock(_) => "Prop the block for casting".to_owned(),
            Remedy::AddReliefCut(_) => "Plan a relief cut".to_owned(),
            Remedy::AddLoosePiece(piece) if piece.of == PieceOf::Metal => "Plan a metal core".to_owned(),
            Remedy::AddLoosePiece(_) => "Plan a loose piece".to_owned(),
            Remedy::LetGoOfLoop(i) => format!("Let go of loop {}", i + 1),
            Remedy::LeaveShutOff(_) => "Leave a shut-off where it is proposed".to_owned(),
            Remedy::SwitchUnit(..) => "Switch the unit".to_owned(),
            _ => self.label(),
        }
    }

    /// Carries it out on `plan`. False where it is more than an edit: where something is proposed anew, or a runner sought.
    pub fn carry_out(&self, plan: &mut Plan, shop: &Shop) -> bool {
        match self {
            Remedy::AddGate(_)
            | Remedy::LeadRound(_)
            | Remedy::ProposeVents
            | Remedy::ProposeFeed
            | Remedy::ProposeDraw
            | Remedy::LayOutSet => return false,
            Remedy::NarrowGate(number, mm) => {
                let gates = plan.feed.gates.iter_mut().filter(|g| g.number == *number);
                gates.for_each(|g| g.diameter_mm = *mm);
            }
            Remedy::AddVent(_)
            | Remedy::MoveVent(..)
            | Remedy::NarrowVent(..)
            | Remedy::GrooveVent(..)
            | Remedy::RemoveVent(_) => self.change_vents(plan, shop),
            Remedy::PropBlock(attitude) => plan.hang.cast = Some(*attitude),
            Remedy::AcceptOtherMesh(digest) => {
                if let Some(second) = &mut plan.second_shot {
                    second.digest.clone_from(digest);
                }
            }
            Remedy::AcceptMesh(part, digest) => plan.change_kind(*part, |p| p.digest.clone_from(digest)),
            Remedy::SwitchUnit(part, unit) => plan.change_kind(*part, |p| p.unit = *unit),
            Remedy::ScaleMaster(factor) => {
                for part in &mut plan.parts {
                    if let Scale::Nominal { master_factor } = &mut part.scale {
                        *master_factor = *factor;
                    }
                }
            }
            Remedy::AddReliefCut(_)
            | Remedy::AddLoosePiece(_)
            | Remedy::LetGoOfLoop(_)
            | Remedy::LeaveShutOff(_)
            | Remedy::RemovePin(_)
            | Remedy::RemoveMark(_)
            | Remedy::SeekLine => self.change_parting(plan),
        }
        true
    }

    fn change_vents(&self, plan: &mut Plan, shop: &Shop) {
        let vent = |plan: &mut Plan, number: u32, change: &dyn Fn(&mut crate::plan::Vent)| {
            plan.vents.iter_mut().filter(|v| v.number == number).for_each(change);
        };
        match self {
            Remedy::AddVent(at) => {
                let vent = plan.next_vent(*at, shop.limits.vent_mm);
                plan.vents.push(vent);
            }
            Remedy::MoveVent(number, at) => vent(plan, *number, &|v| v.at = *at),
            Remedy::NarrowVent(number, mm) => vent(plan, *number, &|v| v.diameter_mm = *mm),
            Remedy::GrooveVent(number, at) => vent(plan, *number, &|v| {
                v.at = *at;
                v.made = Made::GrooveInParting;
            }),
            Remedy::RemoveVent(number) => plan.vents.retain(|v| v.number != *number),
            _ => {}
        }
    }

    fn change_parting(&self, plan: &mut Plan) {
        let parting = &mut plan.parting;
        match self {
            Remedy::AddReliefCut(cut) => parting.relief_cuts.push(cut.clone()),
            Remedy::AddLoosePiece(piece) => parting.loose_pieces.push(piece.clone()),
            Remedy::LetGoOfLoop(i) if *i < parting.held_loops.len() => {
                parting.held_loops.remove(*i);
            }
            Remedy::LeaveShutOff(i) => {
                if let Some(choice) = parting.shut_offs.get_mut(*i) {
                    choice.held.clear();
                    choice.moved_mm = 0.0;
                }
            }
            Remedy::RemovePin(i) if *i < parting.pins.len() => {
                parting.pins.remove(*i);
            }
            Remedy::RemoveMark(i) if *i < parting.marks.len() => {
                parting.marks.remove(*i);
            }
            Remedy::SeekLine => parting.plane_mm = None,
            _ => {}
        }
    }
}
