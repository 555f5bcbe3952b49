//! Colours of the part: each shows at each step or says why it cannot, and is given back to the step.

use super::bench::Bench;
use super::things::places;
use glam::Vec3;
use mouldbench::app::canvas::sight::Colouring;
use mouldbench::mesh::solids;
use mouldbench::study::findings::Step;
use mouldbench::view::scene::Paint;

fn paint(bench: &Bench) -> Paint {
    let (scene, _) = bench.app().canvas().drawn().expect("a picture");
    scene.surfaces[0].paint.clone()
}

#[test]
#[ignore = "long"]
fn long_a_colour_that_cannot_show_says_why_and_has_the_button_that_cures_it() {
    let plate = solids::cuboid(Vec3::ZERO, Vec3::new(40.0, 20.0, 6.0));
    let mut bench = Bench::with_mesh("plate", &plate);
    bench.clear_plan();
    for colour in ["Fill time", "Flow path"] {
        bench.go_to("Part");
        bench.choose("Colour", colour);
        assert!(bench.says("Place a gate first") && matches!(paint(&bench), Paint::Uniform(_)), "{colour}");
        bench.click("Place gates");
        assert_eq!(bench.app().step(), Step::Feed, "{colour}");
    }
    let at = places(&bench)[0];
    bench.click_at(at);
    // With a gate there is a flow path; times are still wanted, also where the parting is shown.
    bench.go_to("Parting");
    assert!(!bench.says("Place a gate first") && matches!(paint(&bench), Paint::InCells { .. }));
    bench.choose("Colour", "Fill time");
    assert!(bench.says("Follow the fill first") && matches!(paint(&bench), Paint::Uniform(_)));
    bench.click("Follow it now");
    assert!(!bench.says("Follow the fill first") && matches!(paint(&bench), Paint::InCells { .. }));
}

#[test]
#[ignore = "long"]
fn long_a_colour_is_given_back_to_the_step() {
    let mut bench = Bench::with_ring();
    bench.go_to("Parting");
    assert!(matches!(paint(&bench), Paint::PerTriangle { .. }));
    for colour in Colouring::ALL.iter().filter(|c| !matches!(c, Colouring::Flow | Colouring::Fill)) {
        bench.choose("Colour", colour.label());
        bench.go_to("Part");
        assert_eq!(bench.app().canvas().colouring_of(Step::Part), *colour, "what is chosen holds for every step");
        bench.go_to("Parting");
        bench.choose("Colour", "As the step shows");
        assert!(matches!(paint(&bench), Paint::PerTriangle { .. }), "after {}", colour.label());
        assert!(bench.says("Half 1, lifts off along the draw"));
    }
}

#[test]
#[ignore = "long"]
fn long_walls_have_their_legend_where_the_parting_is_shown() {
    let mut bench = Bench::with_ring();
    for step in ["Parting", "Vents", "Part"] {
        bench.go_to(step);
        bench.choose("Colour", "Wall thickness");
        assert!(matches!(paint(&bench), Paint::PerTriangle { .. }) && bench.says("Wall thickness, mm"), "{step}");
        bench.choose("Colour", "Plain");
        assert!(!bench.says("Wall thickness, mm"), "{step}: nothing is told that is not drawn");
    }
}
