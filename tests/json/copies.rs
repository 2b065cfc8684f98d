//! Equal pieces of one drawing have equal answers, each where it lies.

use serde_json::Value;

use super::printed;

/// Answers whose last name is one of these are positions.
const PLACES: [&str; 6] =
    ["bounds_mm", "at_mm", "push_at_mm", "break_line_mm", "outline_mm", "after_piercing_mm"];

/// Tags with an arm and a slot at whole millimetres, and one that is turned over.
fn tags(corners: &[[f64; 2]]) -> String {
    let tag = |[x, y]: &[f64; 2]| {
        format!("<path d=\"M{x} {y}h26v6h-20v14h-6z m2 2h12v1.5h-12z\" fill-rule=\"evenodd\"/>")
    };
    let mirrored = "<path d=\"M90 60h-26v6h20v14h6z m-2 2h-12v1.5h12z\" fill-rule=\"evenodd\"/>";
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"100mm\" height=\"100mm\" viewBox=\"0 0 100 100\">{}{mirrored}</svg>",
        corners.iter().map(tag).collect::<String>()
    )
}

fn pieces(corners: &[[f64; 2]], called: &str) -> Vec<Value> {
    let folder = std::env::temp_dir().join(format!("copies-{}-{called}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a folder can be made");
    let [drawing, map] = ["tags.svg", "map.svg"].map(|name| folder.join(name).display().to_string());
    std::fs::write(&drawing, tags(corners)).expect("a file can be written");
    let board = ["--thickness", "8mm", "--wood", "cherry", "--grain", "90deg", "--push-map", &map, "--force"];
    let answer = printed(&[&["check", &drawing, "--json", "-"], &board[..]].concat());
    std::fs::remove_dir_all(&folder).expect("it can be removed again");
    let all: Value = serde_json::from_str(&answer).expect("it is JSON");
    all["designs"][0]["pieces"].as_array().or(all["pieces"].as_array()).expect("pieces").clone()
}

/// Asserts that two answers are the same, what lies in `place` moved by whole millimetres; gives how many numbers were.
fn same(here: &Value, there: &Value, by: [f64; 2], path: &str, place: bool) -> usize {
    match (here, there) {
        (Value::Object(a), Value::Object(b)) => {
            assert_eq!(a.keys().collect::<Vec<_>>(), b.keys().collect::<Vec<_>>(), "{path}");
            let all = a.iter().filter(|(name, _)| !["name", "design"].contains(&name.as_str()));
            all.map(|(name, one)| {
                same(one, &b[name], by, &format!("{path}.{name}"), PLACES.contains(&name.as_str()))
            })
            .sum()
        }
        (Value::Array(a), Value::Array(b)) => {
            assert_eq!(a.len(), b.len(), "{path}");
            let pairs = a.iter().zip(b).enumerate();
            if place && a.iter().all(Value::is_number) {
                // Written to a thousandth, of which a sum may be the next.
                for (axis, (a, b)) in pairs {
                    let off = b.as_f64().unwrap() - a.as_f64().unwrap() - by[axis % 2];
                    assert!(off.abs() < 1.01e-3, "{path}: {a} {b}");
                }
                return a.len();
            }
            pairs.map(|(k, (a, b))| same(a, b, by, &format!("{path}.{k}"), place)).sum()
        }
        _ => {
            assert_eq!(here, there, "{path}");
            0
        }
    }
}

#[test]
fn a_copy_of_a_piece_has_its_answer_where_it_lies() {
    let [alone, mirrored] = &pieces(&[[4.0, 3.0]], "one")[..] else { panic!("two pieces") };
    let corners = [[4.0, 3.0], [40.0, 3.0], [4.0, 40.0], [37.0, 29.0]];
    let sheet = pieces(&corners, "four");
    assert_eq!(sheet.len(), 5);
    for ([x, y], copy) in corners.iter().zip(&sheet) {
        // The drawing's y runs down.
        let moved = same(alone, copy, [x - 4.0, 3.0 - y], "", false);
        assert!(moved > 20, "{moved}");
    }
    // What is turned over is no copy.
    assert!(same(mirrored, &sheet[4], [0.0, 0.0], "", false) > 20);
    assert_ne!(mirrored["weak_places"], alone["weak_places"]);
}
