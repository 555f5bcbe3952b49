//! Undercuts that the rubber has to let go.

use super::finding::{Finding, Remedy, Severity, Step};
use super::look::Look;
use crate::plan::Half;
use crate::study::job::words::{area, length};
use crate::study::parting::release::kinds::Verdict;
use crate::study::parting::release::service::Service;
use crate::study::parting::release::undercuts::{Form, Undercut};
use crate::study::parting::release::verdict::Judged;
use crate::study::parting::release::wish::{proposed_cut, proposed_piece};

/// One finding for each undercut that asks for care or help, and one note for all that the rubber lets go.
pub fn check(look: &Look) -> Vec<Finding> {
    let Some(release) = &look.facts.release else { return Vec::new() };
    let limits = &look.shop.limits;
    let silicone = look.plan.silicone(look.shop);
    let mut findings = Vec::new();
    let mut easy: Vec<&Undercut> = Vec::new();
    for (i, undercut) in release.undercuts.iter().enumerate() {
        let judged = release.judged(i, silicone, limits);
        let service = &release.services[i];
        if service.is_gone() {
            findings.push(taken(look, undercut, service));
        } else if judged.verdict != Verdict::LetsGo {
            let form = service.opened(&undercut.form, release.wall_mm);
            let remedies = remedies(look, undercut, judged.verdict);
            let opened = !service.cuts.is_empty();
            findings.push(Finding { remedies, ..held(undercut, &form, opened, &judged, silicone.shore_a) });
        } else if undercut.depth_mm > limits.undercut_depth_mm {
            easy.push(undercut);
        }
    }
    findings.extend(let_go(&easy));
    findings
}

/// What the program can do: the cut or the piece that is asked for, and another draw.
fn remedies(look: &Look, undercut: &Undercut, verdict: Verdict) -> Vec<Remedy> {
    let mut remedies = Vec::new();
    let setting = &look.facts.setting;
    if let (Some(parting), Some(release)) = (&look.facts.parting, &look.facts.release) {
        let part = setting.part_at(undercut.middle);
        let planned = &look.plan.parting;
        match verdict {
            Verdict::ReliefCut => {
                let name = format!("Relief cut {}", planned.relief_cuts.len() + 1);
                let cut = proposed_cut(parting, undercut, &setting.frames, part, release.wall_mm, name);
                remedies.push(Remedy::AddReliefCut(cut));
            }
            Verdict::LoosePiece => {
                let name = format!("Loose piece {}", planned.loose_pieces.len() + 1);
                remedies.push(Remedy::AddLoosePiece(proposed_piece(undercut, &setting.frames, part, name)));
            }
            Verdict::LetsGo | Verdict::WithCare => {}
        }
    }
    remedies.push(Remedy::ProposeDraw);
    remedies
}

fn taken(look: &Look, undercut: &Undercut, service: &Service) -> Finding {
    let names: Vec<&str> = look
        .facts
        .release
        .iter()
        .flat_map(|r| service.pieces.iter().filter_map(|&i| r.pieces.get(i)))
        .map(|p| p.name.as_str())
        .collect();
    Finding {
        severity: Severity::Note,
        code: "undercut-in-piece",
        step: Step::Parting,
        message: format!(
            "An undercut of {}, {} deep, comes out with {}",
            area(undercut.area_mm2),
            length(undercut.depth_mm),
            names.join(" and ")
        ),
        why: "A loose piece has to be put back before every cast, and leaves a seam round it".to_owned(),
        remedy: "Nothing, but count the pieces back into the block".to_owned(),
        place: Some(undercut.middle),
        remedies: Vec::new(),
    }
}

/// What it is and how far the rubber is strained, with the limit.
fn told(undercut: &Undercut, form: &Form, opened: bool, judged: &Judged, shore_a: f64) -> String {
    let opened = if opened { ", its relief cut open" } else { "" };
    let half = if undercut.half == Half::One { "half 1" } else { "half 2" };
    let held = format!("{}, {} deep, holds {half}{opened}", area(undercut.area_mm2), length(undercut.depth_mm));
    let [low, high] = judged.lines.stretch.map(|s| 100.0 * s);
    let stretch = 100.0 * form.stretch();
    let rubber =
        format!("rubber of {shore_a:.0} Shore A lets go by itself up to {low:.0} %, with care up to {high:.0} %");
    match *form {
        Form::Collar { neck_mm, head_mm } => {
            let round = if undercut.closed_round { "closed all round" } else { "round the part" };
            format!(
                "An undercut {round} of {held}: the rubber stretches by {stretch:.0} % from Ø{neck_mm:.1} over Ø{head_mm:.1} mm; \
                 {rubber}"
            )
        }
        Form::Core { neck_mm, .. } if neck_mm <= 0.0 => {
            format!("An undercut inside the part of {held}: nothing lets the core out along the draw")
        }
        Form::Core { neck_mm, head_mm } => format!(
            "An undercut inside the part of {held}: a core {head_mm:.1} mm wide is squeezed by {stretch:.0} % through a neck \
             of {neck_mm:.1} mm; {rubber}"
        ),
        Form::Tongue { .. } => format!(
            "An undercut on one side of {held}: the rubber is bent by {stretch:.0} %; {rubber}, and up to {} deep",
            length(judged.lines.depth_mm[1])
        ),
    }
}

fn held(undercut: &Undercut, form: &Form, opened: bool, judged: &Judged, shore_a: f64) -> Finding {
    let shorter = (1.0 - judged.life) * 100.0;
    let (severity, code, why, remedy) = match judged.verdict {
        Verdict::LetsGo | Verdict::WithCare => (
            Severity::Note,
            "undercut-with-care",
            format!("The rubber gives way each time, which tires it: the tool life is about {shorter:.0} % shorter"),
            "Open slowly there and from one end; another draw or a softer rubber spares the block",
        ),
        Verdict::ReliefCut => (
            Severity::Warn,
            "undercut",
            "The rubber must stretch or fold over this before the half comes off; each time tires it, and it tears early"
                .to_owned(),
            "Choose another draw, plan a relief cut there, or use a softer rubber",
        ),
        Verdict::LoosePiece => (
            Severity::Warn,
            "undercut",
            "No cut opens the rubber far enough for this: it tears at the first casts".to_owned(),
            "Choose another draw, or plan a loose piece that comes out with the part",
        ),
    };
    Finding {
        severity,
        code,
        step: Step::Parting,
        message: told(undercut, form, opened, judged, shore_a),
        why,
        remedy: remedy.to_owned(),
        place: Some(undercut.middle),
        remedies: Vec::new(),
    }
}

fn let_go(easy: &[&Undercut]) -> Option<Finding> {
    let deepest = easy.iter().max_by(|a, b| a.depth_mm.total_cmp(&b.depth_mm))?;
    let sum: f64 = easy.iter().map(|u| u.area_mm2).sum();
    Some(Finding {
        severity: Severity::Note,
        code: "undercut-lets-go",
        step: Step::Parting,
        message: match easy.len() {
            1 => format!("An undercut of {}, {} deep, is let go by the rubber", area(sum), length(deepest.depth_mm)),
            n => format!(
                "{n} undercuts, {} in all and at most {} deep, are let go by the rubber",
                area(sum),
                length(deepest.depth_mm)
            ),
        },
        why: "The rubber gives way there as the half comes off".to_owned(),
        remedy: "Nothing, but open slowly there".to_owned(),
        place: Some(deepest.middle),
        remedies: Vec::new(),
    })
}
