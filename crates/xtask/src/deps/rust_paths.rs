//! Finds the paths that a Rust text names, such as `std::fs::read`, with `use` trees written out.
//!
//! It is not a compiler: renamed imports and macros that build paths go unseen. It exists to catch slips, not malice.

/// A path and the line it stands on, counted from 1.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Mention {
    pub(super) path: String,
    pub(super) line: usize,
}

impl Mention {
    /// The names between the `::`.
    pub(super) fn segments(&self) -> impl Iterator<Item = &str> {
        self.path.split("::")
    }
}

/// All paths named in `text`, comments and literals left out.
pub(super) fn mentions(text: &str) -> Vec<Mention> {
    let tokens = tokens(&without_comments_and_literals(text));
    let mut mentions = Vec::new();
    let mut at = 0;
    while let Some(token) = tokens.get(at) {
        at = match &token.kind {
            Kind::Name(name) if name == "use" => use_tree(&tokens, at + 1, "", &mut mentions),
            Kind::Name(_) => plain_path(&tokens, at, &mut mentions),
            Kind::PathSeparator | Kind::Other(_) => at + 1,
        };
    }
    mentions
}

#[derive(Clone, Debug, PartialEq, Eq)]
enum Kind {
    Name(String),
    PathSeparator,
    Other(char),
}

#[derive(Clone, Debug)]
struct Token {
    kind: Kind,
    line: usize,
}

fn is_other(tokens: &[Token], at: usize, wanted: char) -> bool {
    tokens
        .get(at)
        .is_some_and(|token| token.kind == Kind::Other(wanted))
}

fn is_separator(tokens: &[Token], at: usize) -> bool {
    tokens
        .get(at)
        .is_some_and(|token| token.kind == Kind::PathSeparator)
}

fn name_at(tokens: &[Token], at: usize) -> Option<&str> {
    match &tokens.get(at)?.kind {
        Kind::Name(name) => Some(name),
        _ => None,
    }
}

/// Reads `a::b::c` from `at` on and returns where it ends.
fn plain_path(tokens: &[Token], mut at: usize, mentions: &mut Vec<Mention>) -> usize {
    let line = tokens[at].line;
    let mut path = name_at(tokens, at).unwrap_or_default().to_owned();
    at += 1;
    while is_separator(tokens, at) {
        let Some(name) = name_at(tokens, at + 1) else {
            break;
        };
        path.push_str("::");
        path.push_str(name);
        at += 2;
    }
    mentions.push(Mention { path, line });
    at
}

/// Reads one branch of a `use` tree from `at` on, puts its written-out paths into `mentions`, returns where it ends.
fn use_tree(tokens: &[Token], mut at: usize, prefix: &str, mentions: &mut Vec<Mention>) -> usize {
    let mut path = prefix.to_owned();
    let line = tokens.get(at).map_or(0, |token| token.line);
    loop {
        if is_separator(tokens, at) {
            at += 1;
        } else if is_other(tokens, at, '{') {
            return use_group(tokens, at + 1, &path, mentions);
        } else if let Some(name) = name_at(tokens, at) {
            if name == "as" {
                at += 2;
                continue;
            }
            if !path.is_empty() {
                path.push_str("::");
            }
            path.push_str(name);
            at += 1;
        } else {
            if is_other(tokens, at, '*') {
                at += 1;
            }
            if !path.is_empty() {
                mentions.push(Mention { path, line });
            }
            return at;
        }
    }
}

/// Reads the branches between `{` and `}`.
fn use_group(tokens: &[Token], mut at: usize, prefix: &str, mentions: &mut Vec<Mention>) -> usize {
    while at < tokens.len() && !is_other(tokens, at, '}') {
        if is_other(tokens, at, ',') {
            at += 1;
            continue;
        }
        let end = use_tree(tokens, at, prefix, mentions);
        // A text that is no Rust must not stop the walk.
        at = end.max(at + 1);
    }
    at + 1
}

fn tokens(text: &str) -> Vec<Token> {
    let mut tokens = Vec::new();
    let mut line = 1;
    let mut characters = text.chars().peekable();
    while let Some(character) = characters.next() {
        if character == '\n' {
            line += 1;
        } else if character.is_alphanumeric() || character == '_' {
            let mut name = String::from(character);
            while let Some(next) = characters.next_if(|next| next.is_alphanumeric() || *next == '_')
            {
                name.push(next);
            }
            tokens.push(Token {
                kind: Kind::Name(name),
                line,
            });
        } else if character == ':' && characters.next_if_eq(&':').is_some() {
            tokens.push(Token {
                kind: Kind::PathSeparator,
                line,
            });
        } else if !character.is_whitespace() {
            tokens.push(Token {
                kind: Kind::Other(character),
                line,
            });
        }
    }
    tokens
}

/// Puts spaces in place of comments and of text and character literals; line breaks stay.
fn without_comments_and_literals(text: &str) -> String {
    let characters: Vec<char> = text.chars().collect();
    let mut kept = String::with_capacity(text.len());
    let mut at = 0;
    while at < characters.len() {
        let end = skipped_until(&characters, at);
        if end > at {
            kept.extend(
                characters[at..end]
                    .iter()
                    .map(|c| if *c == '\n' { '\n' } else { ' ' }),
            );
            at = end;
        } else {
            kept.push(characters[at]);
            at += 1;
        }
    }
    kept
}

/// Where the comment or literal that starts at `at` ends; `at` itself if none starts there.
fn skipped_until(text: &[char], at: usize) -> usize {
    let next = text.get(at + 1).copied();
    let after_name = at > 0 && (text[at - 1].is_alphanumeric() || text[at - 1] == '_');
    match (text[at], next) {
        ('/', Some('/')) => (at..text.len())
            .find(|i| text[*i] == '\n')
            .unwrap_or(text.len()),
        ('/', Some('*')) => block_comment_end(text, at),
        ('"', _) => quoted_end(text, at, '"'),
        ('r', Some('"' | '#')) if !after_name || matches!(text[at - 1], 'b' | 'c') => {
            raw_text_end(text, at)
        }
        // A lifetime such as `'a` is no literal: a literal has its closing quote two characters on, or an escape.
        ('\'', Some('\\')) => quoted_end(text, at, '\''),
        ('\'', Some(_)) if text.get(at + 2) == Some(&'\'') => at + 3,
        _ => at,
    }
}

fn block_comment_end(text: &[char], start: usize) -> usize {
    let mut depth = 0_u32;
    let mut at = start;
    while at < text.len() {
        match (text[at], text.get(at + 1)) {
            ('/', Some('*')) => {
                depth += 1;
                at += 2;
            }
            ('*', Some('/')) => {
                depth -= 1;
                at += 2;
                if depth == 0 {
                    return at;
                }
            }
            _ => at += 1,
        }
    }
    at
}

fn quoted_end(text: &[char], start: usize, quote: char) -> usize {
    let mut at = start + 1;
    while at < text.len() && text[at] != quote {
        at += if text[at] == '\\' { 2 } else { 1 };
    }
    (at + 1).min(text.len())
}

/// The end of `r"..."` or `r#"..."#`; `start` itself for a raw name such as `r#type`.
fn raw_text_end(text: &[char], start: usize) -> usize {
    let hashes = text[start + 1..].iter().take_while(|c| **c == '#').count();
    let open = start + 1 + hashes;
    if text.get(open) != Some(&'"') {
        return start;
    }
    let closing: Vec<char> = std::iter::once('"')
        .chain(std::iter::repeat_n('#', hashes))
        .collect();
    (open + 1..text.len())
        .find(|at| text[*at..].starts_with(&closing))
        .map_or(text.len(), |at| at + closing.len())
}

#[cfg(test)]
mod tests;
