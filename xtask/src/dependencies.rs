//! That DEVELOPERS.md tells of every dependency that is named directly, and of no other.

use crate::run::{files_below, read, root};
use std::collections::BTreeSet;

/// The manifests that name dependencies.
const MANIFESTS: [&str; 5] = [
    "Cargo.toml",
    "catalogue/Cargo.toml",
    "catalogue/say/Cargo.toml",
    "tests/browser/Cargo.toml",
    "xtask/Cargo.toml",
];

/// The dependencies that a manifest names, those of tests and of one platform too; not what is a folder of ours.
fn named(manifest: &str) -> BTreeSet<String> {
    let mut names = BTreeSet::new();
    let mut within = false;
    for line in manifest.lines() {
        if let Some(section) = line.strip_prefix('[') {
            let section = section.trim_end().trim_end_matches(']');
            // A section of one dependency: `[dependencies.serde]`.
            let (of, one) = section.rsplit_once('.').unwrap_or(("", section));
            within = one.ends_with("dependencies");
            if of.ends_with("dependencies") {
                names.insert(one.to_owned());
            }
        } else if within && let Some((name, from)) = line.split_once('=') {
            if from.trim_start().starts_with("{ path =") {
                continue;
            }
            // `serde.workspace = true`; what goes on in a second line is set in.
            let name = name.split('.').next().unwrap_or_default();
            if name.starts_with(|sign: char| sign.is_ascii_alphanumeric()) {
                names.insert(name.trim().to_owned());
            }
        }
    }
    names
}

/// The packages from npm that the tools' pins name: those whose programs are looked for in one.
fn from_npm(tools: &str) -> BTreeSet<String> {
    let pins = tools.split("package: \"").skip(1);
    let pins = pins.filter_map(|rest| {
        let (name, rest) = rest.split_once('"')?;
        let pin = rest.split("package: \"").next()?;
        // What is built by cargo takes crates.
        pin.contains("crates: 0,").then(|| name.to_owned())
    });
    pins.collect()
}

/// The names in the first column of the table below a heading.
fn told(text: &str, heading: &str) -> BTreeSet<String> {
    let section = text.split(heading).nth(1).unwrap_or_default();
    let section = section.split("\n## ").next().unwrap_or_default();
    let rows = section.lines().filter_map(|line| line.strip_prefix("| `"));
    let cells = rows.filter_map(|row| row.split(" |").next());
    cells
        .flat_map(|cell| cell.split(", "))
        .map(|name| name.trim_matches('`').to_owned())
        .collect()
}

#[test]
fn the_table_of_dependencies_is_whole() {
    let read = |name: &str| read(&root().join(name)).unwrap();
    let mut expected = from_npm(&read("xtask/src/tools.rs"));
    assert!(expected.contains("esbuild"), "{expected:?}");
    assert!(!expected.contains("trunk"), "{expected:?}");
    for manifest in MANIFESTS {
        let names = named(&read(manifest));
        assert!(!names.is_empty(), "{manifest}");
        expected.extend(names);
    }
    // What stands in `vendor/` is told of by its package's name.
    let vendor = files_below(&root().join("vendor")).unwrap();
    let others = vendor.iter().filter(|(name, _)| name != "README.md");
    assert_eq!(others.count(), 1);
    assert!(read("vendor/README.md").contains("[@fluent/bundle]"));
    expected.insert("@fluent/bundle".into());
    let table = told(&read("DEVELOPERS.md"), "\n## Dependencies\n");
    let missing: Vec<&String> = expected.difference(&table).collect();
    let left: Vec<&String> = table.difference(&expected).collect();
    assert!(
        missing.is_empty() && left.is_empty(),
        "DEVELOPERS.md does not tell of {missing:?}, and tells of {left:?}, which nothing names"
    );
}

#[test]
fn every_way_to_name_a_dependency_is_read() {
    let manifest = "[package]\nname = \"a\"\n[dependencies]\nb = \"1\"\nc = { version = \"1\", features = [\n  \"x\",\n] }\n\
                    d.workspace = true\nours = { path = \"..\" }\n[target.'cfg(unix)'.dev-dependencies]\n# e = 1\nf = \"1\"\n[features]\ng = []\n\
                    [dependencies.h]\nversion = \"1\"\n[build-dependencies]\ni = \"1\"\n";
    let names: Vec<String> = named(manifest).into_iter().collect();
    assert_eq!(names, ["b", "c", "d", "f", "h", "i"]);
}

#[test]
fn a_cell_of_the_table_may_name_several() {
    let text = "\n## A\n\n| name |\n| --- |\n| `a` | b |\n| `c`, `d-e` | f |\n\n## B\n| `g` |\n";
    let names: Vec<String> = told(text, "\n## A\n").into_iter().collect();
    assert_eq!(names, ["a", "c", "d-e"]);
}
