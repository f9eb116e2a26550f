//! Text in a CSV cell that no spreadsheet takes for a formula.

/// `text` with an apostrophe before it when it starts like a formula and is no number.
///
/// A spreadsheet computes a cell that starts with `=`, `+`, `-`, `@`, a tab or a return: "-0.5 mm" becomes an error,
/// and a text from elsewhere could call a program. Numbers keep their sign. Common practice for CSV files, no standard.
#[must_use]
pub fn text_cell(text: &str) -> String {
    let formula = text.starts_with(['=', '+', '-', '@', '\t', '\r', '\n']) && text.parse::<f64>().is_err();
    if formula { format!("'{text}") } else { text.to_owned() }
}
