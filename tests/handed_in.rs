//! What others hand in, kept since a reader once stumbled over it or might: `tests/data/fuzz/READER/`, where the name
//! of a file begins with what must become of it and says what is odd about it. `tests/readers/` says what must hold for
//! all of it; `cargo xtask fuzz` changes these texts further.

mod readers;

use readers::{READERS, read};
use std::fs;
use std::path::Path;

#[test]
fn what_is_kept_is_taken_or_refused_as_it_should_be() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/fuzz");
    let folders = fs::read_dir(&folder).unwrap().count();
    assert_eq!(folders, READERS.len());
    for reader in READERS {
        let mut files = 0;
        for file in fs::read_dir(folder.join(reader)).unwrap() {
            let path = file.unwrap().path();
            let name = path.file_name().unwrap().to_str().unwrap();
            let taken = name.starts_with("taken-");
            assert!(taken || name.starts_with("refused-"), "{name}");
            let bytes = fs::read(&path).unwrap();
            let text = String::from_utf8_lossy(&bytes);
            println!("{reader}: {name}");
            let told = read(reader, 0, &text).unwrap();
            assert_eq!(told.taken, taken, "{reader}: {name}: {}", told.words);
            files += 1;
        }
        assert!(files > 5, "{reader}");
    }
    assert!(read("sign", 0, "").is_none());
}
