//! What a fill comes to, and which lever helps most where it is not good.

use super::asked::Pour;
use super::closed_round::ClosedRound;
use super::front::{End, Front};
use glam::Vec3;
use std::f64::consts::PI;

/// A fill should be over by this share of the pot life: a third to a half, common practice, no source.
pub const IN_TIME_SHARE: f64 = 0.5;
/// Most that a cup is worth raising, mm: chamber and box end there; set here.
const MOST_RAISED_MM: f64 = 150.0;
/// Least head that the last place should have, mm: set here.
const LEAST_HEAD_MM: f64 = 10.0;
/// Most that gate and runner are worth widening, as a multiple, and least that is worth a new rod: set here.
const MOST_WIDER: f64 = 1.7;
const LEAST_WIDER: f64 = 1.1;
/// What is asked for over what is needed, since a lever is reckoned and not followed: set here.
const SURE: f64 = 1.15;
/// Share of the cavity that may stay open to a vent and still count as full: crumbs in corners.
const LEFT_OPEN: f64 = 2e-3;

/// What a fill comes to.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Outcome {
    /// It fills in good time.
    #[default]
    Fills,
    /// It fills, but late in the pot life.
    Late,
    /// It fills, but for gas that resin closes round.
    ClosedRound,
    /// It sets before it is full.
    Short,
}

/// What helps.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Lever {
    /// A vent here lets the gas out that holds resin off.
    Vent(Vec3),
    /// Gate and runner eat most of the head: make them this many times as wide.
    WiderRunner(f64),
    /// Raise the cup by so many millimetres.
    RaiseCup(f64),
    /// A further gate, near here.
    Gate(Vec3),
}

/// The verdict on a fill.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Verdict {
    /// What it comes to.
    pub outcome: Outcome,
    /// Share of the pot life that is over at the end, the worse of cup and mould temperature.
    pub pot_life_share: f64,
    /// What helps most; none where all is well.
    pub lever: Option<Lever>,
}

/// Diameter of a ball of a volume.
pub fn bubble_mm(volume_mm3: f64) -> f64 {
    (6.0 * volume_mm3.max(0.0) / PI).cbrt()
}

/// Judges the front as it came to rest.
pub fn judge(
    front: &Front,
    end: End,
    pour: &Pour,
    closed: &[ClosedRound],
    filled_share: f64,
    weight_pa_mm: f64,
) -> Verdict {
    let share = |pace: &super::viscosity::Pace| pace.seconds(front.ended_at()) / pace.pot_life_s;
    let pot_life_share = share(&pour.cup).max(share(&pour.mould));
    let open: f64 = front.regions().iter().filter(|r| r.open && !r.crumb).map(|r| r.void_mm3).fold(0.0, |a, b| a + b);
    let short = end == End::Still && open > LEFT_OPEN * front.volume_mm3();
    let gas = closed.iter().find(|c| bubble_mm(c.after_let_up_mm3) > pour.bubble_mm);
    let outcome = match () {
        () if short => Outcome::Short,
        () if gas.is_some() => Outcome::ClosedRound,
        () if pot_life_share > IN_TIME_SHARE => Outcome::Late,
        () => Outcome::Fills,
    };
    let lever = match outcome {
        Outcome::Fills => None,
        Outcome::ClosedRound => gas.map(|g| Lever::Vent(g.position)),
        Outcome::Short | Outcome::Late => Some(what_drives(front, pour, filled_share, weight_pa_mm)),
    };
    Verdict { outcome, pot_life_share, lever }
}

/// The lever for a fill that takes too long.
///
/// Time is ∫ resistance over drop, by volume. What the channels take of it grows with the volume, what the cavity takes with
/// its square where the way grows with it; channels as wide again by w take w⁻⁴ of theirs (Hagen and Poiseuille), and a
/// drop that is greater takes that much less time.
fn what_drives(front: &Front, pour: &Pour, filled_share: f64, weight_pa_mm: f64) -> Lever {
    let (channels, full) = (front.spent.share_of_channels(), filled_share.max(0.05));
    let took = front.ended_at();
    let needed = if full < 0.999 { took * (channels / full + (1.0 - channels) / (full * full)) } else { took };
    let in_time = |p: &super::viscosity::Pace| p.after(IN_TIME_SHARE * p.pot_life_s);
    let times = (SURE * needed / in_time(&pour.cup).min(in_time(&pour.mould))).max(1.0);
    let left = (1.0 / times - (1.0 - channels)) / channels.max(1e-12);
    let wider = if left > 0.0 { left.powf(-0.25).max(LEAST_WIDER) } else { f64::INFINITY };

    let top = pour.drive.inlets.iter().map(|i| i.level_mm).fold(f64::NEG_INFINITY, f64::max);
    let empty = super::places::empty_places(front).first().map(|l| l.position);
    let last = empty.or_else(|| {
        super::places::last_places(front, front.creep().cells.cell_mm() as f32).first().map(|l| l.position)
    });
    let last = last.unwrap_or_default();
    let head = top - last.as_dvec3().dot(pour.drive.up.as_dvec3());
    let drop_mm = front.spent.mean_drop_pa() / weight_pa_mm.max(1e-12);
    // A cup that stands too low for the last place must come over it first.
    let raise = drop_mm * (times - 1.0) + (LEAST_HEAD_MM - head).max(0.0);
    let raises = weight_pa_mm > 0.0 && raise <= MOST_RAISED_MM;
    match () {
        () if wider <= MOST_WIDER && (channels > 0.5 || !raises) => Lever::WiderRunner(wider),
        () if raises => Lever::RaiseCup(raise.max(1.0)),
        () => Lever::Gate(last),
    }
}

/// What helps, in words.
pub fn lever_words(lever: &Lever) -> String {
    match lever {
        Lever::Vent(_) => "Put a vent where the gas is closed in".to_owned(),
        Lever::WiderRunner(times) => {
            format!("Gate and runner cost much of the time: make them {times:.1} times as wide")
        }
        Lever::RaiseCup(mm) => format!("Raise the cup by {mm:.0} mm"),
        Lever::Gate(_) => {
            "Add a gate near the last place to fill, or take a thinner resin with a longer pot life".to_owned()
        }
    }
}
