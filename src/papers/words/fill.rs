//! Sentences with places in them, `{count} modules`, filled by name, so that a language may put
//! them in its own order.

use std::fmt::Display;

/// The sentence with each place filled. A place that nobody fills stays visible; a test over every
/// paper of the sample jobs looks for one.
pub(crate) fn fill(sentence: &str, places: &[(&str, &dyn Display)]) -> String {
    let mut filled = String::with_capacity(sentence.len() + 32);
    let mut rest = sentence;
    while let Some((before, behind)) = rest.split_once('{') {
        filled.push_str(before);
        let known = behind.split_once('}').and_then(|(name, after)| {
            let (_, value) = places.iter().find(|(place, _)| *place == name)?;
            Some((value, after))
        });
        match known {
            Some((value, after)) => {
                filled.push_str(&value.to_string());
                rest = after;
            }
            None => {
                filled.push('{');
                rest = behind;
            }
        }
    }
    filled.push_str(rest);
    filled
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_are_filled_in_any_order_and_unknown_ones_stay() {
        let places: [(&str, &dyn Display); 2] = [("a", &1), ("b", &"x{a}")];
        assert_eq!(fill("{b} then {a}, {c}", &places), "x{a} then 1, {c}");
        assert_eq!(fill("{a", &places), "{a");
        assert_eq!(fill("", &places), "");
    }
}
