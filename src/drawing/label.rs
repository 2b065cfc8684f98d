//! Finding a free spot for each label, so that none lies on another or runs off the page.
//!
//! Labels are placed one after the other, the weakest place first. Each tries spots around what it
//! belongs to, from near to far, and takes the cheapest: what must not be covered rules a spot out,
//! what had better stay clear adds to its price.

use super::pen::Spot;

/// What is already on the page.
enum Taken {
    /// A box by centre and half size: never covered, very dear to cross.
    Box(Spot, Spot),
    /// A ring: never covered by a label, dear to cross for a leader that is not its own.
    Ring(Spot, f64),
    /// A line: dear to cover, cheap to cross.
    Line(Spot, Spot),
}

/// Where a label may go.
pub(super) struct Placer<'a> {
    corner: Spot,
    far: Spot,
    taken: Vec<Taken>,
    on_wood: &'a dyn Fn(Spot) -> bool,
}

/// Room between a label and whatever is next to it, in mm.
const AIR: f64 = 0.7;
/// How far from its ring a label may start, in mm; later ones are tried only in a crowd.
const REACHES: [f64; 13] = [1.5, 3.0, 5.0, 7.5, 10.5, 14.0, 18.0, 23.0, 30.0, 40.0, 55.0, 75.0, 100.0];
/// Directions tried around a ring.
const TURNS: usize = 24;

impl Taken {
    /// Whether a label of this half size would lie on it, or all but touch it.
    fn is_covered(&self, spot: Spot, half: Spot) -> bool {
        match self {
            Self::Box(centre, size) => (0..2).all(|i| (spot[i] - centre[i]).abs() < half[i] + size[i] + AIR),
            Self::Ring(centre, reach) => box_to_spot(spot, half, *centre) < reach + AIR,
            Self::Line(from, to) => crosses_box([*from, *to], spot, [half[0] + 0.4, half[1] + 0.4]),
        }
    }
}

impl<'a> Placer<'a> {
    /// An empty page between two corners; `on_wood` says where labels had better not lie.
    pub(super) fn new(corner: Spot, far: Spot, on_wood: &'a dyn Fn(Spot) -> bool) -> Self {
        Self { corner, far, taken: Vec::new(), on_wood }
    }

    pub(super) fn keep_ring(&mut self, centre: Spot, radius: f64) {
        self.taken.push(Taken::Ring(centre, radius));
    }

    pub(super) fn keep_line(&mut self, from: Spot, to: Spot) {
        self.taken.push(Taken::Line(from, to));
    }

    pub(super) fn keep_box(&mut self, centre: Spot, half: Spot) {
        self.taken.push(Taken::Box(centre, half));
    }

    /// Takes a spot for a label of this half size near a ring, or says that there is none.
    pub(super) fn place(&mut self, ring: Spot, radius: f64, half: Spot) -> Option<Spot> {
        let mut best: Option<(f64, Spot)> = None;
        for reach in REACHES {
            if best.is_some_and(|(price, _)| price <= reach) {
                break;
            }
            for turn in 0..TURNS {
                // Start to the upper right, where a label reads best, and go round.
                let angle = (turn as f64 / TURNS as f64 - 0.125) * std::f64::consts::TAU;
                let (sin, cos) = angle.sin_cos();
                let away = radius + reach + (half[0] * cos).abs().max((half[1] * sin).abs());
                let spot = [ring[0] + away * cos, ring[1] + away * sin];
                let limit = best.map_or(f64::INFINITY, |(price, _)| price);
                if let Some(price) = self.price(ring, radius, spot, half, reach, limit) {
                    best = Some((price, spot));
                }
            }
        }
        let (_, spot) = best?;
        self.taken.push(Taken::Box(spot, half));
        self.taken.push(Taken::Line(ring, spot));
        Some(spot)
    }

    /// Whether a label of this half size covers nothing at a spot.
    pub(super) fn is_free(&self, spot: Spot, half: Spot) -> bool {
        !self.taken.iter().any(|taken| taken.is_covered(spot, half))
    }

    /// What a spot costs, if it is allowed and cheaper than `limit`.
    fn price(&self, ring: Spot, radius: f64, spot: Spot, half: Spot, reach: f64, limit: f64) -> Option<f64> {
        let inside = (0..2)
            .all(|i| spot[i] - half[i] >= self.corner[i] + AIR && spot[i] + half[i] <= self.far[i] - AIR);
        if !inside {
            return None;
        }
        let leader = [ring, spot];
        let mut price = reach;
        for taken in &self.taken {
            if taken.is_covered(spot, half) {
                match taken {
                    Taken::Box(..) | Taken::Ring(..) => return None,
                    Taken::Line(..) => price += 30.0,
                }
            }
            let (is_crossed, cost) = match taken {
                // A leader may pass beneath a label in a crowd, since labels are drawn over it.
                Taken::Box(centre, size) => {
                    (crosses_box(leader, *centre, [size[0] + 0.3, size[1] + 0.3]), 40.0)
                }
                Taken::Ring(centre, reach) => {
                    let own = *centre == ring && *reach == radius;
                    (!own && segment_to_spot(leader, *centre) < *reach, 12.0)
                }
                Taken::Line(from, to) => (segments_cross(leader, [*from, *to]), 8.0),
            };
            if is_crossed {
                price += cost;
            }
            if price >= limit {
                return None;
            }
        }
        if (self.on_wood)(spot) {
            price += 4.0;
        }
        (price < limit).then_some(price)
    }
}

/// How far a spot is from a box; nought inside of it.
pub(super) fn box_to_spot(centre: Spot, half: Spot, spot: Spot) -> f64 {
    let out = |i: usize| ((spot[i] - centre[i]).abs() - half[i]).max(0.0);
    out(0).hypot(out(1))
}

fn segment_to_spot([a, b]: [Spot; 2], spot: Spot) -> f64 {
    let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
    let length2 = dx * dx + dy * dy;
    let along = if length2 > 0.0 {
        (((spot[0] - a[0]) * dx + (spot[1] - a[1]) * dy) / length2).clamp(0.0, 1.0)
    } else {
        0.0
    };
    (a[0] + along * dx - spot[0]).hypot(a[1] + along * dy - spot[1])
}

/// Whether a segment enters a box, by clipping it to the box side by side.
fn crosses_box([a, b]: [Spot; 2], centre: Spot, half: Spot) -> bool {
    let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
    for i in 0..2 {
        let step = b[i] - a[i];
        let (low, high) = (centre[i] - half[i] - a[i], centre[i] + half[i] - a[i]);
        if step == 0.0 {
            if low > 0.0 || high < 0.0 {
                return false;
            }
            continue;
        }
        let (near, far) = if step > 0.0 { (low / step, high / step) } else { (high / step, low / step) };
        enter = enter.max(near);
        leave = leave.min(far);
    }
    enter <= leave
}

fn segments_cross([a, b]: [Spot; 2], [c, d]: [Spot; 2]) -> bool {
    let side = |p: Spot, q: Spot, r: Spot| (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0]);
    side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn crowded_labels_do_not_cover_each_other_and_stay_on_the_page() {
        let anywhere = |_: Spot| false;
        let (corner, far) = ([0.0, 0.0], [120.0, 90.0]);
        let mut placer = Placer::new(corner, far, &anywhere);
        let rings: Vec<Spot> =
            (0..24).map(|i| [45.0 + f64::from(i % 6) * 6.0, 30.0 + f64::from(i / 6) * 6.0]).collect();
        for ring in &rings {
            placer.keep_ring(*ring, 2.5);
        }
        let half = [2.6, 2.6];
        let spots: Vec<Spot> =
            rings.iter().map(|ring| placer.place(*ring, 2.5, half).expect("there is room")).collect();
        for (i, a) in spots.iter().enumerate() {
            assert!(a[0] > 2.6 && a[0] < 117.4 && a[1] > 2.6 && a[1] < 87.4);
            assert!(rings.iter().all(|ring| box_to_spot(*a, half, *ring) >= 2.5));
            for b in &spots[..i] {
                assert!((a[0] - b[0]).abs() >= 5.2 || (a[1] - b[1]).abs() >= 5.2, "{a:?} covers {b:?}");
            }
        }
    }

    #[test]
    fn a_full_page_has_no_spot_left() {
        let anywhere = |_: Spot| false;
        let mut placer = Placer::new([0.0, 0.0], [10.0, 10.0], &anywhere);
        placer.keep_ring([5.0, 5.0], 4.0);
        assert_eq!(placer.place([5.0, 5.0], 4.0, [2.6, 2.6]), None);
    }
}
