//! What stops a widening short of its goal, place by place.

use crate::check::Finding;

use super::band::{Band, Stop};
use super::ground::Ground;
use super::patient::Ward;
use super::remark::{Remark, Taken};

impl Ward<'_> {
    /// Why what still lacks strength in a widened piece is made no wider, each reason once.
    pub(super) fn stopped(
        &self,
        found: &Finding,
        bands: &[Band],
        added: &[f64],
        anew: &Ground<'_>,
    ) -> Vec<Remark> {
        let (mut taken, mut elsewhere, mut unsettled) = (Vec::new(), Vec::new(), Vec::new());
        let mut stops: Vec<Stop> = Vec::new();
        for place in self.proved(found).into_iter().filter(|place| place.worst() > 1.0) {
            let own =
                bands.iter().zip(added).filter(|(band, added)| band.away(place.at) <= band.width + **added);
            let own = own.min_by(|(a, _), (b, _)| a.away(place.at).total_cmp(&b.away(place.at)));
            match own.map(|(band, added)| (band, band.stop(*added, anew))) {
                None => elsewhere.push(place.at),
                Some((_, None)) => unsettled.push(place.at),
                Some((band, Some(Stop::Third))) => {
                    taken.extend(band.taken(anew).map(|[taken_mm, width_mm]| Taken {
                        place: band.place,
                        taken_mm,
                        width_mm,
                    }))
                }
                Some((_, Some(stop))) => stops.push(stop),
            }
        }
        taken.sort_by_key(|taken| taken.place);
        taken.dedup_by_key(|taken| taken.place);
        let third = (!taken.is_empty()).then_some(Remark::ThirdTaken(taken));
        let order = [Stop::Opening, Stop::Width, Stop::Outline];
        let rules = order.into_iter().filter(|stop| stops.contains(stop)).filter_map(Stop::remark);
        let elsewhere = (!elsewhere.is_empty()).then_some(Remark::WeakElsewhere { at: elsewhere });
        let unsettled = (!unsettled.is_empty()).then_some(Remark::Unsettled { at: unsettled });
        third.into_iter().chain(rules).chain(elsewhere).chain(unsettled).collect()
    }
}
