//! The command line.

use clap::{Args, Parser, Subcommand, ValueEnum};
use glam::DVec3;
use std::path::PathBuf;

/// Plans a silicone mould before it is poured.
#[derive(Debug, Parser)]
#[command(name = "mouldbench", version, about, args_conflicts_with_subcommands = true)]
pub struct Arguments {
    /// A plan (.ron) or a mesh (.stl) to open in the window.
    pub file: Option<PathBuf>,
    /// The shop's own data (RON), over the bundled; without it `mouldbench/shop.ron` in the configuration folder counts.
    #[arg(long)]
    pub shop: Option<PathBuf>,
    /// What to do without a window.
    #[command(subcommand)]
    pub command: Option<Command>,
}

impl Arguments {
    /// The arguments of this process.
    ///
    /// # Errors
    /// What is wrong with them, or the help or version text that was asked for.
    pub fn read() -> Result<Arguments, clap::Error> {
        Arguments::try_parse()
    }
}

/// Work without a window.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Say what a mesh is and what is wrong with it.
    Inspect(InspectArguments),
    /// Measure hundreds of ways up of a bare mesh, and list a few to choose from.
    Hang(HangArguments),
    /// Make a proposed plan from a bare mesh, or from several that are cast in one block.
    Plan(PlanArguments),
    /// Compute a plan's facts and findings. Leaves with 0 where nothing says Stop, 1 where something does, 2 where it could not run.
    Check(CheckArguments),
    /// Write the setup sheet as PDF.
    Sheet(SheetArguments),
    /// Write both halves of the cut block as STL.
    Halves(HalvesArguments),
    /// Write every loose piece as STL. Leaves with 2 where one of them cannot be made.
    Pieces(PiecesArguments),
}

/// Unit of a mesh file.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub enum UnitArgument {
    /// Millimetres.
    Mm,
    /// Inches.
    In,
    /// Metres.
    M,
}

impl From<UnitArgument> for crate::plan::Unit {
    fn from(unit: UnitArgument) -> crate::plan::Unit {
        match unit {
            UnitArgument::Mm => crate::plan::Unit::Millimetre,
            UnitArgument::In => crate::plan::Unit::Inch,
            UnitArgument::M => crate::plan::Unit::Metre,
        }
    }
}

/// Arguments of `inspect`.
#[derive(Debug, Args)]
pub struct InspectArguments {
    /// Mesh file (STL).
    pub mesh: PathBuf,
    /// Unit of its numbers; guessed from its size where it is not given.
    #[arg(long)]
    pub unit: Option<UnitArgument>,
    /// Print JSON on standard output.
    #[arg(long)]
    pub json: bool,
}

/// Arguments of `hang`.
#[derive(Debug, Args)]
pub struct HangArguments {
    /// Mesh files (STL), several as a set in one block, or one plan with what it holds already.
    #[arg(required = true, value_name = "FILE")]
    pub files: Vec<PathBuf>,
    /// Unit of the meshes' numbers; guessed from their size where it is not given. A plan has its own.
    #[arg(long)]
    pub unit: Option<UnitArgument>,
    /// The shop's own data (RON), over the bundled.
    #[arg(long)]
    pub shop: Option<PathBuf>,
    /// Print JSON on standard output, with every direction that was measured.
    #[arg(long)]
    pub json: bool,
}

/// Arguments of `plan`.
#[derive(Debug, Args)]
pub struct PlanArguments {
    /// Mesh files (STL); several are cast as a set in one block.
    #[arg(required = true, value_name = "MESH")]
    pub meshes: Vec<PathBuf>,
    /// How many of each mesh stand in the block: one number for all, or one for each, such as 2,1.
    #[arg(long, value_name = "NUMBER", value_delimiter = ',', value_parser = clap::value_parser!(u32).range(1..=100))]
    pub copies: Vec<u32>,
    /// What loose bodies in one file are: one part of several bodies, or each a part of the set.
    #[arg(long, value_name = "WHAT")]
    pub bodies: Option<BodiesArgument>,
    /// Plan file to write.
    #[arg(long)]
    pub out: PathBuf,
    /// Unit of the mesh's numbers; guessed from its size where it is not given.
    #[arg(long)]
    pub unit: Option<UnitArgument>,
    /// Direction of the mesh that points up, for rubber and for casting; searched where it is not given.
    #[arg(long, value_parser = direction, allow_hyphen_values = true)]
    pub up: Option<DVec3>,
    /// Direction in which half 1 lifts off; searched where it is not given.
    #[arg(long, value_parser = direction, allow_hyphen_values = true)]
    pub draw: Option<DVec3>,
    /// The shop's own data (RON), over the bundled.
    #[arg(long)]
    pub shop: Option<PathBuf>,
    /// Mesh of the other shot where a hard part has a soft one cast over it, drawn in the same frame.
    #[arg(long, value_name = "MESH")]
    pub other_shot: Option<PathBuf>,
    /// The shot that this plan's block makes.
    #[arg(long, requires = "other_shot", default_value = "soft")]
    pub makes: ShotArgument,
    /// The soft part's block is poured round the first hard cast; without it, it is a tool of its own.
    #[arg(long, requires = "other_shot")]
    pub round_first_cast: bool,
    /// Print the check of the new plan as JSON on standard output.
    #[arg(long)]
    pub json: bool,
}

/// What bodies of one file are that do not hang together.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum BodiesArgument {
    /// All of them together are one part.
    One,
    /// Each is a part of the set.
    Each,
}

/// One of two shots.
#[derive(Clone, Copy, Debug, Default, ValueEnum)]
pub enum ShotArgument {
    /// The hard part, which is cast first.
    Hard,
    /// The soft part over it.
    #[default]
    Soft,
}

/// Arguments of `check`.
#[derive(Debug, Args)]
pub struct CheckArguments {
    /// Plan file.
    pub plan: PathBuf,
    /// Follow the resin as it fills the cavity too: how long it takes, what it reaches last, what it closes round.
    #[arg(long)]
    pub fill: bool,
    /// Cells that the fill may use; more are finer and take longer.
    #[arg(long, value_name = "CELLS", requires = "fill", value_parser = clap::value_parser!(u32).range(1000..=5_000_000))]
    pub fill_cells: Option<u32>,
    /// The shop's own data (RON), over the bundled.
    #[arg(long)]
    pub shop: Option<PathBuf>,
    /// Print JSON on standard output.
    #[arg(long)]
    pub json: bool,
    /// Say of every figure that the shop's data holds where it comes from.
    #[arg(long)]
    pub sources: bool,
}

/// Paper in the printer.
#[derive(Clone, Copy, Debug, Default, ValueEnum)]
pub enum PaperArgument {
    /// 210 × 297 mm.
    #[default]
    A4,
    /// 297 × 420 mm.
    A3,
    /// 8.5 × 11 in.
    Letter,
}

/// Arguments of `sheet`.
#[derive(Debug, Args)]
pub struct SheetArguments {
    /// Plan file.
    pub plan: PathBuf,
    /// PDF file to write.
    #[arg(long)]
    pub out: PathBuf,
    /// Paper.
    #[arg(long, default_value = "a4")]
    pub paper: PaperArgument,
    /// Issue the sheet: count the plan's revision up, date it so (YYYY-MM-DD), and keep in the plan what was printed.
    #[arg(long, value_name = "DATE", value_parser = date)]
    pub issue: Option<String>,
    /// Follow the resin as it fills the cavity too, and print when which vent shows.
    #[arg(long)]
    pub fill: bool,
    /// Cells that the fill may use; more are finer and take longer.
    #[arg(long, value_name = "CELLS", requires = "fill", value_parser = clap::value_parser!(u32).range(1000..=5_000_000))]
    pub fill_cells: Option<u32>,
    /// Folder for templates of lid, floor and walls at full size: PDF in tiles on the paper, SVG and DXF for a cutter.
    #[arg(long)]
    pub templates: Option<PathBuf>,
    /// The shop's own data (RON), over the bundled.
    #[arg(long)]
    pub shop: Option<PathBuf>,
}

fn date(text: &str) -> Result<String, String> {
    let parts: Vec<&str> = text.split('-').collect();
    let number = |i: usize, long: usize| -> Option<u32> {
        parts.get(i).filter(|p| p.len() == long && p.bytes().all(|b| b.is_ascii_digit()))?.parse().ok()
    };
    let sound = parts.len() == 3
        && number(0, 4).is_some()
        && number(1, 2).is_some_and(|m| (1..=12).contains(&m))
        && number(2, 2).is_some_and(|d| (1..=31).contains(&d));
    if sound { Ok(text.to_owned()) } else { Err("a date is written as 2026-01-31".into()) }
}

/// Arguments of `halves`.
#[derive(Debug, Args)]
pub struct HalvesArguments {
    /// Plan file.
    pub plan: PathBuf,
    /// Folder to write half-1.stl and half-2.stl to; made where it is not there.
    #[arg(long)]
    pub out: PathBuf,
    /// The shop's own data (RON), over the bundled.
    #[arg(long)]
    pub shop: Option<PathBuf>,
}

/// Arguments of `pieces`.
#[derive(Debug, Args)]
pub struct PiecesArguments {
    /// Plan file.
    pub plan: PathBuf,
    /// Folder to write a file for each loose piece to, called as the piece is; made where it is not there.
    #[arg(long)]
    pub out: PathBuf,
    /// The shop's own data (RON), over the bundled.
    #[arg(long)]
    pub shop: Option<PathBuf>,
}

fn direction(text: &str) -> Result<DVec3, String> {
    let wanted = "a direction is three numbers with commas, such as 0,0,1";
    let numbers: Vec<f64> = text.split(',').filter_map(|n| n.trim().parse().ok()).collect();
    let [x, y, z] = numbers[..] else { return Err(wanted.into()) };
    let d = DVec3::new(x, y, z);
    if text.split(',').count() != 3 || !d.is_finite() {
        return Err(wanted.into());
    }
    d.try_normalize().ok_or_else(|| "the direction has no length".into())
}
