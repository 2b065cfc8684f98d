//! From a plan to its mesh.

use std::{collections::BTreeMap, f64::consts::FRAC_PI_3};

use crate::{
    shape::plane::{Point, cross, dot},
    solid::plan::Plan,
};

use super::{
    Mesh, MeshFault,
    division::{Division, divided},
    network::Network,
    refine::{PieceEnds, Refinement},
    rings::coarsened,
    wood::{NONE, Triangle, triangles},
};

impl Mesh {
    /// Cuts a plan's wood into triangles.
    ///
    /// Rings, lines and zones all become sides. Sides are about as long as [`Plan::size`] asks for, none longer than
    /// 1.35 times that; no angle is under 25° except where the plan's own lines meet at less (see
    /// [`Mesh::narrow_corners`]). The same plan gives the same mesh, number by number.
    ///
    /// Points of a ring its shape does not need are left out: those off the ring that remains by less than
    /// a hundredth of the wanted size and 0.02 mm. Points of rings, lines and zones nearer to each other than a
    /// twentieth of the wanted size (and 0.1 mm) become one, so that a line a hair beside a corner or another line makes
    /// no slivers; rings stay where they are, lines and zones give way ([`Mesh::line`]).
    ///
    /// # Errors
    ///
    /// A [`MeshFault`] says what is wrong with the plan and where: a number that is none, a size that is not
    /// above zero, too many zones, walls that cross or touch, no wood, or sizes that need too many triangles.
    ///
    /// # Example
    ///
    /// ```
    /// use shortgrain::{shape::plane::point, solid::{Mesh, Plan}};
    ///
    /// let bar = vec![point(0.0, 0.0), point(60.0, 0.0), point(60.0, 8.0), point(0.0, 8.0)];
    /// let plan = Plan {
    ///     rings: vec![bar],
    ///     lines: vec![[point(20.0, -5.0), point(20.0, 15.0)]],
    ///     zones: Vec::new(),
    ///     size: &|_| 2.0,
    /// };
    /// let mesh = Mesh::generate(&plan)?;
    /// let line = mesh.line(0);
    /// assert_eq!(line.len(), 1, "one stretch runs through the wood");
    /// assert_eq!(line[0].len(), 4, "8 mm in sides of 2 mm");
    /// # Ok::<(), shortgrain::solid::MeshFault>(())
    /// ```
    pub fn generate(plan: &Plan) -> Result<Self, MeshFault> {
        check(plan)?;
        let thinned = coarsened(plan);
        // Two walls a hair apart may cross when thinned; as drawn they do not.
        let network = Network::new(plan, &thinned).or_else(|fault| match fault {
            MeshFault::WallsMeet { .. } => Network::new(plan, &plan.rings),
            other => Err(other),
        })?;
        let division = divided(&network, plan.size);
        let triangles = triangles(&network, &division)?;
        if triangles.is_empty() {
            return Err(MeshFault::NoWood);
        }
        let narrow = narrow_corners(&division.points, network.points.len(), &triangles);
        let Division { points, sizes, chains, narrow: narrow_ends } = division;
        let pieces = network
            .pieces
            .keys()
            .zip(narrow_ends)
            .map(|(&ends, narrow)| PieceEnds { ends, narrow })
            .collect();
        let mut refinement = Refinement::new(points, sizes, &chains, pieces, triangles, plan.size);
        refinement.run()?;
        let mesh = assembled(&network, &chains, &refinement, narrow);
        #[cfg(test)]
        assert_eq!(mesh.faults_against(plan), [], "a mesh keeps what it promises");
        Ok(mesh)
    }
}

fn check(plan: &Plan) -> Result<(), MeshFault> {
    if plan.zones.len() > 32 {
        return Err(MeshFault::TooManyZones { found: plan.zones.len() });
    }
    let points =
        plan.rings.iter().flatten().chain(plan.lines.iter().flatten()).chain(plan.zones.iter().flatten());
    for &at in points {
        if !(at.x.is_finite() && at.y.is_finite()) {
            return Err(MeshFault::NotFinite);
        }
        let found = (plan.size)(at);
        if !(found.is_finite() && found > 0.0) {
            return Err(MeshFault::Size { at, found });
        }
    }
    Ok(())
}

/// The plan's corners at which pieces with wood between them meet at less than 60°.
fn narrow_corners(points: &[Point], corners: usize, triangles: &[Triangle]) -> Vec<(Point, f64)> {
    let mut found = BTreeMap::new();
    for (start, first) in triangles.iter().enumerate() {
        for i in 0..3 {
            // From a piece anticlockwise about the corner to the next.
            let about = first.corners[i];
            if about as usize >= corners || first.piece[i] == NONE {
                continue;
            }
            let (mut t, mut side, mut angle) = (start, i, 0.0);
            loop {
                let corner = |i: usize| points[triangles[t].corners[i % 3] as usize];
                let (to, back) = (corner(side + 1) - corner(side), corner(side + 2) - corner(side));
                angle += libm::atan2(cross(to, back), dot(to, back));
                let last = (side + 2) % 3;
                let next = triangles[t].beyond[last];
                if angle >= FRAC_PI_3 || triangles[t].piece[last] != NONE || next == NONE {
                    break;
                }
                t = next as usize;
                side = (0..3).find(|&i| triangles[t].corners[i] == about).unwrap_or(0);
            }
            if angle < FRAC_PI_3 - 1e-9 {
                let least = found.entry(about).or_insert(angle);
                *least = angle.min(*least);
            }
        }
    }
    found.into_iter().map(|(corner, angle)| (points[corner as usize], angle)).collect()
}

/// The mesh of what was refined: corners no triangle uses are left out.
fn assembled(
    network: &Network,
    chains: &[Vec<u32>],
    refinement: &Refinement<'_>,
    narrow: Vec<(Point, f64)>,
) -> Mesh {
    let mut number = vec![NONE; refinement.points.len()];
    let mut in_wood = vec![false; chains.len()];
    for triangle in &refinement.triangles {
        for i in 0..3 {
            number[triangle.corners[i] as usize] = 0;
            if triangle.piece[i] != NONE {
                in_wood[triangle.piece[i] as usize] = true;
            }
        }
    }
    let mut corners = Vec::new();
    for (number, &p) in number.iter_mut().zip(&refinement.points) {
        if *number == 0 {
            *number = corners.len() as u32;
            corners.push(p);
        }
    }
    let triangles: Vec<[u32; 3]> = refinement
        .triangles
        .iter()
        .map(|triangle| triangle.corners.map(|corner| number[corner as usize]))
        .collect();
    let zones = refinement.triangles.iter().map(|triangle| triangle.zones).collect();
    let mut mesh = Mesh::new(corners, &triangles, zones);

    let place: BTreeMap<[u32; 2], usize> = network.pieces.keys().copied().zip(0..).collect();
    // A piece's corners from one end to the other, without the last; none if it runs out of the wood.
    let run = |from: u32, to: u32| {
        let piece = place[&[from.min(to), from.max(to)]];
        in_wood[piece].then(|| {
            let mut all = vec![chains[piece][0]];
            for ends in chains[piece].windows(2) {
                halves(&refinement.halved, ends[0], ends[1], &mut all);
            }
            if from > to {
                all.reverse();
            }
            all.iter().map(|&corner| number[corner as usize]).collect::<Vec<u32>>()
        })
    };
    mesh.rings = network
        .rings
        .iter()
        .map(|ring| {
            let mut all = Vec::new();
            for (i, &from) in ring.iter().enumerate() {
                let part = run(from, ring[(i + 1) % ring.len()]).unwrap_or_default();
                all.extend_from_slice(part.split_last().map_or(&[], |(_, part)| part));
            }
            all
        })
        .collect();
    mesh.lines = network
        .lines
        .iter()
        .map(|line| {
            let mut stretches: Vec<Vec<u32>> = Vec::new();
            let mut goes_on = false;
            for ends in line.windows(2) {
                let Some(part) = run(ends[0], ends[1]) else {
                    goes_on = false;
                    continue;
                };
                match stretches.last_mut() {
                    Some(stretch) if goes_on => stretch.extend_from_slice(&part[1..]),
                    _ => stretches.push(part),
                }
                goes_on = true;
            }
            stretches
        })
        .collect();
    mesh.narrow = narrow;
    mesh
}

/// Adds the corners after `from` up to `to` on a side that may have been halved.
fn halves(halved: &BTreeMap<[u32; 2], u32>, from: u32, to: u32, all: &mut Vec<u32>) {
    match halved.get(&[from.min(to), from.max(to)]) {
        Some(&middle) => {
            halves(halved, from, middle, all);
            halves(halved, middle, to, all);
        }
        None => all.push(to),
    }
}
