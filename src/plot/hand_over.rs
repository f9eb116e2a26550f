//! Where the needle jet hands over to the main jet: their areas against lift, and the main jet's say.

use super::PlotError;
use super::afr_against_throttle::{throttle_axis, throttle_ticks};
use super::axis::{Axis, Tick};
use super::canvas::{Canvas, Rect};
use super::colour::{self, BAND, BAND_EDGE, INK, PAPER};
use super::curve::Look;
use super::legend::{Sample, column};
use super::panel::{LABEL, NOTE, Panel, headline};
use super::text::Lettering;
use crate::study::fraction::percent;
use crate::study::hand_over::{HandOver, HandOverRow};

/// One curve: what it is, how it looks, its number of a row.
type Curve = (&'static str, Look, fn(&HandOver, &HandOverRow) -> f64);

fn area_curves() -> [Curve; 4] {
    let (needle, jet) = (colour::curve(0, 5), colour::curve(2, 5));
    [
        ("needle jet: open ring", Look::line(needle, &[]), |_, r| 1e6 * r.ring_m2),
        ("the same, effective", Look::line(needle, &[14.0, 8.0]), |_, r| 1e6 * r.ring_effective_m2),
        ("main jet", Look::line(jet, &[]), |h, _| 1e6 * h.main_jet_m2),
        ("both in series, effective", Look::line(INK, &[14.0, 8.0]), |_, r| 1e6 * r.series_effective_m2),
    ]
}

fn share_curves() -> [Curve; 2] {
    let jet = colour::curve(2, 5);
    [
        ("by areas", Look::line(jet, &[]), |_, r| 100.0 * r.main_jet_share),
        ("by drop", Look::line(jet, &[14.0, 8.0]), |_, r| 100.0 * r.main_jet_share_by_drop),
    ]
}

/// The picture as the bytes of a PNG file, for the set-up called `name`.
///
/// # Errors
/// Drawing or coding failed.
pub fn hand_over(name: &str, areas: &HandOver) -> Result<Vec<u8>, PlotError> {
    let mut canvas = Canvas::new(1600, 1240)?;
    let beneath = format!(
        "two restrictions in series, for fuel alone; effective: with the coefficients at a drop of {:.1} kPa over both",
        1e-3 * areas.reference_drop_pa
    );
    headline(&mut canvas, &format!("Needle jet and main jet: {name}"), &beneath)?;
    let x = throttle_axis(&[1.0]);
    let marks = throttle_ticks();
    let curves = area_curves();
    let values = areas.rows.iter().flat_map(|r| curves.iter().map(|c| c.2(areas, r)));
    let most = values.filter(|v| v.is_finite()).fold(0.1, f64::max);
    let top = Panel { area: Rect::new(140.0, 150.0, 1180.0, 690.0), x, y: Axis::new(0.0, 1.12 * most) };
    draw(&mut canvas, areas, &top, &marks, &curves, &["area [mm2]"])?;
    words(&mut canvas, areas, &top)?;
    let shares = share_curves();
    let bottom = Panel { area: Rect::new(140.0, 770.0, 1180.0, 1124.0), x, y: Axis::new(0.0, 100.0) };
    draw(&mut canvas, areas, &bottom, &marks, &shares, &["share [%]"])?;
    bottom.bottom_axis(&mut canvas, &marks, "throttle: slide lift over bore, as a fraction and in per cent")?;
    let title = "The main jet's say: its part of the resistance of both";
    canvas.text((bottom.area.left, bottom.area.top - 28.0), title, Lettering::new(LABEL))?;

    let mut entries: Vec<_> = curves.iter().map(|c| (Sample::Curve(c.1), c.0.to_owned())).collect();
    entries.push((Sample::Area(BAND), "hand-over".to_owned()));
    for note in ["where the main jet has", "1/4 to 3/4 of the say;", "the line: half each, the", "areas are equal"] {
        entries.push((Sample::Note, note.to_owned()));
    }
    column(&mut canvas, (1216.0, 166.0), 366.0, &entries)?;
    let mut entries: Vec<_> = shares.iter().map(|c| (Sample::Curve(c.1), c.0.to_owned())).collect();
    for note in [
        "by drop: each restriction with its",
        "own coefficient. A main jet 1 %",
        "larger in area brings this share",
        "of 1 % more fuel, the drop steady",
    ] {
        entries.push((Sample::Note, note.to_owned()));
    }
    column(&mut canvas, (1216.0, 786.0), 366.0, &entries)?;
    canvas.finish(&format!("hand-over: {name}"), &format!("bellmouth {}", env!("CARGO_PKG_VERSION")))
}

/// The throttles between which the main jet takes over; an end that is not reached lies at the edge.
fn band(areas: &HandOver, panel: &Panel) -> Option<(f64, f64)> {
    let [from, _, to] = areas.quarters;
    from.map(|from| (panel.px(from), to.map_or(panel.px(1.0), |to| panel.px(to))))
}

fn draw(
    canvas: &mut Canvas,
    areas: &HandOver,
    panel: &Panel,
    marks: &[Tick],
    curves: &[Curve],
    title: &[&str],
) -> Result<(), PlotError> {
    let ticks = panel.y.ticks((panel.area.height() / 60.0) as usize);
    if let Some((left, right)) = band(areas, panel) {
        canvas.fill(Rect::new(left, panel.area.top, right, panel.area.bottom), BAND)?;
    }
    panel.grid(canvas, marks, &ticks)?;
    if let Some(half) = areas.quarters[1] {
        canvas.upright(panel.px(half), panel.area.top, panel.area.bottom, 3.0, BAND_EDGE)?;
    }
    for (_, look, value) in curves {
        let points: Vec<_> = areas.rows.iter().map(|r| Some((r.throttle, value(areas, r)))).collect();
        look.draw(canvas, panel, &points)?;
    }
    panel.frame(canvas)?;
    panel.left_axis(canvas, &ticks, title, 100.0)
}

/// Who is in charge on each side of the band, and where the areas are equal.
fn words(canvas: &mut Canvas, areas: &HandOver, panel: &Panel) -> Result<(), PlotError> {
    let look = Lettering::new(LABEL - 2.0).middle();
    let (left, right) = band(areas, panel).unwrap_or((panel.area.right, panel.area.right));
    let y = panel.area.top + 26.0;
    for (from, to, word) in [(panel.area.left, left, "needle jet"), (right, panel.area.right, "main jet")] {
        for word in [format!("{word} in charge"), word.to_owned()] {
            if look.width(&word)? + 16.0 <= to - from {
                canvas.text((0.5 * (from + to), y), &word, look)?;
                break;
            }
        }
    }
    let Some(half) = areas.quarters[1] else {
        let text = "the main jet nowhere has half of the say";
        return canvas.text((0.5 * (panel.area.left + left), y + 34.0), text, Lettering::new(NOTE).middle());
    };
    let lift = areas.rows.last().map_or(0.0, |r| 1e3 * half * r.lift_m / r.throttle);
    let text = format!("half each at {}, {lift:.1} mm", percent(half));
    let look = Lettering::new(NOTE);
    let (width, x) = (look.width(&text)?, panel.px(half) + 12.0);
    let start = if x + width > panel.area.right - 8.0 { panel.px(half) - 12.0 - width } else { x };
    let y = panel.area.bottom - 30.0;
    canvas.fill(Rect::new(start - 6.0, y - 17.0, start + width + 6.0, y + 17.0), PAPER)?;
    canvas.text((start, y), &text, look)
}
