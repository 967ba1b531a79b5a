//! `say!`: a text in the language that the program is built in.

use catalogue::{Call, Catalog, Trouble, names, read, translated};
use proc_macro2::{Literal, Span, TokenStream};
use quote::{quote, quote_spanned};
use std::env;
use std::path::Path;
use std::sync::OnceLock;

/// A text in the language that the program is built in: the feature `es` and `locales/es.po` make it Spanish, and
/// without such a feature it is the one that stands there.
///
/// ```ignore
/// say!("Width of the stock")                                  // a `&'static str`, in constants too
/// say!("{count} a sheet", count = laid.count)                 // a `String`, as `format!` makes it
/// say!(pieces; "one piece", "{pieces} pieces")                // by whether it is one
/// say!(in "a price": "free")                                  // where "free" means another thing elsewhere
/// ```
///
/// What stands in braces is a name: the languages put things in orders of their own. A text is a whole sentence or a
/// phrase that stands for itself; words with an end of their own (`piece` in a sentence about several) are not put into
/// others, for they change with what stands around them.
#[proc_macro]
pub fn say(tokens: proc_macro::TokenStream) -> proc_macro::TokenStream {
    let said = Call::read(tokens.into()).and_then(|call| spoken(&call));
    said.unwrap_or_else(|trouble| {
        let why = trouble.why;
        quote_spanned!(trouble.span => ::core::compile_error!(#why))
    })
    .into()
}

/// The expression that a call becomes.
fn spoken(call: &Call) -> Result<TokenStream, Trouble> {
    let trouble = |span: Span| move |why: String| Trouble { span, why };
    let here = call.texts[0].1;
    let english: Vec<String> = call.texts.iter().map(|(text, _)| text.clone()).collect();
    let catalogue = catalogue_of_build().map_err(trouble(here))?;
    let texts = catalogue.and_then(|catalogue| translated(catalogue, call));
    let texts = texts.unwrap_or(english);
    let values = &call.values;
    let mut said = Vec::new();
    for (at, text) in texts.iter().enumerate() {
        let span = call.texts.get(at).map_or(here, |(_, span)| *span);
        let has_names = !names(text).map_err(trouble(span))?.is_empty();
        let mut literal = Literal::string(text);
        // What a text names may be a variable that stands beside the call.
        literal.set_span(span);
        said.push(if has_names {
            quote!(::std::format!(#literal, #values))
        } else if call.count.is_some() {
            quote!(::std::string::String::from(#literal))
        } else {
            quote!(#literal)
        });
    }
    let Some(count) = &call.count else {
        return Ok(said.remove(0));
    };
    let [one, more] = &said[..] else {
        return Err(trouble(here)(format!(
            "a text for one and one for more are wanted, not {}",
            said.len()
        )));
    };
    // As the languages of Western Europe have it: one is one, and all else, also none, is more.
    Ok(quote!(if (#count) == 1 { #one } else { #more }))
}

/// The catalogue of the language that is built, read once; none for English. The build script says which it is.
fn catalogue_of_build() -> Result<Option<&'static Catalog>, String> {
    static CATALOGUE: OnceLock<Result<Option<Catalog>, String>> = OnceLock::new();
    match CATALOGUE.get_or_init(read_catalogue) {
        Ok(catalogue) => Ok(catalogue.as_ref()),
        Err(why) => Err(why.clone()),
    }
}

fn read_catalogue() -> Result<Option<Catalog>, String> {
    let Ok(language) = env::var("DECAL_RECKONER_LANGUAGE") else {
        return Ok(None);
    };
    let folder = env::var("CARGO_MANIFEST_DIR").map_err(|error| error.to_string())?;
    read(
        &Path::new(&folder)
            .join("locales")
            .join(format!("{language}.po")),
    )
    .map(Some)
}
