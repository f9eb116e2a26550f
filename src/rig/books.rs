//! Books of mass: what came in, what went out, what was made, what is in store.

/// Moist air, burnt gas, fuel (vapour and liquid) [kg].
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Species {
    /// Moist air [kg].
    pub air: f64,
    /// Burnt gas [kg].
    pub burnt: f64,
    /// Fuel, vapour and liquid [kg].
    pub fuel: f64,
}

impl Species {
    fn each(self, other: Self, f: impl Fn(f64, f64) -> f64) -> Self {
        Self { air: f(self.air, other.air), burnt: f(self.burnt, other.burnt), fuel: f(self.fuel, other.fuel) }
    }

    /// Sum.
    #[must_use]
    pub fn plus(self, other: Self) -> Self {
        self.each(other, |a, b| a + b)
    }

    /// Difference.
    #[must_use]
    pub fn minus(self, other: Self) -> Self {
        self.each(other, |a, b| a - b)
    }
}

/// Books of one cycle.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct MassBooks {
    /// Net inflow over the machine's border: mouth beyond the cloud, air jets, leak, bowl, exhaust.
    pub net_in: Species,
    /// Everything that crossed the border, without sign.
    pub throughput: Species,
    /// Made by burning (negative for air and fuel).
    pub made: Species,
}

impl MassBooks {
    /// Books `flow` [kg] as coming in.
    pub fn enter(&mut self, flow: Species) {
        self.net_in = self.net_in.plus(flow);
        self.throughput = self.throughput.each(flow, |a, b| a + b.abs());
    }

    /// What does not add up, `in + made - change`, over the throughput of all species together [-].
    #[must_use]
    pub fn defect(&self, before: Species, after: Species) -> Species {
        let d = self.net_in.plus(self.made).minus(after.minus(before));
        let t = self.throughput;
        let of = |x: f64, through: f64, made: f64| {
            let scale = through + made.abs();
            if scale > 0.0 { x.abs() / scale } else { x.abs() }
        };
        Species {
            air: of(d.air, t.air, self.made.air),
            burnt: of(d.burnt, t.burnt, self.made.burnt),
            fuel: of(d.fuel, t.fuel, self.made.fuel),
        }
    }
}
