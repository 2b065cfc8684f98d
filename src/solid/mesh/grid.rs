//! A rectangle cut into a regular grid.

use super::Mesh;
use crate::shape::plane::{Point, point};

/// A rectangle from corner to corner in `across` × `up` cells, each cut into two triangles by one of its
/// diagonals, which alternate. It has no zones. Benchmarks and tests start from it.
///
/// # Panics
///
/// If a count is zero or the far corner is not right of and above the near one.
pub fn grid(from: Point, to: Point, across: usize, up: usize) -> Mesh {
    assert!(across > 0 && up > 0 && to.x > from.x && to.y > from.y, "a grid has cells with an area");
    let share = |index: usize, count: usize| index as f64 / count as f64;
    let corner = |i: usize, j: usize| (j * (across + 1) + i) as u32;
    let corners = (0..=up)
        .flat_map(|j| (0..=across).map(move |i| (i, j)))
        .map(|(i, j)| {
            let (u, v) = (share(i, across), share(j, up));
            point(from.x + u * (to.x - from.x), from.y + v * (to.y - from.y))
        })
        .collect();
    let mut triangles = Vec::with_capacity(2 * across * up);
    for j in 0..up {
        for i in 0..across {
            let [a, b, c, d] = [corner(i, j), corner(i + 1, j), corner(i + 1, j + 1), corner(i, j + 1)];
            triangles.extend(if (i + j) % 2 == 0 { [[a, b, c], [a, c, d]] } else { [[a, b, d], [b, c, d]] });
        }
    }
    let zones = vec![0; triangles.len()];
    Mesh::new(corners, &triangles, zones)
}
