//! Whole pictures of the window, written out where `MOULDBENCH_PICTURES` names a folder.

use super::bench::Bench;
use egui::vec2;

#[test]
#[ignore = "long"]
fn long_every_step_has_its_picture() {
    let mut bench = Bench::new(vec2(1400.0, 900.0));
    bench.picture("welcome");
    bench.click("Open the demo job");
    for step in ["Part", "Hang", "Parting", "Feed", "Vents", "Inserts", "Block", "Casting"] {
        bench.go_to(step);
        bench.picture(&format!("step_{}", step.to_lowercase()));
    }
    bench.go_to("Parting");
    bench.click_start("The cut");
    bench.slide_to("Open the block", 60.0);
    bench.slide_to("Along the cut", 60.0);
    bench.bring_up("Goes in by");
    bench.picture("parting_opened");
    bench.slide_to("Open the block", 15.0);
    bench.click("Cut through");
    bench.picture("parting_opened_cut");
}
