//! `halves`: both halves of the cut block as STL.

use super::CLEAR;
use super::arguments::HalvesArguments;
use super::check::shop;
use crate::mesh::measure::Measures;
use crate::mesh::write_stl;
use crate::plan::file;
use crate::solve::run::Run;
use crate::study::bench::Bench;
use glam::DVec3;

pub fn run(arguments: &HalvesArguments) -> Result<u8, String> {
    let plan = file::read(&arguments.plan).map_err(|e| e.to_string())?;
    let bench = Bench::new(shop(arguments.shop.as_deref())?, []);
    bench.set_folder(arguments.plan.parent());
    let run = Run::new();
    let said = |e: crate::study::bench::StudyError| e.to_string();
    let setting = bench.setting(&plan).map_err(said)?;
    let body = bench.body(&plan, &setting, &run).map_err(said)?;
    let halves = bench.halves(&plan, &setting, &body, &run).map_err(said)?;
    let folder = &arguments.out;
    std::fs::create_dir_all(folder)
        .map_err(|e| format!("The folder could not be made ({e}). Choose another place: {}", folder.display()))?;
    // As the block stands while rubber is poured: Z up, the origin in the middle of its floor.
    for (name, half) in ["half-1.stl", "half-2.stl"].into_iter().zip(halves.iter()) {
        let upright = half.transformed(&setting.frames.box_from_work);
        let path = folder.join(name);
        let mut bytes = Vec::new();
        write_stl::write(&mut bytes, &upright, DVec3::ZERO)
            .and_then(|()| file::write_whole(&path, &bytes))
            .map_err(|e| format!("The half could not be written ({e}). Choose another place: {}", path.display()))?;
        let volume = Measures::of(half).volume_mm3 / 1000.0;
        eprintln!("Half written: {} ({} triangles, {volume:.1} cm³)", path.display(), half.triangles.len());
    }
    Ok(CLEAR)
}
