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

/// Contours of one filled path, and whether they are filled by parity.
type Filled = (Vec<Vec<[f64; 2]>>, bool);

fn filled(seed: u64) -> (String, Vec<Filled>) {
    let mut random = Random(seed);
    let mut svg =
        r#"<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="80mm" viewBox="0 0 100 80">"#
            .to_owned();
    let mut shapes = Vec::new();
    for _ in 0..=random.below(4) {
        let parity = random.below(2) == 0;
        let mut number = |steps| f64::from(u32::try_from(random.below(steps)).unwrap()) * 10.0;
        let contours: Vec<Vec<[f64; 2]>> =
            (0..2).map(|_| (0..6).map(|_| [number(10), number(8)]).collect()).collect();
        let mut d = String::new();
        for contour in &contours {
            let points: Vec<String> = contour.iter().map(|[x, y]| format!("{x} {y}")).collect();
            write!(d, "M{}Z", points.join("L")).unwrap();
        }
        write!(svg, r#"<path d="{d}" fill-rule="{}"/>"#, if parity { "evenodd" } else { "nonzero" }).unwrap();
        shapes.push((contours, parity));
    }
    (svg + "</svg>", shapes)
}

/// How often a contour winds round a point: half the crossings of a ray to the right, counted by direction.
fn winding(contour: &[[f64; 2]], [x, y]: [f64; 2]) -> i32 {
    let mut turns = 0;
    for (a, b) in contour.iter().zip(contour.iter().cycle().skip(1)) {
        let crosses = (a[1] > y) != (b[1] > y);
        if crosses && a[0] + (y - a[1]) / (b[1] - a[1]) * (b[0] - a[0]) > x {
            turns += if b[1] > a[1] { 1 } else { -1 };
        }
    }
    turns
}

#[test]
fn a_point_is_wood_exactly_where_a_fill_rule_says_so() {
    use geo::Contains;
    let mut compared = 0;
    for seed in 0..200 {
        let (svg, shapes) = filled(seed);
        let Ok(design) = read(svg.as_bytes(), &Options { page: Some(Page::Wood), ..Options::default() })
        else {
            continue;
        };
        let mut random = Random(seed ^ 0xf00d);
        for _ in 0..100 {
            let mut number =
                |size| f64::from(u32::try_from(random.below(100_000)).unwrap()) * size / 100_000.0;
            let [x, y] = [number(100.0), number(80.0)];
            let drawn = shapes.iter().any(|(contours, parity)| {
                let turns: i32 = contours.iter().map(|contour| winding(contour, [x, y])).sum();
                if *parity { turns % 2 != 0 } else { turns != 0 }
            });
            let point = geo_types::Point::new(x, 80.0 - y);
            let wood = design.pieces.iter().any(|piece| piece.shape.polygon().contains(&point));
            // Only a point within a rounding of an edge may differ.
            let edge = design.pieces.iter().any(|piece| {
                piece.shape.rings().any(|ring| geo::Distance::distance(&geo::Euclidean, &point, ring) < 2e-4)
            });
            assert!(edge || wood == drawn, "seed {seed}, at {x}, {y}:\n{svg}");
            compared += 1;
        }
    }
    assert!(compared > 10_000, "{compared}");
}
