//! Which areas lie in which, and what follows for wood and openings.

use super::{Inner, outline::Area};
use crate::shape::{BoxTree, Region, placed};

/// Unites outlines without a fill that overlap in part. Nested ones and ones that only touch stay apart.
///
/// Gives, with the areas, the elements that went into each.
pub(crate) fn united(areas: Vec<Area>, tolerance: f64) -> Vec<(Area, Vec<usize>)> {
    let mut owners = Vec::new();
    let mut edges = Vec::new();
    for (i, area) in areas.iter().enumerate().filter(|(_, area)| area.paint.is_none()) {
        for edge in area.region.rings().flat_map(|ring| crate::shape::edges(ring)) {
            owners.push(i);
            edges.push(edge.map(placed));
        }
    }
    let mut heads: Vec<usize> = (0..areas.len()).collect();
    let mut judged = std::collections::BTreeSet::new();
    if !edges.is_empty() {
        BoxTree::new(&edges).near_pairs(0.0, |a, b| {
            let (i, j) = (owners[a], owners[b]);
            let pair = (i.min(j), i.max(j));
            if i != j
                && head(&heads, i) != head(&heads, j)
                && judged.insert(pair)
                && overlap_in_part(&areas[i], &areas[j], tolerance)
            {
                let (a, b) = (head(&heads, i), head(&heads, j));
                heads[a.max(b)] = a.min(b);
            }
            true
        });
    }
    let mut groups: Vec<Vec<usize>> = vec![Vec::new(); areas.len()];
    for i in 0..areas.len() {
        groups[head(&heads, i)].push(i);
    }
    groups
        .into_iter()
        .filter_map(|group| {
            let first = areas.get(*group.first()?)?;
            let elements = group.iter().map(|i| areas[*i].element).collect();
            if group.len() == 1 {
                return Some((first.clone(), elements));
            }
            let region = Region::united(group.iter().map(|i| &areas[*i].region));
            Some((Area::new(first.element, None, region)?, elements))
        })
        .collect()
}

fn head(heads: &[usize], mut i: usize) -> usize {
    while heads[i] != i {
        i = heads[i];
    }
    i
}

fn overlap_in_part(a: &Area, b: &Area, tolerance: f64) -> bool {
    let apart = |k: usize| a.bounds[k] > b.bounds[k + 2] || b.bounds[k] > a.bounds[k + 2];
    if apart(0) || apart(1) {
        return false;
    }
    let (small, large) = if a.size <= b.size { (a, b) } else { (b, a) };
    let shared = small.region.shared(&large.region.near(small.bounds));
    let wide = 2.0 * shared.area() > tolerance * shared.length();
    wide && !a.contains(b, tolerance) && !b.contains(a, tolerance)
}

/// What an area is, and why.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Role {
    /// Wood, or an opening in the wood around it.
    pub(crate) wood: bool,
    /// The smallest area of another kind around it.
    pub(crate) around: Option<usize>,
    /// It could be either, and nobody said which.
    pub(crate) unclear: bool,
    /// It lies inside wood and changes nothing, because it was said to be wood.
    pub(crate) decoration: bool,
    /// It lies inside an area of the same paint and changes nothing.
    pub(crate) same: bool,
    /// The wood of another fill that it lies across the edge of, where shapes inside wood are said to be openings.
    pub(crate) across: Option<usize>,
    /// When it is laid down: after whatever is around it.
    pub(crate) turn: (usize, usize, usize),
}

/// Decides every area's role; `areas` are in paint order.
pub(crate) fn roles(areas: &[Area], inner: Option<Inner>, tolerance: f64) -> Vec<Role> {
    let mut order: Vec<usize> = (0..areas.len()).collect();
    order.sort_by(|a, b| areas[*b].size.total_cmp(&areas[*a].size).then(a.cmp(b)));
    let mut roles: Vec<Option<Role>> = vec![None; areas.len()];
    for (k, &i) in order.iter().enumerate() {
        let (mut around, mut same) = (None, false);
        // From the smallest that is large enough to the largest.
        for &j in order[..k].iter().rev() {
            let alike = areas[i].paint.is_some() && areas[i].paint == areas[j].paint;
            // What is painted over by another fill is not inside it but under it.
            let under = areas[i].paint.is_some() && areas[j].paint.is_some() && j > i;
            if (alike && same) || (!alike && under) || !areas[j].contains(&areas[i], tolerance) {
                continue;
            }
            if alike {
                same = true;
            } else {
                around = Some(j);
                break;
            }
        }
        let outer = around.and_then(|j| roles[j].clone().map(|role| (j, role)));
        roles[i] = Some(match outer {
            None => {
                let wood = |j: &&usize| roles[**j].as_ref().is_some_and(|role| role.wood);
                let laid_on = |j: &&usize| {
                    let painted = areas[i].paint.is_some() || areas[**j].paint.is_some();
                    painted && areas[i].paint != areas[**j].paint && (areas[i].paint.is_none() || **j < i)
                };
                let asked = inner == Some(Inner::Opening);
                let larger = order[..k].iter().filter(|_| asked).filter(laid_on).filter(wood);
                let across = larger.copied().find(|&j| overlap_in_part(&areas[i], &areas[j], tolerance));
                Role {
                    wood: true,
                    around: None,
                    unclear: false,
                    decoration: false,
                    same,
                    across,
                    turn: (i, 0, i),
                }
            }
            Some((j, outer)) => {
                let outlines = areas[i].paint.is_none() && areas[j].paint.is_none();
                let settled = outlines || !outer.wood;
                let wood = if settled { !outer.wood } else { inner != Some(Inner::Opening) };
                Role {
                    wood,
                    around,
                    unclear: !settled && inner.is_none(),
                    decoration: !settled && inner == Some(Inner::Wood),
                    same: false,
                    across: None,
                    turn: (i.max(outer.turn.0), outer.turn.1 + 1, i),
                }
            }
        });
    }
    roles.into_iter().flatten().collect()
}

/// Lays the areas down in turn: wood is added, openings are taken away.
pub(crate) fn composed(areas: &[Area], roles: &[Role]) -> Region {
    let mut order: Vec<usize> = (0..areas.len()).collect();
    order.sort_by_key(|i| roles[*i].turn);
    let mut wood = Region::default();
    for run in order.chunk_by(|a, b| roles[*a].wood == roles[*b].wood) {
        let run_of = run.iter().map(|i| &areas[*i].region);
        if roles[run[0]].wood {
            wood = Region::united(std::iter::once(&wood).chain(run_of));
        } else {
            wood = wood.without(&Region::united(run_of));
        }
    }
    wood
}
