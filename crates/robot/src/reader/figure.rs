//! Reading one quantity.

use quantity::{Dimension, Parsed, parse};

use super::section::Section;
use super::tree::{Document, Node, Value};
use super::words::with_article;

/// A length in m, if `node` is one; else it is noted.
pub(crate) fn length(node: &Node, document: &Document) -> Option<f64> {
    read_figure::<quantity::Length>(node, document).map(|p| p.si)
}

/// A list of quantities; slips that can be mended are told once, with the whole line as it should
/// stand.
pub(super) fn read_figures<D: Dimension>(
    node: &Node,
    items: &[Node],
    document: &Document,
) -> Option<Vec<Parsed>> {
    let mut slip = None;
    let mut mended = Vec::with_capacity(items.len());
    for item in items {
        let written = document.written(&item.span).to_owned();
        mended.push(match &item.value {
            Value::Text(t) | Value::Number(t) => match parse::<D>(t) {
                Ok(_) => Some(written),
                Err(e) => {
                    let right = e.instead.as_ref().map(|i| format!("\"{i}\""));
                    slip.get_or_insert((item, e));
                    right
                }
            },
            _ => None,
        });
    }
    if let (Some((item, e)), Some(all)) = (slip, mended.into_iter().collect::<Option<Vec<_>>>()) {
        let right = document.corrected(&node.span, &format!("[{}]", all.join(", ")));
        document.log(&item.span, e.what, e.expected, Some(right));
        return None;
    }
    let read: Vec<_> = items
        .iter()
        .map(|i| read_figure::<D>(i, document))
        .collect();
    read.into_iter().collect()
}

/// A quantity written as a text, a bare number (for shares and money) or a table with spreads.
pub(super) fn read_figure<D: Dimension>(node: &Node, document: &Document) -> Option<Parsed> {
    let parsed = |text: &str, span: &core::ops::Range<usize>| match parse::<D>(text) {
        Ok(p) => Some(p),
        Err(e) => {
            document.log(
                span,
                e.what,
                e.expected,
                e.instead
                    .map(|i| document.corrected(span, &format!("\"{i}\""))),
            );
            None
        }
    };
    match &node.value {
        Value::Text(t) | Value::Number(t) => parsed(t, &node.span),
        Value::Table(_) => {
            let section = Section::new(document, node, String::new());
            let value = section
                .own("value")
                .and_then(|n| read_figure::<D>(n, document));
            let spread = |key: &str| match section.own(key) {
                None => Some(0.0),
                Some(n) => read_figure::<D>(n, document).map(|p| p.si.abs()),
            };
            let (unsure, varies) = (spread("unsure")?, spread("varies")?);
            if value.is_none() && section.own("value").is_none() {
                let expected = "{ value = \"43 mm\", unsure = \"1 mm\", varies = \"0.5 mm\" }";
                document.log(&node.span, "\"value\" is missing", expected, None);
            }
            section.finish();
            value.map(|v| Parsed {
                si: v.si,
                unsure: v.unsure + unsure,
                varies: v.varies + varies,
            })
        }
        Value::Flag(_) | Value::List(_) | Value::Date(_) => {
            let name = with_article(D::NAME);
            let what = format!("{} where {name} belongs", node.value.kind());
            let expected = format!("{name} such as \"43 {}\"", D::UNITS[0].symbol);
            document.log(&node.span, what, expected, None);
            None
        }
    }
}
