//! A mesh, and the look at it that every test takes before it uses one.

use shortgrain::solid::{Mesh, MeshFault, Plan};

/// A plan's mesh, which keeps all it promises of itself and of the plan.
pub(crate) fn sound_mesh(plan: &Plan) -> Result<Mesh, MeshFault> {
    let mesh = Mesh::generate(plan)?;
    assert_eq!(mesh.faults_against(plan), [], "a mesh keeps what it promises");
    Ok(mesh)
}
