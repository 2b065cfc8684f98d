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
        let mut stopped = 0.0_f64;
        for place in self.proved(found).into_iter().filter(|place| place.worst() > 1.0) {
            let own =
                bands.iter().zip(added).filter(|(band, added)| band.away(place.at) <= band.width + **added);
            let own = own.min_by(|(a, _), (b, _)| a.away(place.at).total_cmp(&b.away(place.at)));
            let why = |band: &Band, added: f64| {
                if band.is_beyond(place.at) { Some(Stop::Outline) } else { band.stop(added, anew) }
            };
            let own = own.map(|(band, added)| (band, why(band, *added)));
            if own.is_none_or(|(_, stop)| stop.is_some()) {
                stopped = stopped.max(place.worst());
            }
            match own {
                None => elsewhere.push(place.at),
                Some((_, None)) => unsettled.push(place),
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
        // Wider than its neighbours need it a place helps nobody: only one that lacks most is left off early.
        unsettled.retain(|place| place.worst() > stopped);
        taken.sort_by_key(|taken| taken.place);
        taken.dedup_by_key(|taken| taken.place);
        let third = (!taken.is_empty()).then_some(Remark::ThirdTaken(taken));
        let order = [Stop::Opening, Stop::Width, Stop::Outline];
        let rules = order.into_iter().filter(|stop| stops.contains(stop)).filter_map(Stop::remark);
        let elsewhere = (!elsewhere.is_empty()).then_some(Remark::WeakElsewhere { at: elsewhere });
        let unsettled: Vec<_> = unsettled.into_iter().map(|place| place.at).collect();
        let unsettled = (!unsettled.is_empty()).then_some(Remark::Unsettled { at: unsettled });
        third.into_iter().chain(rules).chain(elsewhere).chain(unsettled).collect()
    }
}
