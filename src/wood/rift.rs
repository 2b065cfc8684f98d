//! Stiffness across the grain of rift-sawn stock.

use super::Status;

/// The compliances across the grain, to be turned by 45 degrees about it.
///
/// A plane whose axes stand halfway between radial and tangential has
///
/// ```text
/// 1/E = ¼·(1/E_R + 1/E_T + 1/G_RT − 2·ν_RT/E_R)
/// 1/G = 1/E_R + 1/E_T + 2·ν_RT/E_R           (rolling)
/// 1/G = ½·(1/G_LR + 1/G_LT)                  (with the grain)
/// ν/E = ¼·(1/G_RT − 1/E_R − 1/E_T + 2·ν_RT/E_R)
/// ```
///
/// Since wood resists rolling so little, it is far softer across at 45 degrees than both ways square to it.
pub(super) struct Turned {
    pub(super) radial: f64,
    pub(super) tangential: f64,
    pub(super) coupling: f64,
    pub(super) rolling: f64,
    pub(super) along: [f64; 2],
    pub(super) status: Status,
}

impl Turned {
    pub(super) fn young(&self) -> f64 {
        4.0 / (self.radial + self.tangential + 2.0 * self.coupling + self.rolling)
    }

    pub(super) fn poisson(&self) -> f64 {
        0.25 * self.young() * (self.rolling - self.radial - self.tangential - 2.0 * self.coupling)
    }

    pub(super) fn rolling(&self) -> f64 {
        1.0 / (self.radial + self.tangential - 2.0 * self.coupling)
    }

    pub(super) fn shear(&self) -> f64 {
        let [lr, lt] = self.along;
        2.0 / (lr + lt)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rift_sawn_is_the_plane_turned_by_45_degrees() {
        // An isotropic plane, G = E / 2(1 + ν), is the same whichever way it is turned.
        let (young, poisson) = (1000.0, 0.3);
        let shear = young / (2.0 * (1.0 + poisson));
        let turned = Turned {
            radial: 1.0 / young,
            tangential: 1.0 / young,
            coupling: -poisson / young,
            rolling: 1.0 / shear,
            along: [1.0 / shear; 2],
            status: Status::Published,
        };
        assert!((turned.young() - young).abs() < 1e-9);
        assert!((turned.poisson() - poisson).abs() < 1e-12);
        assert!((turned.rolling() - shear).abs() < 1e-9 && (turned.shear() - shear).abs() < 1e-9);
    }
}
