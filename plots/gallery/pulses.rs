//! A weak pulse at a shut end, an open end and steps of area, against linear acoustics.

use std::f64::consts::PI;

use bellmouth::exact::resonator::area_step;
use bellmouth::exact::state::State;
use bellmouth::gas::lone_duct::{End, LoneDuct};
use bellmouth::plot::comparison::{Chart, Comparison, Kind, Scale, Series};

use super::bench::{
    GAMMA, Outcome, SOUND, STILL, air, along, chart, curve, fill, pipe, smooth, squeezed, still_temperature,
    unphysical, vessel,
};

const CELL: f64 = 5e-3;
/// Where the duct ends or steps [m], where the pulse starts [m], its width from foot to foot [m].
const PLACE: f64 = 1.0;
const CENTRE: f64 = 0.5;
const WIDTH: f64 = 0.4;
/// Height of the pulse over the pressure of the still air [-].
const HEIGHT: f64 = 1e-3;
/// Bore of the pipe that the pulse comes along [m].
const BORE: f64 = 25e-3;

/// The pulse over its height at the distance `s` [m] from its middle: `cos^2`.
fn pulse(s: f64) -> f64 {
    if s.abs() < 0.5 * WIDTH { libm::pow(libm::cos(PI * s / WIDTH), 2.0) } else { 0.0 }
}

/// What the pulse meets at `PLACE`.
struct Meeting {
    name: &'static str,
    /// Area behind over that before; none for an end.
    ratio: Option<f64>,
    far: End,
    /// Pressure that returns and that passes, over that of the pulse.
    back: f64,
    passes: f64,
}

impl Meeting {
    /// Exact for a weak wave: pulse, returning pulse and passing pulse.
    fn exact(&self, x: f64, t: f64) -> f64 {
        let way = x - CENTRE - SOUND * t;
        if x <= PLACE {
            pulse(way) + self.back * pulse(2.0 * PLACE - CENTRE - x - SOUND * t)
        } else {
            self.passes * pulse(way)
        }
    }

    /// Pressure along the duct when the pulse starts, when its middle is at `PLACE`, and after.
    fn chart(&self) -> Outcome<Chart> {
        let mut pieces = vec![pipe(PLACE, BORE)];
        pieces.extend(self.ratio.map(|r| pipe(PLACE, BORE * r.sqrt())));
        let mut duct = smooth(&pieces, CELL)?;
        // a simple wave to the right
        fill(&mut duct, &air(), |x| {
            let s = squeezed(1.0 + HEIGHT * pulse(x - CENTRE));
            State { u: 2.0 * (s.sound(GAMMA) - SOUND) / (GAMMA - 1.0), ..s }
        });
        let length = duct.length();
        let mut run = LoneDuct::new(air(), duct, [End::Shut, self.far]);
        let mut series = Vec::new();
        for (look, way) in [(0, 0.0), (1, PLACE - CENTRE), (2, 0.8 * PLACE)] {
            let t = way / SOUND;
            run.run_to(t).map_err(unphysical)?;
            let got = along(&run.cells, |s| (s.p / STILL - 1.0) / HEIGHT);
            series.push(Series::new("", Kind::Exact, look, curve(0.0, length, 800, |x| Ok(self.exact(x, t)))?));
            series.push(Series::new(&format!("{:.2} ms", 1e3 * t), Kind::Computed, look, got));
        }
        let mut chart = chart(self.name, "x [m]", Scale::new("pressure over the pulse's [-]"), series);
        if self.ratio.is_some() {
            chart.uprights = Some((vec![PLACE], "step".to_owned()));
        }
        chart.y = chart.y.within(-1.25, 2.15);
        Ok(chart)
    }
}

/// The sheet.
pub fn sheet() -> Outcome<Comparison> {
    let free = End::Open(vessel(STILL, still_temperature()), 0.0);
    let end = |name, far, back| Meeting { name, ratio: None, far, back, passes: 0.0 };
    let step = |name, ratio: f64| -> Outcome<Meeting> {
        let (back, passes) = area_step(1.0, ratio)?;
        Ok(Meeting { name, ratio: Some(ratio), far: End::Shut, back, passes })
    };
    Ok(Comparison {
        title: "A weak pulse at ends and steps of a duct".to_owned(),
        caption: "A pulse of 0.1 % of the pressure of still air (343.2 m/s), 0.4 m long, runs to the right; cells of \
                  5 mm, no friction. Lines: computed; marks: exact for a weak wave. A shut end returns +1 of the \
                  pressure, an open one \u{2212}1, a step (A1 \u{2212} A2)/(A1 + A2), and 2 A1/(A1 + A2) passes. \
                  Source: Kinsler, Frey, Coppens & Sanders, Fundamentals of Acoustics, chapter 10."
            .to_owned(),
        rows: vec![
            vec![
                end("Shut end: +1 returns", End::Shut, 1.0).chart()?,
                end("Open end: \u{2212}1 returns", free, -1.0).chart()?,
            ],
            vec![
                step("Step to twice the area: \u{2212}1/3 returns, 2/3 passes", 2.0)?.chart()?,
                step("Step to half the area: +1/3 returns, 4/3 passes", 0.5)?.chart()?,
            ],
        ],
        height: 420.0,
    })
}
