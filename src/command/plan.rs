//! `plan`: a proposed plan from a bare mesh.

use super::arguments::{BodiesArgument, PlanArguments, ShotArgument, UnitArgument};
use super::check::{checked, in_words, shop};
use super::{of_file, print_json, print_text, refused, say};
use crate::files::output::{Guard, Kind, Replace};
use crate::plan::{Plan, SecondShot, Shot, SoftCavity, Unit, file};
use crate::solve::run::Run;
use crate::study::bench::Bench;
use crate::study::job::loose_bodies::{first_not_said, part_bodies_into};
use crate::study::propose::{Given, bare_plan, propose};
use std::path::{Path, PathBuf};

pub fn run(arguments: &PlanArguments) -> Result<u8, String> {
    let inputs = arguments.meshes.iter().chain(&arguments.other_shot).chain(&arguments.shop).cloned().collect();
    let guard = Guard { inputs, replace: if arguments.replace { Replace::Anything } else { Replace::Own } };
    guard.allows(&arguments.out, Kind::NewPlan).map_err(refused)?;
    let shop = shop(arguments.shop.as_deref())?;
    let bench = Bench::new(shop, []);
    let folder = arguments.out.parent().map(Path::to_path_buf);
    bench.set_folder(folder.as_deref());
    let mut bare = bare_set(&bench, folder.as_deref(), &arguments.meshes, &arguments.copies, arguments.unit)?;
    say_bodies(&bench, &mut bare, arguments.bodies)?;
    if let Some(other) = &arguments.other_shot {
        if bare.parts.len() > 1 {
            return Err("A two-shot job has one part a block; name one mesh, and no copies".into());
        }
        let unit = bare.parts[0].unit;
        bare.second_shot = Some(other_shot(&bench, folder.as_deref(), other, unit, arguments)?);
        let resins = &bench.shop().resins;
        let soft = matches!(arguments.makes, ShotArgument::Soft);
        bare.materials.resin = resins.iter().find(|r| r.is_soft() == soft).cloned();
    }
    let given = Given { up: arguments.up, draw: arguments.draw };
    let proposal = propose(&bench, &bare, given, &Run::new()).map_err(of_file(&arguments.meshes[0]))?;
    // Once more: it took a while.
    guard.allows(&arguments.out, Kind::NewPlan).map_err(refused)?;
    file::replace(&proposal.plan, &arguments.out).map_err(|e| e.to_string())?;
    say(format!("Plan written: {}", arguments.out.display()));
    for reason in &proposal.reasons {
        say(format!("  {reason}"));
    }
    // The plan stands whatever its findings say; `check` is what judges it.
    let checked = checked(proposal.plan, bench).map_err(of_file(&arguments.out))?;
    if arguments.json {
        print_json(&checked.report)?;
    } else {
        print_text(&in_words(&checked.report))?;
    }
    Ok(super::CLEAR)
}

/// A plan that holds every mesh as often as it is wanted, and nothing else yet.
pub fn bare_set(
    bench: &Bench,
    folder: Option<&Path>,
    meshes: &[PathBuf],
    copies: &[u32],
    unit: Option<UnitArgument>,
) -> Result<Plan, String> {
    if copies.len() > 1 && copies.len() != meshes.len() {
        let (numbers, files) = (copies.len(), meshes.len());
        let meshes = if files == 1 { "one mesh".to_owned() } else { format!("{files} meshes") };
        return Err(format!("--copies names {numbers} numbers for {meshes}; give one for all, or one for each"));
    }
    let mut set: Option<Plan> = None;
    for (i, file) in meshes.iter().enumerate() {
        let mesh = name_from(folder, file);
        let loaded = match unit {
            Some(unit) => bench.load(&mesh, unit.into()),
            None => match &set {
                None => bench.load_guessed(&mesh),
                Some(plan) => bench.load_beside(&mesh, plan).map(|(loaded, said)| {
                    say(said);
                    loaded
                }),
            },
        }
        .map_err(|e| e.to_string())?;
        let name = file.file_stem().map(|s| s.to_string_lossy().into_owned()).unwrap_or_default();
        let bare = bare_plan(&name, &mesh, &loaded.digest, loaded.unit);
        let part = bare.parts[0].clone();
        let plan = set.get_or_insert_with(|| Plan { parts: Vec::new(), ..bare });
        let count = copies.get(i).or(copies.first().filter(|_| copies.len() == 1)).copied().unwrap_or(1);
        plan.parts.extend((0..count).map(|_| part.clone()));
    }
    let mut plan = set.ok_or("No mesh was named")?;
    let kinds: Vec<String> = plan.kinds().into_iter().map(|k| k.name).collect();
    plan.name = kinds.join(", ");
    Ok(plan)
}

/// Enters what loose bodies of the plan's files are; refuses to go on where there are some and nobody has said.
fn say_bodies(bench: &Bench, plan: &mut Plan, said: Option<BodiesArgument>) -> Result<(), String> {
    loop {
        let loaded: Result<Vec<_>, _> = plan.parts.iter().map(|p| bench.load_part(p)).collect();
        let loaded = loaded.map_err(|e| e.to_string())?;
        let Some((i, n)) = first_not_said(plan, &loaded) else { break };
        match said {
            Some(BodiesArgument::One) => plan.take_bodies_as_one(i),
            Some(BodiesArgument::Each) => part_bodies_into(plan, i, &loaded[i]),
            None => {
                return Err(format!(
                    "{n} bodies that do not touch lie in one file. Say what they are: --bodies one for one part of {n} \
                     bodies, --bodies each for {n} parts of a set: {}",
                    plan.parts[i].mesh
                ));
            }
        }
    }
    let kinds: Vec<String> = plan.kinds().into_iter().map(|k| k.name).collect();
    plan.name = kinds.join(", ");
    Ok(())
}

/// The other shot of a two-shot job, its mesh read in the unit of the first: both are drawn in one frame.
fn other_shot(
    bench: &Bench,
    folder: Option<&Path>,
    mesh: &Path,
    unit: Unit,
    arguments: &PlanArguments,
) -> Result<SecondShot, String> {
    let named = name_from(folder, mesh);
    let digest = bench.load(&named, unit).map_err(|e| e.to_string())?.digest.clone();
    Ok(SecondShot {
        name: mesh.file_stem().map(|s| s.to_string_lossy().into_owned()).unwrap_or_default(),
        mesh: named,
        digest,
        unit,
        makes: match arguments.makes {
            ShotArgument::Hard => Shot::Hard,
            ShotArgument::Soft => Shot::Soft,
        },
        cavity: if arguments.round_first_cast { SoftCavity::RoundFirstCast } else { SoftCavity::OwnTool },
        ..SecondShot::default()
    })
}

/// The mesh's name as the plan in `folder` should hold it: relative where the mesh lies in that folder or below, or where
/// both can be named from one root, else whole.
fn name_from(folder: Option<&Path>, mesh: &Path) -> String {
    let whole = |p: &Path| std::path::absolute(p).unwrap_or_else(|_| p.to_path_buf());
    let here = folder.filter(|f| !f.as_os_str().is_empty()).map_or_else(|| whole(Path::new(".")), whole);
    relative(&normal(&here), &normal(&whole(mesh))).to_string_lossy().into_owned()
}

/// `path` without `.` and with `x/..` folded away.
fn normal(path: &Path) -> PathBuf {
    let mut out = PathBuf::new();
    for part in path.components() {
        match part {
            std::path::Component::ParentDir => {
                out.pop();
            }
            std::path::Component::CurDir => {}
            other => out.push(other),
        }
    }
    out
}

fn relative(from: &Path, to: &Path) -> PathBuf {
    let (from, to): (Vec<_>, Vec<_>) = (from.components().collect(), to.components().collect());
    let shared = from.iter().zip(&to).take_while(|(a, b)| a == b).count();
    if shared <= 1 {
        return to.iter().collect();
    }
    let up = from[shared..].iter().map(|_| std::path::Component::ParentDir);
    up.chain(to[shared..].iter().copied()).collect()
}
