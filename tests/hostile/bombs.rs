//! Files made to cost minutes or gigabytes, and honest ones of great size.

use std::fmt::Write;
use std::time::{Duration, Instant};

use super::{read, refusal, says};
use shortgrain::design::Options;
use shortgrain::units::Length;

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

/// Numbers from 0 to 1 in no order.
fn scattered() -> impl FnMut() -> f64 {
    let mut state = 7_u64;
    move || {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        f64::from(u32::try_from(state >> 32).unwrap()) / f64::from(u32::MAX)
    }
}

/// Each took from 10 s to minutes, some of them gigabytes.
#[test]
fn lines_that_cross_without_end_are_refused_with_a_place_soon() {
    let mut next = scattered();
    let mut scribble = String::new();
    for _ in 0..3000 {
        write!(scribble, " {:.3},{:.3}", 98.0 * next() + 1.0, 78.0 * next() + 1.0).unwrap();
    }
    let mut rings = String::new();
    for _ in 0..9000 {
        let [x, y] = [60.0 * next() + 20.0, 40.0 * next() + 20.0];
        write!(rings, "<circle cx=\"{x:.3}\" cy=\"{y:.3}\" r=\"8\" fill=\"none\" stroke=\"red\"/>").unwrap();
    }
    let mut rough = String::new();
    for k in 0..200_000 {
        let (sin, cos) = (f64::from(k) / 200_000.0 * std::f64::consts::TAU).sin_cos();
        let [x, y] = [0.1 * next(), 0.1 * next()];
        write!(rough, " {:.5},{:.5}", 50.0 + 30.0 * cos + x, 40.0 + 30.0 * sin + y).unwrap();
    }
    // Slantwise side by side, and none crosses: twenty thousand teeth a metre long.
    let mut teeth = String::new();
    for k in 0..20_000 {
        let x = 0.05 * f64::from(k);
        write!(teeth, " {x:.3},1 {:.3},999 {:.3},999 {:.3},1", x + 998.0, x + 998.025, x + 0.025).unwrap();
    }
    let clip = format!("<clipPath id=\"c\"><polygon points=\"{scribble}\"/></clipPath>");
    for (drawn, element, why) in [
        (
            format!("<polygon fill-rule=\"evenodd\" points=\"{scribble}\"/>"),
            "polygon, line 1:",
            " lines of the outlines cross more than 50000 times",
        ),
        (rings, "circle, line 1:", "more than 50000 times"),
        (format!("<polygon points=\"{rough}\"/>"), "polygon, line 1:", "more than 50000 times"),
        (format!("<polygon points=\"{teeth}\"/>"), "polygon, line 1:", "lie side by side"),
        (
            format!("{clip}<rect width=\"90\" height=\"9\" clip-path=\"url(#c)\"/>"),
            "clip path, at",
            "the 3000 lines",
        ),
    ] {
        let message = soon(|| refusal(format!("{HEAD}{drawn}</svg>").as_bytes()));
        says(&message, &[&[element, "at (", why, "--limit crossings=NUMBER"]]);
    }
}

/// Fur round a disc: three hundred hairs and more are refused, and let in where that is asked for.
#[test]
fn an_outline_of_hairs_is_refused_unless_so_many_are_let_in() {
    let disc = |hairs: u32| {
        let mut points = String::new();
        for k in 0..2 * hairs {
            let (sin, cos) = (f64::from(k) / f64::from(2 * hairs) * std::f64::consts::TAU).sin_cos();
            let reach = 30.0 + 1.5 * f64::from(k % 2);
            write!(points, " {:.4},{:.4}", 50.0 + reach * cos, 40.0 + reach * sin).unwrap();
        }
        format!("{HEAD}<polygon points=\"{points}\"/></svg>")
    };
    // At their roots 300 hairs are 2π · 30 / 300 = 0.63 mm apart.
    assert!(read(disc(300).as_bytes(), &Options::default()).is_ok());
    let message = refusal(disc(310).as_bytes());
    says(
        &message,
        &[&["polygon, line 1:", "at (", "it has 310 spikes", "up to 300", "--limit hairs=NUMBER"]],
    );
    let mut options = Options::default();
    assert!(options.limits.set("hairs", 310) && read(disc(310).as_bytes(), &options).is_ok());
}

/// Lengths that limit a piece can be moved, and an error says to where the unit points.
#[test]
fn a_piece_too_large_or_too_small_is_asked_about_its_unit() {
    let plate = |w: f64, h: f64| {
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}mm\" height=\"{h}mm\" viewBox=\"0 0 {w} {h}\"><rect width=\"{w}\" height=\"{h}\"/></svg>"
        )
    };
    // 300 x 200 and 20 x 10 mm, by hand.
    let large = plate(7620.0, 5080.0);
    says(
        &refusal(large.as_bytes()),
        &[&["7620 mm", "it is 300.0 mm: then say --scale 1/25.4", "--limit largest=LENGTH"]],
    );
    let small = plate(20.0 / 25.4, 10.0 / 25.4);
    says(
        &refusal(small.as_bytes()),
        &[&["0.787 mm", "it is 20.0 mm: then say --scale 25.4", "--limit smallest=LENGTH"]],
    );
    let mut options = Options::default();
    assert!(options.limits.set_length("largest", Length::mm(8000.0)));
    assert!(options.limits.set_length("smallest", Length::mm(0.5)));
    assert!(!options.limits.set_length("largest", Length::mm(1e6)));
    assert!(read(large.as_bytes(), &options).is_ok() && read(small.as_bytes(), &options).is_ok());
}

/// A clip path of many points, and shapes that lie in it, beyond it or across it. It was laid over each.
#[test]
fn shapes_far_from_the_edge_of_a_clip_path_cost_nothing() {
    let mut clip = String::new();
    for k in 0..20_000 {
        let angle = f64::from(k) / 20_000.0 * std::f64::consts::TAU;
        let radius = 30.0 + 0.5 * (300.0 * angle).sin();
        write!(clip, " {:.4},{:.4}", 50.0 + radius * angle.cos(), 40.0 + radius * angle.sin()).unwrap();
    }
    let cells = |across: usize| -> String {
        let of = |k: usize| {
            let [x, y] = [2 * (k % 9) + 40, 2 * (k / 9 % 9) + 30];
            format!(
                "<rect x=\"{x}\" y=\"{y}\" width=\"1\" height=\"1\"/><rect x=\"1\" y=\"{y}\" width=\"1\" height=\"1\"/>"
            )
        };
        let rim = "<rect x=\"74\" y=\"39\" width=\"9\" height=\"1\"/>".repeat(across);
        format!(
            "{HEAD}<clipPath id=\"c\"><polygon points=\"{clip}\"/></clipPath><g clip-path=\"url(#c)\">{}{rim}</g></svg>",
            (0..81).map(of).collect::<String>()
        )
    };
    let design = soon(|| read(cells(1).as_bytes(), &Options::default())).unwrap();
    // Those of the left column are beyond; one is cut between 74 mm and the rim, where it is told.
    assert_eq!(design.pieces.len(), 82);
    let message = soon(|| refusal(cells(5000).as_bytes()));
    says(&message, &[&["rect", "more than 2000000 points, those of a clip path", "--limit points=NUMBER"]]);
}

/// Two hundred thousand plates in one outline; each was looked for in every other.
#[test]
fn many_plates_in_one_path_are_read_soon() {
    let plate = |k: usize| format!("M{} {}h1.2v1.2h-1.2z", 2 * (k % 200), 2 * (k / 200));
    let page =
        r#"<svg xmlns="http://www.w3.org/2000/svg" width="400mm" height="400mm" viewBox="0 0 400 400">"#;
    let path: String = (0..40_000).map(plate).collect();
    let svg = format!("{page}<path d=\"{path}\"/></svg>");
    let design =
        soon(|| shortgrain::design::read_svg("plates.svg", svg.as_bytes(), &Options::default())).unwrap();
    assert_eq!(design.pieces.len(), 40_000);
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
    says(&soon(|| refusal(svg.as_bytes())), &[&["the 1001 lines", "cross more than 50000 times"]]);
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
