//! Drawings as people and programs write them.

mod references;
mod told;
mod windows;

use crate::design::{Design, Inner, Note, Options, Page, Pick, Scale, read_svg};
use crate::units::LengthUnit;

fn read_with(svg: &str, options: &Options) -> Result<Design, String> {
    let design = read_svg("t.svg", svg.as_bytes(), options).map_err(|error| error.to_string())?;
    for piece in &design.pieces {
        piece.shape.check().unwrap_or_else(|error| panic!("{}: {error}", piece.name));
    }
    Ok(design)
}

fn read(svg: &str) -> Design {
    read_with(svg, &Options::default()).unwrap()
}

/// A page of 100 x 80 mm, numbers in mm.
fn page(body: &str) -> String {
    format!(
        r#"<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="80mm" viewBox="0 0 100 80">{body}</svg>"#
    )
}

fn areas(design: &Design) -> Vec<f64> {
    design.pieces.iter().map(|piece| piece.shape.area()).collect()
}

fn bounds(design: &Design, piece: usize) -> [f64; 4] {
    use geo::BoundingRect;
    let b = design.pieces[piece].shape.polygon().bounding_rect().unwrap();
    [b.min().x, b.min().y, b.max().x, b.max().y]
}

/// The least and most area a curved outline may come out with: the flattening stays within the tolerance
/// of the true curve, so the area is off by no more than that times the outline's length.
fn near(area: f64, exact: f64, length: f64) {
    assert!((area - exact).abs() < 0.02 * length, "{area} is not {exact}");
}

#[test]
fn y_is_turned_up_from_the_pages_lower_left_corner() {
    let design = read(&page(r#"<rect x="10" y="5" width="30" height="20"/>"#));
    assert_eq!(bounds(&design, 0), [10.0, 55.0, 40.0, 75.0]);
}

#[test]
fn a_view_box_may_start_anywhere() {
    let svg = r#"<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="80mm" viewBox="-50 -40 100 80">
        <rect x="-50" y="20" width="30" height="20"/></svg>"#;
    assert_eq!(bounds(&read(svg), 0), [0.0, 0.0, 30.0, 20.0]);
}

#[test]
fn every_unit_of_the_page_is_understood() {
    for (width, mm) in [
        ("60mm", 60.0),
        ("6cm", 60.0),
        ("3in", 76.2),
        ("216pt", 76.2),
        ("18pc", 76.2),
        ("96px", 25.4),
        ("96", 25.4),
    ] {
        let svg = format!(
            r#"<svg xmlns="http://www.w3.org/2000/svg" width="{width}" viewBox="0 0 10 10"><rect width="10" height="5"/></svg>"#
        );
        let [x0, _, x1, _] = bounds(&read(&svg), 0);
        assert!((x1 - x0 - mm).abs() < 2e-4, "{width}: {}", x1 - x0);
    }
}

#[test]
fn without_a_view_box_the_numbers_are_pixels() {
    let svg = r#"<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm"><rect width="96" height="96"/></svg>"#;
    assert!((areas(&read(svg))[0] - 25.4 * 25.4).abs() < 0.01);
}

#[test]
fn lengths_of_shapes_carry_their_own_units() {
    let svg = r#"<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm"><rect width="2in" height="20mm"/></svg>"#;
    assert!((areas(&read(svg))[0] - 50.8 * 20.0).abs() < 0.01);
}

#[test]
fn drawn_in_overrides_what_the_file_says() {
    let svg = r#"<svg xmlns="http://www.w3.org/2000/svg" width="300px" height="150px" viewBox="0 0 300 150"><rect width="300" height="150"/></svg>"#;
    let told = Options { drawn_in: Some(LengthUnit::Mm), ..Options::default() };
    let design = read_with(svg, &told).unwrap();
    assert!((areas(&design)[0] - 45_000.0).abs() < 1e-6);
    assert_eq!(design.reading.scale, Scale::Told(LengthUnit::Mm));
}

#[test]
fn without_size_and_unit_both_readings_are_shown() {
    let svg = r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 305 152"><rect width="300" height="150"/></svg>"#;
    let message = read_with(svg, &Options::default()).unwrap_err();
    assert!(message.contains("305.00 x 152.00 mm with --drawn-in mm, or 80.70 x 40.22 mm"), "{message}");
    let told = Options { drawn_in: Some(LengthUnit::Mm), ..Options::default() };
    assert!(read_with(svg, &told).is_ok());
}

#[test]
fn pixels_are_read_and_the_reading_says_so() {
    let svg = r#"<svg xmlns="http://www.w3.org/2000/svg" width="960" height="960"><rect width="960" height="480"/></svg>"#;
    let design = read(svg);
    assert!((areas(&design)[0] - 254.0 * 127.0).abs() < 1e-6);
    assert!(design.reading.to_string().contains("pixels of 1/96 inch"));
}

#[test]
fn every_shape_element_is_read() {
    let design = read(&page(
        r#"<circle id="a" cx="10" cy="10" r="8"/><ellipse id="b" cx="40" cy="10" rx="16" ry="8"/>
           <rect id="c" x="5" y="30" width="30" height="20" rx="5"/>
           <polygon id="d" points="50,30 70,30 60,50"/><polyline id="e" points="80,30 95,30 95,45"/>
           <path id="f" d="M5 60 h20 v10 h-20 z"/>"#,
    ));
    let pi = std::f64::consts::PI;
    let found = areas(&design);
    near(found[0], 64.0 * pi, 16.0 * pi);
    near(found[1], 128.0 * pi, 24.0 * pi);
    near(found[2], 600.0 - (4.0 - pi) * 25.0, 100.0);
    for (found, exact) in found[3..].iter().zip([200.0, 112.5, 200.0]) {
        assert!((found - exact).abs() < 1e-6);
    }
    let names: Vec<&str> = design.pieces.iter().map(|p| p.name.as_str()).collect();
    assert_eq!(names, ["a", "b", "c", "d", "e", "f"]);
}

#[test]
fn nested_transforms_multiply() {
    let design = read(&page(
        r#"<g transform="translate(50 40)"><g transform="rotate(90) scale(2)"><rect width="10" height="4" transform="translate(1 0)"/></g></g>"#,
    ));
    let b = bounds(&design, 0);
    for (found, exact) in b.iter().zip([42.0, 18.0, 50.0, 38.0]) {
        assert!((found - exact).abs() < 2e-4, "{b:?}");
    }
}

#[test]
fn use_and_symbol_are_followed_and_named_after_the_use() {
    let design = read(&page(
        r##"<defs><rect id="tab" width="10" height="5"/><symbol id="sign" viewBox="0 0 10 10"><rect width="10" height="10"/></symbol></defs>
           <use id="left" href="#tab" x="5" y="5"/><use id="right" href="#tab" x="50" y="5"/>
           <use id="big" href="#sign" x="5" y="40" width="20" height="20"/>"##,
    ));
    let names: Vec<&str> = design.pieces.iter().map(|p| p.name.as_str()).collect();
    assert_eq!(names, ["left", "right", "big"]);
    let found = areas(&design);
    assert!((found[0] - 50.0).abs() < 1e-3 && (found[2] - 400.0).abs() < 1e-2);
}

#[test]
fn a_use_moves_a_symbol_once_whatever_moves_it() {
    // Five by four units, two millimetres to each, the whole doubled by the transform of the use and moved by (20, 10).
    for edge in ["", r#"overflow="visible""#] {
        for shape in [
            r#"<rect width="5" height="4"/>"#,
            r#"<g transform="scale(5 4)"><rect width="1" height="1"/></g>"#,
            r##"<use href="#tab"/>"##,
        ] {
            let svg = page(&format!(
                r##"<defs><rect id="tab" width="5" height="4"/><symbol id="s" viewBox="0 0 10 10" {edge}>{shape}</symbol></defs>
                   <use href="#s" transform="translate(20 10) scale(2)" width="20" height="20"/>"##
            ));
            let found = bounds(&read(&svg), 0);
            assert!(
                found.iter().zip([20.0, 54.0, 40.0, 70.0]).all(|(a, b)| (a - b).abs() < 1e-3),
                "{svg}: {found:?}"
            );
        }
    }
}

#[test]
fn style_sheets_decide_what_is_filled() {
    let design = read(&page(
        r#"<style>.cut { fill: none; stroke: black } g > .off { display: none } #solid { fill: red }</style>
           <rect class="cut" x="5" y="5" width="40" height="40"/><rect class="cut" x="10" y="10" width="10" height="10"/>
           <g><rect class="off" x="60" y="5" width="5" height="5"/></g><rect id="solid" x="60" y="40" width="10" height="10"/>"#,
    ));
    let found = areas(&design);
    assert_eq!(found.len(), 2);
    assert!((found[0] - 1500.0).abs() < 1e-6 && (found[1] - 100.0).abs() < 1e-6);
}

#[test]
fn the_fill_rule_decides_about_sub_paths() {
    let rings = "M10 10 h40 v40 h-40 z M20 20 h10 v10 h-10 z";
    for (rule, exact) in [("nonzero", 1600.0), ("evenodd", 1500.0)] {
        let design = read(&page(&format!(r#"<path fill-rule="{rule}" d="{rings}"/>"#)));
        assert!((areas(&design)[0] - exact).abs() < 1e-6);
    }
}

#[test]
fn outlines_without_fill_nest_whichever_way_they_are_drawn() {
    let design = read(&page(
        r#"<g fill="none" stroke="black"><path d="M10 10 h60 v60 h-60 z"/><path d="M20 20 h30 v30 h-30 z"/>
           <path d="M25 25 v10 h10 v-10 z"/></g>"#,
    ));
    assert_eq!(areas(&design).len(), 2);
    assert!((areas(&design)[0] - 2700.0).abs() < 1e-6 && (areas(&design)[1] - 100.0).abs() < 1e-6);
}

#[test]
fn the_width_of_a_line_is_never_wood() {
    let design = read(&page(
        r#"<rect x="10" y="10" width="20" height="20" fill="none" stroke="black" stroke-width="9"/>"#,
    ));
    assert!((areas(&design)[0] - 400.0).abs() < 1e-6);
}

#[test]
fn lines_that_meet_make_an_outline() {
    let design = read(&page(
        r#"<g id="plate" stroke="black"><line x1="10" y1="10" x2="50" y2="10"/><line x1="50" y1="40" x2="50" y2="10.02"/>
           <path fill="none" d="M50 40 L10 40"/><line x1="10" y1="40" x2="10" y2="10"/></g>"#,
    ));
    assert!((areas(&design)[0] - 1200.0).abs() < 1.0);
    assert_eq!(design.pieces[0].name, "plate");
    assert!(
        design
            .reading
            .notes
            .iter()
            .any(|note| matches!(note, Note::GapClosed { size, .. } if (size - 0.02).abs() < 1e-4))
    );
}

/// A fill covers what an open outline encloses (SVG 2, 13.4.1); by hand a right triangle of 30 and 40, its long side 50.
#[test]
fn a_fill_closes_an_open_outline_and_it_is_told() {
    let design = read(&page(r#"<path d="M10 10 H40 V50"/><path fill="red" d="M60 10 H70 V20 H60 Z"/>"#));
    assert!((areas(&design)[0] - 600.0).abs() < 1e-6);
    let told = design.reading.closed_by_fill().expect("it is open");
    assert!(told.contains("open over 50.0 mm") && !told.contains("more"), "{told}");
    let sides = design.reading.notes.iter().filter(|note| matches!(note, Note::ClosedByFill { .. }));
    assert_eq!(sides.count(), 1);
    assert_eq!(read(&page(r#"<path d="M10 10 H40 V50 L10 10"/>"#)).reading.closed_by_fill(), None);
}

/// Widths by hand: 12 as drawn; 4 in a group three times as large in a page of half a millimetre to the unit; 2 stretched to four times
/// its width and half its height; the last by the text of the drawing alone.
#[test]
fn wide_lines_are_told_with_their_true_width() {
    let of = |svg: &str| {
        let design = read(svg);
        let line = design.reading.notes.iter().find_map(|note| match note {
            Note::Line { what, width, more } => Some((what.clone(), *width, *more)),
            _ => None,
        });
        (line, design.reading.drawn_wide())
    };
    let ring = |width: &str| {
        format!(r#"<circle id="ring" cx="40" cy="30" r="20" fill="none" stroke="red" {width}/>"#)
    };
    let (line, told) = of(&page(&ring(r#"stroke-width="12""#)));
    assert_eq!(line, Some(("circle \"ring\"".to_owned(), 12.0, 0)));
    assert!(told.unwrap().starts_with(
        "circle \"ring\" is drawn with a line 12 mm wide: the wood is judged to its middle; expand"
    ));
    let half =
        r#"<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="60mm" viewBox="0 0 200 120">"#;
    let scaled = |scale: &str| {
        format!(
            r#"{half}<g transform="{scale}" stroke-width="2"><g stroke-width="4">{}</g></g></svg>"#,
            ring("")
        )
    };
    let (line, _) = of(&scaled("rotate(20) scale(3)").replace("cx=\"40\"", "cx=\"45\""));
    assert!((line.unwrap().1 - 6.0).abs() < 1e-5);
    let (line, _) = of(&scaled("scale(4 0.5)"));
    assert!((line.unwrap().1 - 8.0).abs() < 1e-5);
    // A wide line round a fill is told too, the widest first, and how many there are.
    let (line, told) = of(&page(
        r#"<rect x="10" y="10" width="20" height="20" stroke="black" stroke-width="3"/>
           <rect id="wide" x="50" y="10" width="30" height="30" stroke="black" stroke-width="10"/>"#,
    ));
    assert_eq!(line, Some(("rect \"wide\"".to_owned(), 10.0, 1)));
    assert!(told.unwrap().contains("10 mm wide (and 1 more over 1 mm): the wood"));
    // A pencil's line is noted and no more; what is not drawn, or left out, has no width.
    let (line, told) = of(&page(&ring("stroke-width=\"0.8\"")));
    assert!(line.is_some_and(|(_, width, _)| (width - 0.8).abs() < 1e-6) && told.is_none());
    let plain = r#"<rect x="70" y="10" width="20" height="20"/>"#;
    let without = ["stroke-width=\"5\" visibility=\"hidden\"", "stroke-width=\"0.01\""];
    for ring in without.map(ring) {
        assert_eq!(of(&page(&(ring + plain))).0, None);
    }
    assert_eq!(of(&page(plain)).0, None);
    let twice = ring("stroke-width=\"9\"").replace("\"ring\"", "\"below\"") + &ring("stroke-width=\"2\"");
    assert_eq!(of(&page(&twice)).0, Some(("circle \"ring\"".to_owned(), 2.0, 0)));
}

#[test]
fn overlaps_are_united_and_duplicates_dropped() {
    let design = read(&page(
        r#"<rect x="10" y="10" width="20" height="20"/><rect x="20" y="20" width="20" height="20"/>
           <circle cx="70" cy="40" r="9" fill="none" stroke="red"/><circle cx="70" cy="40" r="9" fill="none" stroke="red"/>"#,
    ));
    assert!((areas(&design)[0] - 700.0).abs() < 1e-6);
    near(areas(&design)[1], 81.0 * std::f64::consts::PI, 18.0 * std::f64::consts::PI);
}

#[test]
fn outlines_that_overlap_in_part_are_united() {
    let design = read(&page(
        r#"<g fill="none" stroke="black"><rect x="10" y="10" width="20" height="20"/><rect x="20" y="10" width="30" height="20"/></g>"#,
    ));
    assert_eq!(areas(&design).len(), 1);
    assert!((areas(&design)[0] - 800.0).abs() < 1e-6);
}

#[test]
fn an_inner_shape_of_another_fill_is_asked_about() {
    let svg = page(
        r#"<rect id="plate" x="10" y="10" width="60" height="60"/><circle id="eye" fill="white" cx="40" cy="40" r="10"/>"#,
    );
    let message = read_with(&svg, &Options::default()).unwrap_err();
    assert!(message.contains("circle \"eye\"") && message.contains("rect \"plate\""), "{message}");
    assert!(message.contains("--inner opening") && message.contains("--inner wood"), "{message}");
    let told = |inner| read_with(&svg, &Options { inner: Some(inner), ..Options::default() }).unwrap();
    near(areas(&told(Inner::Opening))[0], 3600.0 - 100.0 * std::f64::consts::PI, 20.0 * std::f64::consts::PI);
    assert!((areas(&told(Inner::Wood))[0] - 3600.0).abs() < 1e-6);
}

#[test]
fn an_island_painted_on_an_opening_is_wood_again() {
    let svg = page(
        r#"<rect x="10" y="10" width="60" height="60"/><rect fill="white" x="20" y="20" width="40" height="40"/><rect x="30" y="30" width="10" height="10"/>"#,
    );
    let design = read_with(&svg, &Options { inner: Some(Inner::Opening), ..Options::default() }).unwrap();
    let found = areas(&design);
    assert!((found[0] - 2000.0).abs() < 1e-6 && (found[1] - 100.0).abs() < 1e-6);
}

#[test]
fn a_bridge_painted_over_an_opening_is_wood() {
    let svg = page(
        r#"<rect x="10" y="10" width="60" height="60"/><rect fill="white" x="20" y="20" width="40" height="40"/><rect x="15" y="30" width="50" height="10"/>"#,
    );
    let design = read_with(&svg, &Options { inner: Some(Inner::Opening), ..Options::default() }).unwrap();
    assert!((areas(&design)[0] - 2400.0).abs() < 1e-6);
    assert_eq!(design.pieces[0].shape.polygon().interiors().len(), 2);
}

#[test]
fn an_outline_inside_a_filled_shape_is_asked_about_whichever_comes_first() {
    for svg in [
        r#"<rect x="10" y="10" width="60" height="60"/><circle fill="none" stroke="black" cx="40" cy="40" r="10"/>"#,
        r#"<circle fill="none" stroke="black" cx="40" cy="40" r="10"/><rect x="10" y="10" width="60" height="60"/>"#,
    ] {
        assert!(read_with(&page(svg), &Options::default()).unwrap_err().contains("--inner"));
        let told = Options { inner: Some(Inner::Opening), ..Options::default() };
        near(areas(&read_with(&page(svg), &told).unwrap())[0], 3600.0 - 314.159, 63.0);
    }
}

#[test]
fn a_rectangle_as_large_as_the_page_is_asked_about() {
    let svg = page(
        r#"<rect id="sheet" width="100" height="80" fill="white"/><rect x="10" y="10" width="20" height="20"/>"#,
    );
    let message = read_with(&svg, &Options::default()).unwrap_err();
    assert!(message.contains("rect \"sheet\"") && message.contains("--page ignore"), "{message}");
    let told = |page, inner| read_with(&svg, &Options { page: Some(page), inner, ..Options::default() });
    assert!((areas(&told(Page::Ignore, None).unwrap())[0] - 400.0).abs() < 1e-6);
    assert!((areas(&told(Page::Wood, Some(Inner::Opening)).unwrap())[0] - 7600.0).abs() < 1e-6);
}

#[test]
fn a_page_sized_rectangle_alone_is_the_piece() {
    assert!((areas(&read(&page(r#"<rect width="100" height="80"/>"#)))[0] - 8000.0).abs() < 1e-6);
}

#[test]
fn the_same_fill_inside_itself_changes_nothing_and_is_told() {
    let design =
        read(&page(r#"<rect x="10" y="10" width="60" height="60"/><circle cx="40" cy="40" r="10"/>"#));
    assert!((areas(&design)[0] - 3600.0).abs() < 1e-6);
    assert!(design.reading.to_string().contains("wood of the same fill"));
}

#[test]
fn a_gradient_is_a_fill_of_its_own() {
    let svg = page(
        r##"<defs><linearGradient id="g"><stop offset="0" stop-color="red"/></linearGradient></defs>
           <rect x="10" y="10" width="60" height="60" fill="url(#g)"/>"##,
    );
    assert!((areas(&read(&svg))[0] - 3600.0).abs() < 1e-6);
}

#[test]
fn pieces_are_named_from_ids_groups_or_numbers_and_never_alike() {
    let design = read(&page(
        r#"<rect id="tag" x="5" y="5" width="10" height="10"/><rect x="25" y="5" width="10" height="10"/>
           <g id="set"><rect x="45" y="5" width="10" height="10"/><rect x="65" y="5" width="10" height="10"/></g>
           <path id="pair" d="M5 40 h10 v10 h-10 z M25 40 h10 v10 h-10 z"/>"#,
    ));
    let names: Vec<&str> = design.pieces.iter().map(|p| p.name.as_str()).collect();
    assert_eq!(names, ["tag", "piece 2", "set 1", "set 2", "pair 1", "pair 2"]);
}

#[test]
fn hidden_shapes_are_left_out_and_told() {
    let design = read(&page(
        r#"<rect x="5" y="5" width="10" height="10"/><rect id="off" display="none" x="25" y="5" width="10" height="10"/>
           <rect id="clear" fill-opacity="0" x="45" y="5" width="10" height="10"/><rect id="bare" fill="none" x="65" y="5" width="10" height="10"/>"#,
    ));
    assert_eq!(design.pieces.len(), 1);
    let text = design.reading.to_string();
    assert!(["off", "clear", "bare"].iter().all(|id| text.contains(&format!("rect \"{id}\""))), "{text}");
}

#[test]
fn a_clip_path_that_takes_nothing_away_changes_nothing() {
    let design = read(&page(
        r##"<defs><rect id="all" width="100" height="80"/><clipPath id="sheet"><use href="#all"/></clipPath></defs>
           <g clip-path="url(#sheet)" fill="none" stroke="black"><circle id="rim" cx="50" cy="40" r="30"/></g>"##,
    ));
    near(areas(&design)[0], 900.0 * std::f64::consts::PI, 60.0 * std::f64::consts::PI);
    assert!(design.reading.to_string().contains("whole: circle \"rim\""), "{}", design.reading);
}

#[test]
fn a_clip_path_cuts_a_filled_shape_exactly() {
    let design = read(&page(
        r##"<clipPath id="half" transform="translate(0 5)"><path clip-rule="evenodd" d="M0 0h50v75h-50z M20 20h10v10h-10z"/></clipPath>
           <g transform="translate(10 0)"><rect id="plate" clip-path="url(#half)" x="10" y="10" width="60" height="60"/></g>
           <rect id="gone" clip-path="url(#half)" x="80" y="10" width="9" height="9"/>"##,
    ));
    // Seen from the group the window is 0..50 by 5..80 without 20..30 by 25..35; the plate 10..70 by 10..70.
    assert!((areas(&design)[0] - (40.0 * 60.0 - 100.0)).abs() < 1e-3, "{:?}", areas(&design));
    assert!(design.reading.to_string().contains("cut: rect \"plate\""), "{}", design.reading);
    assert!(
        design.reading.to_string().contains("left out: rect \"gone\", because its clip path leaves nothing")
    );
}

#[test]
fn a_clip_path_that_the_file_does_not_have_takes_nothing_away_and_is_told() {
    for (style, way) in [
        ("", "clip-path=\"url(#gone)\""),
        ("", "style=\"clip-path:url('#gone')\""),
        ("<style>.part {clip-path: url(#gone)}</style>", "class=\"part\""),
    ] {
        let design =
            read(&page(&format!("{style}<rect {way} x=\"10\" y=\"10\" width=\"60\" height=\"60\"/>")));
        near(areas(&design)[0], 3600.0, 1e-3);
        let told = design.reading.to_string();
        assert!(told.contains("a clip path that the file does not have"), "{told}");
    }
}

#[test]
fn a_clip_path_through_a_line_is_refused() {
    let svg = page(
        r##"<clipPath id="half"><rect width="50" height="80"/></clipPath>
           <g clip-path="url(#half)"><circle id="rim" fill="none" stroke="black" cx="50" cy="40" r="30"/></g>"##,
    );
    assert!(read_with(&svg, &Options::default()).unwrap_err().contains("circle \"rim\""));
    assert!(read_with(&svg, &Options::default()).unwrap_err().contains("a clip path cuts through this line"));
}

#[test]
fn layers_are_named_by_id_or_label_and_picked() {
    let svg = page(
        r##"<g id="layer1" xmlns:d="urn:some-program" d:label="Rim"><rect x="5" y="5" width="30" height="30"/><text>oak</text></g>
           <g id="cut"><use id="twice" href="#tab"/><text>not set</text></g><defs><rect id="tab" x="50" y="5" width="10" height="10"/></defs>
           <g id="notes"><text>48 x 30</text></g>"##,
    );
    let pick = |layer: &str| {
        let pick = Pick { layers: vec![layer.to_owned()], pieces: Vec::new() };
        read_with(
            &svg.replace("<text>oak</text>", "").replace("<text>not set</text>", ""),
            &Options { pick, ..Options::default() },
        )
    };
    assert_eq!(pick("rim").unwrap().pieces[0].name, "Rim");
    assert_eq!(areas(&pick("layer1").unwrap()).len(), 1);
    assert!((areas(&pick("cut").unwrap())[0] - 100.0).abs() < 1e-3);
    assert!(
        pick("rims")
            .unwrap_err()
            .contains("there is no layer \"rims\"; the layers are Rim, cut, layer1, notes")
    );
    assert!(read_with(&svg, &Options::default()).unwrap_err().matches("still text").count() == 3);
}

#[test]
fn the_only_drawing_in_a_page_is_taken() {
    let inner = page(r#"<rect x="5" y="5" width="30" height="30"/>"#);
    let one = format!("<html><body><p>A tag</p>{inner}</body></html>");
    assert!((areas(&read(&one))[0] - 900.0).abs() < 1e-6);
    let two = format!("<html>{inner}{inner}</html>");
    assert!(
        read_with(&two, &Options::default()).unwrap_err().contains("a page (<html>) with 2 drawings in it")
    );
}

#[test]
fn percentages_are_parts_of_the_view() {
    let design = read(&page(r#"<rect x="10%" y="10%" width="50%" height="50%"/>"#));
    assert!((areas(&design)[0] - 50.0 * 40.0).abs() < 1e-3);
}

#[test]
fn a_drawing_said_to_be_larger_is_larger() {
    let svg = page(r#"<rect x="5" y="5" width="30" height="30"/>"#);
    let design = read_with(&svg, &Options { scale: 96.0 / 90.0, ..Options::default() }).unwrap();
    assert!((areas(&design)[0] - 32.0 * 32.0).abs() < 1e-3);
    assert!(design.reading.to_string().contains("--scale included"));
}

#[test]
fn text_is_set_in_the_font_that_is_given() {
    let svg = page(r#"<text id="word" x="10" y="60" font-size="40">I<tspan dx="5">-</tspan></text>"#);
    let fonts = vec![crate::letter::own_font()];
    let design = read_with(&svg, &Options { fonts, ..Options::default() }).unwrap();
    // DejaVu Sans Bold: I is 1493 units high and 385 wide, 2048 to the em.
    let em = 40.0 / 2048.0;
    let b = bounds(&design, 0);
    assert!((b[3] - b[1] - 1493.0 * em).abs() < 1e-3 && (b[2] - b[0] - 385.0 * em).abs() < 1e-3, "{b:?}");
    assert!((b[1] - 20.0).abs() < 1e-3, "the base line is 60 below the top: {b:?}");
    assert!(
        design.reading.to_string().contains("letters: text \"word\", \"I-\" set in DejaVuSans-Bold"),
        "{}",
        design.reading
    );
}

#[test]
fn a_letter_that_no_font_has_is_named() {
    let svg = page("<text id='word' x='10' y='60' font-size='40'>I\u{3042}</text>");
    let fonts = vec![crate::letter::own_font()];
    let message = read_with(&svg, &Options { fonts, ..Options::default() }).unwrap_err();
    assert!(message.contains("there is no letter \"\u{3042}\" in DejaVuSans-Bold"), "{message}");
    let fonts = vec![crate::design::Font {
        name: "bad.ttf".to_owned(),
        bytes: std::sync::Arc::new(vec![0; 99]),
        face: 0,
    }];
    assert!(
        read_with(&svg, &Options { fonts, ..Options::default() }).unwrap_err().contains("bad.ttf is no font")
    );
}

/// The font that is given is bold (weight 700) and upright; its twin in the collection alike, with other names.
#[test]
fn what_text_asks_for_and_is_not_set_in_is_told() {
    let own = crate::letter::own_font();
    let bytes = std::sync::Arc::new(crate::design::font::collection::pair(&own.bytes));
    let twin = crate::design::Font { name: "two.ttc".to_owned(), bytes, face: 1 };
    let set = |font: &crate::design::Font, asks: &str| {
        let svg = page(&format!(r#"<text id="word" x="10" y="40" font-size="20" {asks}>I</text>"#));
        let fonts = vec![font.clone()];
        let design = read_with(&svg, &Options { fonts, ..Options::default() }).unwrap();
        let told = design.reading.notes.iter().find(|note| matches!(note, Note::Lettered { .. }));
        told.unwrap().to_string().replace("letters: text \"word\", \"I\" set in ", "")
    };
    for (asks, told) in [
        ("", ""),
        ("font-weight='bold'", ""),
        ("font-family='DejaVu Sans' font-weight='700'", ""),
        ("font-family='DejaVu Sans Bold'", ""),
        ("font-family='dejavusans-bold'", ""),
        ("font-family='DejaVu Sans'", "; it asks for DejaVu Sans, weight 400"),
        ("font-weight='300'", "; it asks for weight 300"),
        ("font-style='italic'", "; it asks for italic"),
        ("font-family='Nowhere, serif'", "; it asks for Nowhere, serif"),
        ("font-family='Nowhere' font-weight='bold'", "; it asks for Nowhere"),
        ("font-family='Nowhere' font-weight='900'", "; it asks for Nowhere, weight 900"),
    ] {
        assert_eq!(set(&own, asks), format!("DejaVuSans-Bold{told}"), "{asks}");
    }
    assert_eq!(set(&twin, ""), "ZweiteSans-Bold");
    assert_eq!(set(&twin, "font-family='Nowhere'"), "ZweiteSans-Bold; it asks for Nowhere");
    assert_eq!(set(&twin, "font-family='DejaVu Sans' font-weight='bold'"), "DejaVuSans-Bold");
    let two = r#"font-family='One'>I<tspan font-family='Two'>I</tspan><tspan font-family='One'>I</tspan></text><text"#;
    assert!(
        set(&own, two).ends_with("set in DejaVuSans-Bold; it asks for One; and for Two"),
        "{}",
        set(&own, two)
    );
}

#[test]
fn a_font_that_is_cut_short_is_no_font() {
    let own = crate::letter::own_font();
    let bytes = std::sync::Arc::new(own.bytes[..20_000].to_vec());
    let fonts = vec![crate::design::Font { name: "cut.ttf".to_owned(), bytes, face: 0 }];
    let svg = page(r#"<text x="10" y="40" font-size="20">I</text>"#);
    let told = read_with(&svg, &Options { fonts, ..Options::default() }).unwrap_err();
    assert!(told.contains("cut.ttf is no font that can be read"), "{told}");
}
