//! A seeded mutator of plan files: numbers beyond reason, words in the wrong place, lines lost, doubled and torn.

/// A stream of numbers from a seed (Steele, Lea & Flood 2014, SplitMix64).
pub struct Chance(pub u64);

impl Chance {
    /// The next number below `end`.
    pub fn below(&mut self, end: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) % end.max(1) as u64) as usize
    }

    /// One of a list.
    pub fn of<'a, T: ?Sized>(&mut self, list: &[&'a T]) -> &'a T {
        list[self.below(list.len())]
    }
}

/// Numbers that were seen to fell a program, and their neighbours.
const NUMBERS: [&str; 26] = [
    "1e300",
    "-1e300",
    "1e9",
    "-1e9",
    "4e9",
    "4000000000",
    "4294967295",
    "18446744073709551615",
    "-1",
    "0",
    "0.0",
    "-0.0",
    "1e-300",
    "1e-9",
    "NaN",
    "-NaN",
    "inf",
    "-inf",
    "1e7",
    "9999999.0",
    "1e6",
    "10000.0",
    "0.001",
    "0.5",
    "1e308",
    "3",
];

/// Numbers of a text outside its strings, as ranges of bytes; `version` and `format` are not among them.
pub fn numbers(text: &str) -> Vec<std::ops::Range<usize>> {
    let bytes = text.as_bytes();
    let mut found = Vec::new();
    let (mut i, mut quoted) = (text.find("plan: Plan").unwrap_or(0), false);
    while i < bytes.len() {
        match bytes[i] {
            b'\\' if quoted => i += 1,
            b'"' => quoted = !quoted,
            b'-' | b'0'..=b'9'
                if !quoted && (i == 0 || !(bytes[i - 1].is_ascii_alphanumeric() || bytes[i - 1] == b'_')) =>
            {
                let from = i;
                while i < bytes.len() && (bytes[i].is_ascii_alphanumeric() || b"+-._".contains(&bytes[i])) {
                    i += 1;
                }
                found.push(from..i);
                continue;
            }
            _ => {}
        }
        i += 1;
    }
    found
}

/// The text with one to three things wrong with it.
pub fn mutated(text: &str, chance: &mut Chance) -> String {
    let mut text = text.to_owned();
    for _ in 0..=chance.below(3) {
        text = once(&text, chance);
    }
    text
}

fn once(text: &str, chance: &mut Chance) -> String {
    let all = numbers(text);
    let mut lines: Vec<&str> = text.lines().collect();
    match chance.below(12) {
        // Mostly numbers: those get past the grammar.
        0..=6 if !all.is_empty() => {
            let one = all[chance.below(all.len())].clone();
            let number = NUMBERS[chance.below(NUMBERS.len())];
            format!("{}{number}{}", &text[..one.start], &text[one.end..])
        }
        7 if !lines.is_empty() => {
            lines.remove(chance.below(lines.len()));
            lines.join("\n")
        }
        8 if !lines.is_empty() => {
            // A run of lines comes again, some times or very often.
            let from = chance.below(lines.len());
            let run: Vec<&str> = lines[from..].iter().take(1 + chance.below(20)).copied().collect();
            let again = [1, 2, 600][chance.below(3)];
            let more: Vec<&str> = (0..again).flat_map(|_| run.iter().copied()).collect();
            lines.splice(from..from, more);
            lines.join("\n")
        }
        9 => {
            let at = boundary(text, chance.below(text.len()));
            let deep = [1, 40, 200_000][chance.below(3)];
            format!(
                "{}{}{}",
                &text[..at],
                chance.of::<str>(&["(", "[", "Some(", "/*", "\"", "}"]).repeat(deep),
                &text[at..]
            )
        }
        10 => text[..boundary(text, chance.below(text.len()))].to_owned(),
        _ => {
            let word = chance.of::<str>(&[
                "None",
                "Some(1)",
                "()",
                "[]",
                "\"\"",
                "true",
                "Hollow(skin_mm: 1e9, open: true)",
                "x",
            ]);
            let colons: Vec<usize> = text.match_indices(": ").map(|m| m.0 + 2).collect();
            let Some(&at) = colons.get(chance.below(colons.len())) else { return text.to_owned() };
            let end = text[at..].find([',', '\n']).map_or(text.len(), |n| at + n);
            format!("{}{word}{}", &text[..at], &text[end..])
        }
    }
}

fn boundary(text: &str, mut at: usize) -> usize {
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}
