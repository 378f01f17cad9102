//! Words of the reader's messages.

/// Words farther than this from every known key get no suggestion (similarity, 0 to 1).
const NEAR_ENOUGH: f64 = 0.6;

/// The nearest of `words` to `word`, if any is near.
#[must_use]
pub fn nearest<'w>(word: &str, words: impl IntoIterator<Item = &'w str>) -> Option<&'w str> {
    let mut best = (NEAR_ENOUGH, None);
    let length = word.chars().count();
    for w in words {
        // Each letter that one has more than the other must be put in: no nearer than this.
        let theirs = w.chars().count();
        let (longer, more) = (length.max(theirs), length.abs_diff(theirs));
        #[allow(
            clippy::cast_precision_loss,
            reason = "words are shorter than 2⁵² letters"
        )]
        let most = 1.0 - more as f64 / longer.max(1) as f64;
        if most <= best.0 {
            continue;
        }
        let s = strsim::normalized_damerau_levenshtein(word, w);
        if s > best.0 {
            best = (s, Some(w));
        }
    }
    best.1
}

/// What is said of something missing; `place` as [`Section::in_here`] gives it.
pub(super) fn missing_what(written: &str, place: &str) -> String {
    format!("{written} is missing{place}")
}

/// `name` with "a" or "an" before it.
pub(super) fn with_article(name: &str) -> String {
    let article = if name.starts_with(['a', 'e', 'i', 'o', 'u']) {
        "an"
    } else {
        "a"
    };
    format!("{article} {name}")
}

/// The path of `key` in the section of `path`.
pub(super) fn join(path: &str, key: &str) -> String {
    if path.is_empty() {
        key.to_owned()
    } else {
        format!("{path}/{key}")
    }
}
