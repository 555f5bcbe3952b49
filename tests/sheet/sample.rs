//! A made-up job to print: a probe's handle with a flange, bosses, feed, vents and inserts.

use glam::{DVec3, Vec3};
use mouldbench::mesh::{Mesh, solids};
use mouldbench::plan::{self, Plan};
use mouldbench::sheet::SheetInput;
use mouldbench::sheet::balloons::{Tag, TagKind};
use mouldbench::sheet::drawing::{Geometry, PartingLine, Shape, Thing};
use mouldbench::sheet::page::Paper;
use mouldbench::shop::{Limits, Resin, Shop, Silicone};
use mouldbench::study::findings::Severity;
use mouldbench::study::job::part_figures::PartReport;
use mouldbench::study::numbers::box_panels::cut_list;
use mouldbench::study::numbers::figures::*;
use mouldbench::study::numbers::insert_figures::InsertReport;
use mouldbench::study::parting::loop_kind::LoopKind;
use mouldbench::study::parting::release::kinds::{UndercutKind, Verdict};
use mouldbench::study::report::*;

/// Everything that a [`SheetInput`] borrows.
pub struct Sample {
    pub plan: Plan,
    pub report: Report,
    pub silicone: Silicone,
    pub resin: Resin,
    pub limits: Limits,
    pub part: Mesh,
    pub things: Vec<Thing<'static>>,
    pub parting: Vec<PartingLine>,
    pub paper: Paper,
}

impl Sample {
    pub fn input(&self) -> SheetInput<'_> {
        let size = self.report.block.size_mm;
        SheetInput {
            plan: &self.plan,
            report: &self.report,
            silicone: &self.silicone,
            resin: &self.resin,
            limits: &self.limits,
            geometry: Geometry {
                part: &self.part,
                things: self.things.clone(),
                parting: self.parting.clone(),
                names: Vec::new(),
                block_mm: Vec3::new(size[0] as f32, size[1] as f32, size[2] as f32),
            },
            picture: None,
            shop: "Allotment Row model shop",
            job_number: "GP-014",
            program: "mouldbench 0.1.0",
            plan_digest: "9f2c4e1ab7d05a66c1f0e2b39f2c4e1ab7d05a66c1f0e2b39f2c4e1ab7d05a66",
            paper: self.paper,
        }
    }
}

/// A pour of so much of A, in one pot, cold.
pub fn one_pour(up_to_mm: f64, a_g: f64) -> PourReport {
    let b_g = a_g / 10.0;
    PourReport {
        up_to_mm,
        mass_g: a_g + b_g,
        a_g,
        b_g,
        pots: 1,
        pot_a_g: a_g,
        pot_b_g: b_g,
        pot_g: a_g + b_g,
        pot_litres: 6.0,
        cure_s: 57600.0,
    }
}

fn identity() -> Transform {
    Transform { rotation: [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]], translation_mm: [0.0; 3] }
}

/// A job with so many vents and inserts, Stops open or not.
pub fn sample(vents: u32, inserts: u32, stops: usize) -> Sample {
    // A flanged body, 120 long, with two bosses, standing in a block of 160 × 90 × 110.
    let mut part = solids::cuboid(Vec3::new(-60.0, -20.0, 25.0), Vec3::new(60.0, 20.0, 45.0));
    part.append(&solids::frustum(Vec3::new(-30.0, 0.0, 40.0), Vec3::new(-30.0, 0.0, 70.0), 14.0, 9.0, 48));
    part.append(&solids::cylinder(Vec3::new(35.0, 5.0, 40.0), Vec3::new(35.0, 5.0, 60.0), 8.0, 48));
    part.append(&solids::ball(Vec3::new(0.0, 0.0, 45.0), 15.0, 4));
    let block = [160.0, 90.0, 110.0];
    let mut plan = Plan { name: "Greenhouse soil probe, handle".into(), revision: 3, ..Plan::default() };
    plan.revision_date = "2026-05-04".into();
    plan.parts = vec![plan::Part {
        name: "Handle shell".into(),
        mesh: "handle.stl".into(),
        digest: "5b1e77aa90cd4f01deadbeef5b1e77aa90cd4f01deadbeef5b1e77aa90cd4f01".into(),
        scale: plan::Scale::Nominal { master_factor: 1.004 },
        ..Default::default()
    }];
    plan.shown = vec![plan::ShownSurface { name: "Top of the grip".into(), ..Default::default() }];
    plan.feed.gates = vec![plan::Gate {
        number: 1,
        diameter_mm: 4.0,
        runner_diameter_mm: 8.0,
        kind: plan::GateKind::Side,
        ..Default::default()
    }];
    let gate = Vec3::new(60.0, 0.0, 35.0);
    let mut things = vec![Thing {
        tag: Some(Tag { kind: TagKind::Gate, number: 1 }),
        foot: gate,
        shape: Shape::Rod { path: vec![gate, Vec3::new(70.0, 0.0, 35.0), Vec3::new(70.0, 0.0, 110.0)], radius_mm: 4.0 },
    }];
    let mut found_vents = Vec::new();
    for number in 1..=vents {
        let turn = number as f32 * 2.4;
        let spread = 52.0 * (number as f32 / vents as f32).sqrt();
        let mut at = Vec3::new(spread * turn.cos(), 0.32 * spread * turn.sin(), 45.0);
        if number == 1 {
            at = Vec3::new(-30.0, 0.0, 70.0);
        }
        if number == 2 {
            at = Vec3::new(35.0, 5.0, 60.0);
        }
        plan.vents.push(plan::Vent { number, diameter_mm: 1.5, ..Default::default() });
        found_vents.push(VentReport {
            number,
            position_mm: at.as_dvec3().to_array(),
            diameter_mm: 1.5,
            length_mm: 110.0 - at.z as f64,
            rod_mm: Some(149.0 - at.z as f64),
            volume_mm3: 1.767 * (110.0 - at.z as f64),
            name: String::new(),
            made_by: "rod_pulled",
            shows_in_order: None,
            shows_at_s: None,
            needless: false,
            in_part_mm3: Some(0.0),
            in_part_at_mm: None,
            order_estimated: true,
        });
        things.push(Thing {
            tag: Some(Tag { kind: TagKind::Vent, number }),
            foot: at,
            shape: Shape::Rod { path: vec![at, Vec3::new(at.x, at.y, 110.0)], radius_mm: 0.75 },
        });
    }
    let mut found_inserts = Vec::new();
    for number in 1..=inserts {
        let at = Vec3::new(-50.0 + 100.0 * number as f32 / (inserts + 1) as f32, -20.0, 33.0);
        plan.inserts.push(plan::Insert {
            number,
            name: String::new(),
            kind: plan::InsertKind::Bush { diameter_mm: 5.0, length_mm: 8.0, thread: "M3".into() },
            at: Default::default(),
            in_pocket_mm: 3.0,
            pocket: Default::default(),
            stays: true,
            threads: plan::Threads::Screw,
            half: Some(plan::Half::One),
            density_g_cm3: None,
            hottest_c: None,
        });
        found_inserts.push(InsertReport {
            number,
            position_mm: at.as_dvec3().to_array(),
            axis: [0.0, -1.0, 0.0],
            kind: "bush".into(),
            in_pocket_mm: 3.0,
            displaced_mm3: 98.0,
            gap_mm: Some(1.5),
            gap_length_mm: Some(6.0),
            gap_reach_mm: Some(200.0),
            half: Some(1),
            fit_mm: 0.05,
            weight_n: 0.01,
            pull_n: 0.0,
            grip_n: 0.5,
            room_mm: None,
            lock_mm: 0.0,
            to_line_mm: None,
        });
        things.push(Thing {
            tag: Some(Tag { kind: TagKind::Insert, number }),
            foot: at,
            shape: Shape::Rod { path: vec![at + Vec3::Y * 5.0, at - Vec3::Y * 3.0], radius_mm: 2.5 },
        });
    }
    let corners = [(-60.0, -20.0), (60.0, -20.0), (60.0, 20.0), (-60.0, 20.0), (-60.0, -20.0)];
    let parting = vec![
        PartingLine { points: corners.iter().map(|&(x, y)| Vec3::new(x, y, 45.0)).collect(), shut_off: false },
        PartingLine {
            points: (0..=32)
                .map(|i| {
                    let (s, c) = (std::f32::consts::TAU * i as f32 / 32.0).sin_cos();
                    Vec3::new(35.0 + 8.0 * c, 5.0 + 8.0 * s, 60.0)
                })
                .collect(),
            shut_off: true,
        },
    ];
    let mut findings: Vec<FindingReport> = (0..stops)
        .map(|i| FindingReport {
            severity: Severity::Stop,
            code: format!("air.pocket.{i}"),
            message: format!("High point {} has no vent: 48{i} mm³ of air stays, the limit is 1 mm³", i + 3),
            why: "The cast comes out with a hole at this place.".into(),
            remedy: "Place a vent on its peak, or turn the part.".into(),
            position_mm: Some([12.0, 4.0, 60.0]),
            from_walls_mm: None,
        })
        .collect();
    findings.push(FindingReport {
        severity: Severity::Warn,
        code: "wall.thin".into(),
        message: "The thinnest wall is 0.8 mm; below 1.0 mm resin may not get through".into(),
        why: "A thin wall fills last and the resin thickens on its way.".into(),
        remedy: "Bring a gate nearer, or warm the mould.".into(),
        position_mm: Some([-20.0, 11.0, 30.0]),
        from_walls_mm: None,
    });
    findings.push(FindingReport {
        severity: Severity::Note,
        code: "vent.needless".into(),
        message: "Vent 2 holds no pocket that another vent does not hold".into(),
        why: "Every vent leaves a witness mark.".into(),
        remedy: "Leave it out.".into(),
        position_mm: None,
        from_walls_mm: None,
    });
    let report = Report {
        frame: Frames { box_from_part: identity(), cast_from_box: identity() },
        parts: Vec::new(),
        part: PartReport { triangles: part.triangles.len(), watertight: true, ..Default::default() },
        air: AirReport { trapped_mm3: 18.0, trapped_lean_mm3: 1340.0, ..Default::default() },
        parting: PartingReport {
            draw: [0.0, 0.0, 1.0],
            loops: vec![
                LoopReport { kind: LoopKind::Parting, length_mm: Some(320.0) },
                LoopReport { kind: LoopKind::ShutOff, length_mm: Some(50.3) },
            ],
            shut_offs: vec![ShutOffReport {
                length_mm: 50.3,
                area_mm2: 201.1,
                span_mm: 16.0,
                plug: 1,
                separation: mouldbench::plan::Separation::Taped,
                decided: false,
                blade: None,
                unfit: None,
                tape_mm: Some([26.0, 26.0]),
                skin_mm2: Some(201.1),
                moved_mm: 0.0,
                from_ends_mm: Some([4.0, 12.0]),
                position_mm: [0.0, 0.0, 45.0],
            }],
            undercuts: vec![UndercutReport {
                area_mm2: 120.0,
                depth_mm: 2.4,
                kind: UndercutKind::Collar,
                closed_round: true,
                stretch: Some(0.1),
                verdict: Verdict::WithCare,
                life: 0.75,
                position_mm: [0.0, 0.0, 50.0],
            }],
            ..Default::default()
        },
        rubber: Vec::new(),
        rubber_between: Vec::new(),
        cut: CutReport::default(),
        feed: FeedReport {
            gates_mm: vec![gate.as_dvec3().to_array()],
            runners: vec![RunnerReport {
                joins: None,
                number: 1,
                length_mm: 85.0,
                in_part_mm3: Some(0.0),
                in_part_at_mm: None,
                rod_mm: Some(124.0),
                pulled: false,
                legs: vec![
                    LegReport {
                        from_mm: gate.as_dvec3().to_array(),
                        to_mm: [70.0, 0.0, 35.0],
                        length_mm: 10.0,
                        rod_mm: 10.0,
                        diameter_mm: 4.0,
                    },
                    LegReport {
                        from_mm: [70.0, 0.0, 35.0],
                        to_mm: [70.0, 0.0, 110.0],
                        length_mm: 75.0,
                        rod_mm: 114.0,
                        diameter_mm: 8.0,
                    },
                ],
            }],
            volume_mm3: 6200.0,
            ..Default::default()
        },
        vents: found_vents,
        inserts: found_inserts,
        flow: FlowReport { longest_mm: Some(131.0), ..Default::default() },
        fill: None,
        block: BlockReport {
            size_mm: block,
            volume_mm3: 1.584e6,
            wall_mm: 20.0,
            below_mm: 25.0,
            above_mm: 40.0,
            channels_mm3: 8000.0,
            freeboard_mm: 30.0,
            rod_beyond_mm: 39.0,
            panel_mm: 9.0,
            panel: "board".into(),
            joint: "butt joint".into(),
            panels: cut_list(DVec3::from_array(block), 140.0, 9.0),
            ..Default::default()
        },
        hanging: HangingReport {
            net_force_n: 0.4,
            direction: HangDirection::Up,
            beam_mm: [108.0, 40.0, 9.0],
            ..Default::default()
        },
        silicone: SiliconeReport {
            name: "Clear addition silicone, Shore A 40".into(),
            volume_mm3: 1.45e6,
            mass_g: 1648.6,
            a_g: 1498.7,
            b_g: 149.9,
            pot_litres: 6.0,
            pot_life_s: 4500.0,
            cure_s: 57600.0,
            pots: 1,
            pot_a_g: 1498.7,
            pot_b_g: 149.9,
            each_pot_litres: 6.0,
            cure_c: 23.0,
            cure_at_s: 57600.0,
            pours: vec![one_pour(110.0, 1498.7)],
            ..Default::default()
        },
        resin: ResinReport {
            name: "Rigid casting resin, general".into(),
            part_mm3: 128_000.0,
            cavity_mm3: 136_000.0,
            part_g: 143.4,
            shot_g: 178.2,
            a_g: 79.2,
            b_g: 99.0,
            pot_life_s: 360.0,
            ..Default::default()
        },
        size: SizeReport {
            cancelling_factor: 0.991,
            assumption: "the block grows the same in all directions".into(),
            dimensions: vec![DimensionReport {
                name: "Over all".into(),
                wanted_mm: 120.0,
                master_mm: 120.48,
                cast_mm: 121.3,
                least_mm: 121.0,
                most_mm: 121.6,
                spread_mm: 0.3,
                flash_mm: [0.02, 0.15],
            }],
            ..Default::default()
        },
        casts: CastsReport { good: 30, to_make: 36, tool_life: [15, 25], tools: [2, 3], ..Default::default() },
        days: DaysReport {
            good: 30,
            tool_life: [15, 25],
            tools: 2,
            days: 17,
            preheat_s: 9000.0,
            reheat_s: 2250.0,
            casts_a_day: 2,
            bottleneck: "masters".into(),
            events: vec![
                EventReport { day: 1, date: Some("2026-05-04".into()), what: "block 1 boxed and poured".into() },
                EventReport { day: 2, date: None, what: "block 1 cut, master out".into() },
            ],
            ..Default::default()
        },
        second_shot: None,
        findings,
    };
    let silicone = Silicone {
        name: report.silicone.name.clone(),
        a_parts: 10.0,
        b_parts: 1.0,
        density_g_cm3: 1.08,
        shore_a: 40.0,
        elongation_pct: 300.0,
        viscosity_pa_s: 40.0,
        pot_life_s: 4500.0,
        cure_s: 57600.0,
        loss_share: 0.05,
        foam_factor: 4.0,
        warm_cures: Vec::new(),
        source: "common practice".into(),
    };
    let resin = Resin {
        name: report.resin.name.clone(),
        a_parts: 80.0,
        b_parts: 100.0,
        density_g_cm3: 1.12,
        viscosity_pa_s: 0.6,
        pot_life_s: 360.0,
        pot_life_batch_g: 200.0,
        shrinkage_pct: 0.3,
        mould_c: 70.0,
        demould_s: 2700.0,
        tool_life: (15, 25),
        shore_a: 0.0,
        bears_c: 75.0,
        source: "common practice".into(),
    };
    let limits = Limits {
        air_pocket_mm3: 1.0,
        lean_deg: 2.0,
        chamber_pa: 500.0,
        bubble_mm: 0.5,
        bubble_shown_mm: 0.2,
        thinnest_wall_mm: 1.0,
        undercut_mm2: 1.0,
        undercut_depth_mm: 0.3,
        undercut_lines: Shop::bundled().limits.undercut_lines,
        stretch_share: [0.1, 0.2],
        slenderness: [5.0, 8.0],
        torn_mm: 4.0,
        island_mm2: 4.0,
        vent_mm: 1.5,
        vent_wall_share: 0.8,
        least_rubber_mm: 5.0,
        resin_round_insert_mm: 1.5,
        head_mm: 60.0,
        cup_loss_share: 0.1,
        pool_mm: 5.0,
        wall_mm: [15.0, 25.0, 40.0],
        above_mm: 30.0,
        blade_reach_mm: 60.0,
        ..Shop::bundled().limits
    };
    Sample { plan, report, silicone, resin, limits, part, things, parting, paper: Paper::A4 }
}
