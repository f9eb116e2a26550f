"""Writes burnt_gas.csv and burnt_gas_methanol.csv: burnt fuel and air in chemical equilibrium, as the cylinder needs it.

    pip install -r requirements.txt
    python3 burnt_gas.py petrol > ../../../src/media/burnt_gas.csv
    python3 burnt_gas.py methanol > ../../../src/media/burnt_gas_methanol.csv
    python3 burnt_gas.py check > burnt_gas_check.csv

Source: the NASA gas database as shipped with Cantera. Petrol: CH1.87 of 43.44 MJ/kg. Methanol: CH4O of 19.91 MJ/kg. `check`: a few
states of ethanol (CH3O0.5 of 26.81 MJ/kg) and of petrol with 85 % of it by volume, which the program takes from between the two. Air: O2 20.946 %, Ar 0.934 %, the rest N2
(by mole). Above 1700 K the composition is that of equilibrium at temperature and pressure; below it is frozen as it is at 1700 K
and 20 bar, the usual figure for the water-gas reaction in an expanding charge. `u` [J/kg] is the internal energy with the
enthalpy of the frozen gas at 298.15 K as zero, so that it starts from -R T; `r` [J/(kg K)] is the gas constant. Rows of a pressure
of 0 are frozen. `eta` [-] is the share of the lower heating value that the frozen composition has released.
"""

import sys

import cantera as ct

O2, AR = 0.20946, 0.00934
DRY = {"N2": 1 - O2 - AR, "O2": O2, "Ar": AR}
# Hydrogen and oxygen to one carbon, lower heating value of the liquid [J/kg].
MASS_E85 = 0.85 * 793.5 / (0.85 * 793.5 + 0.15 * 745.0)
CARBON = [(1 - MASS_E85) / (12.011 + 1.87 * 1.008), MASS_E85 / (12.011 + 3 * 1.008 + 0.5 * 15.999)]
ETHANOL_C = CARBON[1] / sum(CARBON)
FUELS = {
    "petrol": (1.87, 0.0, 43.44e6),
    "methanol": (4.0, 1.0, 19.91e6),
    "ethanol": (3.0, 0.5, 26.81e6),
    "E85": (1.87 + ETHANOL_C * 1.13, 0.5 * ETHANOL_C, 43.44e6 + MASS_E85 * (26.81e6 - 43.44e6)),
}
FROZEN_AT, FROZEN_P = 1700.0, 20e5
NAMES = ["N2", "O2", "Ar", "CO2", "H2O", "CO", "H2", "OH", "O", "H", "NO", "N"]
LAMBDAS = [round(0.6 + 0.025 * i, 3) for i in range(41)]
COLD = [200.0 + 50.0 * i for i in range(31)]
HOT = [1750.0 + 50.0 * i for i in range(38)]
PRESSURES = [1e5, 5e5, 20e5, 80e5]

library = {s.name: s for s in ct.Species.list_from_file("nasa_gas.yaml")}
gas = ct.Solution(thermo="ideal-gas", species=[library[n] for n in NAMES])
AIR_MASS = DRY["N2"] * 28.014 + DRY["O2"] * 31.998 + DRY["Ar"] * 39.95  # kg/kmol


def reactants(fuel, lam):
    """Elements of a kmol of carbon of the fuel and its air, put in as species of the burnt gas."""
    hydrogen, oxygen, _ = FUELS[fuel]
    air = lam * (1 + hydrogen / 4 - oxygen / 2) / O2
    moles = {k: v * air for k, v in DRY.items()}
    # CO, H2 and O2 in the right proportions of C, H, O: one CO takes half an O2 of the air or of the fuel.
    moles["CO"] = 1.0
    moles["H2"] = hydrogen / 2
    moles["O2"] = moles["O2"] - 0.5 + oxygen / 2
    return moles


def rows(fuel, lam, states):
    """Internal energy, gas constant and share released at each temperature and pressure; a pressure of 0 is frozen."""
    hydrogen, oxygen, heating_value = FUELS[fuel]
    fuel_mass = 12.011 + hydrogen * 1.008 + oxygen * 15.999
    air = lam * (1 + hydrogen / 4 - oxygen / 2) / O2
    mass_per_fuel = (fuel_mass + air * AIR_MASS) / fuel_mass
    gas.TPX = FROZEN_AT, FROZEN_P, reactants(fuel, lam)
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
    eta = 1 - left / heating_value
    for t, p in states:
        gas.TPX = t, p or 1e5, frozen
        if p:
            gas.equilibrate("TP")
        yield f"{lam},{t:.0f},{p:.0f},{gas.int_energy_mass - zero:.1f},{ct.gas_constant / gas.mean_molecular_weight:.4f},{eta:.5f}"


if sys.argv[1:] == ["check"]:
    print(f"# Cantera {ct.__version__}, burnt_gas.py check")
    print("fuel,lambda,t,p,u,r,eta")
    for fuel in ("ethanol", "E85"):
        for lam in (0.7, 0.85, 0.95, 1.0, 1.1, 1.4):
            for row in rows(fuel, lam, [(600, 0), (1200, 0), (2000, 5e5), (2400, 20e5), (2800, 20e5), (3200, 80e5)]):
                print(f"{fuel},{row}")
else:
    print("lambda,t,p,u,r,eta")
    for lam in LAMBDAS:
        for row in rows(sys.argv[1], lam, [(t, 0) for t in COLD] + [(t, p) for p in PRESSURES for t in HOT]):
            print(row)
