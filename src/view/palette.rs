//! Colours: one set that colour-blind eyes can tell apart, one even ramp, and the two grounds, light and dark.
//!
//! The eight hues are those of Okabe & Ito, "Color Universal Design" (2008 edition, jfly.uni-koeln.de/color).

/// A colour as it is sent to a screen (sRGB, IEC 61966-2-1), 0 to 255 each.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Colour {
    /// Red.
    pub r: u8,
    /// Green.
    pub g: u8,
    /// Blue.
    pub b: u8,
}

impl Colour {
    /// A colour from its three parts.
    pub const fn new(r: u8, g: u8, b: u8) -> Colour {
        Colour { r, g, b }
    }

    /// Red, green and blue in linear light, 0 to 1.
    pub fn linear(self) -> [f32; 3] {
        [self.r, self.g, self.b].map(|c| linear_from_srgb(c as f32 / 255.0))
    }

    /// The nearest colour to one in linear light; parts outside 0 to 1 are cut off.
    pub fn from_linear(linear: [f32; 3]) -> Colour {
        let [r, g, b] = linear.map(|c| (srgb_from_linear(c.clamp(0.0, 1.0)) * 255.0 + 0.5) as u8);
        Colour { r, g, b }
    }

    /// The mix in linear light: `t` = 0 this colour, `t` = 1 the other.
    pub fn mix(self, other: Colour, t: f32) -> Colour {
        let (a, b) = (self.linear(), other.linear());
        Colour::from_linear(std::array::from_fn(|i| a[i] + (b[i] - a[i]) * t))
    }

    /// Relative luminance, 0 to 1 (ITU-R BT.709 primaries, as in WCAG 2.2).
    pub fn luminance(self) -> f32 {
        let [r, g, b] = self.linear();
        0.2126 * r + 0.7152 * g + 0.0722 * b
    }

    /// Contrast ratio with another colour, 1 to 21 (WCAG 2.2, success criterion 1.4.3).
    pub fn contrast(self, other: Colour) -> f32 {
        let (a, b) = (self.luminance(), other.luminance());
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }

    /// CIE 1976 lightness L*, 0 to 100, against the white of sRGB.
    pub fn lightness(self) -> f32 {
        let y = self.luminance();
        if y > 216.0 / 24389.0 { 116.0 * y.cbrt() - 16.0 } else { y * 24389.0 / 27.0 }
    }
}

/// Linear light from an sRGB value, both 0 to 1 (IEC 61966-2-1).
pub fn linear_from_srgb(c: f32) -> f32 {
    if c <= 0.04045 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) }
}

/// An sRGB value from linear light, both 0 to 1 (IEC 61966-2-1).
pub fn srgb_from_linear(c: f32) -> f32 {
    if c <= 0.0031308 { c * 12.92 } else { 1.055 * c.powf(1.0 / 2.4) - 0.055 }
}

/// Okabe & Ito, black.
pub const BLACK: Colour = Colour::new(0, 0, 0);
/// Okabe & Ito, orange.
pub const ORANGE: Colour = Colour::new(230, 159, 0);
/// Okabe & Ito, sky blue.
pub const SKY_BLUE: Colour = Colour::new(86, 180, 233);
/// Okabe & Ito, bluish green.
pub const BLUISH_GREEN: Colour = Colour::new(0, 158, 115);
/// Okabe & Ito, yellow.
pub const YELLOW: Colour = Colour::new(240, 228, 66);
/// Okabe & Ito, blue.
pub const BLUE: Colour = Colour::new(0, 114, 178);
/// Okabe & Ito, vermilion.
pub const VERMILION: Colour = Colour::new(213, 94, 0);
/// Okabe & Ito, reddish purple.
pub const REDDISH_PURPLE: Colour = Colour::new(204, 121, 167);
/// White.
pub const WHITE: Colour = Colour::new(255, 255, 255);

/// Half 1.
pub const HALF_1: Colour = SKY_BLUE;
/// Half 2.
pub const HALF_2: Colour = ORANGE;
/// Feed and gates.
pub const FEED: Colour = BLUISH_GREEN;
/// Vents.
pub const VENT: Colour = REDDISH_PURPLE;
/// Inserts; drawn with a dark edge.
pub const INSERT: Colour = YELLOW;
/// Trapped air.
pub const TRAPPED_AIR: Colour = VERMILION;
/// Resin as it fills.
pub const RESIN: Colour = BLUE;
/// Where two shots touch.
pub const CONTACT: Colour = SKY_BLUE;
/// The dark side of a double line.
pub const LINE_DARK: Colour = Colour::new(24, 28, 34);
/// The light inside of a double line.
pub const LINE_LIGHT: Colour = Colour::new(252, 252, 250);
/// A line that no longer holds and waits for the new one.
pub const LINE_QUIET: Colour = Colour::new(128, 132, 138);

/// Colours of the ground and of the bare part, for a light or a dark window.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Theme {
    /// Ground at the top of the picture.
    pub ground_top: Colour,
    /// Ground at the bottom of the picture.
    pub ground_bottom: Colour,
    /// The part where nothing else colours it: matt neutral.
    pub part: Colour,
    /// The inside of a skin that is open.
    pub inside: Colour,
    /// Outlines and crease lines.
    pub outline: Colour,
    /// Glass of the block and box.
    pub glass: Colour,
    /// Lines of the floor grid.
    pub grid: Colour,
    /// Words and axes on the ground.
    pub ink: Colour,
    /// Where the part is cut through.
    pub cap: Colour,
}

impl Theme {
    /// Dark lines on a light ground.
    pub const LIGHT: Theme = Theme {
        ground_top: Colour::new(250, 250, 248),
        ground_bottom: Colour::new(228, 231, 234),
        part: Colour::new(196, 199, 201),
        inside: Colour::new(150, 128, 120),
        outline: Colour::new(38, 43, 50),
        glass: Colour::new(128, 160, 176),
        grid: Colour::new(120, 132, 142),
        ink: Colour::new(40, 46, 54),
        cap: Colour::new(226, 216, 196),
    };

    /// Light lines on a dark ground; the part stays light, so its outlines stay dark.
    pub const DARK: Theme = Theme {
        ground_top: Colour::new(43, 47, 53),
        ground_bottom: Colour::new(27, 30, 34),
        part: Colour::new(176, 180, 184),
        inside: Colour::new(132, 108, 100),
        outline: Colour::new(10, 12, 15),
        glass: Colour::new(150, 190, 210),
        grid: Colour::new(128, 142, 154),
        ink: Colour::new(226, 230, 234),
        cap: Colour::new(206, 194, 170),
    };
}

/// The eleven marks of the even ramp: dark blue through grey green to yellow, lightness rising in equal steps.
///
/// Made for this program: hue runs from blue to yellow only, which the common kinds of colour-blindness keep apart, and
/// CIE L* rises from about 22 to about 92, so it also reads in a grey print.
const RAMP: [Colour; 11] = [
    Colour::new(8, 44, 106),
    Colour::new(20, 62, 119),
    Colour::new(48, 79, 122),
    Colour::new(74, 96, 124),
    Colour::new(97, 113, 126),
    Colour::new(119, 131, 127),
    Colour::new(142, 150, 125),
    Colour::new(166, 169, 118),
    Colour::new(191, 189, 105),
    Colour::new(217, 209, 85),
    Colour::new(244, 230, 56),
];

/// The ramp's colour at `t` from 0 (dark blue) to 1 (yellow); beyond the ends it stays.
pub fn ramp(t: f32) -> Colour {
    let t = if t.is_nan() { 0.0 } else { t.clamp(0.0, 1.0) } * (RAMP.len() - 1) as f32;
    let i = (t as usize).min(RAMP.len() - 2);
    let f = t - i as f32;
    let part = |a: u8, b: u8| (a as f32 + (b as f32 - a as f32) * f + 0.5) as u8;
    let (a, b) = (RAMP[i], RAMP[i + 1]);
    Colour::new(part(a.r, b.r), part(a.g, b.g), part(a.b, b.b))
}

/// A range of a quantity laid on the ramp.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scale {
    /// The value at the ramp's dark blue end.
    pub low: f32,
    /// The value at its yellow end.
    pub high: f32,
}

impl Scale {
    /// Share of the way from low to high, 0 to 1.
    pub fn share(&self, value: f32) -> f32 {
        let span = self.high - self.low;
        if span.abs() < f32::MIN_POSITIVE { 0.0 } else { ((value - self.low) / span).clamp(0.0, 1.0) }
    }

    /// The colour of a value.
    pub fn colour(&self, value: f32) -> Colour {
        ramp(self.share(value))
    }

    /// Round values for the marks of a legend, rising, at most `most` of them and at least two where `low < high`: steps
    /// of 1, 2 or 5 times a power of ten.
    pub fn marks(&self, most: usize) -> Vec<f32> {
        let (low, high) = (self.low.min(self.high) as f64, self.low.max(self.high) as f64);
        let span = high - low;
        if !(span.is_finite() && span > 0.0) {
            return vec![self.low];
        }
        let most = most.max(2) as f64;
        let mut step = 10f64.powf((span / most).log10().floor());
        let fits = |step: f64| (high / step + 1e-6).floor() - (low / step - 1e-6).ceil() + 1.0 <= most;
        for factor in [2.0, 2.5, 2.0, 2.0, 2.5] {
            if fits(step) {
                break;
            }
            step *= factor;
        }
        let first = (low / step - 1e-6).ceil() as i64;
        let last = (high / step + 1e-6).floor() as i64;
        if last <= first {
            return vec![low as f32, high as f32];
        }
        (first..=last).map(|i| (i as f64 * step) as f32).collect()
    }
}
