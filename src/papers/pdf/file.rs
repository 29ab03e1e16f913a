//! Pages as a PDF 1.7 file (ISO 32000-1): objects, streams, cross-reference table. No date, no id.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;

use super::drawing::{Drawing, Ink, Mark, Seg, Turn};
use super::embed::{Part, part, squeeze};
use super::face::{Face, Loaded};
use crate::papers::PaperError;

/// The pages as one file. `title` stands in the head of the reader's window.
///
/// # Errors
/// A font in the program that cannot be read: a bug.
pub fn pdf(title: &str, pages: &[Drawing]) -> Result<Vec<u8>, PaperError> {
    let font_fault = || PaperError::Font;
    let mut used: BTreeMap<Face, BTreeSet<char>> = BTreeMap::new();
    for mark in pages.iter().flat_map(|page| &page.marks) {
        if let Mark::Text { face, text, .. } = mark {
            used.entry(*face).or_default().extend(text.chars());
        }
    }
    let mut file = File::new();
    let (catalog, tree) = (file.reserve(), file.reserve());
    let mut fonts = String::new();
    for (face, signs) in &used {
        let part = part(*face, signs).ok_or_else(font_fault)?;
        let font = file.font(*face, face.loaded().ok_or_else(font_fault)?, &part);
        // Writing to a string cannot fail.
        let _ = write!(fonts, "/{} {font} 0 R", resource(*face));
    }
    let mut kids = String::new();
    for page in pages {
        let content = Content::of(page);
        let stream = file.stream("", &squeeze(&content.bytes));
        let number = file.object(&format!(
            "<</Type/Page/Parent {tree} 0 R/MediaBox[0 0 {} {}]/Resources<</Font<<{fonts}>>>>\
             /Contents {stream} 0 R>>",
            Points(page.width),
            Points(page.height),
        ));
        let _ = write!(kids, "{number} 0 R ");
    }
    file.fill(
        tree,
        &format!(
            "<</Type/Pages/Kids[{}]/Count {}>>",
            kids.trim_end(),
            pages.len()
        ),
    );
    // Labels are as large as the law wants only where the printer does not scale them.
    file.fill(
        catalog,
        &format!(
            "<</Type/Catalog/Pages {tree} 0 R/Lang(en)\
             /ViewerPreferences<</PrintScaling/None/DisplayDocTitle true>>>>"
        ),
    );
    let info = file.object(&format!("<</Title <{}>/Producer(packdown)>>", utf16(title)));
    Ok(file.end(catalog, info))
}

const fn resource(face: Face) -> &'static str {
    match face {
        Face::Plain => "P",
        Face::Bold => "B",
    }
}

fn utf16(text: &str) -> String {
    let mut hex = String::from("feff");
    for unit in text.encode_utf16() {
        let _ = write!(hex, "{unit:04x}");
    }
    hex
}

/// A length in micrometres, shown in points with three places.
struct Points(i32);

impl std::fmt::Display for Points {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let mut bytes = Vec::new();
        push_points(&mut bytes, self.0);
        f.write_str(&String::from_utf8_lossy(&bytes))
    }
}

/// 1 µm is 360/127 thousandths of a point.
fn push_points(out: &mut Vec<u8>, micrometres: i32) {
    let scaled = i64::from(micrometres) * 360;
    let thousandths = if scaled < 0 {
        -((-scaled + 63) / 127)
    } else {
        (scaled + 63) / 127
    };
    push_thousandths(out, thousandths);
}

fn push_thousandths(out: &mut Vec<u8>, thousandths: i64) {
    if thousandths < 0 {
        out.push(b'-');
    }
    let size = thousandths.unsigned_abs();
    push_whole(out, size / 1_000);
    let rest = size % 1_000;
    if rest > 0 {
        out.push(b'.');
        for (n, unit) in [100, 10, 1].into_iter().enumerate() {
            if n > 0 && rest.is_multiple_of(unit * 10) {
                break;
            }
            out.push(b'0' + u8::try_from(rest / unit % 10).unwrap_or(0));
        }
    }
}

fn push_whole(out: &mut Vec<u8>, number: u64) {
    if number >= 10 {
        push_whole(out, number / 10);
    }
    out.push(b'0' + u8::try_from(number % 10).unwrap_or(0));
}

/// Objects of a file, each with its place.
struct File {
    bytes: Vec<u8>,
    places: Vec<usize>,
}

impl File {
    fn new() -> Self {
        Self {
            bytes: b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n".to_vec(),
            places: Vec::new(),
        }
    }

    fn reserve(&mut self) -> usize {
        self.places.push(0);
        self.places.len()
    }

    fn begin(&mut self, number: usize) {
        let at = self.bytes.len();
        if let Some(place) = self.places.get_mut(number - 1) {
            *place = at;
        }
        self.bytes
            .extend_from_slice(format!("{number} 0 obj\n").as_bytes());
    }

    fn fill(&mut self, number: usize, body: &str) {
        self.begin(number);
        self.bytes.extend_from_slice(body.as_bytes());
        self.bytes.extend_from_slice(b"\nendobj\n");
    }

    fn object(&mut self, body: &str) -> usize {
        let number = self.reserve();
        self.fill(number, body);
        number
    }

    fn stream(&mut self, more: &str, squeezed: &[u8]) -> usize {
        let number = self.reserve();
        self.begin(number);
        let head = format!(
            "<</Length {}/Filter/FlateDecode{more}>>\nstream\n",
            squeezed.len()
        );
        self.bytes.extend_from_slice(head.as_bytes());
        self.bytes.extend_from_slice(squeezed);
        self.bytes.extend_from_slice(b"\nendstream\nendobj\n");
        number
    }

    fn font(&mut self, face: Face, loaded: &Loaded, part: &Part) -> usize {
        let name = face.name();
        let file = self.stream(&format!("/Length1 {}", part.font_len), &part.font);
        let map = self.stream("", &part.glyph_map);
        let signs = self.stream("", &part.to_signs);
        let scale = |units: i32| units * 1_000 / loaded.em.max(1);
        let [left, low, right, high, ascent, descent] = loaded.bounds.map(scale);
        let stem = match face {
            Face::Plain => 84,
            Face::Bold => 140,
        };
        let descriptor = self.object(&format!(
            "<</Type/FontDescriptor/FontName/{name}/Flags 4/FontBBox[{left} {low} {right} {high}]\
             /ItalicAngle 0/Ascent {ascent}/Descent {descent}/CapHeight {}/StemV {stem}\
             /FontFile2 {file} 0 R>>",
            scale(loaded.capital)
        ));
        let descendant = self.object(&format!(
            "<</Type/Font/Subtype/CIDFontType2/BaseFont/{name}\
             /CIDSystemInfo<</Registry(Adobe)/Ordering(Identity)/Supplement 0>>\
             /FontDescriptor {descriptor} 0 R/DW 0/W{}/CIDToGIDMap {map} 0 R>>",
            part.widths
        ));
        self.object(&format!(
            "<</Type/Font/Subtype/Type0/BaseFont/{name}/Encoding/Identity-H\
             /DescendantFonts[{descendant} 0 R]/ToUnicode {signs} 0 R>>"
        ))
    }

    fn end(mut self, catalog: usize, info: usize) -> Vec<u8> {
        let at = self.bytes.len();
        let count = self.places.len() + 1;
        let mut table = format!("xref\n0 {count}\n0000000000 65535 f \n");
        for place in &self.places {
            let _ = writeln!(table, "{place:010} 00000 n ");
        }
        let _ = write!(
            table,
            "trailer\n<</Size {count}/Root {catalog} 0 R/Info {info} 0 R>>\nstartxref\n{at}\n%%EOF\n"
        );
        self.bytes.extend_from_slice(table.as_bytes());
        self.bytes
    }
}

/// A page's content stream while it is written. Its y runs upwards.
struct Content {
    bytes: Vec<u8>,
    height: i32,
    font: Option<(Face, i32)>,
    fill: Ink,
    line: Ink,
    line_width: Option<i32>,
    outline: bool,
}

impl Content {
    fn of(page: &Drawing) -> Self {
        let mut content = Self {
            bytes: Vec::with_capacity(page.marks.len() * 64),
            height: page.height,
            font: None,
            fill: Ink::Black,
            line: Ink::Black,
            line_width: None,
            outline: false,
        };
        for mark in &page.marks {
            match mark {
                Mark::Path { segs, fill, line } => content.path(segs, *fill, *line),
                Mark::Text { .. } => content.text(mark),
            }
        }
        content
    }

    fn word(&mut self, word: &str) {
        self.bytes.extend_from_slice(word.as_bytes());
    }

    fn length(&mut self, micrometres: i32) {
        push_points(&mut self.bytes, micrometres);
        self.bytes.push(b' ');
    }

    fn place(&mut self, x: i32, y: i32) {
        self.length(x);
        self.length(self.height - y);
    }

    fn fill_with(&mut self, ink: Ink) {
        if self.fill != ink {
            self.fill = ink;
            self.word(match ink {
                Ink::Black => "0 g\n",
                Ink::White => "1 g\n",
                Ink::Grey => ".6 g\n",
                Ink::Orange => "1 .51 0 rg\n",
            });
        }
    }

    fn line_with(&mut self, width: i32, ink: Ink) {
        if self.line != ink {
            self.line = ink;
            self.word(match ink {
                Ink::Black => "0 G\n",
                Ink::White => "1 G\n",
                Ink::Grey => ".6 G\n",
                Ink::Orange => "1 .51 0 RG\n",
            });
        }
        if self.line_width != Some(width) {
            self.line_width = Some(width);
            self.length(width);
            self.word("w\n");
        }
    }

    fn path(&mut self, segs: &[Seg], fill: Option<Ink>, line: Option<(i32, Ink)>) {
        if let Some(ink) = fill {
            self.fill_with(ink);
        }
        if let Some((width, ink)) = line {
            self.line_with(width, ink);
        }
        for seg in segs {
            match *seg {
                Seg::Move(x, y) => {
                    self.place(x, y);
                    self.word("m\n");
                }
                Seg::Line(x, y) => {
                    self.place(x, y);
                    self.word("l\n");
                }
                Seg::Curve(a, b, c, d, e, f) => {
                    self.place(a, b);
                    self.place(c, d);
                    self.place(e, f);
                    self.word("c\n");
                }
                Seg::Close => self.word("h\n"),
                Seg::Rect(x, y, width, height) => {
                    self.place(x, y + height);
                    self.length(width);
                    self.length(height);
                    self.word("re\n");
                }
            }
        }
        self.word(match (fill, line) {
            (Some(_), Some(_)) => "B\n",
            (Some(_), None) => "f\n",
            (None, Some(_)) => "S\n",
            (None, None) => "n\n",
        });
    }

    fn text(&mut self, mark: &Mark) {
        let Mark::Text {
            x,
            y,
            size,
            face,
            ink,
            outline,
            turn,
            text,
        } = mark
        else {
            return;
        };
        let Some(loaded) = face.loaded() else {
            return;
        };
        match outline {
            Some(width) => self.line_with(*width, *ink),
            None => self.fill_with(*ink),
        }
        self.word("BT\n");
        if self.font != Some((*face, *size)) {
            self.font = Some((*face, *size));
            self.word(match face {
                Face::Plain => "/P ",
                Face::Bold => "/B ",
            });
            self.length(*size);
            self.word("Tf\n");
        }
        if self.outline != outline.is_some() {
            self.outline = outline.is_some();
            self.word(if self.outline { "1 Tr\n" } else { "0 Tr\n" });
        }
        let (cos, sin) = match turn {
            Turn::None => (1_000, 0),
            Turn::Up => (0, 1_000),
            Turn::Diagonal(width, height) => slope(*width, *height),
        };
        if sin == 0 {
            self.place(*x, *y);
            self.word("Td\n");
        } else {
            for part in [cos, sin, -sin, cos] {
                push_thousandths(&mut self.bytes, part);
                self.bytes.push(b' ');
            }
            self.place(*x, *y);
            self.word("Tm\n");
        }
        self.bytes.push(b'<');
        for sign in text.chars() {
            let (glyph, _) = loaded.glyph(sign);
            for four in [12, 8, 4, 0] {
                let digit = usize::from(glyph >> four & 15);
                self.bytes
                    .push(*b"0123456789abcdef".get(digit).unwrap_or(&b'0'));
            }
        }
        self.word(">Tj\nET\n");
    }
}

/// Cosine and sine of the rising diagonal, in thousandths.
pub(super) fn slope(width: i32, height: i32) -> (i64, i64) {
    let (width, height) = (i64::from(width), i64::from(height));
    let long = (width * width + height * height).max(1).isqrt();
    (width * 1_000 / long, height * 1_000 / long)
}
