//! Time per cell-update of the duct solver: `cargo bench --bench kernel`.
//!
//! Three fields: gas of one gamma alone. Six fields: with burnt gas, vapour and liquid, and with walls; once with one gamma and once with
//! the gamma of the machine's gases. Elements per second are cell-updates.

use std::hint::black_box;

use bellmouth::gas::duct_cells::DuctCells;
use bellmouth::gas::lone_duct::{End, LoneDuct};
use bellmouth::hardware::duct::Piece;
use bellmouth::media::atmosphere::FreeAir;
use bellmouth::media::composition::Composition;
use bellmouth::media::fuel::Fuel;
use bellmouth::media::gas::GasModel;
use criterion::{Criterion, Throughput, criterion_group, criterion_main};

/// How a duct is computed.
type Way = fn(DuctCells) -> DuctCells;

/// A shut pipe of `cells` cells of 5 mm, tapered, with a standing wave in it.
fn pipe(gas: &GasModel, cells: usize) -> DuctCells {
    let length = 5e-3 * cells as f64;
    let piece = Piece::plain("pipe", length, 0.045, 0.038, 320.0);
    let mut duct = DuctCells::new(&[piece], 5e-3, gas, 1.0e5, 300.0).expect("the pipe is long enough");
    let air = Composition { burnt: 0.05, vapour: 0.02, liquid: 0.04 };
    duct.fill(gas, |x| (1.16, 20.0 * (std::f64::consts::PI * x / length).sin(), 1.0e5, air));
    duct
}

fn kernel(c: &mut Criterion) {
    let air = FreeAir { pressure: 1.0e5, temperature: 300.0, relative_humidity: 0.5 };
    let fuel = Fuel::petrol(745.0, 298.0);
    let (one, varying) = (GasModel::constant(287.05, 1.4), GasModel::new(&air, &fuel));
    let cases: [(&str, &GasModel, Way); 3] = [
        ("3 fields, one gamma", &one, DuctCells::gas_alone),
        ("6 fields and walls, one gamma", &one, DuctCells::one_gamma),
        ("6 fields and walls, varying gamma", &varying, |duct| duct),
    ];
    for (name, gas, with) in cases {
        let mut group = c.benchmark_group(name);
        for cells in [50, 200, 400] {
            let mut duct = LoneDuct::new(*gas, with(pipe(gas, cells)), [End::Shut; 2]);
            let dt = 0.8 * duct.cells.crossing_time();
            group.throughput(Throughput::Elements(cells as u64));
            group.bench_function(format!("{cells} cells"), |b| b.iter(|| duct.step(black_box(dt)).is_ok()));
        }
    }
}

criterion_group!(benches, kernel);
criterion_main!(benches);
