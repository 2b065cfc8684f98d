//! Decides what of a drawing is wood, the same for every file format.

use std::collections::{BTreeMap, BTreeSet};

use geo::InteriorPoint;
use geo_types::Coord;

use super::doubt::inch_mistaken;
use super::drawn::{Contour, Drawn, Label};
use super::join::{Joined, Run, doubled, join, lying_along, near, overlaps, parted};
use super::nest::{Role, composed, roles, united};
use super::outline::{Area, enclosed, ring, sides};
use super::reading::{LeftOut, Note, all_left_out};
use super::{Fault, FaultKind, Options, Page, Pick, Piece, Place, printable};
use crate::shape::Tangle;
use crate::shape::plane::{Point, distance, extent, point};
use crate::shape::{BoxTree, GRID_PER_MM, GridPoint, Locator, Region, Shape, bridged, hairs, snapped};

/// What came of a drawing.
pub(crate) struct Settled {
    pub(crate) pieces: Vec<Piece>,
    pub(crate) notes: Vec<Note>,
    /// Smallest and largest x and y of all wood, in mm.
    pub(crate) bounds: [f64; 4],
}

/// Turns shapes as drawn into pieces of wood.
///
/// `page` is the size of the page, whose lower left corner is the origin. `tolerance` is what curves were
/// flattened with.
///
/// # Errors
///
/// Every fault found; none hides another that could still be found without it.
pub(crate) fn settle(
    drawn: &[Drawn],
    page: Option<[f64; 2]>,
    tolerance: f64,
    options: &Options,
) -> Result<Settled, Vec<Fault>> {
    if let Some(fault) = crossings(drawn, options.limits.crossings) {
        return Err(vec![fault]);
    }
    let mut settling = Settling { drawn, tolerance, options, faults: Vec::new(), notes: Vec::new() };
    let areas = settling.areas();
    let areas = settling.without_duplicates(areas);
    let (areas, sources): (Vec<Area>, Vec<Vec<usize>>) = united(areas, tolerance).into_iter().unzip();
    let keep = settling.page_decided(&areas, page);
    let kept = |i: usize| keep[i];
    let sources: Vec<Vec<usize>> =
        sources.into_iter().enumerate().filter(|(i, _)| kept(*i)).map(|(_, s)| s).collect();
    let areas: Vec<Area> = areas.into_iter().enumerate().filter(|(i, _)| kept(*i)).map(|(_, a)| a).collect();
    let roles = roles(&areas, options.inner, tolerance);
    settling.say_roles(&areas, &sources, &roles);
    let wood = settling.bridged(composed(&areas, &roles).tidy());
    let pieces = settling.pieces(&wood, &areas, &sources, &roles, page);
    if areas.is_empty() && settling.faults.is_empty() {
        let left_out = all_left_out(&settling.notes);
        settling.fault(Place::default(), FaultKind::NoShapes { hidden: 0, left_out });
    }
    if !settling.faults.is_empty() {
        return Err(settling.faults);
    }
    let bounds = wood.bounds().unwrap_or_default().map(|b| f64::from(b) / GRID_PER_MM);
    Ok(Settled { pieces, notes: settling.notes, bounds })
}

struct Settling<'a> {
    drawn: &'a [Drawn],
    tolerance: f64,
    options: &'a Options,
    faults: Vec<Fault>,
    notes: Vec<Note>,
}

impl Settling<'_> {
    fn fault(&mut self, place: Place, kind: FaultKind) {
        self.faults.push(Fault { place, kind });
    }

    fn label(&self, element: usize) -> &Label {
        &self.drawn[element].label
    }

    /// Every filled area and every closed outline, in paint order.
    fn areas(&mut self) -> Vec<Area> {
        let gap = self.options.gap.as_mm();
        let (mut areas, mut closed, mut open) = (Vec::new(), Vec::new(), Vec::new());
        for (element, shape) in self.drawn.iter().enumerate() {
            if let Some(fill) = &shape.fill {
                let rings: Vec<_> = shape.contours.iter().map(|c| ring(&c.points)).collect();
                let region = Region::filled(&rings, fill.rule);
                if let Some(area) = Area::new(element, Some(fill.paint.clone()), region) {
                    areas.push(area);
                    self.tell_open_ends(shape);
                    continue;
                }
                // A fill that covers nothing, as under a straight line, says nothing about wood.
                if !shape.lined {
                    let what = shape.label.to_string();
                    self.notes.push(Note::LeftOut { what, why: LeftOut::NoArea });
                    continue;
                }
            }
            for Contour { points, closed: is_closed } in &shape.contours {
                let run = Run { element, points: points.clone() };
                if points.len() < 2 {
                    continue;
                } else if *is_closed {
                    closed.push(run);
                } else {
                    open.push(run);
                }
            }
        }
        // A gap as wide as may be is closed, however its ends are rounded.
        let widest = gap + GRID_PER_MM.recip();
        let open = self.without_doubled_runs(open);
        let mut found = join(open.clone(), widest);
        if !found.open.is_empty() {
            // Pieces side by side may share parts of their lines; only where an outline stays open is a part one too many.
            let (single, notes) = self.without_doubled_parts(&open, &closed);
            let again = join(single, widest);
            if again.open.len() + again.more < found.open.len() + found.more {
                found = again;
                self.notes.extend(notes);
            }
        }
        let Joined { closed: joined, gaps, open, more } = found;
        closed.extend(joined);
        for hole in gaps.into_iter().filter(|hole| hole.size * GRID_PER_MM >= 1.0) {
            let what = self.label(hole.element).to_string();
            self.notes.push(Note::GapClosed { what, at: hole.at, size: hole.size });
        }
        for hole in open {
            let place = self.label(hole.element).place().near(hole.at);
            self.fault(place, FaultKind::Open { to: hole.to, gap: hole.size, limit: gap });
        }
        if more > 0 {
            self.fault(Place::default(), FaultKind::MoreOpen { more });
        }
        for run in closed {
            match enclosed(&run.points, gap) {
                Ok(region) => match Area::new(run.element, None, region) {
                    Some(area) => areas.push(area),
                    None => {
                        let what = self.label(run.element).to_string();
                        self.notes.push(Note::LeftOut { what, why: LeftOut::NoArea });
                    }
                },
                Err(at) => self.fault(self.label(run.element).place().near(at), FaultKind::CrossesItself),
            }
        }
        areas.sort_by_key(|area| area.element);
        areas
    }

    /// Notes the outlines of a filled shape whose ends do not meet.
    fn tell_open_ends(&mut self, shape: &Drawn) {
        for Contour { points, .. } in shape.contours.iter().filter(|contour| !contour.closed) {
            let [Some(first), Some(at)] = [points.first(), points.last()] else { continue };
            let size = distance(*first, *at);
            if points.len() > 2 && size > self.options.gap.as_mm() {
                self.notes.push(Note::ClosedByFill { what: shape.label.to_string(), at: *at, size });
            }
        }
    }

    /// Which of some open runs are drawn twice: of two the later.
    fn doubles(&self, open: &[Run]) -> Vec<bool> {
        let gap = self.options.gap.as_mm();
        let middles: Vec<Coord<f64>> =
            open.iter().map(|run| (run.points[0] + run.points[run.points.len() - 1]) / 2.0).collect();
        let mut gone = vec![false; open.len()];
        near(&middles, gap, |i, j| {
            if !gone[i] && !gone[j] && doubled(&open[i].points, &open[j].points, gap, self.tolerance) {
                gone[i.max(j)] = true;
            }
        });
        gone
    }

    /// Leaves out open runs that are drawn twice within the gap, in either direction; the first stays.
    fn without_doubled_runs(&mut self, open: Vec<Run>) -> Vec<Run> {
        let gone = self.doubles(&open);
        for (run, _) in open.iter().zip(&gone).filter(|(_, gone)| **gone) {
            let what = self.label(run.element).to_string();
            self.notes.push(Note::LeftOut { what, why: LeftOut::Duplicate });
        }
        open.into_iter().zip(gone).filter(|(_, gone)| !gone).map(|(run, _)| run).collect()
    }

    /// Open runs without what of them lies over others or along closed outlines, and the notes that tell it.
    fn without_doubled_parts(&self, open: &[Run], closed: &[Run]) -> (Vec<Run>, Vec<Note>) {
        let gap = self.options.gap.as_mm();
        let parts = |(run, cuts): (&Run, &Vec<f64>)| parted(run.clone(), cuts);
        let flat: Vec<Run> = open.iter().zip(&overlaps(open, gap, self.tolerance)).flat_map(parts).collect();
        let mut gone = self.doubles(&flat);
        lying_along(&flat, closed, gap + 2.0 * self.tolerance, |k| gone[k] = true);
        let tell = |run: &Run| Note::Doubled {
            what: self.label(run.element).to_string(),
            from: run.points[0],
            to: run.points[run.points.len() - 1],
        };
        let notes = flat.iter().zip(&gone).filter(|(_, gone)| **gone).map(|(run, _)| tell(run)).collect();
        (flat.into_iter().zip(gone).filter(|(_, gone)| !gone).map(|(run, _)| run).collect(), notes)
    }

    /// Leaves out areas that are drawn twice: the one on top stays, and a filled one rather than an outline.
    fn without_duplicates(&mut self, areas: Vec<Area>) -> Vec<Area> {
        let slack = (self.tolerance * GRID_PER_MM).ceil();
        let mut order: Vec<usize> = (0..areas.len()).collect();
        order.sort_by_key(|i| (areas[*i].bounds, *i));
        let mut gone = vec![false; areas.len()];
        for (k, &i) in order.iter().enumerate() {
            for &j in &order[k + 1..] {
                if f64::from(areas[j].bounds[0]) > f64::from(areas[i].bounds[0]) + slack {
                    break;
                }
                if !gone[i] && !gone[j] && areas[i].equals(&areas[j], self.tolerance) {
                    let rank = |n: usize| (areas[n].paint.is_some(), n);
                    gone[if rank(i) < rank(j) { i } else { j }] = true;
                }
            }
        }
        for (area, _) in areas.iter().zip(&gone).filter(|(_, gone)| **gone) {
            let what = self.label(area.element).to_string();
            self.notes.push(Note::LeftOut { what, why: LeftOut::Duplicate });
        }
        areas.into_iter().zip(gone).filter(|(_, gone)| !gone).map(|(area, _)| area).collect()
    }

    /// Which areas stay after rectangles as large as the page have been dealt with.
    fn page_decided(&mut self, areas: &[Area], page: Option<[f64; 2]>) -> Vec<bool> {
        let Some([width, height]) = page else { return vec![true; areas.len()] };
        let mut keep = vec![true; areas.len()];
        for (i, area) in areas.iter().enumerate() {
            let [x0, y0, x1, y1] = area.bounds.map(|b| f64::from(b) / GRID_PER_MM);
            let (dx, dy) = (0.005 * width, 0.005 * height);
            let covers = x0 <= dx && y0 <= dy && x1 >= width - dx && y1 >= height - dy;
            if !covers || areas.len() < 2 || !area.is_upright_rectangle() {
                continue;
            }
            match self.options.page {
                Some(Page::Wood) => {}
                Some(Page::Ignore) => {
                    keep[i] = false;
                    let what = self.label(area.element).to_string();
                    self.notes.push(Note::LeftOut { what, why: LeftOut::Page });
                }
                None => {
                    // Left out meanwhile, so that what else is wrong comes out too.
                    keep[i] = false;
                    self.fault(self.label(area.element).place(), FaultKind::PageSized);
                }
            }
        }
        keep
    }

    /// Notes what became an opening or changed nothing; faults what is unclear, once for each shape around.
    fn say_roles(&mut self, areas: &[Area], sources: &[Vec<usize>], roles: &[Role]) {
        let mut unclear: Vec<(usize, usize, usize)> = Vec::new();
        let mut across: Vec<(usize, usize, usize)> = Vec::new();
        let count = |all: &mut Vec<(usize, usize, usize)>, around: usize, first: usize| match all
            .iter_mut()
            .find(|(known, ..)| *known == around)
        {
            Some((_, _, count)) => *count += 1,
            None => all.push((around, first, 1)),
        };
        for (i, role) in roles.iter().enumerate() {
            if let Some(j) = role.across {
                count(&mut across, j, i);
            }
            let what = self.label(areas[i].element).to_string();
            match role.around {
                Some(j) if role.unclear => count(&mut unclear, j, i),
                Some(_) if role.decoration => {
                    self.notes.push(Note::LeftOut { what, why: LeftOut::Decoration });
                }
                Some(j) if !role.wood => {
                    let around = self.label(areas[j].element).to_string();
                    let from = sources[i].iter().map(|element| self.label(*element).to_string()).collect();
                    self.notes.push(Note::Opening { from, around });
                }
                _ if role.same => self.notes.push(Note::LeftOut { what, why: LeftOut::SameFill }),
                _ => {}
            }
        }
        for (around, first, count) in unclear {
            let name = self.label(areas[around].element).to_string();
            let place = self.label(areas[first].element).place();
            self.fault(place, FaultKind::Inside { around: name, more: count - 1 });
        }
        for (around, first, count) in across {
            let name = self.label(areas[around].element).to_string();
            let place = self.label(areas[first].element).place();
            self.fault(place, FaultKind::Across { around: name, more: count - 1 });
        }
    }

    /// Closes hairline gaps between separate areas.
    fn bridged(&mut self, wood: Region) -> Region {
        let limit = self.options.limits.crossings;
        let (joined, gaps) = match bridged(&wood, self.options.gap.as_mm(), limit) {
            Ok(done) => done,
            Err(found) => {
                self.faults.push(Fault::of_tangle(Place::default(), &found));
                return wood;
            }
        };
        for (at, size) in gaps {
            self.notes.push(Note::GapClosed { what: "the wood between two shapes".to_owned(), at, size });
        }
        joined
    }

    /// Names and checks every separate area of the wood.
    fn pieces(
        &mut self,
        wood: &Region,
        areas: &[Area],
        sources: &[Vec<usize>],
        roles: &[Role],
        page: Option<[f64; 2]>,
    ) -> Vec<Piece> {
        let mut found: Vec<Found> = wood
            .shapes
            .iter()
            .map(|shape| Found { region: Region { shapes: vec![shape.clone()] }, from: Vec::new() })
            .collect();
        let bounds = found.iter().map(|f| f.region.bounds().unwrap_or_default().map(f64::from));
        let tree = BoxTree::of_boxes(bounds);
        let locators: Vec<Locator> = found.iter().map(|f| Locator::new(f.region.rings())).collect();
        for (i, area) in areas.iter().enumerate().filter(|(i, _)| roles[*i].wood && !roles[*i].decoration) {
            for shape in &area.region.shapes {
                // A corner that one piece alone holds says which this part went into; at others pieces touch, or no wood is left.
                let home = shape[0].iter().find_map(|p| {
                    let mut holders = Vec::new();
                    tree.meeting([p.x, p.y, p.x, p.y].map(f64::from), |f| {
                        holders.extend(locators[f].holds(*p).then_some(f));
                        holders.len() < 2
                    });
                    holders.first().copied().filter(|_| holders.len() == 1)
                });
                if let Some(home) = home
                    && found[home].from.last() != Some(&i)
                {
                    found[home].from.push(i);
                }
            }
        }
        // What several pieces were cut from is named for each.
        for piece in found.iter_mut().filter(|piece| piece.from.is_empty()) {
            let Some(inside) = inside(&piece.region) else { continue };
            let made = |i: &usize| {
                let wood = roles[*i].wood && !roles[*i].decoration;
                wood && boxed(areas[*i].bounds, inside) && areas[*i].holds(inside)
            };
            piece.from = (0..areas.len()).filter(made).collect();
        }
        found.sort_by_key(|f| (f.from.first().copied().unwrap_or(usize::MAX), f.region.bounds()));
        let names = self.names(&found, areas);
        let mut pieces = Vec::new();
        // Nothing is asked of who has said what the unit is.
        let told = self.options.drawn_in.is_some() || (self.options.scale - 1.0).abs() > 1e-12;
        let [x0, y0, x1, y1] = wood.bounds().unwrap_or_default().map(|b| f64::from(b) / GRID_PER_MM);
        let overall = (x1 - x0).max(y1 - y0);
        let times = |larger: bool| inch_mistaken(overall).filter(|times| !told && (*times > 1.0) == larger);
        for wanted in &self.options.pick.pieces {
            let one = Pick { pieces: vec![wanted.clone()], ..Pick::default() };
            if !names.iter().any(|name| one.takes_piece(name)) {
                let kind = FaultKind::NoSuchPiece { name: printable::name(wanted), known: names.clone() };
                self.fault(Place::default(), kind);
            }
        }
        for (f, name) in found.iter().zip(names) {
            if !self.options.pick.takes_piece(&name) {
                continue;
            }
            let elements: Vec<usize> = f.from.iter().flat_map(|i| sources[*i].iter().copied()).collect();
            let label = elements.first().map(|e| self.label(*e).place()).unwrap_or_default();
            let [x0, y0, x1, y1] = f.region.bounds().unwrap_or_default().map(|b| f64::from(b) / GRID_PER_MM);
            let size = (x1 - x0).max(y1 - y0);
            let limits = self.options.limits;
            let (smallest, largest) = (limits.smallest.as_mm(), limits.largest.as_mm());
            let middle = Coord { x: f64::midpoint(x0, x1), y: f64::midpoint(y0, y1) };
            if size < smallest {
                self.fault(
                    label.near(middle),
                    FaultKind::TooSmall { size, limit: smallest, times: times(true) },
                );
                continue;
            } else if size > largest {
                let way = if x1 - x0 >= y1 - y0 { point(1.0, 0.0) } else { point(0.0, 1.0) };
                let (place, with) = self.longest(&elements, way, largest).unwrap_or_default();
                self.fault(place, FaultKind::TooLarge { size, limit: largest, with, times: times(false) });
                continue;
            }
            let from = elements.iter().map(|e| self.label(*e).to_string()).collect();
            self.notes.push(Note::Piece { name: name.clone(), from });
            if page.is_some_and(|[w, h]| x0 < -0.01 || y0 < -0.01 || x1 > w + 0.01 || y1 > h + 0.01) {
                self.notes.push(Note::OffPage { name: name.clone() });
            }
            for polygon in f.region.polygons() {
                match Shape::new(polygon) {
                    Ok(shape) => {
                        if let Some((hairs, at)) = hairs(&shape).filter(|(hairs, _)| *hairs > limits.hairs) {
                            let kind = FaultKind::Rough { hairs, limit: limits.hairs };
                            self.fault(label.clone().near(at), kind);
                        }
                        pieces.push(Piece { name: name.clone(), shape });
                    }
                    Err(_) => {
                        self.fault(label.clone(), FaultKind::NoShapes { hidden: 0, left_out: Vec::new() })
                    }
                }
            }
        }
        pieces
    }

    /// Where to look in a piece that is longer than `limit` along a direction: at the outline that is so by itself. Where none is, at
    /// the one that the piece begins with, and what the one is called that it ends with.
    fn longest(&self, elements: &[usize], way: Point, limit: f64) -> Option<(Place, Option<String>)> {
        let reach = |element: usize| {
            let points = self.drawn[element].contours.iter().flat_map(|contour| &contour.points);
            (element, extent(points.copied(), way))
        };
        let all: Vec<(usize, [f64; 2])> = elements.iter().map(|element| reach(*element)).collect();
        let length = |[from, to]: [f64; 2]| to - from;
        // Of equal ones the first.
        let longest = all.iter().rev().max_by(|a, b| length(a.1).total_cmp(&length(b.1)))?;
        let first = all.iter().min_by(|a, b| a.1[0].total_cmp(&b.1[0]))?;
        let last = all.iter().rev().max_by(|a, b| a.1[1].total_cmp(&b.1[1]))?;
        let place = |element: usize| self.label(element).place();
        if length(longest.1) > limit || first.0 == last.0 {
            return Some((place(longest.0), None));
        }
        Some((place(first.0), Some(self.label(last.0).to_string())))
    }

    /// A name for every piece: the id of its largest shape that has one, or of the nearest group around
    /// it, or its number. Pieces that would share a name are numbered.
    fn names(&self, found: &[Found], areas: &[Area]) -> Vec<String> {
        let wanted: Vec<Option<String>> = found
            .iter()
            .map(|f| {
                let mut by_size = f.from.clone();
                by_size.sort_by(|a, b| areas[*b].size.total_cmp(&areas[*a].size).then(a.cmp(b)));
                let labels = || by_size.iter().map(|i| self.label(areas[*i].element));
                labels().find_map(|l| l.id.clone()).or_else(|| labels().find_map(|l| l.group.clone()))
            })
            .collect();
        let mut counts = BTreeMap::<&str, usize>::new();
        for name in wanted.iter().flatten() {
            *counts.entry(name).or_default() += 1;
        }
        let alone = |name: &str| counts.get(name) == Some(&1);
        let mut taken: BTreeSet<String> =
            wanted.iter().flatten().filter(|name| alone(name)).cloned().collect();
        let mut next = BTreeMap::<&str, usize>::new();
        let mut names = Vec::new();
        for (i, want) in wanted.iter().enumerate() {
            let stem = match want.as_deref() {
                Some(name) if alone(name) => {
                    names.push(name.to_owned());
                    continue;
                }
                Some(name) => name,
                None => "piece",
            };
            // Pieces without any name are called by their place in the list.
            let number = next.entry(stem).or_default();
            *number = if want.is_none() { (*number).max(i) } else { *number };
            let name = loop {
                *number += 1;
                let name = format!("{stem} {number}");
                if taken.insert(name.clone()) {
                    break name;
                }
            };
            names.push(name);
        }
        names
    }
}

fn boxed([x0, y0, x1, y1]: [i32; 4], p: GridPoint) -> bool {
    (x0..=x1).contains(&p.x) && (y0..=y1).contains(&p.y)
}

/// The fault of a drawing whose lines cross more often than they may.
fn crossings(drawn: &[Drawn], limit: usize) -> Option<Fault> {
    let edges = (0..).zip(drawn).flat_map(|(element, shape)| sides(element, shape));
    let found = Tangle::new(limit).count(edges.collect()).err()?;
    Some(Fault::of_tangle(drawn[found.owner].label.place(), &found))
}

/// A point well inside an area.
fn inside(region: &Region) -> Option<GridPoint> {
    let point = region.polygons().first()?.interior_point()?;
    Some(snapped(point.0))
}

/// A separate area of wood, and the areas that went into it.
struct Found {
    region: Region,
    from: Vec<usize>,
}
