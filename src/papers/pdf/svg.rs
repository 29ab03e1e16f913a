//! A drawing as SVG, for pages in a browser. One unit is a tenth of a millimetre: browsers cut a
//! type size off at 10,000 units, and letters of 12 mm are 17,600 micrometres of type.

use std::fmt::Write as _;

use super::drawing::{Drawing, Ink, Mark, Seg, Turn};
use super::face::Face;
use super::file::slope;

/// The drawing as one `svg` element. `says` is read out instead of it.
#[must_use]
pub fn svg(drawing: &Drawing, says: &str) -> String {
    let (width, height) = (drawing.width, drawing.height);
    // Writing to a string cannot fail.
    let mut out = String::new();
    let _ = write!(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" aria-label=\"{}\" \
         width=\"{}.{:03}mm\" height=\"{}.{:03}mm\" viewBox=\"0 0 {} {}\">",
        escaped(says),
        width / 1_000,
        width % 1_000,
        height / 1_000,
        height % 1_000,
        Unit(width),
        Unit(height)
    );
    for mark in &drawing.marks {
        match mark {
            Mark::Path { segs, fill, line } => {
                out.push_str("<path d=\"");
                for seg in segs {
                    push_seg(&mut out, *seg);
                }
                let _ = write!(out, "\" fill=\"{}\"", fill.map_or("none", colour));
                if let Some((width, ink)) = line {
                    let _ = write!(
                        out,
                        " stroke=\"{}\" stroke-width=\"{}\"",
                        colour(*ink),
                        Unit(*width)
                    );
                }
                out.push_str("/>");
            }
            Mark::Text {
                x,
                y,
                size,
                face,
                ink,
                outline,
                turn,
                text,
            } => {
                let _ = write!(
                    out,
                    "<text x=\"{}\" y=\"{}\" font-family=\"'Liberation Sans',Arial,Helvetica,\
                     sans-serif\" font-size=\"{}\"",
                    Unit(*x),
                    Unit(*y),
                    Unit(*size)
                );
                if *face == Face::Bold {
                    out.push_str(" font-weight=\"bold\"");
                }
                match outline {
                    Some(width) => {
                        let _ = write!(
                            out,
                            " fill=\"none\" stroke=\"{}\" stroke-width=\"{}\"",
                            colour(*ink),
                            Unit(*width)
                        );
                    }
                    None if *ink != Ink::Black => {
                        let _ = write!(out, " fill=\"{}\"", colour(*ink));
                    }
                    None => {}
                }
                let (cos, sin) = match turn {
                    Turn::None => (1_000, 0),
                    Turn::Up => (0, 1_000),
                    Turn::Diagonal(width, height) => slope(*width, *height),
                };
                if sin != 0 {
                    let sign = |n: i64| {
                        let minus = if n < 0 { "-" } else { "" };
                        format!("{minus}{}.{:03}", n.abs() / 1_000, n.abs() % 1_000)
                    };
                    let _ = write!(
                        out,
                        " transform=\"translate({x} {y}) matrix({c} {m} {s} {c} 0 0) translate(-{x} -{y})\"",
                        x = Unit(*x),
                        y = Unit(*y),
                        c = sign(cos),
                        m = sign(-sin),
                        s = sign(sin),
                    );
                }
                let _ = write!(out, ">{}</text>", escaped(text));
            }
        }
    }
    out.push_str("</svg>");
    out
}

/// Micrometres, shown in tenths of a millimetre.
struct Unit(i32);

impl std::fmt::Display for Unit {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let size = self.0.unsigned_abs();
        if self.0 < 0 {
            f.write_str("-")?;
        }
        write!(f, "{}", size / 100)?;
        match size % 100 {
            0 => Ok(()),
            rest if rest % 10 == 0 => write!(f, ".{}", rest / 10),
            rest => write!(f, ".{rest:02}"),
        }
    }
}

fn push_seg(out: &mut String, seg: Seg) {
    let u = Unit;
    let _ = match seg {
        Seg::Move(x, y) => write!(out, "M{} {}", u(x), u(y)),
        Seg::Line(x, y) => write!(out, "L{} {}", u(x), u(y)),
        Seg::Curve(a, b, c, d, e, f) => {
            write!(
                out,
                "C{} {} {} {} {} {}",
                u(a),
                u(b),
                u(c),
                u(d),
                u(e),
                u(f)
            )
        }
        Seg::Close => write!(out, "Z"),
        Seg::Rect(x, y, w, h) => {
            write!(out, "M{} {}h{}v{}h-{}Z", u(x), u(y), u(w), u(h), u(w))
        }
    };
}

const fn colour(ink: Ink) -> &'static str {
    match ink {
        Ink::Black => "#000",
        Ink::White => "#fff",
        Ink::Grey => "#999",
        Ink::Orange => "#ff8200",
    }
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
}
