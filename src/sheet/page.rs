//! The page list: pages of plain items in millimetres, origin top left, y down.
//!
//! Layout and drawings end here; painters (PDF now, the window's preview later) and tests read it. An item says what
//! stands where and nothing about what it means.

use super::lettering;
use glam::Vec2;
use std::sync::Arc;

/// Size of the paper.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Paper {
    /// 210 × 297 mm, ISO 216.
    #[default]
    A4,
    /// 297 × 420 mm, ISO 216.
    A3,
    /// 8.5 × 11 in.
    Letter,
}

impl Paper {
    /// Width and height, millimetres.
    pub fn size_mm(self) -> Vec2 {
        match self {
            Paper::A4 => Vec2::new(210.0, 297.0),
            Paper::A3 => Vec2::new(297.0, 420.0),
            Paper::Letter => Vec2::new(215.9, 279.4),
        }
    }

    /// The area that may be printed on: 20 mm free on the left for filing, 10 mm on the other sides (ISO 5457:1999).
    pub fn inside(self) -> Area {
        let size = self.size_mm();
        Area { min: Vec2::new(20.0, 10.0), max: size - Vec2::splat(10.0) }
    }
}

/// An upright rectangle on the page, millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Area {
    /// Top left corner.
    pub min: Vec2,
    /// Bottom right corner.
    pub max: Vec2,
}

impl Area {
    /// From corner and size.
    pub fn at(min: Vec2, size: Vec2) -> Area {
        Area { min, max: min + size }
    }

    /// Width and height.
    pub fn size(self) -> Vec2 {
        self.max - self.min
    }

    /// The middle.
    pub fn centre(self) -> Vec2 {
        (self.min + self.max) * 0.5
    }

    /// True where the two share more than a border of `slack` millimetres.
    pub fn overlaps(self, other: Area, slack: f32) -> bool {
        self.min.x < other.max.x - slack
            && other.min.x < self.max.x - slack
            && self.min.y < other.max.y - slack
            && other.min.y < self.max.y - slack
    }

    /// True where `other` lies inside, give or take `slack` millimetres.
    pub fn holds(self, other: Area, slack: f32) -> bool {
        self.min.cmple(other.min + slack).all() && other.max.cmple(self.max + slack).all()
    }

    /// This area grown by `by` millimetres on every side.
    pub fn grown(self, by: f32) -> Area {
        Area { min: self.min - by, max: self.max + by }
    }

    /// The smallest area round both.
    pub fn union(self, other: Area) -> Area {
        Area { min: self.min.min(other.min), max: self.max.max(other.max) }
    }
}

/// A shade of grey; the sheet has no colours, so that nothing is lost on any printer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Shade(pub u8);

impl Shade {
    /// Full ink.
    pub const BLACK: Shade = Shade(0);
    /// Bare paper.
    pub const WHITE: Shade = Shade(255);
    /// A tint behind black text.
    pub const TINT: Shade = Shade(228);
    /// Second-rank lines and text; dark enough for a worn printer.
    pub const DARK: Shade = Shade(70);
}

/// Line kinds (ISO 128-2).
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Dash {
    /// 01, continuous.
    #[default]
    Solid,
    /// 02, dashed.
    Dashed,
    /// 04, long dash dot.
    LongDashDot,
    /// 05, long dash double dot.
    LongDashDoubleDot,
}

impl Dash {
    /// Lengths of dashes and gaps by turns for a line of the given width, millimetres; empty for a continuous line.
    /// Dash 12 d, long dash 24 d, gap 3 d, dot half a d (ISO 128-2); held between what a printer shows and what fits.
    pub fn pattern_mm(self, width_mm: f32) -> Vec<f32> {
        let d = width_mm.clamp(0.13, 0.35);
        match self {
            Dash::Solid => Vec::new(),
            Dash::Dashed => vec![12.0 * d, 3.0 * d],
            Dash::LongDashDot => vec![24.0 * d, 3.0 * d, 0.5 * d, 3.0 * d],
            Dash::LongDashDoubleDot => vec![24.0 * d, 3.0 * d, 0.5 * d, 3.0 * d, 0.5 * d, 3.0 * d],
        }
    }
}

/// How a line is drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pen {
    /// Width, millimetres.
    pub width_mm: f32,
    /// Shade.
    pub shade: Shade,
    /// Kind.
    pub dash: Dash,
}

impl Pen {
    /// Wide line: visible outlines (ISO 128-2, 01.2).
    pub const WIDE: Pen = Pen { width_mm: 0.5, shade: Shade::BLACK, dash: Dash::Solid };
    /// Narrow line: dimensions, leaders, tables (01.1).
    pub const NARROW: Pen = Pen { width_mm: 0.25, shade: Shade::BLACK, dash: Dash::Solid };
    /// Border of something that must not be overlooked.
    pub const HEAVY: Pen = Pen { width_mm: 1.4, shade: Shade::BLACK, dash: Dash::Solid };

    /// The same pen with another kind of line.
    pub const fn with(self, dash: Dash) -> Pen {
        Pen { dash, ..self }
    }
}

/// Weight of the lettering.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Weight {
    /// Ordinary.
    #[default]
    Regular,
    /// Bold.
    Bold,
}

/// Which point of a text its position names.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Anchor {
    /// The left end of the baseline.
    #[default]
    Left,
    /// The middle of the baseline.
    Middle,
    /// The right end of the baseline.
    Right,
}

/// One line of text.
#[derive(Clone, Debug, PartialEq)]
pub struct Text {
    /// Where the anchor stands.
    pub at: Vec2,
    /// The words.
    pub text: String,
    /// Height of the capitals, millimetres (a size of ISO 3098-1).
    pub height_mm: f32,
    /// Weight.
    pub weight: Weight,
    /// Anchor.
    pub anchor: Anchor,
    /// Shade.
    pub shade: Shade,
    /// True where it runs upwards instead of to the right.
    pub turned: bool,
}

impl Text {
    /// Black text of ordinary weight at the left end of its baseline.
    pub fn new(at: Vec2, text: impl Into<String>, height_mm: f32) -> Text {
        Text {
            at,
            text: text.into(),
            height_mm,
            weight: Weight::Regular,
            anchor: Anchor::Left,
            shade: Shade::BLACK,
            turned: false,
        }
    }

    /// In bold.
    pub fn bold(self) -> Text {
        Text { weight: Weight::Bold, ..self }
    }

    /// With another anchor.
    pub fn anchored(self, anchor: Anchor) -> Text {
        Text { anchor, ..self }
    }

    /// In another shade.
    pub fn shaded(self, shade: Shade) -> Text {
        Text { shade, ..self }
    }

    /// Where the first letter stands on the baseline.
    pub fn start(&self) -> Vec2 {
        let width = lettering::width_mm(&self.text, self.weight, self.height_mm);
        let along = if self.turned { Vec2::NEG_Y } else { Vec2::X };
        match self.anchor {
            Anchor::Left => self.at,
            Anchor::Middle => self.at - along * (width * 0.5),
            Anchor::Right => self.at - along * width,
        }
    }

    /// The area that the letters take: from the top of the capitals to the foot of the descenders.
    pub fn area(&self) -> Area {
        let start = self.start();
        let width = lettering::width_mm(&self.text, self.weight, self.height_mm);
        let below = self.height_mm * lettering::DESCENT_PER_HEIGHT;
        if self.turned {
            return Area { min: start - Vec2::new(self.height_mm, width), max: start + Vec2::new(below, 0.0) };
        }
        Area { min: start - Vec2::new(0.0, self.height_mm), max: start + Vec2::new(width, below) }
    }
}

/// One thing on a page. Later items lie over earlier ones.
#[derive(Clone, Debug, PartialEq)]
pub enum Item {
    /// A line of text.
    Text(Text),
    /// A straight line.
    Line {
        /// From.
        from: Vec2,
        /// To.
        to: Vec2,
        /// Pen.
        pen: Pen,
    },
    /// Open or closed chains of straight lines that share a pen.
    Polylines {
        /// The chains.
        lines: Vec<Vec<Vec2>>,
        /// Pen.
        pen: Pen,
    },
    /// A polygon, closed from its last corner to its first.
    Polygon {
        /// Corners.
        corners: Vec<Vec2>,
        /// Border.
        pen: Option<Pen>,
        /// Inside.
        fill: Option<Shade>,
    },
    /// An upright rectangle.
    Rect {
        /// Where.
        area: Area,
        /// Border.
        pen: Option<Pen>,
        /// Inside.
        fill: Option<Shade>,
    },
    /// A circle.
    Circle {
        /// Centre.
        centre: Vec2,
        /// Radius, millimetres.
        radius_mm: f32,
        /// Border.
        pen: Option<Pen>,
        /// Inside.
        fill: Option<Shade>,
    },
    /// An empty square to tick.
    TickBox {
        /// Where.
        area: Area,
    },
    /// A picture.
    Image {
        /// Where.
        area: Area,
        /// Pixels.
        picture: Picture,
    },
}

/// A picture, rows from the top.
#[derive(Clone, Debug, PartialEq)]
pub struct Picture {
    /// Width, pixels.
    pub width: u32,
    /// Height, pixels.
    pub height: u32,
    /// Red, green, blue, opacity of each pixel.
    pub rgba: Arc<[u8]>,
}

/// One page.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Page {
    /// Items, from the bottom up.
    pub items: Vec<Item>,
}

impl Page {
    /// Every text of the page.
    pub fn texts(&self) -> impl Iterator<Item = &Text> {
        self.items.iter().filter_map(|i| if let Item::Text(t) = i { Some(t) } else { None })
    }
}

/// All pages of a sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct PageList {
    /// Paper.
    pub paper: Paper,
    /// Pages in order.
    pub pages: Vec<Page>,
}

impl PageList {
    /// All words of a page, one text a line, in the order in which they were laid.
    pub fn words_of(&self, page: usize) -> String {
        self.pages[page].texts().map(|t| t.text.as_str()).collect::<Vec<_>>().join("\n")
    }

    /// All words of the sheet.
    pub fn words(&self) -> String {
        (0..self.pages.len()).map(|p| self.words_of(p)).collect::<Vec<_>>().join("\n")
    }
}
