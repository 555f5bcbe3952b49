//! `pieces`: every loose piece as STL.

use super::arguments::PiecesArguments;
use super::check::shop;
use super::{CLEAR, COULD_NOT_RUN, guard, of_file, refused, say, say_changed};
use crate::plan::file;
use crate::solve::run::Run;
use crate::study::bench::Bench;
use crate::study::parting::release::piece_files;

pub fn run(arguments: &PiecesArguments) -> Result<u8, String> {
    let plan = file::read(&arguments.plan).map_err(|e| e.to_string())?;
    if plan.parting.loose_pieces.is_empty() {
        say("The plan has no loose piece; nothing was written");
        return Ok(CLEAR);
    }
    let guard = guard(&arguments.plan, &plan, arguments.shop.as_deref(), arguments.replace);
    let names = plan.parting.loose_pieces.iter().map(|p| p.name.as_str());
    piece_files::may_write(&arguments.out, names, &guard).map_err(refused)?;
    let bench = Bench::new(shop(arguments.shop.as_deref())?, []);
    bench.set_folder(arguments.plan.parent());
    let run = Run::new();
    let said = of_file(&arguments.plan);
    let setting = bench.setting(&plan).map_err(&said)?;
    say_changed(&plan, &setting);
    let body = bench.body(&plan, &setting, &run).map_err(&said)?;
    let release = bench.release(&plan, &setting, &body, &run).map_err(&said)?;
    let box_from_work = &setting.frames.box_from_work;
    let fitted = bench.loose_pieces(&plan, &setting, &body, &run).map_err(&said)?;
    let (written, failed) = piece_files::write(&arguments.out, &release.pieces, &fitted, box_from_work, &guard)
        .map_err(|e| e.to_string())?;
    for one in &written {
        let (path, volume) = (one.path.display(), one.volume_mm3 / 1000.0);
        say(format!("Loose piece written: {path} ({} triangles, {volume:.2} cm³)", one.triangles));
    }
    for e in &failed {
        say(format!("mouldbench: {}: {e}", arguments.plan.display()));
    }
    Ok(if failed.is_empty() { CLEAR } else { COULD_NOT_RUN })
}
