//! Texts in the page's scripts, which say them as `say("…")`, and in what tells a device about the site.

use super::has_ending;

/// The scripts that say something.
pub const SCRIPTS: [&str; 5] = [
    "public/boot.js",
    "public/books.js",
    "public/publish.js",
    "src/page/copy-out.js",
    "src/part.js",
];
/// How a text begins and ends in a script.
const CALL: [&str; 2] = ["say(\"", "\")"];
/// The members of the manifest that people read.
pub const MANIFEST: [&str; 3] = ["\"name\": \"", "\"short_name\": \"", "\"description\": \""];

/// The texts of a script or of the manifest.
pub fn texts(name: &str, source: &str) -> Vec<String> {
    let mut texts = Vec::new();
    let mut note = |text: &str| {
        texts.push(text.to_owned());
        text.to_owned()
    };
    if has_ending(name, "js") {
        spoken(source, &mut note);
    } else {
        told(source, &MANIFEST, &mut note);
    }
    texts
}

/// A script with its texts as `say` has them: a string, or a template where names in braces stand for what the script
/// knows by them.
pub fn spoken(source: &str, say: &mut dyn FnMut(&str) -> String) -> String {
    exchanged(source, CALL, &mut |text| {
        let said = say(text);
        if said.contains('{') {
            format!("`{}`", said.replace('`', "\\`").replace('{', "${"))
        } else {
            format!("\"{said}\"")
        }
    })
}

/// A text of JSON with what stands in some members as `say` has it. A member is told by its name as it is written there,
/// up to where its text begins.
pub fn told(source: &str, members: &[&str], say: &mut dyn FnMut(&str) -> String) -> String {
    members.iter().fold(source.to_owned(), |manifest, member| {
        exchanged(&manifest, [member, "\""], &mut |text| {
            format!("{member}{}\"", say(text))
        })
    })
}

/// A text in which something else stands in place of all that is between two marks, and of the marks.
fn exchanged(text: &str, [begin, end]: [&str; 2], other: &mut dyn FnMut(&str) -> String) -> String {
    let mut pieces = text.split(begin);
    let mut whole = pieces.next().unwrap_or_default().to_owned();
    for piece in pieces {
        match piece.split_once(end) {
            Some((between, rest)) => whole = whole + &other(between) + rest,
            None => whole = whole + begin + piece,
        }
    }
    whole
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn scripts_say_strings_and_templates() {
        let script = "tell(say(\"Gone\")); tell(say(\"{name} is gone\"));";
        assert_eq!(texts("a.js", script), ["Gone", "{name} is gone"]);
        let mut say = |text: &str| text.replace("gone", "fort").replace("Gone", "Fort");
        assert_eq!(
            spoken(script, &mut say),
            "tell(\"Fort\"); tell(`${name} is fort`);"
        );
    }

    #[test]
    fn the_manifest_keeps_what_people_do_not_read() {
        let manifest =
            "{ \"name\": \"A\", \"icons\": [{ \"src\": \"A\" }], \"description\": \"B\" }";
        let mut say = |text: &str| text.to_lowercase();
        assert_eq!(
            told(manifest, &MANIFEST, &mut say),
            "{ \"name\": \"a\", \"icons\": [{ \"src\": \"A\" }], \"description\": \"b\" }"
        );
    }
}
