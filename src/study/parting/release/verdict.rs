//! What a rubber makes of an undercut.

use super::undercuts::Form;
use crate::shop::{Limits, Silicone, UndercutLine};
use crate::study::parting::release::kinds::Verdict;

/// A tongue may be this many times as deep as a closed undercut of the same rubber before it wants help: it moves aside
/// and is not stretched round (set here).
const TONGUE_TIMES: f64 = 2.0;
/// Undercuts deeper than this many times the deepest that the rubber lets go are no longer opened by a cut (set here).
const CUT_TIMES: f64 = 4.0;
/// What is left of the tool life where an undercut is as hard as the rubber stands: halved, common practice, no source.
const HARDEST_LIFE: f64 = 0.5;

/// Up to where a rubber lets go by itself, and up to where with care.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lines {
    /// Stretch or squeeze.
    pub stretch: [f64; 2],
    /// Depth, millimetres.
    pub depth_mm: [f64; 2],
}

impl Lines {
    /// The lines of a silicone: the shop's figures by hardness, on straight lines between them and the nearest beyond
    /// them; for stretch never more than the shop's shares of the elongation at break.
    pub fn of(silicone: &Silicone, limits: &Limits) -> Lines {
        let table = &limits.undercut_lines;
        let s = silicone.shore_a;
        let pick = |value: &dyn Fn(&UndercutLine) -> f64| {
            let after = table.iter().position(|l| l.shore_a >= s);
            match after {
                Some(0) => value(&table[0]),
                None => value(&table[table.len() - 1]),
                Some(i) => {
                    let (a, b) = (&table[i - 1], &table[i]);
                    let t = if b.shore_a > a.shore_a { (s - a.shore_a) / (b.shore_a - a.shore_a) } else { 1.0 };
                    value(a) + (value(b) - value(a)) * t
                }
            }
        };
        let stretch = |i: usize| {
            let of_break = silicone.elongation_pct * limits.stretch_share[i];
            pick(&|l| l.stretch_pct[i]).min(of_break) / 100.0
        };
        Lines { stretch: [stretch(0), stretch(1)], depth_mm: [pick(&|l| l.depth_mm[0]), pick(&|l| l.depth_mm[1])] }
    }
}

/// What becomes of one undercut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Judged {
    /// What the rubber makes of it.
    pub verdict: Verdict,
    /// Share of the tool life that is left, 0 to 1.
    pub life: f64,
    /// The lines that it was judged by.
    pub lines: Lines,
}

/// Judges an undercut of `form` and `depth_mm`; `cut` says that a relief cut opens it, and `form` is what is left then.
///
/// What is not closed all round and no deeper than the lower figure lets go, however small and stiff. Else collars and
/// cores go by their stretch: up to the lower line they let go, up to the upper one with care. Tongues go
/// by their stretch and by their depth, which may reach the deepest figure of the table by itself and twice that with
/// care. What is beyond wants a relief cut where a cut can open it, else a loose piece: a core, and what is deeper than
/// four times that figure.
pub fn judged(
    form: &Form,
    depth_mm: f64,
    closed_round: bool,
    cut: bool,
    silicone: &Silicone,
    limits: &Limits,
) -> Judged {
    let lines = Lines::of(silicone, limits);
    let made = |verdict, life| Judged { verdict, life, lines };
    let stretch = form.stretch();
    let deepest = lines.depth_mm[1];
    // Rubber that is not held all round gives way by so little from any side.
    if depth_mm <= limits.undercut_depth_mm || (!closed_round && depth_mm <= lines.depth_mm[0]) {
        return made(Verdict::LetsGo, 1.0);
    }
    let past = |value: f64, [low, high]: [f64; 2]| if high > low { (value - low) / (high - low) } else { value / low };
    let mut hardness = past(stretch, lines.stretch);
    if let Form::Tongue { .. } = form {
        let times = if cut { CUT_TIMES } else { TONGUE_TIMES };
        hardness = hardness.max(past(depth_mm, [deepest, times * deepest]));
    }
    if hardness <= 0.0 {
        made(Verdict::LetsGo, 1.0)
    } else if hardness <= 1.0 {
        made(Verdict::WithCare, 1.0 - (1.0 - HARDEST_LIFE) * hardness)
    } else if matches!(form, Form::Core { .. }) || depth_mm > CUT_TIMES * deepest {
        made(Verdict::LoosePiece, HARDEST_LIFE)
    } else {
        made(Verdict::ReliefCut, HARDEST_LIFE)
    }
}
