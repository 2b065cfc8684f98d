//! A backer over part of the piece: boards glued on the back about the weak places alone, no pocket cut for them.
//!
//! Each runs along its place and past its ends into the held wood, as an insert does, but lies on the back instead of in it: the whole board
//! stays in front, and what is pierced is pierced through both. Boards that would meet are cut short of each other (`apart.rs`): the longer a
//! joint across the grain, the more a year pulls at it. Only where such boards fall short or have no room are those that lie over each other
//! one. All are planed to one thickness. The closed form ([`backed`](super::mended::backed)) sizes them, with the least wood that will do; the solid model proves them:
//! the board bare again just past their ends, and the glue that peels there, too.

use geo::{BooleanOps, BoundingRect, Distance, Euclidean, Intersects, Rotate};
use geo_types::{Coord, Polygon, point};

use crate::check::{Finding, Insert, Part, Place, PushKind, rejudged};

use super::apart::{Share, shares};
use super::glued::Cracks;
use super::mended::Doubts;
use super::mending::MendOptions;
use super::patient::{TO_SPARE, Ward};
use super::remark::Remark;
use super::remedy::{Change, Kind, Refusal, Remedy, Standing, Strip};
use super::request::{InsertRequest, Whole};
use super::site::{Fit, Site, Trial};
use super::strips::ALIKE_DEG;

/// Boards are from this part of the piece's thickness, in mm at least this, to as thick as the piece, as a whole backer is: our own rule.
const LEAST: f64 = 0.25;
const LEAST_MM: f64 = 2.0;
/// Widths tried, in widths of the place, and reaches, in mm: our own rule.
const WIDTHS: [f64; 6] = [1.0, 1.25, 1.5, 2.0, 2.5, 3.0];
const REACHES: [f64; 9] = [6.0, 8.0, 10.0, 12.5, 15.0, 20.0, 25.0, 30.0, 40.0];
/// A board reaches at least so many times its thickness past its place: it takes nothing from the wood in front of it, so that a short one does not
/// weaken that as a short insert does. Our own rule.
const LEAST_REACH: f64 = 1.0;
/// What each part is taken to lack before a solid model has answered, times what the closed form says: our own solid models found glue to
/// peel up to twice as hard as its formula.
const DOUBTS: [[f64; 4]; 2] = [[1.0, 2.0, 1.0, 1.2], [1.0, 1.0, 1.0, 1.2]];
/// So many sets of boards are proved at the most.
const TRIES: usize = 3;
/// One long board has to leave a piece so many times less short of its goal than boards cut short of each other: our own rule.
const LONGER_HELPS: f64 = 1.02;
/// Lengths that differ by less are one, in mm.
const HAIR: f64 = 1e-6;
/// Why there is none.
const NONE_HELPS: &str = "no board that fits behind a weak place makes it stronger";

/// A place that wants a board, with every board that has room behind it.
struct Room<'a> {
    place: &'a Place,
    site: Site<'a>,
    fits: Vec<Fit>,
    /// With a board glued no wider than the place, and with a wider one.
    doubts: [Doubts; 2],
}

/// The boards chosen, one a room, and how thick they are.
struct Sized {
    trials: Vec<Trial>,
    lacks: f64,
    wood: f64,
}

/// What is found with boards behind the piece: by the solid model, and once what the glue lets go is left to the bare board.
struct Found {
    strips: Vec<Strip>,
    solved: Finding,
    after: Finding,
    glue_first: Vec<usize>,
    lacking: f64,
}

impl Ward<'_> {
    /// Boards behind the weak places, as little wood as will do.
    pub(super) fn part_backer(&self, options: &MendOptions) -> Result<Remedy, Refusal> {
        let whole = Whole::of(&self.patient, options.rim.as_mm());
        let wanting: Vec<&Place> = self.wanting().collect();
        let requests: Vec<(&Place, InsertRequest<'_>)> =
            wanting.iter().filter_map(|&place| Some((place, whole.request(place)?))).collect();
        let mut why = NONE_HELPS.to_owned();
        let mut rooms = Vec::new();
        for (place, request) in &requests {
            match Room::new(place, request) {
                Ok(room) => rooms.push(room),
                Err(none) => why = none,
            }
        }
        if rooms.is_empty() {
            return Err(Refusal::untried(why));
        }
        let shares = shares(&rooms.iter().map(|room| &room.site).collect::<Vec<_>>());
        let meet = shares.iter().any(|share| *share != Share::ALL);
        rooms.iter_mut().zip(shares).for_each(|(room, share)| room.keep_to(share));
        let mut tried: Vec<Vec<Strip>> = Vec::new();
        let rim = options.rim.as_mm();
        let mut best = self.boards_found(&mut rooms, TRIES, rim, &mut tried);
        if meet && best.as_ref().is_none_or(|best| best.lacking > 1.0) {
            rooms.iter_mut().for_each(|room| room.keep_to(Share::ALL));
            let long = self.boards_found(&mut rooms, 1, rim, &mut tried);
            best = match (best, long) {
                (Some(apart), Some(long)) if long.lacking * LONGER_HELPS > apart.lacking => Some(apart),
                (apart, long) => long.or(apart),
            };
        }
        let Some(found) = best else {
            let first = tried.into_iter().next().ok_or_else(|| Refusal::untried(why))?;
            return self.boards_estimated(first);
        };
        let found = self.without_idle(found);
        if found.strips.is_empty() {
            return Err(self.refusal(NONE_HELPS, &found.after));
        }
        let found = self.proved_boards(&found.strips, Cracks::Told).unwrap_or(found);
        let without: Vec<usize> = wanting
            .iter()
            .map(|place| place.id)
            .filter(|id| found.strips.iter().all(|strip| !strip.places.contains(id)))
            .collect();
        let change = Change::Backers(found.strips);
        let mut remedy = self.remedy(Kind::PartBacker, change, found.after, Standing::Proved);
        remedy.remarks.push(Remark::LayersProved);
        if !found.glue_first.is_empty() {
            remedy.remarks.push(Remark::GlueFirst { places: found.glue_first });
        }
        if !without.is_empty() {
            remedy.remarks.push(Remark::NoStrip { places: without });
        }
        Ok(remedy)
    }

    /// The best of so many sets of boards, each sized by what was proved of those before it; those that were tried already are not proved again.
    fn boards_found(
        &self,
        rooms: &mut [Room<'_>],
        tries: usize,
        rim: f64,
        tried: &mut Vec<Vec<Strip>>,
    ) -> Option<Found> {
        let mut best: Option<Found> = None;
        for _ in 0..tries {
            let Some(sized) = self.boards_sized(rooms) else { break };
            let strips = self.boards(rooms, &sized, rim);
            if tried.contains(&strips) {
                break;
            }
            tried.push(strips.clone());
            let Some(found) = self.proved_boards(&strips, Cracks::Untold) else { break };
            for (room, trial) in rooms.iter_mut().zip(&sized.trials) {
                room.learn(trial, &found.solved);
            }
            let lacking = found.lacking;
            if best.as_ref().is_none_or(|best| lacking < best.lacking) {
                best = Some(found);
            }
            if lacking <= 1.0 {
                break;
            }
        }
        best
    }

    /// The thickness at which boards behind all the rooms reach the goal with the least wood, each as small as will do; or else that at
    /// which the worst lacks least.
    fn boards_sized(&self, rooms: &[Room<'_>]) -> Option<Sized> {
        let thickness = self.patient.board.thickness.as_mm();
        let least = self.stock_size((LEAST * thickness).max(LEAST_MM).min(thickness));
        let step = self.stock_size(1e-3);
        let sizes = (0..).map(|k| least + step * f64::from(k));
        let sized = sizes.take_while(|size| *size <= thickness.max(least) + 1e-6).filter_map(|size| {
            let trials: Vec<Trial> = rooms.iter().map(|room| room.best(size)).collect::<Option<_>>()?;
            let lacks = rooms.iter().zip(&trials).map(|(room, trial)| room.lacks(trial)).fold(0.0, f64::max);
            Some(Sized { lacks, wood: trials.iter().map(Trial::wood).sum(), trials })
        });
        let better = |a: &Sized, b: &Sized| {
            a.lacks.max(1.0).total_cmp(&b.lacks.max(1.0)).then(a.wood.total_cmp(&b.wood))
        };
        sized.min_by(better)
    }

    /// The boards as they are cut and glued. Two that would lie over each other are one, about both, its grain across the board's unless both
    /// run alike; where that has no room inside the outline the place that lacks more has the board, and the other none.
    fn boards(&self, rooms: &[Room<'_>], sized: &Sized, rim: f64) -> Vec<Strip> {
        let piece = self.patient.shape.polygon();
        let across = (self.patient.board.grain.as_deg() + 90.0).rem_euclid(180.0);
        let of = |(room, trial): (&Room<'_>, &Trial)| Strip {
            places: vec![room.place.id],
            insert: Insert {
                show_face_mm: self.patient.board.thickness.as_mm(),
                remarks: Vec::new(),
                ..room.site.describe(trial)
            },
        };
        let mut strips: Vec<Strip> = rooms.iter().zip(&sized.trials).map(of).collect();
        let mut k = 1;
        while k < strips.len() {
            let over = |strip: &Strip| strip.insert.outline.intersects(&strips[k].insert.outline);
            let Some(other) = strips[..k].iter().position(over) else {
                k += 1;
                continue;
            };
            let second = strips.remove(k);
            if let Some(one) = about_both(&strips[other], &second, across, piece, rim) {
                // It may lie over one that either alone did not.
                strips.remove(other);
                strips.insert(other, one);
                k = 1;
            }
        }
        for strip in &mut strips {
            strip.insert.after_piercing = piece.intersection(&strip.insert.outline).0;
        }
        strips
    }

    /// What is found on the piece with boards behind it; nothing where some place that has one is not answered by the solid model.
    fn proved_boards(&self, strips: &[Strip], cracks: Cracks) -> Option<Found> {
        let solved = self.proved_with_backers(strips, cracks);
        let mut after = solved.clone();
        let is_solved = |place: &Place| place.face.solved.is_some() && place.side.solved.is_some();
        let all = strips.iter().all(|strip| {
            let served = self.served(strip, &after);
            served.len() == strip.places.len() && served.iter().all(|(_, now)| is_solved(&after.places[*now]))
        });
        if !all {
            return None;
        }
        // Once the glue has let go, what is left is the board, which bears what it did.
        let mut glue_first = Vec::new();
        for place in &mut after.places {
            let Some(bare) = self.before.places.iter().find(|bare| bare.at == place.at) else { continue };
            for kind in [PushKind::Face, PushKind::Side] {
                let (now, bare_push) = (place.push_mut(kind), bare.push(kind));
                let by_glue = now.solved.as_ref().is_some_and(|solved| solved.part == Part::FloorJoint);
                if by_glue && now.breaks_at_n < bare_push.breaks_at_n {
                    *now = bare_push.clone();
                    glue_first.push(bare.id);
                }
            }
        }
        glue_first.sort_unstable();
        glue_first.dedup();
        let after = rejudged(after, self.patient.pushes);
        let lacking = self.patient.goal.shortfall(&after, self.patient.pushes);
        Some(Found { strips: strips.to_vec(), solved, after, glue_first, lacking })
    }

    /// Without the boards that do nothing for their places.
    fn without_idle(&self, found: Found) -> Found {
        let pushes = self.patient.pushes;
        let helps = |strip: &Strip| {
            let served = self.served(strip, &found.after);
            served.iter().any(|(before, now)| found.after.places[*now].over(pushes) > before.over(pushes))
        };
        let kept: Vec<Strip> = found.strips.iter().filter(|strip| helps(strip)).cloned().collect();
        if kept.is_empty() || kept.len() == found.strips.len() {
            return Found { strips: kept, ..found };
        }
        self.proved_boards(&kept, Cracks::Untold)
            .filter(|fewer| fewer.lacking <= found.lacking)
            .unwrap_or(found)
    }

    /// The closed form's word for boards that no solid model could be solved with.
    fn boards_estimated(&self, mut strips: Vec<Strip>) -> Result<Remedy, Refusal> {
        let with_all = self.shortfall(&self.with_strips(&strips));
        strips.retain(|strip| strip.insert.after.iter().all(|side| side.gain >= 1.0));
        if strips.is_empty() {
            return Err(Refusal::lacking(NONE_HELPS, with_all, Standing::Estimate));
        }
        let mut after = self.with_strips(&strips);
        after.places.iter_mut().for_each(|place| place.insert = None);
        let mut remedy = self.remedy(Kind::PartBacker, Change::Backers(strips), after, Standing::Estimate);
        remedy.remarks.push(Remark::BackersEstimated);
        Ok(remedy)
    }
}

impl<'a> Room<'a> {
    fn new(place: &'a Place, request: &'a InsertRequest<'a>) -> Result<Self, String> {
        let site = Site::new(request).map_err(|none| none.to_string())?;
        let mut room = Self { place, site, fits: Vec::new(), doubts: [DOUBTS; 2] };
        room.keep_to(Share::ALL);
        if room.fits.is_empty() {
            return Err(format!(
                "no board has room that reaches {:.0} mm past the break line and stays {:.0} mm inside the outline",
                REACHES[0], request.rim
            ));
        }
        Ok(room)
    }

    /// Leaves the boards that keep to a share of the back.
    fn keep_to(&mut self, share: Share) {
        let site = &self.site;
        let core = site.core();
        let width = |times: f64| (times * site.width + site.bow).min(share.width);
        let mut widths = WIDTHS.map(width).to_vec();
        widths.dedup();
        let sizes = widths.into_iter().flat_map(|width| REACHES.map(|reach| (width, reach)));
        let fit = |(width, reach)| site.fits_aside(width, share.reaches.map(|most| most.min(reach)));
        // One that runs out into an opening ends a little past it, and one may lie off the middle.
        let stays = |fit: &Fit| {
            let past = |own: [f64; 2], all: [f64; 2]| [own[0] - all[0], all[1] - own[1]];
            let is_within = |past: [f64; 2], most: [f64; 2]| (0..2).all(|end| past[end] <= most[end] + HAIR);
            is_within(past(core.u, fit.strip.u), share.reaches)
                && is_within(past(core.v, fit.strip.v), [(share.width - core.width()) / 2.0; 2])
        };
        self.fits = sizes.flat_map(fit).filter(stays).collect();
    }

    /// What the place is expected to lack with a board, with a little to spare.
    fn lacks(&self, trial: &Trial) -> f64 {
        TO_SPARE * self.site.doubted(trial, &self.doubts[self.is_wider(trial)])
    }

    /// Which of the two kinds of doubts a board meets.
    fn is_wider(&self, trial: &Trial) -> usize {
        usize::from(trial.joint.width > self.site.width + self.site.bow + HAIR)
    }

    /// Takes in how far the closed form of a board was off, part by part.
    fn learn(&mut self, trial: &Trial, found: &Finding) {
        let Some(now) = found.places.iter().find(|now| now.at == self.place.at) else { return };
        let is_wider = self.is_wider(trial);
        trial.mended.learn(now, &mut self.doubts[is_wider]);
    }

    /// Of boards so thick the one with the least wood that reaches the goal, or else that which lacks least.
    fn best(&self, thickness: f64) -> Option<Trial> {
        let reaches_far = |fit: &&Fit| fit.joint.reach >= LEAST_REACH * thickness;
        let trials = self.fits.iter().filter(reaches_far).map(|fit| self.site.backed(fit, thickness));
        let lacks = |trial: &Trial| self.lacks(trial).max(1.0);
        trials.min_by(|a, b| lacks(a).total_cmp(&lacks(b)).then(a.wood().total_cmp(&b.wood())))
    }
}

/// One board about two, if it has room inside the outline, or they had none there either.
fn about_both(a: &Strip, b: &Strip, across: f64, piece: &Polygon<f64>, rim: f64) -> Option<Strip> {
    let longer = if a.insert.length_mm >= b.insert.length_mm { &a.insert } else { &b.insert };
    let turn = (a.insert.grain_deg - b.insert.grain_deg).rem_euclid(180.0);
    let grain_deg = if turn.min(180.0 - turn) > ALIKE_DEG { across } else { longer.grain_deg };
    let origin = point! { x: 0.0, y: 0.0 };
    let level = |strip: &Strip| strip.insert.outline.rotate_around_point(-grain_deg, origin).bounding_rect();
    let (one, other) = (level(a)?, level(b)?);
    let low = Coord { x: one.min().x.min(other.min().x), y: one.min().y.min(other.min().y) };
    let high = Coord { x: one.max().x.max(other.max().x), y: one.max().y.max(other.max().y) };
    let outline = geo_types::Rect::new(low, high).to_polygon().rotate_around_point(grain_deg, origin);
    let edge = |outline: &Polygon<f64>| Euclidean.distance(outline.exterior(), piece.exterior());
    let room = edge(&outline);
    let had = edge(&a.insert.outline).min(edge(&b.insert.outline));
    if room < rim.min(had) - 1e-6 {
        return None;
    }
    let weaker = if a.insert.shortfall >= b.insert.shortfall { &a.insert } else { &b.insert };
    let insert =
        Insert { outline, grain_deg, length_mm: high.x - low.x, width_mm: high.y - low.y, ..weaker.clone() };
    let mut places: Vec<usize> = a.places.iter().chain(&b.places).copied().collect();
    places.sort_unstable();
    Some(Strip { places, insert })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::mend::sample::Case;
    use geo_types::LineString;

    /// By hand: a bar 6 wide and 60 long, x from 77 to 83 and y from 60 to 120, in a plate of which the window on the right reaches 30 mm past both
    /// its ends. A board 12 wide about its middle would have no wood under its right edge; one that ends at the bar's right wall has, x from 71 to
    /// 83, and with 15 mm past either end it is 90 long, y from 45 to 135. To the right of the bar there is none.
    #[test]
    fn a_board_without_wood_under_one_edge_lies_off_the_middle() {
        let ring = |[x0, y0, x1, y1]: [f64; 4]| {
            LineString::from(vec![(x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0)])
        };
        let windows = [[40.0, 60.0, 77.0, 120.0], [83.0, 30.0, 120.0, 150.0]].map(ring).to_vec();
        let case = Case::of(Polygon::new(ring([0.0, 0.0, 200.0, 180.0]), windows));
        let ward = case.ward();
        let place = ward.wanting().find(|place| (place.at.x - 80.0).abs() < 1.0).expect("the bar is weak");
        let patient = case.patient();
        let whole = Whole::of(&patient, 3.0);
        let request = whole.request(place).expect("it can be asked for");
        let room = Room::new(place, &request).expect("there is room");
        let lies = |fit: &Fit| {
            let outline = room.site.local.outline(&fit.strip).bounding_rect().expect("a board has a size");
            let (low, high) = (outline.min(), outline.max());
            [low.x, high.x, low.y, high.y]
        };
        let boards = room.site.fits_aside(12.0, [15.0; 2]);
        let bonded: Vec<[f64; 4]> =
            boards.iter().filter(|fit| (fit.joint.width - 12.0).abs() < 0.1).map(lies).collect();
        let [board] = bonded[..] else { panic!("one board, not {bonded:?}") };
        let by_hand = [71.0, 83.0, 45.0, 135.0];
        assert!(board.iter().zip(by_hand).all(|(found, by_hand)| (found - by_hand).abs() < 0.1), "{board:?}");
        // The one about the middle counts only as wide as the bar is.
        let middle = boards.iter().find(|fit| fit.joint.width < 7.0).map(lies).expect("it is tried too");
        assert!((middle[0] - 74.0).abs() < 0.1 && (middle[1] - 86.0).abs() < 0.1, "{middle:?}");
        // What is taken ends at the bar's right wall too, wider than the bar, as far up as down.
        let remedy = ward.part_backer(&MendOptions::default()).expect("a board helps");
        let of_bar =
            remedy.backers().iter().find(|strip| strip.places == [place.id]).expect("it has a board");
        let outline = of_bar.insert.outline.bounding_rect().expect("a board has a size");
        assert!((outline.max().x - 83.0).abs() < 0.1 && outline.min().x < 76.0, "{outline:?}");
        assert!((outline.center().y - 90.0).abs() < 0.1, "{outline:?}");
    }
}
