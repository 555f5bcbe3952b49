//! A sheet's job: what is drawn and told, gathered from a plan and its facts.

use super::SheetInput;
use super::balloons::{Tag, TagKind};
use super::drawing::{Geometry, PartingLine, Shape, Thing};
use super::page::{Paper, Picture};
use crate::mesh::Mesh;
use crate::mesh::read_stl::digest_of;
use crate::plan::{Plan, SoftCavity, file};
use crate::shop::Shop;
use crate::study::bench::Facts;
use crate::study::job::channels::Channel;
use crate::study::parting::loop_kind::LoopKind;
use crate::study::report::Report;
use glam::{DAffine3, DVec3, Vec3};

/// What the sheet of one plan needs, with its geometry brought to the box.
#[derive(Debug)]
pub struct SheetJob<'a> {
    plan: &'a Plan,
    shop: &'a Shop,
    report: &'a Report,
    part: Mesh,
    inserts: Vec<Mesh>,
    feet: Vec<Thing<'static>>,
    insert_feet: Vec<(u32, Vec3)>,
    parting: Vec<PartingLine>,
    names: Vec<(String, Vec3)>,
    picture: Option<Picture>,
    plan_digest: String,
}

/// Program and version, as they stand on every page.
const PROGRAM: &str = concat!("Mouldbench ", env!("CARGO_PKG_VERSION"));

impl<'a> SheetJob<'a> {
    /// Gathers it. `picture` goes on the first page.
    pub fn new(
        plan: &'a Plan,
        shop: &'a Shop,
        facts: &Facts,
        report: &'a Report,
        picture: Option<Picture>,
    ) -> SheetJob<'a> {
        let frames = &facts.setting.frames;
        // What stands in the box is the master.
        let master = facts.setting.master_size(plan);
        let to_box = |p: Vec3| master.point(frames.point_in_box(p)).as_vec3();
        let foot = DAffine3::from_translation(DVec3::new(0.0, 0.0, master.below_mm));
        let master_from_work =
            foot * DAffine3::from_scale(DVec3::splat(master.factor)) * foot.inverse() * frames.box_from_work;
        let mut part = Mesh::default();
        for mesh in &facts.setting.placed.meshes {
            part.append(&mesh.transformed(&master_from_work));
        }
        // A hard part that stands in this block is seen with it.
        if let Some(other) = facts.setting.other_whole().filter(|_| plan.loaded_hard().is_some()) {
            // In a tool of its own a copy of it is part of the master; the first cast itself is as large as it is.
            let own_tool = plan.second_shot.as_ref().is_none_or(|s| s.cavity == SoftCavity::OwnTool);
            let placed = if own_tool { master_from_work } else { frames.box_from_work };
            part.append(&other.mesh.transformed(&placed));
        }
        let rods = |channel: &Channel, kind: TagKind| -> Vec<Thing<'static>> {
            let foot = to_box(channel.mouth());
            let tag = Tag { kind, number: channel.number };
            let rod = |(i, rod): (usize, &crate::study::job::channels::Rod)| Thing {
                tag: (i == 0).then_some(tag),
                foot,
                shape: Shape::Rod { path: vec![to_box(rod.from), to_box(rod.to)], radius_mm: rod.radius_mm },
            };
            channel.rods.iter().enumerate().map(rod).collect()
        };
        let channels = &facts.setting.channels;
        let gates = channels.gates.iter().flat_map(|c| rods(c, TagKind::Gate));
        let feet = gates.chain(channels.vents.iter().flat_map(|c| rods(c, TagKind::Vent))).collect();
        let shapes = &facts.setting.inserts;
        let parting = facts.parting.iter().flat_map(|p| &p.loops).filter(|l| l.kind != LoopKind::Island).map(|l| {
            let mut points: Vec<Vec3> = l.points.iter().map(|p| to_box(*p)).collect();
            if l.closed {
                points.extend(points.first().copied());
            }
            PartingLine { points, shut_off: l.kind == LoopKind::ShutOff }
        });
        SheetJob {
            plan,
            shop,
            report,
            part,
            inserts: shapes.iter().map(|s| s.solid.transformed(&master_from_work)).collect(),
            insert_feet: shapes.iter().map(|s| (s.number, to_box(s.foot))).collect(),
            feet,
            parting: parting.collect(),
            names: report
                .parts
                .iter()
                .filter(|_| report.parts.len() > 1)
                .map(|p| (p.name.clone(), master.point(DVec3::from_array(p.position_mm)).as_vec3()))
                .collect(),
            picture,
            plan_digest: digest_of(file::to_text(plan).as_bytes()),
        }
    }

    /// The input of the sheet on `paper`.
    pub fn input(&self, paper: Paper) -> SheetInput<'_> {
        let mut things = self.feet.clone();
        for (mesh, (number, foot)) in self.inserts.iter().zip(&self.insert_feet) {
            let tag = Tag { kind: TagKind::Insert, number: *number };
            things.push(Thing { tag: Some(tag), foot: *foot, shape: Shape::Solid(mesh) });
        }
        let size = self.report.block.size_mm;
        SheetInput {
            plan: self.plan,
            report: self.report,
            silicone: self.plan.silicone(self.shop),
            resin: self.plan.resin(self.shop),
            limits: &self.shop.limits,
            geometry: Geometry {
                part: &self.part,
                things,
                parting: self.parting.clone(),
                names: self.names.clone(),
                block_mm: Vec3::new(size[0] as f32, size[1] as f32, size[2] as f32),
            },
            picture: self.picture.clone(),
            shop: "",
            job_number: "",
            program: PROGRAM,
            plan_digest: &self.plan_digest,
            paper,
        }
    }
}
