use crate::pieces::*;
use shortgrain::check::Finding;
pub fn show(f: &Finding) {
    for p in &f.places {
        println!(
            "{:2} {:?} w {:.2} n {:.2} s {:.2} x {:.1} at {:.2},{:.2} | face {:.1} {:?} {:?} at {:.1},{:.1} line {:.1},{:.1}-{:.1},{:.1} | side {:.1} {:?} {:?} at {:.1},{:.1} dir {:.0} line {:.1},{:.1}-{:.1},{:.1} {:?}",
            p.id,
            p.form,
            p.width_mm,
            p.neck_mm,
            p.span_mm,
            p.crossing_deg,
            p.at.x,
            p.at.y,
            p.face.breaks_at_n,
            p.face.mode,
            p.face.case,
            p.face.push_at.x,
            p.face.push_at.y,
            p.face.break_line[0][0].x,
            p.face.break_line[0][0].y,
            p.face.break_line[0][1].x,
            p.face.break_line[0][1].y,
            p.side.breaks_at_n,
            p.side.mode,
            p.side.case,
            p.side.push_at.x,
            p.side.push_at.y,
            p.side.direction_deg.unwrap_or(0.0),
            p.side.break_line[0][0].x,
            p.side.break_line[0][0].y,
            p.side.break_line[0][1].x,
            p.side.break_line[0][1].y,
            p.remarks
        );
    }
}
#[test]
fn debug() {
    let name = std::env::var("DBG").unwrap_or("house-number".into());
    for case in sample(&name) {
        println!("{} area {:.2}", case.name, case.shape.area());
        show(&case.finding());
        println!("moved");
        show(&crate::invariance::moved(&case, 37.5, -81.25).finding());
        println!("mirrored");
        show(&crate::invariance::mirrored(&case).finding());
        println!("turned 33");
        show(
            &crate::invariance::turned(&case, std::env::var("DEG").map_or(33.0, |d| d.parse().unwrap()))
                .finding(),
        );
    }
}

#[test]
fn debug_skeleton() {
    use shortgrain::skeleton::*;
    let name = std::env::var("DBG").unwrap_or("house-number".into());
    for case in sample(&name) {
        let sk = Skeleton::new(&case.shape, &Pruning::default()).unwrap();
        for (i, b) in sk.branches().iter().enumerate() {
            println!(
                "BRANCH {i} {:?} {} circles {:?}",
                b.ends,
                b.links.len(),
                b.ends.map(|e| match e {
                    End::Junction(t) => sk.junction_circle(t),
                    _ => None,
                })
            );
            for l in &b.links {
                if let Some(c) = l.chord {
                    if (c.centre.x - 243.5).abs() < 8.0 && c.centre.y < 60.0 {
                        println!(
                            "   {} {:?} r {:.3} L {:.2},{:.2} R {:.2},{:.2}",
                            l.kept, c.centre, c.radius, c.left.at.x, c.left.at.y, c.right.at.x, c.right.at.y
                        );
                    }
                }
            }
        }
    }
}

#[test]
fn debug_stretches() {
    use shortgrain::{section::*, skeleton::*};
    let name = std::env::var("DBG").unwrap_or("house-number".into());
    for case in sample(&name).into_iter().flat_map(|c| [c.clone(), crate::invariance::mirrored(&c)]) {
        let sk = Skeleton::new(&case.shape, &Pruning::default()).unwrap();
        let st = stretches(
            &sk,
            case.board.grain,
            &Crossing {
                beyond: shortgrain::units::Angle::deg(30.0),
                hysteresis: shortgrain::units::Angle::deg(3.0),
            },
        );
        for s in &st {
            println!(
                "S branch {} crosses {} neck {:.3} at {:.2},{:.2} span {:.2} ends {:?} links {}..{}",
                s.branch,
                s.crosses,
                s.neck,
                s.neck_at.x,
                s.neck_at.y,
                s.span(),
                s.ends,
                s.links[0],
                s.links.last().unwrap()
            );
        }
        let b: usize = std::env::var("BR").unwrap_or("8".into()).parse().unwrap();
        for (i, l) in sk.branches()[b].links.iter().enumerate() {
            if let Some(c) = l.chord {
                println!(
                    "   {i} {} {:.2},{:.2} r {:.3} run {:.2},{:.2}",
                    l.kept,
                    c.centre.x,
                    c.centre.y,
                    c.radius,
                    c.run().x,
                    c.run().y
                );
            } else {
                println!("   {i} none");
            }
        }
    }
}
