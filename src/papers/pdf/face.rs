//! The two faces of every paper, read once in a process.
//!
//! Liberation Sans 2.1.5, SIL Open Font License 1.1; the licence lies beside the files.

use std::sync::OnceLock;

/// A face.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Face {
    /// Regular.
    Plain,
    /// Bold.
    Bold,
}

const PLAIN: &[u8] = include_bytes!("../../../templates/fonts/LiberationSans-Regular.ttf");
const BOLD: &[u8] = include_bytes!("../../../templates/fonts/LiberationSans-Bold.ttf");

/// Signs that are looked up in a table: Latin, Greek, Cyrillic.
const NEAR: u32 = 0x530;

/// A face as read.
pub(super) struct Loaded {
    parsed: ttf_parser::Face<'static>,
    near: Vec<(u16, u16)>,
    /// Units in one em.
    pub(super) em: i32,
    /// Height of a flat capital in those units.
    pub(super) capital: i32,
    /// Box of all glyphs, ascender and descender in those units.
    pub(super) bounds: [i32; 6],
}

impl Face {
    /// The file.
    pub(super) const fn bytes(self) -> &'static [u8] {
        match self {
            Self::Plain => PLAIN,
            Self::Bold => BOLD,
        }
    }

    /// The name in a PDF, with the tag that says it is a part of the face.
    pub(super) const fn name(self) -> &'static str {
        match self {
            Self::Plain => "PDOWNA+LiberationSans",
            Self::Bold => "PDOWNB+LiberationSans-Bold",
        }
    }

    /// The face as read; `None` only where the file in the program is not a font.
    pub(super) fn loaded(self) -> Option<&'static Loaded> {
        static FACES: [OnceLock<Option<Loaded>>; 2] = [const { OnceLock::new() }; 2];
        let [plain, bold] = &FACES;
        match self {
            Self::Plain => plain,
            Self::Bold => bold,
        }
        .get_or_init(|| Loaded::read(self.bytes()))
        .as_ref()
    }

    /// Whether the face has the sign, so that it prints as itself and not as a box.
    ///
    /// Scripts that run from right to left or join their letters are not set here.
    #[must_use]
    pub fn has(self, sign: char) -> bool {
        self.loaded()
            .is_some_and(|loaded| loaded.glyph(sign).0 != 0)
    }
}

impl Loaded {
    fn read(bytes: &'static [u8]) -> Option<Self> {
        let parsed = ttf_parser::Face::parse(bytes, 0).ok()?;
        let look = |sign: u32| {
            let glyph = char::from_u32(sign)
                .and_then(|sign| parsed.glyph_index(sign))
                .unwrap_or_default();
            (glyph.0, parsed.glyph_hor_advance(glyph).unwrap_or_default())
        };
        let near = (0..NEAR).map(look).collect();
        let bounds = parsed.global_bounding_box();
        Some(Self {
            near,
            em: i32::from(parsed.units_per_em()),
            capital: i32::from(parsed.capital_height()?),
            bounds: [
                i32::from(bounds.x_min),
                i32::from(bounds.y_min),
                i32::from(bounds.x_max),
                i32::from(bounds.y_max),
                i32::from(parsed.ascender()),
                i32::from(parsed.descender()),
            ],
            parsed,
        })
    }

    /// Glyph and advance of a sign; glyph 0 is the box for a sign that the face lacks.
    pub(super) fn glyph(&self, sign: char) -> (u16, u16) {
        let number = u32::from(sign);
        if let Some(found) = self.near.get(number as usize) {
            return *found;
        }
        let joins = matches!(number, 0x530..=0x1aff | 0xfb1d..=0xfdff | 0xfe70..=0xfeff);
        let glyph = if joins {
            ttf_parser::GlyphId(0)
        } else {
            self.parsed.glyph_index(sign).unwrap_or_default()
        };
        (
            glyph.0,
            self.parsed.glyph_hor_advance(glyph).unwrap_or_default(),
        )
    }
}
