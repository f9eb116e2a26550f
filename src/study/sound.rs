//! No number that is not finite leaves the study.

use super::point::{PointResult, Status};

impl PointResult {
    /// Each number of the row that may be missing, with its name.
    fn numbers(&mut self) -> [(&'static str, &mut Option<f64>); 32] {
        [
            ("afr", &mut self.afr),
            ("lambda", &mut self.lambda),
            ("afr_metered", &mut self.afr_metered),
            ("ve", &mut self.ve),
            ("torque_nm", &mut self.torque_nm),
            ("power_kw", &mut self.power_kw),
            ("air_g_s", &mut self.air_g_s),
            ("fuel_g_s", &mut self.fuel_g_s),
            ("fuel_pilot_g_s", &mut self.fuel_pilot_g_s),
            ("fuel_main_g_s", &mut self.fuel_main_g_s),
            ("fuel_starter_g_s", &mut self.fuel_starter_g_s),
            ("standoff_g_s", &mut self.standoff_g_s),
            ("nozzle_depression_pa", &mut self.nozzle_depression_pa),
            ("manifold_pa", &mut self.manifold_pa),
            ("residual", &mut self.residual),
            ("standoff_lost_g_s", &mut self.standoff_lost_g_s),
            ("residual_gas", &mut self.residual_gas),
            ("imep_pa", &mut self.imep_pa),
            ("fmep_pa", &mut self.fmep_pa),
            ("peak_air_speed", &mut self.peak_air_speed),
            ("corrected_torque_nm", &mut self.corrected_torque_nm),
            ("corrected_power_kw", &mut self.corrected_power_kw),
            ("imep_gross_pa", &mut self.imep_gross_pa),
            ("pmep_pa", &mut self.pmep_pa),
            ("bmep_pa", &mut self.bmep_pa),
            ("trapped_lambda", &mut self.trapped_lambda),
            ("exhaust_temperature_k", &mut self.exhaust_temperature_k),
            ("fuel_g_kwh", &mut self.fuel_g_kwh),
            ("fuel_l_h", &mut self.fuel_l_h),
            ("torque_lost", &mut self.torque_lost),
            ("lambda_of_best", &mut self.lambda_of_best),
            ("piston_lift_m", &mut self.piston_lift_m),
        ]
    }

    /// The same without numbers that are not finite. A point that had one is not converged, and says which.
    #[must_use]
    pub fn sound(mut self) -> Self {
        let mut senseless = Vec::new();
        for (name, value) in self.numbers() {
            if value.is_some_and(|v| !v.is_finite()) {
                *value = None;
                senseless.push(name);
            }
        }
        let finite = |o: &super::point::PilotOpening| {
            [o.gas_given_g_s, o.gas_taken_g_s, o.fuel_g_s].iter().all(|v| v.is_finite())
        };
        if !self.pilot_openings.iter().all(finite) {
            self.pilot_openings.clear();
            senseless.push("pilot_openings");
        }
        if !senseless.is_empty() {
            let why = format!("not a finite number: {}", senseless.join(", "));
            self.note = Some(self.note.take().map_or_else(|| why.clone(), |note| format!("{note}; {why}")));
            self.converged = false;
            self.status = Status::Failed;
        }
        self
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A point with every number there.
    fn full() -> PointResult {
        let mut point = PointResult {
            converged: true,
            status: Status::Converged,
            note: None,
            ..PointResult::failed(0.5, 3000.0, 9, String::new())
        };
        point.numbers().into_iter().for_each(|(_, value)| *value = Some(1.5));
        point
    }

    #[test]
    fn a_sound_point_stays_as_it_is() {
        assert_eq!(full().sound(), full());
        let failed = PointResult::failed(0.5, 3000.0, 9, "why".to_owned());
        assert_eq!(failed.clone().sound(), failed);
    }

    #[test]
    fn each_number_that_is_not_finite_is_taken_out_and_named() {
        for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            for k in 0..full().numbers().len() {
                let mut point = full();
                let mut name = "";
                if let Some((its, value)) = point.numbers().into_iter().nth(k) {
                    *value = Some(bad);
                    name = its;
                }
                let mut point = point.sound();
                assert!(!point.converged && point.status == Status::Failed);
                assert_eq!(point.note.clone(), Some(format!("not a finite number: {name}")));
                assert_eq!(point.numbers().into_iter().filter(|(_, value)| value.is_none()).count(), 1);
            }
        }
    }

    /// Against the row as it is written: no number of it is forgotten in the list above.
    #[test]
    fn every_number_of_a_point_is_looked_at() {
        let written = serde_json::to_value(full()).unwrap_or_default();
        let lists = written.as_object().map_or(0, |row| row.values().filter(|v| v.as_f64() == Some(1.5)).count());
        assert_eq!(lists, full().numbers().len());
        let empty = |row: &serde_json::Map<String, serde_json::Value>| row.iter().filter(|(_, v)| v.is_null()).count();
        assert_eq!(written.as_object().map(empty), Some(1), "all but the note: {written}");
    }
}
