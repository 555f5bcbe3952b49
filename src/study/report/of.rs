//! The report of a plan, put together from its facts and findings.

use super::{
    AirReport, CutReport, EntryReport, FeedReport, FindingReport, FlowReport, HighPointReport, HookReport, LegReport,
    LoopReport, PartingReport, Range, Report, RunnerReport, StationReport, Transform, VentReport, release,
};
use crate::study::job::wall_name::WallName;

use crate::plan::{Made, Plan};
use crate::shop::Shop;
use crate::study::air::MouthOf;
use crate::study::bench::Facts;
use crate::study::findings::Finding;
use crate::study::job::channel_strike::Strike;
use crate::study::job::channels::Channel;
use crate::study::job::frames::{Frames, direction_in_box, in_box};
use crate::study::job::part_figures::PartReport;
use crate::study::job::setting::Setting;
use crate::study::numbers::insert_figures::inserts_report;
use crate::study::numbers::of_bench::BenchNumbers;
use crate::study::parting::cut::block_box::Wall;
use crate::study::parting::cut::channels::is_pulled;
use crate::study::parting::cut::hooks::Hook;
use crate::study::parting::cut::marks::MarkedLine;
use crate::study::pour::reach::reach_mm;
use glam::DAffine3;

/// The report of `plan`; what is not among the facts yet is left at nothing.
pub fn report_of(plan: &Plan, shop: &Shop, facts: &Facts, findings: &[Finding]) -> Report {
    let frames = &facts.setting.frames;
    let numbers = BenchNumbers::of(plan, shop, &facts.for_numbers());
    Report {
        frame: frames_report(frames),
        part: part_report(facts),
        parts: super::set::places(plan, facts),
        air: air_report(plan, shop, facts),
        parting: parting_report(plan, shop, facts),
        rubber: release::rubber(facts),
        rubber_between: release::films(facts),
        cut: cut_report(plan, facts),
        feed: FeedReport {
            gates_mm: plan.feed.gates.iter().map(|g| in_box(frames, frames.spot_in_work(&g.at))).collect(),
            runners: runners_report(plan, facts, numbers.block.rod_beyond_mm),
            volume_mm3: numbers.resin.feed_mm3,
            figures: super::feed::feed_figures(plan, shop, facts, numbers.resin.feed_mm3),
        },
        vents: vents_report(plan, facts, numbers.block.rod_beyond_mm),
        inserts: inserts_report(plan, shop, &facts.for_numbers()),
        flow: flow_report(plan, shop, facts),
        fill: super::fill::fill_report(plan, shop.limits.chamber_pa, facts),
        block: numbers.block,
        hanging: numbers.hanging,
        silicone: numbers.silicone,
        resin: numbers.resin,
        size: numbers.size,
        casts: numbers.casts,
        days: numbers.days,
        second_shot: numbers.second_shot,
        findings: findings.iter().map(|f| finding_report(plan, &facts.setting, f)).collect(),
    }
}

fn transform(t: &DAffine3) -> Transform {
    let rows = t.matrix3.transpose();
    Transform {
        rotation: [rows.x_axis.to_array(), rows.y_axis.to_array(), rows.z_axis.to_array()],
        translation_mm: t.translation.to_array(),
    }
}

fn frames_report(frames: &Frames) -> crate::study::report::Frames {
    let work_from_part = frames.work_from_part.first().copied().unwrap_or(DAffine3::IDENTITY);
    crate::study::report::Frames {
        box_from_part: transform(&(frames.box_from_work * work_from_part)),
        cast_from_box: transform(&frames.cast_from_box),
    }
}

/// What the meshes of a plan are; bounds are in the first part's own coordinates, sums go over all parts.
fn part_report(facts: &Facts) -> PartReport {
    let placed = &facts.setting.placed;
    let mut report = PartReport { watertight: true, ..PartReport::default() };
    for loaded in &placed.loaded {
        let part = loaded.report();
        report.triangles += part.triangles;
        report.vertices += part.vertices;
        report.bodies += part.bodies;
        report.pieces += part.pieces;
        report.watertight &= part.watertight;
        report.open_edges += part.open_edges;
        report.volume_mm3 += part.volume_mm3;
        report.area_mm2 += part.area_mm2;
    }
    report.bounds_mm = placed.loaded.first().map(|l| l.report().bounds_mm).unwrap_or_default();
    report
}

fn air_report(plan: &Plan, shop: &Shop, facts: &Facts) -> AirReport {
    let Some(air) = &facts.air else { return AirReport::default() };
    let frames = &facts.setting.frames;
    // Heights of the trees are along up from the origin of `work`; the report gives them in the cast attitude, where Z
    // is up and the origin that of the box.
    let cast_from_work = frames.cast_from_box * frames.box_from_work;
    let lift = cast_from_work.translation.z;
    let high_points = air
        .high_points
        .iter()
        .zip(&air.served)
        .map(|(point, served)| HighPointReport {
            position_mm: in_box(frames, point.position),
            sill_z_mm: point.sill.map(|s| s + lift),
            pocket_mm3: point.pocket_mm3,
            vent: served.by.and_then(|m| if let MouthOf::Vent(n) = m { Some(n) } else { None }),
            trapped_mm3: served.trapped_mm3,
            bubble_mm: served.bubble_mm,
        })
        .collect();
    AirReport {
        high_points,
        trapped_mm3: air.trapped.total_mm3,
        trapped_lean_mm3: air.worst_mm3,
        after_let_up_bubble_mm: air
            .served
            .iter()
            .map(|s| s.bubble_mm)
            .chain(air.worst_piece.map(|w| w.bubble_mm))
            .fold(0.0, f64::max),
        cell_error_mm3: air.cell_error_mm3,
        level_holds: crate::study::pour::level_holds::level_holds(plan, shop, &facts.for_pour()),
        standing: super::air::standing_report(facts),
    }
}

fn parting_report(plan: &Plan, shop: &Shop, facts: &Facts) -> PartingReport {
    let Some(parting) = &facts.parting else { return PartingReport::default() };
    let frames = &facts.setting.frames;
    PartingReport {
        draw: direction_in_box(frames, parting.draw),
        loops: parting.lines.iter().map(|l| LoopReport { kind: l.kind, length_mm: Some(l.length_mm) }).collect(),
        half_1_mm2: parting.half_1_mm2,
        half_2_mm2: parting.half_2_mm2,
        undercuts: release::undercuts(plan, shop, facts),
        hidden_from_both_mm2: parting.hidden_from_both_mm2,
        locked: release::locked(facts),
        shut_offs: release::shut_offs(plan, shop, facts),
        relief_cuts: release::relief_cuts(facts),
        loose_pieces: release::loose_pieces(plan, facts),
    }
}

/// The runners; a rod that goes up to the cup is so much longer than its way through the rubber.
fn runners_report(plan: &Plan, facts: &Facts, rod_beyond_mm: f64) -> Vec<RunnerReport> {
    let struck = |i: usize| facts.strikes.as_ref().and_then(|s| s.gates.get(i)).copied();
    let gates = plan.feed.gates.iter().zip(&facts.setting.channels.gates).enumerate();
    gates
        .map(|(i, (gate, channel))| runner_report(plan, &facts.setting, channel, gate.made, rod_beyond_mm, struck(i)))
        .collect()
}

/// What a channel cuts out of the part and where, from what is known of its strike.
fn in_part(frames: &Frames, struck: Option<Option<Strike>>) -> (Option<f64>, Option<[f64; 3]>) {
    let found = struck.flatten();
    (struck.map(|s| s.map_or(0.0, |s| s.volume_mm3)), found.map(|s| in_box(frames, s.at)))
}

fn runner_report(
    plan: &Plan,
    setting: &Setting,
    channel: &Channel,
    made: Made,
    beyond_mm: f64,
    struck: Option<Option<Strike>>,
) -> RunnerReport {
    let (frames, master) = (&setting.frames, setting.master_size(plan));
    let (in_part_mm3, in_part_at_mm) = in_part(frames, struck);
    // What ends in another's runner ends there.
    let beyond_mm = if channel.joins.is_some() { 0.0 } else { beyond_mm };
    let last = channel.rods.len().saturating_sub(1);
    let legs = channel.rods.iter().enumerate().map(|(i, rod)| {
        let length_mm = master.rod_mm(frames, rod);
        LegReport {
            from_mm: in_box(frames, rod.from),
            to_mm: in_box(frames, rod.to),
            length_mm,
            rod_mm: if i == last { length_mm + beyond_mm } else { length_mm },
            diameter_mm: 2.0 * rod.radius_mm as f64,
        }
    });
    let length_mm = master.channel_mm(frames, channel);
    RunnerReport {
        number: channel.number,
        length_mm,
        rod_mm: (made == Made::RodPulled).then_some(length_mm + beyond_mm),
        pulled: made == Made::RodPulled && is_pulled(channel),
        joins: channel.joins,
        legs: legs.collect(),
        in_part_mm3,
        in_part_at_mm,
    }
}

fn cut_report(plan: &Plan, facts: &Facts) -> CutReport {
    let Some(cut) = &facts.cut else { return CutReport::default() };
    CutReport {
        knife_depth_mm: cut.knife_depth_mm.map(|[min, max]| Range { min, max }),
        least_rubber_mm: cut.least_rubber.map(|l| l.0),
        hooks: cut.hooks.iter().map(|h| hook_report(facts, h)).collect(),
        keys: cut.keys.len(),
        tape_mm: cut.tape_mm * plan.master_factor(),
        entries: cut.marks.iter().flat_map(|m| &m.lines).map(entry_report).collect(),
    }
}

fn hook_report(facts: &Facts, hook: &Hook) -> HookReport {
    HookReport {
        depth_mm: hook.depth_mm,
        area_mm2: hook.area_mm2,
        pulled_mm: hook.pulled_mm,
        volume_mm3: hook.volume_mm3,
        position_mm: in_box(&facts.setting.frames, hook.place),
    }
}

fn entry_report(marked: &MarkedLine) -> EntryReport {
    let wall = match marked.line.wall {
        Wall::Front => WallName::Front,
        Wall::Right => WallName::Right,
        Wall::Back => WallName::Back,
        Wall::Left => WallName::Left,
        Wall::Top => WallName::Top,
        Wall::Floor => WallName::Floor,
    };
    EntryReport {
        wall,
        closed: marked.line.closed,
        length_mm: marked.line.length_mm(),
        points_mm: marked.line.points.iter().map(|p| p.to_array()).collect(),
        stations: marked
            .stations
            .iter()
            .map(|s| StationReport {
                along_mm: s.along_mm,
                at_mm: s.at_mm.to_array(),
                depth_mm: s.depth_mm,
                to_part: s.to_part,
            })
            .collect(),
    }
}

fn vents_report(plan: &Plan, facts: &Facts, rod_beyond_mm: f64) -> Vec<VentReport> {
    let channels = &facts.setting.channels.vents;
    let master = facts.setting.master_size(plan);
    let mouth = |number: u32| facts.air.as_ref().and_then(|a| Some((a, a.mouth_of_vent(number)?)));
    // When each shows; nothing of it is known before the fill was followed.
    let shown_at = |i: usize| facts.fill.as_ref().and_then(|f| f.shown_at.get(i).copied().flatten());
    let mut order: Vec<(f64, usize)> = (0..plan.vents.len()).filter_map(|i| Some((shown_at(i)?, i))).collect();
    order.sort_by(|a, b| a.0.total_cmp(&b.0));
    let struck =
        |i: usize| in_part(&facts.setting.frames, facts.strikes.as_ref().and_then(|s| s.vents.get(i)).copied());
    plan.vents
        .iter()
        .zip(channels)
        .enumerate()
        .map(|(i, (vent, channel))| VentReport {
            number: vent.number,
            name: vent.name.clone(),
            made_by: made_by(vent.made),
            position_mm: in_box(&facts.setting.frames, channel.mouth()),
            diameter_mm: vent.diameter_mm,
            length_mm: master.channel_mm(&facts.setting.frames, channel),
            rod_mm: (vent.made == Made::RodPulled)
                .then(|| master.channel_mm(&facts.setting.frames, channel) + rod_beyond_mm),
            volume_mm3: channel.volume_mm3(),
            shows_in_order: order.iter().position(|o| o.1 == i).map(|place| place + 1),
            shows_at_s: shown_at(i)
                .and_then(|at| facts.fill.as_ref().map(|f| f.cup.seconds(at)))
                .filter(|s| s.is_finite()),
            order_estimated: facts.fill.is_none(),
            needless: mouth(vent.number).is_some_and(|(a, m)| a.needless[m].is_some()),
            in_part_mm3: struck(i).0,
            in_part_at_mm: struck(i).1,
        })
        .collect()
}

fn made_by(made: Made) -> &'static str {
    match made {
        Made::RodPulled => "rod_pulled",
        Made::PunchedFromCavity => "punched_from_cavity",
        Made::GrooveInParting => "groove_in_parting",
    }
}

fn flow_report(plan: &Plan, shop: &Shop, facts: &Facts) -> FlowReport {
    let frames = &facts.setting.frames;
    let thinnest = facts.walls.as_ref().and_then(|w| w.thinnest());
    let thickest = facts.walls.as_ref().and_then(|w| w.thickest);
    let longest = facts.flow.as_ref().and_then(|f| f.longest.as_ref());
    FlowReport {
        longest_mm: longest.map(|l| l.length_mm),
        last_point_mm: longest.map(|l| in_box(frames, l.last())),
        thinnest_mm: thinnest.map(|w| w.thickness_mm as f64),
        thinnest_point_mm: thinnest.map(|w| in_box(frames, w.position)),
        thickest_mm: thickest.map(|b| b.diameter_mm as f64),
        thickest_point_mm: thickest.map(|b| in_box(frames, b.touches)),
        reach_mm: longest.and_then(|_| reach_mm(plan, shop, &facts.for_pour())),
        cell_mm: facts.flow.as_ref().map_or(0.0, |f| f.cell_mm),
    }
}

fn finding_report(plan: &Plan, setting: &Setting, finding: &Finding) -> FindingReport {
    let (frames, master) = (&setting.frames, setting.master_size(plan));
    FindingReport {
        severity: finding.severity,
        code: finding.code.to_owned(),
        message: finding.message.clone(),
        why: finding.why.clone(),
        remedy: finding.remedy.clone(),
        position_mm: finding.place.map(|p| in_box(frames, p)),
        from_walls_mm: finding.place.map(|p| master.from_walls(frames.point_in_box(p)).to_array()),
    }
}
