//! Where vents should stand: the fewest that let all air out, kept off what they would spoil.
//!
//! The peaks come first, from the air alone. A vent whose peak lies on a shown surface, beside an insert, or under a rod
//! that would pass the part too close is then moved to the nearest place of the same pocket that is free of it, as long
//! as no pocket over the shop's limit opens up. Where there is no such place the vent stays and its reason says so.

use crate::plan::{Made, Plan, Vent};
use crate::solve::run::Run;
use crate::study::air::{Air, Matters, Mouth};
use crate::study::bench::{Bench, StudyError};
use crate::study::job::body::Body;
use crate::study::job::channel_strike::strike;
use crate::study::job::channels::{Channel, Rod};
use crate::study::job::insert_shapes::BETWEEN_OPENINGS_MM;
use crate::study::job::setting::Setting;
use crate::study::job::spot::spot_on_part;
use crate::study::job::{rod_clearance, shown};
use crate::study::parting::{PartingFacts, channel_gaps};
use crate::study::pour::vent_fit::{self, NEAR_LINE_MM, THINNEST_VENT_MM};
use crate::study::pour::vent_rules::{VentRules, gates_that_let_air_out};
use glam::{Quat, Vec3};
use std::f32::consts::TAU;

/// Narrowest groove that is nicked into a parting face, millimetres: set here.
const LEAST_NICK_MM: f64 = 0.3;
/// Peaks nearer to each other than this are told as one, millimetres.
const ONE_PEAK_MM: f32 = 5.0;
/// Rings round a peak on which other places are looked for, millimetres apart, and how many.
const RING_MM: f32 = 0.5;
/// Rings.
const RINGS: usize = 30;
/// Places on each ring.
const ROUND: usize = 24;
/// Places nearer to each other than this are one, millimetres.
const SAME_MM: f32 = 0.2;
/// A wall that faces up less than this (cosine) holds no rod.
const LEAST_RISE: f32 = 0.1;

/// Replaces the vents by the fewest that leave no pocket over the shop's limit, level or leaning, kept off shown
/// surfaces, inserts and the part itself where a place that lets the air out allows it.
///
/// # Errors
/// As the facts it is made from.
pub fn propose_vents_into(
    bench: &Bench,
    plan: &mut Plan,
    reasons: &mut Vec<String>,
    run: &Run,
) -> Result<(), StudyError> {
    plan.vents.clear();
    let setting = bench.setting(plan)?;
    let body = bench.body(plan, &setting, run)?;
    let master = bench.master(plan, &setting, &body, run)?;
    let trees = bench.air_trees(&setting, &body, run)?;
    let gates = gates_that_let_air_out(plan, &setting);
    let walls = bench.walls(&body, run)?;
    let matters = Matters::of(plan, &setting.frames, &bench.shop().limits);
    let rules = VentRules {
        body: &body,
        master: &master,
        walls: &walls,
        limits: &bench.shop().limits,
        matters: &matters,
        rods_up: setting.frames.rubber_up(),
    };
    let places = Places { plan, setting: &setting, rules, air: &trees.air };
    let proposal = rules.proposed(&trees.air, &gates, run)?;
    let mut chosen: Vec<Mouth> = proposal.mouths.iter().map(|m| m.mouth).collect();
    let mut vents = Vec::with_capacity(chosen.len());
    // Those whose rod would run through the part wherever it stood.
    let mut blocked = Vec::with_capacity(chosen.len());
    for (i, proposed) in proposal.mouths.iter().enumerate() {
        run.check()?;
        let (at, aside, runs_through) = places.settled(i, &chosen, &gates);
        blocked.push(runs_through);
        chosen[i] = Mouth { centre: at, diameter_mm: chosen[i].diameter_mm.min(rules.fitting_mm(at)), ..chosen[i] };
        vents.push((Vent::default(), format!("{}{aside}", lower_first(&proposed.reason()))));
    }
    let risers_mm = rules.risers_mm(&trees.air, &chosen);
    for (i, (vent, why)) in vents.iter_mut().enumerate() {
        run.check()?;
        let (at, widest_mm) = (chosen[i].centre, rules.widest_mm(chosen[i].centre));
        let mut made = Made::RodPulled;
        if widest_mm < THINNEST_VENT_MM {
            let parting = bench.parting(plan, &setting, &body, run).ok();
            match parting.and_then(|parting| places.nick(i, &chosen, &gates, &parting, widest_mm)) {
                Some(mouth) => {
                    made = Made::GrooveInParting;
                    chosen[i] = mouth;
                    why.push_str("; the wall is too thin for a rod and the line is near: nicked into the parting face");
                }
                None => why.push_str(&format!(
                    "; the wall of {:.1} mm is too thin for a rod: a slit cut with a blade from the cavity does it",
                    vent_fit::wall_mm(&body, &walls, at)
                )),
            }
        } else if risers_mm[i] > chosen[i].diameter_mm && places.takes(i, &chosen, risers_mm[i]) {
            chosen[i].diameter_mm = risers_mm[i];
            why.push_str(&format!("; Ø{:.1} mm for the size of its pocket", risers_mm[i]));
        }
        let Mouth { centre, diameter_mm, .. } = chosen[i];
        let at = spot_on_part(&setting, &body, centre);
        *vent = Vent { number: i as u32 + 1, name: String::new(), at, diameter_mm, made };
    }
    // Nobody pulls a rod through the part.
    let mut covered: Vec<Vec3> = Vec::new();
    for i in (0..vents.len()).rev() {
        if blocked[i] && vents[i].0.made == Made::RodPulled {
            vents.remove(i);
            covered.push(chosen[i].centre);
        }
    }
    // Counted part by part, so that those of one part stand together in every list.
    vents.sort_by_key(|v| v.0.at.part);
    for (i, (vent, why)) in vents.iter_mut().enumerate() {
        vent.number = i as u32 + 1;
        reasons.push(format!("{}: {why}", plan.of_part(&format!("Vent {}", vent.number), vent.at.part)));
    }
    let mut told: Vec<Vec3> = Vec::new();
    covered.extend(proposal.left.iter().filter(|at| !rules.is_free(**at)));
    for at in &covered {
        if told.iter().all(|t| t.distance(*at) > ONE_PEAK_MM) {
            told.push(*at);
            let [x, y, z] = setting.frames.point_in_box(*at).to_array();
            reasons.push(format!(
                "No vent at the high point {x:.0}, {y:.0}, {z:.0} mm of the box: the part itself stands above it, and a \
                 straight rod would go through it. Hang the part another way, or lead a groove round it in the parting face"
            ));
        }
    }
    plan.vents = vents.into_iter().map(|v| v.0).collect();
    Ok(())
}

/// The rods of the plan's vents, or where it has none yet of those that its peaks will have.
///
/// # Errors
/// As the facts they are made from.
pub fn rods(bench: &Bench, plan: &Plan, setting: &Setting, body: &Body, run: &Run) -> Result<Vec<Rod>, StudyError> {
    if !plan.vents.is_empty() {
        return Ok(setting.channels.vents.iter().flat_map(|c| c.rods.iter().copied()).collect());
    }
    let master = bench.master(plan, setting, body, run)?;
    let trees = bench.air_trees(setting, body, run)?;
    let walls = bench.walls(body, run)?;
    let matters = Matters::of(plan, &setting.frames, &bench.shop().limits);
    let rods_up = setting.frames.rubber_up();
    let limits = &bench.shop().limits;
    let rules = VentRules { body, master: &master, walls: &walls, limits, matters: &matters, rods_up };
    let rise = rods_up * master.bounds.diagonal();
    let rod = |m: &Mouth| Rod { from: m.centre, to: m.centre + rise, radius_mm: m.diameter_mm as f32 / 2.0 };
    Ok(rules.proposed(&trees.air, &[], run)?.mouths.iter().map(|m| rod(&m.mouth)).collect())
}

/// What a vent would spoil at a place.
#[derive(Clone, Debug, Default, PartialEq)]
struct Spoils {
    /// Name of the shown surface that it marks.
    shown: Option<String>,
    /// Number of the insert that it stands too close to.
    insert: Option<u32>,
    /// Rubber between its rod and the part, where that is too little, millimetres.
    rod_mm: Option<f64>,
    /// Rubber between its rod and a gate's channel, where that is too little, millimetres.
    gate_mm: Option<f64>,
}

impl Spoils {
    /// A mark on a shown surface is worst, since it is on every cast; a web beside an insert next.
    fn cost(&self) -> u32 {
        let beside = u32::from(self.rod_mm.is_some()) + u32::from(self.gate_mm.is_some());
        8 * u32::from(self.shown.is_some()) + 4 * u32::from(self.insert.is_some()) + beside
    }

    /// True where its rod would run through the part.
    fn runs_through(&self) -> bool {
        self.rod_mm.is_some_and(|mm| mm <= 0.0)
    }

    /// In words that go on after "it".
    fn words(&self) -> String {
        let mut words = Vec::new();
        if let Some(name) = &self.shown {
            words.push(format!("marks the shown surface {name}"));
        }
        if let Some(number) = self.insert {
            words.push(format!("stands too close to insert {number}"));
        }
        if let Some(mm) = self.rod_mm {
            words.push(if mm <= 0.0 {
                "runs through the part higher up".to_owned()
            } else {
                format!("passes the part at {mm:.1} mm higher up")
            });
        }
        if let Some(mm) = self.gate_mm {
            words.push(if mm <= 0.0 {
                "runs into a gate's channel".to_owned()
            } else {
                format!("stands {mm:.1} mm from a gate's channel")
            });
        }
        words.join(" and ")
    }

    /// What is spoilt here and not in `other`.
    fn without(&self, other: &Spoils) -> Spoils {
        Spoils {
            shown: self.shown.clone().filter(|_| other.shown.is_none()),
            insert: self.insert.filter(|_| other.insert.is_none()),
            rod_mm: self.rod_mm.filter(|_| other.rod_mm.is_none()),
            gate_mm: self.gate_mm.filter(|_| other.gate_mm.is_none()),
        }
    }
}

/// What the places of vents are judged by.
struct Places<'a> {
    plan: &'a Plan,
    setting: &'a Setting,
    rules: VentRules<'a>,
    air: &'a Air,
}

impl Places<'_> {
    /// What a vent of this diameter spoils at `at`; none where that costs `least` or more. The rod is looked at last,
    /// since it is the dearest to look at.
    fn spoils(&self, at: Vec3, diameter_mm: f64, least: u32) -> Option<Spoils> {
        let frames = &self.setting.frames;
        let radius_mm = diameter_mm / 2.0;
        let shown = shown::marked(self.plan, frames, self.rules.body, at, diameter_mm).map(|s| s.name.clone());
        let close =
            |s: &&crate::study::job::insert_shapes::InsertShape| s.rubber_to_mm(at, radius_mm) < BETWEEN_OPENINGS_MM;
        let insert = self.setting.inserts.iter().find(close).map(|s| s.number);
        let spoils = Spoils { shown, insert, ..Spoils::default() };
        if spoils.cost() >= least {
            return None;
        }
        let up = frames.rubber_up();
        let rise = self.rules.master.bounds.diagonal() + rod_clearance::BESIDE_ROD_MM as f32;
        let rod = Rod { from: at, to: at + up * rise, radius_mm: radius_mm as f32 };
        let channel = Channel { number: 0, rods: vec![rod], joins: None };
        let gate_mm = channel_gaps::closest_mm(&channel, &self.setting.channels.gates);
        // Wherever its rod goes through the part it does so, however near to its mouth.
        let struck = strike(self.rules.master, &channel).is_some();
        let near_mm = rod_clearance::closest(self.rules.master, &channel).map(|c| c.0);
        let rod_mm = if struck { Some(near_mm.unwrap_or(0.0).min(0.0)) } else { near_mm };
        Some(Spoils { rod_mm, gate_mm, ..spoils }).filter(|s| s.cost() < least)
    }

    /// Air that matters that stays in all attitudes together, mm³.
    fn excess_mm3(&self, mouths: &[Mouth]) -> f64 {
        self.air.excess_mm3(mouths, self.rules.matters)
    }

    /// Where mouth `i` of `chosen` should stand, the others as they are, and what its reason says of it;
    /// true as well where its rod would run through the part even there.
    fn settled(&self, i: usize, chosen: &[Mouth], gates: &[Mouth]) -> (Vec3, String, bool) {
        let own = chosen[i];
        let peak = own.centre;
        let here = self.spoils(peak, own.diameter_mm, u32::MAX).unwrap_or_default();
        if here.cost() == 0 {
            return (peak, String::new(), false);
        }
        let mut mouths = [gates, chosen].concat();
        let before = self.excess_mm3(&mouths);
        let mut best: Option<(Vec3, Spoils)> = None;
        for at in self.round(peak) {
            let least = best.as_ref().map_or(here.cost(), |b| b.1.cost());
            let normal = self.normal_at(at);
            if normal.dot(self.setting.frames.rubber_up()) < LEAST_RISE
                || self.rules.fitting_mm(at) < own.diameter_mm - 1e-6
            {
                continue;
            }
            if crowds(i, chosen, at, own.diameter_mm) {
                continue;
            }
            let Some(there) = self.spoils(at, own.diameter_mm, least) else { continue };
            mouths[gates.len() + i].centre = at;
            if self.excess_mm3(&mouths) > before * (1.0 + 1e-9) {
                continue;
            }
            let done = there.cost() == 0;
            best = Some((at, there));
            if done {
                break;
            }
        }
        match best {
            None => {
                let why = format!("; it {}, and no place near it lets this air out", here.words());
                (peak, why, here.runs_through())
            }
            Some((at, there)) => {
                let moved = here.without(&there).words();
                let mut aside = format!("; set {:.1} mm off the peak, where it {moved}", at.distance(peak));
                if there.cost() > 0 {
                    aside.push_str(&format!("; it still {}", there.words()));
                }
                let runs_through = there.runs_through();
                (at, aside, runs_through)
            }
        }
    }

    /// True where mouth `i` may be so wide without standing in the way of others, or spoiling more.
    fn takes(&self, i: usize, chosen: &[Mouth], diameter_mm: f64) -> bool {
        let own = chosen[i];
        let spoils = |mm: f64| self.spoils(own.centre, mm, u32::MAX).unwrap_or_default().cost();
        !crowds(i, chosen, own.centre, diameter_mm) && spoils(diameter_mm) <= spoils(own.diameter_mm)
    }

    /// Mouth `i` as a groove in the parting face, `widest_mm` at most, where the line is near, the cut leads up and no more
    /// air that matters stays.
    fn nick(
        &self,
        i: usize,
        chosen: &[Mouth],
        gates: &[Mouth],
        parting: &PartingFacts,
        widest_mm: f64,
    ) -> Option<Mouth> {
        let own = chosen[i];
        let on_line = vent_fit::nearest_on_line(parting, own.centre)?;
        let far = on_line.distance(own.centre) > NEAR_LINE_MM;
        if far || widest_mm < LEAST_NICK_MM || !vent_fit::leads_up(parting, self.rules.rods_up) {
            return None;
        }
        let nicked = Mouth { centre: on_line, diameter_mm: widest_mm, ..own };
        let mut mouths = [gates, chosen].concat();
        let before = self.excess_mm3(&mouths);
        mouths[gates.len() + i] = nicked;
        (self.excess_mm3(&mouths) <= before * (1.0 + 1e-9)).then_some(nicked)
    }

    fn normal_at(&self, at: Vec3) -> Vec3 {
        let nearest = self.rules.body.tree.nearest(at);
        nearest.map_or(Vec3::Z, |n| self.rules.body.mesh.unit_normal(n.triangle as usize).normalize_or(Vec3::Z))
    }

    /// Places of the wall round `peak`, the nearest first.
    fn round(&self, peak: Vec3) -> Vec<Vec3> {
        let up = self.setting.frames.cast_up();
        let side = up.any_orthonormal_vector();
        let mut places: Vec<(f32, Vec3)> = Vec::with_capacity(RINGS * ROUND);
        for ring in 1..=RINGS {
            let out = side * (ring as f32 * RING_MM);
            for k in 0..ROUND {
                let turn = Quat::from_axis_angle(up, TAU * k as f32 / ROUND as f32);
                if let Some(near) = self.rules.body.tree.nearest(peak + turn * out) {
                    places.push((near.point.distance(peak), near.point));
                }
            }
        }
        places.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut kept: Vec<(f32, Vec3)> = Vec::with_capacity(places.len());
        for place in places {
            let again = |k: &&(f32, Vec3)| k.1.distance(place.1) < SAME_MM;
            let near = kept.iter().rev().take_while(|k| k.0 > place.0 - SAME_MM);
            if place.0 >= SAME_MM && !near.into_iter().any(|k| again(&k)) {
                kept.push(place);
            }
        }
        kept.into_iter().map(|p| p.1).collect()
    }
}

/// True where mouth `i`, so wide at `at`, would leave too little rubber to another.
fn crowds(i: usize, chosen: &[Mouth], at: Vec3, diameter_mm: f64) -> bool {
    let near = |m: &Mouth| (m.centre.distance(at) as f64) < 0.5 * (m.diameter_mm + diameter_mm) + BETWEEN_OPENINGS_MM;
    chosen.iter().enumerate().any(|(k, m)| k != i && near(m))
}

fn lower_first(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |c| c.to_lowercase().collect::<String>() + letters.as_str())
}
