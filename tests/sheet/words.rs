//! The words of the sheet: one way to write them.

/// Every string of the sheet's words, continued lines joined.
fn strings() -> Vec<String> {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/src/sheet/words");
    let mut all = Vec::new();
    for file in std::fs::read_dir(folder).expect("the folder") {
        let text = std::fs::read_to_string(file.expect("a file").path()).expect("read");
        let code: String = text.lines().filter(|l| !l.trim_start().starts_with("//")).collect::<Vec<_>>().join("\n");
        for (i, piece) in code.split('"').enumerate() {
            if i % 2 == 1 {
                all.push(piece.split("\\\n").map(str::trim_start).collect());
            }
        }
    }
    all
}

#[test]
fn one_sentence_alone_has_no_full_stop_and_several_have_theirs() {
    let all = strings();
    assert!(all.len() > 200 && all.iter().any(|s| s == "No Stop is open"), "{} strings", all.len());
    for text in all {
        let inner = text.trim_end_matches('.').contains(". ");
        assert_eq!(text.ends_with('.'), inner && !text.ends_with(": "), "{text:?}");
    }
}
