//! Files made to cost minutes or gigabytes, and honest ones of great size.

use std::fmt::Write;
use std::time::{Duration, Instant};

use super::{read, refusal, says};
use shortgrain::design::Options;

const HEAD: &str =
    r#"<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="80mm" viewBox="0 0 100 80">"#;

/// Generous for a debug build on a busy machine; each of these took over 40 s or never ended when the
/// constructs reached the resolver.
const SOON: Duration = Duration::from_secs(10);

#[track_caller]
fn soon<T>(work: impl FnOnce() -> T) -> T {
    let start = Instant::now();
    let result = work();
    assert!(start.elapsed() < SOON, "it took {:?}", start.elapsed());
    result
}

/// `depth` definitions, each using the one before twice by `attribute`, the last on a rectangle.
fn nested(element: &str, attribute: &str, depth: usize) -> String {
    let mut svg = format!("{HEAD}<{element} id=\"d0\"><rect width=\"50\" height=\"50\"/></{element}>");
    for level in 1..=depth {
        let below = format!("{attribute}=\"url(#d{})\"", level - 1);
        let rect = format!("<rect width=\"50\" height=\"50\" {below}/>");
        write!(svg, "<{element} id=\"d{level}\" width=\"9\" height=\"9\">{rect}{rect}</{element}>").unwrap();
    }
    write!(
        svg,
        "<rect id=\"last\" x=\"5\" y=\"5\" width=\"9\" height=\"9\" {attribute}=\"url(#d{depth})\"/></svg>"
    )
    .unwrap();
    svg
}

#[test]
fn masks_and_clip_paths_that_double_at_every_level_never_start() {
    for (element, attribute) in [("mask", "mask"), ("clipPath", "clip-path")] {
        let message = soon(|| refusal(nested(element, attribute, 40).as_bytes()));
        says(&message, &[&["rect \"last\"", "hides part of this shape"]]);
    }
}

#[test]
fn patterns_that_double_at_every_level_are_a_plain_fill() {
    let svg = nested("pattern", "fill", 60);
    let design = soon(|| read(svg.as_bytes(), &Options::default())).unwrap();
    assert!((design.pieces[0].shape.area() - 81.0).abs() < 1e-6);
}

#[test]
fn filters_and_markers_change_nothing() {
    for attribute in ["filter", "marker-mid", "style=\"filter:url(#d9);marker-end:url(#d9)\" x-a"] {
        let svg = nested("filter", attribute, 30);
        let design = soon(|| read(svg.as_bytes(), &Options::default())).unwrap();
        assert!((design.pieces[0].shape.area() - 81.0).abs() < 1e-6);
    }
}

#[test]
fn too_much_style_is_refused() {
    let svg =
        format!("{HEAD}<style>{}</style><rect width=\"9\" height=\"9\"/></svg>", "a>b{}".repeat(500_000));
    says(&soon(|| refusal(svg.as_bytes())), &[&["more than 65536 style sheet bytes"]]);
}

#[test]
fn attributes_namespaces_and_entities_beyond_measure_are_refused_before_they_are_parsed() {
    let attributes: String = (0..100_000).map(|k| format!(" a{k}=\"1\"")).collect();
    let namespaces: String = (0..60_000).map(|k| format!("<g xmlns:n{k}=\"u{k}\"/>")).collect();
    let entity = format!("<!DOCTYPE svg [<!ENTITY a \"{}\">]>", "M0 0L1 1".repeat(8000));
    for (svg, what) in [
        (format!("{HEAD}<g{attributes}/></svg>"), "more than 10000 attributes in one element"),
        (format!("{HEAD}{namespaces}</svg>"), "more than 2000 namespaces"),
        (
            format!("{entity}{HEAD}<path d=\"{}\"/></svg>", "&a;".repeat(1000)),
            "more than 1048576 letters once its entities are written out",
        ),
    ] {
        says(&soon(|| refusal(svg.as_bytes())), &[&[what]]);
    }
}

/// A drawing with so many of something.
type WithSoMany = fn(usize) -> String;

/// The last file that is read, and the first that is not until its limit is raised.
#[test]
fn what_is_refused_for_a_limit_is_read_once_that_is_raised() {
    let attributes = |count: usize| {
        let all: String = (0..count).map(|k| format!(" a{k}=\"1\"")).collect();
        format!("{HEAD}<g{all}><rect width=\"9\" height=\"9\"/></g></svg>")
    };
    // The drawing's own namespace is one of them.
    let namespaces = |count: usize| {
        let all: String = (1..count).map(|k| format!("<g xmlns:n{k}=\"u{k}\"/>")).collect();
        format!("{HEAD}{all}<rect width=\"9\" height=\"9\"/></svg>")
    };
    // An entity of 1024 letters, and what is missing as another.
    let letters = |count: usize| {
        let [long, rest] = [1024, count % 1024].map(|length| " ".repeat(length));
        let names = "&a;".repeat(count / 1024);
        format!(
            "<!DOCTYPE svg [<!ENTITY a \"{long}\"><!ENTITY b \"{rest}\">]>{HEAD}<desc>{names}&b;</desc>\
             <rect width=\"9\" height=\"9\"/></svg>"
        )
    };
    let files: [(&str, usize, WithSoMany); 3] = [
        ("attributes", 10_000, attributes),
        ("namespaces", 2_000, namespaces),
        ("letters", 1 << 20, letters),
    ];
    for (name, most, file) in files {
        let read_with = |count: usize, limit: usize| {
            let mut options = Options::default();
            assert!(options.limits.set(name, limit));
            soon(|| read(file(count).as_bytes(), &options)).map_err(|error| error.to_string())
        };
        assert!(read_with(most, most).is_ok(), "{name}");
        let message = read_with(most + 1, most).expect_err(name);
        says(&message, &[&[&format!("more than {most} {name}"), &format!("--limit {name}=NUMBER")]]);
        assert!(read_with(most + 1, most + 1).is_ok(), "{name}");
        // Those are the limits of who says nothing.
        assert_eq!(refusal(file(most + 1).as_bytes()), message);
        assert!(read(file(most).as_bytes(), &Options::default()).is_ok(), "{name}");
    }
}

#[test]
fn as_much_style_as_is_taken_is_read_soon() {
    let rules = ".a>.b{fill:red}".repeat(4000);
    let shapes = "<rect class=\"b\" x=\"5\" y=\"5\" width=\"9\" height=\"9\"/>".repeat(300);
    let svg = format!("{HEAD}<style>{rules}</style>{shapes}</svg>");
    assert_eq!(soon(|| read(svg.as_bytes(), &Options::default())).unwrap().pieces.len(), 1);
}

#[test]
fn sixty_thousand_shapes_on_one_line_are_told_with_their_places_soon() {
    let unseen = "<rect width=\"9\" height=\"9\" fill=\"none\"/>".repeat(60_000);
    let svg = format!("{HEAD}{unseen}<circle id=\"far\" r=\"0\"/></svg>");
    let column = HEAD.len() + unseen.len() + 1;
    says(&soon(|| refusal(svg.as_bytes())), &[&["circle \"far\"", &format!("line 1:{column}")]]);
}

#[test]
fn groups_nested_without_end_are_refused() {
    for depth in [200, 100_000] {
        let svg = format!(
            "{HEAD}{}<rect width=\"9\" height=\"9\"/>{}</svg>",
            "<g>".repeat(depth),
            "</g>".repeat(depth)
        );
        let message = soon(|| refusal(svg.as_bytes()));
        assert!(
            message.contains("more than 128 levels of nesting") || message.contains("XML is broken"),
            "{message}"
        );
    }
}

#[test]
fn groups_nested_as_deep_as_is_taken_are_read() {
    let svg =
        format!("{HEAD}{}<rect width=\"9\" height=\"9\"/>{}</svg>", "<g>".repeat(120), "</g>".repeat(120));
    assert!(read(svg.as_bytes(), &Options::default()).is_ok());
}

#[test]
fn an_empty_file_is_refused() {
    says(&refusal(b""), &[&["hostile.svg: the file is empty"]]);
    says(&refusal(b"\xef\xbb\xbf \n"), &[&["the file is empty"]]);
}

#[test]
fn files_of_another_kind_are_named() {
    says(&refusal(b"\x1f\x8b\x08\0\0"), &[&["a compressed file (SVGZ)"]]);
    says(&refusal(b"\xff\xfe<\0s\0"), &[&["UTF-16"]]);
    says(&refusal(b"\x89PNG\r\n\x1a\n"), &[&["a picture made of pixels"]]);
    let error = super::read_by_name("part.step", b"ISO-10303-21;").unwrap_err().to_string();
    says(&error, &[&["files ending in \"step\" are not read"]]);
}

#[test]
fn a_drawing_without_shapes_is_refused() {
    says(&refusal(format!("{HEAD}</svg>").as_bytes()), &[&["nothing is drawn here"]]);
}

/// A wavy disc as one polygon.
fn wavy(points: u32) -> String {
    let mut d = String::new();
    for i in 0..points {
        let turn = f64::from(i) / f64::from(points) * std::f64::consts::TAU;
        let r = 30.0 + 5.0 * (turn * 40.0).sin();
        write!(d, "{:.5},{:.5} ", 50.0 + r * turn.cos(), 40.0 + r * turn.sin()).unwrap();
    }
    format!("{HEAD}<polygon fill=\"none\" stroke=\"black\" points=\"{d}\"/></svg>")
}

#[test]
fn a_hundred_thousand_points_are_read_soon_and_thinned() {
    let svg = wavy(100_000);
    let design = soon(|| read(svg.as_bytes(), &Options::default())).unwrap();
    // Mean of r² over the wave: 30² + 5²/2.
    let exact = std::f64::consts::PI * (900.0 + 12.5);
    // Half the tolerance along the outline, a wave forty times round of 20 mm each time.
    let off = design.pieces[0].shape.area() - exact;
    assert!(off.abs() < 0.01 * 850.0, "{off}");
    let kept = design.pieces[0].shape.polygon().exterior().0.len();
    // As many as a curve of this form gets, within the tolerance.
    assert!((200..10_000).contains(&kept), "{kept}");
}

#[test]
fn an_outline_that_crosses_itself_a_thousand_times_is_refused_soon() {
    let mut d = String::from("M0 0");
    for i in 0..1000 {
        write!(d, "L{} {}", (i * 37) % 100, (i * 53) % 80).unwrap();
    }
    let svg = format!("{HEAD}<path fill=\"none\" stroke=\"black\" d=\"{d}Z\"/></svg>");
    says(&soon(|| refusal(svg.as_bytes())), &[&["crosses itself"]]);
}

#[test]
fn a_thousand_rings_in_rings_are_wood_every_second() {
    let mut svg = String::from(HEAD);
    for i in 0..1000 {
        let inset = f64::from(i) * 0.035;
        let (w, h) = (100.0 - 2.0 * inset, 80.0 - 2.0 * inset);
        write!(
            svg,
            "<rect x=\"{inset}\" y=\"{inset}\" width=\"{w}\" height=\"{h}\" fill=\"none\" stroke=\"red\"/>"
        )
        .unwrap();
    }
    svg += "</svg>";
    let options = Options {
        page: Some(shortgrain::design::Page::Wood),
        gap: shortgrain::units::Length::mm(0.01),
        ..Options::default()
    };
    assert_eq!(soon(|| read(svg.as_bytes(), &options)).unwrap().pieces.len(), 500);
}
