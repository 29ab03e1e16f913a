//! The part of a face that a paper carries with it. Made once for the common signs; a paper with
//! others gets its own, and the last few of those are kept too.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;
use std::sync::{Arc, Mutex, OnceLock};

use super::face::{Face, Loaded};

/// Signs that nearly every paper is made of.
const COMMON: &str = " !\"#$%&'()*+,-./0123456789:;<=>?@ABCDEFGHIJKLMNOPQRSTUVWXYZ[\\]^_`\
abcdefghijklmnopqrstuvwxyz{|}~\u{a0}\u{b0}\u{b1}\u{b7}\u{d7}\u{2013}\u{2014}\u{2018}\u{2019}\u{201c}\
\u{201d}\u{2026}\u{2126}\u{2260}\u{2264}\u{2265}";

/// How many parts for uncommon signs are kept.
const KEPT: usize = 16;

/// Parts by face and uncommon signs.
type Kept = BTreeMap<(Face, Vec<char>), Arc<Part>>;

/// A part of a face, ready for a file.
pub(super) struct Part {
    /// The font file, compressed.
    pub(super) font: Vec<u8>,
    /// Its length before.
    pub(super) font_len: usize,
    /// Glyph numbers of the whole face to those of the part, compressed.
    pub(super) glyph_map: Vec<u8>,
    /// Glyphs to signs, so that text can be copied and searched; compressed.
    pub(super) to_signs: Vec<u8>,
    /// Widths, as a PDF array.
    pub(super) widths: String,
}

/// The part of a face that holds these signs; `None` only where the font cannot be cut.
pub(super) fn part(face: Face, used: &BTreeSet<char>) -> Option<Arc<Part>> {
    static COMMON_PARTS: [OnceLock<Option<Arc<Part>>>; 2] = [const { OnceLock::new() }; 2];
    static OTHERS: Mutex<Kept> = Mutex::new(BTreeMap::new());
    let extra: Vec<char> = used
        .iter()
        .copied()
        .filter(|sign| !COMMON.contains(*sign))
        .collect();
    if extra.is_empty() {
        let [plain, bold] = &COMMON_PARTS;
        let slot = match face {
            Face::Plain => plain,
            Face::Bold => bold,
        };
        return slot.get_or_init(|| make(face, &[]).map(Arc::new)).clone();
    }
    let key = (face, extra);
    if let Ok(kept) = OTHERS.lock()
        && let Some(part) = kept.get(&key)
    {
        return Some(Arc::clone(part));
    }
    let made = Arc::new(make(face, &key.1)?);
    if let Ok(mut kept) = OTHERS.lock() {
        if kept.len() >= KEPT {
            kept.clear();
        }
        kept.insert(key, Arc::clone(&made));
    }
    Some(made)
}

fn make(face: Face, extra: &[char]) -> Option<Part> {
    let loaded = face.loaded()?;
    let mut signs: BTreeMap<u16, (char, u16)> = BTreeMap::new();
    for sign in COMMON.chars().chain(extra.iter().copied()) {
        let (glyph, advance) = loaded.glyph(sign);
        // A box for what the face lacks says nothing about the sign; it is not given one.
        let sign = if glyph == 0 { '\u{fffd}' } else { sign };
        signs.entry(glyph).or_insert((sign, advance));
    }
    signs
        .entry(0)
        .or_insert(('\u{fffd}', loaded.glyph('\u{0}').1));
    let glyphs: Vec<u16> = signs.keys().copied().collect();
    let mapper = subsetter::GlyphRemapper::new_from_glyphs_sorted(&glyphs);
    let font = subsetter::subset(face.bytes(), 0, &mapper).ok()?;
    let last = glyphs.last().copied().unwrap_or_default();
    let mut map = Vec::with_capacity((usize::from(last) + 1) * 2);
    for glyph in 0..=last {
        map.extend(mapper.get(glyph).unwrap_or_default().to_be_bytes());
    }
    Some(Part {
        font_len: font.len(),
        font: squeeze(&font),
        glyph_map: squeeze(&map),
        to_signs: squeeze(sign_map(&signs).as_bytes()),
        widths: widths(loaded, &signs),
    })
}

/// The quickest way to compress: with level 6 half of the time of a single paper went into this, for a
/// quarter off the size of its file.
const QUICK: u8 = 1;

/// Compressed as a PDF takes it.
pub(super) fn squeeze(bytes: &[u8]) -> Vec<u8> {
    miniz_oxide::deflate::compress_to_vec_zlib(bytes, QUICK)
}

fn widths(loaded: &Loaded, signs: &BTreeMap<u16, (char, u16)>) -> String {
    let mut text = String::from("[");
    for (glyph, (_, advance)) in signs {
        let thousandths = i32::from(*advance) * 1_000_000 / loaded.em.max(1);
        // Writing to a string cannot fail.
        let _ = write!(
            text,
            "{glyph}[{}.{:03}]",
            thousandths / 1_000,
            thousandths % 1_000
        );
    }
    text.push(']');
    text
}

fn sign_map(signs: &BTreeMap<u16, (char, u16)>) -> String {
    let mut text = String::from(
        "/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n\
         /CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def\n\
         /CMapName /Signs def\n/CMapType 2 def\n\
         1 begincodespacerange\n<0000> <ffff>\nendcodespacerange\n",
    );
    let all: Vec<(&u16, &(char, u16))> = signs.iter().collect();
    for chunk in all.chunks(100) {
        let _ = writeln!(text, "{} beginbfchar", chunk.len());
        for (glyph, (sign, _)) in chunk {
            let _ = write!(text, "<{glyph:04x}> <");
            for unit in sign.encode_utf16(&mut [0; 2]) {
                let _ = write!(text, "{unit:04x}");
            }
            text.push_str(">\n");
        }
        text.push_str("endbfchar\n");
    }
    text.push_str("endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n");
    text
}
