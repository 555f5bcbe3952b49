//! Rods that hold the master where those of feed and vents alone do not.

use crate::plan::Plan;
use crate::solve::run::Run;
use crate::study::bench::{Bench, Facts, StudyError};
use crate::study::numbers::of_bench::BenchNumbers;

/// Rods that are usual, millimetres: common practice, no source; and most of them that are tried.
const RODS_MM: [f64; 5] = [3.0, 4.0, 5.0, 6.0, 8.0];
const MOST_RODS: u32 = 6;

/// Plans rods that are plugged afterwards, as few and as thin as hold the master with the shop's safety, where it is not held
/// without them. A master that nothing of the kind holds keeps what it had.
///
/// # Errors
/// As the facts it is made from.
pub fn hold_master_into(
    bench: &Bench,
    plan: &mut Plan,
    reasons: &mut Vec<String>,
    run: &Run,
) -> Result<(), StudyError> {
    let setting = bench.setting(plan)?;
    let body = bench.body(plan, &setting, run)?;
    let facts = Facts {
        shape: Some(bench.shape(plan, &setting, &body, run)?),
        master: Some(bench.master(plan, &setting, &body, run)?),
        body: Some(body),
        ..Facts::only(setting)
    };
    let wanted = bench.shop().limits.holding_safety;
    // How many times over it is held; none where nothing has to be or no rod is there.
    let held = |plan: &Plan| {
        let hanging = BenchNumbers::of(plan, bench.shop(), &facts.for_numbers()).hanging;
        let none = hanging.rods.is_empty() && !hanging.stuck_to_floor;
        let least = [hanging.safety_up, hanging.safety_down].into_iter().flatten().fold(f64::INFINITY, f64::min);
        if none { 0.0 } else { least }
    };
    let before = held(plan);
    if before >= wanted {
        return Ok(());
    }
    for count in plan.master.plugged_rods.max(1)..=MOST_RODS {
        for mm in RODS_MM.into_iter().filter(|mm| *mm >= plan.master.plugged_rod_mm) {
            run.check()?;
            let mut with = plan.clone();
            (with.master.plugged_rods, with.master.plugged_rod_mm) = (count, mm);
            let now = held(&with);
            if now >= wanted {
                let rods = if count == 1 { "One rod".to_owned() } else { format!("{count} rods") };
                let holds = if count == 1 { "holds" } else { "hold" };
                reasons.push(format!(
                    "{rods} of Ø{mm:.0} mm, plugged afterwards, {holds} the master {now:.1} times over; feed and vents alone \
                     hold it {before:.1} times"
                ));
                plan.master = with.master;
                return Ok(());
            }
        }
    }
    Ok(())
}
