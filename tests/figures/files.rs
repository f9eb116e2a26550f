//! CSV and JSON: exact heads, the same numbers read back, nothing senseless inside.

use bellmouth::report::{cycle_csv, cycle_json, map_csv, map_json};
use bellmouth::study::cycle::CycleResult;
use bellmouth::study::map::MapResult;
use bellmouth::study::point::Status;

use super::synthetic;

#[test]
fn the_head_of_the_map_is_exactly_the_published_one() {
    let text = map_csv(&synthetic::map()).unwrap();
    let head = "throttle,rpm,afr,lambda,afr_metered,ve,torque_nm,power_kw,air_g_s,fuel_g_s,fuel_pilot_g_s,fuel_main_g_s,\
        fuel_starter_g_s,standoff_g_s,nozzle_depression_pa,manifold_pa,residual,cycles,converged,\
        standoff_lost_g_s,residual_gas,imep_pa,fmep_pa,fired,peak_air_speed,repairs,status,\
        imep_gross_pa,pmep_pa,bmep_pa,trapped_lambda,exhaust_temperature_k,fuel_g_kwh,fuel_l_h,torque_lost,lambda_of_best,\
        piston_lift_m";
    assert_eq!(text.lines().next(), Some(head));
    let text = cycle_csv(&synthetic::cycle()).unwrap();
    let head = "crank_deg,nozzle_pa,manifold_pa,cylinder_pa,slide_air_g_s,nozzle_air_speed,fuel_main_g_s,fuel_pilot_g_s,\
        inlet_lift_m,exhaust_lift_m,fuel_starter_g_s,\
        piston_lift_m";
    assert_eq!(text.lines().next(), Some(head));
}

/// Cell as a number; an empty one does not exist.
fn number(cell: &str) -> Option<f64> {
    if cell.is_empty() { None } else { Some(cell.parse().unwrap()) }
}

#[test]
fn a_map_read_back_from_csv_has_the_same_bits() {
    let mut map = synthetic::map();
    map.points[0].residual = Some(1.234e-9);
    map.points[1].residual = Some(f64::NAN);
    map.points[2].afr = Some(f64::INFINITY);
    map.points[3].imep_pa = Some(-1e300);
    let text = map_csv(&map).unwrap();
    // a number that is not finite fails its point
    for p in &mut map.points[1..3] {
        (p.converged, p.status) = (false, Status::Failed);
    }
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    assert_eq!(rows.len(), map.points.len());
    let bits = |v: Option<f64>| v.filter(|v| v.is_finite()).map(f64::to_bits);
    for (row, p) in rows.iter().zip(&map.points) {
        let wanted = [
            Some(p.throttle),
            Some(p.rpm),
            p.afr,
            p.lambda,
            p.afr_metered,
            p.ve,
            p.torque_nm,
            p.power_kw,
            p.air_g_s,
            p.fuel_g_s,
            p.fuel_pilot_g_s,
            p.fuel_main_g_s,
            p.fuel_starter_g_s,
            p.standoff_g_s,
            p.nozzle_depression_pa,
            p.manifold_pa,
            p.residual,
        ];
        for (place, value) in wanted.into_iter().enumerate() {
            assert_eq!(number(&row[place]).map(f64::to_bits), bits(value), "column {place}");
        }
        assert_eq!((&row[17], &row[18]), (p.cycles.to_string().as_str(), if p.converged { "true" } else { "false" }));
        for (place, value) in
            [(19, p.standoff_lost_g_s), (20, p.residual_gas), (21, p.imep_pa), (22, p.fmep_pa), (24, p.peak_air_speed)]
        {
            assert_eq!(number(&row[place]).map(f64::to_bits), bits(value), "column {place}");
        }
        assert_eq!(&row[23], if p.fired { "true" } else { "false" });
        let joined = [
            p.imep_gross_pa,
            p.pmep_pa,
            p.bmep_pa,
            p.trapped_lambda,
            p.exhaust_temperature_k,
            p.fuel_g_kwh,
            p.fuel_l_h,
            p.torque_lost,
            p.lambda_of_best,
            p.piston_lift_m,
        ];
        for (place, value) in joined.into_iter().enumerate() {
            assert_eq!(number(&row[27 + place]).map(f64::to_bits), bits(value), "column {}", 27 + place);
        }
        let status = serde_json::to_value(p.status).unwrap();
        assert_eq!(Some(&row[26]), status.as_str(), "CSV and JSON name the status alike");
    }
    assert!(!text.contains("NaN") && !text.contains("inf"));
}

#[test]
fn columns_of_corrected_power_join_only_when_it_was_asked_for() {
    let mut map = synthetic::map();
    map.points[4].torque_nm = Some(-3.0);
    map.points[4].power_kw = Some(-1.0);
    let plain = map_csv(&map).unwrap();
    assert!(!plain.contains("corrected") && !map_json(&map).unwrap().contains("correct"));
    let standard = bellmouth::laws::power_correction::Standard::SaeJ1349;
    let correction = standard.correction(95e3, 303.15).unwrap();
    map.correction = Some(correction);
    map.points = map.points.into_iter().map(|p| p.corrected(correction.factor)).collect();
    let text = map_csv(&map).unwrap();
    let mut rows = text.lines().zip(plain.lines());
    let (head, usual) = rows.next().unwrap();
    assert_eq!(head, format!("{usual},corrected_torque_nm,corrected_power_kw"));
    for ((row, usual), p) in rows.zip(&map.points) {
        let more: Vec<&str> = row.strip_prefix(usual).unwrap().split(',').collect();
        let times = |x: Option<f64>| x.filter(|x| *x > 0.0).map(|x| x * correction.factor);
        assert_eq!((number(more[1]), number(more[2])), (times(p.torque_nm), times(p.power_kw)));
    }
    let value: serde_json::Value = serde_json::from_str(&map_json(&map).unwrap()).unwrap();
    assert_eq!(value["correction"]["standard"], "sae_j1349");
    assert!(value["points"][0]["corrected_power_kw"].is_number());
    let text = bellmouth::report::map_text(&map);
    assert!(text.contains("SAE J1349 (June 1990)") && text.contains("factor 1.0600"), "{text}");
    assert!(text.lines().all(|l| l.chars().count() <= 80), "{text}");
}

#[test]
fn a_cycle_read_back_from_csv_has_the_same_bits() {
    let mut cycle = synthetic::cycle();
    cycle.traces.nozzle_pa[3] = f64::NAN;
    cycle.traces.exhaust_lift_m.truncate(700);
    cycle.traces.fuel_starter_g_s = (0..720).map(|i| 0.1 + 1e-3 * f64::from(i)).collect();
    let text = cycle_csv(&cycle).unwrap();
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    assert_eq!(rows.len(), 721);
    assert_eq!((&rows[3][1], &rows[720][9], &rows[720][10]), ("", "", ""));
    for (i, row) in rows.iter().enumerate() {
        assert_eq!(number(&row[0]).map(f64::to_bits), Some(cycle.traces.crank_deg[i].to_bits()));
        assert_eq!(number(&row[3]).map(f64::to_bits), Some(cycle.traces.cylinder_pa[i].to_bits()));
        assert_eq!(number(&row[7]).map(f64::to_bits), Some(cycle.traces.fuel_pilot_g_s[i].to_bits()));
        assert_eq!(number(&row[10]).map(f64::to_bits), cycle.traces.fuel_starter_g_s.get(i).map(|v| v.to_bits()));
    }
}

#[test]
fn json_holds_the_whole_map_with_schema_one_and_null_for_what_does_not_exist() {
    let mut map = synthetic::map();
    map.points[0].afr = Some(f64::NAN);
    map.points[1].ve = Some(f64::INFINITY);
    let text = map_json(&map).unwrap();
    let value: serde_json::Value = serde_json::from_str(&text).unwrap();
    assert_eq!(value["schema"], 1);
    assert!(text.starts_with("{\n  \"schema\": 1,\n"));
    assert!(value["points"][0]["afr"].is_null() && value["points"][1]["ve"].is_null());
    let none = map.points.iter().position(|p| p.afr.is_none()).unwrap();
    assert!(value["points"][none]["afr"].is_null());
    assert_eq!(value["points"].as_array().unwrap().len(), map.points.len());
    // a number that is not finite fails its point
    (map.points[0].afr, map.points[0].status) = (None, Status::Failed);
    (map.points[1].ve, map.points[1].status) = (None, Status::Failed);
    let back: MapResult = serde_json::from_str(&text).unwrap();
    assert_eq!(back.points.len(), map.points.len());
    for (a, b) in back.points.iter().zip(&map.points) {
        assert_eq!((a.afr.is_none(), a.ve.is_none(), a.status), (b.afr.is_none(), b.ve.is_none(), b.status));
        // the reader may round the last bit
        let close = |a: Option<f64>, b: Option<f64>| {
            (a.unwrap_or(0.0) - b.unwrap_or(0.0)).abs() <= 1e-14 * b.unwrap_or(0.0).abs()
        };
        assert!(close(a.afr, b.afr) && close(a.torque_nm, b.torque_nm) && close(a.manifold_pa, b.manifold_pa));
    }
}

#[test]
fn json_of_a_cycle_reads_back_and_a_senseless_trace_value_is_null() {
    let cycle = synthetic::cycle();
    let back: CycleResult = serde_json::from_str(&cycle_json(&cycle).unwrap()).unwrap();
    assert_eq!((back.schema, back.traces.crank_deg.len()), (1, 721));
    let mut odd = cycle;
    odd.traces.nozzle_pa[5] = f64::NAN;
    odd.point.imep_pa = Some(f64::NEG_INFINITY);
    let value: serde_json::Value = serde_json::from_str(&cycle_json(&odd).unwrap()).unwrap();
    assert!(value["traces"]["nozzle_pa"][5].is_null() && value["point"]["imep_pa"].is_null());
}
