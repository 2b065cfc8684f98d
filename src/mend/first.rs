//! The first remedy: an insert for every place that is not sound, each found without the others.

use geo::Intersects;

use crate::check::{Finding, Form, Insert, InsertRemark, NoInsert, Place, PlaceRemark, Pushes};
use crate::shape::Shape;
use crate::wood::{Board, Mechanics};

use super::goal::Goal;
use super::insert::{insert, strip_that_fits};
use super::request::{InsertRequest, Whole};
use super::site::RIM_MARGIN;

/// How a strip is found for a place.
type Found = fn(&InsertRequest<'_>) -> Result<Insert, NoInsert>;

/// Gives every place of a piece that is not sound its insert; where none fits, a remark says why.
pub fn first_remedies(
    finding: &mut Finding,
    piece: &Shape,
    board: &Board,
    wood: &Mechanics,
    pushes: &Pushes,
) {
    let goal = Goal::Sound;
    let whole = Whole { piece, board, wood, pushes, goal, rim: RIM_MARGIN, narrowest: 0.0 };
    remedies(finding, &whole, insert);
}

/// The same, but a strip that fits is kept though the closed form sees no gain in it: where shear or a corner governs, the solid
/// model has to say.
pub(super) fn strips_that_fit(finding: &mut Finding, whole: &Whole<'_>) {
    remedies(finding, whole, strip_that_fits);
}

fn remedies(finding: &mut Finding, whole: &Whole<'_>, found: Found) {
    for place in &mut finding.places {
        let bare = place.clone();
        if let Some(request) = whole.request(&bare) {
            give(place, &request, found);
        }
    }
    tell_overlaps(finding);
}

/// Strips that overlap want to be one; each was found without the others.
fn tell_overlaps(finding: &mut Finding) {
    let strips =
        finding.places.iter().filter_map(|place| Some((place.id, place.insert.as_ref()?.outline.clone())));
    let strips: Vec<_> = strips.collect();
    for place in &mut finding.places {
        let Some(insert) = &mut place.insert else { continue };
        let others = strips.iter().filter(|(id, other)| *id != place.id && other.intersects(&insert.outline));
        let places: Vec<usize> = others.map(|(id, _)| *id).collect();
        if !places.is_empty() {
            insert.remarks.push(InsertRemark::Overlaps { places });
        }
    }
}

/// Gives a place its insert where it is not good enough; where none fits, a remark says why.
pub fn first_remedy(place: &mut Place, request: &InsertRequest<'_>) {
    give(place, request, insert);
}

fn give(place: &mut Place, request: &InsertRequest<'_>, found: Found) {
    if request.goal.is_reached_by(place.verdict) {
        return;
    }
    let strip = if place.form == Form::Along { Err(NoInsert::AlongGrain) } else { found(request) };
    match strip {
        Ok(strip) => place.insert = Some(strip),
        Err(why) => {
            place.remarks.push(PlaceRemark::NoInsert(why));
            if let NoInsert::NoGain { shortfall, .. } = why {
                place.remarks.push(PlaceRemark::BestInsert { shortfall });
            }
        }
    }
}
