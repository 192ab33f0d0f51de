//! Words as they are compared: lower case, one and many alike, accents and hyphens left aside.

/// A word of a text.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Token {
    /// As it was written, lower case.
    pub raw: String,
    /// As it is compared; empty for a comma or another mark that ends what was said before it.
    pub plain: String,
}

/// The words of a text, with an empty one for each mark at which a new thought begins.
#[must_use]
pub fn tokens(text: &str) -> Vec<Token> {
    let mut tokens: Vec<Token> = Vec::new();
    let mut word = String::new();
    for c in text.chars().chain([' ']) {
        if c.is_alphanumeric() || is_apostrophe(c) {
            word.extend(c.to_lowercase());
            continue;
        }
        if !word.is_empty() {
            let plain = plain(&word);
            tokens.push(Token { raw: std::mem::take(&mut word), plain });
        }
        if ",;:()/|".contains(c) {
            tokens.push(Token { raw: String::new(), plain: String::new() });
        }
    }
    tokens
}

/// A phrase as it is compared.
#[must_use]
pub fn phrase(text: &str) -> String {
    let words: Vec<String> = tokens(text).into_iter().map(|t| t.plain).collect();
    words.into_iter().filter(|word| !word.is_empty()).collect::<Vec<_>>().join(" ")
}

fn is_apostrophe(c: char) -> bool {
    matches!(c, '\'' | '\u{2019}' | '\u{2bc}')
}

fn plain(word: &str) -> String {
    let owned = word.trim_end_matches(is_apostrophe);
    let owned = owned.strip_suffix('s').filter(|o| o.ends_with(is_apostrophe)).unwrap_or(owned);
    let letters: String =
        owned.chars().filter(|c| !is_apostrophe(*c)).map(without_accent).collect();
    one(&letters)
}

/// A small letter without its accent.
pub(in crate::standards) fn without_accent(c: char) -> char {
    match c {
        'à' | 'á' | 'â' | 'ã' | 'ä' | 'å' => 'a',
        'ç' => 'c',
        'è' | 'é' | 'ê' | 'ë' => 'e',
        'ì' | 'í' | 'î' | 'ï' => 'i',
        'ñ' => 'n',
        'ò' | 'ó' | 'ô' | 'õ' | 'ö' | 'ø' => 'o',
        'ù' | 'ú' | 'û' | 'ü' => 'u',
        other => other,
    }
}

/// The word for many as the word for one. What comes out need not be English (`olives` and `olive`
/// are both `olif`, `hummus` is `hummu`): it only has to be the same for both.
fn one(word: &str) -> String {
    let hisses = |end: &str| {
        let start = word.strip_suffix(end);
        start.filter(|start| HISSING.iter().any(|h| start.ends_with(h)))
    };
    let long = word.len() > 4;
    let cut = |end: &str, to: &str| Some(format!("{}{to}", word.strip_suffix(end)?));
    let found = match word {
        _ if word.chars().count() <= 3 => None,
        _ if long && word.ends_with("ies") => cut("ies", "y"),
        _ if word.ends_with("ie") => cut("ie", "y"),
        _ if word.ends_with("ves") => cut("ves", "f"),
        _ if word.ends_with("ve") => cut("ve", "f"),
        _ if long && word.ends_with("oes") => cut("es", ""),
        _ if word.ends_with("oe") => cut("e", ""),
        _ if hisses("es").is_some() => cut("es", ""),
        _ if hisses("e").is_some() => cut("e", ""),
        _ if word.ends_with("ss") => None,
        _ => cut("s", ""),
    };
    found.map_or_else(|| word.to_owned(), |shorter| one(&shorter))
}

/// Ends after which many is written with `es`.
const HISSING: [&str; 6] = ["ch", "sh", "ss", "us", "x", "z"];
