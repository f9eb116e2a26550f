//! Places for names beside their curves, where they cover other curves and names least.

use super::canvas::Rect;

/// Distance of a name's middle from its curve [px].
const BESIDE: f64 = 21.0;
/// Distance of tried places and of a curve's places for the count of what is covered [px].
const STRIDE: f64 = 8.0;
/// Cost of covering another name, against one place of a curve.
const NAME: f64 = 1e4;
/// Cost of standing away from the curve's highest place [per px].
const BELOW_PEAK: f64 = 0.004;

/// A name that stands beside its curve.
pub struct Name {
    /// Size of the text [px].
    pub size: (f64, f64),
    /// Places of the curve [px], from left to right; a missing one breaks it.
    pub places: Vec<Option<(f64, f64)>>,
}

/// The middle of each name inside `area`, in the order given; none for a curve that never comes inside.
#[must_use]
pub fn places(names: &[Name], area: Rect) -> Vec<Option<(f64, f64)>> {
    let dense: Vec<Vec<(f64, f64)>> = names.iter().map(|n| walked(&n.places, area)).collect();
    let mut taken: Vec<Rect> = Vec::new();
    let mut found = Vec::new();
    for (i, name) in names.iter().enumerate() {
        let peak = dense[i].iter().map(|p| p.1).fold(f64::INFINITY, f64::min);
        let mut best: Option<(f64, Rect)> = None;
        for (x, y) in &dense[i] {
            for beside in [-BESIDE, BESIDE] {
                let (w, h) = (0.5 * name.size.0, 0.5 * name.size.1);
                let rect = Rect::new(x - w, y + beside - h, x + w, y + beside + h);
                if rect.left < area.left + 4.0 || rect.right > area.right - 4.0 {
                    continue;
                }
                if rect.top < area.top + 4.0 || rect.bottom > area.bottom - 4.0 {
                    continue;
                }
                let inside =
                    |p: &&(f64, f64)| p.0 > rect.left && p.0 < rect.right && p.1 > rect.top && p.1 < rect.bottom;
                let covered = dense.iter().flatten().filter(inside).count() as f64;
                let names = taken.iter().filter(|t| t.meets(&rect)).count() as f64;
                let cost = covered + NAME * names + BELOW_PEAK * (y - peak);
                if best.is_none_or(|b| cost < b.0) {
                    best = Some((cost, rect));
                }
            }
        }
        found.push(best.filter(|b| b.0 < NAME).map(|(_, rect)| {
            taken.push(rect);
            rect.middle()
        }));
    }
    found
}

/// Places along a curve, close together, those inside `area`.
fn walked(places: &[Option<(f64, f64)>], area: Rect) -> Vec<(f64, f64)> {
    let mut all = Vec::new();
    for pair in places.windows(2) {
        let (Some(a), Some(b)) = (pair[0], pair[1]) else { continue };
        let length = ((b.0 - a.0) * (b.0 - a.0) + (b.1 - a.1) * (b.1 - a.1)).sqrt();
        let parts = (length / STRIDE).ceil().clamp(1.0, 1e3) as u32;
        all.extend(
            (0..=parts)
                .map(|i| f64::from(i) / f64::from(parts))
                .map(|s| (a.0 + s * (b.0 - a.0), a.1 + s * (b.1 - a.1))),
        );
    }
    all.retain(|p| p.0 >= area.left && p.0 <= area.right && p.1 >= area.top && p.1 <= area.bottom);
    all
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn names_stand_inside_apart_from_each_other_and_off_other_curves() {
        let level = |y: f64| (0..=10).map(|i| Some((100.0 * f64::from(i), y))).collect::<Vec<_>>();
        let names: Vec<Name> =
            [100.0, 130.0, 400.0].map(|y| Name { size: (200.0, 24.0), places: level(y) }).into_iter().collect();
        let area = Rect::new(0.0, 0.0, 1000.0, 500.0);
        let found: Vec<_> = places(&names, area).into_iter().map(Option::unwrap).collect();
        let rects: Vec<_> = found.iter().map(|p| Rect::new(p.0 - 100.0, p.1 - 12.0, p.0 + 100.0, p.1 + 12.0)).collect();
        for (i, r) in rects.iter().enumerate() {
            assert!(r.left >= 0.0 && r.right <= 1000.0 && r.top >= 0.0 && r.bottom <= 500.0);
            assert!(rects[i + 1..].iter().all(|o| !o.meets(r)));
            assert!([100.0, 130.0, 400.0].iter().all(|y| *y < r.top || *y > r.bottom), "{r:?}");
        }
    }

    #[test]
    fn a_curve_outside_gets_no_name() {
        let names = [Name { size: (50.0, 20.0), places: vec![Some((0.0, 900.0)), None, Some((5.0, 900.0))] }];
        assert_eq!(places(&names, Rect::new(0.0, 0.0, 100.0, 100.0)), [None]);
    }
}
