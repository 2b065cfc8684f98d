//! The JSON that `check` gives to programs: its names, its nesting, its units and its order.
//!
//! The shape below is written by hand and is the promise; `docs/json.md` says it in words. A name that goes, comes
//! or changes its kind fails here, and has to be told in `CHANGELOG.md`.

mod copies;
mod remedies;
mod rings;

use std::{collections::BTreeMap, process::Command, sync::Mutex};

use serde_json::Value;
use shortgrain::drawing::words;
use shortgrain::units::Units;

/// What stands at a place of the answer.
enum Kind {
    Text,
    /// A unit; empty where a value has none.
    Unit,
    Flag,
    Count,
    /// In the unit its name ends in.
    Number,
    /// A number, or `null` where there is none.
    Maybe,
    /// One of these, or `null`.
    Perhaps(Box<Kind>),
    /// x and y.
    Spot,
    /// So many numbers.
    Numbers(usize),
    List(Box<Kind>),
    /// Exactly these names.
    Object(Vec<(&'static str, Kind)>),
    /// These names, and any of the others.
    Loose(Vec<(&'static str, Kind)>, Vec<(&'static str, Kind)>),
}

use Kind::{Count, Flag, Loose, Maybe, Number, Numbers, Object, Spot, Text, Unit};

fn list(kind: Kind) -> Kind {
    Kind::List(Box::new(kind))
}

/// The answer of a verb that judges designs: what all of them say, and what it alone does.
fn answer(more: Vec<(&'static str, Kind)>) -> Kind {
    let mut names = vec![
        ("schema", Text),
        (
            "board",
            Object(vec![
                ("wood", Text),
                ("thickness_mm", Number),
                ("grain_deg", Number),
                ("rings", Text),
                ("moisture_pct", Number),
            ]),
        ),
        ("wood", Object(vec![("name", Text), ("values", list(value()))])),
        ("push", Object(vec![("face_n", Number), ("side_n", Number), ("from", Text)])),
        ("cautions", list(Text)),
    ];
    names.extend(more);
    Object(names)
}

fn value() -> Kind {
    let always = vec![("name", Text), ("value", Number), ("unit", Unit), ("status", Text), ("source", Text)];
    Loose(always, vec![("note", Text)])
}

fn piece() -> Kind {
    Object(vec![
        ("name", Text),
        ("design", Text),
        ("bounds_mm", Numbers(4)),
        ("area_mm2", Number),
        ("openings", Count),
        ("loose", Flag),
        ("verdict", Text),
        ("any_breaks", Numbers(2)),
        ("weak_places", list(place())),
        ("remedies", list(remedy())),
        ("remarks", list(Text)),
    ])
}

fn place() -> Kind {
    Object(vec![
        ("id", Count),
        ("form", Text),
        ("width_mm", Number),
        ("neck_mm", Number),
        ("span_mm", Number),
        ("crossing_deg", Number),
        ("at_mm", Spot),
        ("face_push", push(vec![("from", Text), ("dents_at_n", Maybe)])),
        ("side_push", push(vec![("direction_deg", Number)])),
        ("verdict", Text),
        ("remarks", list(Text)),
    ])
}

fn push(more: Vec<(&'static str, Kind)>) -> Kind {
    let mut all = vec![
        ("breaks_at_n", Number),
        ("low_n", Number),
        ("risk", Number),
        ("push_at_mm", Spot),
        ("mode", Text),
        ("held", Text),
        ("closed_form_n", Number),
        ("closed_form", Object(closed_form(&more))),
        ("solid", Kind::Perhaps(Box::new(solid()))),
        ("break_line_mm", list(list(Spot))),
    ];
    all.extend(more);
    Object(all)
}

/// What the closed form's number is of; that of a side push has its direction as the push itself has.
fn closed_form(more: &[(&'static str, Kind)]) -> Vec<(&'static str, Kind)> {
    let mut all = vec![("push_at_mm", Spot), ("mode", Text), ("held", Text), ("break_line_mm", list(Spot))];
    all.extend(more.iter().any(|(name, _)| *name == "direction_deg").then_some(("direction_deg", Number)));
    all
}

/// Why the closed form and the solid model may differ.
const CAUSES: [&str; 11] = [
    "corner",
    "twist",
    "near_push",
    "no_section",
    "short_stub",
    "lengthwise",
    "uneven",
    "soft_neighbour",
    "stiff_neighbour",
    "elsewhere",
    "ply",
];

fn solid() -> Kind {
    Object(vec![
        ("plane", Text),
        ("traction_mpa", Numbers(3)),
        ("same_forces_n", Maybe),
        ("why", Kind::Perhaps(Box::new(Text))),
        ("why_factors", Loose(Vec::new(), CAUSES.map(|cause| (cause, Number)).into())),
        ("part", Text),
        (
            "after_crack",
            Kind::Perhaps(Box::new(Object(vec![
                ("cracks_at_n", Number),
                ("bears_n", Number),
                ("bears_standing", Text),
            ]))),
        ),
    ])
}

fn remedy() -> Kind {
    let after = || {
        Object(vec![
            ("breaks_at_n", Number),
            ("low_n", Number),
            ("risk", Number),
            ("gain", Number),
            ("gives_way", Text),
        ])
    };
    Object(vec![
        ("kind", Text),
        ("place", Count),
        ("summary", Text),
        ("reaches_goal", Flag),
        ("shortfall", Number),
        ("after", Object(vec![("verdict", Text), ("face_push", after()), ("side_push", after())])),
        (
            "insert",
            Object(vec![
                ("outline_mm", list(list(Spot))),
                ("after_piercing_mm", list(list(list(Spot)))),
                ("grain_deg", Number),
                ("depth_mm", Number),
                ("show_face_mm", Number),
                ("length_mm", Number),
                ("width_mm", Number),
            ]),
        ),
        ("remarks", list(Text)),
    ])
}

/// Everything in which `found` is not of `kind`.
fn faults(kind: &Kind, found: &Value, at: &str, out: &mut Vec<String>) {
    let numbers = |count: usize| {
        found.as_array().is_some_and(|all| all.len() == count && all.iter().all(Value::is_number))
    };
    let right = match kind {
        Text => found.as_str().is_some_and(|text| !text.is_empty()),
        Unit => found.is_string(),
        Flag => found.is_boolean(),
        Count => found.is_u64(),
        Number => found.as_f64().is_some_and(f64::is_finite),
        Maybe => found.is_null() || found.as_f64().is_some_and(f64::is_finite),
        Kind::Perhaps(kind) => {
            if !found.is_null() {
                faults(kind, found, at, out);
            }
            true
        }
        Spot => numbers(2),
        Numbers(count) => numbers(*count),
        Kind::List(each) => match found.as_array() {
            Some(all) => {
                for (i, one) in all.iter().enumerate() {
                    faults(each, one, &format!("{at}[{i}]"), out);
                }
                true
            }
            None => false,
        },
        Object(names) => named(names, &[], found, at, out),
        Loose(names, others) => named(names, others, found, at, out),
    };
    if !right {
        out.push(format!("{at}: {found}"));
    }
}

fn named(
    names: &[(&'static str, Kind)],
    others: &[(&'static str, Kind)],
    found: &Value,
    at: &str,
    out: &mut Vec<String>,
) -> bool {
    let Some(object) = found.as_object() else { return false };
    for (name, kind) in names {
        match object.get(*name) {
            Some(one) => faults(kind, one, &format!("{at}.{name}"), out),
            None => out.push(format!("{at}.{name} is missing")),
        }
    }
    for (name, one) in object {
        match others.iter().find(|(other, _)| other == name) {
            Some((_, kind)) => faults(kind, one, &format!("{at}.{name}"), out),
            None if names.iter().any(|(known, _)| known == name) => {}
            None => out.push(format!("{at}.{name} is not a promised name")),
        }
    }
    true
}

/// What a command prints, run beside the manifest.
fn printed(args: &[&str]) -> String {
    let done = Command::new(env!("CARGO_BIN_EXE_shortgrain"))
        .args(args)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .expect("the command runs");
    assert!(done.stderr.is_empty(), "{args:?}: {}", String::from_utf8_lossy(&done.stderr));
    String::from_utf8(done.stdout).expect("the answer is text")
}

const DESIGNS: [&str; 4] = [
    "shapes/house-number/house-number.svg",
    "shapes/drawer-label/drawer-label.svg",
    "shapes/planter-markers/planter-markers.svg",
    "shapes/pasta-gauge/pasta-gauge.svg",
];

/// What a check of a design answers; asked once, however many tests want it.
fn checked(design: &str) -> Value {
    static KNOWN: Mutex<BTreeMap<String, Value>> = Mutex::new(BTreeMap::new());
    let mut known = KNOWN.lock().expect("no test panics in here");
    let answer =
        || serde_json::from_str(&printed(&["check", design, "--json", "-"])).expect("the answer is JSON");
    known.entry(design.to_owned()).or_insert_with(answer).clone()
}

fn all<'a>(found: &'a Value, name: &str) -> &'a [Value] {
    found[name].as_array().unwrap_or_else(|| panic!("{name} is a list"))
}

fn number(found: &Value, name: &str) -> f64 {
    found[name].as_f64().unwrap_or_else(|| panic!("{name} is a number"))
}

#[test]
fn every_name_is_there_and_no_other() {
    let mut remedies = 0;
    for design in DESIGNS {
        let found = checked(design);
        let mut wrong = Vec::new();
        faults(&answer(vec![("pieces", list(piece()))]), &found, design, &mut wrong);
        assert!(wrong.is_empty(), "{}", wrong.join("\n"));
        assert_eq!(found["schema"], "shortgrain/check/1");
        remedies += all(&found, "pieces").iter().map(|piece| all(piece, "remedies").len()).sum::<usize>();
    }
    assert!(remedies > 0, "no design shows a remedy, so its names were not held");
}

#[test]
fn words_come_from_short_lists() {
    for design in DESIGNS {
        let found = checked(design);
        let one_of = |text: &Value, words: &[&str]| {
            assert!(words.iter().any(|word| text == word), "{design}: {text} is none of {words:?}");
        };
        one_of(&found["board"]["rings"], &["unknown", "flat", "quarter", "rift"]);
        for value in all(&found["wood"], "values") {
            one_of(&value["status"], &["published", "recalled", "estimated", "yours"]);
        }
        for piece in all(&found, "pieces") {
            one_of(&piece["verdict"], &["sound", "careful", "fragile"]);
            for place in all(piece, "weak_places") {
                one_of(&place["form"], &["arm", "bridge", "island", "along"]);
                one_of(&place["verdict"], &["sound", "careful", "fragile"]);
                one_of(&place["face_push"]["from"], &["face", "back"]);
                for push in [&place["face_push"], &place["side_push"]] {
                    one_of(&push["mode"], &["split", "shear_along", "rolling", "fibre", "glue"]);
                    one_of(&push["held"], &["place", "carried"]);
                }
            }
            for remedy in all(piece, "remedies") {
                one_of(&remedy["kind"], &["insert"]);
            }
        }
    }
}

/// Weakest first: the greater of a place's two risks never rises down the list, and ids count from 1.
#[test]
fn places_stand_weakest_first() {
    let mut seen = 0;
    for design in DESIGNS {
        for piece in all(&checked(design), "pieces") {
            let places = all(piece, "weak_places");
            let risk =
                |place: &Value| number(&place["face_push"], "risk").max(number(&place["side_push"], "risk"));
            for (i, place) in places.iter().enumerate() {
                assert_eq!(place["id"], i + 1);
            }
            for pair in places.windows(2) {
                assert!(risk(&pair[0]) >= risk(&pair[1]), "{design}: {} before {}", pair[0], pair[1]);
            }
            seen += places.len();
            let worst = places.first().map_or("sound", |place| place["verdict"].as_str().expect("a word"));
            assert_eq!(piece["verdict"], worst, "a piece is what its worst place is");
            for remedy in all(piece, "remedies") {
                assert!(
                    places.iter().any(|place| place["id"] == remedy["place"] && place["verdict"] != "sound")
                );
            }
        }
    }
    assert!(seen > 30, "only {seen} places were looked at");
}

/// Millimetres: spots lie on the piece, whose bounds are the drawing's (the label's `viewBox`: 76 x 44 mm of wood).
#[test]
fn spots_lie_within_the_bounds() {
    let label = checked("shapes/drawer-label/drawer-label.svg");
    let bounds: Vec<f64> =
        all(&label["pieces"][0], "bounds_mm").iter().map(|one| one.as_f64().expect("a number")).collect();
    assert!((bounds[2] - bounds[0] - 76.0).abs() < 0.001 && (bounds[3] - bounds[1] - 44.0).abs() < 0.001);
    for design in DESIGNS {
        for piece in all(&checked(design), "pieces") {
            let bounds: Vec<f64> =
                all(piece, "bounds_mm").iter().map(|one| one.as_f64().expect("a number")).collect();
            let inside = |spot: &Value, more: f64| {
                let at = [0, 1].map(|i| spot[i].as_f64().expect("a number"));
                let within = (0..2).all(|i| at[i] >= bounds[i] - more && at[i] <= bounds[i + 2] + more);
                assert!(within, "{design}: {spot} is off {bounds:?}");
            };
            for place in all(piece, "weak_places") {
                inside(&place["at_mm"], 0.001);
                for push in [&place["face_push"], &place["side_push"]] {
                    inside(&push["push_at_mm"], 0.001);
                    for line in all(push, "break_line_mm") {
                        assert_eq!(line.as_array().map(Vec::len), Some(2), "an interval has two ends");
                        inside(&line[0], 0.02);
                        inside(&line[1], 0.02);
                    }
                    let (low, mean) = (number(push, "low_n"), number(push, "breaks_at_n"));
                    assert!(0.0 < low && low < mean, "the 5 % point lies below the mean");
                    assert!((0.0..=1.0).contains(&number(push, "risk")), "a risk is a probability");
                }
            }
        }
    }
}

/// The report's table and the JSON are one answer.
#[test]
fn the_report_shows_the_same_numbers() {
    let design = "tests/transcripts/drawings/plain/fork.svg";
    let board = ["--wood", "cherry", "--thickness", "19mm", "--grain", "0deg"];
    let with = |more: &[&'static str]| {
        let mut args = vec!["check", design];
        args.extend(board);
        args.extend(more);
        printed(&args)
    };
    let found: Value = serde_json::from_str(&with(&["--json", "-"])).expect("the answer is JSON");
    let report = with(&[]);
    let places = all(&found["pieces"][0], "weak_places");
    assert!(places.len() >= 2);
    for place in places {
        let id = place["id"].to_string();
        let row = report
            .lines()
            .find(|line| line.split_whitespace().next() == Some(id.as_str()) && line.contains(" %"))
            .unwrap_or_else(|| panic!("place {id} has a row in\n{report}"));
        let strength = |push: &str| words::strength(Units::Metric, number(&place[push], "breaks_at_n"));
        let risk = |push: &str| words::risk(number(&place[push], "risk"));
        let cells = [
            place["form"].as_str().expect("a word").to_owned(),
            words::length(Units::Metric, number(place, "width_mm")),
            format!("{:.0}°", number(place, "crossing_deg")),
            strength("face_push"),
            risk("face_push"),
            strength("side_push"),
            risk("side_push"),
            place["verdict"].as_str().expect("a word").to_owned(),
        ];
        let mut rest = row;
        for cell in &cells {
            let at = rest.find(cell.as_str()).unwrap_or_else(|| panic!("{cell} in its turn in: {row}"));
            rest = &rest[at + cell.len()..];
        }
    }
}

#[test]
fn an_insert_that_is_offered_helps() {
    let mut offered = 0;
    for design in DESIGNS {
        for piece in all(&checked(design), "pieces") {
            for remedy in all(piece, "remedies") {
                let gain = |push: &str| number(&remedy["after"][push], "gain");
                let helps =
                    remedy["reaches_goal"] == true || gain("face_push").max(gain("side_push")) >= 1.04;
                assert!(helps, "{design}: {remedy}");
                offered += 1;
            }
        }
    }
    assert!(offered > 0);
}

#[test]
fn inserts_that_overlap_name_each_other() {
    let found = checked("shapes/snow-crystal/snow-crystal.svg");
    let remedies: Vec<&Value> =
        all(&found, "pieces").iter().flat_map(|piece| all(piece, "remedies")).collect();
    let named = |remedy: &Value| -> Vec<u64> {
        let remarks = all(remedy, "remarks").iter().filter_map(Value::as_str);
        let overlap = remarks.filter(|remark| remark.starts_with("It overlaps"));
        let words = overlap.flat_map(|remark| remark.split(|c: char| !c.is_ascii_digit()));
        words.filter_map(|word| word.parse().ok()).collect()
    };
    let id = |remedy: &Value| remedy["place"].as_u64().expect("a place has a number");
    let mut pairs = 0;
    for remedy in &remedies {
        for other in named(remedy) {
            let other = remedies.iter().find(|one| id(one) == other).expect("the other has an insert too");
            assert!(named(other).contains(&id(remedy)), "{remedy} and {other}");
            pairs += 1;
        }
    }
    // Six rays cross in the middle of it.
    assert!(pairs > 0, "nothing overlaps");
}

/// The units of the reader change nothing for a program.
#[test]
fn json_is_metric_whatever_the_reader_wants() {
    let fork = "tests/transcripts/drawings/plain/fork.svg";
    let board = ["--wood", "cherry", "--thickness", "19mm", "--grain", "0deg"];
    let bar = ["fit", "--bar", "60mm x 20mm", "--thickness", "19mm"];
    // Each is asked for what it has sentences with numbers about, but for thicker blanks and backers: those come in the
    // steps that the reader's boards come in.
    let asked = [
        vec!["check", DESIGNS[1]],
        [&["turn", fork, "--step", "45deg"][..], &board].concat(),
        [&["mend", fork, "--only", "widen,quarter-sawn"][..], &board].concat(),
        bar.to_vec(),
    ];
    for mut args in asked {
        args.extend(["--json", "-"]);
        let metric = printed(&args);
        args.extend(["--units", "in"]);
        assert_eq!(metric, printed(&args), "{args:?}");
    }
}

fn fit_answer() -> Kind {
    let part = |more: Vec<(&'static str, Kind)>| {
        let mut all = vec![
            ("length_mm", Number),
            ("width_mm", Number),
            ("area_mm2", Number),
            ("contours_mm", list(list(Numbers(3)))),
        ];
        all.extend(more);
        Object(all)
    };
    Object(vec![
        ("schema", Text),
        ("made_with", remedies::made_with()),
        (
            "fits",
            list(Object(vec![
                ("name", Text),
                ("design", Kind::Perhaps(Box::new(Text))),
                ("grain_deg", Number),
                ("insert", part(vec![("thickness_mm", Number)])),
                ("pocket", part(vec![("depth_mm", Number), ("reliefs", Count)])),
                ("cut_back_mm", Number),
                ("filled_mm", Number),
                ("show_face_mm", Maybe),
                ("careful", Flag),
            ])),
        ),
        ("files", list(Text)),
        ("cautions", list(Text)),
    ])
}

#[test]
fn every_name_of_a_fit_is_there_and_no_other() {
    let bar = ["fit", "--bar", "60mm x 20mm", "--thickness", "19mm", "--json", "-"];
    let drawn = [
        "fit",
        "tests/transcripts/drawings/plain/fork.svg",
        "--depth",
        "6mm",
        "--pocket-bit",
        "4mm",
        "--json",
        "-",
    ];
    for args in [&bar[..], &drawn[..]] {
        for corners in ["round", "relieved"] {
            let mut args = args.to_vec();
            args.extend(["--corners", corners]);
            let found: Value = serde_json::from_str(&printed(&args)).expect("the answer is JSON");
            let mut wrong = Vec::new();
            faults(&fit_answer(), &found, "fit", &mut wrong);
            assert!(wrong.is_empty(), "{}", wrong.join("\n"));
            assert_eq!(
                (&found["schema"], &found["made_with"]["corners"]),
                (&"shortgrain/fit/1".into(), &corners.into())
            );
            // What the contours enclose is the area they are said to have: shoelace, and a cap for each arc.
            for part in [&found["fits"][0]["insert"], &found["fits"][0]["pocket"]] {
                let enclosed: f64 = all(part, "contours_mm").iter().map(enclosed).sum();
                assert!((enclosed - number(part, "area_mm2")).abs() < 1e-3, "{enclosed} in {part}");
            }
        }
    }
}

fn enclosed(contour: &Value) -> f64 {
    let nodes: Vec<[f64; 3]> = contour
        .as_array()
        .expect("a list")
        .iter()
        .map(|node| [0, 1, 2].map(|i| node[i].as_f64().expect("a number")))
        .collect();
    let next = nodes.iter().cycle().skip(1);
    nodes
        .iter()
        .zip(next)
        .map(|([x, y, bulge], [u, v, _])| {
            let sweep = 4.0 * bulge.atan();
            let radius = if *bulge == 0.0 { 0.0 } else { (u - x).hypot(v - y) / (2.0 * (sweep / 2.0).sin()) };
            (x * v - u * y) / 2.0 + radius * radius / 2.0 * (sweep - sweep.sin())
        })
        .sum()
}
