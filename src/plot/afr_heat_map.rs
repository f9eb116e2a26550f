//! Air-fuel ratio over throttle and speed.
//!
//! Each point of the grid is a cell of equal size, so that small openings are as easy to read as large ones.

use super::PlotError;
use super::canvas::{Canvas, Rect};
use super::colour::FAINT_INK;
use super::contour::Field;
use super::heat_cell::{self, Sample};
use super::heat_scale;
use super::heat_sheet::Sheet;
use super::panel::{LABEL, NOTE, headline};
use super::road_line::{self, Words};
use super::spot_outline;
use super::text::Lettering;
use crate::study::in_grid::in_grid;
use crate::study::map::MapResult;
use crate::study::verdict::Verdict;

/// Size of the picture [px].
const SIZE: (usize, usize) = (1600, 1100);

/// The picture as the bytes of a PNG file.
///
/// # Errors
/// Drawing or coding failed.
pub fn afr_heat_map(map: &MapResult) -> Result<Vec<u8>, PlotError> {
    let mut canvas = Canvas::new(SIZE.0, SIZE.1)?;
    let sheet = Sheet::of(&map.grid);
    let beneath = format!(
        "fresh dry air over fresh fuel trapped in the cylinder; stoichiometric {:.2}; {}{}{}",
        map.stoichiometric,
        map.standing(),
        if map.interrupted { "; stopped before the end" } else { "" },
        if sheet.thinning() == (1, 1) { "" } else { "; triangles at some points only" }
    );
    headline(&mut canvas, &format!("Air-fuel ratio (AFR) over throttle and speed: {}", map.name), &beneath)?;
    if sheet.is_empty() {
        canvas.text(sheet.area.middle(), "the grid holds no points", Lettering::new(LABEL).middle())?;
    } else {
        cells(&sheet, &mut canvas, map)?;
        wanted(&sheet, &mut canvas, map)?;
        sheet.axes(&mut canvas, map.throttle_words())?;
    }
    let stoichiometric = if map.stoichiometric.is_finite() { map.stoichiometric.clamp(0.1, 1e3) } else { 14.6 };
    heat_scale::draw(&mut canvas, Rect::new(1436.0, 254.0, 1472.0, 816.0), stoichiometric)?;
    legend(&mut canvas, map)?;
    canvas.finish(&format!("AFR map: {}", map.name), &format!("bellmouth {}", map.version))
}

/// Grounds, iso-lines, then words on top.
fn cells(sheet: &Sheet<'_>, canvas: &mut Canvas, map: &MapResult) -> Result<(), PlotError> {
    let rows = sheet.grid.speeds.len();
    let places: Vec<_> =
        in_grid(map).into_iter().enumerate().map(|(i, p)| (sheet.cell(i / rows, i % rows), p)).collect();
    for (cell, point) in &places {
        heat_cell::draw_ground(canvas, *cell, *point)?;
    }
    let afr = |p: Option<&crate::study::point::PointResult>| {
        p.filter(|p| p.converged).and_then(|p| p.afr).filter(|a| a.is_finite())
    };
    let values = places.iter().map(|(_, p)| afr(*p)).collect();
    let field = Field { columns: sheet.grid.throttles.len(), rows: sheet.grid.speeds.len(), values };
    let labels = sheet.iso_lines(canvas, &field, &levels(&field))?;
    let thin = sheet.thinning();
    for (i, (cell, point)) in places.iter().enumerate() {
        let kept = (i / rows).is_multiple_of(thin.0) && (i % rows).is_multiple_of(thin.1);
        if let Some(point) = point.filter(|_| kept) {
            heat_cell::draw_words(canvas, *cell, point, Verdict::of_point(map, point))?;
        }
    }
    let taken: Vec<Rect> = labels.iter().map(|l| l.0).collect();
    sheet.labels(canvas, labels)?;
    spot_outline::draw(canvas, sheet, &map.spots, &taken)?;
    match &map.road {
        Some(road) => road_line::draw(canvas, sheet, road, Words::Few, &taken),
        None => Ok(()),
    }
}

/// Strip above the cells with the wanted AFR by range of throttle.
fn wanted(sheet: &Sheet<'_>, canvas: &mut Canvas, map: &MapResult) -> Result<(), PlotError> {
    let (top, bottom) = (132.0, 174.0);
    canvas.text((sheet.area.left - 12.0, 146.0), "wanted", Lettering::new(NOTE).end())?;
    canvas.text((sheet.area.left - 12.0, 168.0), "AFR", Lettering::new(NOTE).end())?;
    let bands: Vec<_> = sheet.grid.throttles.iter().map(|t| map.target(*t)).collect();
    let mut start = 0;
    for run in bands.chunk_by(|a, b| a == b) {
        let end = start + run.len();
        let (left, right) = (sheet.cell(start, 0).left + 3.0, sheet.cell(end - 1, 0).right - 3.0);
        start = end;
        let box_ = Rect::new(left, top, right, bottom);
        canvas.outline(box_, 1.0, FAINT_INK)?;
        let (low, high) = match run[0] {
            Some(b) => (b.lambda_rich * map.stoichiometric, b.lambda_lean * map.stoichiometric),
            None => continue,
        };
        let text = format!("{} to {}", heat_cell::afr_text(low), heat_cell::afr_text(high));
        for size in [24.0, 20.0, 16.0, 13.0] {
            let look = Lettering::new(size).middle();
            if look.width(&text)? <= box_.width() - 8.0 {
                canvas.text(box_.middle(), &text, look)?;
                break;
            }
        }
    }
    Ok(())
}

/// Levels of the iso-lines with their decimals: whole numbers where they suffice, between AFR 6 and 30.
fn levels(field: &Field) -> Vec<(f64, usize)> {
    let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
    for value in field.values.iter().flatten() {
        low = low.min(value.clamp(8.0, 18.0));
        high = high.max(value.clamp(8.0, 18.0));
    }
    if high - low < 0.2 {
        return Vec::new();
    }
    let step = if high - low < 2.5 {
        0.5
    } else if high - low < 9.0 {
        1.0
    } else {
        2.0
    };
    let decimals = usize::from(step < 1.0);
    let first = (low / step).ceil() as i32;
    let last = (high / step).floor() as i32;
    (first..=last).map(|i| (f64::from(i) * step, decimals)).collect()
}

/// What the marks mean, along the bottom of the sheet.
fn legend(canvas: &mut Canvas, map: &MapResult) -> Result<(), PlotError> {
    let rows = [
        [
            (Sample::Lean, "leaner than wanted, by this share of the lean edge"),
            (Sample::Rich, "richer than wanted, by this share of the rich edge"),
        ],
        [(Sample::Within, "no mark: wanted mixture, or none stated"), (Sample::IsoLine, "line of equal AFR")],
        [(Sample::Crossed, "crossed: did not converge, do not rely on it"), (Sample::Absent, "slanted: not computed")],
    ];
    for (i, row) in rows.iter().enumerate() {
        let y = 996.0 + 41.0 * i as f64;
        for (j, (sample, word)) in row.iter().enumerate() {
            let left = 150.0 + 700.0 * j as f64;
            heat_cell::sample(canvas, *sample, (left, y), 62.0)?;
            canvas.text((left + 76.0, y), word, Lettering::new(NOTE))?;
        }
    }
    if let Some(road) = &map.road {
        let (left, y) = (1150.0, 996.0 + 41.0);
        let words = road_line::sample(canvas, (left, y), road)?;
        canvas.text((left + 76.0, y), &words, Lettering::new(NOTE))?;
    }
    if !map.spots.is_empty() {
        // beneath the bar of colours
        let words = ["numbered spots:", "solid line: lean,", "dashed line: rich"];
        for (i, word) in words.iter().enumerate() {
            canvas.text((1392.0, 892.0 + 22.0 * i as f64), word, Lettering::new(17.0))?;
        }
    }
    Ok(())
}
