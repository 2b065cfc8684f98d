//! The JSON of `turn` and `mend`, written by hand as the promise.

use serde_json::Value;

use super::Kind::{self, Count, Flag, Loose, Maybe, Number, Numbers, Object, Perhaps, Spot, Text};
use super::{all, answer, faults, list, number, piece, printed};

fn boxed(kind: Kind) -> Kind {
    Perhaps(Box::new(kind))
}

fn angle(more: Vec<(&'static str, Kind)>) -> Kind {
    let mut names = vec![
        ("deg", Number),
        ("weakest_n", Maybe),
        ("over_push", Maybe),
        ("push", boxed(Text)),
        ("weak_place_at_mm", boxed(Spot)),
        ("form", boxed(Text)),
        ("crossing_deg", Maybe),
        ("verdict", Text),
    ];
    names.extend(more);
    Object(names)
}

fn turn() -> Kind {
    let proved = || angle(vec![("closed_form", angle(Vec::new())), ("piece", piece())]);
    let of_piece = Object(vec![
        ("name", Text),
        ("design", Text),
        ("best_deg", Number),
        ("turning_is_enough", Flag),
        ("turning", Text),
        ("summary", Text),
        ("turn_by_deg", Number),
        ("gain", Maybe),
        ("spread", Maybe),
        ("flat_deg", Numbers(2)),
        ("always_crossing_deg", Number),
        ("present", proved()),
        ("best", proved()),
        ("worst", proved()),
        ("angles", list(angle(Vec::new()))),
    ]);
    let numbers = Object(vec![
        ("angles", Text),
        ("present, best, worst", Text),
        ("flat_deg, spread, always_crossing_deg", Text),
        ("gain", Text),
    ]);
    answer(vec![("numbers", numbers), ("pieces", list(of_piece))])
}

/// A piece as `check` gives it, but that its remedies are others.
fn mended_piece() -> Kind {
    let Object(names) = piece() else { panic!("a piece has names") };
    let mut names: Vec<(&'static str, Kind)> =
        names.into_iter().filter(|(name, _)| *name != "remedies").collect();
    names.push(("remedies", list(remedy())));
    names.push(("order", list(step())));
    names.push((
        "declined",
        list(Object(vec![
            ("kind", Text),
            ("why", Text),
            ("shortfall", Maybe),
            ("standing", boxed(Text)),
            ("no_shortfall", boxed(Text)),
        ])),
    ));
    Object(names)
}

fn step() -> Kind {
    Object(vec![
        ("cut", Text),
        ("numbers", list(Count)),
        ("for_places", list(Count)),
        ("at_mm", boxed(Spot)),
        ("frees", list(Count)),
        ("frees_places", list(Count)),
    ])
}

/// A mended piece: each place has the number that it is called by, too.
fn renumbered() -> Kind {
    let Object(mut names) = piece() else { panic!("a piece has names") };
    for (name, kind) in &mut names {
        if *name == "weak_places" {
            let Kind::List(place) = kind else { panic!("places are a list") };
            let Object(of_place) = place.as_mut() else { panic!("a place has names") };
            of_place.push(("number", Count));
        }
    }
    Object(names)
}

fn remedy() -> Kind {
    let always = vec![
        ("kind", Text),
        ("summary", Text),
        ("reaches_goal", Flag),
        ("shortfall", Maybe),
        ("gain", Maybe),
        ("standing", Text),
        ("after", boxed(renumbered())),
        (
            "weakest_after",
            boxed(Object(vec![("breaks_at_n", Number), ("push", Text), ("at_mm", Spot), ("standing", Text)])),
        ),
        ("order", list(step())),
        (
            "breaks_sooner",
            list(Object(vec![("place", Count), ("push", Text), ("before_n", Number), ("after_n", Number)])),
        ),
        ("remarks", list(Text)),
        ("seasons", boxed(seasons())),
    ];
    let bar = Object(vec![("places", list(Count)), ("at_mm", Spot), ("from_mm", Maybe), ("to_mm", Number)]);
    let insert = Object(vec![
        ("places", list(Count)),
        ("outline_mm", list(list(Spot))),
        ("after_piercing_mm", list(list(list(Spot)))),
        ("grain_deg", Number),
        ("depth_mm", Number),
        ("show_face_mm", Number),
        ("length_mm", Number),
        ("width_mm", Number),
        ("pocket_mm", boxed(list(list(Spot)))),
        ("mismatch_mm", Maybe),
    ]);
    let backer = Object(vec![
        ("places", list(Count)),
        ("outline_mm", list(list(Spot))),
        ("after_piercing_mm", list(list(list(Spot)))),
        ("grain_deg", Number),
        ("thickness_mm", Number),
        ("length_mm", Number),
        ("width_mm", Number),
    ]);
    let wood =
        Object(vec![("name", Text), ("reaches_goal", Flag), ("shortfall", Number), ("standing", Text)]);
    Loose(
        always,
        vec![
            ("grain", Object(vec![("deg", Number), ("turn_by_deg", Number)])),
            ("outline", Object(vec![("outline_mm", list(list(Spot))), ("bars", list(bar))])),
            ("thickness_mm", Number),
            ("rings", Text),
            ("woods", list(wood)),
            ("inserts", list(insert)),
            ("empty_pockets", renumbered()),
            ("empty_pockets_standing", boxed(Text)),
            ("backers", list(backer)),
            ("plies", list(Object(vec![("thickness_mm", Number), ("grain_deg", Number)]))),
            ("material", Text),
        ],
    )
}

fn seasons() -> Kind {
    let layer = Object(vec![
        ("layer", Text),
        ("word", Text),
        ("width_mm", Number),
        ("thickness_mm", Number),
        ("mismatch_mm", Number),
        ("stress_mpa", Number),
        ("stress_part", Number),
        ("edge_shear_mpa", Number),
        ("shear_part", Number),
        ("splits_from_mm", Maybe),
        ("full_width_mm", Maybe),
        ("mild_width_mm", Number),
    ]);
    let reach = Object(vec![
        ("needed_mm", Number),
        ("there_mm", Number),
        ("short_by_mm", Number),
        ("by", Text),
        ("by_shear_mm", Number),
        ("by_peel_mm", Number),
        ("useful_mm", Number),
        ("overfull", Flag),
    ]);
    let trade = Object(vec![
        ("reach_by_thickness_mm", Number),
        ("reach_by_width_mm", Number),
        ("length_mm", Number),
        ("no_worry_mm", Number),
        ("avoid_mm", Number),
        ("word", Text),
    ]);
    let depth = Object(vec![
        ("depth_mm", Number),
        ("show_face_mm", Number),
        ("usual", Flag),
        ("face_n", Maybe),
        ("side_n", Maybe),
        ("cup_mm", Number),
    ]);
    let joint = Object(vec![
        ("places", list(Count)),
        ("bears_mpa", Number),
        ("layers", list(layer)),
        ("reach", boxed(reach)),
        ("trade", boxed(trade)),
        ("depths", list(depth)),
        ("no_depths", boxed(Text)),
    ]);
    let cup = Object(vec![
        ("rise_mm", Number),
        ("over_mm", Number),
        ("limit_mm", Number),
        ("flat", Flag),
        ("hollow_when_dry", Text),
    ]);
    Object(vec![
        ("word", Text),
        ("across_per_pct", Number),
        ("along_per_pct", Number),
        ("across_is", Text),
        ("status", Text),
        ("cup", cup),
        ("joints", list(joint)),
    ])
}

/// What inserts and pockets are made with.
pub(crate) fn made_with() -> Kind {
    let glue = Object(vec![
        ("name", Text),
        ("least_clearance_mm", Number),
        ("most_clearance_mm", Number),
        ("from", Text),
    ]);
    Object(vec![
        ("clearance_mm", Number),
        ("pocket_bit_mm", Number),
        ("insert_bit_mm", Number),
        ("corners", Text),
        ("proud_mm", Number),
        ("thickness_mm", Maybe),
        ("glue", glue),
    ])
}

/// The year of the whole answer.
fn year() -> Kind {
    let glue = Object(vec![
        ("name", Text),
        ("lasts", Flag),
        ("widest_gap_mm", Maybe),
        ("why", Text),
        ("standing", Text),
    ]);
    let standing = [
        "along",
        "creep",
        "glue_line",
        "stress",
        "joint",
        "energy",
        "word",
        "reach_by_shear",
        "useful_reach",
        "reach_by_peel",
        "least_reach",
        "shortest_reach",
        "lacking",
        "cup",
        "flat",
        "depths",
        "trade_reach",
        "trade_length",
    ];
    let standing = Object(standing.map(|rule| (rule, Text)).into());
    Object(vec![
        ("service", Text),
        ("dry_pct", Number),
        ("damp_pct", Number),
        ("glued_pct", Maybe),
        ("from", Text),
        ("glues", list(glue)),
        ("standing", standing),
    ])
}

fn parsed(args: &[&str]) -> Value {
    serde_json::from_str(&printed(args)).expect("the answer is JSON")
}

#[track_caller]
fn holds(kind: &Kind, found: &Value) {
    let mut out = Vec::new();
    faults(kind, found, "answer", &mut out);
    assert!(out.is_empty(), "{out:#?}");
}

const FORK: &str = "tests/transcripts/drawings/plain/fork.svg";
const BOARD: [&str; 6] = ["--wood", "cherry", "--thickness", "19mm", "--grain", "0deg"];

#[test]
fn turn_keeps_its_names() {
    let mut args = vec!["turn", FORK, "--step", "30deg", "--json", "-"];
    args.extend(BOARD);
    let found = parsed(&args);
    assert_eq!(found["schema"], "shortgrain/turn/1");
    holds(&turn(), &found);
    let piece = &found["pieces"][0];
    // Every step and, round the best, closer; the present angle among them, in rising order.
    let degs: Vec<f64> = all(piece, "angles").iter().map(|angle| number(angle, "deg")).collect();
    assert!(degs.windows(2).all(|pair| pair[0] < pair[1]) && degs.contains(&0.0) && degs.contains(&30.0));
    assert!(degs.contains(&number(piece, "best_deg")));
    // What is said to be proved is what a check says.
    let mut check = vec!["check", FORK, "--json", "-"];
    check.extend(BOARD);
    assert_eq!(piece["present"]["piece"]["weak_places"], parsed(&check)["pieces"][0]["weak_places"]);
}

#[test]
fn a_piece_without_a_weak_place_is_null_and_not_a_made_up_number() {
    let mut args =
        vec!["turn", "tests/transcripts/drawings/plain/block.svg", "--step", "45deg", "--json", "-"];
    args.extend(BOARD);
    let found = parsed(&args);
    holds(&turn(), &found);
    assert_eq!(found["pieces"][0]["present"]["weakest_n"], Value::Null);
    assert_eq!(found["pieces"][0]["turning_is_enough"], true);
}

/// The area of a polygon given by its rings.
fn area(rings: &Value) -> f64 {
    let corner = |spot: &Value| [0, 1].map(|k| spot[k].as_f64().expect("a coordinate"));
    let of = |ring: &Value| {
        let spots: Vec<[f64; 2]> = ring.as_array().expect("a ring").iter().map(corner).collect();
        let doubled: f64 = (0..spots.len())
            .map(|k| (spots[k], spots[(k + 1) % spots.len()]))
            .map(|(a, b)| a[0] * b[1] - b[0] * a[1])
            .sum();
        doubled.abs() / 2.0
    };
    let rings: Vec<f64> = rings.as_array().expect("rings").iter().map(of).collect();
    rings[0] - rings[1..].iter().sum::<f64>()
}

/// The least force on a piece; both stated pushes are the same here.
fn weakest(piece: &Value) -> f64 {
    let places = all(piece, "weak_places").iter();
    let forces =
        places.flat_map(|place| ["face_push", "side_push"].map(|push| number(&place[push], "breaks_at_n")));
    forces.fold(f64::INFINITY, f64::min)
}

#[test]
fn mend_keeps_its_names_and_its_order() {
    let mut args = vec!["mend", FORK, "--json", "-", "--clearance", "0.1mm", "--glue", "polyurethane"];
    args.extend(BOARD);
    let found = parsed(&args);
    assert_eq!(found["schema"], "shortgrain/mend/1");
    assert_eq!(found["made_with"]["glue"]["name"], "polyurethane");
    holds(
        &answer(vec![
            ("goal", Text),
            ("pieces", list(mended_piece())),
            ("for_all", list(Text)),
            ("files", list(Text)),
            ("made_with", made_with()),
            ("seasons", year()),
        ]),
        &found,
    );
    let order = [
        "turn",
        "move_bridge",
        "widen",
        "thicken",
        "quarter_sawn",
        "other_wood",
        "insert",
        "part_backer",
        "backer",
        "three_ply",
        "not_solid_wood",
    ];
    let piece = &found["pieces"][0];
    let kinds = |name: &str| -> Vec<usize> {
        let kind = |one: &Value| order.iter().position(|kind| one["kind"] == *kind).expect("a known kind");
        all(piece, name).iter().map(kind).collect()
    };
    let (offered, declined) = (kinds("remedies"), kinds("declined"));
    assert!(offered.is_sorted() && declined.is_sorted());
    assert_eq!(offered.len() + declined.len(), order.len(), "every kind is offered or declined");
    for declined in all(piece, "declined") {
        // Either a number and what stands behind it, or why there is none.
        let has = |name: &str| !declined[name].is_null();
        assert_eq!(has("shortfall"), has("standing"), "{declined}");
        assert_ne!(has("shortfall"), has("no_shortfall"), "{declined}");
    }
    // A quarter-sawn fork was judged, and is weaker: it lacks more than the fork as it is, which breaks at a third of its push.
    let quarter = all(piece, "declined").iter().find(|one| one["kind"] == "quarter_sawn");
    let quarter = quarter.expect("the sessions say that it is weaker");
    assert!(number(quarter, "shortfall") > 3.0 && quarter["standing"] == "proved", "{quarter}");
    let insert = all(piece, "remedies").iter().find(|one| one["kind"] == "insert").expect("it has inserts");
    for (strip, joint) in all(insert, "inserts").iter().zip(all(&insert["seasons"], "joints")) {
        // By hand: a bar grown by 0.1 mm all round, its corners as round as a bit of 6.35 mm and that; chords take off a little.
        let [long, wide] = ["length_mm", "width_mm"].map(|name| number(strip, name) + 0.2);
        let want = long * wide - (4.0 - std::f64::consts::PI) * (6.35_f64 / 2.0 + 0.1).powi(2);
        let pocket = area(&strip["pocket_mm"]);
        assert!((pocket / want - 1.0).abs() < 1e-3, "{pocket} for {want}");
        assert_eq!(strip["mismatch_mm"], all(joint, "layers")[0]["mismatch_mm"]);
        assert!(number(strip, "mismatch_mm") > 0.1);
    }
    // What a place bears less than it did is told of each remedy, and of nothing else.
    for remedy in all(piece, "remedies").iter().filter(|remedy| remedy["after"].is_object()) {
        for lost in all(remedy, "breaks_sooner") {
            let push = format!("{}_push", lost["push"].as_str().expect("a push"));
            let of = |places: &Value, name: &str| {
                let place = all(places, "weak_places").iter().find(|one| one[name] == lost["place"]);
                number(&place.expect("the place is there")[&push], "breaks_at_n")
            };
            assert!((of(piece, "id") - number(lost, "before_n")).abs() < 1e-6);
            assert!((of(&remedy["after"], "number") - number(lost, "after_n")).abs() < 1e-6);
            assert!(number(lost, "after_n") < 0.98 * number(lost, "before_n"));
        }
    }
    for remedy in all(piece, "remedies") {
        let glued =
            ["insert", "part_backer", "backer", "three_ply"].iter().any(|kind| remedy["kind"] == *kind);
        assert_eq!(remedy["seasons"].is_object(), glued, "{}", remedy["kind"]);
        if remedy["kind"] == "three_ply" {
            assert_eq!(
                number(&remedy["seasons"]["cup"], "rise_mm"),
                0.0,
                "what is the same from both sides stays flat"
            );
        }
        if remedy["kind"] == "part_backer" {
            // What the piercing leaves is less than the board, and lies on the piece alone.
            for board in all(remedy, "backers") {
                let size = number(board, "length_mm") * number(board, "width_mm");
                let whole = area(&board["outline_mm"]);
                let left: f64 = all(board, "after_piercing_mm").iter().map(area).sum();
                assert!((whole / size - 1.0).abs() < 1e-3 && left <= whole * 1.001 && left > 0.2 * whole);
            }
        }
        let reached = remedy["reaches_goal"] == true;
        if let Some(after) = remedy["after"].as_object() {
            assert_eq!(after["verdict"] == "sound", reached, "{}", remedy["kind"]);
            let now = weakest(&remedy["after"]);
            let gain = number(remedy, "gain");
            assert!((gain * weakest(piece) / now - 1.0).abs() < 1e-3, "{}", remedy["kind"]);
        } else {
            assert_eq!([&remedy["gain"], &remedy["shortfall"]], [&Value::Null; 2], "{}", remedy["kind"]);
        }
    }
}
