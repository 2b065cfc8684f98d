//! What can be wrong with a body, in words for a person.

use std::fmt;

/// Why a body cannot be calculated.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum SolidFault {
    /// A Young's or shear modulus that is zero, negative or no number.
    #[error("{what} is {found} MPa, but it has to be above zero; check the wood's figures")]
    NotAModulus {
        /// Which of the constants.
        what: &'static str,
        /// Its value.
        found: f64,
    },
    /// Poisson's ratios no material can have: squeezing it some way would give work.
    #[error(
        "Poisson's ratios {poisson:?} (along to in plane, along to through, in plane to through) are too great for \
         stiffnesses {young:?} MPa; check the wood's figures"
    )]
    NotStable {
        /// Young's moduli along, in plane and through.
        young: [f64; 3],
        /// The three ratios.
        poisson: [f64; 3],
    },
    /// A layer that is not above its bottom, or does not lie on the one before.
    #[error(
        "layer {layer} runs from {bottom} to {top} mm; every layer has to be thicker than zero and start where the \
         one before ends"
    )]
    Layer {
        /// Its number, from the back.
        layer: usize,
        /// Its bottom.
        bottom: f64,
        /// Its top.
        top: f64,
    },
    /// A layer, cut or parting that names a wood, zone, layer or triangle that is not there.
    #[error("{what} {found} is named, but there are only {count}; they are counted from 0")]
    Unknown {
        /// What is named.
        what: &'static str,
        /// The number given.
        found: usize,
        /// How many there are.
        count: usize,
    },
    /// A triangle without area or turned over.
    #[error("triangle {triangle} of the mesh is flat or clockwise at ({x}, {y}) mm; mesh the plan again")]
    FlatTriangle {
        /// Its number.
        triangle: usize,
        /// Where it is.
        x: f64,
        /// Where it is.
        y: f64,
    },
    /// There is no wood in any layer.
    #[error("there is no wood in any layer of the body; give at least one layer a wood")]
    NoWood,
    /// Parts that can still move as a whole.
    #[error("{} not held firmly; hold more of it", listed(.parts))]
    Loose {
        /// Each of them.
        parts: Vec<LoosePart>,
    },
    /// The equations came out wrong although every part is held: some stiffness is far too uneven.
    #[error(
        "the equations of the body could not be solved (a trial load came back {error:.1e} wrong); its layers or triangles are \
         far too thin or its woods far too unlike"
    )]
    Unsolvable {
        /// By how much a trial load was missed, relative to it; infinite if elimination broke off.
        error: f64,
    },
    /// More unknowns or coefficients than fit into memory.
    #[error("the body's {unknowns} unknowns do not fit into memory; choose a coarser mesh or fewer layers")]
    TooLarge {
        /// How many unknowns.
        unknowns: usize,
    },
}

/// A part of a body that can still move as a whole.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LoosePart {
    /// Its middle, in mm.
    pub at: [f64; 3],
    /// In how many of the six independent ways it can move.
    pub ways: usize,
}

fn listed(parts: &[LoosePart]) -> impl fmt::Display + '_ {
    struct Listed<'a>(&'a [LoosePart]);
    impl fmt::Display for Listed<'_> {
        fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
            for (index, LoosePart { at: [x, y, z], ways }) in self.0.iter().enumerate() {
                let comma = if index == 0 { "" } else { ", " };
                write!(
                    f,
                    "{comma}the part about ({x:.1}, {y:.1}, {z:.1}) mm (free to move in {ways} of 6 ways)"
                )?;
            }
            f.write_str(if self.0.len() == 1 { " is" } else { " are" })
        }
    }
    Listed(parts)
}
