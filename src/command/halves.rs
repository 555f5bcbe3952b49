//! `halves`: both halves of the cut block as STL.

use super::arguments::HalvesArguments;
use super::check::shop;
use super::{CLEAR, guard, of_file, refused, say, say_changed};
use crate::plan::file;
use crate::solve::run::Run;
use crate::study::bench::Bench;
use crate::study::parting::cut::half_files;

pub fn run(arguments: &HalvesArguments) -> Result<u8, String> {
    let plan = file::read(&arguments.plan).map_err(|e| e.to_string())?;
    let guard = guard(&arguments.plan, &plan, arguments.shop.as_deref(), arguments.replace);
    half_files::may_write(&arguments.out, &guard).map_err(refused)?;
    let bench = Bench::new(shop(arguments.shop.as_deref())?, []);
    bench.set_folder(arguments.plan.parent());
    let run = Run::new();
    let said = of_file(&arguments.plan);
    let setting = bench.setting(&plan).map_err(&said)?;
    say_changed(&plan, &setting);
    let body = bench.body(&plan, &setting, &run).map_err(&said)?;
    let halves = bench.halves(&plan, &setting, &body, &run).map_err(&said)?;
    let written =
        half_files::write(&arguments.out, &halves, &setting.frames.box_from_work, &guard).map_err(|e| e.to_string())?;
    let loose = bench.loose_pieces(&plan, &setting, &body, &run).map_err(&said)?;
    let left_out = loose.iter().filter(|p| p.is_err()).count();
    if left_out > 0 {
        say(format!("Loose pieces that cannot be made are solid rubber in the halves: {left_out} of {}", loose.len()));
    }
    for half in written {
        let (path, volume) = (half.path.display(), half.volume_mm3 / 1000.0);
        say(format!("Half written: {path} ({} triangles, {volume:.1} cm³)", half.triangles));
    }
    Ok(CLEAR)
}
