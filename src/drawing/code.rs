//! A text as a code that cameras read: the QR code of ISO/IEC 18004.

use super::Element;
use crate::error::{Code, InputError};
use qrcodegen::{QrCode, QrCodeEcc};
use say::say;
use std::fmt::Write as _;

/// Modules that stay empty around a code: four of them, ISO/IEC 18004, section on the quiet zone (from memory).
const QUIET: i32 = 4;

/// The code of a text, black on white whatever the colours of the page, one unit a module. It corrects 15 % of what is
/// damaged, level M, as prints for a table want it.
///
/// # Errors
/// [`Code::TooLarge`] for more than a code holds, 2,331 bytes.
pub fn code(text: &str, label: &str) -> Result<Element, InputError> {
    let code = QrCode::encode_text(text, QrCodeEcc::Medium).map_err(|_| {
        let message = say!("this is too long for a code");
        InputError::new(Code::TooLarge, message, say!("write fewer words"))
    })?;
    let size = code.size();
    let whole = (size + 2 * QUIET).to_string();
    let path = path_of(&code);
    let sized = |element: Element| {
        element
            .with("width", whole.as_str())
            .with("height", whole.as_str())
    };
    Ok(Element::new("svg")
        .with("viewBox", format!("0 0 {whole} {whole}"))
        .with("role", "img")
        .with("aria-label", label)
        .with("shape-rendering", "crispEdges")
        .child(sized(Element::new("rect")).with("fill", "#fff"))
        .child(Element::new("path").with("d", path).with("fill", "#000")))
}

/// The dark modules, those side by side as one bar.
fn path_of(code: &QrCode) -> String {
    let mut path = String::new();
    for y in 0..code.size() {
        let mut x = 0;
        while x < code.size() {
            let from = x;
            while x < code.size() && code.get_module(x, y) {
                x += 1;
            }
            if x > from {
                let (left, top, wide) = (from + QUIET, y + QUIET, x - from);
                // Writing into a String cannot fail.
                let _ = write!(path, "M{left} {top}h{wide}v1h-{wide}z");
            }
            x += 1;
        }
    }
    path
}
