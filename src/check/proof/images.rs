//! Places that are other places' images: a mended piece that is its own image, turned half round or mirrored along its grain or across it,
//! bears at one what it bears at the other.
//!
//! Wood is the same seen either way along its grain and either way across it (an orthotropic material; Forest Products Laboratory, Wood
//! Handbook FPL-GTR-282, chapter 5), so that of each such pair one is proved. What is let in has to be its own image too, and of all places
//! at once what is held. A piece is drawn as its own image up to what a drawing is read with; places, found on a skeleton, a little less well.

use std::collections::{BTreeMap, BTreeSet};

use geo::Centroid;

use crate::shape::plane::{Point, direction, distance, dot, nearest_on_segment, point};

use super::{
    super::{Case, Place, Ply, Push, PushKind, finding::Solved},
    Proof,
    jobs::{Job, touches},
};

/// Walls and what is let in are the same up to this, in mm: our own rule, a part in some hundreds of the narrowest web.
const SAME: f64 = 0.01;
/// Places, and lines drawn by a skeleton, are the same up to this, in mm: our own rule.
const NEARLY: f64 = 0.1;
/// Sizes and forces are the same up to this part: our own rule.
const ALIKE: f64 = 0.01;
/// Grains of plies are the same up to this, in degrees: our own rule.
const ALIKE_DEG: f64 = 0.1;
/// Pieces of more points are not compared: our own rule.
const MOST_POINTS: usize = 4000;

/// How a piece is brought onto itself.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Symmetry {
    centre: Point,
    /// The grain's direction, and whether what runs along it is turned round, and what runs across it.
    grain: Point,
    turns: [bool; 2],
}

/// Of each place that is another's image that place, and how it is brought onto the image.
pub(super) struct Images(BTreeMap<usize, (usize, Symmetry)>);

impl Symmetry {
    fn direction(&self, way: Point) -> Point {
        let across = point(-self.grain.y, self.grain.x);
        let [along, side] = [(self.grain, 0), (across, 1)]
            .map(|(axis, k)| dot(way, axis) * if self.turns[k] { -1.0 } else { 1.0 });
        self.grain * along + across * side
    }

    fn at(&self, p: Point) -> Point {
        self.centre + self.direction(p - self.centre)
    }

    fn is_mirror(&self) -> bool {
        self.turns[0] != self.turns[1]
    }

    fn brings(&self, line: &[Point; 2], onto: &[Point; 2]) -> bool {
        let [a, b] = line.map(|end| self.at(end));
        let near = |p: Point, q: Point| distance(p, q) <= NEARLY;
        (near(a, onto[0]) && near(b, onto[1])) || (near(a, onto[1]) && near(b, onto[0]))
    }

    /// Whether closed rings come to lie on themselves.
    fn keeps(&self, rings: &[&[Point]]) -> bool {
        let lies_on_wall = |p: Point| {
            let mut sides = rings.iter().flat_map(|ring| ring.iter().zip(&ring[1..]));
            sides.any(|(a, b)| distance(nearest_on_segment(p, *a, *b).0, p) <= SAME)
        };
        rings.iter().flat_map(|ring| *ring).all(|&p| lies_on_wall(self.at(p)))
    }

    fn keeps_plies(&self, plies: &[Ply]) -> bool {
        plies.iter().all(|ply| plies.iter().any(|other| self.brings_ply(ply, other)))
    }

    fn brings_ply(&self, ply: &Ply, onto: &Ply) -> bool {
        let grain = match (&ply.wood, &onto.wood) {
            (None, None) => true,
            (Some(one), Some(other)) => {
                let way = self.direction(direction(one.grain.as_rad()));
                let apart = (way.y.atan2(way.x).to_degrees() - other.grain.as_deg()).rem_euclid(180.0);
                apart.min(180.0 - apart) <= ALIKE_DEG && one.mechanics == other.mechanics
            }
            _ => false,
        };
        let outline = match (&ply.outline, &onto.outline) {
            (None, None) => true,
            (Some(one), Some(other)) => {
                let corners = &other.exterior().0;
                let near = |p: Point| corners.iter().any(|corner| distance(self.at(p), *corner) <= SAME);
                one.exterior().0.len() == corners.len() && one.exterior().0.iter().all(|&p| near(p))
            }
            _ => false,
        };
        grain && outline && ply.heights_mm == onto.heights_mm
    }

    /// Whether all that is held in a case comes to be all that is held in it.
    fn keeps_case(&self, job: &Job) -> bool {
        let lines = || job.fences.iter().map(|fence| &fence.line);
        lines().all(|line| lines().any(|other| self.brings(line, other)))
    }

    fn brings_place(&self, place: &Place, onto: &Place) -> bool {
        let near = |a: f64, b: f64| (a - b).abs() <= ALIKE * a.abs().max(b.abs());
        place.form == onto.form
            && distance(self.at(place.at), onto.at) <= NEARLY
            && near(place.width_mm, onto.width_mm)
            && near(place.span_mm, onto.span_mm)
            && near(place.face.closed_form_n, onto.face.closed_form_n)
            && near(place.side.closed_form_n, onto.side.closed_form_n)
    }

    /// What was found of a push, at its image.
    fn push(&self, found: &Push, image: &Push) -> Push {
        let solved = found.solved.as_ref().map(|solved| {
            let mut solved = Solved { pad_at: solved.pad_at.map(|at| self.at(at)), ..solved.clone() };
            if self.is_mirror() {
                // A plane seen in a mirror is seen from its other side.
                solved.traction.along = -solved.traction.along;
                solved.traction.through = -solved.traction.through;
            }
            solved
        });
        let turned = |deg: f64| {
            let way = self.direction(direction(deg.to_radians()));
            way.y.atan2(way.x).to_degrees()
        };
        Push {
            push_at: self.at(found.push_at),
            direction_deg: found.direction_deg.map(turned),
            break_line: found.break_line.iter().map(|line| line.map(|end| self.at(end))).collect(),
            solved,
            closed_form_n: image.closed_form_n,
            ..found.clone()
        }
    }
}

/// Originals lie on one side of the piece: of so many, that on which most others can be their images.
const SIDES: usize = 8;

impl Images {
    /// Among the chosen places of a mended piece; `jobs` are all cases of them.
    pub(super) fn among(proof: &Proof<'_>, chosen: &[usize], places: &[Place], jobs: &[Job]) -> Self {
        let symmetries = proof.symmetries(jobs);
        let brought = |k: usize, onto: usize| {
            let brings = |symmetry: &&Symmetry| symmetry.brings_place(&places[k], &places[onto]);
            (k != onto).then(|| symmetries.iter().find(brings)).flatten()
        };
        let mut pairs: Vec<(usize, usize, Symmetry)> = Vec::new();
        for &k in chosen.iter().filter(|_| !symmetries.is_empty()) {
            pairs.extend(chosen.iter().filter_map(|&onto| Some((k, onto, *brought(k, onto)?))));
        }
        let touched: BTreeMap<usize, BTreeSet<usize>> =
            chosen.iter().map(|&k| (k, proof.plies_touched(k, jobs))).collect();
        let from_side = |side: usize| {
            let way = direction(proof.grain.as_rad() + std::f64::consts::TAU * side as f64 / SIDES as f64);
            let outward = |k: usize| dot(places[k].at, way);
            let mut images = BTreeMap::new();
            for &(original, image, symmetry) in &pairs {
                let outermost = |other: usize| outward(original) > outward(other) + NEARLY;
                if pairs.iter().filter(|(from, ..)| *from == original).all(|(_, onto, _)| outermost(*onto)) {
                    images.insert(image, (original, symmetry));
                }
            }
            // The mesh is fine about the originals: what is let in there is not asked for other places' sake, nor elsewhere for theirs.
            loop {
                let asked: BTreeSet<usize> = touched
                    .iter()
                    .filter(|(k, _)| !images.contains_key(k))
                    .flat_map(|(_, plies)| plies)
                    .copied()
                    .collect();
                let count = images.len();
                images.retain(|image, _| touched[image].is_disjoint(&asked));
                if images.len() == count {
                    return images;
                }
            }
        };
        // Of equals the first.
        let most =
            (0..SIDES).map(from_side).reduce(|most, next| if next.len() > most.len() { next } else { most });
        Self(most.unwrap_or_default())
    }

    pub(super) fn is_image(&self, place: usize) -> bool {
        self.0.contains_key(&place)
    }

    /// The images of a place.
    pub(super) fn of(&self, place: usize) -> impl Iterator<Item = usize> + '_ {
        self.0.iter().filter(move |(_, (original, _))| *original == place).map(|(image, _)| *image)
    }

    /// Gives every image what was found of its original.
    pub(super) fn fill(&self, places: &mut [Place]) {
        for (&image, (original, symmetry)) in &self.0 {
            for kind in [PushKind::Face, PushKind::Side] {
                let found = places[*original].push(kind);
                if found.solved.is_some() {
                    *places[image].push_mut(kind) = symmetry.push(found, places[image].push(kind));
                }
            }
        }
    }
}

impl Proof<'_> {
    /// Which of what is let in the planes of a place meet, by their numbers.
    fn plies_touched(&self, place: usize, jobs: &[Job]) -> BTreeSet<usize> {
        let asked = jobs.iter().flat_map(|job| &job.asked).filter(|(k, _)| *k == place);
        let lines: Vec<[Point; 2]> = asked.flat_map(|(_, planes)| planes).map(|plane| plane.line).collect();
        let meets = |n: &usize| lines.iter().any(|line| touches(&self.plies[*n], line));
        (0..self.plies.len()).filter(meets).collect()
    }

    /// How a mended piece is its own image, with all that is let into it, and all that is held where all places are taken out at once.
    fn symmetries(&self, jobs: &[Job]) -> Vec<Symmetry> {
        let rings: Vec<&[Point]> = self.shape.rings().map(|ring| &ring.0[..]).collect();
        let few = rings.iter().map(|ring| ring.len()).sum::<usize>() <= MOST_POINTS;
        let centre = self.shape.polygon().centroid().filter(|_| few && !self.plies.is_empty());
        let Some(centre) = centre else { return Vec::new() };
        let grain = direction(self.grain.as_rad());
        let all = [[true, true], [false, true], [true, false]];
        let all = all.map(|turns| Symmetry { centre: centre.0, grain, turns });
        let holds = |symmetry: &Symmetry| {
            symmetry.keeps(&rings)
                && symmetry.keeps_plies(self.plies)
                && jobs.iter().filter(|job| job.case == Case::Carried).all(|job| symmetry.keeps_case(job))
        };
        all.into_iter().filter(holds).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        check::{Finding, Options, PlyWood, Pushes, check_mended},
        shape::Shape,
        strength::tests::cherry,
        units::{Angle, Length},
        wood::{Board, Rings},
    };
    use geo_types::{LineString, Polygon, Rect};

    /// A plate 160 by 60, the grain along it, with a web 10 wide between windows on either side; with a strip in the back of each web, if it has
    /// one; and one corner cut off by so much.
    fn plate(has_strips: bool, cut: f64) -> Finding {
        let ring = |x: [f64; 2], y: [f64; 2]| Rect::new((x[0], y[0]), (x[1], y[1])).to_polygon();
        let window = |x: [f64; 2]| ring(x, [15.0, 45.0]).into_inner().0;
        let windows = [[15.0, 40.0], [50.0, 75.0], [85.0, 110.0], [120.0, 145.0]].map(window).to_vec();
        let rim = vec![(cut, 0.0), (160.0, 0.0), (160.0, 60.0), (0.0, 60.0), (0.0, cut)];
        let shape = Shape::new(Polygon::new(LineString::from(rim), windows)).expect("a shape");
        let (thickness, grain) = (Length::mm(12.0), Angle::deg(0.0));
        let board = Board { thickness, grain, rings: Rings::Flat, moisture_pct: 12.0 };
        let wood = PlyWood { mechanics: cherry(), grain: Angle::deg(90.0) };
        let strip = |x: [f64; 2]| Ply {
            outline: Some(ring(x, [5.0, 55.0])),
            heights_mm: [0.0, 5.0],
            wood: Some(wood.clone()),
        };
        let strips = if has_strips { vec![strip([40.0, 50.0]), strip([110.0, 120.0])] } else { Vec::new() };
        let pushes = Pushes::default();
        check_mended("plate", &shape, &board, &cherry(), &pushes, &Options::default(), &strips)
            .expect("it has a skeleton")
    }

    /// The webs' pushes on the face and on a side, and where the face is pushed; the web further left first.
    fn webs(finding: &Finding) -> [([f64; 2], Point); 2] {
        let of = |x: f64| {
            let web = finding.places.iter().find(|place| distance(place.at, point(x, 30.0)) < 2.0);
            let web = web.unwrap_or_else(|| panic!("a place at {x}: {finding:?}"));
            ([web.face.breaks_at_n, web.side.breaks_at_n], web.face.push_at)
        };
        [of(45.0), of(115.0)]
    }

    #[test]
    fn what_a_mended_piece_bears_at_one_web_it_bears_at_its_image() {
        let [(left, at), (right, image_at)] = webs(&plate(true, 0.0));
        assert_eq!(left, right);
        let images = [point(160.0 - at.x, at.y), point(160.0 - at.x, 60.0 - at.y), at];
        assert!(images.iter().any(|image| distance(*image, image_at) < 1e-6), "{at:?} {image_at:?}");
    }

    /// A corner that is cut off leaves no image, so that both webs are solved; far from both it does nothing to them.
    #[test]
    fn an_image_bears_what_it_bears_when_it_is_solved() {
        let (alike, solved) = (webs(&plate(true, 0.0)), webs(&plate(true, 2.0)));
        assert_ne!(solved[0].0, solved[1].0);
        for ((alike, _), (solved, _)) in alike.iter().zip(&solved) {
            for (alike, solved) in alike.iter().zip(solved) {
                assert!((alike / solved - 1.0).abs() < 0.03, "{alike} {solved}");
            }
        }
    }

    #[test]
    fn a_mirror_keeps_lengths_and_what_lies_on_its_axis() {
        let symmetry = Symmetry { centre: point(3.0, 4.0), grain: direction(0.3), turns: [false, true] };
        let (p, q) = (point(7.0, 1.0), point(-2.0, 5.0));
        assert!((distance(symmetry.at(p), symmetry.at(q)) - distance(p, q)).abs() < 1e-12);
        let on_axis = symmetry.centre + direction(0.3) * 5.0;
        assert!(distance(symmetry.at(on_axis), on_axis) < 1e-12);
        assert!(distance(symmetry.at(symmetry.at(p)), p) < 1e-12);
    }
}
