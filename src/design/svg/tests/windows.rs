//! What is seen only in part: clip paths over lines, drawings within the drawing and symbols, which end at their edge unless they
//! say otherwise (SVG 2, 3.1 "overflow" and its user agent style sheet).

use super::*;

/// The frame within which a piece is seen, and areas worked out by hand.
fn pieces(body: &str) -> Vec<(String, f64)> {
    let design = read(&page(body));
    design.pieces.iter().map(|piece| (piece.name.clone(), piece.shape.area())).collect()
}

#[track_caller]
fn same(body: &str, expected: &[(&str, f64)]) {
    let found = pieces(body);
    assert_eq!(found.len(), expected.len(), "{body}: {found:?}");
    for ((name, area), (known, exact)) in found.iter().zip(expected) {
        assert!(name == known && (area - exact).abs() < 1e-2, "{body}: {found:?}");
    }
}

/// Two millimetres to a unit: the bar reaches from 20 to 100 mm, its window from 10 to 50.
const BAR: &str = r#"x="10" y="10" width="40" height="30" viewBox="0 0 20 15"><rect id="bar" x="5" y="5" width="40" height="5"/></svg>"#;

#[test]
fn a_drawing_within_the_drawing_ends_at_its_edge() {
    same(&format!("<svg {BAR}"), &[("bar", 30.0 * 10.0)]);
    let told = read(&page(&format!("<svg {BAR}"))).reading.to_string();
    assert!(
        told.contains("cut: rect \"bar\", at the edge of the nested svg or symbol that holds it"),
        "{told}"
    );
    for hidden in [r#"overflow="hidden""#, r#"overflow="scroll""#, r#"style="overflow:clip""#] {
        same(&format!("<svg {hidden} {BAR}"), &[("bar", 300.0)]);
    }
}

#[test]
fn what_is_said_to_be_seen_beyond_the_edge_is() {
    for shown in [
        r#"overflow="visible""#,
        r#"overflow="auto""#,
        r#"style="overflow: VISIBLE !important""#,
        r#"class="all""#,
    ] {
        same(&format!("<style>.all{{overflow:visible}}</style><svg {shown} {BAR}"), &[("bar", 800.0)]);
    }
}

#[test]
fn the_page_itself_hides_nothing() {
    let design = read(&page(r#"<rect id="bar" x="50" y="5" width="70" height="10"/>"#));
    assert!(
        (areas(&design)[0] - 700.0).abs() < 1e-3 && design.reading.to_string().contains("outside the page")
    );
}

#[test]
fn an_edge_moves_with_what_it_is_the_edge_of() {
    // Turned a quarter about (50, 40): what lies right of x = 50 comes to lie below y = 40.
    let turned = r#"<g transform="rotate(90 50 40) translate(10 0)"><svg x="20" y="20" width="20" height="20"><rect id="a" width="90" height="10"/></svg></g>"#;
    same(turned, &[("a", 20.0 * 10.0)]);
    let design = read(&page(turned));
    let found = bounds(&design, 0);
    // x' = 50 - (y - 40), y' = 40 + (x + 10 - 50) downwards; the bar is x 20..40, y 20..30.
    assert!(found.iter().zip([60.0, 40.0, 70.0, 60.0]).all(|(a, b)| (a - b).abs() < 1e-3), "{found:?}");
}

#[test]
fn a_symbol_ends_at_the_edge_of_its_use_and_goes_where_that_goes() {
    let symbol = |more: &str| {
        format!(
            r##"<symbol id="s" viewBox="0 0 10 10" {more}><rect x="5" width="10" height="4"/></symbol>
               <use id="sign" href="#s" transform="translate(40 10) scale(2)" width="20" height="20"/>"##
        )
    };
    // Four millimetres to a unit: 20..60 by 0..16, its window 0..40 by 0..40, both moved by (40, 10).
    same(&symbol(""), &[("sign", 20.0 * 16.0)]);
    let found = bounds(&read(&page(&symbol(""))), 0);
    assert!(found.iter().zip([60.0, 54.0, 80.0, 70.0]).all(|(a, b)| (a - b).abs() < 1e-3), "{found:?}");
    same(&symbol(r#"overflow="visible""#), &[("sign", 40.0 * 16.0)]);
}

#[test]
fn a_drawing_that_is_used_ends_at_its_edge() {
    same(
        r##"<defs><svg id="d" width="10" height="10"><rect x="5" width="30" height="4"/></svg></defs>
           <use id="sign" href="#d" x="20" y="20"/>"##,
        &[("sign", 5.0 * 4.0)],
    );
}

#[test]
fn edges_within_edges_hide_all_that_any_hides() {
    same(
        r#"<svg x="10" y="10" width="30" height="30"><svg x="20" y="0" width="50" height="10"><rect id="a" width="90" height="90"/></svg></svg>"#,
        &[("a", 10.0 * 10.0)],
    );
}

#[test]
fn what_lies_beyond_an_edge_is_left_out_and_told() {
    let design = read(&page(
        r#"<rect id="a" x="60" y="5" width="20" height="10"/>
           <svg width="30" height="30"><rect id="gone" x="40" width="9" height="9"/><path id="line" fill="none" stroke="red" d="M40 5h9v9z"/></svg>"#,
    ));
    let told = design.reading.to_string();
    assert_eq!(design.pieces.len(), 1);
    for what in ["rect \"gone\"", "path \"line\""] {
        let line = format!("left out: {what}, because it lies beyond the edge of the nested svg or symbol");
        assert!(told.contains(&line), "{told}");
    }
}

#[test]
fn an_outline_along_an_edge_is_whole_and_one_that_crosses_it_is_refused() {
    let frame = |width: f64| {
        format!(
            r#"<svg x="10" y="10" width="33.3" height="30"><rect id="rim" fill="none" stroke="black" width="{width}" height="30"/></svg>"#
        )
    };
    same(&frame(33.3), &[("rim", 33.3 * 30.0)]);
    same(&frame(33.305), &[("rim", 33.305 * 30.0)]);
    // Beyond the edge, and touching it.
    let beside = frame(33.3).replace("<rect ", r#"<rect x="33.3" "#);
    same(&format!(r#"<rect id="a" width="9" height="9"/>{beside}"#), &[("a", 81.0)]);
    let told = read_with(&page(&frame(40.0)), &Options::default()).unwrap_err();
    assert!(told.contains("rect \"rim\", line 1:"), "{told}");
    assert!(
        told.contains("the edge of the nested svg or symbol that holds this line cuts through it"),
        "{told}"
    );
}

#[test]
fn lines_are_clipped_as_lines_and_not_as_areas() {
    let clip = r##"<clipPath id="left"><rect width="50" height="80"/></clipPath>"##;
    let lines = |lines: &str| {
        format!(
            r##"{clip}<rect id="plate" x="60" y="50" width="30" height="20"/><g id="held" clip-path="url(#left)" fill="none" stroke="black">{lines}</g>"##
        )
    };
    // Seen whole: a triangle of single lines, one of them along the edge.
    same(
        &lines(r#"<path d="M20 10H50"/><path d="M50 10V40"/><path d="M50 40L20 10"/>"#),
        &[("plate", 600.0), ("held", 450.0)],
    );
    // Not seen at all: the same beyond the edge, and a rim that goes all round the clip path.
    same(
        &lines(
            r#"<path d="M60 10H90"/><path d="M90 10V40"/><path d="M90 40L60 10"/><circle cx="25" cy="40" r="70"/>"#,
        ),
        &[("plate", 600.0)],
    );
    // Cut: a line that lies half beyond, and a rim that runs in and out.
    for cut in [r#"<path id="cut" d="M20 10H90"/>"#, r#"<circle id="cut" cx="25" cy="40" r="30"/>"#] {
        let told = read_with(&page(&lines(cut)), &Options::default()).unwrap_err();
        assert!(told.contains("\"cut\"") && told.contains("a clip path cuts through this line"), "{told}");
    }
}

#[test]
fn without_a_page_a_symbol_has_no_edge() {
    let svg = r##"<svg xmlns="http://www.w3.org/2000/svg"><symbol id="s"><circle cx="150" r="50"/></symbol><use id="sign" href="#s"/>
        <svg id="inner" width="30" height="20" x="300"><rect id="bar" width="90" height="10"/></svg></svg>"##;
    let told = Options { drawn_in: Some(LengthUnit::Mm), ..Options::default() };
    let found = areas(&read_with(svg, &told).unwrap());
    near(found[0], 2500.0 * std::f64::consts::PI, 100.0 * std::f64::consts::PI);
    assert!((found[1] - 300.0).abs() < 1e-3, "{found:?}");
}
