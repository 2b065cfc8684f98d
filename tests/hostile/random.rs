//! Random drawings on a coarse lattice, where corners meet edges and edges run on each other all the time.

use std::fmt::Write;

use super::read;
use shortgrain::design::{Inner, Options, Page};

/// Whole numbers from a seed (the constants of the MMIX generator, Knuth, *The Art of Computer
/// Programming*, volume 2, section 3.3.4).
struct Random(u64);

impl Random {
    fn below(&mut self, bound: u64) -> u64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % bound
    }
}

/// A drawing of a few polygons and circles; on a lattice as fine as `scale` of its numbers.
fn drawing(seed: u64, scale: f64) -> String {
    let mut random = Random(seed);
    let mut svg =
        r#"<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="80mm" viewBox="0 0 100 80">"#
            .to_owned();
    for _ in 0..=random.below(6) {
        let rule = ["nonzero", "evenodd"][usize::try_from(random.below(2)).unwrap()];
        let fill = ["black", "black", "white"][usize::try_from(random.below(3)).unwrap()];
        let at = |random: &mut Random| (10 * random.below(9), 10 * random.below(8));
        if random.below(4) == 0 {
            let (x, y) = at(&mut random);
            let r = 5 * (1 + random.below(5));
            write!(svg, r#"<circle cx="{x}" cy="{y}" r="{r}" fill="{fill}"/>"#).unwrap();
            continue;
        }
        let mut d = String::new();
        for _ in 0..=random.below(2) {
            for i in 0..3 + random.below(7) {
                let (x, y) = at(&mut random);
                let jitter = f64::from(u32::try_from(random.below(3)).unwrap()) * scale;
                write!(d, "{}{} {}", if i == 0 { "M" } else { "L" }, x as f64 + jitter, y as f64 - jitter)
                    .unwrap();
            }
            d += "Z";
        }
        write!(svg, r#"<path d="{d}" fill="{fill}" fill-rule="{rule}"/>"#).unwrap();
    }
    svg + "</svg>"
}

#[test]
fn whatever_is_read_keeps_the_promises_of_a_shape() {
    let options = Options { inner: Some(Inner::Opening), page: Some(Page::Wood), ..Options::default() };
    let mut pieces = 0;
    for scale in [0.0, 0.0001, 0.01] {
        for seed in 0..300 {
            let svg = drawing(seed, scale);
            // `read` checks every shape; small splinters are refused, which is an answer too.
            let answer = std::panic::catch_unwind(|| read(svg.as_bytes(), &options));
            match answer {
                Ok(Ok(design)) => pieces += design.pieces.len(),
                Ok(Err(_)) => {}
                Err(_) => panic!("seed {seed}, scale {scale}:\n{svg}"),
            }
        }
    }
    assert!(pieces > 500, "{pieces}");
}
