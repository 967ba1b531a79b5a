//! A call of `say!`, as the macro sees it and as it stands in a source.

use proc_macro2::{Delimiter, Span, TokenStream, TokenTree};
use std::str::FromStr;
use syn::LitStr;

/// What is said, and what for.
#[derive(Debug)]
pub struct Call {
    /// Where the text stands, if the same words stand elsewhere in another sense.
    pub context: Option<String>,
    /// What is counted, where the text depends on whether it is one.
    pub count: Option<TokenStream>,
    /// The English text, or two of them, for one and for more; each with its place.
    pub texts: Vec<(String, Span)>,
    /// What fills the names in the text: `size = size.text(unit)`.
    pub values: TokenStream,
}

/// What is wrong with a call, and where.
#[derive(Debug)]
pub struct Trouble {
    /// The place.
    pub span: Span,
    /// What is wrong, in words.
    pub why: String,
}

impl Call {
    /// Reads what stands between the parentheses of `say!`:
    /// `"a text"`, `"{size} wide", size = …`, `count; "one", "{count} of them"`, or any of these behind `in "context":`.
    ///
    /// # Errors
    /// When it is none of these.
    pub fn read(tokens: TokenStream) -> Result<Self, Trouble> {
        let mut rest: Vec<TokenTree> = tokens.into_iter().collect();
        let context = take_context(&mut rest)?;
        let semicolon = rest.iter().position(|tree| is(tree, ';'));
        let count = semicolon.map(|at| {
            let counted = rest.drain(..at).collect();
            rest.remove(0);
            counted
        });
        let wanted = if count.is_some() { 2 } else { 1 };
        let mut texts = Vec::new();
        while texts.len() < wanted {
            let first = if rest.is_empty() {
                None
            } else {
                Some(rest.remove(0))
            };
            texts.push(text(first)?);
            if rest.first().is_some_and(|tree| is(tree, ',')) {
                rest.remove(0);
            } else if !rest.is_empty() {
                return Err(trouble(rest.first(), "a comma belongs here"));
            }
        }
        Ok(Self {
            context,
            count,
            texts,
            values: rest.into_iter().collect(),
        })
    }
}

/// All calls of `say!` in a Rust source, also within other macros.
///
/// # Errors
/// When the source or a call cannot be read.
pub fn calls_in(source: &str) -> Result<Vec<Call>, Trouble> {
    let tokens = TokenStream::from_str(source).map_err(|error| Trouble {
        span: error.span(),
        why: error.to_string(),
    })?;
    let mut calls = Vec::new();
    gather(tokens, &mut calls)?;
    Ok(calls)
}

fn gather(tokens: TokenStream, calls: &mut Vec<Call>) -> Result<(), Trouble> {
    let trees: Vec<TokenTree> = tokens.into_iter().collect();
    for (at, tree) in trees.iter().enumerate() {
        let TokenTree::Group(group) = tree else {
            continue;
        };
        let is_call = at >= 2
            && is(&trees[at - 1], '!')
            && matches!(&trees[at - 2], TokenTree::Ident(name) if name == "say")
            && group.delimiter() == Delimiter::Parenthesis;
        if is_call {
            calls.push(Call::read(group.stream())?);
        }
        gather(group.stream(), calls)?;
    }
    Ok(())
}

fn is(tree: &TokenTree, mark: char) -> bool {
    matches!(tree, TokenTree::Punct(punct) if punct.as_char() == mark)
}

fn trouble(tree: Option<&TokenTree>, why: &str) -> Trouble {
    Trouble {
        span: tree.map_or_else(Span::call_site, TokenTree::span),
        why: why.to_owned(),
    }
}

/// Takes `in "context":` off the beginning.
fn take_context(rest: &mut Vec<TokenTree>) -> Result<Option<String>, Trouble> {
    if !matches!(rest.first(), Some(TokenTree::Ident(name)) if name == "in") {
        return Ok(None);
    }
    let mut head = rest.drain(..rest.len().min(3)).skip(1);
    let (context, _) = text(head.next())?;
    match head.next() {
        Some(tree) if is(&tree, ':') => Ok(Some(context)),
        other => Err(trouble(
            other.as_ref(),
            "a colon belongs behind the context",
        )),
    }
}

fn text(tree: Option<TokenTree>) -> Result<(String, Span), Trouble> {
    let Some(tree) = tree else {
        return Err(trouble(None, "a text is missing"));
    };
    let span = tree.span();
    match syn::parse2::<LitStr>(tree.into()) {
        Ok(text) => Ok((text.value(), span)),
        Err(_) => Err(Trouble {
            span,
            why: "a text belongs here".to_owned(),
        }),
    }
}
