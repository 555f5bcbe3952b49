//! Where the knife goes in: a strip at full size that is wrapped round the four sides of the block, and a sheet for the top
//! or the floor where the cut comes out there. Beside the line stands how deep the knife goes.

use super::{Figure, Layer, Line, Template, master_factor};
use crate::sheet::words::template as say;
use crate::sheet::{SheetInput, figures};
use crate::study::job::wall_name::WallName;
use crate::study::report::EntryReport;
use glam::DVec2;

/// Length of the tick at a depth figure, millimetres.
const TICK_MM: f64 = 2.5;

/// The sides in the order in which a strip of paper goes round them, each with its words.
const SIDES: [(WallName, &str); 4] = [
    (WallName::Front, say::FRONT),
    (WallName::Right, say::RIGHT),
    (WallName::Back, say::BACK),
    (WallName::Left, say::LEFT),
];

/// The strip and the sheets; none where the knife's way is not known.
pub fn marks(input: &SheetInput<'_>) -> Vec<Template> {
    let [length, width, height] = input.report.block.size_mm;
    let on = |walls: &[WallName]| input.report.cut.entries.iter().any(|e| walls.contains(&e.wall));
    let mut all = Vec::new();
    if on(&SIDES.map(|s| s.0)) {
        all.push(strip(input, [length, width], height));
    }
    for (wall, file, title) in [(WallName::Top, "knife-top", say::TOP), (WallName::Floor, "knife-floor", say::FLOOR)] {
        if on(&[wall]) {
            let seen = if wall == WallName::Top { say::FROM_ABOVE } else { say::FROM_BELOW };
            let [near, far] = if wall == WallName::Top {
                [say::EDGE_FRONT, say::EDGE_BACK]
            } else {
                [say::EDGE_BACK, say::EDGE_FRONT]
            };
            let edges = [say::EDGE_LEFT, say::EDGE_RIGHT, near, far];
            let title = say::titled(&say::knife_on(title), seen);
            let mut template = Template::panel(file, title, DVec2::new(length, width), edges);
            template.note = say::DEPTHS.into();
            draw(&mut template, input, wall, DVec2::ZERO);
            all.push(template);
        }
    }
    all
}

fn strip(input: &SheetInput<'_>, [length, width]: [f64; 2], height: f64) -> Template {
    let round = 2.0 * (length + width);
    let mut strip = Template::panel("knife", say::KNIFE.into(), DVec2::new(round, height), [""; 4]);
    strip.note = say::DEPTHS.into();
    strip.edges.clear();
    let mut from = 0.0;
    for (i, (wall, name)) in SIDES.into_iter().enumerate() {
        let wide = if i % 2 == 0 { length } else { width };
        if i > 0 {
            let fold = vec![DVec2::new(from, 0.0), DVec2::new(from, height)];
            strip.lines.push(Line { layer: Layer::Mark, points: fold });
        }
        for (y, inward, words) in [(0.0, DVec2::Y, say::LOWER_EDGE), (height, DVec2::NEG_Y, say::UPPER_EDGE)] {
            let words = say::edge_of(name, words);
            strip.edges.push(super::EdgeWords { at: DVec2::new(from + wide / 2.0, y), inward, words });
        }
        draw(&mut strip, input, wall, DVec2::new(from, 0.0));
        from += wide;
    }
    strip
}

/// The entry lines of one wall whose lower left corner is at `from`.
fn draw(template: &mut Template, input: &SheetInput<'_>, wall: WallName, from: DVec2) {
    let master = OnMaster::of(input, wall);
    for entry in input.report.cut.entries.iter().filter(|e| e.wall == wall && is_known(e)) {
        let mut points: Vec<DVec2> = entry.points_mm.iter().map(|p| from + master.place(*p)).collect();
        if entry.closed {
            points.extend(points.first().copied());
        }
        template.lines.push(Line { layer: Layer::Knife, points });
        let at: Vec<DVec2> = entry.stations.iter().map(|s| from + master.place(s.at_mm)).collect();
        let mut side = DVec2::Y;
        for (i, station) in entry.stations.iter().enumerate() {
            // Square to the way between the neighbours, so that the wave does not turn the figures; all on one side.
            let way = at[(i + 1).min(at.len() - 1)] - at[i.saturating_sub(1)];
            let across = way.perp().normalize_or(DVec2::Y);
            let out = if across.dot(side) < 0.0 { -across } else { across };
            side = out;
            let depth = if station.to_part { master.depth(station.depth_mm) } else { station.depth_mm };
            let words = say::depth(&figures::whole_depth(depth), station.to_part);
            template.lines.push(Line { layer: Layer::Mark, points: vec![at[i], at[i] + out * TICK_MM] });
            template.figures.push(Figure { at: at[i] + out * (TICK_MM + 1.8), words });
        }
    }
}

/// Places on a wall and depths behind it once the master is larger than the part: it grows about the middle of the box and
/// from the part's lowest level, the box does not.
struct OnMaster {
    factor: f64,
    /// Width and height of the wall.
    size: DVec2,
    /// The place on it that stays.
    still: DVec2,
    /// How far behind it what stays lies.
    behind: f64,
}

impl OnMaster {
    fn of(input: &SheetInput<'_>, wall: WallName) -> OnMaster {
        let [length, width, height] = input.report.block.size_mm;
        let below = input.report.block.below_mm;
        let (size, still, behind) = match wall {
            WallName::Front | WallName::Back => {
                (DVec2::new(length, height), DVec2::new(length / 2.0, below), width / 2.0)
            }
            WallName::Right | WallName::Left => {
                (DVec2::new(width, height), DVec2::new(width / 2.0, below), length / 2.0)
            }
            WallName::Top => (DVec2::new(length, width), DVec2::new(length, width) / 2.0, height - below),
            WallName::Floor => (DVec2::new(length, width), DVec2::new(length, width) / 2.0, below),
        };
        OnMaster { factor: master_factor(input), size, still, behind }
    }

    /// A place of the wall; what came from its rim stays on the rim.
    fn place(&self, p: [f64; 2]) -> DVec2 {
        let p = DVec2::from_array(p);
        let grown = self.still + (p - self.still) * self.factor;
        let on_rim = |a: f64, size: f64| a < 1e-6 || a > size - 1e-6;
        let keep = |p: f64, grown: f64, size: f64| if on_rim(p, size) { p } else { grown.clamp(0.0, size) };
        DVec2::new(keep(p.x, grown.x, self.size.x), keep(p.y, grown.y, self.size.y))
    }

    /// The depth to a place of the part that lies so deep.
    fn depth(&self, depth_mm: f64) -> f64 {
        self.behind - (self.behind - depth_mm) * self.factor
    }
}

fn is_known(entry: &EntryReport) -> bool {
    let places = entry.points_mm.iter().chain(entry.stations.iter().map(|s| &s.at_mm));
    places.flatten().all(|c| c.is_finite()) && entry.stations.iter().all(|s| s.depth_mm.is_finite())
}
