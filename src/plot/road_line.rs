//! The level-road line on the sheet of a map: a curve for each gear, marks at round speeds, discs where the machine rides.

use super::PlotError;
use super::canvas::{Canvas, Rect};
use super::colour::{Colour, INK, PAPER};
use super::heat_cell;
use super::heat_scale;
use super::heat_sheet::Sheet;
use super::panel::{LABEL, NOTE, headline};
use super::text::Lettering;
use crate::study::in_grid::in_grid;
use crate::study::map::{Grid, MapResult};
use crate::study::road_line::LinePoint;
use crate::study::road_result::RoadResult;

/// Colour of the line: none of the ground's, dark enough for white around it (bluish green of Okabe and Ito, 2008).
const ROAD: Colour = plotters::style::RGBColor(0x00, 0x9e, 0x73);
/// Size of the picture [px].
const SIZE: (usize, usize) = (1600, 1100);
/// Length of a mark to either side of the line [px].
const MARK: f64 = 8.0;
/// Radius of a disc where the machine rides [px].
const DISC: f64 = 11.0;

/// Columns and rows of a throttle and a speed; none outside the grid.
fn place(grid: &Grid, throttle: f64, rpm: f64) -> Option<(f64, f64)> {
    let along = |values: &[f64], v: f64| {
        let i = values.windows(2).position(|w| w[0] - 1e-9 <= v && v <= w[1] + 1e-9)?;
        Some(i as f64 + ((v - values[i]) / (values[i + 1] - values[i])).clamp(0.0, 1.0))
    };
    along(&grid.throttles, throttle).zip(along(&grid.speeds, rpm))
}

fn pixel(sheet: &Sheet<'_>, p: &LinePoint) -> Option<(f64, f64)> {
    place(sheet.grid, p.throttle?, p.rpm).map(|(c, r)| sheet.place(c, r))
}

/// Letter of the place number `i` where the machine rides.
fn letter(i: usize) -> char {
    char::from(b'A' + (i % 26) as u8)
}

/// Letters and middles of the discs where the machine rides.
fn discs<'a>(sheet: &'a Sheet<'_>, road: &'a RoadResult) -> impl Iterator<Item = (char, (f64, f64))> + 'a {
    road.here.iter().enumerate().filter_map(|(i, here)| {
        let p = here.point.as_ref().filter(|p| p.point.converged)?;
        let (c, r) = place(sheet.grid, p.point.throttle, p.point.rpm)?;
        Some((letter(i), sheet.place(c, r)))
    })
}

/// What is drawn of a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Words {
    /// Lines, marks and discs; speeds at the marks of the highest gear alone.
    Few,
    /// Speeds at all marks.
    All,
}

/// Lines, marks, discs and their words; words keep off the discs and what is `taken`.
///
/// # Errors
/// Drawing failed.
pub fn draw(
    canvas: &mut Canvas,
    sheet: &Sheet<'_>,
    road: &RoadResult,
    words: Words,
    taken: &[Rect],
) -> Result<(), PlotError> {
    let thin = if words == Words::Few { 1.4 } else { 0.0 };
    for (width, colour) in [(7.0 - 1.6 * thin, PAPER), (3.6 - thin, ROAD)] {
        for line in &road.lines {
            for pair in line.places.windows(2) {
                if let (Some(from), Some(to)) = (pixel(sheet, &pair[0]), pixel(sheet, &pair[1])) {
                    canvas.line(from, to, width, colour)?;
                }
            }
        }
        for mark in road.lines.iter().flat_map(|l| &l.marks) {
            if let Some((x, y)) = pixel(sheet, mark) {
                let half = MARK + 0.5 * (width - 3.6);
                canvas.level(x - half, x + half, y, width, colour)?;
            }
        }
    }
    let discs: Vec<(char, (f64, f64))> = discs(sheet, road).collect();
    let mut taken = taken.to_vec();
    let around = DISC + 2.5;
    taken.extend(discs.iter().map(|(_, (x, y))| Rect::new(x - around, y - around, x + around, y + around)));
    let last = road.lines.len();
    for line in road.lines.iter().rev() {
        let mut seen = line.places.iter().filter_map(|p| pixel(sheet, p));
        if let Some((x, y)) = seen.next_back() {
            let name = format!("gear {}", line.gear);
            label(canvas, sheet, (x, y), &name, &mut taken, true)?;
        }
        if words == Words::All || line.gear == last {
            for mark in &line.marks {
                if let Some(at) = pixel(sheet, mark) {
                    let speed = format!("{:.0}", road.unit.from_si(mark.speed_m_s));
                    label(canvas, sheet, at, &speed, &mut taken, false)?;
                }
            }
        }
    }
    for (letter, at) in discs {
        canvas.disc(at, around, PAPER)?;
        canvas.disc(at, DISC, ROAD)?;
        canvas.text(at, &letter.to_string(), Lettering::new(16.0).middle().coloured(PAPER))?;
    }
    Ok(())
}

/// A word beside a place, on a plate, where it meets no other; left out if there is no room.
fn label(
    canvas: &mut Canvas,
    sheet: &Sheet<'_>,
    (x, y): (f64, f64),
    text: &str,
    taken: &mut Vec<Rect>,
    needed: bool,
) -> Result<(), PlotError> {
    let look = Lettering::new(15.0).middle().coloured(PAPER);
    let half = (0.5 * look.width(text)? + 4.0, 10.0);
    let beside = half.0 + MARK + 5.0;
    let tried = [(beside, 0.0), (-beside, 0.0), (beside, -22.0), (-beside, 22.0), (0.0, -24.0), (0.0, 24.0)];
    let rect = |(dx, dy): (f64, f64)| Rect::new(x + dx - half.0, y + dy - half.1, x + dx + half.0, y + dy + half.1);
    let inside = |r: &Rect| {
        let a = sheet.area;
        r.left > a.left && r.right < a.right && r.top > a.top && r.bottom < a.bottom
    };
    let free = |r: &Rect| inside(r) && taken.iter().all(|t| !t.meets(r));
    let mut places = tried.into_iter().map(rect);
    let first = places.clone().find(inside);
    let Some(found) = places.find(free).or(first.filter(|_| needed)) else { return Ok(()) };
    canvas.fill(found, ROAD)?;
    canvas.outline(found, 1.0, PAPER)?;
    canvas.text(found.middle(), text, look)?;
    taken.push(found);
    Ok(())
}

/// The picture of a map with a road vehicle as the bytes of a PNG file: the line over the mixture alone.
///
/// # Errors
/// Drawing or coding failed.
pub fn road_line(map: &MapResult, road: &RoadResult) -> Result<Vec<u8>, PlotError> {
    let mut canvas = Canvas::new(SIZE.0, SIZE.1)?;
    let sheet = Sheet { area: Rect::new(150.0, 134.0, 1370.0, 866.0), grid: &map.grid };
    let v = &road.vehicle;
    let beneath = format!(
        "throttle that holds a speed in each gear, between the points of the map; {:.0} kg, {:.2} m2, rolling {:.3}, grade {:.1} %, \
         headwind {}",
        v.mass,
        v.drag_area,
        v.rolling,
        100.0 * v.grade,
        road.unit.said(v.headwind)
    );
    headline(&mut canvas, &format!("Where the machine rides: {}", map.name), &beneath)?;
    if sheet.is_empty() {
        canvas.text(sheet.area.middle(), "the grid holds no points", Lettering::new(LABEL).middle())?;
    } else {
        let rows = map.grid.speeds.len();
        for (i, point) in in_grid(map).into_iter().enumerate() {
            heat_cell::draw_ground(&mut canvas, sheet.cell(i / rows, i % rows), point)?;
        }
        draw(&mut canvas, &sheet, road, Words::All, &[])?;
        canvas.outline(sheet.area, 2.0, INK)?;
        sheet.axes(&mut canvas, map.throttle_words())?;
    }
    let stoichiometric = if map.stoichiometric.is_finite() { map.stoichiometric.clamp(0.1, 1e3) } else { 14.6 };
    heat_scale::draw(&mut canvas, Rect::new(1436.0, 204.0, 1472.0, 816.0), stoichiometric)?;
    legend(&mut canvas, road)?;
    canvas.finish(&format!("where the machine rides: {}", map.name), &format!("bellmouth {}", map.version))
}

/// What the marks mean, along the bottom of the sheet.
fn legend(canvas: &mut Canvas, road: &RoadResult) -> Result<(), PlotError> {
    let words = sample(canvas, (150.0, 996.0), road)?;
    canvas.text((226.0, 996.0), &words, Lettering::new(NOTE))?;
    let mut notes =
        vec!["no line: below the smallest throttle, or next to a point that did not converge or fire".to_owned()];
    for (i, here) in road.here.iter().enumerate().filter(|(_, h)| h.point.is_some()).take(3) {
        let letter = letter(i);
        let p = here.point.as_ref().map(|p| (p.gear, p.point.throttle, p.point.rpm));
        let (gear, throttle, rpm) = p.unwrap_or((0, 0.0, 0.0));
        let speed = road.unit.both(here.asked.speed_m_s);
        notes
            .push(format!("{letter}: {speed} in gear {gear}, {:.1} % of lift, {rpm:.0} rpm, solved", 100.0 * throttle));
    }
    for (i, note) in notes.iter().enumerate() {
        canvas.text((150.0, 1030.0 + 24.0 * i as f64), note, Lettering::new(17.0))?;
    }
    Ok(())
}

/// A piece of line with a mark, and its words.
///
/// # Errors
/// Drawing failed.
pub fn sample(canvas: &mut Canvas, (left, y): (f64, f64), road: &RoadResult) -> Result<String, PlotError> {
    canvas.line((left, y), (left + 62.0, y), 3.6, ROAD)?;
    canvas.upright(left + 31.0, y - MARK, y + MARK, 3.6, ROAD)?;
    let still = if road.vehicle.grade.abs() > 0.0 || road.vehicle.headwind.abs() > 0.0 { "road" } else { "level road" };
    Ok(format!("{still}: marks every {:.0} {}", road.unit.mark(), road.unit.name()))
}
