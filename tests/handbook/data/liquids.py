"""Writes liquids.csv: pure liquids that fuels and test liquids are checked against, at 1 atm and on the saturation line.

    pip install -r requirements.txt
    python3 liquids.py > liquids.csv

Source: CoolProp. Density [kg/m3] and dynamic viscosity [Pa s] at 101325 Pa, saturation pressure [Pa], latent heat [J/kg] and surface tension
[N/m] at saturation, against temperature [degC]. n-Heptane is the pure liquid nearest to petrol in viscosity.
"""

import CoolProp
from CoolProp.CoolProp import PropsSI

LIQUIDS = {"methanol": "Methanol", "ethanol": "Ethanol", "n-heptane": "n-Heptane", "toluene": "Toluene", "water": "Water"}

print(f"# CoolProp {CoolProp.__version__}, liquids.py")
print("liquid,t,density,viscosity,psat,hfg,sigma")
for name, fluid in LIQUIDS.items():
    for celsius in range(-10, 55, 5):
        if name == "water" and celsius < 1:
            continue
        t = 273.15 + celsius
        rho = PropsSI("D", "T", t, "P", 101325, fluid)
        mu = PropsSI("V", "T", t, "P", 101325, fluid)
        psat = PropsSI("P", "T", t, "Q", 0, fluid)
        hfg = PropsSI("H", "T", t, "Q", 1, fluid) - PropsSI("H", "T", t, "Q", 0, fluid)
        sigma = PropsSI("I", "T", t, "Q", 0, fluid)
        print(f"{name},{celsius},{rho:.3f},{mu:.6e},{psat:.1f},{hfg:.0f},{sigma:.5f}")
