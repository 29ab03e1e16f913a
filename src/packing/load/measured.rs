//! What was measured of modules after the plan of the job was closed: `modules.csv`, one row a module
//! or a type. It fills what the job does not know and contradicts nothing.

use serde::Deserialize;

use super::piece::Piece;
use super::stock::yes_no;
use crate::packing::PackingError;
use crate::packing::rows::read_rows;
use crate::units::Grams;

/// One row: a module by its name in the job, or every module of a type.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    #[serde(default)]
    module: Option<String>,
    #[serde(default)]
    model: Option<String>,
    #[serde(default)]
    length_mm: Option<u32>,
    #[serde(default)]
    width_mm: Option<u32>,
    #[serde(default)]
    height_mm: Option<u32>,
    #[serde(default)]
    stack_load_kg: Option<Grams>,
    #[serde(default, deserialize_with = "yes_no")]
    terminals_on_top: Option<bool>,
}

/// What was measured, in the order of the file.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Measured {
    rows: Vec<Row>,
}

impl Measured {
    /// Reads `modules.csv`. Lines that begin with `#` are remarks.
    ///
    /// # Errors
    /// The first row that cannot be read, that names neither a module nor a type or both, that
    /// stands twice, or that gives a part of a size.
    pub fn read(text: &str) -> Result<Self, PackingError> {
        let rows: Vec<Row> = read_rows(text).map_err(PackingError::Modules)?;
        for (at, row) in rows.iter().enumerate() {
            let refuse = |what: String| Err(PackingError::Modules(what));
            let name = match (&row.module, &row.model) {
                (Some(name), None) | (None, Some(name)) => name,
                _ => {
                    return refuse(
                        "each row names either a `module` of the job or a `model` (its type)"
                            .into(),
                    );
                }
            };
            let before = rows.iter().take(at);
            if before
                .into_iter()
                .any(|other| (&other.module, &other.model) == (&row.module, &row.model))
            {
                return refuse(format!("`{name}` stands twice"));
            }
            let sides = [row.length_mm, row.width_mm, row.height_mm];
            let known = sides.iter().flatten().count();
            if known != 0 && known != 3 || sides.contains(&Some(0)) {
                return refuse(format!(
                    "`{name}`: a size is length_mm, width_mm and height_mm, all three above zero"
                ));
            }
            if row
                .stack_load_kg
                .is_some_and(|load| load < Grams::default())
            {
                return refuse(format!("`{name}`: stack_load_kg is below zero"));
            }
        }
        Ok(Self { rows })
    }

    /// Fills what is not known of the piece, which is of this type.
    ///
    /// # Errors
    /// A row that says other than the job.
    pub fn fill(&self, piece: &mut Piece, model: Option<&str>) -> Result<(), PackingError> {
        // What was measured of the module itself goes before what is so of its type.
        let own = |row: &&Row| row.module.as_deref() == Some(&piece.module);
        let of_type = |row: &&Row| row.model.is_some() && row.model.as_deref() == model;
        let found: Vec<&Row> = (self.rows.iter().filter(own))
            .chain(self.rows.iter().filter(of_type))
            .collect();
        let job = piece.clone();
        for row in found {
            let size = row
                .length_mm
                .zip(row.width_mm)
                .zip(row.height_mm)
                .map(|((length, width), height)| [length, width, height]);
            let other = |what: &str| {
                PackingError::Modules(format!(
                    "`{}`: {what} is not what the job says of it",
                    job.module
                ))
            };
            if differs(job.size_mm, size) {
                return Err(other("the size"));
            }
            if differs(job.stack_load, row.stack_load_kg) {
                return Err(other("stack_load_kg"));
            }
            if differs(job.terminals_on_top, row.terminals_on_top) {
                return Err(other("terminals_on_top"));
            }
            piece.size_mm = piece.size_mm.or(size);
            piece.stack_load = piece.stack_load.or(row.stack_load_kg);
            piece.terminals_on_top = piece.terminals_on_top.or(row.terminals_on_top);
        }
        Ok(())
    }
}

/// Whether both are known and not the same.
fn differs<T: PartialEq>(known: Option<T>, new: Option<T>) -> bool {
    known.zip(new).is_some_and(|(known, new)| known != new)
}
