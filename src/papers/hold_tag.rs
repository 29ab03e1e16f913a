//! The tag on a module in the hold: which, why, when it is read next, who may let it out. One A6
//! page each, and a page for a browser. It says how things stood when it was printed.

use serde::Serialize;

use super::pdf::{self, Drawing, Face, Stock, bold, mm, plain, pt, qr, text_block, width};
use super::{PaperError, template};

const TEMPLATE: &str = include_str!("../../templates/papers/hold-tag.html");
const EDGE: i32 = mm(60);

/// One tag.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct HoldTag {
    /// Which module.
    pub identity: String,
    /// Site.
    pub site: String,
    /// Bay; empty where none has room.
    pub bay: String,
    /// Condition.
    pub soundness: String,
    /// Since when.
    pub since: String,
    /// Why.
    pub reason: String,
    /// Findings, in words.
    pub findings: Vec<String>,
    /// The last reading; empty where none was taken.
    pub last: String,
    /// Readings that are to be taken, the next first.
    pub due: Vec<String>,
    /// Not offered for release before this.
    pub not_before: String,
    /// Who may let it out, by name, on the day of printing.
    pub may_clear: Vec<String>,
    /// When it was printed.
    pub printed: String,
    /// Whether the site is invented.
    pub demo: bool,
}

/// What stands on every tag.
const RULES: [&str; 2] = [
    "A clock alone never releases: readings, a reason and two different people of the site, one of \
     them a compliance officer.",
    "Heat, smoke, hiss or smell: get away, keep others away, call the fire service.",
];

/// The tags as one page for a browser.
///
/// # Errors
/// A template that does not parse or asks for a name the tag does not have.
pub fn hold_tags_html(tags: &[HoldTag]) -> Result<String, PaperError> {
    #[derive(Serialize)]
    struct View<'t> {
        tags: &'t [HoldTag],
        rules: [&'static str; 2],
    }
    let view = View { tags, rules: RULES };
    template::html("hold tag", "hold-tag.html", TEMPLATE, view)
}

/// The tags as a file, one A6 page each.
///
/// # Errors
/// A font that cannot be read: a bug.
pub fn hold_tags_pdf(tags: &[HoldTag]) -> Result<Vec<u8>, PaperError> {
    let pages: Vec<Drawing> = tags.iter().map(page).collect();
    pdf::pdf("Hold tags", &pages)
}

fn page(tag: &HoldTag) -> Drawing {
    let (wide, high) = Stock::A6.size();
    let mut drawing = Drawing::new(wide, high);
    let room = wide - 2 * EDGE;
    drawing.frame(mm(25), mm(25), wide - mm(50), high - mm(50), mm(12));
    let mut y = EDGE + mm(130);
    drawing.text(EDGE, y, pt(520), Face::Bold, "HOLD");
    if let Some(code) = qr(&tag.identity, 500) {
        drawing.place(&code, wide - EDGE - code.width, EDGE);
    }
    y += mm(40);
    // The name at arm's length, smaller where it is long.
    let mut size = pt(240);
    let long = width(&tag.identity, size, Face::Bold);
    if long > room {
        let fitted = i64::from(size) * i64::from(room) / i64::from(long);
        size = i32::try_from(fitted).unwrap_or(size);
    }
    y += mm(70);
    drawing.text(EDGE, y, size, Face::Bold, tag.identity.clone());
    y += mm(35);
    drawing.line((EDGE, y), (wide - EDGE, y), mm(6));
    y += mm(15);
    let none = |text: &str, words: &str| {
        if text.is_empty() {
            words.to_owned()
        } else {
            text.to_owned()
        }
    };
    let rows = [
        ("why", tag.reason.clone()),
        ("condition", tag.soundness.clone()),
        ("seen", none(&tag.findings.join("; "), "nothing listed")),
        ("bay", none(&tag.bay, "NO BAY HAS ROOM: set apart outdoors")),
        ("since", tag.since.clone()),
        ("last read", none(&tag.last, "not yet")),
        ("read next", none(&tag.due.join(", "), "no reading is due")),
        ("not before", tag.not_before.clone()),
        (
            "may clear",
            none(&tag.may_clear.join(", "), "NOBODY IN DATE"),
        ),
    ];
    let indent = mm(210);
    for (title, value) in rows {
        let block = text_block(&[bold(value)], pt(105), room - indent);
        drawing.text(EDGE, y + pt(90), pt(85), Face::Plain, title);
        drawing.place(&block, EDGE + indent, y);
        y += block.height + mm(12);
    }
    let mut foot = RULES.join(" ");
    foot.push_str(&format!(" Printed {}, {}.", tag.printed, tag.site));
    if tag.demo {
        foot.push_str(" INVENTED SITE: for demonstration only.");
    }
    let foot = text_block(&[plain(foot)], pt(75), room);
    drawing.place(&foot, EDGE, (high - mm(40) - foot.height).max(y));
    drawing
}
