//! The bench: a plan's meshes and the cache of its facts.
//!
//! Every fact is computed from the plan, the shop and earlier facts, and kept under exactly what it depends on (see
//! [`crate::study::bench::slot`]), so that a change computes afresh only what follows from it, and cached facts equal facts computed
//! afresh. Any thread may ask; two threads that ask for the same fact compute it once.

use crate::mesh::topology::Topology;
use crate::mesh::winding::Winding;
use crate::mesh::{Bounds, Mesh};
use crate::plan::{Attitude, InsertKind, Made, MasterCore, Plan, Spot};
use crate::shop::{Limits, Shop};
use crate::solve::run::Run;
use crate::study::air::Mouth;
use crate::study::air::facts::{AirFacts, AirTrees};
use crate::study::job::apart::{self, Between};
use crate::study::job::body::Body;
use crate::study::job::body_shape::{Asked, BodyShape};
use crate::study::job::cavity::Cavity;
use crate::study::job::channel_strike::Strikes;
use crate::study::job::channels::{Channels, Rod};
use crate::study::job::frames::{FARTHEST_IN_WORK_MM, Frames};
use crate::study::job::insert_gap::{self, Passage};
use crate::study::job::insert_shapes::{InsertShape, insert_shape};
use crate::study::job::layout::lay_out;
use crate::study::job::mesh_store::MeshStore;
use crate::study::job::placed::{self, Placed, PlacedKey};
use crate::study::job::setting::Setting;
use crate::study::job::thickness::Thickness;
use crate::study::numbers::insert_holds::{self, InsertHold};
use crate::study::parting::cut::block_box::BlockBox;
use crate::study::parting::cut::facts::{self as cut_facts, CutFacts, block_of};
use crate::study::parting::cut::loose::{self, Fitted};
use crate::study::parting::release::Release;
use crate::study::parting::release::rubber::Rubber;
use crate::study::parting::release::undercuts::{self, Undercut};
use crate::study::parting::release::wish::{self, ReleaseWish};
use crate::study::parting::surface::Surface;
use crate::study::parting::turned::is_turned;
use crate::study::parting::wish::wish_of_plan;
use crate::study::parting::{Leave, PartingFacts, Wish, parting_of};
use crate::study::pour::feed::{Bodies, Search};
use crate::study::pour::feed_ways::{self, FeedWays};
use crate::study::pour::fill::fineness::Fineness;
use crate::study::pour::fill::{self, Fill, Picture, Pour};
use crate::study::pour::flow::{self, Flow};
use glam::Vec3;
use slot::Slot;
use std::path::{Path, PathBuf};
use std::sync::{Arc, PoisonError, RwLock};

mod error;
mod facts;
mod meshes;
pub mod slot;
mod standing;
mod standing_facts;
mod standing_slots;
mod two_shot;
mod two_shot_slots;
mod ways_up;
mod ways_up_slots;

pub use error::StudyError;
pub use facts::Facts;
pub use standing_facts::StandingFacts;
use standing_slots::Standing;
use two_shot_slots::TwoShotSlots;
use ways_up_slots::WaysUp;

/// What the body depends on: placed parts and insert solids.
type BodyKey = (u64, Vec<(InsertKind, Spot, f64)>);
/// What the trees depend on: body, up, lean.
type TreesKey = (u64, Vec3, f64);
/// What the air depends on: trees, mouths, limits.
type AirKey = (u64, Vec<Mouth>, Limits);
/// What the parting depends on: body, wish, limits.
type PartingKey = (u64, Wish, Leave);
/// What undercuts depend on: parting, limit of area.
type UndercutsKey = (PartingKey, f64);
/// What the release depends on: undercuts, and what was done about them; the body is keyed by the inserts already.
type ReleaseKey = (UndercutsKey, ReleaseWish);
/// What the flow depends on: body, gates with radius.
type FlowKey = (u64, Vec<flow::Gate>);
/// What the ways to feed the part depend on: body, master, and what of the plan they do.
type FeedWaysKey = (u64, u64, Plan);
/// What the fill depends on: body, and the pour.
type FillKey = (u64, Pour);
/// What the cavity depends on: body and rods.
type CavityKey = (u64, Vec<Rod>);
/// What the cut depends on: the parting, the block, the channels with how each is made, and the body with the inserts.
type CutKey = (PartingKey, BlockBox, Arc<Channels>, Vec<Made>);
/// What the rubber depends on: the parting, and the least rubber between two things.
type RubberKey = (PartingKey, f64);
/// What the bodies of the opened block depend on: the cut, and what was done about undercuts and locked cores.
type OpenedKey = (CutKey, ReleaseKey);
/// What the shape depends on: body, and what is asked of it.
type ShapeKey = (u64, Asked);

/// In which folder the plan's file lies.
#[derive(Debug, Default)]
struct Folder(RwLock<Option<PathBuf>>);

impl Clone for Folder {
    fn clone(&self) -> Folder {
        Folder(RwLock::new(self.0.read().unwrap_or_else(PoisonError::into_inner).clone()))
    }
}

/// Meshes and cached facts. A clone is a bench of its own, which begins with all that this one knows.
#[derive(Clone, Debug)]
pub struct Bench {
    shop: Shop,
    store: MeshStore,
    folder: Folder,
    placed: Slot<PlacedKey, Placed>,
    upright: Slot<(u64, Attitude), Vec<Bounds>>,
    body: Slot<BodyKey, Body>,
    trees: Slot<TreesKey, AirTrees>,
    air: Slot<AirKey, AirFacts>,
    surface: Slot<u64, Surface>,
    parting: Slot<PartingKey, PartingFacts>,
    undercuts: Slot<UndercutsKey, Vec<Undercut>>,
    release: Slot<ReleaseKey, Release>,
    rubber: Slot<RubberKey, Rubber>,
    walls: Slot<u64, Thickness>,
    flow: Slot<FlowKey, Flow>,
    feed_ways: Slot<FeedWaysKey, FeedWays>,
    fill: Slot<FillKey, Fill>,
    cavity: Slot<CavityKey, Cavity>,
    cut: Slot<CutKey, CutFacts>,
    halves: Slot<OpenedKey, [Arc<Mesh>; 2]>,
    loose: Slot<OpenedKey, Vec<Fitted>>,
    shape: Slot<ShapeKey, BodyShape>,
    holds: Slot<PartingKey, Vec<InsertHold>>,
    passages: Slot<u64, Vec<Option<Passage>>>,
    between: Slot<u64, Vec<Between>>,
    strikes: Slot<CavityKey, Strikes>,
    standing: Standing,
    two_shot: TwoShotSlots,
    ways_up: WaysUp,
}

impl Bench {
    /// A bench with nothing on it. `bundled` mesh files stand in by name where there is no such file on disk and the plan's
    /// digest is theirs.
    pub fn new(shop: Shop, bundled: impl IntoIterator<Item = (String, &'static [u8])>) -> Bench {
        Bench {
            shop,
            store: MeshStore::new(bundled),
            folder: Folder::default(),
            placed: Slot::default(),
            upright: Slot::default(),
            body: Slot::default(),
            trees: Slot::default(),
            air: Slot::default(),
            surface: Slot::default(),
            parting: Slot::default(),
            undercuts: Slot::default(),
            release: Slot::default(),
            rubber: Slot::default(),
            walls: Slot::default(),
            flow: Slot::default(),
            feed_ways: Slot::default(),
            fill: Slot::default(),
            cavity: Slot::default(),
            cut: Slot::default(),
            halves: Slot::default(),
            loose: Slot::default(),
            shape: Slot::default(),
            holds: Slot::default(),
            passages: Slot::default(),
            between: Slot::default(),
            strikes: Slot::default(),
            standing: Standing::default(),
            two_shot: TwoShotSlots::default(),
            ways_up: WaysUp::default(),
        }
    }

    /// The shop's data.
    pub fn shop(&self) -> &Shop {
        &self.shop
    }

    /// Says in which folder the plan's file lies; relative mesh names start there.
    pub fn set_folder(&self, folder: Option<&Path>) {
        *self.folder.0.write().unwrap_or_else(PoisonError::into_inner) = folder.map(Path::to_path_buf);
    }

    fn folder(&self) -> Option<PathBuf> {
        self.folder.0.read().unwrap_or_else(PoisonError::into_inner).clone()
    }

    /// Where everything of the plan stands.
    ///
    /// # Errors
    /// [`StudyError::Mesh`] or [`StudyError::NoPart`].
    pub fn setting(&self, plan: &Plan) -> Result<Setting, StudyError> {
        if plan.parts.is_empty() {
            return Err(StudyError::NoPart);
        }
        let found = placed::find(&self.store, self.folder().as_deref(), plan)?;
        let placed = self.placed.get_or(found.key(plan), || Ok::<_, StudyError>(found.place(plan)))?;
        let upright = self
            .upright
            .get_or((placed.id, plan.hang.rubber), || Ok::<_, StudyError>(placed.bounds_upright(&plan.hang)))?;
        let other = self.other_part(plan, &placed);
        let loaded = other.as_ref().and_then(|o| o.as_ref().ok()).filter(|_| plan.loaded_hard().is_some());
        let parts = upright.iter().copied().fold(Bounds::EMPTY, Bounds::union);
        let all = loaded.map_or(parts, |o| parts.union(self.other_upright(plan, o)));
        let (frames, block) = lay_out(&placed, plan, &self.shop.limits, all);
        let longest_mm = block.size_mm.max_element();
        if !(longest_mm <= FARTHEST_IN_WORK_MM) {
            return Err(StudyError::TooLarge { longest_mm });
        }
        let channels = Channels::of(plan, &frames, block.size_mm.z);
        let inserts = inserts_of(plan, &placed, &frames);
        Ok(Setting {
            placed,
            upright,
            frames: Arc::new(frames),
            block,
            channels: Arc::new(channels),
            inserts: Arc::new(inserts),
            other,
        })
    }

    fn body_key(&self, plan: &Plan, setting: &Setting) -> BodyKey {
        (setting.placed.id, plan.inserts.iter().map(|i| (i.kind.clone(), i.at, i.in_pocket_mm)).collect())
    }

    /// The body of resin.
    ///
    /// # Errors
    /// [`StudyError::Cancelled`].
    pub fn body(&self, plan: &Plan, setting: &Setting, run: &Run) -> Result<Arc<Body>, StudyError> {
        let key = self.body_key(plan, setting);
        self.body.get_or(key, || Ok(Body::new(&setting.placed, &setting.inserts, run)?))
    }

    fn trees_key(&self, setting: &Setting, body: &Body) -> TreesKey {
        (body.id, setting.frames.cast_up(), self.shop.limits.lean_deg)
    }

    fn mouths(plan: &Plan, setting: &Setting) -> Vec<Mouth> {
        Mouth::of_plan(plan, &setting.frames)
    }

    /// The join trees of `body` in the plan's cast attitude.
    ///
    /// # Errors
    /// [`StudyError::Cancelled`].
    pub fn air_trees(&self, setting: &Setting, body: &Body, run: &Run) -> Result<Arc<AirTrees>, StudyError> {
        let key = self.trees_key(setting, body);
        self.trees.get_or(key, || Ok(AirTrees::new(body, key.1, key.2, run)?))
    }

    /// Trapped air.
    ///
    /// # Errors
    /// [`StudyError::Cancelled`].
    pub fn air(&self, plan: &Plan, setting: &Setting, body: &Body, run: &Run) -> Result<Arc<AirFacts>, StudyError> {
        let trees = self.air_trees(setting, body, run)?;
        let mouths = Bench::mouths(plan, setting);
        let key = (trees.id, mouths.clone(), self.shop.limits);
        self.air.get_or(key, || Ok(AirFacts::new(&trees, mouths, &self.shop.limits)))
    }

    /// The refined surface that the parting works on.
    ///
    /// # Errors
    /// [`StudyError::Cancelled`].
    pub fn surface(&self, body: &Body, run: &Run) -> Result<Arc<Surface>, StudyError> {
        self.surface.get_or(body.id, || Ok(Surface::new(&body.mesh, run)?))
    }

    fn parting_key(&self, plan: &Plan, setting: &Setting, body: &Body) -> PartingKey {
        (body.id, wish_of_plan(plan, &setting.frames), Leave::from(&self.shop.limits))
    }

    /// The parting.
    ///
    /// # Errors
    /// [`StudyError::Parting`] or [`StudyError::Cancelled`].
    pub fn parting(
        &self,
        plan: &Plan,
        setting: &Setting,
        body: &Body,
        run: &Run,
    ) -> Result<Arc<PartingFacts>, StudyError> {
        let master = self.master(plan, setting, body, run)?;
        let key = self.parting_key(plan, setting, &master);
        let (wish, leave) = (key.1.clone(), key.2);
        self.parting.get_or(key, || {
            let surface = self.surface(&master, run)?;
            Ok(parting_of(&surface, &master.tree, &wish, leave, run)?)
        })
    }

    fn release_key(&self, plan: &Plan, setting: &Setting, body: &Body) -> ReleaseKey {
        let undercuts = (self.parting_key(plan, setting, body), self.shop.limits.undercut_mm2);
        (undercuts, wish::wish_of_plan(plan, &setting.frames, setting.block.wall_mm))
    }

    /// What lets go of what.
    ///
    /// # Errors
    /// As [`Bench::parting`].
    pub fn release(&self, plan: &Plan, setting: &Setting, body: &Body, run: &Run) -> Result<Arc<Release>, StudyError> {
        let master = self.master(plan, setting, body, run)?;
        let key = self.release_key(plan, setting, &master);
        let (undercuts_key, wish) = key.clone();
        self.release.get_or(key, || {
            let parting = self.parting(plan, setting, body, run)?;
            let least_mm2 = undercuts_key.1;
            let undercuts = self.undercuts.get_or(undercuts_key, || {
                Ok::<_, StudyError>(undercuts::undercuts(&parting, &master.tree, least_mm2, run)?)
            })?;
            let inserts = &setting.inserts;
            Ok(Release::of(&parting, &undercuts, &master.mesh, &master.tree, inserts, &wish, run)?)
        })
    }

    /// How slender the rubber stands.
    ///
    /// # Errors
    /// As [`Bench::parting`].
    pub fn rubber(&self, plan: &Plan, setting: &Setting, body: &Body, run: &Run) -> Result<Arc<Rubber>, StudyError> {
        let master = self.master(plan, setting, body, run)?;
        let key = self.rubber_key(plan, setting, &master);
        let least_mm = key.1;
        self.rubber.get_or(key, || {
            let parting = self.parting(plan, setting, body, run)?;
            Ok(Rubber::of(&parting, &master.tree, least_mm, run)?)
        })
    }

    fn rubber_key(&self, plan: &Plan, setting: &Setting, master: &Body) -> RubberKey {
        (self.parting_key(plan, setting, master), self.shop.limits.least_rubber_mm)
    }

    /// Wall thickness.
    ///
    /// # Errors
    /// [`StudyError::Cancelled`].
    pub fn walls(&self, body: &Body, run: &Run) -> Result<Arc<Thickness>, StudyError> {
        self.walls.get_or(body.id, || Ok(Thickness::of(&body.mesh, &body.tree, &Topology::of(&body.mesh), run)?))
    }

    fn flow_key(plan: &Plan, setting: &Setting, body: &Body) -> FlowKey {
        let gate = |g: &crate::plan::Gate| flow::Gate {
            position: setting.frames.spot_in_work(&g.at),
            radius_mm: g.diameter_mm as f32 / 2.0,
        };
        (body.id, plan.feed.gates.iter().map(gate).collect())
    }

    /// The flow path from the plan's gates; none without a gate.
    ///
    /// # Errors
    /// [`StudyError::Cancelled`].
    pub fn flow(
        &self,
        plan: &Plan,
        setting: &Setting,
        body: &Body,
        run: &Run,
    ) -> Result<Option<Arc<Flow>>, StudyError> {
        if plan.feed.gates.is_empty() {
            return Ok(None);
        }
        let key = Bench::flow_key(plan, setting, body);
        let gates = key.1.clone();
        let flow = self.flow.get_or(key, || {
            let walls = self.walls(body, run)?;
            let field = body.trouble.as_ref().map(|_| Winding::of(&body.mesh));
            let winding = field.as_ref().map(|field| |p: Vec3| field.at(p));
            let winding = winding.as_ref().map(|w| w as &(dyn Fn(Vec3) -> f64 + Sync));
            Ok::<_, StudyError>(flow::flow(&body.mesh, &body.tree, &walls, &gates, winding, run)?)
        })?;
        Ok(Some(flow))
    }

    /// The best gate from above, from below and from the side of the one part of a plan as it hangs, and which of them is right;
    /// none of a set, whose gates are found together.
    ///
    /// # Errors
    /// As [`Bench::parting`].
    pub fn feed_ways(
        &self,
        plan: &Plan,
        setting: &Setting,
        body: &Body,
        run: &Run,
    ) -> Result<Arc<FeedWays>, StudyError> {
        let master = self.master(plan, setting, body, run)?;
        let key = (body.id, master.id, feed_ways::asked(plan));
        self.feed_ways.get_or(key.clone(), || {
            let asked = &key.2;
            // The gates of a set are found together.
            if asked.parts.len() != 1 {
                return Ok(FeedWays::default());
            }
            let setting = &self.setting(asked)?;
            let walls = self.walls(body, run)?;
            let parting = self.parting(asked, setting, body, run)?;
            let master = self.master(asked, setting, body, run)?;
            let trees = self.air_trees(setting, body, run)?;
            let search = Search {
                plan: asked,
                shop: &self.shop,
                setting,
                bodies: Bodies { resin: body, master: &master },
                walls: &walls,
                parting: &parting,
                level: &trees.air.level,
                only: None,
            };
            feed_ways::feed_ways(&search, |with| self.setting(with), run)
        })
    }

    /// How the plan's pour fills the body, on cells so fine; none without a gate. Long: nothing else asks for
    /// it. `watch` is shown pictures on the way.
    ///
    /// # Errors
    /// [`StudyError::Flow`] where the body is not closed, or [`StudyError::Cancelled`].
    pub fn fill(
        &self,
        plan: &Plan,
        setting: &Setting,
        body: &Body,
        fineness: Fineness,
        run: &Run,
        watch: impl FnMut(Picture),
    ) -> Result<Option<Arc<Fill>>, StudyError> {
        let Some(pour) = self.pour(plan, setting, body, fineness) else { return Ok(None) };
        let walls = self.walls(body, run)?;
        let filled = self.fill.get_or((body.id, pour.clone()), || {
            Ok::<_, StudyError>(fill::fill(&body.mesh, &body.tree, &walls, &pour, run, watch)?)
        })?;
        Ok(Some(filled))
    }

    fn pour(&self, plan: &Plan, setting: &Setting, body: &Body, fineness: Fineness) -> Option<Pour> {
        Some(Pour::of_plan(plan, &self.shop, setting, fineness)?.with_vents_on(&body.tree))
    }

    fn cavity_key(setting: &Setting, body: &Body) -> CavityKey {
        let channels = setting.channels.vents.iter().chain(&setting.channels.gates);
        (body.id, channels.flat_map(|c| c.rods.iter().copied()).collect())
    }

    /// The cavity with its channels.
    ///
    /// # Errors
    /// [`StudyError::Cancelled`].
    pub fn cavity(&self, setting: &Setting, body: &Body, run: &Run) -> Result<Arc<Cavity>, StudyError> {
        let key = Bench::cavity_key(setting, body);
        self.cavity.get_or(key, || Ok(Cavity::new(body, &setting.channels, run)?))
    }

    fn cut_key(&self, plan: &Plan, setting: &Setting, body: &Body) -> CutKey {
        let made = plan.feed.gates.iter().map(|g| g.made).chain(plan.vents.iter().map(|v| v.made)).collect();
        (self.parting_key(plan, setting, body), block_of(setting), setting.channels.clone(), made)
    }

    /// The cut through the block.
    ///
    /// # Errors
    /// [`StudyError::Parting`] or [`StudyError::Cancelled`].
    pub fn cut(&self, plan: &Plan, setting: &Setting, body: &Body, run: &Run) -> Result<Arc<CutFacts>, StudyError> {
        let master = self.master(plan, setting, body, run)?;
        self.cut.get_or(self.cut_key(plan, setting, &master), || {
            let parting = self.parting(plan, setting, body, run)?;
            Ok(CutFacts::of(plan, setting, &master, &parting, run)?)
        })
    }

    /// Both halves of the block as closed meshes in `work`, half 1 first. Nothing else waits for them.
    ///
    /// # Errors
    /// [`StudyError::Cut`], [`StudyError::Parting`] or [`StudyError::Cancelled`].
    pub fn halves(
        &self,
        plan: &Plan,
        setting: &Setting,
        body: &Body,
        run: &Run,
    ) -> Result<Arc<[Arc<Mesh>; 2]>, StudyError> {
        let master = self.master(plan, setting, body, run)?;
        self.halves.get_or(self.opened_key(plan, setting, &master), || {
            let cut = self.cut(plan, setting, body, run)?;
            let release = self.release(plan, setting, body, run)?;
            Ok(cut_facts::halves(&cut, setting, &release, run)?.map(Arc::new))
        })
    }

    fn opened_key(&self, plan: &Plan, setting: &Setting, master: &Body) -> OpenedKey {
        (self.cut_key(plan, setting, master), self.release_key(plan, setting, master))
    }

    /// Every loose piece and metal core as it fits into the opened block, in `work` and in plan order, or why there is none.
    ///
    /// # Errors
    /// As [`Bench::parting`].
    pub fn loose_pieces(
        &self,
        plan: &Plan,
        setting: &Setting,
        body: &Body,
        run: &Run,
    ) -> Result<Arc<Vec<Fitted>>, StudyError> {
        let master = self.master(plan, setting, body, run)?;
        self.loose.get_or(self.opened_key(plan, setting, &master), || {
            let release = self.release(plan, setting, body, run)?;
            Ok(loose::fitted(&release, setting, &block_of(setting), run)?)
        })
    }

    /// What holds each insert; the body is keyed by the inserts already.
    ///
    /// # Errors
    /// As [`Bench::parting`].
    pub fn holds(
        &self,
        plan: &Plan,
        setting: &Setting,
        body: &Body,
        run: &Run,
    ) -> Result<Arc<Vec<InsertHold>>, StudyError> {
        let master = self.master(plan, setting, body, run)?;
        self.holds.get_or(self.parting_key(plan, setting, &master), || {
            let parting = self.parting(plan, setting, body, run)?;
            let in_pocket: Vec<f64> = plan.inserts.iter().map(|i| i.in_pocket_mm).collect();
            Ok(insert_holds::holds(&parting, &master, &setting.inserts, &in_pocket, run)?)
        })
    }

    /// The narrowest way past each insert; the body is keyed by the inserts already.
    ///
    /// # Errors
    /// [`StudyError::Cancelled`].
    pub fn passages(
        &self,
        plan: &Plan,
        setting: &Setting,
        body: &Body,
        run: &Run,
    ) -> Result<Arc<Vec<Option<Passage>>>, StudyError> {
        self.passages.get_or(body.id, || {
            run.check()?;
            Ok(insert_gap::passages(body, &plan.inserts, &setting.inserts))
        })
    }

    /// The rubber between every two parts; nothing of a part alone. Inserts do not change it.
    ///
    /// # Errors
    /// [`StudyError::Cancelled`].
    pub fn between(&self, setting: &Setting, run: &Run) -> Result<Arc<Vec<Between>>, StudyError> {
        let placed = &setting.placed;
        self.between.get_or(placed.id, || Ok(apart::between(&placed.meshes, &placed.trees, run)?))
    }

    /// Where channels meet what the block is poured round beyond their mouths.
    ///
    /// # Errors
    /// [`StudyError::Cancelled`].
    pub fn strikes(&self, setting: &Setting, master: &Body, run: &Run) -> Result<Arc<Strikes>, StudyError> {
        self.strikes.get_or(Bench::cavity_key(setting, master), || {
            run.check()?;
            Ok(Strikes::of(master, &setting.channels))
        })
    }

    fn shape_key(plan: &Plan, setting: &Setting, body: &Body) -> ShapeKey {
        let frames = &setting.frames;
        let draw = plan.parting.draw.normalize_or(glam::DVec3::Y).as_vec3();
        let asked = Asked {
            box_from_work: frames.box_from_work,
            cast_up: frames.cast_up(),
            // What is pushed apart is the same both ways along it.
            draw: if is_turned(draw) { -draw } else { draw },
            first_pour_mm: plan.block.first_pour_mm,
            edges: matches!(plan.master.core, MasterCore::Hollow { .. }),
        };
        (body.id, asked)
    }

    /// What the body's surface adds up to.
    ///
    /// # Errors
    /// [`StudyError::Cancelled`].
    pub fn shape(&self, plan: &Plan, setting: &Setting, body: &Body, run: &Run) -> Result<Arc<BodyShape>, StudyError> {
        let master = self.master(plan, setting, body, run)?;
        let key = Bench::shape_key(plan, setting, &master);
        self.shape.get_or(key, || {
            let whole = BodyShape::of(&master, &key.1, run)?;
            if master.id == body.id {
                return Ok(whole);
            }
            // Rubber stands round the master, but resin pushes on its own body alone.
            let BodyShape { pushed_mm2, pushed_moment_mm3, cast_heights_mm, .. } = BodyShape::of(body, &key.1, run)?;
            Ok(BodyShape { pushed_mm2, pushed_moment_mm3, cast_heights_mm, ..whole })
        })
    }

    /// The facts that a hand on the part waits for: where everything stands, the body, trapped air; slow ones only
    /// where they stand already.
    ///
    /// # Errors
    /// As the facts that are computed.
    pub fn quick_facts(&self, plan: &Plan, run: &Run) -> Result<Facts, StudyError> {
        let setting = self.setting(plan)?;
        let body = self.body(plan, &setting, run)?;
        let air = self.air(plan, &setting, &body, run)?;
        // What is asked of the master waits for it.
        let master = self.fresh_master(plan, &setting, &body);
        let strikes = master.as_ref().map(|m| self.strikes(&setting, m, run)).transpose()?;
        Ok(Facts {
            strikes,
            parting: master.as_ref().and_then(|m| self.parting.fresh(&self.parting_key(plan, &setting, m))),
            release: master.as_ref().and_then(|m| self.release.fresh(&self.release_key(plan, &setting, m))),
            rubber: master.as_ref().and_then(|m| self.rubber.fresh(&self.rubber_key(plan, &setting, m))),
            walls: self.walls.fresh(&body.id),
            flow: self.flow.fresh(&Bench::flow_key(plan, &setting, &body)).filter(|_| !plan.feed.gates.is_empty()),
            feed_ways: master.as_ref().and_then(|m| self.feed_ways.fresh(&(body.id, m.id, feed_ways::asked(plan)))),
            // However fine it was asked for.
            fill: self
                .pour(plan, &setting, &body, Fineness::USUAL)
                .and_then(|p| self.fill.last_where(|(id, pour)| *id == body.id && p.is_the_same(pour))),
            cavity: self.cavity.fresh(&Bench::cavity_key(&setting, &body)),
            cut: master.as_ref().and_then(|m| self.cut.fresh(&self.cut_key(plan, &setting, m))),
            holds: master.as_ref().and_then(|m| self.holds.fresh(&self.parting_key(plan, &setting, m))),
            passages: self.passages(plan, &setting, &body, run)?,
            between: self.between(&setting, run)?,
            shape: master.as_ref().and_then(|m| self.shape.fresh(&Bench::shape_key(plan, &setting, m))),
            two_shot: self.fresh_two_shot(plan, &setting, &body),
            master,
            standing: self.quick_standing(plan, &setting, &body, &air, run)?,
            air: Some(air),
            body: Some(body),
            setting,
        })
    }

    /// All facts of a plan. The cavity, the parting and the flow with its walls do not wait for each other.
    ///
    /// # Errors
    /// As the facts.
    pub fn facts(&self, plan: &Plan, run: &Run) -> Result<Facts, StudyError> {
        let mut facts = self.quick_facts(plan, run)?;
        run.progress(0.2);
        if let Some(body) = facts.body.clone() {
            let setting = &facts.setting;
            facts.two_shot = Some(self.two_shot_facts(plan, setting, &body, run)?);
            let master = self.master(plan, setting, &body, run)?;
            facts.strikes = Some(self.strikes(setting, &master, run)?);
            facts.master = Some(master);
            // Threads of their own, not jobs of the pool: a worker of the pool that waits for its own jobs may take up
            // any other, and must not come upon a slot that it holds itself.
            let (cavity, parting, release, rubber, holds, cut, shape, standing, walls, flow, feed_ways) =
                std::thread::scope(|scope| {
                    let cavity = scope.spawn(|| self.cavity(setting, &body, run));
                    let parting = scope.spawn(|| {
                        let parting = self.parting(plan, setting, &body, run);
                        let cut = parting.is_ok().then(|| self.cut(plan, setting, &body, run));
                        let holds = self.holds(plan, setting, &body, run);
                        let rubber = self.rubber(plan, setting, &body, run);
                        (parting, self.release(plan, setting, &body, run), rubber, holds, cut)
                    });
                    let shape = self.shape(plan, setting, &body, run);
                    let standing = self.standing_facts(plan, setting, &body, run);
                    let walls = self.walls(&body, run);
                    run.progress(0.4);
                    let flow = self.flow(plan, setting, &body, run);
                    run.progress(0.6);
                    let feed_ways = self.feed_ways(plan, setting, &body, run);
                    let (parting, release, rubber, holds, cut) = done(parting);
                    (done(cavity), parting, release, rubber, holds, cut, shape, standing, walls, flow, feed_ways)
                });
            facts.cavity = Some(cavity?);
            facts.parting = Some(parting?);
            facts.release = Some(release?);
            facts.rubber = Some(rubber?);
            facts.cut = cut.transpose()?;
            facts.holds = Some(holds?);
            facts.shape = Some(shape?);
            facts.standing = standing?;
            facts.walls = Some(walls?);
            facts.flow = flow?;
            facts.feed_ways = Some(feed_ways?);
        }
        run.progress(1.0);
        Ok(facts)
    }
}

/// The plan's inserts as solids.
fn inserts_of(plan: &Plan, placed: &Placed, frames: &Frames) -> Vec<InsertShape> {
    let own = |kind: &InsertKind| match kind {
        InsertKind::Mesh { mesh } => placed.insert_meshes.get(mesh).map(|m| &**m),
        _ => None,
    };
    plan.inserts.iter().map(|i| insert_shape(i, frames, own(&i.kind))).collect()
}

/// What a thread found; a panic in it goes on in this one.
fn done<T>(thread: std::thread::ScopedJoinHandle<'_, T>) -> T {
    thread.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic))
}
