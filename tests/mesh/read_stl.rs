//! Reading STL: good files against `stl_io` as a second opinion, bad ones refused in words.

use super::awkward::{Dice, turn, zoo};
use glam::{DVec3, Vec3};
use mouldbench::mesh::Mesh;
use mouldbench::mesh::measure::Measures;
use mouldbench::mesh::read_stl::{Fault, Format, Reading, digest_of, likely_mm_per_unit, read, read_bytes};
use mouldbench::mesh::solids::{ball, cuboid};
use mouldbench::mesh::topology::Topology;
use mouldbench::mesh::write_stl;
use proptest::prelude::*;
use std::path::Path;

fn binary(mesh: &Mesh) -> Vec<u8> {
    let mut bytes = Vec::new();
    write_stl::write(&mut bytes, mesh, DVec3::ZERO).expect("a vector takes every byte");
    bytes
}

fn text(mesh: &Mesh, centre: DVec3) -> String {
    let mut s = String::from("solid probe\n");
    for t in 0..mesh.triangles.len() {
        s += "  facet normal 0 0 0\n    outer loop\n";
        for p in mesh.corners_f64(t).map(|p| p + centre) {
            s += &format!("      vertex {} {:e} {}\n", p.x, p.y, p.z);
        }
        s += "    endloop\n  endfacet\n";
    }
    s + "endsolid probe\n"
}

fn read_ok(bytes: &[u8]) -> Reading {
    read_bytes(bytes, Path::new("part.stl"), 1.0).unwrap_or_else(|e| panic!("{e}"))
}

fn fault(bytes: &[u8]) -> Fault {
    let error = read_bytes(bytes, Path::new("shelf/part.stl"), 1.0).expect_err("a fault");
    let words = error.to_string();
    assert!(words.starts_with("shelf/part.stl: ") && words.len() > 40, "{words}");
    error.fault
}

/// Corners about the middle that was taken off, put back.
fn corners(reading: &Reading) -> Vec<[DVec3; 3]> {
    (0..reading.mesh.triangles.len()).map(|t| reading.mesh.corners_f64(t).map(|p| p + reading.centre)).collect()
}

#[test]
fn good_files_read_as_a_second_reader_reads_them() {
    for (name, mesh) in zoo() {
        let bytes = binary(&mesh);
        let reading = read_ok(&bytes);
        let other = stl_io::read_stl(&mut std::io::Cursor::new(&bytes)).expect("stl_io reads it");
        let theirs: Vec<[DVec3; 3]> = other
            .faces
            .iter()
            .map(|f| f.vertices.map(|v| DVec3::from_array(other.vertices[v].0.map(f64::from))))
            .filter(|[a, b, c]| a != b && b != c && c != a)
            .collect();
        let ours = corners(&reading);
        assert_eq!(ours.len(), theirs.len(), "{name}");
        let size = f64::from(mesh.bounds().diagonal());
        for (a, b) in ours.iter().flatten().zip(theirs.iter().flatten()) {
            assert!(a.distance(*b) <= size * 1e-7, "{name}: {a} {b}");
        }
        assert_eq!(reading.format, Format::Binary);
        let used = mouldbench::mesh::Bounds::of((0..mesh.triangles.len()).flat_map(|t| mesh.corners(t)));
        assert!(reading.centre.abs_diff_eq(used.centre().as_dvec3(), 0.51), "{name}");
        assert_eq!(reading.centre, reading.centre.round(), "{name}: a whole number of units");
        // Text with every digit of the same numbers.
        let from_text = read_ok(text(&mesh, DVec3::ZERO).as_bytes());
        assert_eq!(from_text.format, Format::Text);
        assert_eq!((&from_text.mesh, from_text.centre), (&reading.mesh, reading.centre), "{name}");
    }
}

#[test]
fn digests_are_sha_256_of_the_file() {
    // FIPS 180-2, appendix B.1.
    assert_eq!(digest_of(b"abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    let mesh = ball(Vec3::ZERO, 10.0, 5); // more than one batch
    let mut bytes = binary(&mesh);
    assert_eq!(read_ok(&bytes).digest, digest_of(&bytes));
    bytes.extend(b"made by nobody");
    let reading = read_ok(&bytes);
    assert_eq!(reading.digest, digest_of(&bytes));
    assert!(reading.notes[0].starts_with("14 bytes"), "{:?}", reading.notes);
    let words = text(&cuboid(Vec3::ZERO, Vec3::ONE), DVec3::ZERO);
    assert_eq!(read_ok(words.as_bytes()).digest, digest_of(words.as_bytes()));
}

#[test]
fn files_on_disk_read_like_their_bytes() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("part.stl");
    let bytes = binary(&ball(Vec3::ZERO, 10.0, 3));
    std::fs::write(&path, &bytes).expect("written");
    assert_eq!(read(&path, 25.4).expect("reads"), read_bytes(&bytes, &path, 25.4).expect("reads"));
    assert!(matches!(read(&folder.path().join("none.stl"), 1.0).expect_err("none").fault, Fault::Io(_)));
    assert!(matches!(read(folder.path(), 1.0).expect_err("a folder").fault, Fault::Io(_)));
}

#[test]
fn far_from_the_origin_text_loses_nothing() {
    let mesh = ball(Vec3::ZERO, 10.0, 3).transformed(&turn(2));
    let far = DVec3::new(100_000.0, -70_000.0, 30_000.0);
    let reading = read_ok(text(&mesh, far).as_bytes());
    assert_eq!(reading.centre, far);
    for t in 0..mesh.triangles.len() {
        assert!(reading.mesh.corners(t).iter().zip(mesh.corners(t)).all(|(a, b)| a.distance(b) < 1e-6));
    }
    // Binary holds it in steps of 1/128 mm there, and the reader says so; what it holds is kept exactly.
    let mut bytes = Vec::new();
    write_stl::write(&mut bytes, &mesh, far).expect("written");
    let reading = read_ok(&bytes);
    assert!(reading.notes.iter().any(|n| n.contains("origin")), "{:?}", reading.notes);
    let other = stl_io::read_stl(&mut std::io::Cursor::new(&bytes)).expect("stl_io reads it");
    for (p, q) in corners(&reading).iter().flatten().zip(other.faces.iter().flat_map(|f| f.vertices)) {
        assert_eq!(*p, DVec3::from_array(other.vertices[q].0.map(f64::from)));
    }
}

#[test]
fn units_scale_mesh_and_centre() {
    let bytes = binary(&cuboid(Vec3::new(3.0, 4.0, 5.0), Vec3::new(5.0, 7.0, 9.0)));
    let inches = read_bytes(&bytes, Path::new("a"), 25.4).expect("reads");
    let volume = Measures::of(&inches.mesh).volume_mm3;
    assert!((volume / (24.0 * 25.4f64.powi(3)) - 1.0).abs() < 1e-6);
    let m = inches.mesh.bounds();
    assert!((m.min.as_dvec3() + inches.centre).distance(DVec3::new(3.0, 4.0, 5.0) * 25.4) < 1e-4);
    let rescaled = read_ok(&bytes).rescaled(25.4);
    assert!(rescaled.centre.distance(inches.centre) < 1e-9);
    assert!(rescaled.mesh.positions.iter().zip(&inches.mesh.positions).all(|(a, b)| a.distance(*b) < 1e-4));
    assert_eq!([1.7, 4.7, 120.0, 0.0, 0.09, 0.45].map(likely_mm_per_unit), [25.4, 1.0, 1.0, 1.0, 1000.0, 25.4]);
    for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert!(matches!(read_bytes(&bytes, Path::new("a"), bad).expect_err("no unit").fault, Fault::BadUnit(_)));
    }
}

#[test]
fn a_binary_file_may_begin_with_solid() {
    let mesh = cuboid(Vec3::ZERO, Vec3::splat(10.0));
    let mut bytes = binary(&mesh);
    bytes[..80].fill(b' ');
    bytes[..11].copy_from_slice(b"solid probe");
    let reading = read_ok(&bytes);
    assert_eq!((reading.format, reading.mesh.triangles.len()), (Format::Binary, 12));
    // Also where something trails and the length alone does not say binary.
    bytes.extend([0, 1, 2]);
    let reading = read_ok(&bytes);
    assert_eq!((reading.format, reading.mesh.triangles.len(), reading.notes.len()), (Format::Binary, 12, 1));
}

#[test]
fn text_may_be_written_in_many_ways() {
    let mesh = cuboid(Vec3::new(0.5, 0.25, 0.0), Vec3::splat(10.0));
    let plain = text(&mesh, DVec3::ZERO);
    let expected = read_ok(plain.as_bytes());
    assert!(expected.notes.is_empty());
    let shouted = plain.to_uppercase();
    let marked = format!("\u{feff}{plain}");
    let blank = format!("\r\n\n  \t{}", plain.replace('\n', "\r\n"));
    let unended = plain.replace("endsolid probe\n", "");
    let unnamed = plain.replace(" probe", "");
    let odd_name = plain.replace("probe", "facet vertex 1 2 probe of half 2");
    let one_line = plain.replacen('\n', "\0", 1).replace('\n', " ").replace('\0', "\n");
    let no_normal = plain.replace("normal 0 0 0", "normal NaN -inf nan");
    let two = {
        let middle = plain.match_indices("  facet").nth(5).expect("six facets").0;
        format!("{}endsolid probe\nsolid again\n{}", &plain[..middle], &plain[middle..])
    };
    let headless = plain.replacen("solid probe\n", "", 1);
    for (name, words) in [
        ("upper case", shouted),
        ("byte order mark", marked),
        ("leading blanks", blank),
        ("no endsolid", unended),
        ("no name", unnamed),
        ("odd name", odd_name),
        ("one line", one_line),
        ("normals that are no numbers", no_normal),
        ("two solids", two),
        ("no solid", headless),
    ] {
        let reading = read_ok(words.as_bytes());
        assert_eq!(reading.mesh, expected.mesh, "{name}");
        let noted = matches!(name, "no endsolid" | "two solids");
        assert_eq!(!reading.notes.is_empty(), noted, "{name}: {:?}", reading.notes);
    }
}

#[test]
fn collapsed_triangles_are_left_out_and_said() {
    let mut mesh = cuboid(Vec3::ZERO, Vec3::splat(10.0));
    mesh.positions.push(Vec3::splat(99.0));
    mesh.triangles.push([8, 8, 8]);
    mesh.triangles.push([0, 1, 1]);
    let reading = read_ok(&binary(&mesh));
    assert_eq!((reading.mesh.triangles.len(), reading.mesh.positions.len()), (12, 8));
    assert!(reading.notes[0].starts_with("2 triangles"), "{:?}", reading.notes);
    assert!(Topology::of(&reading.mesh).is_closed());
    let point = Mesh { positions: vec![Vec3::ONE], triangles: vec![[0, 0, 0]; 3] };
    assert!(matches!(fault(&binary(&point)), Fault::AllDegenerate { triangles: 3 }));
}

#[test]
fn lying_counts_are_found_out() {
    let bytes = binary(&cuboid(Vec3::ZERO, Vec3::splat(10.0)));
    let with_count = |count: u32| {
        let mut b = bytes.clone();
        b[80..84].copy_from_slice(&count.to_le_bytes());
        b
    };
    assert!(matches!(fault(&with_count(13)), Fault::Truncated { promised: 13, held: 12 }));
    assert!(matches!(fault(&with_count(11)), Fault::CountTooSmall { promised: 11, held: 12 }));
    assert!(matches!(fault(&with_count(0)), Fault::CountTooSmall { promised: 0, held: 12 }));
    // No list of this length is ever asked for.
    assert!(matches!(fault(&with_count(u32::MAX)), Fault::NotStl { .. }));
    assert!(matches!(fault(&bytes[..bytes.len() - 1]), Fault::Truncated { promised: 12, held: 11 }));
    assert!(matches!(fault(&bytes[..90]), Fault::NotStl { .. } | Fault::Truncated { .. }));
    assert!(matches!(fault(&bytes[..84]), Fault::NotStl { .. } | Fault::Truncated { .. }));
    assert!(matches!(fault(&[0; 84]), Fault::NoTriangles));
    assert!(matches!(fault(&[]), Fault::Empty));
    assert!(matches!(fault(b"hello"), Fault::NotStl { length: 5 }));
    // A file whose length claims more than the reader may take.
    let mut huge = vec![0u8; 84];
    huge[80..84].copy_from_slice(&60_000_000u32.to_le_bytes());
    assert!(matches!(fault(&huge), Fault::NotStl { .. }));
}

#[test]
fn numbers_that_are_none_are_refused_by_triangle() {
    let good = binary(&ball(Vec3::ZERO, 10.0, 2));
    for (value, k) in [(f32::NAN, 0), (f32::INFINITY, 4), (f32::NEG_INFINITY, 8)] {
        let mut bytes = good.clone();
        let at = 84 + 50 * 17 + 12 + 4 * k;
        bytes[at..at + 4].copy_from_slice(&value.to_le_bytes());
        assert!(matches!(fault(&bytes), Fault::NotFinite { triangle: 18 }));
    }
    let mut bytes = good.clone();
    bytes[96..100].copy_from_slice(&3e38f32.to_le_bytes());
    assert!(matches!(fault(&bytes), Fault::TooFar { triangle: 1 }));
    // A normal that is none does no harm.
    let mut bytes = good.clone();
    bytes[84..88].copy_from_slice(&f32::NAN.to_le_bytes());
    assert_eq!(read_ok(&bytes).mesh, read_ok(&good).mesh);
    let words = text(&cuboid(Vec3::ZERO, Vec3::ONE), DVec3::ZERO);
    assert!(matches!(fault(words.replacen("vertex 0", "vertex nan", 1).as_bytes()), Fault::NotFinite { triangle: 1 }));
    assert!(matches!(fault(words.replacen("vertex 0", "vertex 1e300", 1).as_bytes()), Fault::TooFar { triangle: 1 }));
}

#[test]
fn wrong_words_are_named_with_their_line() {
    let words = text(&cuboid(Vec3::ZERO, Vec3::ONE), DVec3::ZERO);
    let Fault::Text { line, expected, found } = fault(words.replacen("outer", "inner", 1).as_bytes()) else {
        panic!("a word")
    };
    assert_eq!((line, expected, found.as_str()), (3, "outer", "inner"));
    let Fault::Text { line, .. } = fault(words.replacen("vertex 0", "vertex zero", 1).as_bytes()) else {
        panic!("a number")
    };
    assert_eq!(line, 4);
    let last = words.rfind("endloop").expect("a loop");
    for cut in [30, 60, 100, last - 7, last + 9] {
        assert!(matches!(fault(&words.as_bytes()[..cut]), Fault::TextCutShort { .. } | Fault::Text { .. }), "{cut}");
    }
    assert!(matches!(fault(b"solid nothing\nendsolid nothing\n"), Fault::NoTriangles));
    assert!(matches!(fault(b"solid"), Fault::NoTriangles));
}

#[test]
fn every_bad_file_in_the_folder_gives_an_error() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/mesh/bad");
    let mut seen = 0;
    for entry in std::fs::read_dir(folder).expect("the folder") {
        let path = entry.expect("an entry").path();
        let error = read(&path, 1.0).expect_err(&path.display().to_string());
        assert!(error.to_string().contains(path.file_name().and_then(|n| n.to_str()).expect("a name")));
        seen += 1;
    }
    assert!(seen >= 8, "saw {seen} files");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    #[test]
    fn random_bytes_never_panic(bytes in prop::collection::vec(any::<u8>(), 0..600)) {
        let _ = read_bytes(&bytes, Path::new("x"), 1.0);
    }

    #[test]
    fn damaged_files_never_panic_and_give_only_finite_meshes(
        cut in 0.0f64..1.2, places in prop::collection::vec((0.0f64..1.0, any::<u8>()), 0..6), as_text: bool, seed: u64,
    ) {
        let mesh = Mesh { positions: (0..12).map(|_| Dice(seed).point(50.0)).collect(), ..ball(Vec3::ZERO, 5.0, 0) };
        let mut bytes = if as_text { text(&mesh, DVec3::ZERO).into_bytes() } else { binary(&mesh) };
        if cut < 1.0 {
            bytes.truncate((cut * bytes.len() as f64) as usize);
        }
        for (at, value) in places {
            let at = (at * bytes.len() as f64) as usize;
            if let Some(b) = bytes.get_mut(at) {
                *b = value;
            }
        }
        if let Ok(reading) = read_bytes(&bytes, Path::new("x"), 1.0) {
            prop_assert!(reading.mesh.positions.iter().all(|p| p.is_finite()));
            prop_assert!(reading.mesh.triangles.iter().flatten().all(|&v| (v as usize) < reading.mesh.positions.len()));
        }
    }
}
