//! How much of the back each of several boards may take, so that none meets another.
//!
//! Where one lies ahead of another in its line, both are cut short half way between their places; where they lie side by side, neither is wider
//! than to the middle between them. Boards whose grain crosses, and places that are one already, are no concern of this file.

use crate::shape::plane::cross;

use super::local::Box;
use super::site::Site;
use super::strips::ALIKE_DEG;

/// What is left between two boards, in mm, for the glue that they squeeze out: our own rule.
const BETWEEN: f64 = 2.0;

/// What its neighbours leave to a place's board, in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Share {
    /// Past either end of the place.
    pub(super) reaches: [f64; 2],
    /// Across its run.
    pub(super) width: f64,
}

impl Share {
    /// No neighbour is near.
    pub(super) const ALL: Self = Self { reaches: [f64::INFINITY; 2], width: f64::INFINITY };

    /// What a place's board is left by one neighbour.
    fn beside(site: &Site<'_>, other: &Site<'_>) -> Self {
        if cross(site.along, other.along).abs() > ALIKE_DEG.to_radians().sin() {
            return Self::ALL;
        }
        let own = site.core();
        let its = other.core().corners().map(|at| site.local.axes.inward(other.local.axes.outward(at)));
        let its = Box::about(its.into_iter());
        let [ahead, aside] = [(own.u, its.u), (own.v, its.v)].map(|(a, b)| (b[0] - a[1]).max(a[0] - b[1]));
        if aside >= BETWEEN {
            return Self { width: own.width() + aside - BETWEEN, ..Self::ALL };
        }
        let reach = (ahead - BETWEEN) / 2.0;
        let is_later = usize::from(its.u[0] > own.u[0]);
        let mut share = Self::ALL;
        if reach > 0.0 {
            share.reaches[is_later] = reach;
        }
        share
    }

    /// What both allow.
    fn and(self, other: Self) -> Self {
        let [a, b] = [self.reaches, other.reaches];
        Self { reaches: [a[0].min(b[0]), a[1].min(b[1])], width: self.width.min(other.width) }
    }
}

/// What each place's board is left by all the others.
pub(super) fn shares(sites: &[&Site<'_>]) -> Vec<Share> {
    let others = |k: usize| sites.iter().enumerate().filter(move |(other, _)| *other != k);
    let of =
        |k: usize| others(k).fold(Share::ALL, |share, (_, other)| share.and(Share::beside(sites[k], other)));
    (0..sites.len()).map(of).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::check::Place;
    use crate::mend::request::Whole;
    use crate::mend::sample::Case;
    use crate::shape::plane::point;
    use geo_types::{LineString, Polygon};

    /// What a bar is left, and how far down and up the plate its board may reach for that.
    #[derive(Debug)]
    struct Left {
        at: [f64; 2],
        share: Share,
        reaches: [f64; 2],
    }

    impl Left {
        fn of(place: &Place, site: &Site<'_>, share: Share) -> Self {
            let core = site.core();
            let end = |end: usize| {
                let root = site.local.axes.outward(point(core.u[end], 0.0)).y;
                // A run may have been drawn from the top.
                let up = site.along.y.signum() * [-1.0, 1.0][end];
                root + up * share.reaches[end]
            };
            let mut reaches = [end(0), end(1)];
            reaches.sort_by(f64::total_cmp);
            Self { at: [place.at.x, place.at.y], share, reaches }
        }
    }

    /// A plate 200 x 300 with windows, its grain along x, and what each of the bars between them is left.
    fn left(windows: &[[f64; 4]]) -> Vec<Left> {
        let ring = |[x0, y0, x1, y1]: [f64; 4]| {
            LineString::from(vec![(x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0)])
        };
        let windows = windows.iter().map(|window| ring(*window)).collect();
        let case = Case::of(Polygon::new(ring([0.0, 0.0, 200.0, 300.0]), windows));
        let (found, patient) = (case.found(), case.patient());
        let whole = Whole::of(&patient, 3.0);
        let bars: Vec<&Place> = found.places.iter().filter(|place| place.width_mm < 10.0).collect();
        let requests: Vec<_> = bars.iter().filter_map(|place| whole.request(place)).collect();
        let sites: Vec<_> = requests.iter().map(|request| Site::new(request).expect("a run")).collect();
        let shares = shares(&sites.iter().collect::<Vec<_>>());
        let those = bars.iter().zip(&sites).zip(shares);
        those.map(|((place, site), share)| Left::of(place, site, share)).collect()
    }

    fn of(all: &[Left], x: f64, y: f64) -> &Left {
        let near = |at: &[f64; 2]| (at[0] - x).abs() < 2.0 && (at[1] - y).abs() < 20.0;
        all.iter().find(|left| near(&left.at)).unwrap_or_else(|| panic!("{all:?}"))
    }

    /// By hand: bars 6 wide and 60 long about x = 100, from y 60 to 120 and from 160 to 220. Of the 40 between them 2 stay free, 19 go to each:
    /// the lower bar's board ends at 139 at the most, the upper one's begins at 141 at the least. At their other ends no neighbour is near.
    #[test]
    fn of_two_in_one_line_each_is_left_half_of_what_lies_between() {
        let all = left(&[
            [60.0, 60.0, 97.0, 120.0],
            [103.0, 60.0, 140.0, 120.0],
            [60.0, 160.0, 97.0, 220.0],
            [103.0, 160.0, 140.0, 220.0],
        ]);
        assert_eq!(all.len(), 2, "{all:?}");
        let [from, to] = of(&all, 100.0, 90.0).reaches;
        assert!(from == f64::NEG_INFINITY && (to - 139.0).abs() < 0.1, "{from} {to}");
        let [from, to] = of(&all, 100.0, 190.0).reaches;
        assert!((from - 141.0).abs() < 0.1 && to == f64::INFINITY, "{from} {to}");
    }

    /// By hand: bars 6 wide from x 77 to 83 and from 117 to 123 have 34 between them; 2 stay free, so that each may be 6 + 32 wide.
    #[test]
    fn of_two_side_by_side_each_may_be_as_wide_as_to_the_middle() {
        let all = left(&[[40.0, 60.0, 77.0, 120.0], [83.0, 60.0, 117.0, 120.0], [123.0, 60.0, 160.0, 120.0]]);
        for x in [80.0, 120.0] {
            let share = of(&all, x, 90.0).share;
            assert!((share.width - 38.0).abs() < 0.1, "{share:?}");
            assert_eq!(share.reaches, Share::ALL.reaches);
        }
    }

    #[test]
    fn one_alone_is_left_everything() {
        let all = left(&[[60.0, 60.0, 97.0, 120.0], [103.0, 60.0, 140.0, 120.0]]);
        assert_eq!(of(&all, 100.0, 90.0).share, Share::ALL);
    }
}
