//! Small pieces on the stock at hand: one a sheet where that is small too, else as many as it holds,
//! with lines to cut along.

use super::drawing::{Drawing, mm};
use super::flow::Stock;

/// Size of a piece on this stock: A6 where several go on a sheet.
pub(crate) const fn piece(stock: Stock) -> (i32, i32) {
    match stock {
        Stock::A4 | Stock::Letter => Stock::A6.size(),
        Stock::A5 | Stock::A6 | Stock::FourBySix => stock.size(),
    }
}

/// How many pieces stand beside and below each other.
fn fits(stock: Stock) -> (i32, i32) {
    let (size, piece) = (stock.size(), piece(stock));
    ((size.0 / piece.0).max(1), (size.1 / piece.1).max(1))
}

/// How many go on a sheet.
pub(crate) fn each(stock: Stock) -> usize {
    let (across, down) = fits(stock);
    usize::try_from(across * down).unwrap_or(1)
}

/// The sheets, in the order of the pieces.
pub(crate) fn tiled(stock: Stock, pieces: &[Drawing]) -> Vec<Drawing> {
    let (wide, high) = stock.size();
    let (piece, (across, _), each) = (piece(stock), fits(stock), each(stock));
    let sheet = |some: &[Drawing]| {
        let mut sheet = Drawing::new(wide, high);
        for (n, one) in (0..).zip(some) {
            let (x, y) = (n % across * piece.0, n / across * piece.1);
            sheet.place(one, x, y);
            if each > 1 {
                sheet.frame(x, y, piece.0, piece.1, mm(1));
            }
        }
        sheet
    };
    pieces.chunks(each).map(sheet).collect()
}
