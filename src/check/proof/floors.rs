//! Windows on the glued planes beside a break line, and on the wood where such a plane runs on past a pocket.
//!
//! A ply is tied to the board by its floor alone: its walls are open. On either side of the line the floor is bonded over
//! a length, as far as the ply reaches along its own grain; peel and shear are asked at both ends of that and in its middle,
//! at both edges and in between, each over a quarter of length and width. Beyond the ply's end the board is one
//! piece, and the same plane through its wood can start to split from the pocket's corner.

use std::{collections::BTreeSet, sync::Arc};

use crate::{
    shape::plane::{Point, cross, direction, left},
    solid::{Edge, Floor},
    wood::Mechanics,
};

use super::{
    super::ply::Part,
    layup::{Laid, in_axes},
    planes::{Candidate, SOFTENING, WINDOW},
    rule::Rule,
    windows::{Laying, Seat, Windowed},
};

/// Of a ply wider than the line is long there, this much beside the line's ends counts too, as a part of its length.
const BESIDE: f64 = 0.5;
/// Longer bonds are no better; windows on them stay short. In windows of the greatest length.
pub(super) const LONGEST: f64 = 3.0 * SOFTENING;
/// A line crosses a ply when it does so over this part of the place's own length along it.
const CROSSED: f64 = 0.4;
/// A floor that goes on is taken so much farther than windows lie on it, in mm: three of the biggest triangles.
const MORE: f64 = 24.0;
/// Windows are no smaller than this either way, in mm, as far as the floor allows: about as small as triangles are.
pub(super) const SMALLEST: f64 = 1.5;

impl Laying<'_> {
    /// The glued planes beside a line, each with its windows.
    pub(super) fn floors(&self, k: usize, candidate: &Candidate, chain: &[Edge]) -> Vec<Windowed> {
        let mut found = Vec::new();
        for ply in self.lay_up.plies.iter().filter(|ply| !ply.is_layer()) {
            for below in self.interfaces(ply) {
                found.extend(self.bond(k, ply, candidate, chain, below));
            }
            if candidate.at_end_of_ply {
                found.extend(self.past_the_end(k, ply, candidate, chain));
            }
        }
        found
    }

    /// The layers on top of which a ply and the board are glued.
    pub(super) fn interfaces(&self, ply: &Laid) -> Vec<usize> {
        if ply.wood.is_none() {
            return Vec::new();
        }
        let top = (ply.layers.end < self.lay_up.layers.len()).then(|| ply.layers.end - 1);
        top.into_iter().chain(ply.layers.start.checked_sub(1)).collect()
    }

    /// The floor on both sides of a line, from it to where the ply ends.
    fn bond(
        &self,
        k: usize,
        ply: &Laid,
        candidate: &Candidate,
        chain: &[Edge],
        below: usize,
    ) -> Option<Windowed> {
        let mesh = &self.solid.body().mesh;
        let (_, mechanics) = ply.wood?;
        let wood = |t: u32, k: usize| self.solid.element_nodes(t as usize, k).is_some();
        let glued = |t: u32| ply.lies_in(mesh.zones[t as usize]) && wood(t, below) && wood(t, below + 1);
        let [from, to] = candidate.line;
        let on_chain = chain.iter().filter(|edge| edge.sides.iter().flatten().any(|&t| glued(t)));
        let nodes: Vec<Point> = on_chain
            .flat_map(|edge| [edge.nodes[0], edge.nodes[2]])
            .map(|n| mesh.points[n as usize])
            .collect();
        if nodes.is_empty() {
            return None;
        }
        let centre = |t: u32| {
            let [a, b, c] = mesh.corner_points(t as usize);
            (a + b + c) / 3.0
        };
        let mut sides = Vec::new();
        let mut around = BTreeSet::new();
        for beyond in [1.0, -1.0] {
            // The ply's grain, away from the line on this side.
            let away = if cross(to - from, ply.grain) * beyond > 0.0 { ply.grain } else { -ply.grain };
            let axes: Vec<[f64; 2]> = nodes.iter().map(|&p| in_axes(p, away)).collect();
            let across = axes.iter().map(|[_, c]| *c);
            let (low, high) =
                (across.clone().fold(f64::INFINITY, f64::min), across.fold(f64::NEG_INFINITY, f64::max));
            let (width, middle) = (high - low, f64::midpoint(low, high));
            // A line that only grazes a ply does not part what it ties.
            if width < CROSSED * candidate.ligament {
                return None;
            }
            let start = axes.iter().map(|[s, _]| *s).sum::<f64>() / axes.len() as f64;
            let side = |t: u32| cross(to - from, centre(t) - from) * beyond > 0.0;
            // Somewhat more is taken than windows lie on: near the end of what is taken its forces are not its own.
            let near = |t: u32, more: f64| {
                let [s, c] = in_axes(centre(t), away);
                s - start < LONGEST + more && (c - middle).abs() < (0.5 + BESIDE) * width + more
            };
            around.extend(self.hanging_on(chain, |t| glued(t) && side(t) && near(t, MORE)));
            let here = self.hanging_on(chain, |t| glued(t) && side(t) && near(t, 0.0));
            sides.push((here, away, start, [middle, width]));
        }
        let around: Vec<u32> = around.into_iter().collect();
        let floor = Arc::new(Floor::new(self.solid, &around, u32::try_from(below).ok()?)?);
        let windows = sides
            .iter()
            .filter_map(|(here, away, start, across)| self.windows(&floor, here, *away, *start, *across));
        let windows: Vec<Seat> = windows.flatten().collect();
        let (rule, wood) = self.glue(ply, mechanics);
        (!windows.is_empty()).then(|| Windowed::floor(k, Part::FloorJoint, floor, rule, wood, windows))
    }

    /// How the glue between the board and a ply of such wood gives way, and what it is held against: each wood's own rolling shear,
    /// and of tension across the grain the less.
    pub(super) fn glue(&self, ply: &Laid, mechanics: &Mechanics) -> (Rule, Mechanics) {
        let rolling = mechanics.rolling_shear / self.wood.rolling_shear;
        let tension_across = self.wood.tension_across.min(mechanics.tension_across);
        let rule = Rule::Glue { board: self.grain, ply: ply.grain, rolling };
        (rule, Mechanics { tension_across, ..self.wood.clone() })
    }

    /// Where the plane of a pocket's floor runs on through the board past the line at which the ply ends.
    fn past_the_end(&self, k: usize, ply: &Laid, candidate: &Candidate, chain: &[Edge]) -> Option<Windowed> {
        let mesh = &self.solid.body().mesh;
        let below = ply.layers.end.checked_sub(1)?;
        if ply.layers.end >= self.lay_up.layers.len() {
            return None;
        }
        let inside = |t: u32| ply.lies_in(mesh.zones[t as usize]);
        let wood = |t: u32, k: usize| self.solid.element_nodes(t as usize, k).is_some();
        let bare = |t: u32| mesh.zones[t as usize] == 0 && wood(t, below) && wood(t, below + 1);
        // The side of the line on which the ply does not lie.
        let left_inside = chain.iter().filter_map(|edge| edge.sides[0]).filter(|&t| inside(t)).count();
        let right_inside = chain.iter().filter_map(|edge| edge.sides[1]).filter(|&t| inside(t)).count();
        let beyond = if left_inside >= right_inside { -1.0 } else { 1.0 };
        let [from, to] = candidate.line;
        // A pocket still empty has no grain; it lies along the line's square then.
        let grain = if ply.wood.is_some() {
            ply.grain
        } else {
            direction((to - from).y.atan2((to - from).x) + std::f64::consts::FRAC_PI_2)
        };
        let away = if cross(to - from, grain) * beyond > 0.0 { grain } else { -grain };
        let ends = chain
            .iter()
            .filter(|edge| edge.sides.iter().flatten().any(|&t| inside(t)))
            .flat_map(|edge| [edge.nodes[0], edge.nodes[2]])
            .map(|n| in_axes(mesh.points[n as usize], away));
        let (mut low, mut high, mut start, mut count) = (f64::INFINITY, f64::NEG_INFINITY, 0.0, 0.0);
        for [s, c] in ends {
            (low, high) = (low.min(c), high.max(c));
            (start, count) = (start + s, count + 1.0);
        }
        if high - low < CROSSED * candidate.ligament {
            return None;
        }
        let (start, width, middle) = (start / count, high - low, f64::midpoint(low, high));
        let centre = |t: u32| {
            let [a, b, c] = mesh.corner_points(t as usize);
            in_axes((a + b + c) / 3.0, away)
        };
        let near = |t: u32| {
            let [s, c] = centre(t);
            s > start && s - start < LONGEST && (c - middle).abs() < (0.5 + BESIDE) * width
        };
        let here = self.hanging_on(chain, |t| bare(t) && near(t));
        let triangles: Vec<u32> = here.iter().copied().collect();
        let floor = Arc::new(Floor::new(self.solid, &triangles, u32::try_from(below).ok()?)?);
        // A window as long as a quarter of the thickness, or of the wood that is left.
        let reach = here.iter().map(|&t| centre(t)[0] - start).fold(0.0, f64::max);
        let thickness: f64 = self.lay_up.layers.iter().map(|layer| layer.height()).sum();
        let long = (WINDOW * thickness.min(reach)).min(SOFTENING);
        let wide = WINDOW * width;
        let mut windows = Vec::new();
        for (i, c) in (0u8..).zip([low, middle - wide / 2.0, high - wide]) {
            let asked = floor.mean(self.solid, &rectangle(away, [start, start + long], [c, c + wide]));
            windows.extend(asked.map(|asked| Seat { place: [0, i], asked: turned(asked) }));
        }
        let rule = Rule::Glue { board: self.grain, ply: grain, rolling: 1.0 };
        Some(Windowed::floor(k, Part::FloorJoint, floor, rule, self.wood.clone(), windows))
    }

    /// Triangles with a property that hang together with a chain.
    fn hanging_on(&self, chain: &[Edge], has: impl Fn(u32) -> bool) -> BTreeSet<u32> {
        let mesh = &self.solid.body().mesh;
        let mut beside: Vec<Vec<u32>> = vec![Vec::new(); mesh.triangles.len()];
        for edge in mesh.edges() {
            if let [Some(a), Some(b)] = edge.sides {
                beside[a as usize].push(b);
                beside[b as usize].push(a);
            }
        }
        let mut stack: Vec<u32> =
            chain.iter().flat_map(|edge| edge.sides).flatten().filter(|&t| has(t)).collect();
        let mut found = BTreeSet::new();
        while let Some(t) = stack.pop() {
            if found.insert(t) {
                stack.extend(beside[t as usize].iter().copied().filter(|&t| has(t)));
            }
        }
        found
    }

    /// Nine windows on one side of a line, which starts at a length along `away` and is so wide about a middle.
    fn windows(
        &self,
        floor: &Floor,
        here: &BTreeSet<u32>,
        away: Point,
        start: f64,
        [middle, width]: [f64; 2],
    ) -> Option<Vec<Seat>> {
        let mesh = &self.solid.body().mesh;
        let corners = |t: u32| mesh.corner_points(t as usize).map(|p| in_axes(p, away));
        // Straight on from the line's middle, as far as the floor goes.
        let finish =
            here.iter().flat_map(|&t| corners(t)).map(|[s, _]| s).fold(start, f64::max).min(start + LONGEST);
        let length = finish - start;
        if length <= 0.0 {
            return None;
        }
        let long = (WINDOW * length).min(SOFTENING).max(SMALLEST.min(length));
        let mut seats = Vec::new();
        for (i, s) in (0u8..).zip([start, f64::midpoint(start, finish) - long / 2.0, finish - long]) {
            // How wide the floor is there.
            let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
            for &t in here {
                let corners = corners(t);
                let reaches = corners.iter().any(|[at, _]| *at > s + 0.1 * long)
                    && corners.iter().any(|[at, _]| *at < s + 0.9 * long);
                if reaches {
                    for [_, c] in corners {
                        low = low.min(c.max(middle - (0.5 + BESIDE) * width));
                        high = high.max(c.min(middle + (0.5 + BESIDE) * width));
                    }
                }
            }
            if high <= low {
                continue;
            }
            let wide = (WINDOW * (high - low)).max(SMALLEST.min(high - low));
            for (j, c) in (0u8..).zip([low, f64::midpoint(low, high) - wide / 2.0, high - wide]) {
                let asked = floor.mean(self.solid, &rectangle(away, [s, s + long], [c, c + wide]));
                seats.extend(asked.map(|asked| Seat { place: [i, j], asked: turned(asked) }));
            }
        }
        (!seats.is_empty()).then_some(seats)
    }
}

/// A rectangle by lengths along a direction and across it, anticlockwise.
pub(super) fn rectangle(along: Point, [s0, s1]: [f64; 2], [c0, c1]: [f64; 2]) -> [Point; 4] {
    let across = left(along);
    [(s0, c0), (s1, c0), (s1, c1), (s0, c1)].map(|(s, c)| along * s + across * c)
}

/// A floor's mean along x, y and z in the order of [`crate::strength::Traction`]: across the plane first.
pub(super) fn turned([x, y, z]: [crate::solid::Asked; 3]) -> [crate::solid::Asked; 3] {
    [z, x, y]
}
