//! Judges each battery of an input over the whole of its route.

use std::path::Path;

use crate::store::StoreError;
use crate::store::facts::{Form, Said, Source, each_of};
use crate::transport::{Reworded, RouteAnswer, decide_route};

/// Hands the answer for each battery to `each`, in order; gives the form that the input has.
///
/// # Errors
/// An input that cannot be read; whatever `each` gives.
pub fn decide_routes<E: From<StoreError>>(
    input: &Path,
    said: &Said,
    each: &mut dyn FnMut(Form, RouteAnswer) -> Result<(), E>,
) -> Result<Form, E> {
    each_of(Source::open(input)?, said, &mut |form,
                                              facts|
     -> Result<(), E> {
        each(
            form,
            decide_route(&said.legs_of(facts)).for_reader(said.reader),
        )
    })
}
