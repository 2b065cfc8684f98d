use std::fmt::Write;

use super::read_dxf;
use crate::design::{Design, Note, Options, Pick, Scale};
use crate::units::LengthUnit;

fn read_with(dxf: &str, options: &Options) -> Result<Design, String> {
    let design = read_dxf("t.dxf", dxf.as_bytes(), options).map_err(|error| error.to_string())?;
    for piece in &design.pieces {
        piece.shape.check().unwrap_or_else(|error| panic!("{}: {error}", piece.name));
    }
    Ok(design)
}

fn read(dxf: &str) -> Design {
    read_with(dxf, &Options::default()).unwrap()
}

fn refusal(dxf: &str) -> String {
    read_with(dxf, &Options::default()).unwrap_err()
}

/// Group codes and values, a pair for every two words.
fn pairs(words: &str) -> String {
    words.split_whitespace().fold(String::new(), |mut text, word| {
        let _ = writeln!(text, "{word}");
        text
    })
}

/// A file in millimetres with these entities, and blocks before them.
fn file(blocks: &str, entities: &str) -> String {
    pairs(&format!(
        "0 SECTION 2 HEADER 9 $INSUNITS 70 4 0 ENDSEC 0 SECTION 2 BLOCKS {blocks} 0 ENDSEC \
         0 SECTION 2 ENTITIES {entities} 0 ENDSEC 0 EOF"
    ))
}

fn line(handle: &str, [x0, y0, x1, y1]: [f64; 4]) -> String {
    format!("0 LINE 5 {handle} 8 RIM 10 {x0} 20 {y0} 11 {x1} 21 {y1} ")
}

/// The four sides of a rectangle of 60 x 40 mm.
fn sides() -> String {
    line("A1", [0.0, 0.0, 60.0, 0.0])
        + &line("A2", [60.0, 40.0, 60.0, 0.0])
        + &line("A3", [60.0, 40.0, 0.0, 40.0])
        + &line("A4", [0.0, 0.0, 0.0, 40.0])
}

fn area(design: &Design) -> f64 {
    design.pieces.iter().map(|piece| piece.shape.area()).sum()
}

#[test]
fn lines_that_meet_are_one_outline_named_after_their_layer() {
    let design = read(&file("", &sides()));
    assert_eq!((design.pieces.len(), design.pieces[0].name.as_str()), (1, "RIM"));
    assert!((area(&design) - 2400.0).abs() < 1e-6);
    assert_eq!(design.reading.scale, Scale::Header { code: 4, unit: "millimetres" });
}

#[test]
fn a_line_drawn_twice_counts_once_and_is_told() {
    let double = sides() + &line("B7", [0.004, 40.0, 0.0, 0.003]);
    let design = read(&file("", &double));
    assert!((area(&design) - 2400.0).abs() < 1e-6);
    let told = design.reading.to_string();
    assert!(told.contains("left out: LINE B7 in \"RIM\""), "{told}");
}

#[test]
fn a_gap_is_closed_and_told() {
    let gap = sides().replacen("11 60 21 0", "11 59.97 21 0", 1);
    let design = read(&file("", &gap));
    let told = design
        .reading
        .notes
        .iter()
        .any(|note| matches!(note, Note::GapClosed { size, .. } if (size - 0.03).abs() < 1e-9));
    assert!(told, "{}", design.reading);
}

#[test]
fn without_a_unit_both_readings_are_asked_about() {
    let dxf = file("", "0 LWPOLYLINE 8 RIM 70 1 10 0 20 0 10 6 20 0 10 6 20 4.5 10 0 20 4.5")
        .replace("\n70\n4\n", "\n70\n0\n");
    let message = refusal(&dxf);
    assert!(message.contains("is it 6 mm or 6 in across?"), "{message}");
    assert!(
        message.contains("--drawn-in mm for 6 x 4.5 mm, or --drawn-in in for 152.4 x 114.3 mm"),
        "{message}"
    );
    let told = Options { drawn_in: Some(LengthUnit::In), ..Options::default() };
    assert!((area(&read_with(&dxf, &told).unwrap()) - 27.0 * 25.4 * 25.4).abs() < 1e-6);
}

#[test]
fn a_unit_for_maps_or_molecules_is_refused_by_its_number() {
    for code in [7, 8, 11, 12, 18] {
        let message = refusal(&file("", &sides()).replace("\n70\n4\n", &format!("\n70\n{code}\n")));
        assert!(
            message.contains(&format!("($INSUNITS {code}) is none that a board is drawn in")),
            "{message}"
        );
    }
}

#[test]
fn what_is_not_flat_or_not_known_is_listed_by_handle() {
    let more = "0 3DFACE 5 C1 8 0 10 0 20 0 30 5 0 3DFACE 5 C2 8 0 0 REGION 5 C3 8 0 0 LINE 5 C4 8 0 10 1 20 1 11 2 21 2 31 9";
    let message = refusal(&file("", &(sides() + more)));
    assert!(message.contains("each of 2 entities of kind 3DFACE (C1, C2) is not flat"), "{message}");
    assert!(message.contains("an entity of kind LINE (C4) is not flat"), "{message}");
    assert!(message.contains("an entity of kind REGION (C3) cannot be read as an outline"), "{message}");
    let rim = Options { pick: Pick { layers: vec!["rim".to_owned()], pieces: vec![] }, ..Options::default() };
    assert!((area(&read_with(&file("", &(sides() + more)), &rim).unwrap()) - 2400.0).abs() < 1e-6);
}

#[test]
fn a_layer_or_piece_that_is_not_there_is_refused_with_those_that_are() {
    let pick = |layers: &[&str], pieces: &[&str]| {
        let words = |list: &[&str]| list.iter().map(|word| (*word).to_owned()).collect();
        let options =
            Options { pick: Pick { layers: words(layers), pieces: words(pieces) }, ..Options::default() };
        read_with(&file("", &sides()), &options)
    };
    assert!(pick(&["RIMM"], &[]).unwrap_err().contains("there is no layer \"RIMM\"; the layers are RIM"));
    assert!(pick(&[], &["eye"]).unwrap_err().contains("there is no piece \"eye\"; the pieces are RIM"));
    assert!(pick(&["RIM"], &["rim"]).is_ok());
}

#[test]
fn a_piece_from_a_block_has_the_blocks_name() {
    let block = format!("0 BLOCK 2 hook 10 60 20 0 {} 0 ENDBLK", sides());
    let design = read(&file(&block, "0 INSERT 5 D1 8 0 2 HOOK 10 100 20 0 50 90 41 2"));
    assert_eq!(design.pieces[0].name, "hook");
    assert!((area(&design) - 4800.0).abs() < 1e-6);
    let b = design.reading.bounds_mm;
    for (found, exact) in b.iter().zip([60.0, -120.0, 100.0, 0.0]) {
        assert!((found - exact).abs() < 1e-6, "{b:?}");
    }
}

/// What lies on layer 0 of a block lies on its insert's layer, through all blocks around it, and is seen when that is: whatever layer 0 is.
#[test]
fn layer_0_of_a_block_is_the_inserts() {
    let own = sides().replace(" 8 RIM", " 8 0");
    let blocks = format!(
        "0 BLOCK 2 IN 10 0 20 0 {own} 0 ENDBLK 0 BLOCK 2 *U1 10 0 20 0 0 INSERT 8 0 2 IN 10 0 20 0 0 ENDBLK"
    );
    let tables = |layer: &str| pairs(&format!("0 SECTION 2 TABLES 0 LAYER 2 {layer} 70 1 62 7 0 ENDSEC"));
    let of = |layer: &str| tables(layer) + &file(&blocks, "0 INSERT 5 D1 8 CUT 2 *U1 10 0 20 0");
    assert!((area(&read(&of("0"))) - 2400.0).abs() < 1e-6);
    assert!(refusal(&of("CUT")).contains("INSERT on CUT"));
    let pick = |name: &str| Options {
        pick: Pick { layers: vec![name.to_owned()], pieces: vec![] },
        ..Options::default()
    };
    assert!((area(&read_with(&of("X"), &pick("cut")).unwrap()) - 2400.0).abs() < 1e-6);
    // Lines of a layer of their own are read where that of the insert around all blocks is asked for.
    let other = of("X").replace("\n8\n0\n10\n", "\n8\nRIM\n10\n");
    assert!((area(&read_with(&other, &pick("cut")).unwrap()) - 2400.0).abs() < 1e-6);
    assert!(read_with(&other, &pick("0")).is_err());
}

#[test]
fn lines_may_end_as_on_any_machine() {
    for end in ["\n", "\r\n", "\r"] {
        let dxf = file("", &sides()).replace('\n', end);
        assert!(crate::design::dxf::is_dxf(dxf.as_bytes()), "{end:?}");
        assert!((area(&read(&dxf)) - 2400.0).abs() < 1e-6, "{end:?}");
    }
}

#[test]
fn blocks_in_a_circle_and_missing_ones_are_refused() {
    let block = "0 BLOCK 2 A 0 INSERT 2 B 10 0 20 0 0 ENDBLK 0 BLOCK 2 B 0 INSERT 2 A 10 0 20 0 0 ENDBLK";
    assert!(refusal(&file(block, "0 INSERT 2 A 10 0 20 0")).contains("the block \"A\" holds itself"));
    assert!(
        refusal(&file("", "0 INSERT 5 E 2 C 10 0 20 0"))
            .contains("INSERT E, line 22:1: this places the block \"C\"")
    );
}

#[test]
fn blocks_that_lie_too_deep_are_refused_by_the_limit_that_lets_them_in() {
    let chain = |count: usize| {
        let inner = format!("0 BLOCK 2 B0 10 0 20 0 {} 0 ENDBLK ", sides());
        let outer =
            (1..count).map(|k| format!("0 BLOCK 2 B{k} 10 0 20 0 0 INSERT 2 B{} 10 0 20 0 0 ENDBLK ", k - 1));
        file(&(inner + &outer.collect::<String>()), &format!("0 INSERT 2 B{} 10 0 20 0", count - 1))
    };
    assert!((area(&read(&chain(128))) - 2400.0).abs() < 1e-6);
    let message = refusal(&chain(129));
    assert!(message.contains("128 levels of nesting") && message.contains("--limit depth="), "{message}");
    let mut options = Options::default();
    assert!(options.limits.set("depth", 100_000));
    assert!((area(&read_with(&chain(3_000), &options).unwrap()) - 2400.0).abs() < 1e-6);
}

#[test]
fn a_file_that_ends_in_the_middle_is_refused() {
    let dxf = file("", &sides());
    let end = dxf.rfind("0\nENDSEC").unwrap();
    assert!(refusal(&dxf[..end]).contains("ends in the middle"));
    assert!(refusal(&dxf[..end - 4]).contains("ends in the middle"));
    // Only the very last mark is missing: nothing is lost.
    assert!(read_with(&dxf[..dxf.rfind("0\nEOF").unwrap()], &Options::default()).is_ok());
}

#[test]
fn numbers_that_are_none_are_named_with_their_entity() {
    let message = refusal(&file("", "0 CIRCLE 5 F1 8 0 10 NaN 20 0 40 5 0 CIRCLE 5 F2 8 0 10 0 20 0 40 -1"));
    assert!(message.contains("CIRCLE F1, line 22:1: its group code 10 is \"NaN\""), "{message}");
    assert!(
        message.contains("CIRCLE F2") && message.contains("its radius, -1, is not above zero"),
        "{message}"
    );
}

#[test]
fn an_evenly_knotted_spline_on_a_square_encloses_what_its_formula_says() {
    let corners = ["0 20 0", "60 20 0", "60 20 60", "0 20 60"];
    let poles: String = (0..7).map(|k| format!("10 {} 30 0 ", corners[k % 4])).collect();
    let knots: String = (0..11).map(|k| format!("40 {k} ")).collect();
    let design = read(&file("", &format!("0 SPLINE 5 F3 8 0 70 11 71 3 72 11 73 7 {knots}{poles}")));
    let exact = 3600.0 * uniform_square();
    assert!((area(&design) - exact).abs() < 1.0, "{} is not {exact}", area(&design));
}

/// The area inside the closed uniform cubic B-spline whose poles are a unit square's corners: half the integral of
/// x·y' − y·x' over its four stretches, by Simpson's rule on a fine division.
fn uniform_square() -> f64 {
    let poles = [[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0_f64]];
    let at = |stretch: usize, t: f64| {
        let b = [
            (1.0 - t).powi(3),
            3.0 * t.powi(3) - 6.0 * t * t + 4.0,
            -3.0 * t.powi(3) + 3.0 * t * t + 3.0 * t + 1.0,
            t.powi(3),
        ];
        let d = [-3.0 * (1.0 - t).powi(2), 9.0 * t * t - 12.0 * t, -9.0 * t * t + 6.0 * t + 3.0, 3.0 * t * t];
        let sum =
            |w: [f64; 4], k: usize| (0..4).map(|i| w[i] * poles[(stretch + i) % 4][k]).sum::<f64>() / 6.0;
        sum(b, 0) * sum(d, 1) - sum(b, 1) * sum(d, 0)
    };
    let steps = 200;
    let h = 1.0 / f64::from(steps);
    (0..4)
        .flat_map(|stretch| (0..steps).map(move |i| (stretch, f64::from(i) * h)))
        .map(|(s, t)| h / 6.0 * (at(s, t) + 4.0 * at(s, t + h / 2.0) + at(s, t + h)) / 2.0)
        .sum()
}

#[test]
fn openings_that_overlap_are_one_and_the_reading_says_so() {
    let hole = |handle: &str, x: f64| format!("0 CIRCLE 5 {handle} 8 HOLES 10 {x} 20 20 40 8 ");
    let design = read(&file(
        "",
        &(sides() + &hole("B1", 25.0) + &hole("B2", 35.0) + &hole("B3", 52.0).replace("40 8", "40 4")),
    ));
    assert_eq!(design.pieces[0].shape.polygon().interiors().len(), 2);
    let said = design.reading.to_string();
    let united = "opening: united from 2 shapes that overlap: CIRCLE B1 in \"HOLES\"";
    assert!(said.contains(united) && said.contains("CIRCLE B2") && said.contains("; in LINE A1"), "{said}");
    assert!(said.contains("opening: CIRCLE B3"), "{said}");
}

#[test]
fn open_lines_on_a_layer_called_grain_are_marks() {
    let arrow = line("C1", [10.0, 20.0, 50.0, 20.0]).replace("RIM", "Grain");
    let drawn = file("", &(sides() + &arrow));
    let design = read(&drawn);
    assert!((area(&design) - 2400.0).abs() < 1e-6);
    assert!(design.reading.to_string().contains("1 LINE on Grain (C1), because its layer is one of marks"));
    // On another layer it is an outline that is open, and the answer says how to leave it out.
    let message = refusal(&drawn.replace("Grain", "MARKS"));
    assert!(message.contains("LINE C1") && message.contains("--layer NAME"), "{message}");
    let pick = Pick { layers: vec!["RIM".to_owned()], ..Pick::default() };
    let picked = read_with(&drawn.replace("Grain", "MARKS"), &Options { pick, ..Options::default() });
    assert!((area(&picked.unwrap()) - 2400.0).abs() < 1e-6);
    // Who asks for the layer means its lines.
    let pick = Pick { layers: vec!["RIM".to_owned(), "GRAIN".to_owned()], ..Pick::default() };
    assert!(read_with(&drawn, &Options { pick, ..Options::default() }).unwrap_err().contains("LINE C1"));
    // A closed outline is wood, whatever its layer is called.
    let strip = sides().replace("RIM", "NOTE") + "0 CIRCLE 5 D2 8 INSERT 10 20 20 20 40 8 ";
    assert_eq!(read(&file("", &strip)).pieces[0].name, "INSERT");
    let disc = file("", "0 CIRCLE 5 D1 8 GRAIN 10 20 20 20 40 8 ");
    assert_eq!(read(&disc).pieces.len(), 1);
}

#[test]
fn a_wrong_unit_is_told_once() {
    let metres = file("", &sides()).replace("\n70\n4\n", "\n70\n6\n");
    let message = refusal(&metres);
    assert_eq!(message.lines().count(), 1, "{message}");
    assert!(
        message.contains("LINE A1") && message.contains("LINE A2") && message.contains("LINE A3"),
        "{message}"
    );
}

/// Widths by hand: as drawn; in a block placed at twice its size in a drawing of centimetres; of the widest corner.
#[test]
fn wide_polylines_are_told_with_their_true_width() {
    let of = |dxf: &str| {
        let design = read(dxf);
        let line = design.reading.notes.iter().find_map(|note| match note {
            Note::Line { what, width, .. } => Some((what.clone(), *width)),
            _ => None,
        });
        (line, design.reading.drawn_wide())
    };
    let light = |width: &str| {
        format!(
            "0 LWPOLYLINE 5 A1 8 RIM 90 4 70 1 {width} 10 0 20 0 10 60 20 0 42 0.5 10 60 20 40 10 0 20 40 "
        )
    };
    let (line, told) = of(&file("", &light("43 12")));
    assert_eq!(line, Some(("LWPOLYLINE A1 in \"RIM\" (line 22)".to_owned(), 12.0)));
    assert!(told.unwrap().contains("is drawn with a line 12 mm wide: the wood is judged to its middle"));
    assert_eq!(of(&file("", &light("43 0"))), (None, None));
    assert_eq!(of(&file("", &sides())), (None, None));
    let block = format!("0 BLOCK 2 hook 10 60 20 0 {} 0 ENDBLK", light("43 0.3"));
    let placed = file(&block, "0 INSERT 5 D1 8 0 2 HOOK 10 100 20 0 50 30 41 2 42 2")
        .replace("\n70\n4\n", "\n70\n5\n");
    let (line, told) = of(&placed);
    assert!((line.unwrap().1 - 6.0).abs() < 1e-9 && told.is_some());
    let heavy = |own: &str, second: &str| {
        let corner = |x: f64, y: f64, more: &str| format!("0 VERTEX 8 RIM 10 {x} 20 {y} {more} ");
        let corners = corner(0.0, 0.0, "") + &corner(60.0, 0.0, second) + &corner(60.0, 40.0, "");
        format!("0 POLYLINE 5 B1 8 RIM 66 1 70 1 {own} {corners} 0 SEQEND ")
    };
    assert_eq!(of(&file("", &heavy("40 2 41 2", ""))).0.unwrap().1, 2.0);
    assert_eq!(of(&file("", &heavy("40 2 41 2", "40 2 41 7"))).0.unwrap().1, 7.0);
    assert_eq!(of(&file("", &heavy("", "40 0.5 41 0.5"))).1, None);
}
