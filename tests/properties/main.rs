//! What holds for every piece, on the samples and on random ones; a failing random case prints itself.

#[path = "../common/again.rs"]
mod again;
mod completeness;
mod cutting;
mod invariance;
mod mending;
#[path = "../common/mesh_plans.rs"]
mod mesh_plans;
mod meshes;
mod pieces;
mod plates;
#[path = "../common/samples.rs"]
mod samples;
mod seasons;
mod skeleton;
#[path = "../common/sound_mesh.rs"]
mod sound_mesh;
