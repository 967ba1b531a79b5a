//! Order lists against RFC 4180, a second reader of such lists, and laws.

use decal_reckoner::decal::SIDE;
use decal_reckoner::material::list::{
    ListLine, MOST_BYTES, MOST_LINES, MOST_PIECES, OrderList, read, write_line,
};
use decal_reckoner::measure::{Count, Length, LengthInput, Unit};
use proptest::prelude::*;

/// The lines of a list without any mistake.
fn good(text: &str) -> Vec<ListLine> {
    let list = read(text, Unit::In);
    assert_eq!(list.bad, [], "{text:?}");
    list.lines
}

/// Line and column of each mistake.
fn places(list: &OrderList) -> Vec<(u32, &str)> {
    let bad = list.bad.iter();
    bad.map(|bad| (bad.line, bad.column.as_str())).collect()
}

/// Name and film of each line.
fn texts(lines: &[ListLine]) -> Vec<(&str, &str)> {
    let lines = lines.iter();
    lines
        .map(|line| (line.name.as_str(), line.film.as_str()))
        .collect()
}

fn inches(numerator: i64, denominator: i64) -> Length {
    Length::inches(numerator, denominator)
}

/// RFC 4180, section 2, rules 1 to 7, with the names and films of lines in place of `aaa`, `bbb` and
/// sizes in place of `ccc`, since a list of sizes holds no other record. `CRLF` is a line break.
#[test]
fn the_standards_own_examples_are_divided_as_it_says() {
    let head = "film,name,width,height\n";
    for (record, film, name) in [
        // 1. "Each record is located on a separate line, delimited by a line break (CRLF)."
        ("aaa,bbb,9,3\r\n", "aaa", "bbb"),
        // 2. "The last record in the file may or may not have an ending line break."
        ("aaa,bbb,9,3", "aaa", "bbb"),
        // 5. "Each field may or may not be enclosed in double quotes."
        ("\"aaa\",\"bbb\",\"9\",\"3\"\r\n", "aaa", "bbb"),
        // 6. "Fields containing line breaks (CRLF), double quotes, and commas should be enclosed in
        //    double-quotes."
        ("\"aaa\",\"b\r\nbb\",\"9\",3\r\n", "aaa", "b\r\nbb"),
        ("\"aaa\",\"b,bb\",9,3", "aaa", "b,bb"),
        // 7. "If double-quotes are used to enclose fields, then a double-quote appearing inside a
        //    field must be escaped by preceding it with another double quote."
        ("\"aaa\",\"b\"\"bb\",\"9\",\"3\"", "aaa", "b\"bb"),
    ] {
        // 3. "There maybe an optional header line appearing as the first line of the file with the
        //    same format as normal record lines."
        let lines = good(&format!("{head}{record}"));
        assert_eq!(texts(&lines), [(name, film)], "{record:?}");
        // 4. "Within the header and each record, there may be one or more fields, separated by
        //    commas": two records in a row.
        let lines = good(&format!("{head}\"x\",y,1,1\r\n{record}"));
        assert_eq!(texts(&lines), [("y", "x"), (name, film)], "{record:?}");
    }
}

#[test]
fn columns_stand_in_any_order_and_under_any_of_their_names() {
    let expected = ListLine {
        line: 2,
        name: "Loon".to_owned(),
        width: inches(21, 4),
        height: Length::whole(133, Unit::Mm),
        quantity: 12,
        turn: false,
        film: "white".to_owned(),
    };
    for text in [
        "name,width,height,quantity,film,turn\nLoon,5 1/4,133 mm,12,white,no\n",
        "TURN, Film ,Qty,HIGH,wide,Decal\nN, white ,12, 133 mm,5.25 in, Loon \n",
        "Count;Rotate;Vinyl;Lettering;Height;Width\n12;0;white;Loon;13,3 cm;5,25\n",
        "number\tcolour\tname\twidth\theight\tturn\r\n12\twhite\tLoon\t5-1/4\"\t133mm\tFALSE\r\n",
        "\u{feff}pieces,color,name,width,height,rotate\n12,white,Loon,\"5,25\",133 mm,no",
        "turn,name,width,height,film,quantity,\nno,Loon,5.25,133 mm,white,12,,,\n",
        "\nLoon;5,25;133 mm;12;white;no",
        "\nLoon\t5,25\t133 mm\t12\twhite\tno",
        "\n\"Loon\",\"5,25\",133 mm,12,white,no",
    ] {
        assert_eq!(good(text), std::slice::from_ref(&expected), "{text:?}");
    }
}

#[test]
fn a_comma_is_a_decimal_sign_where_it_divides_nothing_else() {
    for text in [
        "Loon;9,5;3,25\n",
        "name;width;height\nLoon;9,5;3,25\n",
        "Loon\t9,5\t3,25\n",
        "name,width,height\nLoon,\"9,5\",\"3,25\"\n",
        "Loon,\"9,5\",\"3,25\"\n",
    ] {
        let lines = good(text);
        assert_eq!(
            (lines[0].width, lines[0].height),
            (inches(19, 2), inches(13, 4))
        );
    }
    // Without quotes there is one cell too many, which is told and not guessed at.
    let list = read("name,width,height\nLoon,9,5,3\nTern,9,3\n", Unit::In);
    assert_eq!(places(&list), [(2, "")]);
    assert!(list.bad[0].hint.contains("quotes"), "{:?}", list.bad);
    assert_eq!(texts(&list.lines), [("Tern", "")]);
}

#[test]
fn a_separator_inside_a_name_is_not_taken_for_one() {
    assert_eq!(texts(&good("Port; bow,9,3\nTern,9,3\n"))[0].0, "Port; bow");
    assert_eq!(texts(&good("\"a;b;c\",9,3\n"))[0].0, "a;b;c");
}

#[test]
fn lines_are_typed_without_a_heading() {
    let lines = good("Loon, 9, 3\nTern, 5 1/4, 133 mm, 4\nHeron, 9, 3, 2, red, n\n");
    let quantities: Vec<u32> = lines.iter().map(|line| line.quantity).collect();
    assert_eq!(quantities, [1, 4, 2]);
    assert_eq!(lines[2].film, "red");
    assert_eq!([0, 1, 2].map(|i| lines[i].turn), [true, true, false]);
    // A decal may be called like a column.
    let lines = good("Number,4,4,20\nCount,4,4,20\n");
    assert_eq!(texts(&lines), [("Number", ""), ("Count", "")]);
    let list = read("Loon,9,3,4,red,no,more\n", Unit::In);
    assert_eq!(places(&list), [(1, "")]);
}

#[test]
fn a_quantity_is_one_only_where_no_column_asks_for_it() {
    assert_eq!(good("width,height\n9,3\n")[0].quantity, 1);
    let list = read(
        "name,width,height,qty\nLoon,9,3,\nTern,9,3\nHeron,9,3,5\n",
        Unit::In,
    );
    assert_eq!(places(&list), [(2, "qty"), (3, "qty")]);
    assert_eq!(texts(&list.lines), [("Heron", "")]);
    // A cell that is there and empty has been forgotten.
    assert_eq!(
        places(&read("Loon,9,3,,red\n", Unit::In)),
        [(1, "quantity")]
    );
}

#[test]
fn a_piece_may_be_turned_unless_the_line_says_no() {
    for (word, turn) in [
        ("yes", true),
        ("Y", true),
        ("true", true),
        ("1", true),
        ("", true),
        ("no", false),
        ("N", false),
        ("FALSE", false),
        (" 0 ", false),
    ] {
        let lines = good(&format!("width,height,turn\n9,3,{word}\n"));
        assert_eq!(lines[0].turn, turn, "{word}");
    }
    let list = read("width,height,turn\n9,3,maybe\n", Unit::In);
    assert_eq!(places(&list), [(2, "turn")]);
}

/// One mistake of each kind, with the physical line on which its record starts.
#[test]
fn every_mistake_is_told_at_its_line_and_the_good_lines_are_kept() {
    let text = "\u{feff}Name,Width,Height,Qty,Turn\r\n\
        Loon,9,3,1,yes\r\n\
        \r\n\
        \"two\nlines\",nine,3,1,yes\r\n\
        Tern,9,,x,yes\r\n\
        ,,,,\r\n\
        Grebe,9 parsecs,3,2.5,perhaps\n\
        \n\
        Coot,9,3,0,no\n\
        Swan,51 m,3,1,no\n\
        Duck,\"0,5 mm\",3,10001,no\n\
        Gull,\"1,125\",3,1,no\n\
        Rail,9,3,1,no,9,,,\n\
        Heron,9,3,2,no\n";
    let list = read(text, Unit::In);
    assert_eq!(texts(&list.lines), [("Loon", ""), ("Heron", "")]);
    // The record of line 4 goes on in line 5.
    assert_eq!(list.lines[1].line, 15);
    let expected = [
        (4, "Width"),
        (6, "Height"),
        (6, "Qty"),
        (8, "Width"),
        (8, "Qty"),
        (8, "Turn"),
        (10, "Qty"),
        (11, "Width"),
        (12, "Width"),
        (12, "Qty"),
        (13, "Width"),
        (14, ""),
    ];
    assert_eq!(places(&list), expected);
    for bad in &list.bad {
        assert!(!bad.message.is_empty() && !bad.hint.is_empty(), "{bad:?}");
    }
    assert_eq!(list.bad[0].text, "\"two lines\",nine,3,1,yes");
}

#[test]
fn a_heading_is_held_to_its_names() {
    let list = read("name,wdith,height\nLoon,9,3\n", Unit::In);
    assert_eq!(places(&list), [(1, "width"), (1, "wdith")]);
    assert_eq!(list.lines, []);
    // Columns that are not known are told, and the others read.
    let list = read(
        "name,width,height,town,qty,count\nLoon,9,3,x,4,5\n",
        Unit::In,
    );
    assert_eq!(places(&list), [(1, "town"), (1, "count")]);
    assert_eq!(list.lines[0].quantity, 4);
}

#[test]
fn a_quote_that_is_not_closed_costs_its_own_line_only() {
    let list = read("Loon,9,3\n\"Tern,9,3\nHeron,9,3\n", Unit::In);
    assert_eq!(places(&list), [(2, "")]);
    assert_eq!(list.bad[0].text, "\"Tern,9,3");
    assert_eq!(texts(&list.lines), [("Loon", ""), ("Heron", "")]);
    // Where a later quote closes it, the line that was meant to end is named, and that other one.
    let list = read("Loon,9,3\n\"Tern,9,3\nHeron,9,3\nCoot\",9\n", Unit::In);
    assert_eq!(places(&list), [(2, "height")]);
    assert!(list.bad[0].hint.contains("line 4"), "{:?}", list.bad);
}

#[test]
fn what_is_too_much_is_told_and_not_cut_off() {
    let line = "Loon,9,3,1\n";
    let lines = |count: usize| line.repeat(count);
    assert_eq!(good(&lines(MOST_LINES)).len(), MOST_LINES);
    let list = read(&lines(MOST_LINES + 7), Unit::In);
    assert_eq!(list.lines.len(), MOST_LINES);
    assert_eq!(places(&list), [(1001, "")]);
    assert!(list.bad[0].message.contains('7'), "{:?}", list.bad);

    let list = read("Loon,9,3,9999\nTern,9,3,2\nHeron,9,3,1\n", Unit::In);
    assert_eq!(texts(&list.lines), [("Loon", ""), ("Heron", "")]);
    assert_eq!(
        list.lines.iter().map(|l| l.quantity).sum::<u32>(),
        MOST_PIECES
    );
    assert_eq!(places(&list), [(2, "")]);

    // As many mistakes as lines: a thousand are shown, and how many more there are.
    let list = read(&"Loon,x,3\n".repeat(3_000), Unit::In);
    assert_eq!(list.bad.len(), 1_001);
    assert_eq!(list.bad[1_000].line, 1_001);
    assert!(
        list.bad[1_000].message.contains("2000"),
        "{:?}",
        list.bad[1_000]
    );

    let long = "x".repeat(MOST_BYTES);
    assert_eq!(
        places(&read(&long, Unit::In)),
        [(1, "width"), (1, "height")]
    );
    let list = read(&(long + "x"), Unit::In);
    assert_eq!((list.lines.len(), places(&list)), (0, vec![(0, "")]));
}

#[test]
fn nothing_is_a_list_without_lines() {
    for text in [
        "",
        "\n",
        "\u{feff}",
        "\r\n\r\n",
        " , ,\n;;\n",
        "name,width,height\n",
    ] {
        assert_eq!(read(text, Unit::In), OrderList::default(), "{text:?}");
    }
}

#[test]
fn a_line_is_written_for_the_list_that_it_is_added_to() {
    let line = ListLine {
        line: 1,
        name: "Loon, big".to_owned(),
        width: inches(21, 4),
        height: inches(3, 1),
        quantity: 4,
        turn: true,
        film: String::new(),
    };
    let written = |list: &str| write_line(&line, list, Unit::In);
    for list in [
        "",
        "Tern,9,3\n",
        "Tern;9,5;3\n",
        "quantity\tname\twidth\theight\n",
        "Height;Town;Count;Decal;Width;Film\n3;x;1;Tern;9;red\n",
    ] {
        let text = format!("{list}{}", written(list).unwrap());
        let read = read(&text, Unit::Mm).lines.pop().unwrap();
        let line = ListLine {
            line: read.line,
            ..line.clone()
        };
        assert_eq!(read, line, "{text:?}");
    }
    // What says nothing is left out where no column asks for it.
    assert_eq!(written("").unwrap(), "\"Loon, big\",5 1/4 in,3 in,4");
    // A list that cannot say how many would ask for one.
    assert_eq!(written("name,width,height\n"), None);
    assert_eq!(written("width,height,count\n"), None);
}

/// A second reader and writer of such texts divides every list in the same way.
#[derive(Clone, Debug)]
struct Written {
    text: String,
    cells: Vec<(String, String)>,
}

fn written() -> impl Strategy<Value = Written> {
    let cell = prop_oneof!["[a ,;\t\"\r\n']{0,8}", any::<String>()];
    let cells = prop::collection::vec((cell.clone(), cell), 1..8);
    let style = prop_oneof![
        Just(csv::QuoteStyle::Always),
        Just(csv::QuoteStyle::Necessary)
    ];
    let separator = prop_oneof![Just(b','), Just(b';'), Just(b'\t')];
    let end = prop_oneof![
        Just(csv::Terminator::CRLF),
        Just(csv::Terminator::Any(b'\n'))
    ];
    (cells, style, separator, end).prop_map(|(cells, style, separator, end)| {
        let mut writer = csv::WriterBuilder::new()
            .quote_style(style)
            .delimiter(separator)
            .terminator(end)
            .from_writer(Vec::new());
        writer
            .write_record(["film", "width", "name", "height"])
            .unwrap();
        for (name, film) in &cells {
            writer.write_record([film, "9", name, "3"]).unwrap();
        }
        Written {
            text: String::from_utf8(writer.into_inner().unwrap()).unwrap(),
            cells,
        }
    })
}

fn line() -> impl Strategy<Value = ListLine> {
    let text = || prop_oneof!["[a ,;\t\"\r\n]{0,8}", any::<String>()];
    let side = || 1_000_000..=50_000_000_000_i64;
    let trimmed = |text: String| text.trim().to_owned();
    (
        text(),
        side(),
        side(),
        1..=10_000_u32,
        any::<bool>(),
        text(),
    )
        .prop_map(
            move |(name, width, height, quantity, turn, film)| ListLine {
                line: 1,
                name: trimmed(name),
                width: Length::from_nm(width),
                height: Length::from_nm(height),
                quantity,
                turn,
                film: trimmed(film),
            },
        )
}

fn unit() -> impl Strategy<Value = Unit> {
    prop::sample::select(vec![
        Unit::In,
        Unit::Ft,
        Unit::Yd,
        Unit::Mm,
        Unit::Cm,
        Unit::M,
    ])
}

proptest! {
    #[test]
    fn another_writer_s_lists_are_read(written in written()) {
        let list = read(&written.text, Unit::In);
        prop_assert_eq!(&list.bad, &[]);
        let expected: Vec<_> = written.cells.iter().map(|(n, f)| (n.trim(), f.trim())).collect();
        prop_assert_eq!(texts(&list.lines), expected);
    }

    /// Of any text behind a heading, the records which the other reader finds complete are read, and
    /// no others.
    #[test]
    fn another_reader_divides_in_the_same_way(tail in "([a93,\"\r\n]|9,3){0,40}") {
        let text = format!("name,width,height\n{tail}\n");
        // The other reader takes what an open quote swallows for a record.
        prop_assume!(!read(&text, Unit::In).bad.iter().any(|bad| bad.message.contains("not closed")));
        let mut other = csv::ReaderBuilder::new().flexible(true).from_reader(text.as_bytes());
        let side = |text: &str| LengthInput::from(text).read(Unit::In, SIDE).ok();
        let mut expected = Vec::new();
        for record in other.records() {
            let record = record.unwrap();
            let cell = |i: usize| record.get(i).unwrap_or("").trim();
            let more = (3..record.len()).any(|i| !cell(i).is_empty());
            if let (Some(width), Some(height), false) = (side(cell(1)), side(cell(2)), more) {
                expected.push((cell(0).to_owned(), width, height));
            }
        }
        let lines = read(&text, Unit::In).lines;
        let found: Vec<_> = lines.iter().map(|l| (l.name.clone(), l.width, l.height)).collect();
        prop_assert_eq!(found, expected);
    }

    #[test]
    fn a_line_that_is_written_is_read_back(line in line(), unit in unit(), other in unit()) {
        let text = write_line(&line, "", unit).unwrap();
        prop_assert_eq!(good(&text), std::slice::from_ref(&line), "{}", text);
        let below = format!("Tern;9;3;1\n{}", write_line(&line, "Tern;9;3;1", unit).unwrap());
        let list = read(&below, other);
        // Together they may be more pieces than an order holds.
        let expected = ListLine { line: 2, ..line };
        if expected.quantity < Count::MAX {
            prop_assert_eq!(&list.lines[1], &expected, "{}", below);
        } else {
            prop_assert_eq!(places(&list), [(2, "")]);
        }
    }

    #[test]
    fn no_text_whatever_stops_the_reader(text in any::<String>(), unit in unit()) {
        kept(&text, &read(&text, unit));
    }

    #[test]
    fn no_bytes_whatever_stop_the_reader(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
        let text = String::from_utf8_lossy(&bytes);
        kept(&text, &read(&text, Unit::In));
    }

    #[test]
    fn no_heap_of_signs_stops_the_reader(text in "[\u{feff}\"\r\n,;\t9a ]{0,60}") {
        kept(&text, &read(&text, Unit::In));
        kept(&text, &read(&format!("name,width,height\n{text}"), Unit::In));
    }
}

/// What is true of every list.
fn kept(text: &str, list: &OrderList) {
    assert!(list.lines.len() <= MOST_LINES, "{text:?}");
    let numbers: Vec<u32> = list.lines.iter().map(|line| line.line).collect();
    assert!(numbers.is_sorted_by(|a, b| a < b), "{text:?}");
    for bad in &list.bad {
        assert!(bad.text.chars().count() <= 60, "{text:?}");
        assert!(!numbers.contains(&bad.line) || bad.line == 1, "{text:?}");
    }
}

/// Each of these lines closes the quote of the one before it and opens one: read from anywhere, it is never closed.
#[test]
fn quotes_that_are_opened_in_every_line_hide_no_line() {
    let text = format!("name,width,height\n{}Loon,9,3\n", "x\",\"\n".repeat(60));
    let list = read(&text, Unit::In);
    let bad: Vec<u32> = list.bad.iter().map(|bad| bad.line).collect();
    let told: Vec<u32> = list.lines.iter().map(|line| line.line).collect();
    assert_eq!(bad, (2..=61).collect::<Vec<_>>());
    assert_eq!(told, [62]);
}
