//! The whole judgement: a shape and its board in, weak places with forces and risks out.
//!
//! The skeleton is cut into stretches across the grain and along it; the piece is taken apart at them; every push
//! that may act is tried on each, with all that may be held; the least that breaks it is reported. Numbers are the closed
//! form's: [`strength`](crate::strength) on straight sections, forces by the statics of `frame`.
//!
//! [`solid`](crate::solid) then proves the weakest places (`proof`): its numbers take the place of the closed form's, which stay
//! beside them.

mod carried;
mod finding;
mod frame;
mod groups;
mod insert;
mod judge;
mod load;
mod moved;
mod network;
mod options;
mod pad;
mod places;
mod ply;
mod prepared;
mod proof;
mod push_map;
mod region;
mod remark;
mod statics;
mod sweep;
mod swept;
pub(crate) mod words;

#[cfg(test)]
mod tests;

pub use crate::strength::{Mode, Working, WorkingLine};
pub use finding::{
    AfterCrack, Case, ClosedForm, Family, Finding, Forces, Form, Place, Push, PushKind, Solved, Verdict, Why,
};
pub use insert::{Insert, InsertRemark, InsertSide, NoInsert};
pub use load::{LEAST_WIDTH, PAD_RADIUS, WALL_LENGTH};
pub use options::{Options, Pushes};
pub use ply::{Part, Ply, PlyWood};
pub use prepared::Prepared;
pub use push_map::{PushMap, PushPoint};
pub use remark::{PieceRemark, PlaceRemark};
pub use sweep::{GrainCut, grain_cuts};

use geo::BoundingRect;

use crate::{
    section::{Crossing, Stretch, stretches},
    shape::{
        Shape,
        plane::{Point, distance},
    },
    skeleton::{MeshError, Skeleton},
    strength::{FRAGILE_RISK, SHEAR_WINDOW, SOUND_RISK, any_breaks},
    units::Length,
    wood::{Board, Mechanics},
};

use judge::judge;
use network::Network;
use places::{Judge, Run};
use prepared::Mended;
use proof::{Origin, Proof};

pub(crate) use prepared::Terms;
pub(crate) use proof::Known;

/// A stretch shorter than this part of its neck is a place only when it breaks easily.
const SHORT: f64 = 0.5;
/// Along the grain one shorter than this many times its neck is none, but for a hair.
const LONG: f64 = 1.99;
/// It breaks easily when it needs less than this many times the stated push.
pub(crate) const EASY: f64 = 6.0;
/// Where wood is thinner than this anywhere, in mm, the closed form's numbers stand alone: no bit leaves such a thread, and a
/// mesh that follows it has no end.
const THREAD: f64 = 0.05;

/// Finds the weak places of one piece and judges each.
///
/// # Errors
///
/// [`MeshError`] when the shape's rings touch or cross.
pub fn check(
    name: &str,
    shape: &Shape,
    board: &Board,
    wood: &Mechanics,
    pushes: &Pushes,
    options: &Options,
) -> Result<Finding, MeshError> {
    check_mended(name, shape, board, wood, pushes, options, &[])
}

/// The same with plies let into the piece or glued behind it: inserts, pockets still empty, backers.
///
/// The closed form's numbers are those of the bare board; the solid model's are those of the piece as it is.
///
/// # Errors
///
/// As [`check`].
pub fn check_mended(
    name: &str,
    shape: &Shape,
    board: &Board,
    wood: &Mechanics,
    pushes: &Pushes,
    options: &Options,
    plies: &[Ply],
) -> Result<Finding, MeshError> {
    Ok(Prepared::new(shape)?.check_mended(name, board, wood, pushes, options, plies))
}

/// The whole judgement of a piece whose skeleton is known.
fn found((shape, skeleton): (&Shape, &Skeleton), terms: &Terms<'_>, mended: &Mended<'_>) -> Finding {
    let Terms { name, board, wood, pushes, options } = *terms;
    let board = &Board { grain: board.grain.of_grain(), ..*board };
    let crossing = Crossing { beyond: options.crossing, hysteresis: options.hysteresis };
    let mut stretches = stretches(skeleton, board.grain, &crossing);
    let sheared = options.stubs.filter(|stubs| stubs.as_mm() < board.thickness.as_mm());
    stretches.retain(|stretch| counts(stretch, sheared.unwrap_or(board.thickness), wood, pushes));
    let network = Network::new(skeleton, &stretches);
    let judged = judge(&network, &stretches, board.thickness.as_mm(), wood);

    let judge = Judge { board, wood, pushes, area: shape.area() };
    let of_stretch = |(s, (stretch, judged))| {
        judge.place(stretch, judged).map(|place| (place, (Run::of(stretch), Origin::Stretch(s))))
    };
    let found = stretches.iter().zip(&judged).enumerate().filter_map(of_stretch);
    let (mut places, (runs, mut origins)): (Vec<Place>, (Vec<Run>, Vec<Origin>)) = found.unzip();
    let spacing = options.sweep.unwrap_or_else(|| Length::mm(sweep::usual_spacing(shape)));
    let cuts = grain_cuts(shape, board.grain, board.thickness, wood, spacing);
    judge.cut_short(&mut places, &runs, &cuts);
    let tongues = judge.missed(&places, &runs, &cuts);
    origins.extend(tongues.iter().map(Origin::of_tongue));
    places.extend(tongues);
    let mut push_map = None;
    let mut left_out = Vec::new();
    let thread = options.solid && thinnest(skeleton) < THREAD;
    if options.solid && !thread {
        let (grain, thickness) = (board.grain, board.thickness.as_mm());
        let proof = Proof {
            shape,
            skeleton,
            network: &network,
            stretches: &stretches,
            judged: &judged,
            runs: &runs,
            grain,
            thickness,
            wood,
            pushes,
            plies: mended.plies,
            mended: !mended.plies.is_empty(),
            known: mended.known,
            cracks: mended.cracks,
            unknowns: options.unknowns,
            map: options.map,
        };
        let closed_form = places.clone();
        let (remarks, worth) = proof.prove(&closed_form, &mut places, &origins);
        left_out = remarks;
        push_map = options.push_map.then(|| proof.push_map(&closed_form, &places, &origins, &worth));
        places.iter_mut().for_each(|place| place.verdict = place.worst_verdict());
        if let Some(map) = &mut push_map {
            map.take_in(&places, EASY * pushes.face.as_n());
            left_out.extend(map.told(options.map));
        }
    }
    let numbers = rank(&mut places, pushes);
    if let Some(map) = &mut push_map {
        map.number(&numbers);
    }
    let nothing = places.is_empty().then_some(PieceRemark::NoPlace);
    let hair = hair(skeleton, &places);
    let thread = thread.then_some(PieceRemark::Thread);
    let bounds = shape.polygon().bounding_rect();
    let bounds = bounds.map_or([0.0; 4], |b| [b.min().x, b.min().y, b.max().x, b.max().y]);
    let (verdict, any_breaks) = together(&places);
    Finding {
        name: name.to_owned(),
        bounds_mm: bounds,
        area_mm2: shape.area(),
        openings: shape.polygon().interiors().len(),
        verdict,
        any_breaks,
        remarks: nothing.into_iter().chain(hair).chain(thread).chain(left_out).collect(),
        places,
        push_map,
    }
}

/// Sets places in order, the weakest first, and numbers them; gives the number of each place where it stood before.
fn rank(places: &mut [Place], pushes: &Pushes) -> Vec<usize> {
    places.iter_mut().enumerate().for_each(|(stood, place)| place.id = stood);
    places.sort_by(|a, b| {
        let worst = |p: &Place| p.face.risk.max(p.side.risk);
        worst(b)
            .total_cmp(&worst(a))
            .then(a.over(pushes).total_cmp(&b.over(pushes)))
            .then(a.at.x.total_cmp(&b.at.x))
            .then(a.at.y.total_cmp(&b.at.y))
    });
    let mut numbers = vec![0; places.len()];
    for (i, place) in places.iter_mut().enumerate() {
        numbers[place.id] = i + 1;
        place.id = i + 1;
    }
    numbers
}

/// The verdict of a whole piece, and the chance that any of its places breaks.
fn together(places: &[Place]) -> (Verdict, [f64; 2]) {
    let risks: Vec<f64> = places.iter().map(|p| p.face.risk.max(p.side.risk)).collect();
    (places.iter().map(|place| place.verdict).max().unwrap_or(Verdict::Sound), any_breaks(&risks))
}

/// A finding some of whose answers were put right from elsewhere, judged and ordered anew.
pub(crate) fn rejudged(mut finding: Finding, pushes: &Pushes) -> Finding {
    finding.places.iter_mut().for_each(|place| place.verdict = place.worst_verdict());
    rank(&mut finding.places, pushes);
    (finding.verdict, finding.any_breaks) = together(&finding.places);
    finding
}

/// The least thickness of wood anywhere, in mm.
fn thinnest(skeleton: &Skeleton) -> f64 {
    let links = skeleton.branches().iter().flat_map(|branch| &branch.links).filter(|link| link.kept);
    let chords = links.filter_map(|link| link.chord);
    chords.map(|chord| 2.0 * chord.radius).fold(f64::INFINITY, f64::min)
}

/// Says where wood is too thin to be judged and is no listed place's.
fn hair(skeleton: &Skeleton, places: &[Place]) -> Option<PieceRemark> {
    let links = skeleton.branches().iter().flat_map(|branch| &branch.links).filter(|link| link.kept);
    let thin = links.filter_map(|link| link.chord).filter(|chord| 2.0 * chord.radius < LEAST_WIDTH);
    // Most places lie far from most thin wood: a box about each tells that at once.
    let boxed = |place: &Place| {
        let all = [f64::INFINITY, f64::INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY];
        let [x0, y0, x1, y1] = place
            .run
            .iter()
            .fold(all, |[x0, y0, x1, y1], p| [x0.min(p.x), y0.min(p.y), x1.max(p.x), y1.max(p.y)]);
        let reach = LEAST_WIDTH + place.neck_mm;
        ([x0 - reach, y0 - reach, x1 + reach, y1 + reach], reach)
    };
    let boxes: Vec<([f64; 4], f64)> = places.iter().map(boxed).collect();
    let listed = |at: Point| {
        places.iter().zip(&boxes).any(|(place, ([x0, y0, x1, y1], reach))| {
            (*x0..=*x1).contains(&at.x)
                && (*y0..=*y1).contains(&at.y)
                && place.run.iter().any(|&p| distance(p, at) < *reach)
        })
    };
    let chord = thin.filter(|chord| !listed(chord.centre)).min_by(|a, b| a.radius.total_cmp(&b.radius))?;
    Some(PieceRemark::Hair { at: chord.centre, width_mm: 2.0 * chord.radius })
}

/// Whether a stretch counts as slender: half as long as wide, or so narrow that it shears off easily as
/// the stub it is. Along the grain it is long, or a hair.
fn counts(stretch: &Stretch, thickness: Length, wood: &Mechanics, pushes: &Pushes) -> bool {
    let stub = stretch.neck * thickness.as_mm() * wood.rolling_shear / SHEAR_WINDOW;
    if !stretch.crosses {
        return stretch.span() >= LONG * stretch.neck || stretch.neck < LEAST_WIDTH;
    }
    stretch.span() >= SHORT * stretch.neck || stub < EASY * pushes.face.as_n()
}

/// The verdict for a risk.
pub fn verdict(risk: f64) -> Verdict {
    if risk < SOUND_RISK {
        Verdict::Sound
    } else if risk <= FRAGILE_RISK {
        Verdict::Careful
    } else {
        Verdict::Fragile
    }
}
