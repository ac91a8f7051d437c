//! The known name that was probably meant. The core has the same for documents; this program does not wait for the
//! core to compile, and reports when it does not.

/// "; the nearest is …", or nothing when no name is near.
pub fn offer(name: &str, known: &[&str]) -> String {
    let limit = name.chars().count() / 2 + 1;
    known
        .iter()
        .map(|candidate| (distance(name, candidate), candidate))
        .filter(|(distance, _)| *distance <= limit)
        .min()
        .map(|(_, candidate)| format!("; the nearest is \"{candidate}\""))
        .unwrap_or_default()
}

/// Levenshtein distance.
fn distance(a: &str, b: &str) -> usize {
    let b: Vec<char> = b.chars().collect();
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, from) in a.chars().enumerate() {
        let mut diagonal = std::mem::replace(&mut row[0], i + 1);
        for (j, to) in b.iter().enumerate() {
            let cost = diagonal + usize::from(from != *to);
            diagonal = row[j + 1];
            row[j + 1] = cost.min(diagonal + 1).min(row[j] + 1);
        }
    }
    row[b.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_can_be_meant_is_offered() {
        assert_eq!(offer("tset", &["test", "list"]), "; the nearest is \"test\"");
        assert_eq!(offer("pyhton", &["rust", "python"]), "; the nearest is \"python\"");
        assert_eq!(offer("frobnicate", &["test", "list"]), "");
        assert_eq!(distance("kitten", "sitting"), 3);
        assert_eq!(distance("", "abc"), 3);
    }
}
