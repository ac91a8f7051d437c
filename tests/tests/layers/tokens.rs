//! Paths in the tokens of macros and attributes, which have no syntax tree.

use proc_macro2::{Delimiter, Group, Ident, Span, TokenStream, TokenTree};

/// What was found.
#[derive(Default)]
pub struct Found {
    /// Paths, with the place of their first name.
    pub paths: Vec<(Vec<String>, Span)>,
    /// Whole `use` declarations.
    pub uses: Vec<syn::ItemUse>,
    /// Names of macros that are called.
    pub calls: Vec<(String, Span)>,
    /// Paths from the root or from a parent of which a macro parameter is the next name.
    pub unknown: Vec<Span>,
}

/// Finds every path; with `strings`, also string literals that read as a path (attributes hold paths in quotes).
pub fn scan(tokens: TokenStream, strings: bool) -> Found {
    let mut found = Found::default();
    list(tokens, strings, &mut found);
    found
}

fn list(tokens: TokenStream, strings: bool, found: &mut Found) {
    let tokens = without_dollar_crate(tokens);
    let mut at = 0;
    while let Some(token) = tokens.get(at) {
        match token {
            TokenTree::Group(group) => {
                list(group.stream(), strings, found);
                at += 1;
            }
            TokenTree::Literal(literal) => {
                let text = syn::parse_str::<syn::LitStr>(&literal.to_string());
                let path =
                    text.ok().filter(|_| strings).and_then(|text| syn::parse_str::<syn::Path>(&text.value()).ok());
                if let Some(path) = path.filter(|path| path.leading_colon.is_none()) {
                    let names = path.segments.iter().map(|segment| segment.ident.to_string()).collect();
                    found.paths.push((names, literal.span()));
                }
                at += 1;
            }
            // A macro parameter, a lifetime, a field or method: the next name is not the start of a path.
            TokenTree::Punct(mark) if matches!(mark.as_char(), '$' | '\'') => {
                at = after_names(&tokens, at + 1);
            }
            TokenTree::Punct(mark) if mark.as_char() == '.' => {
                let range = punct(&tokens, at + 1, '.');
                at += if !range && matches!(tokens.get(at + 1), Some(TokenTree::Ident(_))) { 2 } else { 1 };
                if range {
                    at += 1;
                }
            }
            TokenTree::Punct(mark) => {
                // A path that starts with `::` leads out of the crate.
                let outside = mark.as_char() == ':' && punct(&tokens, at + 1, ':');
                at = if outside { after_names(&tokens, at + 2) } else { at + 1 };
            }
            TokenTree::Ident(ident) if ident == "use" => match declaration(&tokens, at) {
                Some((item, next)) => {
                    found.uses.push(item);
                    at = next;
                }
                None => at += 1,
            },
            TokenTree::Ident(ident) => at = path(&tokens, at, ident, found),
        }
    }
}

/// `$crate` is the root, as `crate` is.
fn without_dollar_crate(tokens: TokenStream) -> Vec<TokenTree> {
    let mut kept: Vec<TokenTree> = Vec::new();
    for token in tokens {
        let is_crate = matches!(&token, TokenTree::Ident(ident) if ident == "crate");
        if is_crate && matches!(kept.last(), Some(TokenTree::Punct(mark)) if mark.as_char() == '$') {
            kept.pop();
        }
        kept.push(token);
    }
    kept
}

fn punct(tokens: &[TokenTree], at: usize, mark: char) -> bool {
    matches!(tokens.get(at), Some(TokenTree::Punct(found)) if found.as_char() == mark)
}

/// Past `name::name…`.
fn after_names(tokens: &[TokenTree], mut at: usize) -> usize {
    while matches!(tokens.get(at), Some(TokenTree::Ident(_))) {
        at += 1;
        if !(punct(tokens, at, ':') && punct(tokens, at + 1, ':')) {
            break;
        }
        at += 2;
    }
    at
}

/// A `use` declaration up to its semicolon; nothing when a macro parameter stands in it.
fn declaration(tokens: &[TokenTree], at: usize) -> Option<(syn::ItemUse, usize)> {
    let length =
        tokens[at..].iter().position(|token| matches!(token, TokenTree::Punct(mark) if mark.as_char() == ';'))?;
    let end = at + length + 1;
    let mut stream = TokenStream::new();
    stream.extend(tokens[at..end].iter().cloned().map(plain));
    syn::parse2(stream).ok().map(|item| (item, end))
}

/// The token with `$crate` replaced inside groups too.
fn plain(token: TokenTree) -> TokenTree {
    match token {
        TokenTree::Group(group) => {
            let inner = without_dollar_crate(group.stream()).into_iter().map(plain).collect();
            let mut plain = Group::new(group.delimiter(), inner);
            plain.set_span(group.span());
            plain.into()
        }
        other => other,
    }
}

fn path(tokens: &[TokenTree], start: usize, first: &Ident, found: &mut Found) -> usize {
    let mut names = vec![first.to_string()];
    let mut at = start + 1;
    while punct(tokens, at, ':') && punct(tokens, at + 1, ':') {
        match tokens.get(at + 2) {
            Some(TokenTree::Ident(ident)) => {
                names.push(ident.to_string());
                at += 3;
            }
            // `prefix::{…}` in a `use` that could not be parsed as a whole.
            Some(TokenTree::Group(group)) if group.delimiter() == Delimiter::Brace => {
                let mut inner = Found::default();
                list(group.stream(), false, &mut inner);
                for (rest, span) in inner.paths {
                    found.paths.push((names.iter().cloned().chain(rest).collect(), span));
                }
                found.unknown.extend(inner.unknown);
                at += 3;
                break;
            }
            Some(TokenTree::Punct(mark)) if mark.as_char() == '$' => {
                if names.iter().all(|name| name == "crate" || name == "super") {
                    found.unknown.push(first.span());
                }
                at = after_names(tokens, at + 3);
                break;
            }
            _ => {
                at += 2;
                break;
            }
        }
    }
    if punct(tokens, at, '!') && !punct(tokens, at + 1, '=') {
        found.calls.push((names.last().cloned().unwrap_or_default(), first.span()));
    }
    found.paths.push((names, first.span()));
    at
}
