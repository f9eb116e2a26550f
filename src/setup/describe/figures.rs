//! Single figures that follow from the parts.

use serde::Serialize;

use super::speeds::ASSUMED_FILLING;
use crate::hardware::machine::Machine;
use crate::hardware::poppet_valve::PoppetValve;

/// A figure that follows from the set-up.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Derived {
    /// Key: `displacement`.
    pub key: &'static str,
    /// What it is, in words.
    pub what: &'static str,
    /// Value in `unit`.
    pub value: f64,
    /// Unit as shown.
    pub unit: &'static str,
}

/// Ratio of specific heats of air [-].
const ADIABATIC: f64 = 1.4;

/// The figures of `machine`.
#[must_use]
pub fn derived(machine: &Machine) -> Vec<Derived> {
    let (engine, carburettor) = (&machine.engine, &machine.carburettor);
    let inlet = &engine.inlet_valve;
    let count = f64::from(inlet.count);
    let throat = count * inlet.geometric_area(f64::MAX);
    let way_in: f64 = carburettor.mouth.iter().chain(&carburettor.spigot).chain(&engine.inlet).map(|p| p.length).sum();
    let open = (inlet.lift.closing() - inlet.lift.opening()).to_degrees();
    let overlap = (engine.exhaust_valve.lift.closing() - inlet.lift.opening()).to_degrees();
    let at_top = |valve: &PoppetValve| valve.lift.lift(2.0 * std::f64::consts::PI) * 1e3;
    let figure = |key, what, value, unit| Derived { key, what, value, unit };
    let mut figures = vec![
        figure("displacement", "displacement", engine.crank.swept_volume() * 1e6, "cc"),
        figure("clearance_volume", "clearance volume", engine.crank.clearance_volume() * 1e6, "cc"),
        figure("clearance_height", "clearance over a flat piston", engine.crank.clearance_height() * 1e3, "mm"),
        figure("bore_area", "area of the carburettor's bore", carburettor.slide.bore_area() * 1e6, "mm2"),
        figure("throat_area", "area of the inlet valve throats, stems taken off", throat * 1e6, "mm2"),
        figure(
            "bore_to_throat",
            "carburettor bore over valve throats, by area",
            carburettor.slide.bore_area() / throat,
            "",
        ),
        figure("inlet_duration", "inlet valve off its seat", open, "deg"),
        figure("overlap", "both valves off their seats", overlap, "deg"),
        figure("inlet_lift_at_top", "inlet valve lift at the top centre of gas exchange", at_top(inlet), "mm"),
        figure("exhaust_lift_at_top", "exhaust valve lift there", at_top(&engine.exhaust_valve), "mm"),
        figure("way_in", "length from the mouth to the inlet valve", way_in * 1e3, "mm"),
        figure("screw_area", "open area at the mixture screw", carburettor.pilot.screw.area() * 1e6, "mm2"),
        figure("pilot_jet_area", "area of the pilot jet", carburettor.pilot.jet.area() * 1e6, "mm2"),
        figure("air_density", "density of the free air", machine.air.density(), "kg/m3"),
        figure("air_pressure", "pressure of the free air", machine.air.pressure * 1e-2, "hPa"),
        figure("fuel_density", "density of the fuel in the bowl", machine.fuel.density, "kg/m3"),
        figure("fuel_viscosity", "viscosity of the fuel in the bowl", machine.fuel.viscosity * 1e6, "mm2/s"),
        figure("stoichiometric", "air-fuel ratio of lambda 1", machine.fuel.stoichiometric, ""),
    ];
    if let Some(v) = &carburettor.vacuum {
        let b = &v.butterfly;
        let depression = |lift: f64| 1e-3 * v.floating_depression(lift);
        let half = 0.5 * (v.lowest + v.highest);
        let stiffness = v.spring_rate + ADIABATIC * machine.air.pressure * v.area * v.area / v.chamber(half);
        let hertz = |rate: f64| (rate / v.mass).sqrt() / (2.0 * std::f64::consts::PI);
        figures.extend([
            figure("piston_off", "depression at which the piston leaves its stop", depression(v.lowest), "kPa"),
            figure("piston_half", "depression that holds it at half lift", depression(half), "kPa"),
            figure("piston_up", "depression that holds it fully up", depression(v.highest), "kPa"),
            figure("piston_hertz", "natural frequency of piston and spring", hertz(v.spring_rate), "Hz"),
            figure("chamber_hertz", "the same with its chamber shut, at half lift", hertz(stiffness), "Hz"),
            figure("butterfly_area", "area at the fully open butterfly", b.area(1.0) * 1e6, "mm2"),
        ]);
    }
    if let Some(attitude) = &carburettor.bowl.attitude {
        let level = carburettor.bowl.level_below_bore;
        let nozzle = attitude.standing(attitude.nozzle, level + carburettor.main.nozzle.protrusion.max(0.0));
        let pilot = attitude.standing(attitude.pilot, level);
        figures.push(figure("nozzle_stands", "nozzle above the fuel as the machine stands", nozzle.lift * 1e3, "mm"));
        figures.push(figure("pilot_stands", "pilot outlet above the fuel as it stands", pilot.lift * 1e3, "mm"));
    }
    if let Some(part) = &machine.air_box {
        let swept = engine.crank.swept_volume();
        let full_flow = ASSUMED_FILLING * swept * engine.highest_rpm / 120.0;
        let what = if part.inlet.is_empty() { "pod filter over displacement" } else { "air box over displacement" };
        figures.push(figure("box_to_displacement", what, part.volume / swept, ""));
        if let Some(inlet) = part.inlet.first() {
            let what = "air box inlet over the carburettor's bore, by area";
            figures.push(figure("inlet_to_bore", what, inlet.area_start() / carburettor.slide.bore_area(), ""));
        }
        if let Some(filter) = part.filter {
            let what = "pressure that the filter takes at the highest speed, filling 0.85";
            figures.push(figure("filter_drop", what, filter.resistance() * full_flow, "Pa"));
        }
    }
    figures
}
