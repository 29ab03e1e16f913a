//! The tag on a module in the hold: which, why, when it is read next, who may let it out; on the
//! stock at hand, and as a page for a browser. It says how things stood when it was printed.

use serde::Serialize;

use super::pdf::{
    self, Drawing, Face, Stock, bold, each, mm, piece, plain, pt, qr, text_block, tiled, width,
};
use super::words::{HoldWords, Language, Words, fill};
use super::{PaperError, template};

const TEMPLATE: &str = include_str!("../../templates/papers/hold-tag.html");
const EDGE: i32 = mm(60);
/// Behind the name of a compliance officer in [`HoldTag::may_clear`].
pub(crate) const OFFICER: &str = " (officer)";

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

impl HoldTag {
    /// The same in the words of a language; names and free texts stay.
    fn said(&self, w: &Words) -> Self {
        let h = &w.hold;
        let or = |text: String, none: &str| {
            if text.is_empty() {
                none.to_owned()
            } else {
                text
            }
        };
        let finding = |said: &String| w.finding(said.split(' ').next().unwrap_or_default());
        let may = |name: &String| match name.strip_suffix(OFFICER) {
            Some(name) => format!("{name} ({})", h.officer),
            None => name.clone(),
        };
        let all = |words: Vec<String>, between: &str| words.join(between);
        let findings = all(self.findings.iter().map(finding).collect(), "; ");
        let clears = all(self.may_clear.iter().map(may).collect(), ", ");
        Self {
            bay: or(self.bay.clone(), h.no_bay),
            soundness: w.term(&self.soundness),
            reason: w.term(&self.reason),
            findings: vec![or(findings, h.nothing_listed)],
            last: or(self.last.clone(), h.not_yet),
            due: vec![or(self.due.join(", "), h.none_due)],
            may_clear: vec![or(clears, h.nobody)],
            ..self.clone()
        }
    }

    /// What stands beside what, in order.
    fn rows(&self, h: &'static HoldWords) -> [(&'static str, String); 9] {
        [
            (h.why, self.reason.clone()),
            (h.condition, self.soundness.clone()),
            (h.seen, self.findings.concat()),
            (h.bay, self.bay.clone()),
            (h.since, self.since.clone()),
            (h.last_read, self.last.clone()),
            (h.read_next, self.due.concat()),
            (h.not_before, self.not_before.clone()),
            (h.may_clear, self.may_clear.concat()),
        ]
    }

    fn foot(&self, w: &Words) -> String {
        let h = &w.hold;
        let mut foot = fill(h.printed, &[("at", &self.printed), ("site", &self.site)]);
        if self.demo {
            foot.push(' ');
            foot.push_str(h.invented);
        }
        foot.push_str(&w.said_of_other_language());
        foot
    }
}

/// The tags as one page for a browser.
///
/// # Errors
/// A template that does not parse or asks for a name the tag does not have.
pub fn hold_tags_html(
    tags: &[HoldTag],
    language: Language,
    stock: Stock,
) -> Result<String, PaperError> {
    #[derive(Serialize)]
    struct Shown {
        identity: String,
        rows: [(&'static str, String); 9],
        foot: String,
    }
    #[derive(Serialize)]
    struct View {
        language: &'static str,
        size: &'static str,
        h: &'static HoldWords,
        tags: Vec<Shown>,
    }
    let w = language.words();
    let view = View {
        language: w.language,
        size: match each(stock) {
            1 => stock.css(),
            // A browser lays one tag on a page; the PDF has several on a sheet.
            _ => Stock::A6.css(),
        },
        h: &w.hold,
        tags: tags
            .iter()
            .map(|tag| {
                let tag = tag.said(w);
                Shown {
                    identity: tag.identity.clone(),
                    rows: tag.rows(&w.hold),
                    foot: tag.foot(w),
                }
            })
            .collect(),
    };
    template::html("hold tag", "hold-tag.html", TEMPLATE, view)
}

/// The tags as a file: one a sheet, on larger stock as many A6 as it holds.
///
/// # Errors
/// A font that cannot be read: a bug.
pub fn hold_tags_pdf(
    tags: &[HoldTag],
    language: Language,
    stock: Stock,
) -> Result<Vec<u8>, PaperError> {
    let w = language.words();
    let pieces: Vec<Drawing> = tags
        .iter()
        .map(|tag| page(&tag.said(w), piece(stock), w))
        .collect();
    pdf::pdf(w.hold.title, &tiled(stock, &pieces))
}

fn page(tag: &HoldTag, (wide, high): (i32, i32), w: &'static Words) -> Drawing {
    let h = &w.hold;
    // Larger stock, larger letters; 4 x 6 in is a little narrower than A6.
    let large = |size: i32| {
        let by = i64::from(wide.min(high * 105 / 148)).max(100_000);
        i32::try_from(i64::from(size) * by / 105_000).unwrap_or(size)
    };
    let mut drawing = Drawing::new(wide, high);
    let room = wide - 2 * EDGE;
    drawing.frame(mm(25), mm(25), wide - mm(50), high - mm(50), mm(12));
    let code = qr(&tag.identity, large(500));
    let word_room = room - code.as_ref().map_or(0, |code| code.width + mm(20));
    let mut y = EDGE + large(mm(130));
    let size = fitted(h.hold, large(pt(520)), word_room);
    drawing.text(EDGE, y, size, Face::Bold, h.hold);
    if let Some(code) = code {
        drawing.place(&code, wide - EDGE - code.width, EDGE);
    }
    y += large(mm(110));
    // The name at arm's length, smaller where it is long.
    let size = fitted(&tag.identity, large(pt(240)), room);
    drawing.text(EDGE, y, size, Face::Bold, tag.identity.clone());
    y += large(mm(35));
    drawing.line((EDGE, y), (wide - EDGE, y), mm(6));
    y += large(mm(15));
    let rows = tag.rows(h);
    let titles = rows
        .iter()
        .map(|(title, _)| width(title, large(pt(85)), Face::Plain));
    let indent = titles.fold(large(mm(210)), |most, wide| most.max(wide + large(mm(20))));
    for (title, value) in rows {
        let block = text_block(&[bold(value)], large(pt(105)), room - indent);
        let base = y + large(pt(90));
        drawing.text(EDGE, base, large(pt(85)), Face::Plain, title);
        drawing.place(&block, EDGE + indent, y);
        y += block.height + large(mm(12));
    }
    let foot = format!("{} {}", h.rules.join(" "), tag.foot(w));
    let foot = text_block(&[plain(foot)], large(pt(75)), room);
    drawing.place(&foot, EDGE, (high - mm(40) - foot.height).max(y));
    drawing
}

/// The size at which the text is no wider than the room.
fn fitted(text: &str, size: i32, room: i32) -> i32 {
    let long = width(text, size, Face::Bold);
    if long <= room {
        return size;
    }
    let fitted = i64::from(size) * i64::from(room) / i64::from(long);
    i32::try_from(fitted).unwrap_or(size)
}
