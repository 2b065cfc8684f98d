//! Chords strung into branches between tips and junctions.

use crate::shape::plane::{cross, unit};

use super::{
    chord::{Chord, Pruning, polish},
    mesh::{Mesh, NONE},
};

/// Where a branch ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// In a tip of the wood.
    Tip,
    /// Where three branches or more meet, in this triangle.
    Junction(usize),
    /// Nowhere: the branch runs round and closes on itself.
    Closed,
}

/// One station of a branch: an inner edge of the mesh, between two triangles.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Link {
    /// The chord there; nothing where the walls beside are not the nearest ones.
    pub chord: Option<Chord>,
    /// Whether the chord belongs to the skeleton proper (see [`Pruning`]).
    pub kept: bool,
    /// The triangles before and after.
    pub between: [usize; 2],
}

/// A chain of links without a junction in between.
#[derive(Clone, Debug, PartialEq)]
pub struct Branch {
    /// In order.
    pub links: Vec<Link>,
    /// Where it starts and ends.
    pub ends: [End; 2],
}

/// The sides of the triangles as one list: each inner edge once.
struct Sides {
    /// For each triangle and side the number of its edge, or [`NONE`].
    edge: Vec<[u32; 3]>,
    chords: Vec<Option<Chord>>,
    kept: Vec<bool>,
    alive: Vec<bool>,
}

/// Reads the skeleton off a mesh.
pub(super) fn branches(mesh: &Mesh, pruning: &Pruning) -> Vec<Branch> {
    let mut sides = Sides::new(mesh, pruning);
    sides.peel(mesh);
    sides.string(mesh)
}

impl Sides {
    fn new(mesh: &Mesh, pruning: &Pruning) -> Self {
        let mut sides = Self {
            edge: vec![[NONE; 3]; mesh.len()],
            chords: Vec::new(),
            kept: Vec::new(),
            alive: Vec::new(),
        };
        for t in 0..mesh.len() {
            for i in 0..3 {
                let other = mesh.beyond(t)[i];
                if other == NONE || (other as usize) < t {
                    continue;
                }
                let other = other as usize;
                let number = sides.chords.len() as u32;
                sides.edge[t][i] = number;
                let back = (0..3).find(|&k| mesh.beyond(other)[k] == t as u32);
                let back = back.expect("a triangle's neighbour knows it");
                sides.edge[other][back] = number;
                let corners = mesh.corners(t);
                let (p, q) = (corners[i] as usize, corners[(i + 1) % 3] as usize);
                let apexes = [corners[(i + 2) % 3] as usize, mesh.corners(other)[(back + 2) % 3] as usize];
                let chord = polish(mesh.walls(), p, q, apexes).filter(|chord| chord.is_clear(mesh, t));
                sides.kept.push(chord.is_some_and(|chord| pruning.keeps(mesh, &chord)));
                sides.chords.push(chord);
                sides.alive.push(true);
            }
        }
        sides
    }

    fn alive_of(&self, triangle: usize) -> impl Iterator<Item = usize> + '_ {
        (0..3).filter(move |&i| {
            let edge = self.edge[triangle][i];
            edge != NONE && self.alive[edge as usize]
        })
    }

    /// Takes away what ends in a corner: from the leaves inward, every edge that is not kept.
    fn peel(&mut self, mesh: &Mesh) {
        let mut stack: Vec<usize> = (0..mesh.len()).rev().collect();
        while let Some(t) = stack.pop() {
            let mut alive = self.alive_of(t);
            let (first, second) = (alive.next(), alive.next());
            drop(alive);
            if let (Some(i), None) = (first, second) {
                let edge = self.edge[t][i] as usize;
                if !self.kept[edge] {
                    self.alive[edge] = false;
                    stack.push(mesh.beyond(t)[i] as usize);
                }
            }
        }
    }

    fn string(&self, mesh: &Mesh) -> Vec<Branch> {
        let mut used = vec![false; self.chords.len()];
        let mut branches = Vec::new();
        let degree = |t: usize| self.alive_of(t).count();
        // First from every tip and junction, then what runs round.
        for closed in [false, true] {
            for t in 0..mesh.len() {
                let d = degree(t);
                if closed != (d == 2) || d == 0 {
                    continue;
                }
                for i in self.alive_of(t) {
                    if !used[self.edge[t][i] as usize] {
                        branches.push(self.follow(mesh, t, i, closed, &mut used));
                    }
                }
            }
        }
        branches
    }

    fn follow(&self, mesh: &Mesh, start: usize, side: usize, closed: bool, used: &mut [bool]) -> Branch {
        let end_at = |t: usize| match self.alive_of(t).count() {
            1 => End::Tip,
            _ => End::Junction(t),
        };
        let mut links = Vec::new();
        let (mut t, mut i) = (start, side);
        let finish = loop {
            let edge = self.edge[t][i] as usize;
            used[edge] = true;
            let next = mesh.beyond(t)[i] as usize;
            links.push(Link {
                chord: self.chords[edge].map(|chord| self.facing(mesh, t, i, chord)),
                kept: self.kept[edge],
                between: [t, next],
            });
            if self.alive_of(next).count() != 2 {
                break end_at(next);
            }
            let on = self.alive_of(next).find(|&k| self.edge[next][k] as usize != edge);
            let on = on.expect("a triangle with two inner edges has another one");
            if used[self.edge[next][on] as usize] {
                break End::Closed;
            }
            (t, i) = (next, on);
        };
        Branch { links, ends: if closed { [End::Closed; 2] } else { [end_at(start), finish] } }
    }

    /// The chord as seen when leaving a triangle by a side: left is left.
    ///
    /// Leaving an anticlockwise triangle across the side from `p` to `q`, `p` lies to the right.
    fn facing(&self, mesh: &Mesh, t: usize, i: usize, chord: Chord) -> Chord {
        let corners = mesh.corners(t);
        let walls = mesh.walls();
        let (p, q) = (walls.point(corners[i] as usize), walls.point(corners[(i + 1) % 3] as usize));
        let outward = unit(p - q);
        // `outward` points to the right of the way out; the chord should too.
        let towards = chord.right.at - chord.left.at;
        let same = outward.x * towards.x + outward.y * towards.y;
        if same < 0.0 || (same == 0.0 && cross(outward, towards) < 0.0) { chord.turned() } else { chord }
    }
}
