"""Writes gas.csv: heat capacity, sensible enthalpy and their ratio for dry air, moist air, burnt gas and vapours.

    pip install -r requirements.txt
    python3 gas.py > gas.csv

Source: the NASA gas database as shipped with Cantera. Dry air: O2 20.946 %, Ar 0.934 %, the rest N2 (by mole).
Moist air: 2 % of the moles are water. Burnt gas: stoichiometric products of CH1.87, ethanol and methanol with dry air. Enthalpy is zero at
298.15 K. `cp_r` is cp/R [-], `h_r` h/R [K]; both are free of the gas constant and so of the last digits of molar masses.
"""

import cantera as ct

O2, AR = 0.20946, 0.00934
DRY = {"N2": 1 - O2 - AR, "O2": O2, "Ar": AR}


def burnt(hydrogen, oxygen):
    """Products of one CHyOz and the air that it takes, by moles."""
    air = (1 + hydrogen / 4 - oxygen / 2) / O2
    return {"CO2": 1.0, "H2O": hydrogen / 2, "N2": air * DRY["N2"], "Ar": air * AR}


GASES = {
    "dry": DRY,
    "moist": {**{k: 0.98 * v for k, v in DRY.items()}, "H2O": 0.02},
    "burnt": burnt(1.87, 0.0),
    "isooctane": {"C8H18,isooctane": 1.0},
    "ethanol": {"C2H5OH": 1.0},
    "methanol": {"CH3OH": 1.0},
    "burnt ethanol": burnt(3.0, 0.5),
    "burnt methanol": burnt(4.0, 1.0),
}
NAMES = ["N2", "O2", "Ar", "CO2", "H2O", "C8H18,isooctane", "C2H5OH", "CH3OH"]
TEMPERATURES = [250, 298.15, 400, 600, 900, 999, 1001, 1300, 1800, 2400, 3000]

library = {s.name: s for s in ct.Species.list_from_file("nasa_gas.yaml")}
gas = ct.Solution(thermo="ideal-gas", species=[library[n] for n in NAMES])

print("gas,molar_mass,t,cp_r,h_r,gamma")
for name, moles in GASES.items():
    gas.TPX = 298.15, 101325, moles
    zero = gas.enthalpy_mole
    for t in TEMPERATURES:
        gas.TPX = t, 101325, moles
        print(
            f"{name},{gas.mean_molecular_weight:.6f},{t},{gas.cp_mole / ct.gas_constant:.8f},"
            f"{(gas.enthalpy_mole - zero) / ct.gas_constant:.6f},{gas.cp_mole / gas.cv_mole:.8f}"
        )
