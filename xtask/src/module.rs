//! Changes to a compiled WebAssembly module that its optimiser does not make: panics become traps, what
//! they would have said of the sources is blank, and functions that are alike come to stand side by side.

use crate::Result;
use std::collections::{BTreeMap, HashMap};
use std::ffi::OsStr;
use std::ops::Range;
use std::path::Path;

/// Functions of the standard library that write down why a program panics, and end it. None of them
/// returns.
///
/// With `panic = "abort"` the module ends in a trap in any case, and the page says so; what is lost is
/// the sentence for the console.
const PANICS: [&str; 19] = [
    BEGINS_A_PANIC,
    "alloc::alloc::handle_alloc_error",
    "alloc::raw_vec::capacity_overflow",
    "alloc::raw_vec::handle_error",
    "core::cell::panic_already_borrowed",
    "core::cell::panic_already_mutably_borrowed",
    "core::option::expect_failed",
    "core::option::unwrap_failed",
    "core::panicking::assert_failed_inner",
    "core::panicking::panic",
    "core::panicking::panic_bounds_check",
    "core::panicking::panic_const::panic_const_div_by_zero",
    "core::panicking::panic_const::panic_const_div_overflow",
    "core::panicking::panic_const::panic_const_rem_by_zero",
    "core::panicking::panic_const::panic_const_rem_overflow",
    "core::result::unwrap_failed",
    "core::slice::copy_from_slice_impl::len_mismatch_fail",
    "core::slice::index::slice_index_fail",
    "core::str::slice_error_fail",
];
/// The one that all the others call: no module is without it.
const BEGINS_A_PANIC: &str = "core::panicking::panic_fmt";
/// A body of no locals and the instruction `unreachable`.
const TRAP: [u8; 3] = [0x00, 0x00, 0x0b];

/// More lines and columns than any source has.
const MOST_LINES: usize = 100_000;
const MOST_COLUMNS: usize = 1_000;
/// The bytes of a word of memory.
const WORD: usize = 4;

/// How many bytes in a row are compared to tell how alike two functions are.
const RUN: usize = 4;

/// What begins every module of this version.
const PREAMBLE: &[u8] = b"\0asm\x01\0\0\0";
/// Kinds of sections.
const CUSTOM: u8 = 0;
const TYPES: u8 = 1;
const IMPORTS: u8 = 2;
const FUNCTIONS: u8 = 3;
const CODE: u8 = 10;
const DATA: u8 = 11;
/// The kind of imports that are functions.
const IMPORTED_FUNCTION: u8 = 0;
/// The part of the names' section that holds those of functions.
const FUNCTION_NAMES: u8 = 1;

/// The module with a trap in place of each function that only panics, and how many those were.
///
/// # Errors
/// When the module is not as compilers write them today, does not name its functions, or has a function
/// by a name of the standard library's that returns something.
pub fn with_traps(module: &[u8]) -> Result<(Vec<u8>, usize)> {
    let parts = Parts::of(module)?;
    let mut traps = 0;
    let mut bodies = Vec::new();
    let mut named = false;
    for (index, body) in (parts.imports.len()..).zip(&parts.bodies) {
        let name = parts.names.get(&index).map_or("", String::as_str);
        if !PANICS.contains(&name) {
            bodies.push(*body);
            continue;
        }
        if parts.returns(index)? {
            return Err(format!(
                "{name} returns something, so it is not the function that panics: see PANICS in xtask/src/module.rs."
            ));
        }
        named |= name == BEGINS_A_PANIC;
        traps += 1;
        bodies.push(&TRAP);
    }
    if !named {
        return Err(format!(
            "The WebAssembly has no function {BEGINS_A_PANIC}, so its panics cannot be found: was the compiler \
             changed? See PANICS in xtask/src/module.rs."
        ));
    }
    let missing = not_found(&parts);
    if !missing.is_empty() {
        println!(
            "Of the functions that only panic, these are not in it by these names: {}.",
            missing.join(", ")
        );
    }
    let mut code = number(bodies.len());
    for body in bodies {
        code.extend(number(body.len()));
        code.extend(body);
    }
    let changed = [
        &module[..parts.code.start],
        &section(CODE, &code),
        &module[parts.code.end..],
    ];
    Ok((changed.concat(), traps))
}

/// Which of the functions that panic are not there. One that is not needed is not there; nor is one that a
/// later compiler calls otherwise, which then is no trap.
fn not_found(parts: &Parts) -> Vec<&'static str> {
    let mut missing = PANICS.to_vec();
    missing.retain(|panic| !parts.names.values().any(|name| name == panic));
    missing
}

/// The module with zeros in place of the files, lines and columns that its panics would have named, and
/// how many those were. A module [with traps](with_traps) has nobody who reads them.
///
/// A place in the sources is four words: where the name of its file stands and how long that is, the
/// line and the column. With the names goes the folder in which the module was compiled.
///
/// A name of a file is blank only where some place has it. What a program itself says by `file!()` stands
/// at the same address where its file has a panic, too, and is blank with it, as is a text
/// that two small numbers follow and that ends like the name of a source: no program here says either.
///
/// # Errors
/// When the module is not as compilers write them today.
pub fn without_places(module: &[u8]) -> Result<(Vec<u8>, usize)> {
    let parts = Parts::of(module)?;
    let mut blank = module.to_vec();
    let mut places = 0;
    for (address, data) in &parts.data {
        let mut at = data.start + address.wrapping_neg() % WORD;
        while let Some(words) = module[..data.end].get(at..at + 4 * WORD) {
            if let Some(file) = parts.file_of_place(module, words) {
                places += 1;
                blank[at..at + 4 * WORD].fill(0);
                blank[file].fill(0);
                at += 3 * WORD;
            }
            at += WORD;
        }
    }
    Ok((blank, places))
}

/// The module with names for its functions, which sorted by name stand beside those that they are most
/// like. Compression finds what was there before by such likeness, and no farther back than 32 KB.
///
/// # Errors
/// When the module is not as compilers write them today.
pub fn named_by_likeness(module: &[u8]) -> Result<Vec<u8>> {
    let parts = Parts::of(module)?;
    let order = by_likeness(&parts.bodies);
    let mut places = vec![0; order.len()];
    for (place, function) in order.into_iter().enumerate() {
        places[function] = place;
    }
    let mut names = number(places.len());
    for (index, place) in (parts.imports.len()..).zip(places) {
        let name = format!("{place:08}");
        names.extend(number(index));
        names.extend(number(name.len()));
        names.extend(name.as_bytes());
    }
    let mut all = number(4);
    all.extend(b"name");
    all.extend(section(FUNCTION_NAMES, &names));
    Ok([module, &section(CUSTOM, &all)].concat())
}

/// The module with short names for what it imports, and the names that were there before, in the same
/// order. A name of wasm-bindgen's ends in a hash, which cannot be compressed.
///
/// # Errors
/// When the module is not as compilers write them today.
pub fn with_short_imports(module: &[u8]) -> Result<(Vec<u8>, Vec<String>)> {
    let parts = Parts::of(module)?;
    let mut list = number(parts.imports.len());
    let mut names = Vec::new();
    for (place, import) in parts.imports.iter().enumerate() {
        for text in [import.from, short(place).as_bytes()] {
            list.extend(number(text.len()));
            list.extend(text);
        }
        list.push(IMPORTED_FUNCTION);
        list.extend(number(import.kind));
        names.push(import.name.to_owned());
    }
    let changed = [
        &module[..parts.import_section.start],
        &section(IMPORTS, &list),
        &module[parts.import_section.end..],
    ];
    Ok((changed.concat(), names))
}

/// The script beside a module whose imports had these names and have [short ones](with_short_imports).
///
/// # Errors
/// When one of the names is not there once, as the name of the function that is imported.
pub fn script_with_short_imports(script: &str, names: &[String]) -> Result<String> {
    let mut places: HashMap<&str, usize> = HashMap::new();
    for (place, name) in names.iter().enumerate() {
        places.insert(name, place);
    }
    let mut renamed = String::new();
    let mut rest = script;
    let of_name = |c: char| c.is_alphanumeric() || c == '_' || c == '$';
    while let Some(start) = rest.find(of_name) {
        let (before, from_name) = rest.split_at(start);
        let end = from_name.find(|c| !of_name(c)).unwrap_or(from_name.len());
        let (name, after) = from_name.split_at(end);
        renamed.push_str(before);
        match places.get(name) {
            Some(place) if after.starts_with(": function(") => {
                renamed.push_str(&short(*place));
                places.remove(name);
            }
            // Where it is there for another time, or as something else, it is missing below.
            _ => renamed.push_str(name),
        }
        rest = after;
    }
    renamed.push_str(rest);
    match names
        .iter()
        .find(|name| places.contains_key(name.as_str()) || renamed.contains(name.as_str()))
    {
        None => Ok(renamed),
        Some(name) => Err(format!(
            "The script does not define {name}, which the WebAssembly imports, once: see xtask/src/module.rs."
        )),
    }
}

/// The short name of the import at a place.
fn short(place: usize) -> String {
    format!("i{place}")
}

/// The longest of these bodies, then always the one that is most like the last.
fn by_likeness(bodies: &[&[u8]]) -> Vec<usize> {
    let runs: Vec<Vec<&[u8]>> = bodies
        .iter()
        .map(|body| {
            let mut runs: Vec<&[u8]> = body.windows(RUN).collect();
            runs.sort_unstable();
            runs.dedup();
            runs
        })
        .collect();
    let mut having: HashMap<&[u8], Vec<usize>> = HashMap::new();
    for (function, runs) in runs.iter().enumerate() {
        for run in runs {
            having.entry(run).or_default().push(function);
        }
    }
    let mut rest: Vec<usize> = (0..bodies.len()).collect();
    let mut order = Vec::new();
    let mut next = (0..bodies.len())
        .rev()
        .max_by_key(|function| bodies[*function].len());
    while let Some(last) = next {
        rest.retain(|function| *function != last);
        order.push(last);
        let mut common = vec![0_usize; bodies.len()];
        for run in &runs[last] {
            for function in &having[run] {
                common[*function] += 1;
            }
        }
        // What both have, of what either has; of equal ones the first.
        let share = |function: &usize| {
            let common = common[*function];
            (
                common,
                runs[last].len() + runs[*function].len() - common + 1,
            )
        };
        next = rest.iter().copied().rev().max_by(|a, b| {
            let ((a, of_a), (b, of_b)) = (share(a), share(b));
            (a * of_b).cmp(&(b * of_a))
        });
    }
    order
}

/// What is looked at of a module.
struct Parts<'a> {
    /// The functions that are imported; they are counted before those that are defined.
    imports: Vec<Import<'a>>,
    /// Where their section stands.
    import_section: Range<usize>,
    /// Whether a function of each type returns something.
    returning: Vec<bool>,
    /// The type of each function that is defined.
    types: Vec<usize>,
    bodies: Vec<&'a [u8]>,
    /// Where the section of the bodies stands.
    code: Range<usize>,
    /// The functions' names without the hashes of their crates.
    names: BTreeMap<usize, String>,
    /// What the memory begins with: the address of each part, and where it stands in the module.
    data: Vec<(usize, Range<usize>)>,
}

impl<'a> Parts<'a> {
    fn of(module: &'a [u8]) -> Result<Self> {
        Self::read(module).ok_or_else(|| {
            "The WebAssembly is of a form that xtask/src/module.rs does not know.".to_owned()
        })
    }

    fn read(module: &'a [u8]) -> Option<Self> {
        let mut parts = Self {
            imports: Vec::new(),
            import_section: 0..0,
            returning: Vec::new(),
            types: Vec::new(),
            bodies: Vec::new(),
            code: 0..0,
            names: BTreeMap::new(),
            data: Vec::new(),
        };
        let mut rest = Bytes(module.strip_prefix(PREAMBLE)?);
        while !rest.0.is_empty() {
            let start = module.len() - rest.0.len();
            let kind = rest.byte()?;
            let mut section = Bytes(rest.sized()?);
            match kind {
                CUSTOM => {
                    if section.sized()? == b"name" {
                        parts.names = section.names()?;
                    }
                    continue;
                }
                TYPES => parts.returning = section.list(Bytes::function_type)?,
                IMPORTS => {
                    parts.imports = section.list(Bytes::imported_function)?;
                    parts.import_section = start..module.len() - rest.0.len();
                }
                FUNCTIONS => parts.types = section.list(Bytes::number)?,
                CODE => {
                    parts.bodies = section.list(Bytes::sized)?;
                    parts.code = start..module.len() - rest.0.len();
                }
                DATA => {
                    parts.data = section.list(|section| {
                        let address = section.address()?;
                        let data = section.sized()?;
                        let after = section.0.len() + rest.0.len();
                        let end = module.len() - after;
                        Some((address, end - data.len()..end))
                    })?;
                }
                _ => continue,
            }
            if !section.0.is_empty() {
                return None;
            }
        }
        (parts.types.len() == parts.bodies.len()).then_some(parts)
    }

    /// Where in the module the name of the file stands, if these four words are a place in the sources.
    fn file_of_place(&self, module: &[u8], words: &[u8]) -> Option<Range<usize>> {
        let mut words = words.chunks_exact(WORD).map(|word| {
            let word = word.try_into().map(u32::from_le_bytes).ok()?;
            usize::try_from(word).ok()
        });
        let mut word = || words.next().flatten();
        let (address, length, line, column) = (word()?, word()?, word()?, word()?);
        if !(1..=MOST_LINES).contains(&line) || !(1..=MOST_COLUMNS).contains(&column) {
            return None;
        }
        let file = self.data.iter().find_map(|(start, data)| {
            let from = data.start.checked_add(address.checked_sub(*start)?)?;
            let to = from.checked_add(length)?;
            (to <= data.end).then_some(from..to)
        })?;
        let name = std::str::from_utf8(&module[file.clone()]).ok()?;
        let is_source =
            Path::new(name).extension() == Some(OsStr::new("rs")) && name.contains(['/', '\\']);
        (is_source && !name.contains(char::is_control)).then_some(file)
    }

    /// Whether a defined function returns something.
    fn returns(&self, index: usize) -> Result<bool> {
        let kind = index.checked_sub(self.imports.len());
        let kind = kind.and_then(|defined| self.types.get(defined));
        kind.and_then(|kind| self.returning.get(*kind))
            .copied()
            .ok_or_else(|| format!("The WebAssembly's function {index} has no type."))
    }
}

/// A function that a module imports.
struct Import<'a> {
    from: &'a [u8],
    name: &'a str,
    /// The function's type.
    kind: usize,
}

/// Bytes of a module that are still to be read.
struct Bytes<'a>(&'a [u8]);

impl<'a> Bytes<'a> {
    fn byte(&mut self) -> Option<u8> {
        let (first, rest) = self.0.split_first()?;
        self.0 = rest;
        Some(*first)
    }

    /// A whole number in LEB128: seven bits a byte, the lowest first; the eighth says that more follow.
    fn number(&mut self) -> Option<usize> {
        let mut number = 0_u32;
        for shift in (0..32).step_by(7) {
            let byte = self.byte()?;
            let bits = u32::from(byte & 0x7f);
            // No bit may be beyond the thirty-second.
            if bits << shift >> shift != bits {
                return None;
            }
            number |= bits << shift;
            if byte < 0x80 {
                return usize::try_from(number).ok();
            }
        }
        None
    }

    /// As many bytes as are said before them.
    fn sized(&mut self) -> Option<&'a [u8]> {
        let length = self.number()?;
        let (sized, rest) = self.0.split_at_checked(length)?;
        self.0 = rest;
        Some(sized)
    }

    /// As many things as are said before them.
    fn list<T>(&mut self, read: impl Fn(&mut Self) -> Option<T>) -> Option<Vec<T>> {
        let length = self.number()?;
        (0..length).map(|_| read(self)).collect()
    }

    /// Whether a function of this type returns something.
    fn function_type(&mut self) -> Option<bool> {
        if self.byte()? != 0x60 {
            return None;
        }
        self.list(Self::byte)?;
        Some(!self.list(Self::byte)?.is_empty())
    }

    /// An import, which must be a function: all that wasm-bindgen imports are.
    fn imported_function(&mut self) -> Option<Import<'a>> {
        let from = self.sized()?;
        let name = std::str::from_utf8(self.sized()?).ok()?;
        (self.byte()? == IMPORTED_FUNCTION).then_some(())?;
        let kind = self.number()?;
        Some(Import { from, name, kind })
    }

    /// Where a part of the data goes in the memory: a constant, as linkers write it.
    fn address(&mut self) -> Option<usize> {
        let head = [self.byte()?, self.byte()?];
        let address = self.number()?;
        // Active in the first memory, `i32.const`, and `end`.
        (head == [0, 0x41] && self.byte()? == 0x0b).then_some(address)
    }

    /// The functions' names.
    fn names(&mut self) -> Option<BTreeMap<usize, String>> {
        let mut names = BTreeMap::new();
        while !self.0.is_empty() {
            let kind = self.byte()?;
            let mut part = Bytes(self.sized()?);
            if kind == FUNCTION_NAMES {
                let listed = part.list(|part| {
                    let index = part.number()?;
                    let name = std::str::from_utf8(part.sized()?).ok()?;
                    Some((index, without_hashes(name)))
                })?;
                names.extend(listed);
            }
        }
        Some(names)
    }
}

/// A name such as `core[c5930c85a12de822]::panicking::panic` without what stands in the brackets.
fn without_hashes(name: &str) -> String {
    let mut parts = name.split('[');
    let first = parts.next().unwrap_or_default().to_owned();
    parts.fold(first, |plain, part| match part.split_once(']') {
        Some((hash, rest)) if hash.len() == 16 && hash.bytes().all(|c| c.is_ascii_hexdigit()) => {
            plain + rest
        }
        _ => plain + "[" + part,
    })
}

/// A whole number in LEB128.
fn number(mut number: usize) -> Vec<u8> {
    let mut bytes = Vec::new();
    loop {
        let low = u8::try_from(number % 0x80).unwrap_or_default();
        number /= 0x80;
        if number == 0 {
            bytes.push(low);
            return bytes;
        }
        bytes.push(low | 0x80);
    }
}

/// A section, or a part of one, with its kind and length before it.
fn section(kind: u8, content: &[u8]) -> Vec<u8> {
    let mut section = vec![kind];
    section.extend(number(content.len()));
    section.extend(content);
    section
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A module with one import and these functions: name, whether it returns a number, body.
    fn module(functions: &[(&str, bool, &[u8])]) -> Vec<u8> {
        let list = |items: Vec<Vec<u8>>| [number(items.len()), items.concat()].concat();
        let sized = |bytes: &[u8]| [number(bytes.len()), bytes.to_vec()].concat();
        let kinds = functions
            .iter()
            .map(|(_, returns, _)| vec![u8::from(*returns)]);
        let bodies = functions.iter().map(|(_, _, body)| sized(body));
        let names = functions
            .iter()
            .zip(1..)
            .map(|((name, _, _), index)| [number(index), sized(name.as_bytes())].concat());
        let names = section(FUNCTION_NAMES, &list(names.collect()));
        [
            PREAMBLE.to_vec(),
            section(
                TYPES,
                &list(vec![vec![0x60, 0, 0], vec![0x60, 1, 0x7f, 1, 0x7f]]),
            ),
            section(
                IMPORTS,
                &list(vec![[sized(b"a"), sized(b"b"), vec![0, 0]].concat()]),
            ),
            section(FUNCTIONS, &list(kinds.collect())),
            section(CODE, &list(bodies.collect())),
            section(CUSTOM, &[sized(b"name"), names].concat()),
        ]
        .concat()
    }

    const PANIC: &str = "core[c5930c85a12de822]::panicking::panic_fmt";

    #[test]
    fn what_panics_traps_and_all_else_stays() {
        let long = [vec![0], vec![1; 200], vec![0x0b]].concat();
        let before = |panic| {
            module(&[
                ("ours::panic_fmt", false, &[0, 1, 0x0b]),
                (PANIC, false, panic),
                ("core[c5930c85a12de822]::option::unwrap", true, &long),
            ])
        };
        let trapped = with_traps(&before(&[0, 1, 1, 1, 1, 0x0b]));
        assert_eq!(trapped, Ok((before(&TRAP), 1)));
    }

    #[test]
    fn functions_that_panic_and_are_not_there_are_told() {
        let ours: [(&str, bool, &[u8]); 3] = [
            (PANIC, false, &TRAP),
            (
                "core[c5930c85a12de822]::option::unwrap_failed",
                false,
                &TRAP,
            ),
            ("ours::cell::panic_already_borrowed", false, &TRAP),
        ];
        let whole = module(&ours);
        let missing = not_found(&Parts::of(&whole).expect("the module is whole"));
        assert_eq!(missing.len(), PANICS.len() - 2);
        assert!(!missing.contains(&BEGINS_A_PANIC));
        assert!(!missing.contains(&"core::option::unwrap_failed"));
        assert!(missing.contains(&"core::cell::panic_already_borrowed"));
    }

    #[test]
    fn a_module_whose_panics_are_not_found_is_refused() {
        for name in [
            "",
            "core::panicking::panic",
            "core[zz]::panicking::panic_fmt",
        ] {
            let error = with_traps(&module(&[(name, false, &[0, 0x0b])])).expect_err(name);
            assert!(error.contains("panic_fmt"), "{error}");
        }
        let error = with_traps(&module(&[(PANIC, true, &[0, 0x0b])])).expect_err("it returns");
        assert!(error.contains("returns"), "{error}");
    }

    #[test]
    fn what_is_no_whole_module_is_refused() {
        let whole = module(&[(PANIC, false, &[0, 0x0b])]);
        assert!(with_traps(&whole).is_ok());
        for end in 0..whole.len() {
            assert!(with_traps(&whole[..end]).is_err(), "{end}");
        }
    }

    #[test]
    fn places_in_the_sources_are_blank_and_what_only_looks_so_stays() {
        let words = |words: [u32; 4]| words.map(u32::to_le_bytes).concat();
        // From address 1000 on: two names, a place of each, and three that are none, by their line, by
        // their column and by where the name would end.
        let held = |names: &[u8; 20], places: [[u32; 4]; 2]| {
            let others = [[1000, 12, 0, 5], [1000, 12, 7, 1000], [1008, 112, 7, 5]];
            let others = others.map(words).concat();
            [&names[..], &places.map(words).concat(), &others].concat()
        };
        let whole = |data: &[u8]| {
            let data = [
                vec![1, 0, 0x41],
                number(1000),
                vec![0x0b],
                number(data.len()),
                data.to_vec(),
            ];
            let functions: [(&str, bool, &[u8]); 1] = [(PANIC, false, &TRAP)];
            [module(&functions), section(DATA, &data.concat())].concat()
        };
        let before = whole(&held(
            b"src/material.rs/text",
            [[1000, 15, 7, 5], [1015, 5, 7, 5]],
        ));
        let after = whole(&held(
            b"\0\0\0\0\0\0\0\0\0\0\0\0\0\0\0/text",
            [[0; 4], [1015, 5, 7, 5]],
        ));
        assert_eq!(without_places(&before), Ok((after, 1)));
    }

    /// The name of a file that a program says itself, by `file!()`, is two words: where it stands and how
    /// long it is. It stays, unless a place in the sources has the same one.
    #[test]
    fn a_file_that_a_program_names_itself_stays() {
        // Where linkers let the data begin: no line has such a number.
        const AT: u32 = 1 << 20;
        let words = |words: &[u32]| words.iter().flat_map(|word| word.to_le_bytes()).collect();
        let blanked = |after: &[u32]| {
            let words: Vec<u8> = words(after);
            let held = [b"src/desk.rs\0", &words[..]].concat();
            let data = [
                vec![1, 0, 0x41],
                number(1 << 20),
                vec![0x0b],
                number(held.len()),
                held,
            ];
            let functions: [(&str, bool, &[u8]); 1] = [(PANIC, false, &TRAP)];
            let whole = [module(&functions), section(DATA, &data.concat())].concat();
            let (blank, places) = without_places(&whole).expect("the module is whole");
            assert_eq!(blank == whole, places == 0);
            places
        };
        // Alone, twice, before a number that is no line, and before another text.
        for alone in [
            &[AT, 11][..],
            &[AT, 11, AT, 11, 0, 0],
            &[AT, 11, 0, 7],
            &[AT, 11, AT + 4, 4, AT, 11],
        ] {
            assert_eq!(blanked(alone), 0, "{alone:?}");
        }
        assert_eq!(blanked(&[AT, 11, 7, 5]), 1);
        // The same name for both is blank for both.
        assert_eq!(blanked(&[AT, 11, 0, 0, AT, 11, 7, 5]), 1);
    }

    #[test]
    fn imports_have_short_names_in_the_module_and_in_its_script() {
        let whole = module(&[(PANIC, false, &TRAP)]);
        let (short, names) = with_short_imports(&whole).expect("the module is whole");
        assert_eq!(names, ["b"]);
        let parts = Parts::of(&short).expect("the module is whole");
        assert_eq!(
            (parts.imports[0].from, parts.imports[0].name),
            (&b"a"[..], "i0")
        );
        assert_eq!(parts.names.len(), 1);

        let names = ["w_b1".to_owned(), "w_b".to_owned()];
        let script = "x = {\n  w_b: function(w) {},\n  w_b1: function() {},\n};";
        let expected = "x = {\n  i1: function(w) {},\n  i0: function() {},\n};";
        assert_eq!(
            script_with_short_imports(script, &names).as_deref(),
            Ok(expected)
        );
        for wrong in [
            "x = { w_b: function() {} }",
            "x = { w_b: function() {}, w_b1: 7 }",
            "x = { w_b: function() {}, w_b1: function() {}, w_b: function() {} }",
        ] {
            assert!(script_with_short_imports(wrong, &names).is_err(), "{wrong}");
        }
    }

    #[test]
    fn functions_stand_beside_those_that_they_are_like() {
        let bodies: [&[u8]; 5] = [
            b"abcdefgh",
            b"012345678901",
            b"abcdefgx",
            b"zz",
            b"0123456789",
        ];
        assert_eq!(by_likeness(&bodies), [1, 4, 0, 2, 3]);
        assert_eq!(by_likeness(&[]), [0; 0]);
    }

    #[test]
    fn names_say_the_order() {
        let functions: [(&str, bool, &[u8]); 2] = [("", false, b"abcd"), ("", false, b"abcdef")];
        let sorted = named_by_likeness(&module(&functions)).expect("the module is whole");
        let names = Parts::of(&sorted).expect("the module is whole").names;
        let expected = [(1, "00000001".to_owned()), (2, "00000000".to_owned())];
        assert_eq!(names, BTreeMap::from(expected));
    }

    /// Examples of the DWARF standard, appendix on LEB128 (from memory), and the largest number of four bytes.
    #[test]
    fn numbers_are_written_seven_bits_a_byte() {
        for (value, bytes) in [
            (0, &[0][..]),
            (2, &[2]),
            (127, &[0x7f]),
            (128, &[0x80, 0x01]),
            (129, &[0x81, 0x01]),
            (12_857, &[0xb9, 0x64]),
            (0xffff_ffff, &[0xff, 0xff, 0xff, 0xff, 0x0f]),
        ] {
            assert_eq!(number(value), bytes);
            assert_eq!(Bytes(bytes).number(), Some(value));
        }
        for beyond in [
            &[0xff, 0xff, 0xff, 0xff, 0x1f][..],
            &[0x80, 0x80, 0x80, 0x80, 0x10],
            &[0x80, 0x80, 0x80, 0x80, 0x80, 0x01],
            &[0x80],
        ] {
            assert_eq!(Bytes(beyond).number(), None, "{beyond:?}");
        }
    }
}
