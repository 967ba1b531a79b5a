//! Writing the JavaScript module, ready for npm, into `target/pkg/`.

use crate::Result;
use crate::finish::{compiled, shrink_all};
use crate::run::{cargo, output, read, root, run, target, write};
use crate::shop;
use crate::tools::{Tool, ready};
use std::fs;
use std::path::PathBuf;
use std::process::Command;

/// The variable by which whoever drives the package learns where it is.
pub const PACKAGE_VARIABLE: &str = "DECAL_RECKONER_PACKAGE";

/// The name of the files that wasm-bindgen writes.
const NAME: &str = "decal_reckoner";

/// Starts the core as the module is loaded, so that its functions can be called at once.
const START: &str = "\
import init from \"./decal_reckoner.js\";

const address = new URL(\"./decal_reckoner_bg.wasm\", import.meta.url);
// Node does not fetch files: it reads them.
const source = address.protocol === \"file:\" ? (await import(\"node:fs/promises\")).readFile(address) : address;
await init({ module_or_path: await source });

";

/// What a page of somebody else's embeds, beside the customers' page itself, and where it is copied from.
const TO_EMBED: [(&str, &str); 5] = [
    ("decal-quote.js", "public/decal-quote.js"),
    ("decal-quote.d.ts", "src/shop/decal-quote.d.ts"),
    ("example.html", "src/shop/example.html"),
    ("rate-card.schema.json", "schemas/rate-card.schema.json"),
    ("messages.schema.json", "schemas/messages.schema.json"),
];

/// The folder of the package.
pub fn folder() -> PathBuf {
    target().join("pkg")
}

/// Builds the core without the page and writes the package.
///
/// # Errors
/// When the set-up or the build fails.
pub fn package() -> Result<()> {
    let tools = ready(&[Tool::WasmBindgen, Tool::WasmOpt, Tool::Esbuild])?;
    let folder = folder();
    if folder.exists() {
        fs::remove_dir_all(&folder)
            .map_err(|error| format!("{} could not be emptied: {error}.", folder.display()))?;
    }
    let wasm = compiled("exports", None, true)?;
    let mut bindgen = Command::new("wasm-bindgen");
    bindgen
        .env("PATH", &tools.path)
        .args(["--target", "web", "--out-name", NAME, "--out-dir"])
        .arg(&folder)
        .arg(wasm);
    run(&mut bindgen)?;
    shrink_all(&folder)?;
    let names = Names::of(&read(&folder.join(format!("{NAME}.d.ts")))?);
    write(
        &folder.join("index.js"),
        format!("{START}{}", names.values_line()),
    )?;
    write(
        &folder.join("index.d.ts"),
        format!("{}{}", names.values_line(), names.types_line()),
    )?;
    write(
        &folder.join("package.json"),
        manifest(&output(cargo().args(["pkgid"]))?)?,
    )?;
    for file in ["README.md", "LICENSE"] {
        if root().join(file).is_file() {
            write(&folder.join(file), read(&root().join(file))?)?;
        }
    }
    shop::add_shop(&folder, true, Some(&tools.path))?;
    for (file, source) in TO_EMBED {
        write(&folder.join(file), read(&root().join(source))?)?;
    }
    println!("The package is in {}.", folder.display());
    Ok(())
}

/// What a module offers, besides what starts it.
#[derive(Debug, PartialEq, Eq)]
struct Names {
    values: Vec<String>,
    types: Vec<String>,
}

impl Names {
    /// Reads the names from the types that wasm-bindgen writes.
    fn of(types: &str) -> Self {
        let starts_it = |name: &String| {
            matches!(
                name.as_str(),
                "initSync" | "InitInput" | "InitOutput" | "SyncInitInput"
            )
        };
        let named = |kinds: &[&str]| {
            let name = |line: &str| {
                let rest = kinds
                    .iter()
                    .find_map(|kind| line.strip_prefix(&format!("export {kind} ")))?;
                let end = rest
                    .find(|c: char| !(c.is_alphanumeric() || c == '_' || c == '$'))
                    .unwrap_or(rest.len());
                Some(rest[..end].to_owned())
            };
            let mut names: Vec<String> = types
                .lines()
                .filter_map(name)
                .filter(|name| !starts_it(name))
                .collect();
            names.sort();
            names.dedup();
            names
        };
        Self {
            values: named(&["function", "class", "enum", "const"]),
            types: named(&["interface", "type"]),
        }
    }

    fn values_line(&self) -> String {
        format!(
            "export {{ {} }} from \"./{NAME}.js\";\n",
            self.values.join(", ")
        )
    }

    fn types_line(&self) -> String {
        format!(
            "export type {{ {} }} from \"./{NAME}.js\";\n",
            self.types.join(", ")
        )
    }
}

/// The package's own description; `package_id` is cargo's, which ends in `#` and the version, or in `@` and it.
fn manifest(package_id: &str) -> Result<String> {
    let version = package_id
        .trim()
        .rsplit(['#', '@'])
        .next()
        .unwrap_or_default();
    if !version.starts_with(|c: char| c.is_ascii_digit()) {
        return Err(format!(
            "Cargo names the package `{}`, which has no version in it.",
            package_id.trim()
        ));
    }
    Ok(format!(
        r#"{{
  "name": "decal-reckoner",
  "version": "{version}",
  "description": "{}",
  "license": "MIT OR Apache-2.0",
  "type": "module",
  "engines": {{ "node": ">=20" }},
  "exports": {{
    ".": {{ "types": "./index.d.ts", "default": "./index.js" }},
    "./decal-quote.js": {{ "types": "./decal-quote.d.ts", "default": "./decal-quote.js" }},
    "./shop.html": "./shop.html",
    "./example.html": "./example.html",
    "./rate-card.schema.json": "./rate-card.schema.json",
    "./messages.schema.json": "./messages.schema.json",
    "./package.json": "./package.json"
  }},
  "types": "./index.d.ts",
  "files": ["*.js", "*.d.ts", "*.wasm", "*.html", "*.schema.json"],
  "sideEffects": ["./index.js", "./decal-quote.js"]
}}
"#,
        "How far a cut-film decal can be read from, how much film it takes, and what it should cost"
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_functions_and_types_are_offered_and_the_starters_are_not() {
        let types = "export interface Report { width: number }\nexport type Unit = \"in\" | \"mm\";\n\
                     export function quote(input: Input): Report;\nexport class Search {\n  stop(): void;\n}\n\
                     export type InitInput = RequestInfo;\nexport function initSync(m: SyncInitInput): InitOutput;\n\
                     export default function __wbg_init(): Promise<InitOutput>;\n";
        let names = Names::of(types);
        assert_eq!(
            names.values_line(),
            "export { Search, quote } from \"./decal_reckoner.js\";\n"
        );
        assert_eq!(
            names.types_line(),
            "export type { Report, Unit } from \"./decal_reckoner.js\";\n"
        );
    }

    #[test]
    fn the_version_is_cargos() {
        for id in [
            "path+file:///somewhere#0.1.0\n",
            "path+file:///elsewhere#decal-reckoner@0.1.0",
        ] {
            let manifest = manifest(id).expect("the version is there");
            assert!(manifest.contains("\"version\": \"0.1.0\""), "{manifest}");
        }
        assert!(manifest("path+file:///nowhere").is_err());
    }
}
