//! Bodies that are their own mirror image, back for face: bending and stretching do not meet in them.
//!
//! A plain board is one. Every movement of it is the sum of an even one, in which both faces move along the board alike, and an
//! odd one, in which they move alike through it. Neither kind asks for forces of the other, so its equations fall apart into
//! two systems of half the size, each a quarter of the work or less:
//!
//! ```text
//! even: u(−z) =  u(z), w(−z) = −w(z)        odd: u(−z) = −u(z), w(−z) = w(z)
//! ```
//!
//! Each system keeps the unknowns of the upper half, and of the middle plane those that can move.

use super::{Body, Held, Layer, Solid, Sparse};

const HELD: u32 = u32::MAX;
/// Heights that differ by less than this part of the thickness are one.
const SAME_HEIGHT: f64 = 1e-9;
/// What is left where a load and its image cancel is rounding below this part of the load.
const ROUNDING: f64 = 1e-13;

/// Which movements of a body a system of equations speaks of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Parity {
    /// All of them.
    Any,
    /// Those that stretch it.
    Even,
    /// Those that bend it.
    Odd,
}

impl Parity {
    /// The systems that a body's equations fall apart into.
    pub(super) const fn of(mirror: Option<&Mirror>) -> &'static [Self] {
        if mirror.is_some() { &[Self::Even, Self::Odd] } else { &[Self::Any] }
    }
}

/// Of each node of a body its image, back for face.
pub(super) struct Mirror {
    twins: Vec<u32>,
}

impl Mirror {
    /// Nothing where a body, with what is held of it, is not its own image.
    pub(super) fn of(solid: &Solid, held: &Held) -> Option<Self> {
        let twins = solid.twins()?;
        let alike = |(node, &twin): (usize, &u32)| {
            (0..3).all(|axis| held.contains(3 * node + axis) == held.contains(3 * twin as usize + axis))
        };
        twins.iter().enumerate().all(alike).then_some(Self { twins })
    }
}

impl Solid {
    /// Whether it is its own mirror image, back for face: the same layers of the same wood, and the same walls open.
    pub fn is_its_own_mirror_image(&self) -> bool {
        self.body().is_its_own_mirror_image()
    }

    /// Of each node its image, where the body is its own.
    fn twins(&self) -> Option<Vec<u32>> {
        if !self.is_its_own_mirror_image() {
            return None;
        }
        let last = self.body().layers.len() - 1;
        let mut twins = vec![HELD; self.node_count()];
        for (triangle, layer, nodes) in self.elements() {
            let image = self.element_nodes(triangle, last - layer)?;
            for (local, &node) in nodes.iter().enumerate() {
                twins[node as usize] = image[6 * (2 - local / 6) + local % 6];
            }
        }
        Some(twins)
    }
}

impl Body {
    fn is_its_own_mirror_image(&self) -> bool {
        let layers = || self.layers.iter().zip(self.layers.iter().rev());
        let thickness: f64 = self.layers.iter().map(Layer::height).sum();
        let alike = |(a, b): (&Layer, &Layer)| {
            (a.height() - b.height()).abs() <= SAME_HEIGHT * thickness
                && (a.wood, &a.zones) == (b.wood, &b.zones)
        };
        // A wood turned about the board's normal is stiff alike from both faces.
        let upright = self.woods.iter().all(|wood| {
            let c = wood.matrix();
            [0, 1, 2, 5].iter().all(|&i| [3, 4].iter().all(|&j| c[i][j] == 0.0 && c[j][i] == 0.0))
        });
        let open = |layers: &std::ops::Range<usize>| layers.start + layers.end == self.layers.len();
        upright
            && layers().all(alike)
            && self.cuts.iter().all(|cut| open(&cut.layers))
            && self.partings.is_empty()
    }
}

/// What each unknown of a solid is in a system of equations.
#[derive(Clone, Debug)]
pub(super) struct Unknowns {
    /// Of each unknown its row; `HELD` where it is none.
    rows: Vec<u32>,
    /// Which stand with their sign turned; none where nothing is said.
    turned: Vec<bool>,
    pub(super) count: usize,
    pub(super) parity: Parity,
}

impl Unknowns {
    pub(super) fn new(solid: &Solid, held: &Held, mirror: Option<&Mirror>, parity: Parity) -> Self {
        let mut unknowns = Self { rows: vec![HELD; solid.dof_count()], turned: Vec::new(), count: 0, parity };
        let twins = mirror.map(|mirror| &mirror.twins);
        let twin = |node: usize| twins.map_or(node, |twins| twins[node] as usize);
        for node in (0..solid.node_count()).filter(|&node| node >= twin(node)) {
            let in_the_middle = parity != Parity::Any && node == twin(node);
            for axis in 0..3 {
                let still = in_the_middle && (axis == 2) == (parity == Parity::Even);
                if !still && !held.contains(3 * node + axis) {
                    unknowns.rows[3 * node + axis] = unknowns.count as u32;
                    unknowns.count += 1;
                }
            }
        }
        if parity != Parity::Any {
            unknowns.turned = vec![false; solid.dof_count()];
            for node in (0..solid.node_count()).filter(|&node| node < twin(node)) {
                for axis in 0..3 {
                    unknowns.rows[3 * node + axis] = unknowns.rows[3 * twin(node) + axis];
                    unknowns.turned[3 * node + axis] = (axis == 2) == (parity == Parity::Even);
                }
            }
        }
        unknowns
    }

    /// The rows of a node's three unknowns; `u32::MAX` for none.
    pub(super) fn rows_of(&self, node: u32) -> [u32; 3] {
        std::array::from_fn(|axis| self.rows[3 * node as usize + axis])
    }

    /// Those that are some, which follow each other.
    pub(super) fn of_node(&self, node: u32) -> impl Iterator<Item = u32> + use<> {
        self.rows_of(node).into_iter().filter(|&row| row != HELD)
    }

    /// How many unknowns the solid has.
    pub(super) const fn of_solid(&self) -> usize {
        self.rows.len()
    }

    /// The row of an unknown, and how it counts there; nothing where it is held.
    pub(super) fn row(&self, dof: usize) -> Option<(usize, f64)> {
        let row = self.rows[dof];
        let turned = self.turned.get(dof).is_some_and(|turned| *turned);
        (row != HELD).then_some((row as usize, if turned { -1.0 } else { 1.0 }))
    }

    /// A load or a measure by rows, in rising order; what cancels is left out.
    pub(super) fn folded(&self, load: &Sparse) -> Vec<(u32, f64)> {
        let most = load.iter().fold(0.0_f64, |most, (_, value)| most.max(value.abs()));
        let mut rows = Vec::with_capacity(load.len());
        rows.extend(load.iter().filter_map(|&(dof, value)| {
            let (row, sign) = self.row(dof as usize)?;
            Some((row as u32, sign * value))
        }));
        let mut rows = summed(rows);
        if !self.turned.is_empty() {
            rows.retain(|(_, value)| value.abs() > ROUNDING * most);
        }
        rows
    }
}

/// Values by number, in rising order, each number once.
pub(super) fn summed(mut values: Sparse) -> Sparse {
    values.sort_unstable_by_key(|(number, _)| *number);
    values.dedup_by(|next, kept| {
        let same = next.0 == kept.0;
        if same {
            kept.1 += next.1;
        }
        same
    });
    values
}

/// The elements that a system is added up from.
pub(super) struct Pieces<'a> {
    solid: &'a Solid,
    halves: bool,
}

/// One of them.
pub(super) struct Piece<'a> {
    pub(super) triangle: usize,
    pub(super) layer: usize,
    pub(super) nodes: &'a [u32; 18],
    /// Whether the middle plane runs through it: its lower nodes are then the images of its upper ones.
    pub(super) in_the_middle: bool,
    /// Twice where its image is left out.
    pub(super) weight: f64,
}

impl Piece<'_> {
    /// The local nodes that are not images of others.
    pub(super) fn local(&self) -> std::ops::Range<usize> {
        if self.in_the_middle { 6..18 } else { 0..18 }
    }
}

impl<'a> Pieces<'a> {
    pub(super) const fn new(solid: &'a Solid, mirror: Option<&Mirror>) -> Self {
        Self { solid, halves: mirror.is_some() }
    }

    pub(super) fn each(&self) -> impl Iterator<Item = Piece<'a>> + use<'a> {
        let (solid, halves) = (self.solid, self.halves);
        let layers = solid.body().layers.len();
        let lowest = if halves { layers / 2 } else { 0 };
        solid.elements().filter(move |(_, layer, _)| *layer >= lowest).map(move |(triangle, layer, nodes)| {
            let in_the_middle = halves && 2 * layer + 1 == layers;
            let weight = if halves && !in_the_middle { 2.0 } else { 1.0 };
            Piece { triangle, layer, nodes, in_the_middle, weight }
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        shape::plane::point,
        solid::{Cut, Elastic, Matrix, Parting, grid, matrix::System},
        strength::tests::cherry,
    };

    fn body(heights: &[f64], woods: &[usize]) -> Body {
        let elastic = Elastic::of(&cherry()).unwrap();
        let layers = heights.windows(2).zip(woods).map(|(pair, &wood)| Layer::plain(pair[0], pair[1], wood));
        let mesh = grid(point(0.0, 0.0), point(20.0, 10.0), 4, 3);
        Body::new(mesh, layers.collect(), vec![elastic.stiffness(0.4), elastic.stiffness(1.1)])
    }

    /// Two systems move a body as one does, whatever pushes it; an odd count of layers has its middle plane within one.
    #[test]
    fn halves_move_as_the_whole_does() {
        let mut cracked = body(&[0.0, 2.0, 5.0, 7.0], &[0, 1, 0]);
        cracked
            .cuts
            .push(Cut { sides: cracked.mesh.edges_on(point(5.0, 0.0), point(5.0, 5.0)), layers: 1..2 });
        let mut open = body(&[0.0, 1.0, 3.0, 4.0], &[1, 1, 1]);
        open.mesh.zones[5] = 1;
        open.layers[1].zones.push((0, None));
        let plain = [body(&[0.0, 6.0], &[0]), body(&[0.0, 3.0, 6.0], &[1, 1])];
        for body in plain.into_iter().chain([cracked, open]) {
            let solid = Solid::new(body).unwrap();
            let held = Held::new(&solid, |[x, ..], _| x == 0.0);
            let halves = solid.assemble(&held).unwrap();
            assert_eq!(halves.systems.len(), 2);
            let unknowns = Unknowns::new(&solid, &held, None, Parity::Any);
            let whole = System::new(&solid, None, unknowns).unwrap();
            assert_eq!(whole.size(), halves.size());
            let whole = Matrix { systems: vec![whole] }.factor().unwrap();
            let halves = halves.factor().unwrap();
            let count = solid.dof_count() as u32;
            let loads: Vec<Sparse> =
                (0..40u32).map(|k| vec![(k * 37 % count, 1.0), ((k * 91 + 5) % count, -0.4)]).collect();
            let [one, other] = [&whole, &halves].map(|factor| factor.solve(&loads));
            let most = one.iter().flatten().fold(0.0_f64, |most, value| most.max(value.abs()));
            for (one, other) in one.iter().flatten().zip(other.iter().flatten()) {
                assert!((one - other).abs() < 1e-10 * most, "{one} {other} of {most}");
            }
            let [one, other] = [&whole, &halves].map(|factor| factor.influence(&loads, &loads, 1));
            let at_once = solid.influence(&held, &loads, &loads).unwrap();
            for load in 0..loads.len() {
                for (one, other) in one.under(load).iter().zip(other.under(load)) {
                    assert!((one - other).abs() < 1e-10 * most, "{one} {other} of {most}");
                }
            }
            assert_eq!(at_once, other, "bit for bit");
        }
    }

    #[test]
    fn what_differs_back_and_face_is_solved_whole() {
        let plain = || body(&[0.0, 2.0, 4.0], &[0, 0]);
        let mut parted = plain();
        parted.partings.push(Parting { below: 0, triangles: vec![3] });
        let mut walled = plain();
        walled.cuts.push(Cut { sides: walled.mesh.edges_on(point(5.0, 0.0), point(5.0, 5.0)), layers: 0..1 });
        let mut pocket = plain();
        pocket.mesh.zones[5] = 1;
        pocket.layers[0].zones.push((0, None));
        for body in [body(&[0.0, 2.0, 4.0], &[0, 1]), body(&[0.0, 2.0, 5.0], &[0, 0]), parted, walled, pocket]
        {
            let solid = Solid::new(body).unwrap();
            let held = Held::new(&solid, |[x, ..], _| x == 0.0);
            assert!(!solid.is_its_own_mirror_image());
            assert_eq!(solid.assemble(&held).unwrap().systems.len(), 1);
        }
        let solid = Solid::new(plain()).unwrap();
        let from_behind = Held::new(&solid, |[x, _, z], _| x == 0.0 && z < 3.0);
        assert!(solid.is_its_own_mirror_image());
        assert_eq!(solid.assemble(&from_behind).unwrap().systems.len(), 1);
    }
}
