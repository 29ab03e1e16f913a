//! What a transport document says: finished texts, for the pages and for the template.

use serde::Serialize;

use crate::papers::stamp::Across;
use crate::papers::words::Words;
use crate::papers::{PaperError, template};

const TEMPLATE: &str = include_str!("../../../templates/papers/transport.html");

/// The document of one leg.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct TransportDocument {
    pub(crate) w: Words,
    /// Size of the page for a style sheet.
    pub(crate) size: &'static str,
    /// Whether people sign it: nobody signs what is void.
    pub(crate) is_signed: bool,
    pub(crate) job: String,
    pub(crate) leg: String,
    pub(crate) across: Option<Across>,
    pub(crate) rules: String,
    pub(crate) day: String,
    pub(crate) from: String,
    pub(crate) to: String,
    pub(crate) consignor: Named,
    pub(crate) consignee: Named,
    pub(crate) carrier: Named,
    pub(crate) emergency: String,
    pub(crate) entries: Vec<Entry>,
    pub(crate) totals: String,
    pub(crate) small_load: Vec<String>,
    pub(crate) each: Vec<PackageRow>,
    pub(crate) declarations: Vec<Declaration>,
    pub(crate) travels_with: Vec<String>,
    pub(crate) foot: String,
}

/// A duty holder.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct Named {
    pub(crate) name: String,
    pub(crate) address: String,
}

/// One description, with everything it is carried in.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct Entry {
    /// Number, name, class and what belongs to them, in legal order.
    pub(crate) line: String,
    pub(crate) statements: Vec<String>,
    /// `4 plywood boxes (4D)`.
    pub(crate) packages: Vec<String>,
    pub(crate) batteries: usize,
    pub(crate) net: String,
    pub(crate) gross: String,
}

/// One package.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct PackageRow {
    pub(crate) id: String,
    pub(crate) kind: String,
    pub(crate) serials: String,
    pub(crate) net: String,
    pub(crate) gross: String,
    pub(crate) marks: String,
}

/// Words that the law gives, to be signed.
#[derive(Debug, Clone, Copy, Serialize)]
pub(crate) struct Declaration {
    pub(crate) text: &'static str,
    pub(crate) clause: &'static str,
}

/// The document as a page in a browser; `own` is the user's own template.
pub(crate) fn html(document: &TransportDocument, own: Option<&str>) -> Result<String, PaperError> {
    template::html(
        "transport document",
        "transport.html",
        own.unwrap_or(TEMPLATE),
        document,
    )
}
