//! Shapes for the tests of trapped air, and what turns and shuffles them.

use glam::{DAffine3, DQuat, DVec3, IVec3, Vec3};
use mouldbench::mesh::tree::Tree;
use mouldbench::mesh::{Mesh, boolean, solids};
use mouldbench::solve::run::Run;
use mouldbench::study::air::{Air, Mouth, MouthOf};
use std::collections::{HashMap, HashSet};
use std::sync::Arc;

/// A small generator of the same numbers on every run (xorshift, Marsaglia 2003).
pub struct Dice(pub u64);

impl Dice {
    pub fn number(&mut self) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0
    }

    pub fn unit(&mut self) -> f64 {
        (self.number() >> 11) as f64 / (1u64 << 53) as f64
    }

    pub fn direction(&mut self) -> DVec3 {
        let z = 2.0 * self.unit() - 1.0;
        let (s, c) = (std::f64::consts::TAU * self.unit()).sin_cos();
        let r = (1.0 - z * z).sqrt();
        DVec3::new(r * c, r * s, z)
    }
}

/// The boundary of a set of cubes of edge `edge`, vertices shared: closed, with level tops, ties in height everywhere
/// and, where cubes touch along an edge only, edges with four triangles.
pub fn cubes(edge: f32, cells: impl IntoIterator<Item = (i32, i32, i32)>) -> Mesh {
    let cells: HashSet<IVec3> = cells.into_iter().map(|(x, y, z)| IVec3::new(x, y, z)).collect();
    let mut sorted: Vec<IVec3> = cells.iter().copied().collect();
    sorted.sort_by_key(|c| c.to_array());
    let mut numbers: HashMap<IVec3, u32> = HashMap::new();
    let mut mesh = Mesh::default();
    for cell in sorted {
        for axis in 0..3 {
            for side in 0..2 {
                let mut step = IVec3::ZERO;
                step[axis] = 2 * side - 1;
                if cells.contains(&(cell + step)) {
                    continue;
                }
                let (b, c) = ((axis + 1) % 3, (axis + 2) % 3);
                let corner = |s: i32, t: i32| {
                    let mut p = cell;
                    p[axis] += side;
                    p[b] += s;
                    p[c] += t;
                    p
                };
                let mut quad = [corner(0, 0), corner(1, 0), corner(1, 1), corner(0, 1)];
                if side == 0 {
                    quad.reverse();
                }
                let ids = quad.map(|p| {
                    *numbers.entry(p).or_insert_with(|| {
                        mesh.positions.push(p.as_vec3() * edge);
                        mesh.positions.len() as u32 - 1
                    })
                });
                mesh.triangles.extend([[ids[0], ids[1], ids[2]], [ids[0], ids[2], ids[3]]]);
            }
        }
    }
    mesh
}

/// Every cell of a block of cells.
pub fn block(from: (i32, i32, i32), to: (i32, i32, i32)) -> Vec<(i32, i32, i32)> {
    let mut cells = Vec::new();
    for x in from.0..to.0 {
        for y in from.1..to.1 {
            for z in from.2..to.2 {
                cells.push((x, y, z));
            }
        }
    }
    cells
}

/// Cells of `all` without those of `without`.
pub fn less(all: Vec<(i32, i32, i32)>, without: Vec<(i32, i32, i32)>) -> Vec<(i32, i32, i32)> {
    let without: HashSet<_> = without.into_iter().collect();
    all.into_iter().filter(|c| !without.contains(c)).collect()
}

/// Two towers, 3 and 5 cubes tall above a plate one cube thick.
pub fn two_towers() -> Mesh {
    cubes(2.0, [block((0, 0, 0), (7, 3, 1)), block((0, 0, 1), (2, 3, 4)), block((5, 0, 1), (7, 3, 6))].concat())
}

/// A U turned over: two legs and a bridge.
pub fn inverted_u() -> Mesh {
    cubes(2.0, [block((0, 0, 0), (2, 2, 6)), block((6, 0, 0), (8, 2, 6)), block((0, 0, 6), (8, 2, 8))].concat())
}

/// A round arch of 24 stations, thickest at its crown, on two level feet.
pub fn arch() -> Mesh {
    let mut mesh = Mesh::default();
    let stations = 24;
    for i in 0..=stations {
        let (s, c) = (std::f32::consts::PI * i as f32 / stations as f32).sin_cos();
        for (r, y) in [(6.0, 0.0), (9.0 + s, 0.0), (9.0 + s, 4.0), (6.0, 4.0)] {
            mesh.positions.push(Vec3::new(-r * c, y, r * s));
        }
    }
    let quad = |mesh: &mut Mesh, q: [u32; 4]| mesh.triangles.extend([[q[0], q[1], q[2]], [q[0], q[2], q[3]]]);
    for i in 0..stations {
        for k in 0..4 {
            let (a, b) = (4 * i + k, 4 * i + (k + 1) % 4);
            quad(&mut mesh, [a, a + 4, b + 4, b]);
        }
    }
    let last = 4 * stations;
    quad(&mut mesh, [0, 1, 2, 3]);
    quad(&mut mesh, [last + 3, last + 2, last + 1, last]);
    mesh
}

/// A U: two legs that stand on a bridge.
pub fn upright_u() -> Mesh {
    cubes(2.0, [block((0, 0, 2), (2, 2, 8)), block((6, 0, 2), (8, 2, 8)), block((0, 0, 0), (8, 2, 2))].concat())
}

/// A block with a blind hole from below.
pub fn blind_hole() -> Mesh {
    cubes(2.0, less(block((0, 0, 0), (6, 6, 6)), block((2, 2, 0), (4, 4, 4))))
}

/// A block with an enclosed void.
pub fn hollow() -> Mesh {
    cubes(2.0, less(block((0, 0, 0), (6, 6, 6)), block((2, 1, 2), (4, 4, 5))))
}

/// Two blocks on a plate that touch along one edge, and a third that touches the second along an edge and nothing else.
pub fn touching() -> Mesh {
    let touch = [block((0, 0, 0), (3, 3, 5)), block((3, 3, 0), (6, 6, 6)), block((6, 2, 2), (8, 3, 7))].concat();
    cubes(2.0, [touch, block((0, 0, -2), (8, 6, 0))].concat())
}

/// A ball with bumps all over: many peaks of many sizes.
pub fn bumpy_ball(radius: f64, level: u32) -> Mesh {
    let mut ball = solids::ball(Vec3::ZERO, 1.0, level);
    for p in &mut ball.positions {
        let q = p.as_dvec3();
        let wave = (9.0 * q.x + 1.0).sin() * (8.0 * q.y + 2.0).sin() + (11.0 * q.z - 1.0).sin() * (7.0 * q.x).cos();
        *p = (q * radius * (1.0 + 0.08 * wave)).as_vec3();
    }
    ball
}

/// A comb of columns with pyramid tops of chance heights on a plate.
pub fn columns(dice: &mut Dice) -> Mesh {
    let mut cells = block((0, 0, 0), (9, 9, 1));
    for x in 0..4 {
        for y in 0..4 {
            let height = 1 + (dice.number() % 7) as i32;
            cells.extend(block((2 * x, 2 * y, 1), (2 * x + 1, 2 * y + 1, 1 + height)));
            if dice.number().is_multiple_of(2) {
                cells.push((2 * x + 1, 2 * y, height));
            }
        }
    }
    cubes(1.5, cells)
}

/// The same solid with vertices, triangles and the first corner of each triangle in another order.
pub fn shuffled(mesh: &Mesh, dice: &mut Dice) -> Mesh {
    let mut order: Vec<u32> = (0..mesh.positions.len() as u32).collect();
    for i in (1..order.len()).rev() {
        order.swap(i, (dice.number() % (i as u64 + 1)) as usize);
    }
    let mut place = vec![0u32; order.len()];
    for (new, &old) in order.iter().enumerate() {
        place[old as usize] = new as u32;
    }
    let mut triangles: Vec<[u32; 3]> = mesh.triangles.iter().map(|t| t.map(|v| place[v as usize])).collect();
    for i in (1..triangles.len()).rev() {
        triangles.swap(i, (dice.number() % (i as u64 + 1)) as usize);
    }
    for t in &mut triangles {
        t.rotate_left((dice.number() % 3) as usize);
    }
    Mesh { positions: order.iter().map(|&v| mesh.positions[v as usize]).collect(), triangles }
}

/// The mesh turned.
pub fn turned(mesh: &Mesh, by: DQuat) -> Mesh {
    mesh.transformed(&DAffine3::from_quat(by))
}

/// The air of a mesh, lean included where it is not zero. Fails the test where the mesh is not closed.
pub fn air(mesh: &Mesh, up: Vec3, lean_deg: f64) -> Air {
    let air = air_or_cells(mesh, up, lean_deg);
    assert_eq!(air.on_cells, None, "a closed mesh is done exactly");
    air
}

/// The air of a mesh, on cells where it is not closed.
pub fn air_or_cells(mesh: &Mesh, up: Vec3, lean_deg: f64) -> Air {
    let tree = Arc::new(Tree::of(mesh));
    Air::new(&Arc::new(mesh.clone()), &tree, up, lean_deg, &Run::new()).expect("nobody cancels")
}

/// A vent.
pub fn vent(number: u32, centre: Vec3, normal: Vec3, diameter_mm: f64) -> Mouth {
    Mouth { of: MouthOf::Vent(number), centre, normal, diameter_mm }
}

/// Bodies that overlap, made one: a bar with a ball on one end, a cone hanging over it and a pin through both.
pub fn united() -> Mesh {
    let bar = solids::cuboid(Vec3::new(-8.0, -2.0, 0.0), Vec3::new(8.0, 2.0, 3.0));
    let ball = solids::ball(Vec3::new(-6.0, 0.0, 4.0), 3.5, 2);
    let cone = solids::frustum(Vec3::new(5.0, 0.0, 2.0), Vec3::new(6.0, 1.0, 9.0), 1.0, 3.0, 16);
    let pin = solids::cylinder(Vec3::new(5.0, 0.5, -6.0), Vec3::new(5.5, 0.5, 12.0), 0.9, 12);
    boolean::unite(&[&bar, &ball, &cone, &pin]).expect("sound bodies")
}

/// Shapes by name: level tops, ties, hollows, touching blocks, many peaks, holes all the way through.
pub fn gallery() -> Vec<(&'static str, Mesh)> {
    vec![
        ("two towers", two_towers()),
        ("inverted U", inverted_u()),
        ("upright U", upright_u()),
        ("blind hole", blind_hole()),
        ("hollow", hollow()),
        ("arch", arch()),
        ("bumpy ball", bumpy_ball(8.0, 3)),
        ("columns", columns(&mut Dice(7))),
        ("torus", solids::torus(7.0, 3.0, 24, 12)),
        ("united", united()),
        ("cone", solids::frustum(Vec3::ZERO, Vec3::new(0.0, 0.0, 12.0), 7.0, 1.0, 24)),
    ]
}
