//! The first remedy: an insert for every place that is not sound, each found without the others.

use geo::Intersects;

use crate::check::{Finding, Form, Insert, Place, Pushes, Verdict};
use crate::shape::Shape;
use crate::wood::{Board, Mechanics};

use super::insert::{insert, strip_that_fits};
use super::request::{InsertRequest, NoInsert, Whole};
use super::site::RIM_MARGIN;

/// Said of a place along the grain that is not sound.
const ALONG: &str =
    "No insert: it runs along the grain already; make it wider or thicker, or put a backer behind it.";

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
    remedies(finding, &Whole { piece, board, wood, pushes, rim: RIM_MARGIN }, insert);
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
        let ids: Vec<String> = others.map(|(id, _)| id.to_string()).collect();
        match ids.split_last() {
            None => {}
            Some((one, [])) => insert.remarks.push(format!(
                "It overlaps the insert of place {one}: cut one strip that serves both, or leave one out."
            )),
            Some((last, before)) => insert.remarks.push(format!(
                "It overlaps the inserts of places {} and {last}: cut strips that serve several, or leave some out.",
                before.join(", ")
            )),
        }
    }
}

/// Gives a place its insert where it is not sound; where none fits, a remark says why.
pub fn first_remedy(place: &mut Place, request: &InsertRequest<'_>) {
    give(place, request, insert);
}

fn give(place: &mut Place, request: &InsertRequest<'_>, found: Found) {
    if place.verdict == Verdict::Sound {
        return;
    }
    if place.form == Form::Along {
        place.remarks.push(ALONG.to_owned());
        return;
    }
    match found(request) {
        Ok(strip) => place.insert = Some(strip),
        Err(reason) => place.remarks.push(format!("No insert: {reason}.")),
    }
}
