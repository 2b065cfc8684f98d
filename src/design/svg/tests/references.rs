//! What one element takes from another, and attributes that belong to other programs.

use super::*;

/// A page with the namespaces that drawing programs write, of which `p` means nothing to SVG.
fn linked(body: &str) -> String {
    let names = r#"<svg xmlns:xlink="http://www.w3.org/1999/xlink" xmlns:p="urn:some-program" "#;
    page(body).replacen("<svg ", names, 1)
}

fn names(design: &Design) -> Vec<&str> {
    design.pieces.iter().map(|piece| piece.name.as_str()).collect()
}

fn told(design: &Design) -> String {
    design.reading.to_string()
}

#[test]
fn both_spellings_of_a_reference_are_followed_and_the_plain_one_counts() {
    let design = read(&linked(
        r##"<defs><rect id="tab" width="10" height="5"/><rect id="bar" width="20" height="10"/></defs>
           <use id="plain" href="#tab" x="5" y="5"/><use id="old" xlink:href="#tab" x="30" y="5"/>
           <use id="blanks" xlink:href=" #tab " x="60" y="5"/><use id="other" p:href="#bar" href="#tab" x="5" y="30"/>
           <use id="both" xlink:href="#bar" href="#tab" x="30" y="30"/><use id="turned" href="#tab" xlink:href="#bar" x="60" y="30"/>"##,
    ));
    assert_eq!(names(&design), ["plain", "old", "blanks", "other", "both", "turned"]);
    assert!(areas(&design).iter().all(|area| (area - 50.0).abs() < 1e-3), "{:?}", areas(&design));
}

#[test]
fn a_part_placed_by_the_old_spelling_joins_its_piece() {
    let design = read(&linked(
        r##"<defs><g id="tag"><rect width="40" height="20"/></g><rect id="ear" width="10" height="10"/></defs>
           <use id="sign" xlink:href="#tag" x="10" y="30"/><use id="left" xlink:href="#ear" x="15" y="22"/>"##,
    ));
    assert_eq!(names(&design), ["sign"]);
    assert!((areas(&design)[0] - (800.0 + 80.0)).abs() < 1e-3);
}

#[test]
fn a_clip_path_takes_its_shape_by_either_spelling() {
    for href in ["href", "xlink:href"] {
        let design = read(&linked(&format!(
            r##"<defs><rect id="half" width="50" height="80"/></defs><clipPath id="c"><use {href}="#half"/></clipPath>
               <rect id="plate" clip-path="url(#c)" x="10" y="10" width="80" height="60"/>"##
        )));
        assert!((areas(&design)[0] - 40.0 * 60.0).abs() < 1e-3, "{href}: {:?}", areas(&design));
    }
}

#[test]
fn a_gradient_by_either_spelling_is_a_fill() {
    for href in ["href", "xlink:href"] {
        let design = read(&linked(&format!(
            r##"<linearGradient id="a"><stop/></linearGradient><linearGradient id="b" {href}="#a"/>
               <rect fill="url(#b)" x="10" y="10" width="30" height="20"/>"##
        )));
        assert!((areas(&design)[0] - 600.0).abs() < 1e-3);
    }
}

#[test]
fn a_mask_is_told_by_either_spelling_within() {
    for href in ["href", "xlink:href"] {
        let svg = linked(&format!(
            r##"<defs><rect id="half" width="50" height="80"/></defs><mask id="m" fill="white"><use {href}="#half"/></mask>
               <rect id="plate" mask="url(#m)" x="10" y="10" width="80" height="60"/>"##
        ));
        let message = read_with(&svg, &Options::default()).unwrap_err();
        assert!(message.contains("rect \"plate\"") && message.contains("mask"), "{message}");
    }
}

#[test]
fn what_lies_in_something_that_is_not_drawn_can_be_used() {
    for around in [
        r#"<mask id="m">SHAPE</mask>"#,
        r#"<pattern id="p">SHAPE</pattern>"#,
        r#"<clipPath id="c" clipPathUnits="objectBoundingBox">SHAPE</clipPath>"#,
        r#"<clipPath id="c">SHAPE</clipPath>"#,
        r#"<marker><g>SHAPE</g></marker>"#,
        r#"<p:store>SHAPE</p:store>"#,
    ] {
        let body = around.replace("SHAPE", r#"<path id="plate" d="M0 0 h30 v20 h-30 z"/>"#)
            + r##"<use id="sign" xlink:href="#plate" x="10" y="10"/>"##;
        let design = read(&linked(&body));
        assert_eq!(names(&design), ["sign"], "{around}");
        assert!((areas(&design)[0] - 600.0).abs() < 1e-3, "{around}");
    }
}

#[test]
fn of_several_with_one_id_the_first_is_used() {
    let design = read(&linked(
        r##"<defs><rect id="tab" width="10" height="5"/><rect id="tab" width="20" height="10"/></defs>
           <use id="sign" href="#tab" x="5" y="5"/>"##,
    ));
    assert!((areas(&design)[0] - 50.0).abs() < 1e-3);
}

#[test]
fn a_use_without_its_target_is_refused_in_either_spelling() {
    let svg = linked(
        r##"<use id="a" href="#gone"/><use id="b" xlink:href="#gone"/><use id="c"/><rect width="9" height="9"/>
           <use id="d" href="" xlink:href="#tab"/><use id="e" xlink:href="other.svg#tab"/><rect id="tab" width="5" height="5"/>
           <defs><g id="group"><rect width="5" height="5"/><use id="f" href="#gone"/></g></defs><use href="#group"/>"##,
    );
    let message = read_with(&svg, &Options::default()).unwrap_err();
    for id in ["a", "b", "f"] {
        let line = message.lines().find(|line| line.contains(&format!("use \"{id}\""))).expect(&message);
        assert!(line.contains("this <use> refers to \"#gone\", which is not in the file"), "{line}");
    }
    assert!(["c", "d"].iter().all(|id| message.contains(&format!("use \"{id}\""))), "{message}");
    assert!(message.contains("this <use> refers to another file, \"other.svg#tab\""), "{message}");
    assert_eq!(message.lines().count(), 6, "{message}");
}

#[test]
fn a_use_that_draws_nothing_is_told() {
    let design = read(&linked(
        r##"<rect id="sign" x="5" y="5" width="30" height="30"/><linearGradient id="fade"/><g id="bare"><title>no shape</title></g>
           <symbol id="sym"><g/></symbol><defs><rect id="off" display="none" width="9" height="9"/><g id="deep"><use id="f" href="#bare"/></g></defs>
           <use id="a" href="#fade"/><use id="b" xlink:href="#bare"/><use id="c" href="#sym"/><use id="d" href="#off"/>
           <use id="e" href="#deep"/>"##,
    ));
    assert_eq!(names(&design), ["sign"]);
    for id in ["a", "b", "c", "e", "f"] {
        let line = format!("left out: use \"{id}\", because what it refers to holds no outline");
        assert!(told(&design).contains(&line), "{id}: {}", told(&design));
    }
    assert!(told(&design).contains("left out: use \"d\", because it is hidden"), "{}", told(&design));
}

#[test]
fn a_use_in_its_place_is_not_called_hidden() {
    let design = read(&linked(
        r##"<defs><rect id="tab" width="10" height="5"/><g id="two"><use href="#tab"/><use href="#tab" y="20"/></g></defs>
           <use href="#tab"/><use id="pair" href="#two" x="30" y="10"/>"##,
    ));
    assert_eq!(design.pieces.len(), 3);
    assert!(!told(&design).contains("left out"), "{}", told(&design));
}

#[test]
fn attributes_of_other_programs_mean_nothing() {
    let own = r#"<rect id="sign" x="10" y="5" width="30" height="20"/>"#;
    for (mark, body) in [
        ("size", own.replace("<rect ", r#"<rect p:x="0" p:width="0" p:height="-3" p:rx="bent" "#)),
        ("id", own.replace("<rect ", r#"<rect p:id="other" xml:id="third" "#)),
        ("style", own.replace("<rect ", r#"<rect p:style="display:none" p:display="none" p:fill="none" "#)),
        ("clip", own.replace("<rect ", r##"<rect p:clip-path="url(#c)" p:mask="url(#m)" "##)),
        ("move", own.replace("<rect ", r#"<rect p:transform="scale(2)" "#)),
        ("path", r#"<path p:d="M0 0 h9 v9 z" id="sign" d="M10 5 h30 v20 h-30 z"/>"#.to_owned()),
        ("link", r##"<rect p:id="a" id="b" width="9" height="9" display="none"/><defs><rect id="a" width="30" height="20"/></defs>
            <use id="sign" p:href="#b" href="#a" p:x="3" x="10" y="5"/>"##
            .to_owned()),
    ] {
        let design = read(&linked(&body));
        assert_eq!(names(&design), ["sign"], "{mark}");
        let found = bounds(&design, 0);
        assert!(found.iter().zip([10.0, 55.0, 40.0, 75.0]).all(|(a, b)| (a - b).abs() < 2e-4), "{mark}: {found:?}");
    }
    let page = linked(own).replacen(
        "<svg ",
        r#"<svg xmlns:p="urn:some-program" p:width="9mm" p:height="wide" p:viewBox="0 0 1 1" p:preserveAspectRatio="none" "#,
        1,
    );
    let page = page.replacen(r#" xmlns:p="urn:some-program""#, "", 1);
    assert_eq!(bounds(&read(&page), 0), [10.0, 55.0, 40.0, 75.0]);
}

#[test]
fn a_clip_path_is_read_by_its_own_attributes() {
    let design = read(&linked(
        r##"<clipPath p:id="other" id="c" p:clipPathUnits="objectBoundingBox"><rect p:x="3em" width="50" height="80"/></clipPath>
           <rect id="plate" clip-path="url(#c)" x="10" y="10" width="80" height="60"/>"##,
    ));
    assert!((areas(&design)[0] - 40.0 * 60.0).abs() < 1e-3);
}

/// SVG 2, 13.2 "Specifying paint": what a reference names to stand in counts where it leads nowhere, and without that none.
#[test]
fn a_fill_that_is_not_in_the_file_is_none_and_told() {
    let design = read(&linked(
        r##"<linearGradient id="bare"/><clipPath id="other"/>
           <rect id="solid" x="5" y="5" width="10" height="10"/><g fill="url(#gone)"><rect id="a" x="20" y="5" width="10" height="10"/></g>
           <rect id="b" x="35" y="5" width="10" height="10" fill="url(#bare)"/><rect id="c" x="50" y="5" width="10" height="10" style="fill:url(#other)"/>
           <rect id="d" x="65" y="5" width="10" height="10" fill="url(x.svg#wood)"/><rect id="e" x="5" y="40" width="10" height="10" fill="url(#gone) red"/>
           <rect id="f" x="20" y="40" width="10" height="10" fill="url(#gone) none"/><rect id="g" x="35" y="40" width="10" height="10" fill="url(#gone)" stroke="black"/>"##,
    ));
    assert_eq!(names(&design), ["solid", "e", "g"]);
    let told = told(&design);
    for (id, reference) in [("a", "#gone"), ("b", "#bare"), ("c", "#other"), ("d", "x.svg#wood")] {
        let lines = [
            format!(
                "paint: the fill of rect \"{id}\" refers to \"{reference}\", no gradient or pattern of this file; it counts as none"
            ),
            format!("left out: rect \"{id}\", because what it is filled or drawn with is not in the file"),
        ];
        assert!(lines.iter().all(|line| told.contains(line)), "{id}: {told}");
    }
    assert!(told.contains("the fill of rect \"e\" refers to \"#gone\", no gradient or pattern of this file; red, named to stand in, counts"), "{told}");
    assert!(
        told.contains("left out: rect \"f\"") && told.contains("the fill of rect \"g\" refers to \"#gone\""),
        "{told}"
    );
}

#[test]
fn a_plate_filled_with_what_stands_in_is_of_the_same_wood() {
    // Both overlap and are one material, so that they unite.
    let design = read(&linked(
        r##"<rect id="a" x="5" y="5" width="40" height="20" fill="#ff0000"/><rect id="b" x="30" y="5" width="40" height="20" fill="url(#gone) red"/>"##,
    ));
    assert!((areas(&design)[0] - 65.0 * 20.0).abs() < 1e-3, "{:?}", areas(&design));
    let hole = linked(
        r##"<rect id="a" x="5" y="5" width="60" height="60" fill="red"/><rect id="b" x="20" y="20" width="20" height="20" fill="url(#gone) red"/>"##,
    );
    assert!(told(&read(&hole)).contains("it lies inside wood of the same fill"));
}

#[test]
fn a_drawing_of_nothing_but_lost_fills_is_refused_with_the_reason() {
    let svg = linked(
        r##"<rect id="a" x="5" y="5" width="10" height="10" fill="url(#gone)"/><path id="b" d="M5 40h9v9z" fill="none" stroke="url(#gone)"/>"##,
    );
    let message = read_with(&svg, &Options::default()).unwrap_err();
    for id in ["rect \"a\"", "path \"b\""] {
        assert!(
            message.contains(&format!(
                "left out: {id}, because what it is filled or drawn with is not in the file"
            )),
            "{message}"
        );
    }
}
