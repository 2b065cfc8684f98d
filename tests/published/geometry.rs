//! Necks, widths and areas against exact formulas and against other libraries.
//!
//! Source: `tests/reference/widths.json`, made by `tests/reference/widths.py` with shapely (GEOS) and scikit-image.
//! The exact shapes' numbers follow from formulas printed beside them; their arcs are chords at most 1e-4 mm off.
//! Agreement asked: 0.5 % of the exact width.

use std::collections::BTreeMap;

use geo_types::{LineString, Polygon, coord};
use serde::Deserialize;
use shortgrain::{
    section::{Crossing, Stretch, stretches},
    shape::{
        Shape,
        plane::{Point, angle_between, direction, distance, nearest_on_segment},
    },
    skeleton::{Chord, End, Pruning, Skeleton},
    units::Angle,
};

use super::agreement::agrees;

/// Agreement asked of every width.
const ASKED: f64 = 0.005;

#[derive(Deserialize)]
struct Reference {
    exact: BTreeMap<String, Exact>,
}

#[derive(Deserialize)]
struct Exact {
    rings: Vec<Vec<[f64; 2]>>,
    area_mm2: f64,
    inscribed_mm: Option<f64>,
    places: Vec<Place>,
}

#[derive(Deserialize)]
struct Place {
    at_mm: [f64; 2],
    neck_mm: Option<f64>,
    chord_deg: Option<f64>,
    chord_mm: Option<f64>,
    why: String,
}

impl Place {
    fn at(&self) -> Point {
        coord! { x: self.at_mm[0], y: self.at_mm[1] }
    }
}

fn reference() -> Reference {
    serde_json::from_str(include_str!("../reference/widths.json")).expect("the reference is well formed")
}

fn shape(exact: &Exact) -> Shape {
    let mut rings = exact.rings.iter().map(|ring| ring.iter().copied().collect::<LineString<f64>>());
    let outer = rings.next().expect("an outline");
    Shape::new(Polygon::new(outer, rings.collect())).expect("a shape")
}

/// Every exact shape with its own names of things.
fn each(mut hold: impl FnMut(&str, &Exact, &Shape, &Skeleton)) {
    let exact = reference().exact;
    assert_eq!(exact.len(), 8);
    for (name, exact) in &exact {
        let shape = shape(exact);
        let skeleton = Skeleton::new(&shape, &Pruning::default()).expect("a skeleton");
        hold(name, exact, &shape, &skeleton);
    }
}

/// The skeleton's own width at a place on it: between two neighbouring chords in a straight line, or a junction's circle.
fn neck_at(skeleton: &Skeleton, at: Point) -> (f64, f64) {
    let mut best = (f64::INFINITY, f64::NAN);
    let mut offer = |away: f64, neck: f64| {
        if away < best.0 {
            best = (away, neck);
        }
    };
    for branch in skeleton.branches() {
        let kept = |i: usize| branch.links.get(i).filter(|link| link.kept).and_then(|link| link.chord);
        for i in 0..branch.links.len() {
            let Some(chord) = kept(i) else { continue };
            offer(distance(at, chord.centre), 2.0 * chord.radius);
            if let Some(next) = kept(i + 1) {
                let (foot, part) = nearest_on_segment(at, chord.centre, next.centre);
                offer(distance(at, foot), 2.0 * (chord.radius + (next.radius - chord.radius) * part));
            }
        }
        for end in branch.ends {
            if let End::Junction(triangle) = end
                && let Some((centre, radius)) = skeleton.junction_circle(triangle)
            {
                offer(distance(at, centre), 2.0 * radius);
            }
        }
    }
    best
}

fn chords(skeleton: &Skeleton) -> impl Iterator<Item = Chord> + '_ {
    let links = skeleton.branches().iter().flat_map(|branch| &branch.links);
    links.filter(|link| link.kept).filter_map(|link| link.chord)
}

#[test]
fn areas_are_exact() {
    each(|name, exact, shape, skeleton| {
        agrees(shape.area(), exact.area_mm2, 1e-5, name);
        let mesh = skeleton.mesh();
        let triangles: f64 = (0..mesh.len()).map(|t| mesh.area(t)).sum();
        agrees(triangles, shape.area(), 1e-9, name);
    });
}

#[test]
fn every_named_neck_is_found() {
    let mut held = 0;
    each(|name, exact, _, skeleton| {
        for place in &exact.places {
            let Some(exact) = place.neck_mm else { continue };
            let (away, neck) = neck_at(skeleton, place.at());
            let what = format!("{name}, {} at {:?}", place.why, place.at_mm);
            // In the middle of a wide end the skeleton proper has stopped; there is no neck there.
            assert!(away < 0.02 * exact, "{what}: no skeleton within {away}");
            agrees(neck, exact, ASKED, &what);
            held += 1;
        }
    });
    assert!(held > 25, "{held}");
}

#[test]
fn every_named_straight_cut_is_measured() {
    let mut held = 0;
    each(|name, exact, _, skeleton| {
        for place in &exact.places {
            let (Some(degrees), Some(exact)) = (place.chord_deg, place.chord_mm) else { continue };
            let mesh = skeleton.mesh();
            let along = direction(degrees.to_radians());
            let triangle = mesh.locate(place.at(), 0);
            let [ahead, behind] = [along, -along].map(|way| mesh.leaves_at(place.at(), way, triangle).at);
            agrees(distance(ahead, behind), exact, 1e-4, &format!("{name}, {}", place.why));
            held += 1;
        }
    });
    assert!(held >= 10, "{held}");
}

#[test]
fn the_largest_circle_is_found() {
    each(|name, exact, _, skeleton| {
        let Some(inscribed) = exact.inscribed_mm else { return };
        let ends = skeleton.branches().iter().flat_map(|branch| branch.ends);
        let junctions = ends.filter_map(|end| match end {
            End::Junction(triangle) => skeleton.junction_circle(triangle).map(|circle| circle.1),
            End::Tip | End::Closed => None,
        });
        let largest = chords(skeleton).map(|chord| chord.radius).chain(junctions).fold(0.0, f64::max);
        // A wedge's largest circle touches its end too, where the skeleton proper has already stopped.
        let part = if name == "wedge" { 0.03 } else { ASKED };
        agrees(2.0 * largest, inscribed, part, name);
    });
}

/// Stretches across a grain.
fn across(skeleton: &Skeleton, grain_deg: f64) -> Vec<Stretch> {
    let crossing = Crossing { beyond: Angle::deg(30.0), hysteresis: Angle::deg(3.0) };
    let all = stretches(skeleton, Angle::deg(grain_deg), &crossing);
    all.into_iter().filter(|stretch| stretch.crosses).collect()
}

/// Of many stretches the one with its neck nearest to a point.
fn nearest(stretches: Vec<Stretch>, at: Point) -> Stretch {
    let away = |stretch: &Stretch| {
        stretch.stations.iter().map(|station| distance(station.at, at)).fold(f64::INFINITY, f64::min)
    };
    let nearest = stretches.into_iter().min_by(|a, b| away(a).total_cmp(&away(b)));
    nearest.expect("there is a stretch across the grain")
}

#[test]
fn stretches_carry_the_exact_widths() {
    // Shape, grain, a point on the run, the neck, the width along the grain.
    let rows = [
        ("slot", 90.0, [30.0, 0.0], 8.0, 8.0),
        // Grain 30° off the run's square: 8 / cos 30°.
        ("slot", 60.0, [30.0, 0.0], 8.0, 8.0 / 30_f64.to_radians().cos()),
        ("annulus", 0.0, [35.0, 0.0], 10.0, 10.0),
        ("eccentric_annulus", 0.0, [36.0, 0.0], 8.0, 8.0),
        ("tee", 0.0, [0.0, -15.0], 8.0, 8.0),
        ("tee", 90.0, [20.0, 5.0], 10.0, 10.0),
        ("ell", 0.0, [5.0, 28.0], 10.0, 10.0),
        ("ell", 90.0, [35.0, 4.0], 8.0, 8.0),
        ("cross", 0.0, [0.0, -18.0], 8.0, 8.0),
        ("cross", 90.0, [18.0, 0.0], 8.0, 8.0),
        ("hourglass", 0.0, [0.0, 0.0], 8.6, 8.6),
    ];
    let exact = reference().exact;
    for (name, grain, at, neck, width) in rows {
        let skeleton = Skeleton::new(&shape(&exact[name]), &Pruning::default()).expect("a skeleton");
        let stretch = nearest(across(&skeleton, grain), coord! { x: at[0], y: at[1] });
        agrees(stretch.neck, neck, ASKED, &format!("neck of the {name}, grain {grain}"));
        agrees(stretch.width(), width, ASKED, &format!("width of the {name}, grain {grain}"));
    }
}

#[test]
fn a_wedge_is_measured_all_along() {
    let exact = reference().exact;
    let skeleton = Skeleton::new(&shape(&exact["wedge"]), &Pruning::default()).expect("a skeleton");
    let stretch = nearest(across(&skeleton, 90.0), coord! { x: 63.0, y: 0.0 });
    // Square cuts of the exact wedge: 19 at x = 0, falling to 6 at x = 126.
    assert!(stretch.span() > 100.0, "{}", stretch.span());
    for station in &stretch.stations {
        let width = 19.0 - 13.0 / 126.0 * station.at.x;
        agrees(station.width, width, ASKED, &format!("square cut at {}", station.at.x));
        assert!(angle_between(station.run, coord! { x: 1.0, y: 0.0 }) < 1e-3, "{:?}", station.run);
    }
}
