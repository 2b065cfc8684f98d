//! The skeleton of a piece: its medial axis with the width at every point.
//!
//! A [`Shape`] comes in; out goes a [`Skeleton`]: chords that touch two walls, strung
//! into branches that end at tips and junctions. It knows nothing of grain or wood.
//!
//! The walls are sampled, the wood between them triangulated (Delaunay, walls kept), and every inner
//! edge of the triangulation, which joins two walls that face each other, is polished onto the exact
//! medial axis of the drawn walls. What reaches into corners is peeled off.

mod branch;
mod chord;
mod mesh;
mod walls;

pub use branch::{Branch, End, Link};
pub use chord::{Chord, Pruning};
pub use mesh::{Mesh, MeshError, NONE};
pub use walls::{Bend, WallPoint, Walls};

use crate::shape::{Shape, plane::Point};

/// The skeleton of one piece, with the mesh it was read from.
#[derive(Clone, Debug)]
pub struct Skeleton {
    mesh: Mesh,
    branches: Vec<Branch>,
}

impl Skeleton {
    /// Finds the skeleton of a shape.
    ///
    /// # Errors
    ///
    /// [`MeshError`] when the shape's rings touch or cross after all.
    ///
    /// # Accuracy
    ///
    /// Radii and touching points are exact for the drawn walls, to rounding. Chords lie about a
    /// quarter of the width apart. Not promised: a chord in every branch thinner than 0.25 mm.
    pub fn new(shape: &Shape, pruning: &Pruning) -> Result<Self, MeshError> {
        let mesh = Mesh::new(shape)?;
        let branches = branch::branches(&mesh, pruning);
        Ok(Self { mesh, branches })
    }

    /// The triangles of the wood.
    pub const fn mesh(&self) -> &Mesh {
        &self.mesh
    }

    /// The chord a part of the way, 0 to 1, from one chord to the next on the same branch.
    pub fn chord_between(&self, from: &Chord, to: &Chord, part: f64) -> Option<Chord> {
        chord::between(self.mesh.walls(), from, to, part)
    }

    /// Where the run turns a corner of the wood between two neighbouring chords of a branch: the chords, before and after, of
    /// the circle that touches the walls of both; nothing where it does not turn.
    ///
    /// The branch that reaches into such a corner is peeled off, so no junction tells of it.
    pub fn turn_between(&self, from: &Chord, to: &Chord) -> Option<[Chord; 2]> {
        let chords = chord::turn_between(self.mesh.walls(), from, to)?;
        let near = self.mesh.on_wall(from.left.edge);
        (near == NONE || chords[0].is_clear(&self.mesh, near as usize)).then_some(chords)
    }

    /// The circle inscribed at a junction, named by its triangle: centre and radius in mm.
    pub fn junction_circle(&self, triangle: usize) -> Option<(Point, f64)> {
        chord::inscribed(self.mesh.walls(), self.mesh.corners(triangle).map(|i| i as usize))
    }

    /// All branches, in a fixed order.
    pub fn branches(&self) -> &[Branch] {
        &self.branches
    }
}

#[cfg(test)]
mod tests {
    use geo_types::{LineString, Polygon, polygon};

    use super::*;
    use crate::shape::plane::{distance, nearest_on_segment};

    fn skeleton(polygon: Polygon<f64>) -> Skeleton {
        Skeleton::new(&Shape::new(polygon).expect("a shape"), &Pruning::default()).expect("a skeleton")
    }

    fn kept(skeleton: &Skeleton) -> Vec<Chord> {
        let links = skeleton.branches().iter().flat_map(|branch| &branch.links);
        links.filter(|link| link.kept).filter_map(|link| link.chord).collect()
    }

    fn circle(x: f64, y: f64, radius: f64, points: usize) -> LineString<f64> {
        (0..points)
            .map(|i| {
                let (sin, cos) = (i as f64 / points as f64 * std::f64::consts::TAU).sin_cos();
                (x + radius * cos, y + radius * sin)
            })
            .collect::<Vec<_>>()
            .into()
    }

    #[test]
    fn a_bar_has_one_branch_with_its_width() {
        let bar = skeleton(polygon![
            (x: 0.0, y: 0.0), (x: 60.0, y: 0.0), (x: 60.0, y: 6.0), (x: 0.0, y: 6.0)
        ]);
        assert_eq!(bar.branches().len(), 1);
        assert_eq!(bar.branches()[0].ends, [End::Tip; 2]);
        let chords = kept(&bar);
        assert!(chords.len() > 15);
        for chord in chords {
            assert!((chord.radius - 3.0).abs() < 1e-9, "{chord:?}");
            assert!((chord.centre.y - 3.0).abs() < 1e-9);
            assert!(chord.run().y.abs() < 1e-9);
        }
    }

    #[test]
    fn a_ring_closes_on_itself() {
        let ring = skeleton(Polygon::new(circle(0.0, 0.0, 20.0, 400), vec![circle(0.0, 0.0, 15.0, 300)]));
        assert_eq!(ring.branches().len(), 1);
        assert_eq!(ring.branches()[0].ends, [End::Closed; 2]);
        for chord in kept(&ring) {
            assert!((chord.radius - 2.5).abs() < 2e-3, "{chord:?}");
        }
    }

    #[test]
    fn a_tee_has_three_branches_and_a_junction() {
        let tee = skeleton(polygon![
            (x: 0.0, y: 0.0), (x: 50.0, y: 0.0), (x: 50.0, y: 6.0), (x: 27.0, y: 6.0),
            (x: 27.0, y: 40.0), (x: 23.0, y: 40.0), (x: 23.0, y: 6.0), (x: 0.0, y: 6.0)
        ]);
        assert_eq!(
            tee.branches().len(),
            3,
            "{:?}",
            tee.branches().iter().map(|b| b.ends).collect::<Vec<_>>()
        );
    }

    #[test]
    fn every_circle_is_empty() {
        let shape = Shape::new(Polygon::new(
            circle(0.0, 0.0, 30.0, 90),
            vec![circle(5.0, 3.0, 8.0, 40), circle(-14.0, -2.0, 6.0, 12), circle(4.0, -17.0, 5.0, 5)],
        ))
        .expect("a shape");
        let skeleton = Skeleton::new(&shape, &Pruning::default()).expect("a skeleton");
        let walls = Walls::new(&shape);
        let chords = kept(&skeleton);
        assert!(chords.len() > 50);
        for chord in chords {
            let nearest = (0..walls.len())
                .map(|i| {
                    let (a, b) = walls.edge(i);
                    distance(chord.centre, nearest_on_segment(chord.centre, a, b).0)
                })
                .fold(f64::INFINITY, f64::min);
            assert!((nearest - chord.radius).abs() < 3e-3 * chord.radius, "{nearest} {chord:?}");
        }
    }
}
