//! How the wood gives way.

/// How the wood gives way.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mode {
    /// Fibres part from each other, pulled across.
    Split,
    /// Fibres slide along each other.
    ShearAlong,
    /// Fibres roll over each other.
    Rolling,
    /// Fibres break across.
    Fibre,
    /// The glue line opens.
    Glue,
}
