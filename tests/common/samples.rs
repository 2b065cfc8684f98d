//! The sample designs, read as a user's files are: each piece with everything a check wants to know.

use std::{collections::BTreeMap, path::PathBuf, sync::Mutex};

use shortgrain::{
    check::{Finding, Options, Pushes, check},
    design::{self, read_board},
    shape::Shape,
    units::Force,
    wood::{Board, Mechanics, OwnValues, Rings, Wood},
};

/// A piece with everything a check wants to know.
#[derive(Clone, Debug)]
pub(crate) struct Case {
    pub(crate) name: String,
    pub(crate) shape: Shape,
    pub(crate) board: Board,
    pub(crate) wood: Mechanics,
    pub(crate) pushes: Pushes,
}

impl Case {
    /// What a check finds, proved by the solid model.
    pub(crate) fn finding(&self) -> Finding {
        self.with(&Options::default())
    }

    /// What the closed form alone finds: for many pieces or many angles.
    pub(crate) fn closed_form(&self) -> Finding {
        self.with(&Options { solid: false, ..Options::default() })
    }

    /// What a check finds, worked out anew.
    pub(crate) fn afresh(&self, options: &Options) -> Finding {
        check(&self.name, &self.shape, &self.board, &self.wood, &self.pushes, options)
            .expect("a checked shape has a finding")
    }

    /// Each question is worked out once, however many tests ask it.
    fn with(&self, options: &Options) -> Finding {
        static KNOWN: Mutex<BTreeMap<String, Finding>> = Mutex::new(BTreeMap::new());
        let question = format!("{self:?} {options:?}");
        let known = KNOWN.lock().expect("no test panics in here").get(&question).cloned();
        known.unwrap_or_else(|| {
            let found = self.afresh(options);
            KNOWN.lock().expect("no test panics in here").insert(question, found.clone());
            found
        })
    }
}

/// Every piece of every sample, on its own board.
pub(crate) fn samples() -> Vec<Case> {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("shapes");
    let mut names: Vec<PathBuf> = std::fs::read_dir(&folder)
        .expect("there are samples")
        .map(|entry| entry.expect("a readable folder").path())
        .filter(|path| path.is_dir())
        .collect();
    names.sort();
    names
        .iter()
        .flat_map(|path| sample(path.file_name().and_then(|n| n.to_str()).expect("a plain name")))
        .collect()
}

/// The pieces of one sample.
pub(crate) fn sample(name: &str) -> Vec<Case> {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("shapes").join(name);
    let drawing = std::fs::read(folder.join(format!("{name}.svg"))).expect("a sample's drawing");
    let text = std::fs::read_to_string(folder.join("board.toml")).expect("a sample's board");
    let file = read_board("board.toml", &text).expect("a sample's board is right");
    let board = Board {
        thickness: file.thickness.expect("a thickness"),
        grain: file.grain.expect("a grain angle"),
        rings: file.rings.unwrap_or(Rings::Unknown),
        moisture_pct: file.moisture_pct.unwrap_or(12.0),
    };
    let wood = Wood::find(&file.wood.expect("a wood")).expect("a known wood");
    let wood = wood.mechanics(&board, &OwnValues::none()).expect("a whole wood");
    let pushes = Pushes {
        face: file.push.unwrap_or_else(|| Force::n(45.0)),
        side: file.side.unwrap_or_else(|| Force::n(45.0)),
    };
    let options = design::Options {
        drawn_in: file.drawn_in,
        inner: file.inner,
        page: file.page,
        ..design::Options::default()
    };
    let design = design::read_svg(name, &drawing, &options).expect("a sample's drawing is right");
    design
        .pieces
        .into_iter()
        .map(|piece| Case {
            name: format!("{name}/{}", piece.name),
            shape: piece.shape,
            board,
            wood: wood.clone(),
            pushes,
        })
        .collect()
}
