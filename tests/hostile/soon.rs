//! Whole checks of the nastiest files by the program itself: an answer or a named refusal, in under two seconds and 500 MB.

use std::fmt::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

/// Four times as long in a build that is not optimised, on a machine that does other things as well.
const SOON: Duration = if cfg!(debug_assertions) { Duration::from_secs(20) } else { Duration::from_secs(2) };

/// The most memory in use at any time, in kB.
const MEMORY: u64 = 500_000;

/// What a run came to.
struct Ran {
    status: Option<i32>,
    /// By the clock, or by the processor where that is less: others use the machine too.
    took: Duration,
    /// 0 where the system does not tell.
    memory: u64,
    said: String,
}

/// Checks a file with a board, and stops it when it takes far too long.
fn check(file: &Path) -> Ran {
    let start = Instant::now();
    let talk = std::env::temp_dir().join(format!(
        "talk-{}-{}",
        std::process::id(),
        file.file_name().unwrap().display()
    ));
    let mut child = Command::new(env!("CARGO_BIN_EXE_shortgrain"))
        .arg("check")
        .arg(file)
        .args(["--wood", "cherry", "--thickness", "19mm", "--grain", "0deg", "--quiet"])
        .stdin(Stdio::null())
        .stderr(std::fs::File::create(&talk).expect("a file can be made"))
        .spawn()
        .expect("the program starts");
    let (mut memory, mut used) = (0, Duration::ZERO);
    let status = loop {
        let told = std::fs::read_to_string(format!("/proc/{}/status", child.id())).unwrap_or_default();
        let peak = told.lines().find_map(|line| line.strip_prefix("VmHWM:"));
        used = processor_time(child.id()).unwrap_or(used);
        memory = peak.and_then(|line| line.split_whitespace().next()?.parse().ok()).unwrap_or(memory);
        match child.try_wait().expect("it can be waited for") {
            Some(status) => break status.code(),
            None if start.elapsed() > 5 * SOON => {
                let _ = child.kill();
                break None;
            }
            None => std::thread::sleep(Duration::from_millis(5)),
        }
    };
    let took = if used.is_zero() { start.elapsed() } else { used.min(start.elapsed()) };
    let said = std::fs::read_to_string(&talk).unwrap_or_default();
    let _ = std::fs::remove_file(&talk);
    Ran { status, took, memory, said }
}

/// What a process has used of the processor so far, where the system tells: fields 14 and 15 of its line, in hundredths of
/// a second.
fn processor_time(id: u32) -> Option<Duration> {
    let line = std::fs::read_to_string(format!("/proc/{id}/stat")).ok()?;
    let fields: Vec<&str> = line.rsplit_once(')')?.1.split_whitespace().collect();
    let ticks = |k: usize| fields.get(k)?.parse::<u64>().ok();
    Some(Duration::from_millis(10 * (ticks(11)? + ticks(12)?)))
}

/// Files too large to keep: their name, and what is in them.
fn large() -> Vec<(&'static str, String)> {
    let page = r#"<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="80mm" viewBox="0 0 100 80">"#;
    let wave = |corners: u32| {
        (0..corners).fold(String::new(), |mut d, i| {
            let turn = f64::from(i) / f64::from(corners) * std::f64::consts::TAU;
            let r = 30.0 + 0.4 * (turn * 40.0).sin();
            let _ = write!(d, "{:.5},{:.5} ", 50.0 + r * turn.cos(), 40.0 + r * turn.sin());
            d
        })
    };
    // A circle whose wall goes in and out by 0.02 mm at every point, in no order.
    let rough = |corners: u32| {
        (0..corners).fold(String::new(), |mut d, i| {
            let turn = f64::from(i) / f64::from(corners) * std::f64::consts::TAU;
            let r = 30.0 + 0.02 * f64::from(i.wrapping_mul(2_654_435_761) >> 16) / 65_536.0;
            let _ = write!(d, "{:.5},{:.5} ", 50.0 + r * turn.cos(), 40.0 + r * turn.sin());
            d
        })
    };
    // One whose wall goes in and out by `size` mm.
    let noise = |corners: u32, size: f64| {
        (0..corners).fold(String::new(), |mut d, i| {
            let turn = f64::from(i) / f64::from(corners) * std::f64::consts::TAU;
            let r = 35.0 + size * f64::from(i.wrapping_mul(2_654_435_761) >> 16) / 65_536.0;
            let _ = write!(d, "{:.5},{:.5} ", 50.0 + r * turn.cos(), 40.0 + r * turn.sin());
            d
        })
    };
    // Discs, in another colour, all round the rim of a disc of very many points: half of each over it.
    let along_the_rim = |count: u32| {
        (0..count).fold(format!("<polygon points=\"{}\"/>", noise(20_000, 0.0)), |mut body, i| {
            let turn = f64::from(i) / f64::from(count) * std::f64::consts::TAU;
            let (x, y) = (50.0 + 35.0 * turn.cos(), 40.0 + 35.0 * turn.sin());
            let _ =
                write!(body, "<circle cx=\"{x:.4}\" cy=\"{y:.4}\" r=\"1\" fill=\"none\" stroke=\"red\"/>");
            body
        })
    };
    let slots = |count: u32| {
        (0..count).fold(String::new(), |mut d, i| {
            let x = 2.0 + 96.0 / f64::from(count) * f64::from(i);
            let _ = write!(d, "H{x:.3}V20H{:.3}V0", x + 0.3);
            d
        })
    };
    let squares = |count: u32| {
        (0..count).fold(String::new(), |mut body, i| {
            let _ = write!(
                body,
                r#"<rect x="{}" y="{}" width="1.1" height="1.1"/>"#,
                f64::from(i % 60) * 1.3,
                f64::from(i / 60) * 1.3
            );
            body
        })
    };
    let dxf = |entities: &str| {
        format!(
            "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n{entities}0\nENDSEC\n0\nEOF\n"
        )
    };
    let star = (0..50_000).fold(String::new(), |mut lines, i| {
        let turn = f64::from(i) * 0.01;
        let _ = write!(
            lines,
            "0\nLINE\n8\nSTAR\n10\n0\n20\n0\n11\n{}\n21\n{}\n",
            50.0 * turn.cos(),
            50.0 * turn.sin()
        );
        lines
    });
    let corners = (0..1_000_000).fold(String::new(), |mut lines, i| {
        let turn = f64::from(i) * 1e-6 * std::f64::consts::TAU;
        let _ = write!(lines, "10\n{:.5}\n20\n{:.5}\n", 50.0 * turn.cos(), 50.0 * turn.sin());
        lines
    });
    vec![
        // Fifty slots a laser's width wide: as many places, each fragile.
        ("slots.svg", format!("{page}<path d=\"M0 0{}H100V30H0Z\"/></svg>", slots(50))),
        ("rough.svg", format!("{page}<polygon points=\"{}\"/></svg>", rough(4_000))),
        ("rough_thousands.svg", format!("{page}<polygon points=\"{}\"/></svg>", noise(10_000, 0.1))),
        ("rough_hundred_thousand.svg", format!("{page}<polygon points=\"{}\"/></svg>", noise(100_000, 0.1))),
        ("fur.svg", format!("{page}<polygon points=\"{}\"/></svg>", noise(10_000, 1.0))),
        ("long_fur.svg", format!("{page}<polygon points=\"{}\"/></svg>", noise(50_000, 4.0))),
        ("along_the_rim.svg", format!("{page}{}</svg>", along_the_rim(400))),
        (
            "brackets.svg",
            (0..300).fold(page.to_owned(), |mut body, i| {
                let _ = write!(body, "<path d=\"M{} {}h6v1h-5v4h-1z\"/>", i % 12 * 8, i / 12 * 6);
                body
            }) + "</svg>",
        ),
        ("million_points.svg", format!("{page}<polygon points=\"{}\"/></svg>", wave(1_000_000))),
        ("thousands_of_points.svg", format!("{page}<polygon points=\"{}\"/></svg>", wave(20_000))),
        ("thousands_of_pieces.svg", format!("{page}{}</svg>", squares(3_600))),
        (
            "hundreds_of_pieces.svg",
            format!(
                "{page}{}</svg>",
                (0..300).fold(String::new(), |mut body, i| {
                    let _ = write!(
                        body,
                        r#"<rect x="{}" y="{}" width="3" height="3"/>"#,
                        4 * (i % 20),
                        4 * (i / 20)
                    );
                    body
                })
            ),
        ),
        (
            "nested.svg",
            format!(
                "{page}{}<rect width=\"9\" height=\"9\"/>{}</svg>",
                "<g>".repeat(50_000),
                "</g>".repeat(50_000)
            ),
        ),
        ("star.dxf", dxf(&star)),
        ("million_corners.dxf", dxf(&format!("0\nLWPOLYLINE\n90\n5\n70\n1\n{corners}"))),
    ]
}

#[test]
fn every_nasty_file_ends_soon_in_an_answer_or_a_named_refusal() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/hostile");
    let mut files: Vec<PathBuf> = std::fs::read_dir(folder)
        .expect("the folder is there")
        .map(|entry| entry.expect("it can be read").path())
        .filter(|path| path.extension().is_some_and(|ending| ending != "rs"))
        .collect();
    files.sort();
    assert!(files.len() > 40, "{}", files.len());
    let room = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("hostile");
    std::fs::create_dir_all(&room).expect("a directory can be made");
    for (name, text) in large() {
        let path = room.join(name);
        std::fs::write(&path, text).expect("it can be written");
        files.push(path);
    }
    let mut faults = String::new();
    for file in &files {
        let Ran { status, took, memory, said } = check(file);
        let name = file.file_name().unwrap().display();
        println!("{name}: {status:?} in {:.2} s and {} MB", took.as_secs_f64(), memory / 1000);
        let named = match status {
            Some(0 | 1) => said.is_empty(),
            Some(2) => said.starts_with("shortgrain: ") && !said.contains("panicked"),
            _ => false,
        };
        if !named || took > SOON || memory > MEMORY {
            let _ = writeln!(faults, "{name}: {status:?} in {took:?} and {memory} kB: {said}");
        }
    }
    assert!(faults.is_empty(), "{faults}");
}

/// A pipe that gives noughts for ever, as a drawing, a board and a font.
#[cfg(unix)]
#[test]
fn a_file_that_never_ends_is_refused() {
    let endless = crate::pipes::pipe("endless");
    let name = endless.to_str().expect("its name is plain");
    // Each reader goes away, and the next opens it anew.
    let pour = || {
        let path = endless.clone();
        std::thread::spawn(move || {
            let mut pipe = std::fs::File::create(path).expect("it opens");
            while std::io::Write::write_all(&mut pipe, &[0; 1 << 16]).is_ok() {}
        })
    };
    let pouring = pour();
    let Ran { status, memory, said, .. } = check(&endless);
    pouring.join().expect("it ends");
    assert_eq!(status, Some(2), "{said}");
    assert!(said.contains(name) && memory < MEMORY, "{memory} kB: {said}");
    for args in [
        ["check", "tests/hostile/spikes.svg", "--board", name, "--quiet"].as_slice(),
        &["letter", "8", "--height", "50mm", "--as", "cutout", "--font", name, "--out", "never.svg"],
    ] {
        let pouring = pour();
        let done = Command::new(env!("CARGO_BIN_EXE_shortgrain"))
            .current_dir(env!("CARGO_MANIFEST_DIR"))
            .args(args)
            .output()
            .expect("it runs");
        let said = String::from_utf8_lossy(&done.stderr);
        pouring.join().expect("it ends");
        assert_eq!(done.status.code(), Some(2), "{said}");
        assert!(said.contains(name) && said.contains("has at most"), "{said}");
    }
    crate::pipes::gone(&endless);
}
