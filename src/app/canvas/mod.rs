//! The part in the middle of the window: camera, pictures, and what hand and wheel do.
//!
//! The camera is kept in the upright frame (the box, or the block as it stands for casting), so that turning the part
//! in the block turns it in the picture and leaves the block upright.

pub mod absent;
pub mod bar;
pub mod extent;
mod fill_marks;
pub mod grab;
pub mod legend;
pub mod painter;
pub mod preview;
pub mod scenery;
mod seen;
pub mod sight;
pub mod tool;

use crate::app::filler::FillTimes;
use crate::app::known::Known;
use crate::app::line_drag::{LiveLine, nearest_on_lines};
use crate::app::opened::Opened;
use crate::app::thing::Thing;
use crate::app::waker::Waker;
use crate::plan::{Plan, Spot};
use crate::study::findings::Step;
use crate::study::job::setting::Setting;
use crate::view::camera::{self, Camera, CameraDrag, DragKind, Flight, Projection, StandardView};
use crate::view::render::Quality;
use crate::view::scene::{Plane, Scene};
use egui::{Key, PointerButton, Pos2, Rect, Sense};
use glam::{DAffine3, DQuat, DVec2, DVec3, Vec3};
use grab::Grab;
use painter::{Painted, Painter, Request};
use sight::{Colouring, Sight};
use std::sync::Arc;
use tool::{Gesture, Tool};

/// How long the view must be still before it is drawn with care, seconds.
const STILL_S: f64 = 0.06;
/// How long a flight takes, seconds.
const FLIGHT_S: f64 = 0.35;
/// Empty share of the view at each side where all is shown.
const FIT_MARGIN: f64 = 0.05;
/// How near the cursor must be to a line's thing, points.
const REACH_PT: f32 = 6.0;

/// Where the view is cut through.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cut {
    /// Which axis of the upright frame the cut is square to: 0, 1 or 2.
    pub axis: usize,
    /// True where the far side of the axis is kept.
    pub flipped: bool,
    /// Share of the way through the part, 0 to 1.
    pub at: f64,
}

/// What is under way with a button held.
#[derive(Clone, Debug)]
enum Hold {
    Camera(CameraDrag),
    Thing(Thing),
    /// The line, or a pin of it; the cursor led it last where it says.
    Line {
        grab: Grab,
        pin: Option<usize>,
        led: Option<Pos2>,
    },
    Stroke(Vec<Spot>),
    Turn(Pos2),
}

/// A click beside the part with a tool that works on it.
#[derive(Clone, Copy, Debug)]
struct Missed {
    at: Pos2,
    tool: Tool,
}

/// How far the hand may move before what is said of a missed click goes, points.
const MISSED_PT: f32 = 60.0;

impl Missed {
    /// Whether it is still to be said.
    fn holds(&self, tool: Tool, hover: Option<Pos2>) -> bool {
        tool == self.tool && hover.is_none_or(|p| p.distance(self.at) <= MISSED_PT)
    }
}

/// What the canvas is told each frame.
pub struct Situation<'a> {
    /// The plan as it is.
    pub plan: &'a Arc<Plan>,
    /// The newest facts.
    pub known: &'a Arc<Known>,
    /// True where the facts are of an older plan.
    pub behind: bool,
    /// The open step.
    pub step: Step,
    /// What a click does.
    pub tool: Tool,
    /// Radius of strokes and placed things, millimetres.
    pub radius_mm: f64,
    /// The chosen thing.
    pub chosen: Option<Thing>,
    /// A place to be lit, in `work`.
    pub lit: Option<Vec3>,
    /// Height of the resin along up in `work`, where it is shown.
    pub level: Option<f64>,
    /// When resin comes where, and the time that is shown, seconds.
    pub fill: Option<(Arc<FillTimes>, f32)>,
    /// The opened block, where it is shown.
    pub opened: Option<Opened>,
    /// The line in the hand.
    pub live: Option<Arc<LiveLine>>,
    /// Dark theme.
    pub dark: bool,
}

/// The view of the part.
pub struct Canvas {
    painter: Painter,
    camera: Camera,
    painted: Option<Painted>,
    texture: Option<egui::TextureHandle>,
    sight: Option<Arc<Sight>>,
    sight_number: u64,
    asked: Option<(u64, Camera, Quality)>,
    hold: Option<Hold>,
    flight: Option<(Flight, f64)>,
    moved_at: f64,
    /// True while the view is framed as Fit framed it and no hand has moved it since.
    framed: Option<Step>,
    fitted: bool,
    space: bool,
    /// How the part is coloured; none leaves it to the step.
    pub colouring: Option<Colouring>,
    /// See through the part.
    pub see_through: bool,
    /// The cut.
    pub cut: Option<Cut>,
    /// A place that shall be seen, once the view has come to it, and whether the cut is there for it.
    reveal: Option<Vec3>,
    cut_for_place: bool,
    pub(super) legend_at_left: bool,
    /// A click that hit nothing, as long as the hand rests there.
    missed: Option<Missed>,
    /// Cursor on the part, in the box.
    pub cursor_in_box: Option<DVec3>,
    rect: Rect,
    pixels_per_point: f32,
}

impl Canvas {
    /// A view of nothing yet.
    pub fn new(waker: Waker) -> Canvas {
        Canvas {
            painter: Painter::new(waker),
            camera: Camera::new(DVec2::new(800.0, 600.0)),
            painted: None,
            texture: None,
            sight: None,
            sight_number: 0,
            asked: None,
            hold: None,
            flight: None,
            moved_at: f64::NEG_INFINITY,
            framed: None,
            fitted: false,
            space: false,
            colouring: None,
            see_through: false,
            cut: None,
            reveal: None,
            cut_for_place: false,
            legend_at_left: false,
            missed: None,
            cursor_in_box: None,
            rect: Rect::NOTHING,
            pixels_per_point: 1.0,
        }
    }

    /// Forgets the camera of the last job.
    pub fn start_afresh(&mut self) {
        self.fitted = false;
        self.camera = Camera::new(self.camera.size_px);
        self.painted = None;
        self.sight = None;
        self.asked = None;
        self.hold = None;
        self.missed = None;
        self.flight = None;
        self.cut = None;
        self.reveal = None;
        self.cut_for_place = false;
        self.see_through = false;
        self.colouring = None;
    }

    /// True while a picture is on its way or the view moves by itself.
    pub fn is_busy(&self) -> bool {
        self.painter.is_busy()
            || self.flight.is_some()
            || self.wants_more()
            || self.reveal.is_some() && self.cut.is_none()
    }

    /// True where the last picture asked for is not the one that should be there in the end.
    fn wants_more(&self) -> bool {
        self.sight.is_some() && self.asked.is_none_or(|a| a.2 == Quality::Draft)
    }

    /// What the picture that is seen was drawn from, and what it should show; none while there is no picture.
    pub fn drawn(&self) -> Option<(&Scene, &Sight)> {
        Some((&*self.painted.as_ref()?.scene, &**self.sight.as_ref()?))
    }

    /// Where the view stands in the window, points.
    pub fn rect(&self) -> Rect {
        self.rect
    }

    /// Where a point of `work` lies in the window, points; none where it is out of sight.
    pub fn on_screen(&self, point: Vec3) -> Option<Pos2> {
        let painted = self.painted.as_ref()?;
        let pixel = painted.picture.camera().project(point.as_dvec3())?.pixel;
        let p = self.rect.min + egui::vec2(pixel.x as f32, pixel.y as f32) / self.pixels_per_point;
        self.rect.contains(p).then_some(p)
    }

    /// Whether the view is parallel.
    pub fn is_parallel(&self) -> bool {
        self.camera.projection == Projection::Parallel
    }

    /// Switches between perspective and parallel.
    pub fn toggle_parallel(&mut self) {
        self.camera.projection = if self.is_parallel() { Projection::Perspective } else { Projection::Parallel };
    }

    /// Cuts the view through the middle, square to the axis of the upright frame that looks most at the eye; or heals
    /// it.
    pub fn toggle_cut(&mut self) {
        (self.reveal, self.cut_for_place) = (None, false);
        self.cut = match self.cut {
            Some(_) => None,
            None => {
                let back = self.camera.backward();
                let axis = (0..3).max_by(|&a, &b| back[a].abs().total_cmp(&back[b].abs())).unwrap_or(1);
                Some(Cut { axis, flipped: back[axis] < 0.0, at: 0.5 })
            }
        };
    }

    /// Turns to a standard view; a view that showed everything still does.
    pub fn look_from(&mut self, view: StandardView, known: &Known, step: Step, now: f64) {
        let mut to = self.camera;
        to.look_from(view);
        if self.framed.is_some() {
            to.fit_points(&extent::seen_upright(known, step), FIT_MARGIN);
        }
        self.fly(to, now);
    }

    /// Shows the whole part with everything that is drawn round it.
    pub fn fit(&mut self, known: &Known, step: Step, now: f64) {
        let mut to = self.camera;
        to.fit_points(&extent::seen_upright(known, step), FIT_MARGIN);
        self.fly(to, now);
        self.framed = Some(step);
    }

    /// Brings a place of `work` to the middle, near enough to see it and from a side that it faces.
    pub fn fly_to(&mut self, place: Vec3, normal: Option<Vec3>, known: &Known, step: Step, now: f64) {
        let Some(setting) = known.setting() else { return };
        let upright_from_work = extent::upright_from_work(setting, step);
        let mut to = self.camera;
        to.target = upright_from_work.transform_point3(place.as_dvec3());
        self.framed = None;
        let whole = extent::bounds_upright(known, step).diagonal() as f64;
        to.distance_mm = to.distance_mm.min(whole * 1.1).max(whole * 0.35);
        if let Some(normal) = normal {
            let out = upright_from_work.transform_vector3(normal.as_dvec3()).normalize_or(DVec3::Z);
            if out.dot(to.backward()) < 0.35 {
                // Half-way between straight on and as it was, and never from straight above or below.
                let mut side = (out + to.backward() * 0.35).normalize_or(out);
                side.z = side.z.clamp(-0.85, 0.85);
                let back = side.normalize_or(DVec3::Y);
                let right = DVec3::Z.cross(back).normalize_or(DVec3::X);
                let top = back.cross(right);
                to.world_from_view = DQuat::from_mat3(&glam::DMat3::from_cols(right, top, back)).normalize();
            }
        }
        self.fly(to, now);
    }

    fn fly(&mut self, to: Camera, now: f64) {
        if to != self.camera {
            self.flight = Some((Flight { from: self.camera, to, seconds: FLIGHT_S }, now));
        }
    }

    /// Draws the view, takes what hand and keys do in it.
    pub fn show(&mut self, ui: &mut egui::Ui, now: &Situation<'_>) -> Vec<Gesture> {
        let (rect, response) = ui.allocate_exact_size(ui.available_size(), Sense::click_and_drag());
        response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Image, true, "The part"));
        self.rect = rect;
        self.pixels_per_point = ui.ctx().pixels_per_point();
        let size_px = (rect.size() * self.pixels_per_point).round();
        if size_px.x < 2.0 || size_px.y < 2.0 {
            return Vec::new();
        }
        let size_px = DVec2::new(size_px.x as f64, size_px.y as f64);
        let resized = std::mem::replace(&mut self.camera.size_px, size_px) != size_px;
        let time = ui.input(|i| i.time);
        let Some(setting) = now.known.setting() else {
            self.painted = None;
            self.paint(ui, rect, now.behind);
            return Vec::new();
        };
        let upright_from_work = extent::upright_from_work(setting, now.step);
        if !self.fitted || (resized && self.framed == Some(now.step) && self.flight.is_none()) {
            self.camera.fit_points(&extent::seen_upright(now.known, now.step), FIT_MARGIN);
            self.fitted = true;
            self.framed = Some(now.step);
        }
        if self.framed.is_some_and(|step| step != now.step) {
            // Another step draws more or less round the part; who has not moved the view yet sees all of it.
            self.fit(now.known, now.step, time);
        }
        let before = self.camera;
        if let Some((flight, begun)) = self.flight {
            let (camera, goes_on) = flight.at(time - begun);
            self.camera = Camera { size_px: self.camera.size_px, ..camera };
            if goes_on {
                ui.ctx().request_repaint();
            } else {
                self.flight = None;
            }
        }
        let by_itself = self.camera;
        let gestures = self.hands(ui, &response, now, setting, &upright_from_work);
        if self.camera != by_itself {
            self.framed = None;
        }
        if self.camera != before {
            self.moved_at = time;
        }
        self.refresh(ui, now, &upright_from_work, time);
        self.reveal_place(ui, now, &upright_from_work);
        self.paint(ui, rect, now.behind);
        preview::show(self, ui, &response, now);
        let seen = legend::Seen {
            colouring: self.colouring_of(now.step),
            scene: self.painted.as_ref().map(|p| &*p.scene),
            walls: self.painted.as_ref().and_then(|p| p.walls),
            at_left: self.legend_at_left,
        };
        if let Some(taken) = legend::show(ui, rect, now, &seen) {
            self.make_room_beside_legend(ui, now, taken);
        }
        gestures
    }

    /// How the part is coloured at a step.
    pub fn colouring_of(&self, step: Step) -> Colouring {
        self.colouring.unwrap_or(match step {
            Step::Parting => Colouring::Halves,
            _ => Colouring::Plain,
        })
    }

    /// The camera in `work`.
    fn camera_in_work(&self, upright_from_work: &DAffine3) -> Camera {
        let work_from_upright = upright_from_work.inverse();
        let turn = DQuat::from_mat3(&work_from_upright.matrix3).normalize();
        Camera {
            target: work_from_upright.transform_point3(self.camera.target),
            world_from_view: (turn * self.camera.world_from_view).normalize(),
            up: turn * self.camera.up,
            ..self.camera
        }
    }

    fn cut_plane(&self, known: &Known, step: Step, work_from_upright: &DAffine3) -> Option<Plane> {
        let cut = self.cut?;
        let bounds = extent::bounds_upright(known, step);
        let (low, high) = (bounds.min.as_dvec3(), bounds.max.as_dvec3());
        let mut normal = DVec3::ZERO;
        normal[cut.axis] = if cut.flipped { -1.0 } else { 1.0 };
        let mut point = (low + high) * 0.5;
        point[cut.axis] = low[cut.axis] + (high[cut.axis] - low[cut.axis]) * cut.at;
        Some(Plane {
            point: work_from_upright.transform_point3(point),
            normal: work_from_upright.transform_vector3(normal).normalize(),
        })
    }

    /// Asks for a new picture where one is due and takes in the finished one.
    fn refresh(&mut self, ui: &egui::Ui, now: &Situation<'_>, upright_from_work: &DAffine3, time: f64) {
        if let Some(done) = self.painter.collect() {
            let image = egui::ImageData::Color(done.image.clone());
            match &mut self.texture {
                Some(texture) => texture.set(image, egui::TextureOptions::LINEAR),
                None => {
                    self.texture = Some(ui.ctx().load_texture("the part", image, egui::TextureOptions::LINEAR));
                }
            }
            if let Some(old) = self.painted.replace(done) {
                self.painter.give_back(old.picture);
            }
        }
        let sight = Sight {
            known: now.known.clone(),
            plan: now.plan.clone(),
            step: now.step,
            colouring: self.colouring_of(now.step),
            see_through: self.see_through,
            chosen: now.chosen,
            lit: now.lit,
            level: now.level,
            fill: now.fill.clone(),
            opened: now.opened.clone().filter(|_| now.step == Step::Parting),
            live: now.live.clone(),
            section: self.cut_plane(now.known, now.step, &upright_from_work.inverse()),
            dark: now.dark,
            px_per_point: self.pixels_per_point,
        };
        if self.sight.as_ref().is_none_or(|old| !old.same(&sight)) {
            self.sight = Some(Arc::new(sight));
            self.sight_number += 1;
            self.moved_at = time;
        }
        let Some(sight) = &self.sight else { return };
        let still = time - self.moved_at >= STILL_S && self.hold.is_none() && self.flight.is_none();
        let quality = if still { Quality::Fine } else { Quality::Draft };
        let camera = self.camera_in_work(upright_from_work);
        let wanted = (self.sight_number, camera, quality);
        // A careful picture of the same view is better than a draft of it.
        let enough = self
            .asked
            .is_some_and(|(number, c, q)| number == wanted.0 && c == wanted.1 && (q == wanted.2 || q == Quality::Fine));
        if !enough && !self.painter.is_busy() {
            let sight = sight.clone();
            self.painter.ask(Request { sight, sight_number: self.sight_number, camera, quality });
            self.asked = Some(wanted);
        }
        if !still && self.hold.is_none() && self.flight.is_none() {
            ui.ctx().request_repaint_after(std::time::Duration::from_secs_f64(STILL_S));
        }
    }

    fn paint(&self, ui: &egui::Ui, rect: Rect, behind: bool) {
        let theme = crate::app::theme::view_theme(ui.visuals().dark_mode);
        let ground = crate::app::theme::on_screen(theme.ground_bottom);
        ui.painter().rect_filled(rect, 0.0, ground);
        if let (Some(texture), Some(_)) = (&self.texture, &self.painted) {
            let all = Rect::from_min_max(egui::pos2(0.0, 0.0), egui::pos2(1.0, 1.0));
            ui.painter().image(texture.id(), rect, all, egui::Color32::WHITE);
        }
        if behind {
            // A thin line along the top says that numbers are still on their way.
            let line = Rect::from_min_size(rect.min, egui::vec2(rect.width(), 2.0));
            ui.painter().rect_filled(line, 0.0, crate::app::theme::look(ui).accent.gamma_multiply(0.6));
        }
    }

    /// A place in the window as pixels of the picture.
    fn pixel(&self, at: Pos2) -> DVec2 {
        let p = (at - self.rect.min) * self.pixels_per_point;
        DVec2::new(p.x as f64, p.y as f64)
    }

    /// The thing under a place in the window: its tag, its body, or its line.
    fn thing_at(&self, at: Pos2) -> Option<Thing> {
        let painted = self.painted.as_ref()?;
        let pixel = self.pixel(at);
        let id = painted
            .picture
            .pick_tag(pixel)
            .or_else(|| painted.picture.pick_solid(pixel).map(|h| h.id))
            .or_else(|| painted.picture.pick_line(pixel, REACH_PT * self.pixels_per_point))?;
        Thing::from_pick(id)
    }

    /// The point of the part under a place in the window, in `work`, with its outward normal.
    pub fn surface_at(&self, at: Pos2) -> Option<(Vec3, Vec3)> {
        let hit = self.painted.as_ref()?.picture.pick(self.pixel(at))?;
        hit.triangle?;
        let toward = self.painted.as_ref()?.picture.camera().ray_through(self.pixel(at)).direction;
        // Seen from behind there is no outside to put a thing on.
        (hit.normal.dot(toward) < 0.0).then(|| (hit.point.as_vec3(), hit.normal.as_vec3()))
    }

    fn spot_at(&self, at: Pos2, setting: &Setting) -> Option<Spot> {
        let (point, normal) = self.surface_at(at)?;
        let part = setting.part_at(point);
        Some(setting.frames.spot_from_work(part, point, normal))
    }

    fn hands(
        &mut self,
        ui: &egui::Ui,
        response: &egui::Response,
        now: &Situation<'_>,
        setting: &Setting,
        upright_from_work: &DAffine3,
    ) -> Vec<Gesture> {
        let mut gestures = Vec::new();
        let hover = response.hover_pos();
        self.space = !ui.ctx().text_edit_focused() && ui.input(|i| i.key_down(Key::Space));
        if let Some(at) = hover {
            let scroll = ui.input(|i| i.smooth_scroll_delta().y + (i.zoom_delta() - 1.0) * 400.0);
            if scroll != 0.0 {
                self.flight = None;
                let pixel = self.pixel(at);
                let anchor = self.surface_at(at).map(|(p, _)| upright_from_work.transform_point3(p.as_dvec3()));
                let factor = (scroll as f64 * 0.0025).exp();
                match anchor {
                    Some(anchor) => self.camera.zoom_about(anchor, factor),
                    None => self.camera.zoom_to(pixel, factor),
                };
            }
        }
        self.cursor_in_box = hover.and_then(|at| self.surface_at(at)).map(|(p, _)| setting.frames.point_in_box(p));
        if response.drag_started()
            && let Some(at) = ui.input(|i| i.pointer.press_origin())
        {
            self.flight = None;
            self.hold = Some(self.start_hold(response, at, now, setting, upright_from_work));
        }
        if let (Some(at), Some(mut hold)) = (response.interact_pointer_pos(), self.hold.take()) {
            match &mut hold {
                Hold::Camera(drag) => {
                    let pixel = self.pixel(at);
                    drag.follow(&mut self.camera, pixel);
                }
                Hold::Thing(thing) => {
                    if let Some(spot) = self.spot_at(at, setting) {
                        gestures.push(Gesture::Move(*thing, spot));
                    }
                }
                Hold::Line { grab, pin, led } => {
                    let free = ui.input(|i| i.modifiers.shift);
                    if *led != Some(at)
                        && let Some((hand, _)) = self.surface_at(at)
                    {
                        if led.is_none() {
                            gestures.push(Gesture::GrabLine(*grab, *pin));
                        }
                        gestures.push(Gesture::LeadLine { hand, free });
                        *led = Some(at);
                    }
                }
                Hold::Stroke(spots) => {
                    // A slow frame's stroke goes the whole way of the pointer, not only to its end.
                    let way = ui.input(|i| i.events.iter().filter_map(moved_to).collect::<Vec<_>>());
                    for spot in way.into_iter().chain([at]).filter_map(|at| self.spot_at(at, setting)) {
                        let far = spots.last().is_none_or(|last| {
                            last.part != spot.part || last.position.distance(spot.position) > now.radius_mm * 0.4
                        });
                        if far {
                            spots.push(spot);
                        }
                    }
                }
                Hold::Turn(last) => {
                    let travel = at - *last;
                    if travel != egui::Vec2::ZERO {
                        *last = at;
                        let step = travel * (std::f32::consts::PI / self.rect.height().max(1.0));
                        let about_up = DQuat::from_rotation_z(step.x as f64);
                        let about_right = DQuat::from_axis_angle(self.camera.right(), step.y as f64);
                        gestures.push(Gesture::Turn(about_right * about_up));
                    }
                }
            }
            self.hold = Some(hold);
        }
        if response.drag_stopped() {
            match self.hold.take() {
                Some(Hold::Thing(_) | Hold::Turn(_)) => gestures.push(Gesture::Dropped),
                Some(Hold::Line { led: Some(_), .. }) => gestures.push(Gesture::LetGoOfLine),
                Some(Hold::Stroke(spots)) if !spots.is_empty() => gestures.push(Gesture::Stroke(now.tool, spots)),
                _ => {}
            }
        }
        if response.clicked()
            && let Some(at) = response.interact_pointer_pos()
        {
            let done = self.click(at, now, setting);
            self.missed = (done == Some(Gesture::Missed)).then_some(Missed { at, tool: now.tool });
            gestures.extend(done);
        } else if self.missed.as_ref().is_some_and(|m| !m.holds(now.tool, hover)) {
            self.missed = None;
        }
        gestures
    }

    fn start_hold(
        &self,
        response: &egui::Response,
        at: Pos2,
        now: &Situation<'_>,
        setting: &Setting,
        upright_from_work: &DAffine3,
    ) -> Hold {
        let left = response.drag_started_by(PointerButton::Primary);
        let pixel = self.pixel(at);
        let anchor = || self.surface_at(at).map(|(p, _)| upright_from_work.transform_point3(p.as_dvec3()));
        if !left {
            return Hold::Camera(CameraDrag::start(DragKind::Pan, &self.camera, pixel, anchor()));
        }
        if !self.space {
            let parting = now.known.parting_to_draw().filter(|_| now.step == Step::Parting).map(|p| p.0);
            if let Some(thing) = self.thing_at(at).filter(|t| t.can_move()) {
                if let (Thing::Pin(i), Some(parting)) = (thing, parting)
                    && let Some(pin) = now.plan.parting.pins.get(i)
                    && let Some(grab) = nearest_on_lines(parting, setting.frames.spot_in_work(&pin.at))
                {
                    return Hold::Line { grab, pin: Some(i), led: None };
                }
                return Hold::Thing(thing);
            }
            if let Some(grab) = parting.and_then(|p| self.line_at(at, &p.lines)).filter(|_| !now.tool.strokes()) {
                return Hold::Line { grab, pin: None, led: None };
            }
            let on_part = self.spot_at(at, setting);
            if now.tool.strokes()
                && let Some(spot) = on_part
            {
                return Hold::Stroke(vec![spot]);
            }
            if now.tool == Tool::Turn && on_part.is_some() {
                return Hold::Turn(at);
            }
        }
        Hold::Camera(CameraDrag::start(DragKind::Orbit, &self.camera, pixel, anchor()))
    }

    fn click(&self, at: Pos2, now: &Situation<'_>, setting: &Setting) -> Option<Gesture> {
        if let Some(thing) = self.thing_at(at) {
            return Some(Gesture::Choose(Some(thing)));
        }
        let on_part = self.spot_at(at, setting);
        match (now.tool, on_part) {
            (tool @ (Tool::FaceDown | Tool::FaceUp), Some(_)) => {
                self.surface_at(at).map(|(_, normal)| Gesture::Face(tool, normal))
            }
            (tool, Some(spot)) if tool.places() => Some(Gesture::Place(tool, spot)),
            (tool, Some(spot)) if tool.strokes() => Some(Gesture::Stroke(tool, vec![spot])),
            (tool, None) if tool.missed().is_some() => Some(Gesture::Missed),
            _ => Some(Gesture::Choose(None)),
        }
    }

    /// A standard view's direction for tests of what is seen: the unit vector to the eye, in the upright frame.
    pub fn backward(&self) -> DVec3 {
        self.camera.backward()
    }

    /// The turn that a standard view has.
    pub fn is_from(&self, view: StandardView) -> bool {
        self.camera.world_from_view.dot(camera::orientation(view, self.camera.up)).abs() > 1.0 - 1e-6
    }
}

fn moved_to(event: &egui::Event) -> Option<Pos2> {
    match event {
        egui::Event::PointerMoved(at) => Some(*at),
        _ => None,
    }
}
