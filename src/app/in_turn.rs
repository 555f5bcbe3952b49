//! Events are handed to the window in turn: a press with the pointer where it was pressed, a release where it was let go.
//!
//! The toolkit asks only for the pointer's last place of a frame. A slow frame brings many events at once, and then a drag would
//! take along the way to where it begins and the way on after it, a click would fall on whatever the pointer has come to since,
//! and keys that follow Tab would go to the field that was left. Here the events of such a frame are spread over as many frames
//! as they need; nothing is dropped, and their order stays.

use crate::app::action::Action;
use egui::{Context, Event, Key, Plugin, RawInput};
use std::collections::VecDeque;

/// What still waits for its frame.
#[derive(Debug, Default)]
pub struct InTurn {
    waiting: VecDeque<Event>,
    /// True where the field that is typed in is left in this frame.
    leaves: bool,
}

/// Has a window take its events in turn.
pub fn install(ctx: &Context) {
    ctx.add_plugin(InTurn::default());
    // A field is left as soon as something else is pressed, so that what was typed counts before anything is done.
    ctx.options_mut(|o| o.input_options.surrender_focus_on = egui::SurrenderFocusOn::Presses);
}

/// True where Escape was pressed in this frame in a field, which gives back what stood there; nothing else is meant by it then.
pub fn escape_is_of_a_field(ctx: &Context) -> bool {
    ctx.data(|d| d.get_temp(escape_key())).unwrap_or(false)
}

fn escape_key() -> egui::Id {
    egui::Id::unique("escape of a field")
}

impl InTurn {
    /// The events of the next frame.
    fn next(&mut self) -> Vec<Event> {
        let mut now = Vec::new();
        while let Some(event) = self.waiting.pop_front() {
            let alone =
                stands_alone(&event) || acts_by_itself(&event) || (is_press(&event) && now.iter().any(|e| !is_way(e)));
            if alone && !now.is_empty() {
                self.waiting.push_front(event);
                break;
            }
            let last = alone || is_press(&event);
            now.push(event);
            if last {
                break;
            }
        }
        now
    }
}

/// A press: nothing comes after it in its frame.
fn is_press(event: &Event) -> bool {
    matches!(event, Event::PointerButton { pressed: true, .. })
}

/// The pointer's way.
fn is_way(event: &Event) -> bool {
    matches!(event, Event::PointerMoved(_) | Event::MouseMoved(_))
}

/// What needs a frame of its own: a release, since what was dragged must have come there before; keys that leave a field.
fn stands_alone(event: &Event) -> bool {
    match event {
        Event::PointerButton { pressed, .. } => !pressed,
        Event::Key { key: Key::Tab | Key::Enter | Key::Escape, pressed, .. } => *pressed,
        _ => false,
    }
}

/// What is done without any press of the pointer: a key of an action, or a click from a reader of the screen.
fn acts_by_itself(event: &Event) -> bool {
    match event {
        Event::Key { key, pressed: true, modifiers, .. } => {
            modifiers.command
                && !matches!(key, Key::Z | Key::Y)
                && Action::all()
                    .iter()
                    .flat_map(|a| a.shortcuts())
                    .any(|s| s.logical_key == *key && s.modifiers.command)
        }
        Event::AccessKitActionRequest(request) => request.action == egui::accesskit::Action::Click,
        _ => false,
    }
}

impl Plugin for InTurn {
    fn debug_name(&self) -> &'static str {
        "events in turn"
    }

    fn input_hook(&mut self, ctx: &Context, input: &mut RawInput) {
        self.waiting.extend(input.events.drain(..));
        // What was typed counts before an action is done: first the field is left.
        let acts = self.waiting.front().is_some_and(acts_by_itself);
        self.leaves = acts && !self.leaves && ctx.text_edit_focused();
        if !self.leaves {
            input.events = self.next();
        }
        let escapes = |e: &Event| matches!(e, Event::Key { key: Key::Escape, pressed: true, .. });
        let of_a_field = ctx.text_edit_focused() && input.events.iter().any(escapes);
        ctx.data_mut(|d| d.insert_temp(escape_key(), of_a_field));
        if !self.waiting.is_empty() {
            ctx.request_repaint();
        }
    }

    fn on_begin_pass(&mut self, ui: &mut egui::Ui) {
        if self.leaves {
            ui.memory_mut(|m| {
                if let Some(id) = m.focused() {
                    m.surrender_focus(id);
                }
            });
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use egui::{Modifiers, PointerButton, pos2};

    fn button(x: f32, pressed: bool) -> Event {
        let modifiers = Modifiers::NONE;
        Event::PointerButton { pos: pos2(x, 0.0), button: PointerButton::Primary, pressed, modifiers }
    }

    fn key(key: Key, modifiers: Modifiers) -> Event {
        Event::Key { key, physical_key: None, pressed: true, repeat: false, modifiers }
    }

    fn moved(x: f32) -> Event {
        Event::PointerMoved(pos2(x, 0.0))
    }

    fn frames(events: Vec<Event>) -> Vec<Vec<Event>> {
        let mut in_turn = InTurn { waiting: events.into(), leaves: false };
        std::iter::from_fn(|| Some(in_turn.next()).filter(|e| !e.is_empty())).collect()
    }

    #[test]
    fn a_frame_ends_with_a_press_and_a_release_has_one_of_its_own() {
        let all = [moved(1.0), moved(2.0), button(2.0, true), moved(9.0), button(9.0, false), moved(90.0)];
        let [there, press, drag, release, away] = [&all[..2], &all[2..3], &all[3..4], &all[4..5], &all[5..]];
        assert_eq!(frames(all.to_vec()), [[there, press].concat(), drag.to_vec(), release.to_vec(), away.to_vec()]);
        // Letters go to the field before another thing is pressed, and keys after Tab to the next field.
        let typed =
            [Event::Text("1".into()), key(Key::Tab, Modifiers::NONE), Event::Text("2".into()), button(5.0, true)];
        assert_eq!(frames(typed.to_vec()), typed.iter().map(|e| vec![e.clone()]).collect::<Vec<_>>());
        // What nobody presses comes at once.
        let plain = [Event::Text("1".into()), Event::Text("2".into()), moved(3.0), Event::Copy];
        assert_eq!(frames(plain.to_vec()), [plain.to_vec()]);
    }

    #[test]
    fn keys_of_an_action_leave_a_field_and_keys_of_typing_do_not() {
        assert!(acts_by_itself(&key(Key::S, Modifiers::COMMAND)));
        for typing in [key(Key::Z, Modifiers::COMMAND), key(Key::A, Modifiers::COMMAND), key(Key::S, Modifiers::NONE)] {
            assert!(!acts_by_itself(&typing), "{typing:?}");
        }
    }
}
