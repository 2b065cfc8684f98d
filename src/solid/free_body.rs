//! The elements on one side of a surface, and the forces their nodes on it exert.

use std::collections::BTreeMap;

use super::{Load, LoadPart, Solid, Sparse};

/// Elements whose forces on some of their nodes are asked: `R = Σ (K u − f)`, node by node.
///
/// The rows of their stiffnesses that matter are kept, so that asking again with other weights costs little.
#[derive(Clone, Debug)]
pub(super) struct FreeBody {
    elements: Vec<Element>,
    /// The nodes of the solid that the elements have, in rising order.
    nodes: Vec<u32>,
}

#[derive(Clone, Debug)]
struct Element {
    triangle: u32,
    layer: u32,
    /// Its nodes on the surface: which of the 18, and which place on the surface.
    on: Vec<(u8, usize)>,
    /// Of its 18 nodes their places among the body's.
    nodes: [u32; 18],
    /// Rows of its stiffness: three for each node on the surface.
    rows: Vec<[f64; 54]>,
}

/// A weighted sum of forces on a surface: the mean traction over a window, or a resultant.
///
/// It is a linear form of the displacements, less what loads on the elements themselves add to them.
#[derive(Clone, Debug)]
pub struct Asked {
    /// The form: how much each unknown's displacement counts.
    pub form: Sparse,
    /// The weights by element and node, in rising order.
    weights: Vec<((u32, u32, u8), [f64; 3])>,
}

impl FreeBody {
    /// Elements as triangle and layer, in rising order; `place` gives the place on the surface of a mesh node at a
    /// level (0 to 2) of a layer, if it lies there.
    ///
    /// # Panics
    ///
    /// If there is no wood in an element.
    pub(super) fn new(
        solid: &Solid,
        elements: &[(u32, u32)],
        place: impl Fn(u32, u32, usize) -> Option<usize>,
    ) -> Self {
        let wood = "only elements with wood are asked";
        let own = |&(t, k): &(u32, u32)| *solid.element_nodes(t as usize, k as usize).expect(wood);
        let mut nodes: Vec<u32> = elements.iter().flat_map(own).collect();
        nodes.sort_unstable();
        nodes.dedup();
        let number = |node: u32| {
            u32::try_from(nodes.partition_point(|&other| other < node)).expect("far fewer than 2^32 nodes")
        };
        let element = |&(triangle, layer): &(u32, u32)| {
            let columns = &solid.body().mesh.triangles[triangle as usize];
            let on: Vec<(u8, usize)> = (0u8..18)
                .filter_map(|local| {
                    let (level, i) = (usize::from(local / 6), usize::from(local % 6));
                    Some((local, place(columns[i], layer, level)?))
                })
                .collect();
            let stiffness = solid.element_stiffness(triangle as usize, layer as usize).expect(wood);
            let row = |&(local, _): &(u8, usize)| (0..3).map(move |axis| 3 * usize::from(local) + axis);
            let rows = on.iter().flat_map(row).map(|row| stiffness[row]).collect();
            Element { triangle, layer, on, nodes: own(&(triangle, layer)).map(number), rows }
        };
        Self { elements: elements.iter().map(element).collect(), nodes }
    }

    /// The triangles its elements stand on, in rising order.
    pub(super) fn triangles(&self) -> impl Iterator<Item = u32> + '_ {
        self.elements.iter().map(|element| element.triangle)
    }

    /// The part of a load that acts on nodes of the elements that lie on the surface.
    pub(super) fn share(&self, load: &Load) -> Load {
        let acts = |part: &&LoadPart| {
            let key = (part.triangle, part.layer);
            let place = self.elements.binary_search_by_key(&key, |element| (element.triangle, element.layer));
            place.is_ok_and(|place| self.elements[place].on.iter().any(|(local, _)| *local == part.node))
        };
        Load { parts: load.parts.iter().filter(acts).copied().collect() }
    }

    /// The sum of the forces on the surface, weighted place by place.
    pub(super) fn asked(&self, weight: impl Fn(usize) -> [f64; 3]) -> Asked {
        let mut sums = vec![[0.0; 3]; self.nodes.len()];
        let mut weights = Vec::new();
        for element in &self.elements {
            for (&(local, place), rows) in element.on.iter().zip(element.rows.chunks_exact(3)) {
                let w = weight(place);
                if w == [0.0; 3] {
                    continue;
                }
                weights.push(((element.triangle, element.layer, local), w));
                for (w, row) in w.into_iter().zip(rows).filter(|(w, _)| *w != 0.0) {
                    for (node, part) in element.nodes.iter().zip(row.chunks_exact(3)) {
                        let sum = &mut sums[*node as usize];
                        sum.iter_mut().zip(part).for_each(|(sum, part)| *sum += w * part);
                    }
                }
            }
        }
        let counted = || self.nodes.iter().zip(&sums).filter(|(_, sum)| **sum != [0.0; 3]);
        let mut form = Vec::with_capacity(3 * counted().count());
        counted().for_each(|(&node, sum)| form.extend((3 * node..).zip(sum.iter().copied())));
        Asked { form, weights }
    }
}

impl Asked {
    /// A form of the displacements alone.
    pub(super) const fn of_form(form: Sparse) -> Self {
        Self { form, weights: Vec::new() }
    }

    /// Half of its value and half of another's, that one's `sign` times.
    pub fn midpoint(&self, other: &Self, sign: f64) -> Self {
        let half = 0.5 * sign;
        let form = merged(&self.form, &other.form, |here, there| {
            0.5 * here.unwrap_or(0.0) + half * there.unwrap_or(0.0)
        });
        let zero = [0.0; 3];
        let weights = merged(&self.weights, &other.weights, |here, there| {
            let (here, there) = (here.unwrap_or(zero), there.unwrap_or(zero));
            std::array::from_fn(|axis| 0.5 * here[axis] + half * there[axis])
        });
        Self { form, weights }
    }

    /// What a load on the elements themselves takes off the value.
    pub fn direct(&self, load: &Load) -> f64 {
        if load.parts.is_empty() {
            return 0.0;
        }
        let taken = load.parts.iter().filter_map(|part| {
            let key = (part.triangle, part.layer, part.node);
            let place = self.weights.binary_search_by_key(&key, |(key, _)| *key).ok()?;
            let w = self.weights[place].1;
            Some(w[0] * part.force[0] + w[1] * part.force[1] + w[2] * part.force[2])
        });
        taken.sum()
    }

    /// Its value under a load that moves the solid so.
    pub fn value(&self, displacement: &[f64], load: &Load) -> f64 {
        let sum: f64 = self.form.iter().map(|&(dof, weight)| weight * displacement[dof as usize]).sum();
        sum - self.direct(load)
    }
}

/// Two lists of values by keys in rising order, as one.
fn merged<K: Ord + Copy, V: Copy>(
    one: &[(K, V)],
    other: &[(K, V)],
    both: impl Fn(Option<V>, Option<V>) -> V,
) -> Vec<(K, V)> {
    let mut merged = Vec::with_capacity(one.len() + other.len());
    let mut others = other.iter().copied().peekable();
    for &(key, here) in one {
        while let Some((before, there)) = others.next_if(|(other, _)| *other < key) {
            merged.push((before, both(None, Some(there))));
        }
        let there = others.next_if(|(other, _)| *other == key).map(|(_, there)| there);
        merged.push((key, both(Some(here), there)));
    }
    merged.extend(others.map(|(key, there)| (key, both(None, Some(there)))));
    merged
}

/// Places of mesh nodes along a line, by node.
pub(super) fn places(nodes: &[u32]) -> BTreeMap<u32, usize> {
    nodes.iter().enumerate().map(|(i, &node)| (node, i)).collect()
}
