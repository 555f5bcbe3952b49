//! A printed master on which nobody has seen rubber cure.

use super::finding::{Finding, Severity, Step};
use super::look::Look;
use crate::plan::{MasterMaterial, Stage};

/// One finding for a photopolymer without a trial, until the rubber is poured.
pub fn check(look: &Look) -> Vec<Finding> {
    let master = &look.plan.master;
    if look.plan.stage >= Stage::Poured || master.material != MasterMaterial::PrintedPhotopolymer || master.cure_trial {
        return Vec::new();
    }
    vec![Finding {
        severity: Severity::Warn,
        code: "cure-trial",
        step: Step::Hang,
        message: "The master is printed in photopolymer, and no trial says that the rubber cures on it".to_owned(),
        why:
            "What is left uncured in a fresh print poisons addition-cure silicone: it stays sticky at the surface, and \
              master and rubber are lost"
                .to_owned(),
        remedy: "Wash, cure and bake the print, cure a little rubber on a sample of it, and tick the trial".to_owned(),
        place: None,
        remedies: Vec::new(),
    }]
}
