//! Repairs that are safe, each said in words.
//!
//! Only what changes no place in space is done: triangles are turned round or, where they have collapsed, left out. A
//! hole is never filled and nothing is moved.

use super::Mesh;
use super::check::{BodyKind, bodies_of, containers};
use super::topology::{Topology, is_collapsed};
use super::tree::Tree;

/// The mesh with collapsed triangles left out, winding made consistent within each body, and bodies that are inside out
/// turned; and what was done, as sentences for the user. Voids stay voids.
pub fn repaired(mut mesh: Mesh) -> (Mesh, Vec<String>) {
    let mut notes = Vec::new();
    let before = mesh.triangles.len();
    mesh.triangles.retain(|&t| !is_collapsed(t));
    match before - mesh.triangles.len() {
        0 => {}
        1 => notes.push("One triangle with two corners in one place was left out.".to_string()),
        n => notes.push(format!("{n} triangles with two corners in one place were left out.")),
    }
    let mut topology = Topology::of(&mesh);
    if topology.inconsistent_edges > 0 {
        match make_consistent(&mut mesh, &topology) {
            0 => {}
            1 => notes.push("One triangle that faced the wrong way was turned round.".to_string()),
            n => notes.push(format!("{n} triangles that faced the wrong way were turned round.")),
        }
        topology = Topology::of(&mesh);
        if topology.inconsistent_edges > 0 {
            notes.push("Part of the surface has only one side and could not be made to face one way.".to_string());
        }
    }
    match turn_bodies(&mut mesh, &topology) {
        0 => {}
        1 => notes.push("One body that was inside out was turned.".to_string()),
        n => notes.push(format!("{n} bodies that were inside out were turned.")),
    }
    (mesh, notes)
}

/// Turns triangles so that neighbours run along their common edge opposite ways; in each body the fewer are turned.
/// Returns how many.
fn make_consistent(mesh: &mut Mesh, topology: &Topology) -> usize {
    const UNSEEN: u8 = 2;
    let mut turned = vec![UNSEEN; mesh.triangles.len()];
    let (mut stack, mut body) = (Vec::new(), Vec::new());
    let mut count = 0;
    for seed in 0..mesh.triangles.len() {
        if turned[seed] != UNSEEN {
            continue;
        }
        turned[seed] = 0;
        stack.push(seed);
        body.clear();
        while let Some(t) = stack.pop() {
            body.push(t);
            for k in 0..3 {
                let n = topology.neighbours[t][k];
                if n == Topology::NONE || turned[n as usize] != UNSEEN {
                    continue;
                }
                let n = n as usize;
                let (a, b) = (mesh.triangles[t][k], mesh.triangles[t][(k + 1) % 3]);
                let Some(edge) = Topology::edge_between(mesh.triangles[n], a, b) else { continue };
                let same_way = mesh.triangles[n][edge] == a;
                turned[n] = turned[t] ^ u8::from(same_way);
                stack.push(n);
            }
        }
        let turns = body.iter().filter(|&&t| turned[t] == 1).count();
        let wrong = u8::from(2 * turns <= body.len());
        for &t in &body {
            if turned[t] == wrong {
                mesh.triangles[t].swap(1, 2);
                count += 1;
            }
        }
    }
    count
}

/// Turns closed bodies that are inside out and not voids. Returns how many.
fn turn_bodies(mesh: &mut Mesh, topology: &Topology) -> usize {
    let bodies = bodies_of(mesh, topology);
    let closed = |b: usize| bodies[b].kind != BodyKind::Open;
    if !(0..bodies.len()).any(|b| closed(b) && bodies[b].measures.volume_mm3 < 0.0) {
        return 0;
    }
    let inside =
        if bodies.len() > 1 { containers(topology, &Tree::of(mesh), &bodies) } else { vec![Vec::new(); bodies.len()] };
    // From the outside inwards. What lies in a body that is turned is turned with it, so that a part exported inside out
    // keeps its voids; then only a body in open space or in a void must face outwards.
    let mut order: Vec<usize> = (0..bodies.len()).collect();
    order.sort_by_key(|&b| inside[b].len());
    let mut turn = vec![false; bodies.len()];
    for b in order {
        if !closed(b) {
            continue;
        }
        let faces_out = |b: usize, turned: bool| (bodies[b].measures.volume_mm3 > 0.0) != turned;
        turn[b] = match inside[b].last() {
            None => !faces_out(b, false),
            Some(&a) => {
                let (a, with_it) = (a as usize, turn[a as usize]);
                let in_solid = faces_out(a, turn[a]);
                if in_solid { with_it } else { !faces_out(b, false) }
            }
        };
    }
    for (t, &b) in topology.body_of_triangle.iter().enumerate() {
        if turn[b as usize] {
            mesh.triangles[t].swap(1, 2);
        }
    }
    turn.iter().filter(|t| **t).count()
}
