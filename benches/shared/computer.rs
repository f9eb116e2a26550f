//! The computer that a figure was measured on.

use std::thread::available_parallelism;

use super::timing::quick;

/// Processor and its cores, to stand beside every figure.
pub fn line() -> String {
    let model = std::fs::read_to_string("/proc/cpuinfo").ok().and_then(|text| {
        let line = text.lines().find(|l| l.starts_with("model name"))?.to_owned();
        Some(line.split_once(':')?.1.trim().to_owned())
    });
    let cores = available_parallelism().map_or_else(|_| "?".to_owned(), |n| n.to_string());
    let note = if quick() { "; run once to show that it runs, these are no figures" } else { "" };
    format!("{}, {cores} cores{note}", model.as_deref().unwrap_or(std::env::consts::ARCH))
}
