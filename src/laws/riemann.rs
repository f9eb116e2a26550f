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
    /// Ratio of specific heats on this side [-].
    pub gamma: f64,
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

/// HLLC flux with the wave-speed estimates of Davis, each side with its own `gamma`.
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
    let c_l = (l.gamma * l.p / l.rho).sqrt();
    let c_r = (r.gamma * r.p / r.rho).sqrt();
    let a = l.u - c_l;
    let b = r.u - c_r;
    let s_l = if a < b { a } else { b };
    let a = l.u + c_l;
    let b = r.u + c_r;
    let s_r = if a > b { a } else { b };
    let m_l = l.rho * (s_l - l.u);
    let m_r = r.rho * (s_r - r.u);
    let s_star = (r.p - l.p + l.u * m_l - r.u * m_r) / (m_l - m_r);
    let left = s_star >= 0.0;
    let k = if left { l } else { r };
    let s_k = if left { s_l } else { s_r };
    // Outside the fan the star correction vanishes.
    let outer = if left { s_k >= 0.0 } else { s_k <= 0.0 };
    let d = s_k - k.u;
    let chi = d / (s_k - s_star);
    let s = if outer { 0.0 } else { s_k };
    let kinetic = 0.5 * k.rho * k.u * k.u;
    let mass = k.rho * k.u + s * (k.rho * chi - k.rho);
    let momentum = k.rho * k.u * k.u + k.p + s * (k.rho * chi * s_star - k.rho * k.u);
    let star_rest = chi * (kinetic + (s_star - k.u) * (k.rho * s_star + k.p / d));
    let energy_rest = k.u * (kinetic + k.p) + s * (star_rest - kinetic);
    let energy_per_xi = k.u * k.p + s * (chi * k.p - k.p);
    Flux { mass, momentum, energy_rest, energy_per_xi }
}
