//! The DXF files of this folder, and larger ones made here.

use super::says;
use shortgrain::design::{Design, Options, Pick, read_dxf};

macro_rules! file {
    ($name:literal) => {
        include_bytes!($name).as_slice()
    };
}

fn read_with(bytes: &[u8], options: &Options) -> Result<Design, String> {
    let design = read_dxf("hostile.dxf", bytes, options).map_err(|error| error.to_string())?;
    for piece in &design.pieces {
        piece.shape.check().unwrap_or_else(|error| panic!("{}: {error}", piece.name));
    }
    Ok(design)
}

fn good(bytes: &[u8]) -> Design {
    read_with(bytes, &Options::default()).unwrap_or_else(|error| panic!("{error}"))
}

fn refusal(bytes: &[u8]) -> String {
    read_with(bytes, &Options::default()).expect_err("it should be refused")
}

fn area(design: &Design) -> f64 {
    design.pieces.iter().map(|piece| piece.shape.area()).sum()
}

#[test]
fn counts_in_the_file_are_not_believed() {
    let design = good(file!("lying_counts.dxf"));
    // A rectangle of 50 x 40, and a cubic arch of 40 x 50 over its chord: three fifths of that box.
    assert!((area(&design) - (2000.0 + 0.6 * 40.0 * 50.0)).abs() < 1.0, "{}", area(&design));
}

#[test]
fn blocks_that_multiply_or_go_in_circles_are_refused() {
    says(&refusal(file!("circular_blocks.dxf")), &[&["the block \"ONE\" holds itself"]]);
    for bomb in [file!("block_bomb.dxf"), file!("grid_bomb.dxf")] {
        says(&refusal(bomb), &[&["more than 200000 elements", "--limit elements=NUMBER"]]);
    }
}

#[test]
fn numbers_that_are_none_are_named_by_handle() {
    says(
        &refusal(file!("not_numbers.dxf")),
        &[
            &["LINE D1", "group code 10 is \"NaN\""],
            &["CIRCLE D2", "group code 20 is \"inf\""],
            &["ARC D3", "group code 51 is missing"],
            &["LWPOLYLINE D4", "group code 10 is \"five\""],
            &["ELLIPSE D5", "axes are not above zero"],
            &["SPLINE D6", "do not go together"],
        ],
    );
    says(&refusal(file!("far_out.dxf")), &[&["LINE E1", "more than 20000 mm", "LWPOLYLINE E2"]]);
}

#[test]
fn bulges_of_next_to_nothing_are_lines() {
    let design = good(file!("flat_bulges.dxf"));
    assert!((area(&design) - 2000.0).abs() < 1e-3);
    assert_eq!(design.pieces[0].shape.polygon().exterior().0.len(), 5);
}

/// shapely 2.2.0 unites the six outlines to 19.582 mm²; gaps of up to 0.05 mm are closed besides.
#[test]
fn outlines_that_meet_at_corners_are_united() {
    let design = good(file!("corner_to_corner.dxf"));
    assert!((area(&design) - 19.582).abs() < 0.06, "{}", area(&design));
}

#[test]
fn what_ends_too_early_or_out_of_step_is_refused() {
    says(&refusal(file!("truncated.dxf")), &[&["ends in the middle"]]);
    says(&refusal(file!("half_a_pair.dxf")), &[&["line 33:", "a group code", "not \"LINE\""]]);
}

#[test]
fn what_is_not_flat_is_listed_and_can_be_passed_over() {
    says(
        &refusal(file!("three_dimensions.dxf")),
        &[
            &["2 entities of kind 3DFACE on BOX (G1, G2)"],
            &["CIRCLE on BOX (G4)", "not flat"],
            &["LINE on BOX (G5)", "not flat"],
            &["POLYLINE on BOX (G3)", "not flat"],
        ],
    );
    let pick = Pick { layers: vec!["RIM".to_owned()], pieces: Vec::new() };
    let design = read_with(file!("three_dimensions.dxf"), &Options { pick, ..Options::default() }).unwrap();
    assert!((area(&design) - 2000.0).abs() < 1e-6);
}

#[test]
fn what_is_no_outline_is_told_with_kind_layer_handle_and_reason() {
    let all = [
        "2 TEXT on NOTES (T1, T2), because it is a remark",
        "1 MTEXT on NOTES (T3), because it is a remark",
        "1 DIMENSION on SIZES (D1), because it is a remark",
        "1 LEADER on SIZES (D2), because it is a remark",
        "1 POINT (X2), because it is a remark",
        "1 HATCH on FILL (H1), because it is shading",
        "1 XLINE (X1), because it is a line without an end",
        "1 IMAGE on SCAN (I1), because it is a picture",
    ];
    let design = good(file!("remarks.dxf"));
    assert!((area(&design) - 2000.0).abs() < 1e-6);
    let told = design.reading.to_string();
    let refused = refusal(file!("only_remarks.dxf"));
    assert!(
        refused.contains("nothing of what is drawn here is read as an outline; draw the piece as"),
        "{refused}"
    );
    for one in all {
        assert!(told.contains(&format!("\nleft out: {one}")), "{told} lacks {one}");
        assert!(refused.contains(&format!("\n  left out: {one}")), "{refused} lacks {one}");
    }
}

#[test]
fn what_was_not_asked_for_is_told() {
    let pick = Pick { layers: vec!["RIM".to_owned()], pieces: Vec::new() };
    let design = read_with(file!("remarks.dxf"), &Options { pick, ..Options::default() }).unwrap();
    let told = design.reading.to_string();
    assert!(
        told.contains("left out: 2 TEXT on NOTES (T1, T2), because its layer was not asked for"),
        "{told}"
    );
    let pick = Pick { layers: vec!["NOTES".to_owned()], pieces: Vec::new() };
    let refused = read_with(file!("remarks.dxf"), &Options { pick, ..Options::default() }).unwrap_err();
    assert!(refused.contains("1 LWPOLYLINE on RIM (A1), because its layer was not asked for"), "{refused}");
}

#[test]
fn kinds_that_are_not_read_are_listed_by_every_handle() {
    says(
        &refusal(file!("unread_kinds.dxf")),
        &[
            &["an entity of kind ACAD_PROXY_ENTITY (P1) cannot be read"],
            &["an entity of kind FROB (line "],
            &["each of 7 entities of kind MLINE on WALLS (M1, M2, M3, M4, M5, M6, M7) cannot be read"],
            &["an entity of kind REGION on KNOBS (B1) cannot be read"],
            &["an entity of kind SOLID (S1) cannot be read"],
        ],
    );
}

#[test]
fn a_block_of_another_file_is_told_and_not_opened() {
    let dxf = String::from_utf8(file!("doubled.dxf").to_vec()).unwrap();
    let block = "0\nSECTION\n2\nBLOCKS\n0\nBLOCK\n8\n0\n2\nELSEWHERE\n70\n4\n10\n0\n20\n0\n1\n/etc/passwd\n0\nENDBLK\n0\nENDSEC\n";
    let place = "0\nINSERT\n5\nX7\n8\n0\n2\nELSEWHERE\n10\n0\n20\n0\n0\nENDSEC\n0\nEOF\n";
    let entities = "0\nSECTION\n2\nENTITIES\n";
    let placed = dxf.replace(entities, &format!("{block}{entities}")).replace("0\nENDSEC\n0\nEOF\n", place);
    let told = good(placed.as_bytes()).reading.to_string();
    assert!(told.contains("left out: 1 INSERT (X7), because what it refers to holds no outline"), "{told}");
}

#[test]
fn of_very_many_faults_the_first_are_told_and_how_many_more() {
    let entities: String = (0..5000).map(|k| format!("0\nKIND{k}\n5\nT{k}\n8\n0\n")).collect();
    let dxf = format!("0\nSECTION\n2\nENTITIES\n{entities}0\nENDSEC\n0\nEOF\n");
    let told = refusal(dxf.as_bytes());
    assert_eq!(told.lines().count(), 101);
    assert!(
        told.contains("KIND0 (T0)") && told.ends_with("and 4901 more faults; mend these first"),
        "{told}"
    );
}

#[test]
fn lines_drawn_over_and_over_count_once() {
    let design = good(file!("doubled.dxf"));
    assert!((area(&design) - 2000.0).abs() < 0.5);
    assert_eq!(design.reading.to_string().matches("drawn once more").count(), 4);
}

/// By hand: 50 x 40 mm. Its lower side is drawn from both ends with 20 mm of it twice, 20 mm of the right one again and 10 mm of the left.
#[test]
fn what_lines_draw_twice_in_part_counts_once_and_is_told() {
    let design = good(file!("half_doubled.dxf"));
    assert!((area(&design) - 2000.0).abs() < 0.5, "{}", area(&design));
    let told = design.reading.to_string();
    for part in [
        "LINE P1 in \"RIM\" (line 34) from (40.00, 10.01) to (20.00, 10.01) mm",
        "LINE P3 in \"RIM\" (line 62) from (60.00, 45.00) to (60.00, 25.00) mm",
        "LINE P6 in \"RIM\" (line 104) from (10.00, 10.00) to (10.00, 20.00) mm",
    ] {
        assert!(
            told.contains(&format!("left out: {part}, because it lies over another line there")),
            "{told}"
        );
    }
    assert_eq!(told.matches("lies over another line").count(), 3, "{told}");
}

/// Pieces side by side whose lines share parts stay two: 40 x 20 and 60 x 20 mm, by hand.
#[test]
fn pieces_that_share_a_part_of_a_side_keep_it() {
    let mut lines = String::new();
    for (k, [x0, y0, x1, y1]) in [
        [0, 0, 40, 0],
        [40, 0, 40, 20],
        [40, 20, 0, 20],
        [0, 20, 0, 0],
        [10, 20, 70, 20],
        [70, 20, 70, 40],
        [70, 40, 10, 40],
        [10, 40, 10, 20],
    ]
    .into_iter()
    .enumerate()
    {
        lines += &format!("0\nLINE\n5\nS{k}\n8\n0\n10\n{x0}\n20\n{y0}\n11\n{x1}\n21\n{y1}\n");
    }
    let head = "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n";
    let design = good(format!("{head}{lines}0\nENDSEC\n0\nEOF\n").as_bytes());
    assert!((area(&design) - 2000.0).abs() < 1e-6, "{}", area(&design));
    // A line along a part of a closed outline is one too many; it was refused as open.
    let outline =
        "0\nLWPOLYLINE\n5\nR1\n8\n0\n70\n1\n10\n0\n20\n0\n10\n50\n20\n0\n10\n50\n20\n40\n10\n0\n20\n40\n";
    let stub = "0\nLINE\n5\nR2\n8\n0\n10\n50\n20\n10\n11\n50\n21\n30\n";
    let design = good(format!("{head}{outline}{stub}0\nENDSEC\n0\nEOF\n").as_bytes());
    assert!(
        (area(&design) - 2000.0).abs() < 1e-6 && design.reading.to_string().contains("left out: LINE R2")
    );
    // One from side to side is none of it.
    let chord = "0\nLINE\n5\nR2\n8\n0\n10\n0\n20\n10\n11\n50\n21\n30\n";
    let told = refusal(format!("{head}{outline}{chord}0\nENDSEC\n0\nEOF\n").as_bytes());
    assert!(told.contains("LINE R2") && told.contains("this outline is open"), "{told}");
}

#[test]
fn older_encodings_keep_their_names() {
    assert_eq!(good(file!("latin_1.dxf")).pieces[0].name, "Ma\u{df}");
}

#[test]
fn files_of_another_kind_are_named() {
    let first_line = b"AutoCAD Binary DXF\r\n\x1a\0";
    says(&refusal(first_line), &[&["DXF in binary form", "in text (ASCII)"]]);
    says(&refusal(b"AC1032\0\0"), &[&["a DWG drawing"]]);
    says(&refusal(b"\xff\xfe0\0"), &[&["UTF-16"]]);
    says(&refusal(b" \n"), &[&["the file is empty"]]);
}

#[test]
fn a_polygon_of_many_corners_is_read() {
    let corners: String = (0..100_000)
        .map(|i| {
            let turn = f64::from(i) / 1e5 * std::f64::consts::TAU;
            format!("10\n{}\n20\n{}\n", 50.0 * turn.cos(), 50.0 * turn.sin())
        })
        .collect();
    let dxf = format!(
        "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n0\nLWPOLYLINE\n70\n1\n{corners}0\nENDSEC\n0\nEOF\n"
    );
    // The tolerance, a hundredth of a millimetre here, along the circle.
    let off = area(&good(dxf.as_bytes())) - 2500.0 * std::f64::consts::PI;
    assert!(off.abs() < 0.01 * 100.0 * std::f64::consts::PI, "{off}");
}

#[test]
fn what_fuzzing_found_is_refused_by_name() {
    let spline = include_bytes!("../../fuzz/findings/dxf-closed-spline-without-points.dxf");
    says(&refusal(spline), &[&["SPLINE A1", "it has no points"]]);
}
