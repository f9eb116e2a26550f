"""Writes burnt_gas.csv: burnt petrol and air in chemical equilibrium, as the cylinder needs it.

    pip install -r requirements.txt
    python3 burnt_gas.py > ../../../src/media/burnt_gas.csv

Source: the NASA gas database as shipped with Cantera. Petrol: CH1.87 of 43.44 MJ/kg. Air: O2 20.946 %, Ar 0.934 %, the rest N2
(by mole). Above 1700 K the composition is that of equilibrium at temperature and pressure; below it is frozen as it is at 1700 K
and 20 bar, the usual figure for the water-gas reaction in an expanding charge. `u` [J/kg] is the internal energy with the
enthalpy of the frozen gas at 298.15 K as zero, so that it starts from -R T; `r` [J/(kg K)] is the gas constant. Rows of a pressure
of 0 are frozen. `eta` [-] is the share of the lower heating value that the frozen composition has released.
"""

import cantera as ct

O2, AR = 0.20946, 0.00934
DRY = {"N2": 1 - O2 - AR, "O2": O2, "Ar": AR}
HC = 1.87
LHV = 43.44e6
FROZEN_AT, FROZEN_P = 1700.0, 20e5
NAMES = ["N2", "O2", "Ar", "CO2", "H2O", "CO", "H2", "OH", "O", "H", "NO", "N"]
LAMBDAS = [round(0.6 + 0.025 * i, 3) for i in range(41)]
COLD = [200.0 + 50.0 * i for i in range(31)]
HOT = [1750.0 + 50.0 * i for i in range(38)]
PRESSURES = [1e5, 5e5, 20e5, 80e5]

library = {s.name: s for s in ct.Species.list_from_file("nasa_gas.yaml")}
gas = ct.Solution(thermo="ideal-gas", species=[library[n] for n in NAMES])
fuel_mass = 12.011 + HC * 1.008  # kg/kmol


def reactants(lam):
    """Elements of a kmol of CH1.87 and its air, put in as species of the burnt gas."""
    air = lam * (1 + HC / 4) / O2
    moles = {k: v * air for k, v in DRY.items()}
    # CO, H2 and O2 in the right proportions of C, H, O: one CO takes half an O2 of the air.
    moles["CO"] = 1.0
    moles["H2"] = HC / 2
    moles["O2"] = moles["O2"] - 0.5
    return moles


print("lambda,t,p,u,r,eta")
for lam in LAMBDAS:
    gas.TPX = FROZEN_AT, FROZEN_P, reactants(lam)
    mass_per_fuel = (fuel_mass + lam * (1 + HC / 4) / O2 * sum(
        v * library_mass for v, library_mass in ((DRY["N2"], 28.014), (DRY["O2"], 31.998), (DRY["Ar"], 39.95)))) / fuel_mass
    gas.equilibrate("TP")
    frozen = gas.X
    mole_mass = gas.mean_molecular_weight
    gas.TPX = 298.15, 1e5, frozen
    zero = gas.enthalpy_mass
    # What CO and H2 of the frozen gas would still give off.
    x = {n: gas[n].X[0] for n in ("CO", "H2")}
    co = library["CO"].thermo.h(298.15) + 0.5 * library["O2"].thermo.h(298.15) - library["CO2"].thermo.h(298.15)
    h2 = library["H2"].thermo.h(298.15) + 0.5 * library["O2"].thermo.h(298.15) - library["H2O"].thermo.h(298.15)
    left = (x["CO"] * co + x["H2"] * h2) / mole_mass * mass_per_fuel
    eta = 1 - left / LHV
    for t in COLD:
        gas.TPX = t, 1e5, frozen
        print(f"{lam},{t:.0f},0,{gas.int_energy_mass - zero:.1f},{ct.gas_constant / mole_mass:.4f},{eta:.5f}")
    for p in PRESSURES:
        for t in HOT:
            gas.TPX = t, p, frozen
            gas.equilibrate("TP")
            print(f"{lam},{t:.0f},{p:.0f},{gas.int_energy_mass - zero:.1f},{ct.gas_constant / gas.mean_molecular_weight:.4f},{eta:.5f}")
