//! Tables in plain characters; numbers stand at the right and are never cut.

use comfy_table::presets::NOTHING;
use comfy_table::{CellAlignment, ContentArrangement, Table};

/// A table: the first column at the left, the others at the right, a rule under the heads. Cells are printed as given.
#[must_use]
pub fn table(heads: &[String], rows: &[Vec<String>]) -> String {
    let mut table = Table::new();
    table.load_style(NOTHING).set_content_arrangement(ContentArrangement::Disabled);
    table.set_header(heads);
    for row in rows {
        table.add_row(row);
    }
    for (place, column) in table.column_iter_mut().enumerate() {
        column.set_padding((u16::from(place > 0), 0));
        column.set_cell_alignment(if place == 0 { CellAlignment::Left } else { CellAlignment::Right });
    }
    let mut out = String::new();
    let text = table.to_string();
    let width = text.lines().map(|l| l.trim_end().chars().count()).max().unwrap_or(0);
    for (place, line) in text.lines().enumerate() {
        out.push_str(line.trim_end());
        out.push('\n');
        if place == 0 {
            out.push_str(&"-".repeat(width));
            out.push('\n');
        }
    }
    out
}
