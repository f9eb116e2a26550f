//! Species of the gas and their NASA 7-coefficient heat capacities.
//!
//! `cp/R = a1 + a2 T + a3 T^2 + a4 T^3 + a5 T^4`, one set below and one above 1000 K, fitted from 200 to 6000 K.
//! Source: the NASA gas database as shipped with Cantera 3.2.0 (`nasa_gas.yaml`): Ar L 6/88, N2 and O2 (TPIS),
//! CO2 L 7/88, H2O L 8/89, isooctane X 4/85, ethanol and methanol L 8/88. `tests/handbook/data/gas.py` writes the table that checks them.

/// One species.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Species {
    /// Molar mass [kg/kmol].
    pub molar_mass: f64,
    /// Coefficients of cp/R below 1000 K.
    pub low: [f64; 5],
    /// Coefficients of cp/R above 1000 K.
    pub high: [f64; 5],
}

/// Argon.
pub const ARGON: Species =
    Species { molar_mass: 39.95, low: [2.5, 0.0, 0.0, 0.0, 0.0], high: [2.5, 0.0, 0.0, 0.0, 0.0] };

/// Nitrogen.
pub const NITROGEN: Species = Species {
    molar_mass: 28.014,
    low: [3.531_005_28, -0.000_123_660_987, -5.029_994_37e-7, 2.435_306_12e-9, -1.408_812_35e-12],
    high: [2.952_576_26, 0.001_396_900_57, -4.926_316_91e-7, 7.860_103_67e-11, -4.607_553_21e-15],
};

/// Oxygen.
pub const OXYGEN: Species = Species {
    molar_mass: 31.998,
    low: [3.782_456_36, -0.002_996_734_15, 9.847_302e-6, -9.681_295_08e-9, 3.243_728_36e-12],
    high: [3.660_960_83, 0.000_656_365_523, -1.411_494_85e-7, 2.057_976_58e-11, -1.299_132_48e-15],
};

/// Carbon dioxide.
pub const CARBON_DIOXIDE: Species = Species {
    molar_mass: 44.009,
    low: [2.356_773_52, 0.008_984_596_77, -7.123_562_69e-6, 2.459_190_22e-9, -1.436_995_48e-13],
    high: [4.636_594_93, 0.002_741_319_91, -9.958_285_31e-7, 1.603_730_11e-10, -9.161_034_68e-15],
};

/// Water vapour.
pub const WATER: Species = Species {
    molar_mass: 18.015,
    low: [4.198_640_56, -0.002_036_434_1, 6.520_402_11e-6, -5.487_970_62e-9, 1.771_978_17e-12],
    high: [2.677_037_87, 0.002_973_183_29, -7.737_696_9e-7, 9.443_366_89e-11, -4.269_009_59e-15],
};

/// Isooctane (2,2,4-trimethylpentane) vapour.
pub const ISOOCTANE: Species = Species {
    molar_mass: 114.232,
    low: [0.815_737_338, 0.073_264_395_9, 1.783_006_88e-5, -6.935_896_2e-8, 3.216_293_82e-11],
    high: [15.989_927_3, 0.055_318_479, -1.952_670_72e-5, 3.117_791_72e-9, -1.853_125_77e-13],
};

/// Ethanol vapour.
pub const ETHANOL: Species = Species {
    molar_mass: 46.069,
    low: [4.858_681_78, -0.003_740_067_4, 6.955_502_67e-5, -8.865_411_47e-8, 3.516_844_3e-11],
    high: [6.562_897_7, 0.015_203_426_4, -5.389_222_47e-6, 8.621_502_24e-10, -5.128_246_83e-14],
};

/// Methanol vapour.
pub const METHANOL: Species = Species {
    molar_mass: 32.042,
    low: [5.715_395_82, -0.015_230_912_9, 6.524_411_55e-5, -7.108_068_89e-8, 2.613_526_98e-11],
    high: [3.601_344_86, 0.010_243_095_4, -3.599_855_17e-6, 5.725_059_86e-10, -3.391_176_4e-14],
};
