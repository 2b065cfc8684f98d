//! Windows on the glue lines of a blank that is glued up of layers.
//!
//! A layer that is one with all of the piece ends nowhere, so that a line asks its glue at itself alone: what lies farther on
//! belongs to the lines there. On either side of the line, at its free ends or in its middle, peel and shear are asked over a window as
//! wide as those of the planes on it, and as long as a quarter of the wood that runs on from there. Each glue line is one
//! floor for all lines.

use std::sync::Arc;

use crate::{
    shape::plane::{Point, distance, left, unit},
    solid::{Body, Floor},
    wood::Mechanics,
};

use super::{
    super::ply::Part,
    floors::{LONGEST, SMALLEST, rectangle, turned},
    layup::{Laid, in_axes},
    planes::{Candidate, WINDOW},
    rule::Rule,
    windows::{Laying, Seat, Windowed},
};

/// How far the wood runs on is felt out in such steps, in mm.
const STEP: f64 = 0.5;

/// Glue all over the piece, under or over a layer that goes through it.
pub(super) struct GlueLine {
    floor: Arc<Floor>,
    rule: Rule,
    wood: Mechanics,
}

impl Laying<'_> {
    /// Every glue line of a blank that is glued up of layers.
    pub(super) fn glue_lines(&self) -> Vec<GlueLine> {
        let through = self.lay_up.plies.iter().filter(|ply| ply.is_layer());
        through
            .flat_map(|ply| self.interfaces(ply).into_iter().map(move |below| (ply, below)))
            .filter_map(|(ply, below)| self.glue_line(ply, below))
            .collect()
    }

    fn glue_line(&self, ply: &Laid, below: usize) -> Option<GlueLine> {
        let (_, mechanics) = ply.wood?;
        let wood = |t: u32, k: usize| self.solid.element_nodes(t as usize, k).is_some();
        let count = u32::try_from(self.solid.body().mesh.triangles.len()).ok()?;
        let glued: Vec<u32> = (0..count).filter(|&t| wood(t, below) && wood(t, below + 1)).collect();
        let floor = Floor::new(self.solid, &glued, u32::try_from(below).ok()?)?;
        let (rule, wood) = self.glue(ply, mechanics);
        Some(GlueLine { floor: Arc::new(floor), rule, wood })
    }
}

impl GlueLine {
    /// Its windows beside a line.
    pub(super) fn beside(&self, laying: &Laying, k: usize, candidate: &Candidate) -> Option<Windowed> {
        let [from, to] = candidate.line;
        let (way, length) = (unit(to - from), distance(from, to));
        let wide = candidate.window().max(SMALLEST).min(length);
        let starts = [0.0, (length - wide) / 2.0, length - wide];
        let mut windows = Vec::new();
        for (side, away) in [(0u8, left(way)), (2, -left(way))] {
            let bonded = runs_on(laying.solid.body(), from + way * (length / 2.0), away);
            let long = (WINDOW * bonded).max(SMALLEST);
            let [at, _] = in_axes(from, away);
            let across = |start: f64| in_axes(from + way * start, away)[1];
            for (j, start) in (0u8..).zip(starts).filter(|(j, _)| candidate.at(*j)) {
                let [one, other] = [across(start), across(start + wide)];
                let window = rectangle(away, [at, at + long], [one.min(other), one.max(other)]);
                let asked = self.floor.mean(laying.solid, &window);
                windows.extend(asked.map(|asked| Seat { place: [side, j], asked: turned(asked) }));
            }
        }
        let floor = Arc::clone(&self.floor);
        (!windows.is_empty())
            .then(|| Windowed::floor(k, Part::GlueLine, floor, self.rule, self.wood.clone(), windows))
    }
}

/// How far the wood runs straight on from a point, as far as that counts.
fn runs_on(body: &Body, from: Point, away: Point) -> f64 {
    let steps = (1..).map(|k| STEP * f64::from(k)).take_while(|&far| far <= LONGEST);
    steps.take_while(|&far| body.mesh.spot(from + away * far).is_some()).last().unwrap_or(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        check::{Ply, PlyWood, proof::planes::of_tongue},
        shape::plane::{direction, point},
        solid::{Elastic, Face, Held, Load, Solid, grid},
        strength::tests::cherry,
        units::Angle,
    };

    use super::super::layup::LayUp;

    /// A bar along y, its board 12 thick with the grain across it and a backer 6 thick along it, clamped at one end and pushed on the face
    /// at the other. Through the glue, in the middle of its length, goes the pull of the board above: a force V·S/(E·I) for each mm of
    /// length, S the board's `∫E·z dA` about the common axis. (Shear flow of a layered beam, any handbook of mechanics of
    /// materials.) The three windows across the bar are averaged by Simpson's rule → 3 %.
    #[test]
    fn the_glue_of_a_bent_bar_is_sheared_as_its_shear_flow_says() {
        const WIDTH: f64 = 8.0;
        const LENGTH: f64 = 90.0;
        let (board, backer) = (12.0, 6.0);
        let wood = cherry();
        let plies = [Ply {
            outline: None,
            heights_mm: [-backer, 0.0],
            wood: Some(PlyWood { mechanics: wood.clone(), grain: Angle::deg(90.0) }),
        }];
        let lay_up = LayUp::new(board, &plies, |_| true, 2, 2);
        let mesh = grid(point(0.0, 0.0), point(WIDTH, LENGTH), 6, 45);
        let body = lay_up.body(mesh, Elastic::of(&wood).unwrap().stiffness(0.0)).unwrap();
        let solid = Solid::new(body).unwrap();
        let all: Vec<u32> = (0..solid.body().mesh.triangles.len() as u32).collect();
        let tip = [point(0.0, 84.0), point(WIDTH, 84.0), point(WIDTH, 90.0), point(0.0, 90.0)];
        let (load, ..) = Load::pressure(&solid, &tip, &all, Face::Show).unwrap();
        let held = Held::new(&solid, |at, _| at[1] < 1e-9);
        let moved = solid.factor(&held).unwrap().solve(&[load.forces(&solid)]).remove(0);
        let laying = Laying {
            solid: &solid,
            lay_up: &lay_up,
            wood: &wood,
            grain: direction(0.0),
            asks_all: true,
            opened: false,
        };
        let line = [point(0.0, 45.0), point(WIDTH, 45.0)];
        let line = Candidate { peaks: false, ..of_tongue(line, point(0.0, 90.0)) };
        let glue = laying.glue_lines();
        assert_eq!(glue.len(), 1, "one backer has one glue line");
        let asked = glue[0].beside(&laying, 0, &line).unwrap();
        let shear = |side: u8| {
            let of = |spot: u8| {
                let seat = asked.windows.iter().find(|seat| seat.place == [side, spot]).unwrap();
                seat.asked[2].value(&moved, &load)
            };
            (of(0) + 4.0 * of(1) + of(2)) / 6.0
        };
        let found = f64::midpoint(shear(0).abs(), shear(2).abs());

        let (stiff, soft) = (wood.young_along, wood.young_in_plane);
        let axis = (stiff * backer * backer / 2.0 + soft * board * (backer + board / 2.0))
            / (stiff * backer + soft * board);
        let about = |e: f64, low: f64, high: f64| e * ((high - axis).powi(3) - (low - axis).powi(3)) / 3.0;
        let stiffness = about(stiff, 0.0, backer) + about(soft, backer, backer + board);
        let moment = soft * board * (backer + board / 2.0 - axis);
        let flow = moment / stiffness / WIDTH;
        assert!((found / flow - 1.0).abs() < 0.03, "{found} for {flow} MPa");
    }
}
