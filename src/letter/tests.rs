use super::*;
use crate::design::{Options, read_svg};
use crate::drawing::lettering;
use crate::shape::plane::{distance, dot, left, unit};

fn pierced(text: &str, along: f64) -> Result<Lettering, LetterError> {
    let panel =
        Panel::Rectangle { width: Length::mm(300.0), height: Length::mm(150.0), radius: Length::mm(8.0) };
    let form = Form::Pierced { panel, bridge: Length::mm(6.0), along: Angle::deg(along) };
    letter(
        &own_font(),
        &Wanted { text: text.to_owned(), height: Length::mm(100.0), spacing: Length::mm(0.0), form },
    )
}

fn cut(text: &str) -> Lettering {
    let wanted = Wanted {
        text: text.to_owned(),
        height: Length::mm(100.0),
        spacing: Length::mm(0.0),
        form: Form::Cutout,
    };
    letter(&own_font(), &wanted).unwrap()
}

/// Whether a place is wood.
fn wood(sign: &Lettering, p: Coord<f64>) -> bool {
    use geo::Contains;
    sign.pieces.iter().any(|(_, piece)| piece.polygon().contains(&geo_types::Point::from(p)))
}

#[test]
fn every_island_is_held_whichever_way_the_grain_runs() {
    for text in ["408", "8B0", "@A", "Rög", "№ 6"] {
        for along in [0.0, 30.0, 90.0, 135.0] {
            let sign = match pierced(text, along) {
                Ok(sign) => sign,
                // The widest do not go on; that is another test.
                Err(LetterError::TooLarge { .. }) => continue,
                Err(error) => panic!("{text} at {along}: {error}"),
            };
            assert_eq!(sign.pieces.len(), 1, "{text} at {along}: something would fall out");
            sign.pieces[0].1.check().unwrap_or_else(|error| panic!("{text} at {along}: {error}"));
        }
    }
}

#[test]
fn bridges_run_along_the_grain_and_are_as_wide_as_asked() {
    for along in [0.0_f64, 90.0, 20.0] {
        let sign = pierced("408", along).unwrap();
        assert!(sign.bridges.len() >= 6, "{along}: {:?}", sign.bridges);
        for bridge in &sign.bridges {
            let way = unit(bridge.to - bridge.from);
            let grain = crate::shape::plane::direction(along.to_radians());
            assert!(dot(way, grain).abs() > 1.0 - 1e-9, "{along}: {bridge:?}");
            // Across the middle: wood for 6 mm and no more, but where the letter's own outline lies there.
            let middle = (bridge.from + bridge.to) / 2.0;
            let across = |off: f64| wood(&sign, middle + left(way) * off);
            assert!([-2.999, -1.5, 0.0, 1.5, 2.999].into_iter().all(across), "{along}: {bridge:?}");
            assert!(!across(3.001) || !across(-3.001), "{along}: {bridge:?}");
            assert!(distance(bridge.from, bridge.to) > 5.0);
        }
    }
}

#[test]
fn what_is_written_reads_back() {
    for (sign, text) in [(pierced("408", 0.0).unwrap(), "408"), (cut("Bi8"), "Bi8")] {
        let svg = lettering(text, &sign);
        assert!(svg.contains(&sign.sha256) && svg.contains("DejaVu Sans Bold"));
        let design = read_svg("sign.svg", svg.as_bytes(), &Options::default()).unwrap();
        assert_eq!(design.pieces.len(), sign.pieces.len());
        let area = |shapes: Vec<&Shape>| shapes.iter().map(|shape| shape.area()).sum::<f64>();
        let read = area(design.pieces.iter().map(|piece| &piece.shape).collect());
        let made = area(sign.pieces.iter().map(|(_, shape)| shape).collect());
        assert!((read - made).abs() < 1.0, "{read} is not {made}");
        assert!(sign.pieces.iter().any(|(name, _)| design.pieces.iter().any(|piece| piece.name == *name)));
    }
}

#[test]
fn capitals_are_as_high_as_asked_and_letters_are_named() {
    let sign = cut("HIi");
    let names: Vec<&str> = sign.pieces.iter().map(|(name, _)| name.as_str()).collect();
    let mut sorted = names.clone();
    sorted.sort_unstable();
    assert_eq!(sorted, ["H", "I", "i", "i-2"], "a dot is a piece of its own");
    let (_, h) = sign.pieces.iter().find(|(name, _)| name == "H").unwrap();
    let b = geo::BoundingRect::bounding_rect(h.polygon()).unwrap();
    assert!((b.height() - 100.0).abs() < 1e-3);
}

#[test]
fn spacing_moves_letters_apart() {
    let wide = |spacing: f64| {
        let wanted = Wanted {
            text: "HH".to_owned(),
            height: Length::mm(50.0),
            spacing: Length::mm(spacing),
            form: Form::Cutout,
        };
        letter(&own_font(), &wanted).unwrap().page[0]
    };
    assert!((wide(7.0) - wide(0.0) - 7.0).abs() < 1e-3);
}

#[test]
fn what_cannot_be_is_refused_with_what_would_do() {
    let Err(LetterError::TooLarge { needs, .. }) = pierced("40800", 0.0) else { panic!("it went on") };
    assert!(needs[0].as_mm() > 300.0);
    assert!(matches!(pierced("  ", 0.0), Err(LetterError::NoLetters)));
    assert!(matches!(pierced("\u{3042}", 0.0), Err(LetterError::MissingLetter { .. })));
    let none = Font { name: "none.ttf".to_owned(), bytes: Arc::new(vec![1; 40]), face: 0 };
    let wanted = Wanted {
        text: "4".to_owned(),
        height: Length::mm(50.0),
        spacing: Length::mm(0.0),
        form: Form::Cutout,
    };
    assert!(letter(&none, &wanted).unwrap_err().to_string().contains("none.ttf is no font"));
    let own = own_font();
    let cut = Font { name: "cut.ttf".to_owned(), bytes: Arc::new(own.bytes[..20_000].to_vec()), face: 0 };
    assert!(letter(&cut, &wanted).unwrap_err().to_string().contains("cut.ttf is no font"));
    let told = |height: f64| {
        letter(&own_font(), &Wanted { height: Length::mm(height), ..wanted.clone() }).unwrap_err().to_string()
    };
    assert!(told(1.0).contains("the height is 1.0 mm"));
    assert!(told(4.99).contains("the height is 4.99 mm, and has to be from 5.0 mm to"), "{}", told(4.99));
}

#[test]
fn a_panel_as_large_as_it_is_told_to_be_does() {
    let told = |needs: f64, panel: f64| LetterError::TooLarge {
        needs: [Length::mm(needs), Length::mm(50.0)],
        panel: [Length::mm(panel), Length::mm(60.0)],
        corners: None,
    };
    let over = told(100.04, 100.0).to_string();
    assert!(over.contains("need 100.1 mm by 50.0 mm") && over.contains("is 100.0 mm by 60.0 mm"), "{over}");
    let shy = told(100.0, 99.98).to_string();
    assert!(shy.contains("need 100.0 mm by 50.0 mm") && shy.contains("is 99.98 mm by 60.0 mm"), "{shy}");
}

#[test]
fn a_letter_that_breaks_lines_is_told_on_one() {
    let wanted = Wanted {
        text: "4\n8".to_owned(),
        height: Length::mm(100.0),
        spacing: Length::mm(0.0),
        form: Form::Cutout,
    };
    let told = letter(&own_font(), &wanted).unwrap_err().to_string();
    assert!(told.contains("has no letter \"\\n\"; name a font"), "{told}");
}

fn rounded(text: &str, [width, height]: [f64; 2], radius: f64, rim: f64) -> Result<Lettering, LetterError> {
    let [width, height, radius] = [width, height, radius].map(Length::mm);
    let panel = Panel::Rectangle { width, height, radius };
    let form = Form::Pierced { panel, bridge: Length::mm(rim), along: Angle::deg(0.0) };
    let wanted = Wanted { text: text.to_owned(), height: Length::mm(100.0), spacing: Length::mm(0.0), form };
    letter(&own_font(), &wanted)
}

/// The least distance between a panel's rim and its openings, side by side.
fn rim(sign: &Lettering) -> f64 {
    use geo::{Distance, Euclidean};
    let panel = sign.pieces[0].1.polygon();
    let openings = panel.interiors().iter();
    openings.map(|opening| Euclidean.distance(panel.exterior(), opening)).fold(f64::INFINITY, f64::min)
}

#[test]
fn round_corners_leave_a_bridges_width_of_wood_or_are_refused_with_the_radius_that_does() {
    // Straight pieces lie within 5 µm of the rim's arcs, points within 1e-4 mm.
    const LESS: f64 = 0.0052;
    let (mut held, mut refused) = (0, 0);
    for (text, panel) in [
        ("o7", [180.0, 112.0]),
        ("LTL", [280.0, 125.0]),
        ("408", [250.0, 116.0]),
        ("8", [90.0, 140.0]),
        ("Qg", [210.0, 150.0]),
    ] {
        for radius in [0.0, 2.0, 4.0, 15.0, 30.0, 45.0, 50.0, 56.0, 62.0] {
            for wide in [3.0, 5.0] {
                match rounded(text, panel, radius, wide) {
                    Ok(sign) => {
                        held += 1;
                        assert_eq!(sign.pieces.len(), 1, "{text} {radius}: its rim is open");
                        assert!(rim(&sign) >= wide - LESS, "{text} {radius}: {} of {wide}", rim(&sign));
                    }
                    Err(LetterError::Corners { most, .. }) => {
                        refused += 1;
                        let most = most.as_mm();
                        let sign = rounded(text, panel, most, wide).unwrap();
                        // The corner is what is tight then: no more than the rim it is to have.
                        assert!((rim(&sign) - wide).abs() <= LESS, "{text} {most}: {} of {wide}", rim(&sign));
                        assert!(rounded(text, panel, most + 0.1, wide).is_err(), "{text} {most}");
                    }
                    Err(LetterError::Size { most, .. }) => assert!(radius > most.as_mm()),
                    Err(error) => {
                        let LetterError::TooLarge { needs, corners, .. } = &error else { panic!("{error}") };
                        let larger = [needs[0].as_mm().max(panel[0]), needs[1].as_mm().max(panel[1])]
                            .map(|mm| mm + 1e-3);
                        // Letters that are moved are rounded otherwise.
                        let most = corners.map_or(radius, |most| most.as_mm() - 1e-3);
                        let sign =
                            rounded(text, larger, most, wide).unwrap_or_else(|again| panic!("{again}"));
                        assert!(rim(&sign) >= wide - LESS, "{text} {most}: {} of {wide}", rim(&sign));
                    }
                }
            }
        }
    }
    assert!(held >= 20 && refused >= 8, "{held} held, {refused} refused");
}

#[test]
fn corners_that_are_too_tight_are_named_with_what_to_try() {
    for (text, panel, radius) in [("o7", [180.0, 112.0], 50.0), ("LTL", [280.0, 125.0], 62.0)] {
        let told = rounded(text, panel, radius, 3.0).unwrap_err().to_string();
        assert!(
            told.starts_with(&format!("the panel's corners, of {radius:.1} mm radius, leave less")),
            "{told}"
        );
        assert!(told.contains("mm at most, or take a larger panel or a lesser height"), "{told}");
    }
    // Wide and round at once: both are told.
    let told = rounded("408", [240.0, 110.0], 55.0, 6.0).unwrap_err().to_string();
    assert!(
        told.contains("around them and corners of ") && told.contains(" mm radius at most, and the panel is"),
        "{told}"
    );
}

#[test]
fn of_a_collection_the_font_that_is_meant_is_set() {
    let bytes = Arc::new(crate::design::font::collection::pair(&own_font().bytes));
    let wanted = Wanted {
        text: "408".to_owned(),
        height: Length::mm(50.0),
        spacing: Length::mm(0.0),
        form: Form::Cutout,
    };
    let set = |face: u32| letter(&Font { name: "two.ttc".to_owned(), bytes: bytes.clone(), face }, &wanted);
    assert_eq!(set(0).unwrap().font, "DejaVu Sans Bold");
    assert_eq!(set(1).unwrap().font, "Zweite Sans Bold");
    assert!(set(2).unwrap_err().to_string().contains("two.ttc is no font"));
}
