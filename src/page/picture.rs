//! Pictures of the core as nodes of the page.

use super::dom::{Fault, Page};
use crate::drawing::{Element, Node};

const SVG: &str = "http://www.w3.org/2000/svg";

/// Builds the nodes of a picture; every text is set as text.
pub(super) fn build(page: &Page, picture: &Element) -> Result<web_sys::Element, Fault> {
    let element = page.document().create_element_ns(Some(SVG), picture.tag)?;
    for (name, value) in &picture.attributes {
        element.set_attribute(name, value)?;
    }
    for child in &picture.children {
        match child {
            Node::Element(child) => {
                element.append_child(&*build(page, child)?)?;
            }
            Node::Text(text) => {
                element.append_child(&page.document().create_text_node(text))?;
            }
        }
    }
    Ok(element)
}
