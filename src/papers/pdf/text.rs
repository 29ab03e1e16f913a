//! Runs of text in one of two faces, broken into lines.

use super::face::Face;
use super::measure::width;

/// A run of text in one face.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Run {
    /// Face.
    pub face: Face,
    /// Text; a line feed begins a new line.
    pub text: String,
}

/// A run in the regular face.
#[must_use]
pub fn plain(text: impl Into<String>) -> Run {
    Run {
        face: Face::Plain,
        text: text.into(),
    }
}

/// A run in the bold face.
#[must_use]
pub fn bold(text: impl Into<String>) -> Run {
    Run {
        face: Face::Bold,
        text: text.into(),
    }
}

/// One printed line: pieces side by side, each with its offset from the left.
pub(super) type Line = Vec<(i32, Run)>;

/// The runs in lines of at most `room`; a word that is longer is broken.
pub(super) fn wrap(runs: &[Run], size: i32, room: i32) -> Vec<Line> {
    let mut lines = Lines {
        size,
        room: room.max(size),
        done: Vec::new(),
        line: Vec::new(),
        at: 0,
    };
    for run in runs {
        for (n, part) in run.text.split('\n').enumerate() {
            if n > 0 {
                lines.end();
            }
            let mut words = part.split(' ').peekable();
            while let Some(word) = words.next() {
                lines.word(word, run.face);
                if words.peek().is_some() {
                    lines.blank(run.face);
                }
            }
        }
    }
    if !lines.line.is_empty() || lines.done.is_empty() {
        lines.end();
    }
    lines.done
}

struct Lines {
    size: i32,
    room: i32,
    done: Vec<Line>,
    line: Line,
    at: i32,
}

impl Lines {
    fn end(&mut self) {
        if let Some((_, last)) = self.line.last_mut() {
            last.text.truncate(last.text.trim_end_matches(' ').len());
        }
        self.done.push(std::mem::take(&mut self.line));
        self.at = 0;
    }

    fn blank(&mut self, face: Face) {
        if self.at > 0 {
            self.push(" ", face, width(" ", self.size, face));
        }
    }

    fn word(&mut self, word: &str, face: Face) {
        if word.is_empty() {
            return;
        }
        let wide = width(word, self.size, face);
        if self.at > 0 && self.at + wide > self.room {
            self.end();
        }
        if wide <= self.room {
            self.push(word, face, wide);
            return;
        }
        for sign in word.chars() {
            let mut text = [0; 4];
            let text = sign.encode_utf8(&mut text);
            let wide = width(text, self.size, face);
            if self.at > 0 && self.at + wide > self.room {
                self.end();
            }
            self.push(text, face, wide);
        }
    }

    fn push(&mut self, text: &str, face: Face, wide: i32) {
        match self.line.last_mut() {
            Some((_, last)) if last.face == face => last.text.push_str(text),
            _ => self.line.push((
                self.at,
                Run {
                    face,
                    text: text.to_owned(),
                },
            )),
        }
        self.at += wide;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn words(runs: &[Run], room: i32) -> Vec<String> {
        wrap(runs, 3_000, room)
            .into_iter()
            .map(|line| line.into_iter().map(|(_, run)| run.text).collect())
            .collect()
    }

    #[test]
    fn lines_break_at_blanks_and_no_line_is_longer_than_its_room() {
        let text = "seven modules in four boxes, one of them alone";
        let lines = words(&[plain(text)], 20_000);
        assert!(lines.len() > 2);
        assert_eq!(lines.join(" "), text);
        assert!(
            lines
                .iter()
                .all(|line| width(line, 3_000, Face::Plain) <= 20_000)
        );
    }

    #[test]
    fn a_word_that_is_too_long_is_broken_and_nothing_is_lost() {
        let lines = words(&[bold("0123456789abcdef0123456789abcdef")], 15_000);
        assert!(lines.len() > 2);
        assert_eq!(lines.concat(), "0123456789abcdef0123456789abcdef");
    }

    #[test]
    fn faces_change_within_a_line_and_a_line_feed_ends_it() {
        let lines = wrap(&[bold("UN 3480"), plain(" lithium\nnext")], 3_000, 100_000);
        assert_eq!(lines.len(), 2);
        assert_eq!(lines[0].len(), 2);
        // Word by word, each to a whole micrometre.
        let wide: i32 = ["UN", " ", "3480"]
            .iter()
            .map(|word| width(word, 3_000, Face::Bold))
            .sum();
        assert_eq!(lines[0][1].0, wide);
    }
}
