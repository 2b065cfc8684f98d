//! Inserts given by their size, and the coupon to try a fit with.

use geo_types::Polygon;

use super::error::{Fault, FitError};
use super::fitted::{Fit, faults, of_rectangle, with_pocket};
use super::options::Options;
use crate::shape::plane::point;
use crate::units::{Angle, Length};

/// Fits a bar by its length along the grain and its width; its lower left corner is the origin, its grain along x.
///
/// # Errors
///
/// [`FitError`] with every fault: see [`fit`](super::fit), and a size that is not from 1 mm to 2000 mm either way.
pub fn bar(length: Length, width: Length, options: &Options) -> Result<Fit, FitError> {
    let mut faults = faults(options);
    let (l, w) = (length.as_mm(), width.as_mm());
    if !(1.0..=2000.0).contains(&l) || !(1.0..=2000.0).contains(&w) {
        faults.push(Fault::BarSize([length, width]));
    }
    if !faults.is_empty() {
        return Err(FitError { faults });
    }
    let corners = [point(0.0, 0.0), point(l, 0.0), point(l, w), point(0.0, w)];
    let drawn = Polygon::new(corners.to_vec().into(), Vec::new());
    // The longer side first, the other to its left.
    let sides = if l >= w {
        [corners[0], point(l, 0.0), point(0.0, w)]
    } else {
        [corners[1], point(0.0, w), point(-l, 0.0)]
    };
    let (insert, rounded) = of_rectangle(sides, &drawn, options)?;
    with_pocket(insert, rounded, Angle::deg(0.0), options)
}

/// A small insert and pocket cut with the same bits, corners and clearance, to try the fit on scrap first.
///
/// Twice as wide as the wider bit and at least 12 mm, and twice as long as wide: enough to feel how it goes in.
///
/// # Errors
///
/// As for [`bar`].
pub fn coupon(options: &Options) -> Result<Fit, FitError> {
    let wide = (2.0 * options.pocket_bit.as_mm().max(options.insert_bit.as_mm())).max(12.0);
    // A relief takes up the bit's width of a side, at both of its ends.
    let wide = if options.corners == super::Corners::Relieved { 2.0 * wide } else { wide };
    bar(Length::mm(2.0 * wide), Length::mm(wide), options)
}
