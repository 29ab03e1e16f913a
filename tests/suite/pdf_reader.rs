//! Reads back a PDF that this program wrote: pages, texts with their places and sizes, paths. It
//! shares no code with the writer.

use std::collections::BTreeMap;

/// A text as it stands in a content stream; lengths in points.
#[derive(Debug, Clone)]
pub(crate) struct Text {
    pub(crate) x: f64,
    pub(crate) y: f64,
    pub(crate) size: f64,
    pub(crate) bold: bool,
    pub(crate) level: bool,
    pub(crate) text: String,
}

/// A painted path: its points in points, and how it was painted (`f`, `S`, `B`).
#[derive(Debug, Clone)]
pub(crate) struct Path {
    pub(crate) points: Vec<(f64, f64)>,
    pub(crate) painted: char,
    pub(crate) line_width: f64,
    /// Grey of the fill: 0 is black; below it a colour.
    pub(crate) fill: f64,
}

/// A page.
#[derive(Debug, Clone)]
pub(crate) struct Page {
    pub(crate) width: f64,
    pub(crate) height: f64,
    pub(crate) texts: Vec<Text>,
    pub(crate) paths: Vec<Path>,
}

impl Page {
    /// The texts in the order they were drawn, one a line.
    pub(crate) fn text(&self) -> String {
        let mut text = String::new();
        for one in &self.texts {
            text.push_str(&one.text);
            text.push('\n');
        }
        text
    }
}

/// Points as millimetres.
pub(crate) fn mm(points: f64) -> f64 {
    points * 25.4 / 72.0
}

/// Every page of a file.
pub(crate) fn read(bytes: &[u8]) -> Vec<Page> {
    assert!(bytes.starts_with(b"%PDF-1.7"));
    let objects = objects(bytes);
    let dictionary = |number: usize| String::from_utf8_lossy(&objects[&number].0).into_owned();
    let catalog = objects
        .keys()
        .find(|n| dictionary(**n).contains("/Type/Catalog"))
        .copied()
        .unwrap();
    let tree = reference(&dictionary(catalog), "/Pages ");
    let kids = dictionary(tree);
    let kids = kids
        .split("/Kids[")
        .nth(1)
        .unwrap()
        .split(']')
        .next()
        .unwrap();
    let numbers: Vec<usize> = kids
        .split("0 R")
        .filter_map(|part| part.trim().parse().ok())
        .collect();
    numbers
        .into_iter()
        .map(|number| {
            let page = dictionary(number);
            let media = page.split("/MediaBox[").nth(1).unwrap();
            let media: Vec<f64> = media
                .split(']')
                .next()
                .unwrap()
                .split(' ')
                .map(|n| n.parse().unwrap())
                .collect();
            let mut fonts = BTreeMap::new();
            for name in ["/P", "/B"] {
                let key = format!("{name} ");
                let fonts_of_page = page
                    .split("/Font<<")
                    .nth(1)
                    .unwrap()
                    .split(">>")
                    .next()
                    .unwrap();
                if fonts_of_page.contains(&key) {
                    let font = dictionary(reference(fonts_of_page, &key));
                    let map = stream(&objects, reference(&font, "/ToUnicode "));
                    fonts.insert(name.to_owned(), signs(&String::from_utf8(map).unwrap()));
                }
            }
            let content = stream(&objects, reference(&page, "/Contents "));
            let mut read = Page {
                width: media[2],
                height: media[3],
                texts: Vec::new(),
                paths: Vec::new(),
            };
            interpret(&String::from_utf8(content).unwrap(), &fonts, &mut read);
            read
        })
        .collect()
}

type Objects = BTreeMap<usize, (Vec<u8>, Option<Vec<u8>>)>;

/// Objects by the cross-reference table, which is thereby checked.
fn objects(bytes: &[u8]) -> Objects {
    let text = String::from_utf8_lossy(bytes);
    let start = text.rsplit("startxref\n").next().unwrap();
    let at: usize = start.lines().next().unwrap().parse().unwrap();
    let table = String::from_utf8(bytes[at..].to_vec()).unwrap();
    let mut lines = table.lines();
    assert_eq!(lines.next(), Some("xref"));
    let count: usize = lines
        .next()
        .unwrap()
        .strip_prefix("0 ")
        .unwrap()
        .parse()
        .unwrap();
    lines.next();
    let mut found = Objects::new();
    for (number, line) in (1..count).zip(lines) {
        let place: usize = line.split(' ').next().unwrap().parse().unwrap();
        let head = format!("{number} 0 obj\n");
        assert_eq!(&bytes[place..place + head.len()], head.as_bytes());
        let body = &bytes[place + head.len()..];
        let end = find(body, b"endobj");
        let body = &body[..end];
        match body.windows(8).position(|w| w == b"\nstream\n") {
            Some(cut) => {
                let head = body[..cut].to_vec();
                let length: usize = String::from_utf8_lossy(&head)
                    .split("/Length ")
                    .nth(1)
                    .unwrap()
                    .chars()
                    .take_while(char::is_ascii_digit)
                    .collect::<String>()
                    .parse()
                    .unwrap();
                // A stream may hold anything, so its end is known only by its length.
                let from = place + format!("{number} 0 obj\n").len() + cut + 8;
                found.insert(number, (head, Some(bytes[from..from + length].to_vec())));
            }
            None => {
                found.insert(number, (body.to_vec(), None));
            }
        }
    }
    found
}

fn find(bytes: &[u8], what: &[u8]) -> usize {
    bytes.windows(what.len()).position(|w| w == what).unwrap()
}

fn reference(dictionary: &str, key: &str) -> usize {
    let rest = dictionary.split(key).nth(1).unwrap();
    let digits: String = rest.chars().take_while(char::is_ascii_digit).collect();
    digits.parse().unwrap()
}

fn stream(objects: &Objects, number: usize) -> Vec<u8> {
    let squeezed = objects[&number].1.as_ref().unwrap();
    miniz_oxide::inflate::decompress_to_vec_zlib(squeezed).unwrap()
}

fn signs(map: &str) -> BTreeMap<u16, char> {
    map.lines()
        .filter_map(|line| line.strip_prefix('<')?.strip_suffix('>')?.split_once("> <"))
        .filter(|(glyph, sign)| glyph.len() == 4 && sign.len() == 4)
        .map(|(glyph, sign)| {
            (
                u16::from_str_radix(glyph, 16).unwrap(),
                char::from_u32(u32::from_str_radix(sign, 16).unwrap()).unwrap(),
            )
        })
        .collect()
}

fn interpret(content: &str, fonts: &BTreeMap<String, BTreeMap<u16, char>>, page: &mut Page) {
    let mut stack: Vec<String> = Vec::new();
    let (mut font, mut size) = (String::new(), 0.0);
    let (mut x, mut y, mut level) = (0.0, 0.0, true);
    let (mut width, mut fill) = (1.0, 0.0);
    let mut points: Vec<(f64, f64)> = Vec::new();
    let tokens = content.replace('<', " <").replace('>', "> ");
    for token in tokens.split_whitespace() {
        let number = |stack: &Vec<String>, back: usize| -> f64 {
            stack[stack.len() - back].parse().unwrap()
        };
        match token {
            "Tf" => {
                font = stack[stack.len() - 2].clone();
                size = number(&stack, 1);
            }
            "Td" => (x, y, level) = (number(&stack, 2), number(&stack, 1), true),
            "Tm" => (x, y, level) = (number(&stack, 2), number(&stack, 1), false),
            "Tj" => {
                let hex = stack.last().unwrap().trim_matches(['<', '>']).to_owned();
                let text = hex
                    .as_bytes()
                    .chunks(4)
                    .map(|four| {
                        u16::from_str_radix(std::str::from_utf8(four).unwrap(), 16).unwrap()
                    })
                    .map(|glyph| fonts[&font].get(&glyph).copied().unwrap_or('\u{fffd}'))
                    .collect();
                page.texts.push(Text {
                    x,
                    y,
                    size,
                    bold: font == "/B",
                    level,
                    text,
                });
            }
            "w" => width = number(&stack, 1),
            "g" => fill = number(&stack, 1),
            "rg" => fill = -1.0,
            "m" | "l" => points.push((number(&stack, 2), number(&stack, 1))),
            "c" => {
                for back in [6, 4, 2] {
                    points.push((number(&stack, back), number(&stack, back - 1)));
                }
            }
            "re" => {
                let (x, y) = (number(&stack, 4), number(&stack, 3));
                let (w, h) = (number(&stack, 2), number(&stack, 1));
                points.extend([(x, y), (x + w, y), (x + w, y + h), (x, y + h)]);
            }
            "f" | "S" | "B" => {
                page.paths.push(Path {
                    points: std::mem::take(&mut points),
                    painted: token.chars().next().unwrap(),
                    line_width: width,
                    fill,
                });
            }
            "n" => points.clear(),
            "BT" | "ET" | "Tr" | "G" | "h" => {}
            other => {
                stack.push(other.to_owned());
                continue;
            }
        }
        stack.clear();
    }
}
