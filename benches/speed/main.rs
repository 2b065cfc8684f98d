//! How long a drawing takes to become findings, on one core, beside two independent libraries that give the width
//! at the same points.
//!
//! `cargo bench --bench speed` prints three tables: the whole way with its stages, the growth with the number of
//! outline points, and the comparison. "Judging" holds the parts of the piece, the statics and the grain lines. `cargo bench --bench speed -- --quick` leaves out what takes seconds.
//! Times are the least of several runs: the machine's other work only ever adds.

#![expect(clippy::print_stdout, reason = "a benchmark prints its table")]

mod outlines;
mod widths;

use std::time::{Duration, Instant};

use shortgrain::{
    check::{Options, Pushes, check},
    section::{Crossing, stretches},
    shape::Shape,
    skeleton::{Mesh, Pruning, Skeleton},
    units::{Angle, Length},
    wood::{Board, Mechanics, OwnValues, Rings, Wood},
};

/// Time spent on one size, however many runs that makes; never fewer than three.
const LEAST_TIME: Duration = Duration::from_millis(300);

fn main() {
    let quick = std::env::args().any(|argument| argument == "--quick");
    let board =
        Board { thickness: Length::mm(12.7), grain: Angle::deg(0.0), rings: Rings::Flat, moisture_pct: 8.0 };
    let wood = Wood::find("hard maple")
        .and_then(|wood| wood.mechanics(&board, &OwnValues::none()))
        .expect("hard maple is in the handbook");

    println!("Drawing to findings, without picture, in ms; each stage by itself, then the whole\n");
    heading();
    let plate = whole_way("plate, goal 10", include_bytes!("../shapes/plate-300.svg"), &board, &wood);
    let disc =
        whole_way("pierced disc, goal 120", include_bytes!("../shapes/pierced-disc-3000.svg"), &board, &wood);

    let sizes: &[usize] = if quick { &[3_000, 10_000] } else { &[3_000, 10_000, 30_000, 100_000] };
    println!("\nThe same piece drawn ever finer\n");
    heading();
    let rosettes: Vec<_> = sizes.iter().map(|&n| outlines::rosette(n)).collect();
    grown(&rosettes, &board, &wood);
    println!("\nEver more openings, 60 points each\n");
    heading();
    let laces: Vec<_> = sizes.iter().map(|&n| outlines::lace(n)).collect();
    grown(&laces, &board, &wood);

    println!("\nThe width at every point of our skeleton, by us and by others, in ms and mm\n");
    widths::heading();
    widths::compare("plate", &plate);
    widths::compare("pierced disc", &disc);
    for (rosette, lace) in rosettes.iter().zip(&laces) {
        widths::compare("rosette", rosette);
        widths::compare("lace", lace);
    }
}

fn heading() {
    println!(
        "{:24} {:>8} {:>9} {:>9} {:>9} {:>9} {:>9} {:>9} {:>7} {:>10}",
        "", "points", "reading", "mesh", "skeleton", "sections", "judging", "whole", "places", "µs/n·log n"
    );
}

/// One row for a drawing, its reading included.
fn whole_way(name: &str, drawing: &[u8], board: &Board, wood: &Mechanics) -> Shape {
    let read = || outlines::read(drawing);
    stages(name, &read(), least(read), board, wood);
    read()
}

fn grown(shapes: &[Shape], board: &Board, wood: &Mechanics) {
    for shape in shapes {
        let openings = shape.polygon().interiors().len();
        stages(&format!("{openings} openings"), shape, Duration::ZERO, board, wood);
    }
}

/// One row: each stage by itself, and the whole.
fn stages(name: &str, shape: &Shape, reading: Duration, board: &Board, wood: &Mechanics) {
    let points: usize = shape.rings().map(|ring| ring.0.len() - 1).sum();
    // The closed form alone; `benches/solid` times the solid model.
    let options = Options { solid: false, ..Options::default() };
    let crossing = Crossing { beyond: options.crossing, hysteresis: options.hysteresis };
    let mesh = least(|| Mesh::new(shape).expect("a mesh"));
    let skeleton = least(|| Skeleton::new(shape, &Pruning::default()).expect("a skeleton"));
    let strung = Skeleton::new(shape, &Pruning::default()).expect("a skeleton");
    let sections = least(|| stretches(&strung, board.grain, &crossing));
    let checked = || check("piece", shape, board, wood, &Pushes::default(), &options).expect("findings");
    let whole = least(checked);
    let n = points as f64;
    println!(
        "{name:24} {points:>8} {:>9.2} {:>9.2} {:>9.2} {:>9.2} {:>9.2} {:>9.2} {:>7} {:>10.3}",
        milliseconds(reading),
        milliseconds(mesh),
        milliseconds(skeleton.saturating_sub(mesh)),
        milliseconds(sections),
        milliseconds(whole.saturating_sub(skeleton + sections)),
        milliseconds(reading + whole),
        checked().places.len(),
        milliseconds(whole) * 1e3 / (n * n.log2()),
    );
}

fn milliseconds(time: Duration) -> f64 {
    time.as_secs_f64() * 1e3
}

/// The least time of several runs.
fn least<T>(mut run: impl FnMut() -> T) -> Duration {
    let started = Instant::now();
    let mut least = Duration::MAX;
    let mut runs = 0;
    while runs < 3 || (started.elapsed() < LEAST_TIME && runs < 200) {
        let run_started = Instant::now();
        std::hint::black_box(run());
        least = least.min(run_started.elapsed());
        runs += 1;
        if started.elapsed() > 10 * LEAST_TIME {
            break;
        }
    }
    least
}
