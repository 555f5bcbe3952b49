//! Typing: what is typed counts once the field is left, whatever is computed meanwhile.

use super::bench::Bench;
use super::things::places;
use egui::accesskit::Role;
use egui::{Event, Key, Modifiers};
use egui_kittest::kittest::{NodeT, Queryable};
use mouldbench::app::thing::Thing;
use mouldbench::plan::Plan;

const X: &str = "From the left wall";

/// What stands in a field that is typed in; none where it does not have the keys.
fn typed(bench: &Bench, label: &str) -> Option<String> {
    let roles = [Role::TextInput, Role::MultilineTextInput];
    let mut fields = bench.harness.query_all_by_label(label);
    let field = fields.find(|n| roles.contains(&n.accesskit_node().role()) && n.accesskit_node().is_focused())?;
    field.accesskit_node().value()
}

fn plan(bench: &Bench) -> Plan {
    bench.app().plan().expect("a plan").clone()
}

/// The place that a thing was given, counted from walls and floor as the fields are.
fn counted(bench: &Bench, thing: Thing) -> glam::DVec3 {
    let place = bench.app().exact_place(thing).expect("a place");
    let setting = bench.app().known().setting().expect("a setting");
    setting.master_size(&plan(bench)).from_walls(place.in_box)
}

/// Types key by key; between two keys frames pass, and another edit has everything computed anew.
fn key_by_key(bench: &mut Bench, label: &str, keys: &str) {
    bench.focus(label);
    bench.harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    bench.harness.run_steps(1);
    let mut so_far = String::new();
    for key in keys.chars() {
        bench.harness.event(Event::Text(key.to_string()));
        so_far.push(key);
        bench.harness.run_steps(2);
        let before = plan(bench).quantity.good;
        bench.harness.state_mut().edit("Another count", |p| p.quantity.good = before + 1);
        // Frames while facts are away, on their way, and there again.
        bench.harness.run_steps(2);
        assert_eq!(typed(bench, label).as_deref(), Some(so_far.as_str()), "while facts are computed");
        bench.settle();
        assert_eq!(typed(bench, label).as_deref(), Some(so_far.as_str()), "once facts are there");
    }
}

/// A ring with a chosen insert or vent.
fn with(step: &str, tool: &str) -> (Bench, Thing) {
    let mut bench = Bench::with_ring();
    bench.go_to(step);
    bench.click(tool);
    let at = places(&bench)[0];
    bench.click_at(at);
    bench.click(tool);
    let thing = bench.app().chosen().expect("what was put is chosen");
    (bench, thing)
}

#[test]
fn no_key_is_lost_and_none_counts_before_the_field_is_left() {
    type_a_place("Vents", "Place vents");
}

#[test]
#[ignore = "long"]
fn long_no_key_of_an_inserts_place_is_lost() {
    type_a_place("Inserts", "Place inserts");
}

fn type_a_place(step: &str, tool: &str) {
    let (mut bench, thing) = with(step, tool);
    let spot = thing.spot(&plan(&bench)).expect("a place");
    bench.bring_up(X);
    key_by_key(&mut bench, X, "29.25");
    assert_eq!(thing.spot(&plan(&bench)), Some(spot), "{step}: nothing counts yet");
    bench.harness.key_press(Key::Enter);
    bench.settle();
    assert_ne!(thing.spot(&plan(&bench)), Some(spot), "{step}");
    let place = counted(&bench, thing);
    assert!((place.x - 29.25).abs() < 1e-9, "{step}: {place}");
    assert!(bench.says(&format!("Undo move {}", thing.in_sentence())), "{step}: one edit");
}

#[test]
fn escape_gives_back_what_stood_there_and_nothing_else_goes() {
    let (mut bench, thing) = with("Vents", "Place vents");
    bench.bring_up(X);
    let before = plan(&bench);
    bench.focus(X);
    bench.harness.event(Event::Text("1".into()));
    bench.settle();
    bench.key(Modifiers::NONE, Key::Escape);
    assert_eq!((typed(&bench, X), plan(&bench)), (None, before));
    assert_eq!(bench.app().chosen(), Some(thing), "what was chosen still is");
}

#[test]
fn a_field_that_is_left_counts_before_what_is_pressed() {
    let (mut bench, thing) = with("Vents", "Place vents");
    bench.bring_up(X);
    // Tab goes on to the next field, where typing goes on, all in one slow frame.
    bench.focus(X);
    let tab =
        |pressed| Event::Key { key: Key::Tab, physical_key: None, pressed, repeat: false, modifiers: Modifiers::NONE };
    let all = [Event::Text("21".into()), Event::Text(".5".into()), tab(true), tab(false), Event::Text("-7".into())];
    bench.harness.input_mut().events.extend(all);
    bench.harness.step();
    bench.settle();
    let x = counted(&bench, thing).x;
    assert!((x - 21.5).abs() < 1e-9, "{x}");
    assert_eq!(typed(&bench, "From the front wall").as_deref(), Some("-7"));
    // Another step is opened: what stands in the field counts first.
    bench.go_to("Feed");
    let y = counted(&bench, thing).y;
    assert!((y + 7.0).abs() < 1e-9, "{y}");
    // Saving by its keys too.
    bench.go_to("Part");
    let path = bench.folder.path().join("job.ron");
    bench.save_as(&path);
    bench.focus("Job name");
    bench.harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    bench.harness.run_steps(1);
    bench.harness.event(Event::Text("Lid".into()));
    bench.harness.run_steps(2);
    assert_ne!(plan(&bench).name, "Lid", "no letter counts before");
    bench.key(Modifiers::COMMAND, Key::S);
    let saved = mouldbench::plan::file::read(&path).expect("saved");
    assert_eq!((plan(&bench).name.as_str(), saved.name.as_str()), ("Lid", "Lid"));
}

#[test]
fn what_is_no_number_and_what_is_beyond_the_limits_is_told_at_the_field() {
    let (mut bench, _) = with("Vents", "Place vents");
    let before = plan(&bench);
    bench.bring_up("Diameter");
    for (text, told) in [("3x", "“3x” is no number"), ("1,2,3", "is no number"), ("400", "Between 0.3 mm and 20 mm")]
    {
        bench.type_into("Diameter", text);
        assert!(bench.says(told), "{text}: {told}");
        assert_eq!(plan(&bench), before, "{text}");
        // The next key takes the words away.
        bench.key(Modifiers::NONE, Key::F9);
        assert!(!bench.says(told), "{text}");
    }
    bench.type_into("Diameter", "1,25 mm");
    assert!(plan(&bench).vents.iter().any(|v| v.diameter_mm == 1.25));
}

#[test]
fn a_number_is_dragged_by_the_way_of_the_pointer_from_the_press() {
    let (mut bench, Thing::Vent(number)) = with("Vents", "Place vents") else { panic!("a vent") };
    bench.bring_up("Diameter");
    let diameter = |bench: &Bench| plan(bench).vents.iter().find(|v| v.number == number).expect("the vent").diameter_mm;
    let before = diameter(&bench);
    let field = bench
        .harness
        .query_all_by_label("Diameter")
        .find(|n| n.accesskit_node().role() == Role::SpinButton)
        .expect("a field")
        .rect()
        .center();
    // 0.05 mm a point.
    bench.drag(field, field + egui::vec2(40.0, 0.0));
    let after = diameter(&bench);
    assert!((after - before - 2.0).abs() < 0.06, "from {before} to {after}");
    bench.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(diameter(&bench), before, "one edit");
}

#[test]
fn the_shops_page_stays_open_where_escape_is_of_a_field() {
    let mut bench = Bench::new(egui::vec2(1400.0, 900.0));
    bench.harness.state_mut().open_shop_page();
    bench.settle();
    const FIGURE: &str = "How far from level a block may stand at the bench";
    let label = bench
        .harness
        .query_all(egui_kittest::kittest::By::new().predicate(|n| n.role() == Role::TextInput))
        .find_map(|n| n.accesskit_node().label())
        .unwrap_or_else(|| FIGURE.into());
    bench.focus(&label);
    bench.harness.event(Event::Text("9".into()));
    bench.settle();
    bench.key(Modifiers::NONE, Key::Escape);
    assert!(bench.app().is_at_shop_page(), "{label}");
    bench.key(Modifiers::NONE, Key::Escape);
    assert!(!bench.app().is_at_shop_page());
}
