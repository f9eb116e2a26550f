//! One cycle of the running machine on the demo: `cargo bench --bench operating_point`. The throughput is in simulated
//! microseconds, so elements per second over a million is simulated time over wall time.

use std::path::Path;

use bellmouth::rig::machine_state::{OperatingPoint, Rig};
use bellmouth::rig::settings::Settings;
use criterion::{Criterion, Throughput, criterion_group, criterion_main};

fn operating_point(c: &mut Criterion) {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/sidecar_38mm.toml");
    let Ok(setup) = bellmouth::setup::load(&file, None) else { return };
    let machine = setup.value.machine;
    let mut group = c.benchmark_group("one cycle, 38 mm, full throttle");
    group.sample_size(20);
    for rpm in [2000.0, 4000.0, 6000.0] {
        let point = OperatingPoint { rpm, lift: machine.carburettor.slide.bore };
        let Ok(mut rig) = Rig::cold(&machine, point, &Settings::default()) else { return };
        if rig.converge().is_err() {
            return;
        }
        group.throughput(Throughput::Elements((120.0e6 / rpm) as u64));
        group.bench_function(format!("{rpm:.0} rpm"), |b| b.iter(|| rig.run_cycle(false).is_ok()));
    }
}

criterion_group!(benches, operating_point);
criterion_main!(benches);
