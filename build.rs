//! Says in which language the crate is built.

use std::env;

fn main() {
    println!("cargo::rerun-if-changed=locales");
    if env::var_os("CARGO_FEATURE_ES").is_some() {
        println!("cargo::rustc-env=DECAL_RECKONER_LANGUAGE=es");
    }
}
