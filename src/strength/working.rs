//! A worked answer: every number from the section's width to its 5 % point, for a person with a pencil.
//!
//! The numbers are those of the index itself: the same stresses, the same worst window, the same
//! strengths. Only the words are added here.

use super::section::{Plane, Spot, Worst};
use super::{BENDING_WINDOW, FaceForces, SHEAR_WINDOW, Section, SideForces, low, scatter, variation};
use crate::wood::Mechanics;

/// The numbers behind one answer, in the order a person would use them.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Working {
    /// One line a number.
    pub lines: Vec<WorkingLine>,
}

/// One number of a worked answer.
#[derive(Clone, Debug, PartialEq)]
pub struct WorkingLine {
    /// What it is, in words ("width square to the run").
    pub name: String,
    /// The number.
    pub value: f64,
    /// Its unit, as printed ("mm", "N mm", "MPa", "").
    pub unit: &'static str,
    /// How it comes about ("6·M / (w·t²)"), empty when it is measured off the drawing.
    pub formula: String,
    /// Where the rule or number is from.
    pub source: String,
}

const OWN_RULE: &str = "our rule: mean over a quarter of the section";
const OWN_MODEL: &str = "our own rule";
const BEAM: &str = "beam theory";
const SAINT_VENANT: &str = "Saint-Venant's torsion, sides scaled for wood";
const RESOLVED: &str = "stress resolved on the plane";
const WOOD: &str = "the wood's values";
const LOGNORMAL: &str = "lognormal distribution";

/// The worked answer for a section under the forces of a face push of 1 N.
pub fn explain_face(section: &Section, forces: &FaceForces, wood: &Mechanics) -> Vec<WorkingLine> {
    let ready = section.against(wood);
    let worst = ready.worst_face(forces);
    let mut page = Page::open(section);
    page.row("bending moment of a push of 1 N", forces.moment, "N mm", "M = force × lever", "statics");
    page.row("twisting moment of a push of 1 N", forces.torsion, "N mm", "T = force × offset", "statics");
    page.row("shear of a push of 1 N", forces.shear, "N", "V", "statics");
    if worst.spot == Spot::Middle {
        let torsion = ready.torsion();
        page.row("area", ready.area(), "mm²", "A = w·t", BEAM);
        page.row("shear factor, middle window", SHEAR_WINDOW, "", "k = 1.5·(1 − 1/48)", OWN_RULE);
        if forces.torsion != 0.0 {
            page.row("torsion coefficient, walls", torsion.alpha_wall, "", "α_r", SAINT_VENANT);
            page.row("torsion modulus, walls", torsion.wall, "mm³", "α_r·t·w²", SAINT_VENANT);
            page.row("twisting factor, wall window", BENDING_WINDOW, "", "c = 1 − 1/4", OWN_RULE);
        }
        let formula =
            if forces.torsion == 0.0 { "τ_z = k·V/A" } else { "τ_z = k·V/A + c·T/(α_r·t·w²)" };
        page.row("shear through the thickness, middle", worst.stress.through, "MPa", formula, BEAM);
    } else {
        page.row("section modulus", ready.face_modulus(), "mm³", "W = w·t²/6", BEAM);
        page.row("bending factor, edge window", BENDING_WINDOW, "", "c = 1 − 1/4", OWN_RULE);
        // The other face, or a push from the other side, has both signs the other way about.
        let (bending, twisting) = if worst.spot == Spot::Edge {
            ("σ = c·M/W", "τ = −c·T/(α_L·w·t²)")
        } else {
            ("σ = −c·M/W (the other face, or pushed from the other side)", "τ = c·T/(α_L·w·t²)")
        };
        page.row("stress along the run, face edge", worst.stress.run, "MPa", bending, BEAM);
        if forces.torsion != 0.0 {
            let torsion = ready.torsion();
            page.row("torsion coefficient, faces", torsion.alpha_face, "", "α_L", SAINT_VENANT);
            page.row("torsion modulus, faces", torsion.face, "mm³", "α_L·w·t²", SAINT_VENANT);
            page.row("shear in the face, face edge", worst.stress.in_plane, "MPa", twisting, SAINT_VENANT);
        }
    }
    page.finish(section, &worst, wood)
}

/// The worked answer for a section under the forces of a side push of 1 N.
pub fn explain_side(section: &Section, forces: &SideForces, wood: &Mechanics) -> Vec<WorkingLine> {
    let ready = section.against(wood);
    let worst = ready.worst_side(forces);
    let mut page = Page::open(section);
    page.row("bending moment of a push of 1 N", forces.moment, "N mm", "M = force × lever", "statics");
    page.row("force along the run of a push of 1 N", forces.normal, "N", "N", "statics");
    page.row("shear of a push of 1 N", forces.shear, "N", "V", "statics");
    page.row("area", ready.area(), "mm²", "A = w·t", BEAM);
    if worst.plane == Plane::Pressed {
        page.row("mean stress along the run", worst.stress.run, "MPa", "σ = N/A", BEAM);
    } else if worst.spot == Spot::Middle {
        page.row("shear factor, middle window", SHEAR_WINDOW, "", "k = 1.5·(1 − 1/48)", OWN_RULE);
        page.row("stress along the run, middle", worst.stress.run, "MPa", "σ = N/A", BEAM);
        page.row("shear in the board's plane, middle", worst.stress.in_plane, "MPa", "τ = k·V/A", BEAM);
    } else {
        let formula = if worst.spot == Spot::Edge { "σ = N/A + c·M/W" } else { "σ = N/A − c·M/W" };
        page.row("section modulus", ready.side_modulus(), "mm³", "W = t·w²/6", BEAM);
        page.row("bending factor, edge window", BENDING_WINDOW, "", "c = 1 − 1/4", OWN_RULE);
        page.row("stress along the run, wall edge", worst.stress.run, "MPa", formula, BEAM);
    }
    page.finish(section, &worst, wood)
}

/// Lines being written.
struct Page {
    lines: Vec<WorkingLine>,
}

impl Page {
    fn open(section: &Section) -> Self {
        let mut page = Self { lines: Vec::with_capacity(24) };
        page.row("width square to the run", section.width, "mm", "", "the drawing");
        page.row("thickness", section.thickness, "mm", "", "the board");
        page.row("crossing angle of run and grain", section.crossing.to_degrees(), "deg", "φ", "the drawing");
        page
    }

    fn row(&mut self, name: &str, value: f64, unit: &'static str, formula: &str, source: &str) {
        self.lines.push(WorkingLine {
            name: name.to_owned(),
            value,
            unit,
            formula: formula.to_owned(),
            source: source.to_owned(),
        });
    }

    /// From the stresses of the worst window to the force, its scatter and its 5 % point.
    fn finish(mut self, section: &Section, worst: &Worst, wood: &Mechanics) -> Vec<WorkingLine> {
        let traction = worst.traction;
        // The part of the grain to the left is signed by its turn; say so in the formula where it matters.
        let turned =
            if section.turn < 0.0 { "φ counted negative: the grain leans to the right" } else { "" };
        let with_turn = |formula: &str| match turned {
            "" => formula.to_owned(),
            note => format!("{formula} ({note})"),
        };
        match worst.plane {
            Plane::Grain => {
                let formula = with_turn("σn = σ·sin²φ − 2·τ·sinφ·cosφ");
                self.row("pull across the grain", traction.normal, "MPa", &formula, RESOLVED);
                self.row("tension across the grain", wood.tension_across, "MPa", "f_t90", WOOD);
                let formula = with_turn("τL = σ·sinφ·cosφ − τ·cos 2φ");
                self.row("shear along the grain", traction.along, "MPa", &formula, RESOLVED);
                self.row("shear strength along the grain", wood.shear_along, "MPa", "f_v", WOOD);
                let formula = with_turn("τr = τ_z·sinφ");
                self.row("shear that rolls the fibres", traction.through, "MPa", &formula, RESOLVED);
                self.row("rolling shear strength", wood.rolling_shear, "MPa", "f_r", WOOD);
            }
            Plane::Fibres => {
                let formula = with_turn("σL = σ·cos²φ + 2·τ·sinφ·cosφ");
                self.row("pull along the grain", traction.normal, "MPa", &formula, RESOLVED);
                let strength = BENDING_WINDOW * wood.bending;
                self.row("modulus of rupture", wood.bending, "MPa", "MOR", WOOD);
                self.row("as a mean over the edge window", strength, "MPa", "0.75·MOR", OWN_RULE);
                let formula = with_turn("τ1 = σ·sinφ·cosφ − τ·cos 2φ");
                self.row("shear along the grain, in plane", traction.along, "MPa", &formula, RESOLVED);
                self.row(
                    "shear along the grain, through",
                    traction.through,
                    "MPa",
                    "τ2 = τ_z·cosφ",
                    RESOLVED,
                );
                self.row("shear strength along the grain", wood.shear_along, "MPa", "f_v", WOOD);
            }
            Plane::Pressed => {
                self.row("pressing along the grain", -traction.normal, "MPa", "−σ·cos²φ", RESOLVED);
                self.row("compression along the grain", wood.compression_along, "MPa", "f_cL", WOOD);
            }
        }
        let formula = match worst.plane {
            Plane::Grain => "√((σn⁺/f_t90)² + (τL/f_v)² + (τr/f_r)²)",
            Plane::Fibres => "√((σL⁺/(0.75·MOR))² + (τ1² + τ2²)/f_v²)",
            Plane::Pressed => "−σ·cos²φ/f_cL",
        };
        let index = worst.index();
        self.row("index of a push of 1 N", index.value, "per N", formula, OWN_MODEL);
        self.row("breaks at", index.breaks_at(), "N", "1 / index", OWN_MODEL);
        let v = variation(&index.shares, wood);
        let formula = "√((Σ share·V_part)² + V_estimate² + 0.20²)";
        self.row(
            "coefficient of variation",
            v,
            "",
            formula,
            "Wood Handbook's scatter (recalled); model 0.20: our own",
        );
        let s = scatter(v);
        self.row("scatter of the logarithm", s, "", "s = √(ln(1 + V²))", LOGNORMAL);
        let five = low(index.breaks_at(), v);
        self.row("low: one in twenty breaks at less", five, "N", "breaks at·exp(−s²/2 − 1.645·s)", LOGNORMAL);
        self.lines
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::strength::tests::cherry;

    fn value(lines: &[WorkingLine], name: &str) -> f64 {
        lines
            .iter()
            .find(|line| line.name.starts_with(name))
            .unwrap_or_else(|| panic!("no line {name}"))
            .value
    }

    /// Redo every step from the printed lines alone, at every angle and mode.
    #[test]
    fn a_pencil_gets_the_same_force() {
        let wood = cherry();
        for degrees in [0.0, 10.0, 20.0, 45.0, 70.0, 90.0_f64] {
            for (turn, torsion, shear) in [(1.0, 0.0, 1.0), (-1.0, 200.0, 1.0), (1.0, -90.0, 90.0)] {
                let section = Section { width: 8.0, thickness: 19.0, crossing: degrees.to_radians(), turn };
                let forces = FaceForces { moment: -30.0, torsion, shear };
                let lines = explain_face(&section, &forces, &wood);
                let index = section.face(&forces, &wood);
                assert_eq!(value(&lines, "breaks at"), index.breaks_at());
                redo(&lines, index.value);
                let forces = SideForces { moment: 30.0, normal: -2.0 * turn, shear };
                let lines = explain_side(&section, &forces, &wood);
                let index = section.side(&forces, &wood);
                assert_eq!(value(&lines, "breaks at"), index.breaks_at());
                redo(&lines, index.value);
            }
        }
    }

    /// From the drawing's numbers to the stresses, with the sign that the formula prints, then to the
    /// index.
    fn redo(lines: &[WorkingLine], index: f64) {
        let has = |name: &str| lines.iter().any(|line| line.name.starts_with(name));
        let formula =
            |name: &str| &lines.iter().find(|line| line.name.starts_with(name)).expect(name).formula;
        let close = |a: f64, b: f64| assert!((a - b).abs() <= 1e-12 * b.abs().max(1e-3), "{a} {b}");
        let (w, t, phi) =
            (value(lines, "width"), value(lines, "thickness"), value(lines, "crossing").to_radians());
        let (m, v) = (value(lines, "bending moment"), value(lines, "shear of a push"));
        let (mut run, mut in_plane, mut through) = (0.0, 0.0, 0.0);
        if has("stress along the run, face edge") {
            let sign = if formula("stress along the run").contains('−') { -1.0 } else { 1.0 };
            run = sign * 0.75 * m / (w * t * t / 6.0);
            if has("shear in the face") {
                let sign = if formula("shear in the face").contains('−') { -1.0 } else { 1.0 };
                let resistance = value(lines, "torsion coefficient") * w * t * t;
                in_plane = sign * 0.75 * value(lines, "twisting moment") / resistance;
            }
        } else if has("shear through the thickness, middle") {
            through = 1.47 * v.abs() / (w * t);
            if has("torsion coefficient") {
                let resistance = value(lines, "torsion coefficient") * t * w * w;
                through += 0.75 * value(lines, "twisting moment").abs() / resistance;
            }
        } else {
            run = value(lines, "force along the run") / (w * t);
            if has("stress along the run, wall edge") {
                let sign = if formula("stress along the run").contains('−') { -1.0 } else { 1.0 };
                run += sign * 0.75 * m / (t * w * w / 6.0);
            } else if has("shear in the board's plane") {
                in_plane = 1.47 * v / (w * t);
            }
        }
        let turned = lines.iter().any(|line| line.formula.contains("φ counted negative"));
        let (sin, cos) = (if turned { -phi } else { phi }).sin_cos();
        let along = run * sin * cos - in_plane * (cos * cos - sin * sin);
        if has("pull across") {
            close(value(lines, "pull across"), run * sin * sin - 2.0 * in_plane * sin * cos);
            close(value(lines, "shear along the grain"), along);
            close(value(lines, "shear that rolls"), through * sin);
        } else if has("pull along") {
            close(value(lines, "pull along"), run * cos * cos + 2.0 * in_plane * sin * cos);
            close(value(lines, "shear along the grain, in plane"), along);
            close(value(lines, "shear along the grain, through"), through * cos);
        }
        let by_hand = if has("pull across") {
            let across = value(lines, "pull across").max(0.0) / value(lines, "tension across");
            let along = value(lines, "shear along the grain") / value(lines, "shear strength");
            let rolling = value(lines, "shear that rolls") / value(lines, "rolling shear");
            (across * across + along * along + rolling * rolling).sqrt()
        } else if has("pull along") {
            let fibre = value(lines, "pull along").max(0.0) / (0.75 * value(lines, "modulus of rupture"));
            let one = value(lines, "shear along the grain, in plane") / value(lines, "shear strength");
            let two = value(lines, "shear along the grain, through") / value(lines, "shear strength");
            (fibre * fibre + one * one + two * two).sqrt()
        } else {
            value(lines, "pressing along") / value(lines, "compression along")
        };
        assert!((by_hand / index - 1.0).abs() < 1e-12, "{by_hand} {index}");
    }
}
