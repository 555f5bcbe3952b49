//! Random plans that hold something of everything, for round trips and histories.

use glam::{DQuat, DVec3};
use mouldbench::plan::bodies::BodyAt;
use mouldbench::plan::parts::Finish;
use mouldbench::plan::*;
use mouldbench::shop::{HangRod, Panel, Resin, Silicone};
use proptest::prelude::*;

fn number() -> impl Strategy<Value = f64> {
    prop_oneof![-1e4..1e4f64, Just(0.0), Just(0.1), Just(1e-9), Just(-123456.789012345)]
}

fn positive() -> impl Strategy<Value = f64> {
    prop_oneof![0.01..500.0f64, Just(1.0 / 3.0)]
}

fn point() -> impl Strategy<Value = DVec3> {
    (number(), number(), number()).prop_map(|(x, y, z)| DVec3::new(x, y, z))
}

fn direction() -> impl Strategy<Value = DVec3> {
    point().prop_map(|p| p.try_normalize().unwrap_or(DVec3::X))
}

/// Names with quotes, line breaks and letters from elsewhere.
fn name() -> impl Strategy<Value = String> {
    prop_oneof!["[ -~]{0,12}", Just("Größe \"A\"\n\t\\ ± µ".to_owned()), "\\PC{0,8}"]
}

fn spot() -> impl Strategy<Value = Spot> {
    (0usize..2, point(), direction()).prop_map(|(part, position, normal)| Spot { part, position, normal })
}

fn part() -> impl Strategy<Value = Part> {
    let scale = prop_oneof![
        (0.9..1.1f64).prop_map(|master_factor| Scale::Nominal { master_factor }),
        (0.9..1.1f64).prop_map(|factor| Scale::Master { factor })
    ];
    let unit = prop_oneof![Just(Unit::Millimetre), Just(Unit::Inch)];
    (name(), name(), unit, scale, direction(), number(), point()).prop_map(
        |(name, mesh, unit, scale, axis, angle, translation_mm)| Part {
            name,
            mesh,
            digest: "0f".repeat(32),
            bodies: match angle as i64 % 3 {
                0 => Bodies::NotSaid,
                1 => Bodies::OnePart,
                _ => Bodies::One(BodyAt { centroid: translation_mm, low: -translation_mm, high: axis * angle }),
            },
            unit,
            scale,
            pose: Pose { rotation: DQuat::from_axis_angle(axis, angle), translation_mm },
            wanted: (angle > 0.0).then_some(angle.min(1e6) as u32),
        },
    )
}

fn made() -> impl Strategy<Value = Made> {
    prop_oneof![Just(Made::RodPulled), Just(Made::PunchedFromCavity), Just(Made::GrooveInParting)]
}

fn gate() -> impl Strategy<Value = Gate> {
    let kind = prop_oneof![Just(GateKind::Top), Just(GateKind::Bottom), Just(GateKind::Side)];
    let runner = prop::collection::vec(point(), 0..3);
    (name(), spot(), kind, [positive(), positive(), positive()], runner, made(), any::<bool>()).prop_map(
        |(name, at, kind, [diameter_mm, land_mm, runner_diameter_mm], runner, made, lets_air_out)| Gate {
            number: 1,
            name,
            at,
            kind,
            diameter_mm,
            land_mm,
            runner,
            runner_diameter_mm,
            joins: lets_air_out.then_some(1),
            made,
            lets_air_out,
        },
    )
}

/// Numbers them; a runner may only run into one that was there before it.
fn numbered(mut gates: Vec<Gate>) -> Vec<Gate> {
    for (i, gate) in gates.iter_mut().enumerate() {
        gate.number = i as u32 + 1;
        gate.joins = gate.joins.filter(|n| *n < gate.number);
    }
    gates
}

fn vent() -> impl Strategy<Value = Vent> {
    (1u32..90, name(), spot(), positive(), made()).prop_map(|(number, name, at, diameter_mm, made)| Vent {
        number,
        name,
        at,
        diameter_mm,
        made,
    })
}

fn insert() -> impl Strategy<Value = Insert> {
    let kind = prop_oneof![
        (positive(), positive(), name()).prop_map(|(diameter_mm, length_mm, thread)| InsertKind::Bush {
            diameter_mm,
            length_mm,
            thread
        }),
        (positive(), positive()).prop_map(|(diameter_mm, length_mm)| InsertKind::Pin { diameter_mm, length_mm }),
        (positive(), positive(), positive()).prop_map(|(length_mm, width_mm, thickness_mm)| InsertKind::Plate {
            length_mm,
            width_mm,
            thickness_mm
        }),
        (positive(), positive()).prop_map(|(diameter_mm, length_mm)| InsertKind::Magnet { diameter_mm, length_mm }),
        name().prop_map(|mesh| InsertKind::Mesh { mesh }),
    ];
    let half = prop_oneof![Just(None), Just(Some(Half::One)), Just(Some(Half::Two))];
    (name(), kind, spot(), positive(), any::<bool>(), half).prop_map(|(name, kind, at, in_pocket_mm, stays, half)| {
        Insert {
            number: 1,
            name,
            kind,
            at,
            in_pocket_mm,
            pocket: PocketMade::DrilledAfter,
            stays,
            threads: Threads::Plug,
            half,
            density_g_cm3: stays.then_some(in_pocket_mm),
            hottest_c: stays.then_some(in_pocket_mm),
        }
    })
}

fn parting() -> impl Strategy<Value = Parting> {
    let stroke = || prop::collection::vec(spot(), 1..4);
    let half = prop_oneof![Just(Half::One), Just(Half::Two)];
    let of = prop_oneof![Just(PieceOf::Rubber), Just(PieceOf::Metal)];
    (direction(), prop::option::of(-1e4f64..1e4), stroke(), half, stroke(), positive(), name(), of).prop_map(
        |(draw, plane_mm, pins, half, stroke, radius_mm, name, of)| Parting {
            draw,
            plane_mm,
            pins: pins.iter().map(|at| Pin { at: *at }).collect(),
            marks: vec![HalfMark { half, stroke: stroke.clone(), radius_mm }],
            held_loops: vec![HeldLoop { points: stroke.clone() }],
            shut_offs: vec![ShutOffChoice {
                near: stroke[0],
                separation: Separation::Torn,
                held: stroke.clone(),
                moved_mm: -3.25,
            }],
            relief_cuts: vec![ReliefCut { name: name.clone(), points: stroke.clone(), depth_mm: radius_mm }],
            loose_pieces: vec![LoosePiece { name, at: stroke[0], leaves_along: draw, radius_mm, of }],
        },
    )
}

fn materials() -> impl Strategy<Value = MaterialsUsed> {
    (any::<bool>(), positive(), name()).prop_map(|(some, v, name)| {
        let silicone = Silicone {
            name: name.clone(),
            a_parts: 10.0,
            b_parts: v,
            density_g_cm3: v,
            shore_a: v,
            elongation_pct: v,
            viscosity_pa_s: v,
            pot_life_s: v,
            cure_s: v,
            warm_cures: vec![(v, v)],
            loss_share: v,
            foam_factor: v,
            source: name.clone(),
        };
        let resin = Resin {
            name: name.clone(),
            a_parts: v,
            b_parts: v,
            density_g_cm3: v,
            viscosity_pa_s: v,
            pot_life_s: v,
            pot_life_batch_g: v,
            shrinkage_pct: v,
            mould_c: v,
            demould_s: v,
            tool_life: (15, 30),
            shore_a: 0.0,
            bears_c: 75.0,
            source: name.clone(),
        };
        let panel = Panel { name: name.clone(), thickness_mm: v, modulus_mpa: v, source: name.clone() };
        let rod = HangRod { name: name.clone(), modulus_mpa: v, glue_mpa: v, source: name };
        MaterialsUsed {
            panel: some.then_some(panel),
            rod: some.then_some(rod),
            pigment_pct: v.min(50.0),
            silicone: some.then_some(silicone),
            resin: some.then_some(resin),
        }
    })
}

/// Any plan that the program could hold.
pub fn any_plan() -> impl Strategy<Value = Plan> {
    let stage = prop_oneof![Just(Stage::Planned), Just(Stage::Poured), Just(Stage::Cut), Just(Stage::Casting)];
    let attitude = || (direction(), number()).prop_map(|(up, turn)| Attitude { up, turn });
    let weights =
        (0.0..1000.0, 0.0..1000.0).prop_map(|(a, b)| HangWeights { ceiling: a, shown: b, ..HangWeights::default() });
    let hang = (attitude(), prop::option::of(attitude()), weights).prop_map(|(rubber, cast, weights)| Hang {
        rubber,
        cast,
        weights,
    });
    let feed = (positive(), prop::collection::vec(gate(), 0..3))
        .prop_map(|(d, gates)| Feed { cup: Cup { diameter_mm: d, height_mm: d }, gates: numbered(gates) });
    let block =
        (prop::option::of(positive()), prop::option::of(positive())).prop_map(|(wall_mm, above_mm)| BlockPlan {
            wall_mm,
            below_mm: None,
            above_mm,
            degas_in_box: wall_mm.is_some(),
            cure_c: above_mm.map(|mm| mm.min(200.0)),
            first_pour_mm: wall_mm,
            held: if above_mm.is_some() { Held::FourSides } else { Held::Free },
        });
    let shown = (name(), prop::collection::vec(spot(), 1..3), positive())
        .prop_map(|(name, stroke, radius_mm)| ShownSurface { name, finish: Finish::Gloss, stroke, radius_mm });
    let log = (1u32..40, positive(), name(), any::<bool>()).prop_map(|(shot, trimmed_g, remark, good)| CastEntry {
        shot,
        date: "2031-02-03".into(),
        batch: "B7".into(),
        trimmed_g,
        remark,
        good,
    });
    (
        (name(), any::<u32>(), stage, prop::collection::vec(part(), 2..3), hang, parting()),
        (feed, prop::collection::vec(vent(), 0..4), prop::collection::vec(insert(), 0..3)),
        (prop::collection::vec(shown, 0..2), block, materials(), 0u32..200, prop::collection::vec(log, 0..3), name()),
    )
        .prop_map(
            |(
                (name, revision, stage, parts, hang, parting),
                (feed, vents, inserts),
                (shown, block, materials, good, log, notes),
            )| {
                let second_shot = second_shot(good, block.wall_mm);
                let mut plan = Plan {
                    name,
                    revision,
                    revision_date: "2031-01-02".into(),
                    stage,
                    unlocked: vec![Unlocking { from: Stage::Cut, to: Stage::Planned, reason: notes.clone() }],
                    parts,
                    hang,
                    parting,
                    feed,
                    vents,
                    inserts,
                    second_shot: None,
                    shown,
                    block,
                    materials,
                    quantity: Quantity { good, set_up: (good > 9).then_some(good), reject_share: Some(0.25) },
                    dimensions: log.iter().map(|c| dimension(c.trimmed_g, &c.remark)).collect(),
                    diary: Diary {
                        start: notes.clone(),
                        works: [good > 5, true, false, true, good > 50, false, true],
                        masters: good + 1,
                        blocks_a_batch: 2,
                    },
                    master: master(good, block.wall_mm),
                    // An issue for each cast, which varies their number without one more strategy.
                    issues: log.iter().map(|c| issue(c.shot, &c.remark)).collect(),
                    log,
                    notes,
                };
                // A two-shot job has one part a block.
                if second_shot.is_some() {
                    plan.remove_part(1);
                    plan.second_shot = second_shot;
                }
                plan
            },
        )
}

fn dimension(length_mm: f64, name: &str) -> Dimension {
    let along = if length_mm > 100.0 { Along::Width } else { Along::Height };
    Dimension { name: name.to_owned(), length_mm, along, across_cut: length_mm > 50.0 }
}

fn master(rods: u32, some: Option<f64>) -> Master {
    Master {
        material: if rods > 9 { MasterMaterial::PrintedPhotopolymer } else { MasterMaterial::Machined },
        core: some.map_or(MasterCore::Solid, |skin_mm| MasterCore::Hollow { skin_mm, open: rods > 9 }),
        density_g_cm3: some,
        weighed_g: some,
        cure_trial: rods > 20,
        stuck_to_floor: rods > 30,
        plugged_rods: rods,
        plugged_rod_mm: some.unwrap_or(1.5),
    }
}

fn second_shot(good: u32, some: Option<f64>) -> Option<SecondShot> {
    some.map(|v| SecondShot {
        name: format!("Hülse \"{good}\""),
        mesh: "soft/sleeve.stl".into(),
        digest: "a7".repeat(32),
        unit: if good > 50 { Unit::Inch } else { Unit::Millimetre },
        pose: Pose { rotation: DQuat::from_rotation_x(v), translation_mm: DVec3::new(v, -v, 1.0 / v) },
        makes: if good > 100 { Shot::Hard } else { Shot::Soft },
        cavity: if good > 20 { SoftCavity::RoundFirstCast } else { SoftCavity::OwnTool },
        resin: (good > 9).then(|| mouldbench::shop::Shop::bundled().resins[4].clone()),
        wait_s: (good > 5).then_some(v),
        channels_mm3: (good > 7).then_some(v),
    })
}

fn issue(revision: u32, words: &str) -> Issue {
    let decision = Decision { what: format!("Vent {revision}"), how: words.to_owned() };
    Issue { revision, date: "2026-02-03".into(), decisions: vec![decision] }
}
