//! One value of a wood in a board after the other: as printed, brought to its moisture, turned to its rings, or estimated.

use super::{
    Board, Property as P, Rings, Status, Value, Wood, catalogue,
    estimate::Regression,
    moisture::{self, DryGreen, VERY_DRY},
    movement,
    rift::Turned,
    table::Printed,
};
use std::collections::BTreeMap;

const ADJUSTED: &str = "brought to the board's moisture by Wood Handbook Eq. 5-3";

/// The values found so far; each property finds those it rests on here.
pub(super) struct Work<'a> {
    pub(super) wood: &'a Wood,
    pub(super) board: &'a Board,
    pub(super) values: BTreeMap<P, Value>,
}

impl Work<'_> {
    pub(super) fn derive(&self, property: P) -> Option<Value> {
        match property {
            P::Gravity => self.wood.dry.get(&property).map(|printed| from_table(property, printed)),
            P::TensionAcross => self.tension_across(),
            P::RollingShear => self.rolling_shear(),
            P::ShearAlong
            | P::Bending
            | P::CompressionAlong
            | P::CompressionAcross
            | P::Hardness
            | P::YoungAlong => self.by_moisture(property, self.board.moisture_pct),
            P::YoungRadial
            | P::YoungTangential
            | P::ShearModulusLr
            | P::ShearModulusLt
            | P::ShearModulusRt => self.modulus(property),
            P::PoissonLr | P::PoissonLt | P::PoissonRt => {
                self.wood.elastic.get(&property).map(|printed| from_table(property, printed))
            }
            P::YoungInPlane => self.by_rings(property, P::YoungTangential, P::YoungRadial, Turned::young),
            P::YoungThrough => self.by_rings(property, P::YoungRadial, P::YoungTangential, Turned::young),
            P::ShearModulusFace => {
                self.by_rings(property, P::ShearModulusLt, P::ShearModulusLr, Turned::shear)
            }
            P::ShearModulusThrough => {
                self.by_rings(property, P::ShearModulusLr, P::ShearModulusLt, Turned::shear)
            }
            P::ShearModulusRolling => self.rolling_modulus(),
            P::PoissonFace => self.poisson_along(property, P::PoissonLt, P::PoissonLr),
            P::PoissonThrough => self.poisson_along(property, P::PoissonLr, P::PoissonLt),
            P::PoissonRolling => self.poisson_rolling(),
            P::ShrinkageRadial | P::ShrinkageTangential => {
                self.wood.movement.get(&property).map(|printed| from_table(property, printed))
            }
            P::MovementRadial => self.movement(property, P::ShrinkageRadial),
            P::MovementTangential => self.movement(property, P::ShrinkageTangential),
        }
    }

    /// The dry value of a strength: as printed, or estimated from specific gravity.
    fn dry(&self, property: P) -> Option<Value> {
        if let Some(printed) = self.wood.dry.get(&property) {
            return Some(from_table(property, printed));
        }
        let gravity = self.values.get(&P::Gravity)?;
        let regression = Regression::of(property, self.wood.class())?;
        let value = Value::new(
            property,
            regression.at(gravity.value),
            Status::Estimated,
            regression.source(gravity.value),
        );
        let raised = if property == P::YoungAlong { catalogue::RAISED } else { "" };
        Some(value.remark(gravity.note.as_deref().unwrap_or_default()).remark(raised))
    }

    /// A strength or stiffness by Eq. 5-3 at `moisture_pct`; without a green value it stays as it was tested.
    fn by_moisture(&self, property: P, moisture_pct: f64) -> Option<Value> {
        let mut value = self.dry(property)?;
        let dry_pct = self.wood.dry_pct;
        if moisture_pct == dry_pct {
            return Some(value);
        }
        let Some(green) = self.wood.green.get(&property) else {
            return Some(
                value.remark(format!("As tested at {dry_pct} % moisture: no green value is at hand.")),
            );
        };
        let pair = DryGreen {
            dry: value.value,
            dry_pct,
            green: green.value,
            intersection_pct: self.wood.intersection_pct,
        };
        let (dry, wet) = (short(pair.dry), short(pair.green));
        let remark = format!("{dry} at {dry_pct} % and {wet} green ({}).", green.source);
        value.value = pair.at(moisture_pct);
        value.status = value.status.and(green.status);
        value.source = format!("{}; {ADJUSTED}", value.source);
        Some(value.remark(remark))
    }

    fn tension_across(&self) -> Option<Value> {
        let value = self.dry(P::TensionAcross)?;
        let green = self.wood.green.get(&P::TensionAcross).map(|printed| printed.value);
        Some(self.across(value, green))
    }

    /// A part of shear along the grain at 12 %.
    fn rolling_shear(&self) -> Option<Value> {
        let (part, words) = self.wood.class().rolling_part();
        let own = self.values.get(&P::ShearAlong).filter(|value| value.status == Status::Yours);
        let shear = match own {
            Some(own) => own.clone(),
            None => self.by_moisture(P::ShearAlong, 12.0)?,
        };
        let source = format!(
            "{words} of shear along the grain; the handbook's range is 18 to 28 % (Wood Handbook FPL-GTR-190 (2010), \
             ch. 5, less common properties; recalled)"
        );
        let value = Value::new(P::RollingShear, part * shear.value, Status::Estimated, source);
        if own.is_some() {
            return Some(value.remark("From your own shear along the grain."));
        }
        let green = self.wood.green.get(&P::ShearAlong).map(|printed| part * printed.value);
        Some(self.across(value, green))
    }

    /// Applies the rule for strengths across the grain.
    fn across(&self, mut value: Value, green: Option<f64>) -> Value {
        let moisture_pct = self.board.moisture_pct;
        if moisture_pct < VERY_DRY {
            return value.remark("Taken as at 12 %: nothing is known of so dry wood, and it scatters more.");
        }
        if moisture_pct <= 12.0 {
            return value;
        }
        let green = green.map(|green| (green, self.wood.intersection_pct));
        let dry = value.value;
        value.value = moisture::across_the_grain(dry, green, moisture_pct);
        value.status = value.status.and(Status::Recalled);
        value.source.push_str(
            "; lowered for moisture, by a fifth at 20 % (recalled) or on the way to the green value",
        );
        value.remark(format!("{} at 12 %.", short(dry)))
    }

    /// A ratio of the stiffness along the grain.
    fn modulus(&self, property: P) -> Option<Value> {
        let along = self.values.get(&P::YoungAlong)?;
        let ratio = self.wood.elastic.get(&property)?;
        let value = from_table(property, ratio);
        let source = format!("{} of stiffness along the grain: {}", ratio.value, ratio.source);
        let status = along.status.and(ratio.status);
        Some(Value { value: ratio.value * along.value, status, source, ..value })
    }

    /// A modulus in the board's own directions: of two principal ones, `flat` is it in flat-sawn and `quarter`
    /// in quarter-sawn stock, and `rift` gives it in between.
    fn by_rings(&self, property: P, flat: P, quarter: P, rift: fn(&Turned) -> f64) -> Option<Value> {
        let (flat, quarter) = (self.values.get(&flat)?, self.values.get(&quarter)?);
        Some(match self.board.rings {
            Rings::Flat => renamed(property, flat, "flat-sawn"),
            Rings::Quarter => renamed(property, quarter, "quarter-sawn"),
            Rings::Unknown => {
                let smaller = if flat.value <= quarter.value { flat } else { quarter };
                renamed(property, smaller, "rings unknown, the smaller of radial and tangential")
            }
            Rings::Rift => {
                let turned = self.turned()?;
                let status = turned.status.and(flat.status).and(quarter.status);
                Value::new(property, rift(&turned), status, RIFT)
            }
        })
    }

    fn rolling_modulus(&self) -> Option<Value> {
        let rolling = self.values.get(&P::ShearModulusRt)?;
        if self.board.rings != Rings::Rift {
            return Some(renamed(P::ShearModulusRolling, rolling, "radial and tangential"));
        }
        let turned = self.turned()?;
        Some(Value::new(P::ShearModulusRolling, turned.rolling(), turned.status.and(rolling.status), RIFT))
    }

    /// Poisson's ratio for a pull along the grain; between radial and tangential their mean, which is exact at
    /// 45 degrees.
    fn poisson_along(&self, property: P, flat: P, quarter: P) -> Option<Value> {
        let (flat, quarter) = (self.values.get(&flat)?, self.values.get(&quarter)?);
        Some(match self.board.rings {
            Rings::Flat => renamed(property, flat, "flat-sawn"),
            Rings::Quarter => renamed(property, quarter, "quarter-sawn"),
            Rings::Unknown | Rings::Rift => Value::new(
                property,
                f64::midpoint(flat.value, quarter.value),
                flat.status.and(quarter.status),
                format!("mean of along to radial and along to tangential: {}", flat.source),
            ),
        })
    }

    /// Poisson's ratio for a pull in plane. Radial and tangential are coupled by `ν_RT / E_R = ν_TR / E_T`
    /// whichever of them lies in plane.
    fn poisson_rolling(&self) -> Option<Value> {
        let property = P::PoissonRolling;
        let (plane, printed) = (self.values.get(&P::YoungInPlane)?, self.values.get(&P::PoissonRt)?);
        let radial = self.values.get(&P::YoungRadial)?;
        Some(match self.board.rings {
            Rings::Quarter => renamed(property, printed, "quarter-sawn"),
            Rings::Flat | Rings::Unknown => Value::new(
                property,
                printed.value * plane.value / radial.value,
                printed.status.and(plane.status).and(radial.status),
                format!(
                    "radial to tangential times stiffness in plane over radial (symmetry): {}",
                    printed.source
                ),
            ),
            Rings::Rift => {
                let turned = self.turned()?;
                Value::new(property, turned.poisson(), turned.status.and(printed.status), RIFT)
            }
        })
    }

    fn turned(&self) -> Option<Turned> {
        let of = |property| self.values.get(&property);
        let all = [
            of(P::YoungRadial)?,
            of(P::YoungTangential)?,
            of(P::ShearModulusRt)?,
            of(P::PoissonRt)?,
            of(P::ShearModulusLr)?,
            of(P::ShearModulusLt)?,
        ];
        let [radial, tangential, rolling, poisson, lr, lt] = all.map(|value| value.value);
        Some(Turned {
            radial: 1.0 / radial,
            tangential: 1.0 / tangential,
            coupling: -poisson / radial,
            rolling: 1.0 / rolling,
            along: [1.0 / lr, 1.0 / lt],
            status: all.into_iter().fold(Status::Published, |status, value| status.and(value.status)),
        })
    }

    /// As printed, or from the shrinkage.
    fn movement(&self, property: P, shrinkage: P) -> Option<Value> {
        if let (Some(printed), None) = (
            self.wood.movement.get(&property),
            self.values.get(&shrinkage).filter(|value| value.status == Status::Yours),
        ) {
            return Some(from_table(property, printed));
        }
        let shrinkage = self.values.get(&shrinkage)?;
        let source = format!("from the shrinkage of {} % by Wood Handbook Eq. 13-3 at 10 %", shrinkage.value);
        Some(Value::new(property, movement::coefficient(shrinkage.value), Status::Estimated, source))
    }
}

const RIFT: &str = "rift-sawn: radial and tangential stiffness turned by 45 degrees (orthotropic elasticity)";

fn from_table(property: P, printed: &Printed) -> Value {
    Value::new(property, printed.value, printed.status, printed.source).remark(printed.note)
}

/// The same number under the name it has in the board.
fn renamed(property: P, value: &Value, why: &str) -> Value {
    let source = format!("{why}: {}", value.source);
    Value { property, name: property.name(), source, ..value.clone() }
}

/// A number of a table as a note gives it.
fn short(value: f64) -> String {
    if value >= 1000.0 { format!("{value:.0}") } else { format!("{}", (value * 100.0).round() / 100.0) }
}
