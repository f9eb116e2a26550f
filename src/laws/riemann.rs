//! Approximate Riemann flux for the Euler equations.

/// State on one side of a face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FaceState {
    /// Density [kg/m3].
    pub rho: f64,
    /// Velocity along +x [m/s].
    pub u: f64,
    /// Pressure [Pa].
    pub p: f64,
    /// Speed of sound that bounds the waves on this side [m/s].
    pub sound: f64,
}

impl FaceState {
    /// A state of gas with the ratio of specific heats `gamma` [-].
    #[must_use]
    pub fn new(rho: f64, u: f64, p: f64, gamma: f64) -> Self {
        Self { rho, u, p, sound: (gamma * p / rho).sqrt() }
    }
}

/// Flux through a unit area.
///
/// The energy flux of a gas with `E = xi p + rho u^2 / 2` is linear in `xi = 1/(gamma - 1)`; it is
/// returned in two parts so that each neighbour can take it with its own `xi` (double flux):
/// `energy = energy_rest + xi * energy_per_xi`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Flux {
    /// Mass [kg/(m2 s)].
    pub mass: f64,
    /// Momentum [Pa].
    pub momentum: f64,
    /// Energy without the `xi` part [W/m2].
    pub energy_rest: f64,
    /// Energy per `xi` [W/m2].
    pub energy_per_xi: f64,
}

/// HLLC flux with the wave-speed estimates of Davis, each side with its own speed of sound.
///
/// With `S_K` the outer speeds and
/// `S* = (p_R - p_L + rho_L u_L (S_L - u_L) - rho_R u_R (S_R - u_R)) / (rho_L (S_L - u_L) - rho_R (S_R - u_R))`,
/// the star state is `rho*_K = rho_K (S_K - u_K)/(S_K - S*)`. Resolves a contact exactly; `hllc(w, w)` is the
/// physical flux.
///
/// Source: Toro, Spruce & Speares, Shock Waves 4 (1994) 25; Davis, SIAM J. Sci. Stat. Comput. 9 (1988) 445; Abgrall &
/// Karni, J. Comput. Phys. 169 (2001) 594 for the double flux (all from memory).
#[inline(always)]
#[must_use]
pub fn hllc(l: FaceState, r: FaceState) -> Flux {
    let a = l.u - l.sound;
    let b = r.u - r.sound;
    let s_l = if a < b { a } else { b };
    let a = l.u + l.sound;
    let b = r.u + r.sound;
    let s_r = if a > b { a } else { b };
    let m_l = l.rho * (s_l - l.u);
    let m_r = r.rho * (s_r - r.u);
    let s_star = (r.p - l.p + l.u * m_l - r.u * m_r) / (m_l - m_r);
    let left = s_star >= 0.0;
    let rho = if left { l.rho } else { r.rho };
    let u = if left { l.u } else { r.u };
    let p = if left { l.p } else { r.p };
    let s_k = if left { s_l } else { s_r };
    // Outside the fan the star correction vanishes.
    let outer = if left { s_k >= 0.0 } else { s_k <= 0.0 };
    let inverse = 1.0 / (s_k - s_star);
    let chi = (s_k - u) * inverse;
    let s = if outer { 0.0 } else { s_k };
    let flow = rho * u;
    let kinetic = 0.5 * flow * u;
    let dense = rho * chi;
    let mass = flow + s * (dense - rho);
    let momentum = flow * u + p + s * (dense * s_star - flow);
    // `chi (E/rho + (S* - u)(S* + p/(rho (S - u))))` with `chi/(S - u) = 1/(S - S*)`.
    let star_rest = chi * kinetic + (s_star - u) * (dense * s_star + p * inverse);
    let energy_rest = u * (kinetic + p) + s * (star_rest - kinetic);
    let energy_per_xi = u * p + s * (chi * p - p);
    Flux { mass, momentum, energy_rest, energy_per_xi }
}
