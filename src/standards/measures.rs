//! Two published measures that a person can check at the table: small parts and hot liquids.

use super::Source;
use serde::Deserialize;
use std::sync::LazyLock;

/// The small-parts cylinder and the ball test; lengths in hundredths of a millimetre.
#[derive(Clone, PartialEq, Eq, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SmallParts {
    /// Inner width of the cylinder.
    pub cylinder_width: u32,
    /// Depth of the cylinder where it is deepest.
    pub cylinder_depth: u32,
    /// A ball up to this width is a small part by itself. Exactly this width is read both ways;
    /// it counts.
    pub ball: u32,
    /// Small parts are not for children younger than this, in months.
    pub under_months: u32,
    /// Where that comes from.
    pub source: Source,
}

/// Hottest liquid where children are, and how fast hotter ones burn; degrees Fahrenheit.
#[derive(Clone, PartialEq, Eq, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HotLiquid {
    /// Nothing hotter than this.
    pub hottest: u32,
    /// Temperature and seconds after which it burns, hottest first.
    pub burns: Vec<(u32, u32)>,
    /// Where that comes from.
    pub source: Source,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Measures {
    small_parts: SmallParts,
    hot_liquid: HotLiquid,
}

static MEASURES: LazyLock<Measures> = LazyLock::new(|| {
    serde_json::from_str(include_str!("data/measures.json")).expect("built-in measures read")
});

/// The small-parts figures.
#[must_use]
pub fn small_parts() -> &'static SmallParts {
    &MEASURES.small_parts
}

/// The hot-liquid figures.
#[must_use]
pub fn hot_liquid() -> &'static HotLiquid {
    &MEASURES.hot_liquid
}

/// A thing to put to the test; lengths in hundredths of a millimetre.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Shape {
    /// A button or coin.
    Disc {
        /// Across its face.
        across: u32,
        /// Its thickness.
        thick: u32,
    },
    /// A brick, by its three edges in any order.
    Brick(u32, u32, u32),
    /// A ball.
    Ball {
        /// Its width.
        across: u32,
    },
}

impl SmallParts {
    /// Whether a thing is a small part: it fits the cylinder some way round, also slanting, or is too small
    /// a ball. The cylinder counts with its deepest side, which is the stricter reading.
    #[must_use]
    pub fn is_small(&self, shape: Shape) -> bool {
        let passes = |a: u32, b: u32, long: u32| {
            let square = |n: u32| u64::from(n) * u64::from(n);
            square(a) + square(b) <= square(self.cylinder_width) && long <= self.cylinder_depth
        };
        match shape {
            Shape::Disc { across, thick } => {
                let upright = thick <= self.cylinder_depth || self.holds_slanting(across, thick);
                across <= self.cylinder_width && upright
            }
            Shape::Brick(a, b, c) => {
                let mut edges = [a, b, c];
                edges.sort_unstable();
                let [short, middle, long] = edges;
                let slanting = middle <= self.cylinder_width && self.holds_slanting(short, long);
                passes(a, b, c) || passes(b, c, a) || passes(a, c, b) || slanting
            }
            Shape::Ball { across } => across <= self.ball.max(self.cylinder_width),
        }
    }

    /// Whether an oblong lies somehow in the upright section of the cylinder. Slopes are tried in steps of
    /// a thousandth, in whole numbers: the tangent of half the angle.
    fn holds_slanting(&self, short: u32, long: u32) -> bool {
        let (short, long) = (u64::from(short), u64::from(long));
        let (width, depth) = (u64::from(self.cylinder_width), u64::from(self.cylinder_depth));
        (0..=1000_u64).any(|k| {
            let (up, aside, whole) = (1_000_000 - k * k, 2000 * k, 1_000_000 + k * k);
            long * up + short * aside <= depth * whole && long * aside + short * up <= width * whole
        })
    }
}

impl HotLiquid {
    /// Seconds after which a liquid may burn; `None` for one that may stand where children are
    /// and is cooler than the table. Between two rows the hotter one counts.
    #[must_use]
    pub fn seconds_to_burn(&self, fahrenheit: u32) -> Option<u32> {
        let (coolest, _) = self.burns.last()?;
        if fahrenheit < *coolest {
            return None;
        }
        let hotter = self.burns.iter().rev().find(|(degrees, _)| fahrenheit <= *degrees);
        hotter.or(self.burns.first()).map(|(_, seconds)| *seconds)
    }

    /// Whether a liquid may stand where children are.
    #[must_use]
    pub fn may_stand(&self, fahrenheit: u32) -> bool {
        fahrenheit <= self.hottest
    }
}
