//! Shear lag: how a pull passes from one glued layer to another.

/// Shear modulus of a glue line, in MPa, and its thickness in mm; wood is so much softer that they hardly count.
/// Recalled, order of magnitude.
const GLUE: [f64; 2] = [500.0, 0.1];

/// Two layers glued face to face, both pulled along one direction, for each mm of width.
///
/// Nothing but shear passes between them, and it is proportional to their slip: `τ = k·(u₁ − u₂)`.
///
/// # Source
///
/// O. Volkersen, *Luftfahrtforschung* 15 (1938), 41; the formula recalled, and checked against finite differences.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lag {
    /// Stiffness of the interface, in N/mm³.
    pub stiffness: f64,
    /// How fast the slip dies away from an end, in 1/mm.
    pub rate: f64,
    /// Stiffness of the first layer against stretching over that of the second, `E₁t₁/E₂t₂`.
    pub ratio: f64,
}

impl Lag {
    /// Two layers of Young's modulus, shear modulus and thickness. The interface gives because the layers themselves are
    /// sheared, by a parabola that dies out at their far sides, and hardly in the glue:
    ///
    /// ```text
    /// 1/k = t₁/(3·G₁) + t_glue/G_glue + t₂/(3·G₂)
    /// ```
    pub fn new([first, second]: [[f64; 3]; 2]) -> Self {
        let [[e1, g1, t1], [e2, g2, t2]] = [first, second];
        let [modulus, thickness] = GLUE;
        let give = t1 / (3.0 * g1) + thickness / modulus + t2 / (3.0 * g2);
        Self::between(1.0 / give, e1 * t1, e2 * t2)
    }

    /// An interface of known stiffness between layers of `E·t`.
    pub fn between(stiffness: f64, first: f64, second: f64) -> Self {
        let rate = (stiffness * (1.0 / first + 1.0 / second)).sqrt();
        Self { stiffness, rate, ratio: first / second }
    }

    /// Shear at the two ends of a lap so long, where `pull` (N/mm of width) goes from one layer into the other: at the
    /// end where the first layer is pulled, and at the other.
    pub fn ends(&self, pull: f64, length: f64) -> [f64; 2] {
        let half = self.rate * length / 2.0;
        let (even, odd) = (1.0 / half.tanh(), half.tanh());
        let uneven = (self.ratio - 1.0) / (self.ratio + 1.0);
        [-1.0, 1.0].map(|end| pull * self.rate / 2.0 * (even + end * uneven * odd))
    }

    /// The most a lap so long passes on before its worse end bears `limit`.
    pub fn passes(&self, limit: f64, length: f64) -> f64 {
        let [a, b] = self.ends(1.0, length);
        limit / a.max(b)
    }

    /// The most that any lap passes on, however long.
    pub fn passes_at_most(&self, limit: f64) -> f64 {
        limit / self.rate * (self.ratio + 1.0) / self.ratio.max(1.0)
    }

    /// The least length that passes `pull` on; nothing where no length is enough.
    pub fn length_for(&self, pull: f64, limit: f64) -> Option<f64> {
        if pull >= self.passes_at_most(limit) {
            return None;
        }
        // Longer than this a lap passes on all but a part in a thousand million of what it ever will.
        let (mut low, mut high) = (0.0, 50.0 / self.rate);
        for _ in 0..60 {
            let middle = f64::midpoint(low, high);
            if self.passes(limit, middle) >= pull { high = middle } else { low = middle }
        }
        Some(high)
    }

    /// Shear at the edges of two layers that want to differ by `strain` over a joint so wide:
    /// `τ = e·(k/λ)·tanh(λw/2)`.
    pub fn edge_shear(&self, strain: f64, width: f64) -> f64 {
        strain * self.stiffness / self.rate * (self.rate * width / 2.0).tanh()
    }

    /// A joint no longer than this, `2/λ`, is mild unless it would split: over it about a third of the stress has built up,
    /// `1 − 1/cosh 1 = 0.352`, at the most. Our own rule.
    pub fn mild_width(&self) -> f64 {
        2.0 / self.rate
    }

    /// How much of the stress of an endless joint has built up in the middle of one so wide: `1 − 1/cosh(λw/2)`.
    pub fn built_up(&self, width: f64) -> f64 {
        1.0 - 1.0 / (self.rate * width / 2.0).cosh()
    }

    /// How far a piece `over` wide rises in its middle, seen from a line between its edges, for a curvature of 1 over a joint
    /// of `length` in that middle: the joint bends as far as its stress has built up, and what lies beyond it is straight.
    ///
    /// ```text
    /// ∫₀ᵃ (1 − cosh λy/cosh λa)·(w/2 − y) dy,  a half the joint, w the piece
    /// ```
    ///
    /// With no lag it is `L·(2w − L)/8`, over the whole piece `w²/8`.
    ///
    /// # Accuracy
    ///
    /// Against solid plates with a strip let into them: see `tests/published/season.rs`.
    pub fn rise(&self, length: f64, over: f64) -> f64 {
        let (half, rate) = (length / 2.0, self.rate);
        let far = rate * half;
        let first = half - far.tanh() / rate;
        let second = half * half / 2.0 - half * far.tanh() / rate + (1.0 - 1.0 / far.cosh()) / (rate * rate);
        over / 2.0 * first - second
    }

    /// The width at which so much of it has: the inverse of [`built_up`](Self::built_up). Nothing for 1 or more.
    pub fn width_for(&self, part: f64) -> Option<f64> {
        (part < 1.0).then(|| 2.0 / self.rate * (1.0 / (1.0 - part.max(0.0))).acosh())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_width_and_its_part_are_inverse() {
        let lag = Lag::between(80.0, 70_000.0, 12_000.0);
        for width in [1.0, 10.0, 40.0] {
            let back = lag.width_for(lag.built_up(width)).expect("below one");
            assert!((back - width).abs() < 1e-6, "{back}");
        }
        assert_eq!(lag.width_for(1.0), None);
    }

    #[test]
    fn without_lag_a_joint_is_an_arc_with_straight_ends() {
        let stiff = Lag::between(1e9, 70_000.0, 12_000.0);
        let (length, over) = (50.0, 80.0);
        let arc = length * (2.0 * over - length) / 8.0;
        assert!((stiff.rise(length, over) / arc - 1.0).abs() < 1e-3);
        let soft = Lag::between(80.0, 70_000.0, 12_000.0).rise(length, over);
        assert!(soft > 0.3 * arc && soft < 0.9 * arc, "{soft} {arc}");
    }

    #[test]
    fn the_least_length_passes_just_the_pull() {
        let lag = Lag::between(80.0, 70_000.0, 12_000.0);
        let most = lag.passes_at_most(2.0);
        let length = lag.length_for(0.9 * most, 2.0).expect("below the most");
        assert!((lag.passes(2.0, length) / (0.9 * most) - 1.0).abs() < 1e-9);
        assert_eq!(lag.length_for(most, 2.0), None);
        // What goes in comes out: the shear of a lap adds up to its pull.
        let (length, steps) = (23.0, 2000);
        let half = lag.rate * length / 2.0;
        let uneven = (lag.ratio - 1.0) / (lag.ratio + 1.0);
        let shear = |x: f64| {
            lag.rate / 2.0
                * ((lag.rate * x).cosh() / half.sinh() + uneven * (lag.rate * x).sinh() / half.cosh())
        };
        let step = length / f64::from(steps);
        let sum: f64 = (0..steps).map(|k| shear(-length / 2.0 + (f64::from(k) + 0.5) * step) * step).sum();
        assert!((sum - 1.0).abs() < 1e-5, "{sum}");
        let [one, other] = lag.ends(1.0, length);
        assert!((shear(-length / 2.0) - one).abs() < 1e-9 && (shear(length / 2.0) - other).abs() < 1e-9);
    }
}
