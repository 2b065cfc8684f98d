//! Reading the shipped tables into woods, joined by key.

use super::{
    Class, Property as P, Status, Wood,
    estimate::{self, TRUE_STIFFNESS},
    table::{self, Printed, Row, Sheet},
};
use std::{borrow::Cow, collections::BTreeMap, sync::LazyLock};

/// Reads every wood.
pub(super) fn read() -> Vec<Wood> {
    let tables = Tables::read();
    table::rows("species.tsv", include_str!("data/species.tsv"))
        .iter()
        .map(|row| wood(row, &tables))
        .collect()
}

fn wood(row: &Row, tables: &Tables) -> Wood {
    let key = row.text("key");
    let class = match row.text("class") {
        "hardwood" => Class::Hardwood,
        "softwood" => Class::Softwood,
        _ => row.broken("class"),
    };
    let green = tables.green.get(key);
    Wood {
        key: Cow::Borrowed(key),
        name: Cow::Borrowed(row.text("name")),
        printed_name: Cow::Borrowed(row.text("printed_name")),
        botanical: row.text("botanical"),
        class,
        note: row.text("note"),
        dry_pct: row.required("moisture_pct"),
        dry: dry(row),
        green: green.map(strengths).unwrap_or_default(),
        intersection_pct: green.map_or(USUAL_INTERSECTION, |row| row.required("intersection_pct")),
        elastic: elastic(&tables.chain("elastic", &tables.elastic, key), class),
        movement: movement(&tables.chain("movement", &tables.movement, key)),
        is_own: false,
    }
}

/// Mp where the handbook names none (Table 5-13: "others", 25 %).
pub(super) const USUAL_INTERSECTION: f64 = 25.0;

/// Said of every stiffness along the grain.
pub(super) const RAISED: &str =
    "Modulus of elasticity raised by 10 % to the true stiffness, as its table's footnote says.";

const STRENGTHS: [(&str, P); 7] = [
    ("tension_across_mpa", P::TensionAcross),
    ("shear_along_mpa", P::ShearAlong),
    ("bending_mpa", P::Bending),
    ("compression_along_mpa", P::CompressionAlong),
    ("compression_across_mpa", P::CompressionAcross),
    ("hardness_n", P::Hardness),
    ("elasticity_mpa", P::YoungAlong),
];

const RATIOS: [(&str, P); 8] = [
    ("et_el", P::YoungTangential),
    ("er_el", P::YoungRadial),
    ("glr_el", P::ShearModulusLr),
    ("glt_el", P::ShearModulusLt),
    ("grt_el", P::ShearModulusRt),
    ("nu_lr", P::PoissonLr),
    ("nu_lt", P::PoissonLt),
    ("nu_rt", P::PoissonRt),
];

/// The shipped tables, each under the key of its rows.
struct Tables {
    green: BTreeMap<&'static str, Row>,
    elastic: BTreeMap<&'static str, Row>,
    movement: BTreeMap<&'static str, Row>,
    /// Which row of another name a wood may use: (wood, table) to (row, why).
    links: BTreeMap<(&'static str, &'static str), (&'static str, &'static str)>,
}

impl Tables {
    fn read() -> Self {
        let by_key = |name, text| -> BTreeMap<_, _> {
            table::rows(name, text).into_iter().map(|row| (row.text("key"), row)).collect()
        };
        let links = table::rows("links.tsv", include_str!("data/links.tsv"));
        Self {
            green: by_key("species_green.tsv", include_str!("data/species_green.tsv")),
            elastic: by_key("elastic.tsv", include_str!("data/elastic.tsv")),
            movement: by_key("movement.tsv", include_str!("data/movement.tsv")),
            links: links
                .iter()
                .map(|row| ((row.text("key"), row.text("table")), (row.text("row"), row.text("why"))))
                .collect(),
        }
    }

    /// The row of `table` under the wood's own key, then the one it is linked to, with the reason.
    fn chain<'a>(
        &self,
        table: &'static str,
        rows: &'a BTreeMap<&'static str, Row>,
        key: &'static str,
    ) -> Vec<(&'a Row, &'static str)> {
        let own = rows.get(key).map(|row| (row, ""));
        let linked = self.links.get(&(key, table)).map(|(row, why)| {
            (rows.get(row).unwrap_or_else(|| panic!("links.tsv: {table}.tsv has a row {row}")), *why)
        });
        own.into_iter().chain(linked).collect()
    }
}

/// Strengths, with the printed modulus of elasticity raised to the true stiffness.
fn strengths(row: &Row) -> Sheet {
    let (status, source) = (row.status("status"), row.text("source"));
    let printed = |(column, property): (&str, P)| {
        let raise = if property == P::YoungAlong { TRUE_STIFFNESS } else { 1.0 };
        let note = if property == P::YoungAlong { RAISED } else { "" };
        Some((property, Printed { value: row.number(column)? * raise, status, source, note }))
    };
    STRENGTHS.into_iter().filter_map(printed).collect()
}

fn dry(row: &Row) -> Sheet {
    let mut sheet = strengths(row);
    if let Some(gravity) = row.number("gravity") {
        let (value, note) = match row.text("gravity_volume") {
            "dry" => (gravity, ""),
            "green" => (
                estimate::gravity_at(gravity, 12.0),
                "Specific gravity is printed on green volume; brought to the volume at 12 % by Eq. 4-12 and 4-13.",
            ),
            _ => row.broken("gravity_volume"),
        };
        sheet.insert(
            P::Gravity,
            Printed { value, status: row.status("status"), source: row.text("source"), note },
        );
    }
    sheet
}

/// The wood's own ratios, then those of the row it is linked to, then the defaults, field by field.
fn elastic(chain: &[(&Row, &'static str)], class: Class) -> Sheet {
    let mut sheet = default_elastic(class);
    for (row, why) in chain.iter().rev() {
        let published = row.text("published_fields");
        for (column, property) in RATIOS {
            let Some(value) = row.number(column) else { continue };
            let seen = published == "all" || published.split(' ').any(|field| field == column);
            let printed = if seen { Status::Published } else { Status::Recalled };
            let (status, note) = match *why {
                "" | "same species" => (printed, ""),
                "handbook row for the group" => (printed, "Row of the whole group in the handbook."),
                _ => (Status::Estimated, "Row of a kindred group, taken over by our own inference."),
            };
            sheet.insert(property, Printed { value, status, source: row.text(source_of(property)), note });
        }
    }
    sheet
}

/// The column that says where a ratio comes from.
fn source_of(property: P) -> &'static str {
    match property {
        P::PoissonLr | P::PoissonLt | P::PoissonRt => "poisson_source",
        _ => "ratio_source",
    }
}

/// Ratios for woods not listed, and the mean Poisson's ratios of the listed woods of the class.
pub(super) fn default_elastic(class: Class) -> Sheet {
    static DEFAULTS: LazyLock<[Sheet; 2]> =
        LazyLock::new(|| [Class::Hardwood, Class::Softwood].map(read_default_elastic));
    DEFAULTS[class as usize].clone()
}

fn read_default_elastic(class: Class) -> Sheet {
    let mut sheet = Sheet::new();
    let table = table::rows("elastic.tsv", include_str!("data/elastic.tsv"));
    let all = table.iter().find(|row| row.text("key") == "default_unlisted");
    let all = all.expect("elastic.tsv has a row for woods not listed");
    for (column, property) in RATIOS {
        if let Some(value) = all.number(column) {
            let note = "Ratio for woods not listed.";
            let printed =
                Printed { value, status: Status::Estimated, source: all.text("ratio_source"), note };
            sheet.insert(property, printed);
            continue;
        }
        let of_class = |row: &&Row| row.text("class") == class.word();
        let values: Vec<f64> = table.iter().filter(of_class).filter_map(|row| row.number(column)).collect();
        let value = values.iter().sum::<f64>() / values.len() as f64;
        let source = match class {
            Class::Hardwood => {
                "mean of the hardwoods listed from Wood Handbook FPL-GTR-190 (2010), Table 5-2"
            }
            Class::Softwood => {
                "mean of the softwoods listed from Wood Handbook FPL-GTR-190 (2010), Table 5-2"
            }
        };
        sheet.insert(property, Printed { value, status: Status::Estimated, source, note: "" });
    }
    sheet
}

/// Shrinkage and coefficients; a group's row fills only what the wood's own lacks.
fn movement(chain: &[(&Row, &'static str)]) -> Sheet {
    const FIELDS: [(&str, P, &str, &str); 4] = [
        ("radial_pct", P::ShrinkageRadial, "shrinkage_status", "shrinkage_source"),
        ("tangential_pct", P::ShrinkageTangential, "shrinkage_status", "shrinkage_source"),
        ("radial_per_pct", P::MovementRadial, "radial_status", "coefficient_source"),
        ("tangential_per_pct", P::MovementTangential, "tangential_status", "coefficient_source"),
    ];
    let mut sheet = Sheet::new();
    for (row, _) in chain {
        for (column, property, status, source) in FIELDS {
            if let (Some(value), false) = (row.number(column), sheet.contains_key(&property)) {
                let is_coefficient = matches!(property, P::MovementRadial | P::MovementTangential);
                let note = if is_coefficient { row.text("note") } else { "" };
                sheet.insert(
                    property,
                    Printed { value, status: row.status(status), source: row.text(source), note },
                );
            }
        }
    }
    sheet
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_table_reads_and_every_row_is_used() {
        let woods = Wood::all();
        let keys: std::collections::BTreeSet<_> = woods.iter().map(Wood::key).collect();
        assert_eq!(keys.len(), 106, "a key each");
        let tables = Tables::read();
        for key in tables.green.keys() {
            assert!(keys.contains(key), "species_green.tsv: {key}");
        }
        for ((key, table), (row, _)) in &tables.links {
            let rows = if *table == "elastic" { &tables.elastic } else { &tables.movement };
            assert!(keys.contains(key) && rows.contains_key(row), "links.tsv: {key}, {table}, {row}");
        }
        let linked = |table, key| tables.links.iter().any(|((_, t), (row, _))| *t == table && *row == key);
        for (table, rows) in [("elastic", &tables.elastic), ("movement", &tables.movement)] {
            for key in rows.keys() {
                assert!(
                    keys.contains(key) || linked(table, *key) || *key == "default_unlisted",
                    "{table}.tsv: {key}"
                );
            }
        }
    }

    #[test]
    fn every_printed_value_is_one_a_wood_can_have() {
        for wood in Wood::all() {
            for (property, printed) in wood.dry.iter().chain(&wood.green).chain(&wood.movement) {
                let [low, high] = property.range();
                assert!(
                    (low..=high).contains(&printed.value),
                    "{}: {property} {}",
                    wood.name(),
                    printed.value
                );
            }
            for printed in wood.elastic.values() {
                assert!(printed.value < 1.0, "{}: {}", wood.name(), printed.value);
            }
            assert!((20.0..=30.0).contains(&wood.intersection_pct) && wood.dry_pct < 16.0, "{}", wood.name());
        }
    }

    /// Why dry wood gets no credit across the grain (`docs/sources.md`): most woods gain, but many lose.
    #[test]
    fn drying_does_not_always_strengthen_wood_across_the_grain() {
        let both = |wood: &Wood| {
            let tension = |sheet: &Sheet| sheet.get(&P::TensionAcross).map(|printed| printed.value);
            Some(tension(&wood.dry)? / tension(&wood.green)?)
        };
        let mut gains: Vec<f64> = Wood::all().iter().filter_map(both).collect();
        gains.sort_by(f64::total_cmp);
        assert_eq!(gains.len(), 57);
        assert!((gains[28] - 1.17).abs() < 0.005, "median {}", gains[28]);
        assert_eq!(gains.iter().filter(|gain| **gain < 1.0).count(), 14);
    }
}
