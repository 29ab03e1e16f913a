//! Codes as paths: a QR code (ISO/IEC 18004), and the bars of any linear code.

use super::drawing::{Drawing, Ink, Seg};

/// A QR code with error correction M, its modules `module` wide and its quiet zone of four modules
/// around it; `None` where the text is too long for any.
#[must_use]
pub fn qr(text: &str, module: i32) -> Option<Drawing> {
    let code = fast_qr::QRBuilder::new(text)
        .ecl(fast_qr::ECL::M)
        .build()
        .ok()?;
    let side = i32::try_from(code.size).ok()?;
    let mut drawing = Drawing::new((side + 8) * module, (side + 8) * module);
    let mut segs = Vec::new();
    for down in 0..code.size {
        let row = code.data.get(down * code.size..(down + 1) * code.size)?;
        let mut across = 0;
        while across < row.len() {
            let dark = row
                .get(across..)?
                .iter()
                .take_while(|one| one.value())
                .count();
            if dark > 0 {
                let (x, y) = (i32::try_from(across).ok()?, i32::try_from(down).ok()?);
                segs.push(Seg::Rect(
                    (x + 4) * module,
                    (y + 4) * module,
                    i32::try_from(dark).ok()? * module,
                    module,
                ));
            }
            across += dark.max(1);
        }
    }
    drawing.path(segs, Some(Ink::Black), None);
    Some(drawing)
}

/// Bars from their widths in modules, black first, with a quiet zone of ten modules on each side.
#[must_use]
pub fn bars(widths: &[u8], module: i32, height: i32) -> Drawing {
    let sum: i32 = widths.iter().map(|width| i32::from(*width)).sum();
    let mut drawing = Drawing::new((sum + 20) * module, height);
    let mut segs = Vec::new();
    let mut at = 10;
    for (n, width) in widths.iter().enumerate() {
        let width = i32::from(*width);
        if n % 2 == 0 {
            segs.push(Seg::Rect(at * module, 0, width * module, height));
        }
        at += width;
    }
    drawing.path(segs, Some(Ink::Black), None);
    drawing
}
