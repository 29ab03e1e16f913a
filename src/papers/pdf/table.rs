//! Tables that go on over pages: the head is repeated, a row is never cut where it fits on a page.

use super::cell::{Cell, SIDE as SHAPE};
use super::drawing::{Drawing, mm, pt};
use super::face::Face;
use super::flow::{Flow, draw, leading};
use super::measure::width;
use super::text::{Line, wrap};

/// A column.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Column {
    /// Its head.
    pub title: String,
    /// Its share of the width.
    pub share: i32,
    /// Whether it stands on the right, as numbers do.
    pub right: bool,
    /// States that stand in it behind a shape: none of their words is broken.
    pub states: &'static [&'static str],
}

impl Column {
    /// A column of words.
    #[must_use]
    pub fn words(title: impl Into<String>, share: i32) -> Self {
        Self {
            title: title.into(),
            share,
            right: false,
            states: &[],
        }
    }

    /// A column of states, each behind its shape.
    #[must_use]
    pub fn states(title: impl Into<String>, share: i32, states: &'static [&'static str]) -> Self {
        Self {
            states,
            ..Self::words(title, share)
        }
    }

    /// A column of numbers.
    #[must_use]
    pub fn numbers(title: impl Into<String>, share: i32) -> Self {
        Self {
            title: title.into(),
            share,
            right: true,
            states: &[],
        }
    }
}

/// A table while it is written.
pub struct Table<'a> {
    flow: &'a mut Flow,
    columns: &'a [Column],
    /// Left edge and width of each column.
    edges: Vec<(i32, i32)>,
    size: i32,
    left: i32,
    room: i32,
    /// The bottom of what is drawn: a rule is drawn over every row where it is wanted.
    ruled: bool,
    /// Whether a line stands between the columns: cells to write in.
    lined: bool,
}

const PAD: i32 = mm(15);
const PAD_ROW: i32 = mm(6);
/// Numbers stand clear of the words in the next column.
const PAD_NUMBER: i32 = mm(30);

impl Flow {
    /// A table over the whole width with `size` type; its head is drawn at once, where the columns
    /// have titles.
    pub fn table<'a>(&'a mut self, columns: &'a [Column], size: i32, ruled: bool) -> Table<'a> {
        let (left, room) = (self.left(), self.room());
        self.table_in(columns, size, ruled, left, room)
    }

    /// The same between two edges.
    pub fn table_in<'a>(
        &'a mut self,
        columns: &'a [Column],
        size: i32,
        ruled: bool,
        left: i32,
        room: i32,
    ) -> Table<'a> {
        let mut table = Table {
            flow: self,
            columns,
            edges: edges(columns, size, left, room),
            size,
            left,
            room,
            ruled,
            lined: false,
        };
        if table.has_head() {
            let needed = table.head_height() + 3 * leading(size);
            table.flow.need(needed);
            table.head();
        }
        table
    }
}

/// Left edge and width of each column by its share. A column too narrow for the longest word of its
/// head, or of its states, takes what it lacks from the widest, since another language has longer words.
fn edges(columns: &[Column], size: i32, left: i32, room: i32) -> Vec<(i32, i32)> {
    let whole: i32 = columns.iter().map(|column| column.share).sum();
    let share = |column: &Column| {
        let wide = i64::from(room) * i64::from(column.share) / i64::from(whole.max(1));
        i32::try_from(wide).unwrap_or(0)
    };
    let least = |column: &Column| {
        let longest = |text: &str, face| {
            let words = text.split_whitespace();
            words.map(|word| width(word, size, face)).max().unwrap_or(0)
        };
        let pad = if column.right { PAD_NUMBER } else { PAD };
        let states = column.states.iter();
        let state = states
            .map(|state| longest(state, Face::Plain) + SHAPE + PAD)
            .max();
        let head = longest(&column.title, Face::Bold);
        match head.max(state.unwrap_or(0)) {
            0 => 0,
            least => least + pad,
        }
    };
    let mut wide: Vec<(i32, i32)> = columns.iter().map(|one| (share(one), least(one))).collect();
    for n in 0..wide.len() {
        let lacks = wide.get(n).map_or(0, |(wide, least)| least - wide);
        let spare = |(wide, least): &(i32, i32)| wide - least;
        let widest =
            (0..wide.len()).max_by_key(|other| wide.get(*other).map_or(0, |(wide, _)| *wide));
        let gives = widest.and_then(|widest| wide.get_mut(widest));
        if let Some(gives) = gives.filter(|gives| lacks > 0 && spare(gives) >= lacks) {
            gives.0 -= lacks;
            if let Some(takes) = wide.get_mut(n) {
                takes.0 += lacks;
            }
        }
    }
    let mut at = left;
    wide.into_iter()
        .map(|(wide, _)| {
            let edge = (at, wide);
            at += wide;
            edge
        })
        .collect()
}

impl Table<'_> {
    fn has_head(&self) -> bool {
        self.columns.iter().any(|column| !column.title.is_empty())
    }

    fn head_lines(&self) -> Vec<Vec<Line>> {
        let cells = self.columns.iter().map(|column| Cell::bold(&column.title));
        cells
            .zip(&self.edges)
            .map(|(cell, (_, wide))| wrap(&cell.runs, self.size, wide - PAD))
            .collect()
    }

    fn head_height(&self) -> i32 {
        let most = self.head_lines().iter().map(Vec::len).max().unwrap_or(1);
        i32::try_from(most).unwrap_or(1) * leading(self.size) + 2 * PAD_ROW
    }

    fn head(&mut self) {
        let lines = self.head_lines();
        let (left, right, y) = (self.left, self.left + self.room, self.flow.y());
        let height = self.head_height();
        let page = self.flow.page();
        page.line((left, y), (right, y), mm(5));
        for ((lines, edge), column) in lines.iter().zip(&self.edges).zip(self.columns) {
            cell(page, lines, *edge, y + PAD_ROW, self.size, column.right, 0);
        }
        page.line((left, y + height), (right, y + height), mm(3));
        self.flow.space(height);
    }

    /// Draws a line between the columns of the rows that follow.
    pub const fn line_columns(&mut self) {
        self.lined = true;
    }

    /// Begins a page where there is no room for so many lines, half a page at the most.
    pub fn stay(&mut self, lines: usize) {
        let height = i32::try_from(lines).unwrap_or(i32::MAX / leading(self.size));
        let asked = height.saturating_mul(leading(self.size) + PAD_ROW);
        if self.flow.need(asked.min(self.flow.page_room() / 2)) && self.has_head() {
            self.head();
        }
    }

    /// A row of cells, one a column.
    pub fn row(&mut self, cells: &[Cell]) {
        let edges = self.edges.clone();
        let rights: Vec<bool> = self.columns.iter().map(|column| column.right).collect();
        self.cells(cells, &edges, &rights, self.ruled, 0);
    }

    /// One cell across all columns, under a rule, that stays with the row behind it.
    pub fn across(&mut self, one: &Cell) {
        let edge = [(self.left, self.room)];
        self.cells(
            std::slice::from_ref(one),
            &edge,
            &[false],
            true,
            2 * leading(self.size),
        );
    }

    fn cells(
        &mut self,
        cells: &[Cell],
        edges: &[(i32, i32)],
        rights: &[bool],
        ruled: bool,
        keep: i32,
    ) {
        let size = self.size;
        let lines: Vec<_> = cells
            .iter()
            .zip(edges)
            .zip(rights)
            .map(|((cell, (_, wide)), right)| {
                let shape = if cell.shape.is_some() { SHAPE + PAD } else { 0 };
                let pad = if *right { PAD_NUMBER } else { PAD };
                cell.lines(size, wide - pad - shape)
            })
            .collect();
        let most = lines
            .iter()
            .map(|(lines, _)| lines.len())
            .max()
            .unwrap_or(1);
        let height = |count: usize| i32::try_from(count).unwrap_or(1) * leading(size) + 2 * PAD_ROW;
        // Room is asked for the whole row where a page can hold it at all.
        let asked = (height(most) + keep).min(self.flow.page_room() / 2);
        if self.flow.need(asked) && self.has_head() {
            self.head();
        }
        let mut from = 0;
        while from < most {
            let room = (self.flow.limit() - self.flow.y() - 2 * PAD_ROW) / leading(size);
            let count = usize::try_from(room.max(1)).unwrap_or(1).min(most - from);
            let y = self.flow.y();
            let (left, right) = (self.left, self.left + self.room);
            let page = self.flow.page();
            if ruled && from == 0 {
                page.line((left, y), (right, y), mm(2));
            }
            for (n, ((lines, shapes), edge)) in lines.iter().zip(edges).enumerate() {
                let indent = if shapes.is_empty() { 0 } else { SHAPE + PAD };
                for (line, shape) in shapes {
                    if (from..from + count).contains(line) {
                        let down = i32::try_from(line - from).unwrap_or(0) * leading(size);
                        let middle = (leading(size) - SHAPE) / 2;
                        shape.draw(page, edge.0, y + PAD_ROW + down + middle);
                    }
                }
                let end = lines.len().min(from + count);
                let part = lines.get(from..end).unwrap_or_default();
                let right = rights.get(n).copied().unwrap_or(false);
                cell(page, part, *edge, y + PAD_ROW, size, right, indent);
            }
            if self.lined {
                let page = self.flow.page();
                for (x, _) in edges.iter().skip(1) {
                    let x = x - PAD / 2;
                    page.line((x, y), (x, y + height(count)), mm(2));
                }
            }
            self.flow.space(height(count));
            from += count;
            if from < most {
                self.flow.next_page();
                if self.has_head() {
                    self.head();
                }
            }
        }
    }

    /// A thick rule under the last row.
    pub fn end(self) {
        let (left, right, y) = (self.left, self.left + self.room, self.flow.y());
        self.flow.page().line((left, y), (right, y), mm(5));
        self.flow.space(mm(10));
    }
}

fn cell(
    page: &mut Drawing,
    lines: &[Line],
    (left, wide): (i32, i32),
    y: i32,
    size: i32,
    right: bool,
    indent: i32,
) {
    if !right {
        draw(page, lines, left + indent, y, size);
        return;
    }
    for (n, line) in lines.iter().enumerate() {
        let long = line
            .last()
            .map_or(0, |(offset, run)| offset + width(&run.text, size, run.face));
        let down = i32::try_from(n).unwrap_or(0) * leading(size);
        let x = left + wide - PAD_NUMBER - long;
        draw(page, std::slice::from_ref(line), x, y + down, size);
    }
}

/// The size of the type in tables.
pub const SIZE: i32 = pt(90);

#[cfg(test)]
mod tests {
    use super::*;

    fn columns() -> [Column; 3] {
        [
            Column::words("Energie", 12),
            Column::numbers("Nettomasse", 4),
            Column::words("Ladezustand", 84),
        ]
    }

    /// No word of a head is broken where another column has room to give; together they stay as wide.
    #[test]
    fn a_head_longer_than_its_column_takes_room_from_the_widest() {
        let columns = columns();
        let (size, left, room) = (pt(90), mm(140), mm(1_820));
        let found = edges(&columns, size, left, room);
        for (column, (_, wide)) in columns.iter().zip(&found) {
            let long = width(&column.title, size, Face::Bold);
            assert!(long + PAD <= *wide, "{}", column.title);
        }
        let all: i32 = found.iter().map(|(_, wide)| wide).sum();
        assert!((room - 3..=room).contains(&all), "{all}");
        for pair in found.windows(2) {
            assert_eq!(pair[0].0 + pair[0].1, pair[1].0);
        }
        // States are held with their shape.
        let states = [
            Column::states("", 2, &["endommag\u{e9}"]),
            Column::words("", 98),
        ];
        let held = edges(&states, size, left, room)[0].1;
        let long = width("endommag\u{e9}", size, Face::Plain);
        assert!(long + SHAPE + 2 * PAD <= held, "{held}");
        // Where no column has it to give, the shares stand.
        let narrow = edges(&columns, size, left, mm(200));
        assert_eq!(narrow[1].1, mm(200) * 4 / 100);
    }
}
