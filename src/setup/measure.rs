//! With what an estimated value can be measured at home.

/// What measures the value of `key` (dotted) in a shed; none for a coefficient that only a laboratory finds. Common
/// practice.
#[must_use]
pub fn tool(key: &str) -> Option<&'static str> {
    let (table, last) = key.rsplit_once('.').unwrap_or(("", key));
    let within = |word: &str| table.contains(word);
    Some(match last {
        "pressure" if within("air") => "a barometer",
        "density" => "weigh 100 ml of it",
        "temperature" if within("fuel") => "a thermometer in the bowl",
        "wall" => "a thermometer on the warm part",
        "back_pressure" => "a gauge at the header",
        "length" | "diameter" if within("exhaust") => "a tape and a caliper",
        "silencer_volume" => "fill it with water, or its size by a tape",
        "spark_slow" | "spark_full" | "slow_until" | "full_from" => "a timing light",
        "rod_length" => "a caliper, or the manual",
        "opens" | "closes" | "check_lift" | "lift" => "a degree wheel and a dial gauge",
        "throat" | "seat_width" => "a caliper, with the head off",
        "to" if within("port") => "a caliper, with the carburettor off",
        "shroud" | "protrusion" | "width" | "flare" | "groove_pitch" | "pitch" | "seat" => "a caliper",
        "radius" | "diameter" | "bore" => "a caliper, or a drill that just fits",
        "length" => "a caliper's depth rod",
        "leak" => "a feeler gauge under the shut slide",
        "washers" => "look under the clip",
        "level" => "a clear tube and a ruler",
        "air_leak" => "spray at the joints while it idles",
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_have_a_tool_and_coefficients_have_none() {
        for key in ["engine.exhaust.length", "carburettor.mouth.flare", "air.pressure", "engine.inlet_valve.throat"] {
            assert!(tool(key).is_some(), "{key}");
        }
        for key in ["carburettor.nozzle.signal_forward", "engine.friction.constant", "engine.walls.heat_factor"] {
            assert!(tool(key).is_none(), "{key}");
        }
    }
}
