//! Torque that the mixture gives away over throttle and speed: what jetting alone could win.

use super::PlotError;
use super::canvas::{Canvas, Rect};
use super::colour::{DOUBT, FAINT_INK, INK, PAPER, ink_on};
use super::contour::Field;
use super::heat_cell::{crossed, slanted, triangle};
use super::heat_sheet::Sheet;
use super::loss_cell::{self, Loss};
use super::panel::{LABEL, NOTE, headline};
use super::text::Lettering;
use crate::study::in_grid::in_grid;
use crate::study::map::MapResult;

/// Levels of the iso-lines [%], with their decimals.
const LEVELS: [(f64, usize); 3] = [(2.0, 0), (5.0, 0), (10.0, 0)];

/// The picture as the bytes of a PNG file.
///
/// # Errors
/// Drawing or coding failed.
pub fn torque_lost(map: &MapResult) -> Result<Vec<u8>, PlotError> {
    let mut canvas = Canvas::new(1600, 1150)?;
    let sheet = Sheet { area: Rect::new(150.0, 134.0, 1370.0, 866.0), grid: &map.grid };
    let beneath = format!(
        "against the best mixture with the same air, spark and speed; {}{}{}",
        map.standing(),
        if map.interrupted { "; stopped before the end" } else { "" },
        if sheet.thinning() == (1, 1) { "" } else { "; marks at some points only" }
    );
    headline(&mut canvas, &format!("Torque given away by the mixture, in per cent: {}", map.name), &beneath)?;
    if sheet.is_empty() {
        canvas.text(sheet.area.middle(), "the grid holds no points", Lettering::new(LABEL).middle())?;
    } else {
        cells(&sheet, &mut canvas, map)?;
        sheet.axes(&mut canvas, map.throttle_words())?;
    }
    loss_cell::scale(&mut canvas, Rect::new(1424.0, 204.0, 1460.0, 816.0))?;
    legend(&mut canvas)?;
    canvas.finish(&format!("Torque given away: {}", map.name), &format!("bellmouth {}", map.version))
}

/// Grounds, iso-lines, then words on top.
fn cells(sheet: &Sheet<'_>, canvas: &mut Canvas, map: &MapResult) -> Result<(), PlotError> {
    let rows = sheet.grid.speeds.len();
    let places: Vec<_> =
        in_grid(map).into_iter().enumerate().map(|(i, p)| (sheet.cell(i / rows, i % rows), p)).collect();
    for (cell, point) in &places {
        loss_cell::draw_ground(canvas, *cell, *point)?;
    }
    let values = places.iter().map(|(_, p)| p.filter(|p| p.converged).and_then(|p| Loss::of(p).share()));
    let values = values.map(|share| share.map(|s| 100.0 * s.clamp(-1.0, 10.0))).collect();
    let field = Field { columns: sheet.grid.throttles.len(), rows, values };
    let labels = sheet.iso_lines(canvas, &field, &LEVELS)?;
    let thin = sheet.thinning();
    for (i, (cell, point)) in places.iter().enumerate() {
        let kept = (i / rows).is_multiple_of(thin.0) && (i % rows).is_multiple_of(thin.1);
        if let Some(point) = point.filter(|_| kept) {
            loss_cell::draw_words(canvas, *cell, point)?;
        }
    }
    sheet.labels(canvas, labels)
}

/// Samples for the legend.
#[derive(Debug, Clone, Copy)]
enum Sample {
    Side(bool),
    Number,
    IsoLine,
    Crossed,
    Absent,
    Word(&'static str),
}

/// What the marks mean, along the bottom of the sheet.
fn legend(canvas: &mut Canvas) -> Result<(), PlotError> {
    let rows = [
        [(Sample::Side(true), "leaner than the mixture of most torque"), (Sample::Side(false), "richer than it")],
        [
            (Sample::Number, "per cent of the best torque; no mark: next to nothing"),
            (Sample::IsoLine, "line of equal loss, in per cent"),
        ],
        [
            (Sample::Word("no fire"), "the charge did not burn; small cells: a dash"),
            (Sample::Word("no pull"), "no brake torque with any mixture"),
        ],
        [(Sample::Crossed, "crossed: did not converge, do not rely on it"), (Sample::Absent, "slanted: not computed")],
    ];
    for (i, row) in rows.iter().enumerate() {
        let y = 996.0 + 41.0 * i as f64;
        for (j, (kind, word)) in row.iter().enumerate() {
            let left = 150.0 + 700.0 * j as f64;
            sample(canvas, *kind, (left, y))?;
            canvas.text((left + 84.0, y), word, Lettering::new(NOTE))?;
        }
    }
    Ok(())
}

fn sample(canvas: &mut Canvas, sample: Sample, (left, y): (f64, f64)) -> Result<(), PlotError> {
    let cell = Rect::new(left, y - 17.0, left + 70.0, y + 17.0);
    let (x, _) = cell.middle();
    match sample {
        Sample::Side(lean) => {
            triangle(canvas, (x - 12.0, y), 7.5, lean, INK)?;
            canvas.text((x + 2.0, y), if lean { "L" } else { "R" }, Lettering::new(20.0))?;
        }
        Sample::Number => {
            let ground = loss_cell::colour(0.003);
            canvas.fill(cell, ground)?;
            canvas.text((x, y), "0.3", Lettering::new(20.0).middle().coloured(ink_on(ground)))?;
        }
        Sample::IsoLine => {
            canvas.line((cell.left + 4.0, y), (cell.right - 4.0, y), 5.0, PAPER)?;
            canvas.line((cell.left + 4.0, y), (cell.right - 4.0, y), 2.4, INK)?;
            return Ok(());
        }
        Sample::Crossed => {
            canvas.fill(cell, DOUBT)?;
            crossed(canvas, cell)?;
        }
        Sample::Absent => slanted(canvas, cell)?,
        Sample::Word(word) => canvas.text((x, y), word, Lettering::new(17.0).middle())?,
    }
    canvas.outline(cell, 1.0, FAINT_INK)
}
