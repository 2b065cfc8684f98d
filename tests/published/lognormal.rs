//! The risk of a push against scipy's lognormal distribution.
//!
//! Source: `tests/reference/lognormal.json`, made by `tests/reference/lognormal.py` with scipy; ten digits are
//! stored → 1e-8 of the value, and as much in the far tail.

use serde::Deserialize;
use shortgrain::strength::{factor_for_risk, fragile_factor, low, risk, scatter, sound_factor};

use super::agreement::agrees;

#[derive(Deserialize)]
struct Reference {
    fractiles: Vec<Fractiles>,
    risks: Vec<Risk>,
    margins: Vec<Margin>,
}

#[derive(Deserialize)]
struct Fractiles {
    cv: f64,
    s: f64,
    p01: f64,
    p05: f64,
    p50: f64,
    p95: f64,
}

#[derive(Deserialize)]
struct Risk {
    cv: f64,
    push_over_mean: f64,
    risk: f64,
}

#[derive(Deserialize)]
struct Margin {
    cv: f64,
    risk: f64,
    push_over_mean: f64,
    mean_over_push: f64,
}

fn reference() -> Reference {
    serde_json::from_str(include_str!("../reference/lognormal.json")).expect("the reference is well formed")
}

#[test]
fn one_in_twenty_breaks_below_low() {
    let fractiles = reference().fractiles;
    assert_eq!(fractiles.len(), 9);
    for row in fractiles {
        agrees(scatter(row.cv), row.s, 1e-8, "scatter of the logarithm");
        agrees(low(1.0, row.cv), row.p05, 1e-8, "5 % point");
        agrees(low(137.5, row.cv), 137.5 * row.p05, 1e-8, "5 % point, scaled");
        // The other fractiles by the inverse: a push as large as a fractile breaks that share.
        for (share, fractile) in [(0.01, row.p01), (0.05, row.p05), (0.5, row.p50), (0.95, row.p95)] {
            agrees(risk(fractile, 1.0, row.cv), share, 1e-8, "share below a fractile");
        }
    }
}

#[test]
fn a_push_breaks_as_many_as_scipy_says() {
    let risks = reference().risks;
    assert_eq!(risks.len(), 15);
    for row in risks {
        let ours = risk(row.push_over_mean * 83.0, 83.0, row.cv);
        agrees(ours, row.risk, 1e-8, &format!("risk at {} of the mean, cv {}", row.push_over_mean, row.cv));
    }
}

#[test]
fn the_margin_for_a_risk_is_scipy_s() {
    let margins = reference().margins;
    assert_eq!(margins.len(), 12);
    for row in margins {
        agrees(factor_for_risk(row.risk, row.cv), row.mean_over_push, 1e-8, "mean over push");
        agrees(1.0 / factor_for_risk(row.risk, row.cv), row.push_over_mean, 1e-8, "push over mean");
        if row.risk == 0.01 {
            agrees(sound_factor(row.cv), row.mean_over_push, 1e-8, "sound");
        }
        if row.risk == 0.2 {
            agrees(fragile_factor(row.cv), row.mean_over_push, 1e-8, "fragile");
        }
    }
}
