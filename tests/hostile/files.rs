//! The files of this folder.

use super::{read, refusal, says};
use shortgrain::check::{self, Pushes};
use shortgrain::design::{Design, Inner, Note, Options};
use shortgrain::units::{Angle, Length};
use shortgrain::wood::{Board, OwnValues, Rings, Wood};

macro_rules! file {
    ($name:literal) => {
        include_bytes!($name).as_slice()
    };
}

fn good(bytes: &[u8]) -> Design {
    read(bytes, &Options::default()).unwrap_or_else(|error| panic!("{error}"))
}

fn areas(design: &Design) -> Vec<f64> {
    design.pieces.iter().map(|piece| piece.shape.area()).collect()
}

#[track_caller]
fn measures(design: &Design, exact: &[f64]) {
    let found = areas(design);
    assert_eq!(found.len(), exact.len(), "{found:?}");
    for (found, exact) in found.iter().zip(exact) {
        assert!((found - exact).abs() < 2e-3, "{found} is not {exact}");
    }
}

#[test]
fn a_bow_tie_is_refused_at_its_crossing() {
    says(&refusal(file!("bow_tie.svg")), &[&["path \"bow\"", "at (50.00, 40.00) mm", "crosses itself"]]);
}

#[test]
fn a_filled_bow_tie_is_two_pieces() {
    measures(&good(file!("filled_bow_tie.svg")), &[400.0, 400.0]);
}

/// A bar 20 wide has a waist of 12 mm: it breaks on a line through the waist's own half width, whichever way the grain runs.
#[test]
fn a_shallow_waist_with_rounded_bottoms_has_an_end() {
    let design = good(file!("waist.svg"));
    let [piece] = &design.pieces[..] else { panic!("one piece") };
    for grain in [90.0, 60.0, 135.0] {
        let board = Board {
            thickness: Length::mm(12.0),
            grain: Angle::deg(grain),
            rings: Rings::Unknown,
            moisture_pct: 12.0,
        };
        let maple = Wood::find("hard maple").unwrap().mechanics(&board, &OwnValues::default()).unwrap();
        let options = check::Options { solid: false, ..check::Options::default() };
        let found =
            check::check(&piece.name, &piece.shape, &board, &maple, &Pushes::default(), &options).unwrap();
        let [from, to] = found.places[0].face.break_line[0];
        let (way, off) = (to - from, geo_types::Coord { x: 65.0, y: 15.0 } - from);
        let away = (way.x * off.y - way.y * off.x).abs() / way.x.hypot(way.y);
        assert!(away < 6.0, "{grain}: {away} mm from the middle of the waist");
        let narrowest = found.places.iter().map(|place| place.neck_mm).fold(f64::INFINITY, f64::min);
        assert!(grain != 90.0 || (narrowest - 12.0).abs() < 0.05, "{narrowest}");
    }
}

/// A board, by thickness and grain, along which a tip's own width is a quarter of a thousandth of a millimetre.
#[test]
fn needles_have_a_solid_model() {
    let design = good(file!("needles.svg"));
    assert_eq!(design.pieces.len(), 4);
    let board = Board {
        thickness: Length::mm(24.0),
        grain: Angle::deg(138.0),
        rings: Rings::Unknown,
        moisture_pct: 12.0,
    };
    let cherry = Wood::find("black cherry").unwrap().mechanics(&board, &OwnValues::default()).unwrap();
    for piece in &design.pieces {
        let options = check::Options::default();
        let found =
            check::check(&piece.name, &piece.shape, &board, &cherry, &Pushes::default(), &options).unwrap();
        assert!(!found.places.is_empty());
        for place in found.places.iter().flat_map(|place| [&place.face, &place.side]) {
            assert!(place.solved.is_some(), "{}: {place:?}", piece.name);
        }
    }
}

#[test]
fn open_outlines_are_refused_with_their_ends() {
    says(
        &refusal(file!("open_outlines.svg")),
        &[
            &["path \"hair\"", "(10.00, 70.00)", "is 0.060 mm away", "up to 0.05 mm", "--gap"],
            &["path \"far\"", "(50.00, 70.00)", "is 20.000 mm away"],
        ],
    );
}

#[test]
fn a_filled_open_path_is_closed_as_svg_says() {
    measures(&good(file!("filled_open.svg")), &[800.0]);
}

#[test]
fn numbers_that_are_none_are_all_named() {
    says(
        &refusal(file!("not_numbers.svg")),
        &[
            &["path \"a\"", "line 4:1", "d=\"M10 10 L NaN"],
            &["polygon \"b\"", "points="],
            &["rect \"c\"", "width=\"1e999\""],
            &["circle \"d\"", "transform=\"scale(nan)\""],
        ],
    );
}

#[test]
fn a_curve_to_the_stars_is_refused_at_once() {
    says(
        &refusal(file!("far_out.svg")),
        &[&["path \"comet\"", "not finite or lies more than 20000 mm away"]],
    );
}

#[test]
fn giants_and_specks_are_refused() {
    let message = refusal(file!("scaled_to_nothing.svg"));
    says(
        &message,
        &[
            &["rect \"giant\"", "more than 20000 mm", "--drawn-in"],
            &["rect \"speck\"", "0.009 mm in its larger direction", "the least that is read is 1 mm"],
        ],
    );
}

#[test]
fn uses_in_a_circle_are_refused() {
    says(&refusal(file!("use_circle.svg")), &[&["use \"", "refers to itself"]]);
}

#[test]
fn a_use_bomb_is_refused_before_it_goes_off() {
    says(&refusal(file!("use_bomb.svg")), &[&["more than 200000 elements"]]);
}

#[test]
fn other_files_stay_closed() {
    says(
        &refusal(file!("other_files.svg")),
        &[
            &["image \"photo\"", "picture made of pixels"],
            &["use \"part\"", "another file, \"parts.svg#rim\"", "no other file is opened"],
        ],
    );
}

#[test]
fn every_file_opens_with_why_it_is_nasty() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/hostile");
    let mut count = 0;
    for entry in std::fs::read_dir(folder).expect("the folder is there") {
        let path = entry.expect("it can be read").path();
        if path.extension().is_some_and(|ending| ending == "rs") {
            continue;
        }
        let bytes = std::fs::read(&path).expect("it can be read");
        let text = String::from_utf8_lossy(&bytes);
        // A declaration has to come before all else.
        let opening = text.strip_prefix("<?xml version=\"1.0\"?>\n").unwrap_or(&text);
        let opens = ["<!-- Nasty because ", "999\nNasty because "].iter().any(|why| opening.starts_with(why));
        let head: String = opening.lines().take(6).collect();
        assert!(opens && head.contains("Should: "), "{}", path.display());
        count += 1;
    }
    assert!(count > 55, "{count}");
}

/// By hand: 60 x 40 mm and what is beyond of two discs: the half of one of 8 mm and of one of 4 mm.
#[test]
fn an_opening_across_the_edge_of_the_wood_is_refused_by_name() {
    let with = |inner| Options { inner: Some(inner), ..Options::default() };
    let told =
        read(file!("across_the_rim.svg"), &with(Inner::Opening)).expect_err("it is refused").to_string();
    says(
        &told,
        &[&[
            "circle \"bite\"",
            "(and one more like it)",
            "across the edge of rect \"plate\"",
            "--inner opening",
            "--inner wood",
        ]],
    );
    let design =
        read(file!("across_the_rim.svg"), &with(Inner::Wood)).unwrap_or_else(|error| panic!("{error}"));
    let beyond = std::f64::consts::PI * (64.0 + 16.0) / 2.0;
    let found = areas(&design);
    assert!(found.len() == 1 && (found[0] - 2400.0 - beyond).abs() < 1.0, "{found:?}");
}

#[test]
fn an_entity_bomb_is_refused_before_it_goes_off() {
    says(&refusal(file!("entity_bomb.svg")), &[&["once its entities are written out"]]);
}

#[test]
fn all_faults_come_in_one_answer() {
    says(
        &refusal(file!("many_faults.svg")),
        &[
            &["text \"title\"", "line 4:1", "convert the text to outlines"],
            &["image \"scan\"", "line 5:1", "trace it"],
            &["path \"gap\"", "line 6:1", "is open"],
            &["path \"eight\"", "line 7:1", "at (60.00, 60.00) mm", "crosses itself"],
            &["circle \"eye\"", "rect \"plate\"", "--inner opening", "--inner wood"],
        ],
    );
}

#[test]
fn masked_shapes_are_refused() {
    says(&refusal(file!("clipped.svg")), &[&["rect \"veiled\"", "a mask hides"]]);
}

#[test]
fn an_opening_that_touches_the_rim_shares_a_point_with_it() {
    let design = good(file!("touching_hole.svg"));
    measures(&design, &[3400.0]);
    let polygon = design.pieces[0].shape.polygon();
    assert_eq!(polygon.interiors().len(), 1);
    let touch = geo_types::Coord { x: 40.0, y: 70.0 };
    assert!(polygon.exterior().0.contains(&touch) && polygon.interiors()[0].0.contains(&touch));
}

#[test]
fn an_opening_a_hair_across_the_rim_leaves_no_splinter() {
    let design = good(file!("hole_across_the_rim.svg"));
    measures(&design, &[3400.0]);
    assert!(design.pieces[0].shape.polygon().exterior().0.len() <= 8);
}

#[test]
fn spikes_and_repeated_points_go() {
    let design = good(file!("spikes.svg"));
    measures(&design, &[900.0]);
    assert_eq!(design.pieces[0].shape.polygon().exterior().0.len(), 5);
}

#[test]
fn a_hairline_between_plates_is_closed_and_told() {
    let design = good(file!("hairline.svg"));
    measures(&design, &[800.2]);
    let told = |note: &Note| matches!(note, Note::GapClosed { size, .. } if (size - 0.02).abs() < 2e-4);
    assert!(design.reading.notes.iter().any(told), "{}", design.reading);
}

#[test]
fn names_that_steer_a_terminal_are_told_without() {
    let design = good(file!("steering_names.svg"));
    let names: Vec<&str> = design.pieces.iter().map(|piece| piece.name.as_str()).collect();
    assert_eq!(names, ["rim\u{fffd}gvs", "page\u{fffd}2J"]);
    let told = design.reading.to_string();
    assert!(!told.chars().any(|c| c != '\n' && c.is_control() || c == '\u{202e}'), "{told:?}");
    let broken = br#"<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm"><path d="M0 0 &#x9b;31m"/></svg>"#;
    let refused = refusal(broken);
    assert!(refused.contains("d=\"M0 0 \u{fffd}31m\"") && !refused.contains('\u{9b}'), "{refused:?}");
}

#[test]
fn an_outline_there_and_back_is_told_to_enclose_nothing() {
    says(
        &refusal(file!("there_and_back.svg")),
        &[
            &["nothing of what is drawn here is read as an outline"],
            &["  left out: path \"flat\", because it encloses no area"],
        ],
    );
}

#[test]
fn shapes_without_extent_are_refused() {
    says(
        &refusal(file!("no_extent.svg")),
        &[
            &["rect \"flat\"", "has no height"],
            &["circle \"dot\"", "r=\"0\""],
            &["rect \"minus\"", "width=\"-9\""],
        ],
    );
}

#[test]
fn a_drawing_of_hidden_things_is_refused_with_their_number() {
    says(
        &refusal(file!("hidden.svg")),
        &[
            &["nothing visible is drawn", "3 shape(s)"],
            &["  left out: rect (line 4), because it is hidden"],
            &["  left out: rect (line 4), because it is hidden"],
            &["  left out: path (line 4), because it is hidden"],
        ],
    );
}

#[test]
fn the_same_circle_three_times_is_one_disc() {
    let design = good(file!("twins.svg"));
    assert_eq!(design.pieces.len(), 1);
    let exact = 400.0 * std::f64::consts::PI;
    assert!((areas(&design)[0] - exact).abs() < 0.02 * 126.0);
    assert!(design.pieces[0].shape.polygon().interiors().is_empty());
}

#[test]
fn cells_that_share_edges_are_one_piece() {
    let design = good(file!("lattice.svg"));
    measures(&design, &[600.0]);
    assert_eq!(design.pieces[0].shape.polygon().exterior().0.len(), 5);
}

#[test]
fn a_truncated_file_is_refused_with_its_line() {
    says(&refusal(file!("truncated.svg")), &[&["line 4:", "the XML is broken"]]);
}

#[test]
fn another_encoding_is_refused_with_its_place() {
    says(&refusal(file!("latin_1.svg")), &[&["line 4:14", "not UTF-8 text but another encoding"]]);
}

#[test]
fn xml_that_is_no_drawing_is_refused() {
    says(&refusal(file!("page.html")), &[&["not an SVG drawing", "<html>"]]);
}

#[test]
fn a_plate_pinched_to_nothing_is_two_pieces() {
    measures(&good(file!("pinched.svg")), &[1200.0, 1200.0]);
}

#[test]
fn a_thread_of_wood_upsets_no_reader() {
    let design = good(file!("thread.svg"));
    assert!((areas(&design).iter().sum::<f64>() - 4200.0).abs() < 0.1, "{:?}", areas(&design));
}

#[test]
fn openings_that_touch_stay_openings() {
    let design = good(file!("touching_openings.svg"));
    measures(&design, &[4800.0 - 400.0]);
    assert_eq!(design.pieces[0].shape.polygon().interiors().len(), 3);
}

#[test]
fn openings_that_overlap_are_one() {
    let design = good(file!("overlapping_openings.svg"));
    measures(&design, &[4800.0 - (600.0 + 600.0 - 100.0)]);
    assert_eq!(design.pieces[0].shape.polygon().interiors().len(), 1);
}

#[test]
fn a_curve_that_touches_itself_is_what_its_fill_says() {
    // Two leaves of two arches; an arch 40 wide with control points 40 above encloses three quarters of 40 by 40
    // times 0.8: the integral of y x' is 0.6 of the box of its control points.
    let design = good(file!("self_tangent.svg"));
    let found: f64 = areas(&design).iter().sum();
    let exact = 4.0 * 0.6 * 40.0 * 40.0;
    assert!((found - exact).abs() < 5.0, "{found} is not {exact}");
}

/// 112 strips over 112 others, each of two long sides: 2 · 2 · 112² crossings. The mat fills 784 mm but for the gaps between strips, and
/// each strip ends 1 mm before the page and 782 mm on: 224 · 3 · 782 - 112² · 9 mm².
#[test]
fn a_mat_is_refused_for_its_crossings_unless_so_many_are_let_in() {
    let message = refusal(file!("mat.svg"));
    says(
        &message,
        &[&["use, line 5:1, at (", "mm: the 896 lines", "more than 50000 times", "--limit crossings=NUMBER"]],
    );
    let with = |limit: usize| {
        let mut options = Options::default();
        assert!(options.limits.set("crossings", limit));
        read(file!("mat.svg"), &options)
    };
    assert!(with(50_175).is_err());
    measures(&with(50_176).unwrap(), &[224.0 * 3.0 * 782.0 - 112.0 * 112.0 * 9.0]);
}

#[test]
fn a_scribble_is_refused_for_the_specks_that_its_loops_leave() {
    says(
        &refusal(file!("scribble.svg")),
        &[
            &["this is 0.066 mm", "delete the speck"],
            &["(12.61, 49.86) mm: this is 0.751 mm"],
            &["this is 0.141 mm"],
        ],
    );
}

#[test]
fn numbers_beyond_all_drawings_are_refused_by_name() {
    says(
        &refusal(file!("huge_numbers.svg")),
        &[&["path \"far\"", "farther than any drawing"], &["circle \"wide\""], &["g, line 4", "scale(1e39)"]],
    );
}

#[test]
fn clip_paths_in_a_circle_are_refused() {
    says(&refusal(file!("clip_circle.svg")), &[&["rect \"one\""]]);
}

#[test]
fn labels_are_shown_as_they_are() {
    let design = good(file!("label_bomb.svg"));
    let names: Vec<&str> = design.pieces.iter().map(|piece| piece.name.as_str()).collect();
    assert_eq!(names, ["<b>\"rim\"", "x"]);
}

#[test]
fn what_changes_only_the_looks_is_told_once() {
    let design = good(file!("looks.svg"));
    measures(&design, &[600.0; 4]);
    let told: Vec<String> = design
        .reading
        .notes
        .iter()
        .filter(|note| matches!(note, Note::NotFollowed { .. }))
        .map(ToString::to_string)
        .collect();
    says(
        &told.join("\n"),
        &[
            &["a filter (rect \"a\", line 10:1, and 1 more)"],
            &["a place or size that a style gives (rect \"c\", line 12:1)"],
            &["dashes (rect \"c\", line 12:1)"],
            &["an animation (rect \"d\", line 13:1)"],
            &["a style sheet of another file (line 5:1)"],
            &["a rule that begins with @ (style, line 7:1, and 1 more)"],
            &["markers (style, line 7:1)"],
            &["a rule whose selector is not known (style, line 7:1)"],
            &["a value that has to be worked out (style, line 7:1)"],
        ],
    );
    let caution = design.reading.not_followed().expect("there is something");
    assert!(
        caution.starts_with("What is seen is changed by a filter (rect \"a\", line 10:1, and 1 more); "),
        "{caution}"
    );
    assert_eq!(good(file!("waist.svg")).reading.not_followed(), None);
}

#[test]
fn clip_paths_written_out_are_refused() {
    let hides = |id, by| [id, by];
    says(
        &refusal(file!("written_out_clips.svg")),
        &[
            &hides("rect \"a\", line 5", "a clip path hides part"),
            &hides("rect \"b\", line 6", "a clip path hides part"),
            &hides("rect \"c\", line 7", "a mask hides part"),
        ],
    );
}

#[test]
fn a_rule_for_an_id_reaches_all_that_carry_it() {
    let design = good(file!("one_id_for_all.svg"));
    measures(&design, &[600.0]);
    assert!((design.reading.bounds_mm[0] - 80.0).abs() < 1e-9, "{:?}", design.reading.bounds_mm);
}

/// Names of two hundred thousand letters, alike in all but the last: cut wherever they are told, and still asked for whole.
#[test]
fn long_names_are_cut() {
    let long = "n".repeat(200_000);
    let svg = format!(
        r#"<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="80mm" viewBox="0 0 100 80">
<g id="{long}"><rect id="{long}1" x="5" y="5" width="10" height="60"/><rect id="{long}2" x="20" y="5" width="10" height="60"/></g></svg>"#
    );
    let design = good(svg.as_bytes());
    let names: Vec<&str> = design.pieces.iter().map(|piece| piece.name.as_str()).collect();
    let cut = "n".repeat(59) + "…";
    assert_eq!(names, [format!("{cut} 1"), format!("{cut} 2")]);
    assert!(design.reading.to_string().len() < 2000);
    let pick = |pieces: &[&str], layers: &[&str]| Options {
        pick: shortgrain::design::Pick {
            pieces: pieces.iter().map(|name| (*name).to_owned()).collect(),
            layers: layers.iter().map(|name| (*name).to_owned()).collect(),
        },
        ..Options::default()
    };
    assert_eq!(read(svg.as_bytes(), &pick(&[], &[&long])).expect("it is there").pieces.len(), 2);
    // What is told of one piece picks that one, and what was cut to the same for both picks neither.
    let second = read(svg.as_bytes(), &pick(&[names[1]], &[])).expect("it is there");
    assert_eq!(second.pieces.iter().map(|piece| piece.name.as_str()).collect::<Vec<_>>(), [names[1]]);
    let both = read(svg.as_bytes(), &pick(&[&format!("{long}1")], &[]))
        .expect_err("it is not told apart")
        .to_string();
    assert!(both.contains(names[0]) && both.contains(names[1]), "{both}");
    let error = read(svg.as_bytes(), &pick(&[&long], &["m"])).expect_err("there is none").to_string();
    assert!(error.len() < 2000 && error.contains('…'), "{error}");
}
