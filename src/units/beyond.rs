//! A number beside a limit that it misses.

/// A number with as many decimals, so many at least, as it takes to read on its own side of every limit: never as the one it misses.
pub(crate) fn beyond(number: f64, limits: &[f64], least: usize) -> String {
    if number.is_finite() && number.abs() >= LARGEST {
        return format!("{number:e}");
    }
    let written = |decimals: usize| format!("{number:.decimals$}");
    let told = |text: &String| {
        let same =
            |read: f64| limits.iter().all(|limit| read.partial_cmp(limit) == number.partial_cmp(limit));
        text.parse().is_ok_and(same)
    };
    (least..9).map(written).find(told).unwrap_or_else(|| number.to_string())
}

/// From here on a number has more digits than anybody reads: our own rule.
const LARGEST: f64 = 1e12;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_never_reads_as_the_limit_that_it_misses() {
        assert_eq!(beyond(0.9999, &[1.0], 3), "0.9999");
        assert_eq!(beyond(0.5, &[1.0], 3), "0.500");
        assert_eq!(beyond(1.0, &[1.0], 1), "1.0");
        assert_eq!(beyond(5_000.000_04, &[1.0, 5000.0], 0), "5000.00004");
        assert_eq!(beyond(1.0 - 1e-12, &[1.0], 3), "0.999999999999");
        assert_eq!(beyond(1e300, &[5000.0], 1), "1e300");
        assert_eq!(beyond(f64::NAN, &[1.0], 1), "NaN");
    }
}
