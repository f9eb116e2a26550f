//! The words of the command line.

use std::num::NonZeroUsize;
use std::path::PathBuf;

use clap::{ArgGroup, Args, Parser, Subcommand, ValueEnum};

use super::console;
use super::correct::Correct;
use super::ending::{Ending, Failure};
use super::units_wanted::UnitsWanted;
use super::{cell_size, courant, free_parts, opening, road, speeds, time_limit};
use crate::diagnostics::clean::clean_line;
use crate::hardware::part::Part;
use crate::study::snap::tune::Free;

/// Order of the help: what it is for, examples, then the rest.
const HELP: &str = "{about-with-newline}\n{before-help}{usage-heading} {usage}\n\n{all-args}{after-help}";

/// Air-fuel ratio of a single-cylinder engine with a slide carburettor, from the gas flow through the crank cycle.
#[derive(Debug, Parser)]
#[command(
    name = "bellmouth",
    version,
    help_template = HELP,
    max_term_width = 80,
    before_help = "Examples:
  bellmouth init > mine.toml     a commented set-up to start from
  bellmouth check mine.toml      what was read, what estimated, what is wrong
  bellmouth map mine.toml        air-fuel ratio over throttle and speed
  bellmouth cycle mine.toml --rpm 4500 --throttle 1/2",
    after_help = "Results are printed on standard output, which a pipe or > takes; progress, notes
and errors on standard error. Exit codes: 0 all is well, 1 it ran but too many
operating points found no steady answer, 2 the set-up or an argument is wrong,
3 a file could not be written, 130 it was stopped."
)]
pub struct Arguments {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// What to do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Print a commented set-up file to start from
    #[command(help_template = HELP, before_help = "Example:
  bellmouth init > mine.toml")]
    Init(Init),
    /// Say what a set-up file gives, what was estimated, and what is wrong
    #[command(help_template = HELP, before_help = "Example:
  bellmouth check mine.toml")]
    Check(Check),
    /// Compute air-fuel ratio over throttle and speed; write CSV, JSON and PNG
    #[command(help_template = HELP, before_help = "Examples:
  bellmouth map mine.toml
  bellmouth map mine.toml --throttle '1/8, 1/2, 1' --rpm '1500 to 6500 by 500'
  bellmouth map mine.toml --steps --rpm 4000
  bellmouth map mine.toml --json > map.json
  bellmouth map mine.toml --speed '60 mph'
  bellmouth map mine.toml --resume")]
    Map(Map),
    /// Compute one operating point over crank angle
    #[command(help_template = HELP, override_usage =
        "bellmouth cycle [OPTIONS] {--rpm <RPM> --throttle <T>|--idle} <SETUP>", before_help = "Examples:
  bellmouth cycle mine.toml --rpm 4500 --throttle 1/2
  bellmouth cycle mine.toml --idle
  bellmouth cycle mine.toml --idle --rpm 1300")]
    Cycle(Cycle),
    /// Choose the jets and settings that bring the mixture nearest to its targets
    #[command(help_template = HELP, before_help = "Examples:
  bellmouth rejet mine.toml
  bellmouth rejet mine.toml --free main,clip,cutaway
  bellmouth rejet mine.toml --altitude '2000 m' --temperature '5 degC'
  bellmouth rejet mine.toml --card")]
    Rejet(Rejet),
    /// Compare two or more carburettors on the same engine
    #[command(help_template = HELP, before_help = "Examples:
  bellmouth compare mine.toml other.toml
  bellmouth compare mine.toml other.toml --as-given --rpm '2000 to 6500 by 500'")]
    Compare(Compare),
    /// Fuel supply from tank to bowl: how fast it keeps up, and how long until it runs dry
    #[command(help_template = HELP, before_help = "Examples:
  bellmouth supply mine.toml
  bellmouth supply mine.toml --speed '70 mph' --ease '50 mph'
  bellmouth supply mine.toml --rpm 5500 --throttle 1/2")]
    Supply(Supply),
    /// Snap the throttle open: mixture, torque, film and accelerator pump cycle by cycle
    #[command(help_template = HELP, before_help = "Examples:
  bellmouth snap mine.toml
  bellmouth snap mine.toml --rpm 3000 --from 1/8 --to 1 --time '0.15 s'
  bellmouth snap mine.toml --rpm 2500 --gear 2 --run '2.5 s'")]
    Snap(Snap),
}

/// The set-up file and where it may look for others.
#[derive(Debug, Args)]
pub struct SetupFile {
    /// The set-up file
    #[arg(value_name = "SETUP")]
    pub path: PathBuf,
    /// Folder inside which the files named by the set-up must lie [default: the set-up's own]
    #[arg(long, value_name = "DIR")]
    pub root: Option<PathBuf>,
}

/// How finely and on how many threads it is computed, and whether it is told as JSON.
#[derive(Debug, Args)]
pub struct Work {
    /// Longest cell of the gas grid, as '5 mm'; a smaller one is slower
    #[arg(long, value_name = "LENGTH", value_parser = cell_size::cell_size, allow_hyphen_values = true)]
    pub cell_size: Option<f64>,
    /// Threads; the results do not depend on it [default: one per processor]
    #[arg(long, value_name = "N", value_parser = threads, allow_hyphen_values = true)]
    pub threads: Option<NonZeroUsize>,
    /// Print the whole result as JSON instead of the summary
    #[arg(long)]
    pub json: bool,
}

/// Kinds of set-up to start from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Template {
    /// One cylinder, one slide carburettor
    Single,
}

/// Arguments of `init`.
#[derive(Debug, Args)]
pub struct Init {
    /// Kind of set-up
    #[arg(value_enum, default_value = "single", value_name = "KIND")]
    pub template: Template,
}

/// Arguments of `check`.
#[derive(Debug, Args)]
pub struct Check {
    /// The set-up file.
    #[command(flatten)]
    pub setup: SetupFile,
    /// Print the resolved set-up as JSON
    #[arg(long)]
    pub json: bool,
    /// Units of text and pictures.
    #[command(flatten)]
    pub units: UnitsWanted,
}

/// Arguments of `map`.
#[derive(Debug, Args)]
pub struct Map {
    /// The set-up file.
    #[command(flatten)]
    pub setup: SetupFile,
    /// Folder for the files [default: out/ and the set-up's name]
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// Throttles, as '1/8, 1/4, 1/2', '12.5 %, 25 %' or '0.125, 0.25' [default: 14 from 1/16 to 1]
    #[arg(long, value_name = "LIST", value_parser = Values::throttles, allow_hyphen_values = true)]
    pub throttle: Option<Values>,
    /// Speeds, as '1500, 3000' or '1500 to 6500 by 500' [default: 12 from idle to the highest]
    #[arg(long, value_name = "LIST", value_parser = Values::speeds, allow_hyphen_values = true)]
    pub rpm: Option<Values>,
    /// Share of the points that must find a steady answer for exit code 0
    #[arg(long, value_name = "SHARE", default_value = "0.95", value_parser = opening::share, allow_negative_numbers = true)]
    pub require: f64,
    /// Add power and torque corrected to the dry air of a standard, 99 kPa and 25 degC
    #[arg(long, value_name = "STANDARD", value_enum)]
    pub correct: Option<Correct>,
    /// Say whether each lean spot is there at both ends of the five estimates that say most; takes minutes
    #[arg(long)]
    pub how_sure: bool,
    /// Say what one step of each part does: at the speeds of --rpm if there are up to three, else at the middle one
    #[arg(long)]
    pub steps: bool,
    /// Longest cell of the gas grid, as '5 mm'; a smaller one is slower
    #[arg(long, value_name = "LENGTH", value_parser = cell_size::cell_size, allow_hyphen_values = true)]
    pub cell_size: Option<f64>,
    /// Courant number, from 0.05 to 1; a smaller one is slower [default: 0.9]
    #[arg(long, value_name = "N", value_parser = courant::courant, allow_hyphen_values = true)]
    pub courant: Option<f64>,
    /// Threads; the results do not depend on it [default: one per processor]
    #[arg(long, value_name = "N", value_parser = threads, allow_hyphen_values = true)]
    pub threads: Option<NonZeroUsize>,
    /// Print the whole result as JSON instead of the summary
    #[arg(long)]
    pub json: bool,
    /// Go on with a map that was stopped or killed; same set-up, points, cells and folder
    #[arg(long)]
    pub resume: bool,
    /// Give up a point after so many seconds; what is given up depends on how busy the computer is [default: no limit]
    #[arg(long, value_name = "SECONDS", value_parser = time_limit::seconds, allow_hyphen_values = true)]
    pub most_seconds: Option<std::time::Duration>,
    /// Say where on the map the machine rides at a road speed, as '60 mph' or '95 km/h'; may be repeated, needs [road]
    #[arg(long, value_name = "SPEED", value_parser = road::speed, allow_hyphen_values = true)]
    pub speed: Vec<road::RoadSpeed>,
    /// Gear for --speed, from 1 [default: the highest that holds it above twice the idle speed]
    #[arg(long, value_name = "N", value_parser = road::gear, allow_hyphen_values = true, requires = "speed")]
    pub gear: Option<usize>,
    /// Units of text and pictures.
    #[command(flatten)]
    pub units: UnitsWanted,
}

/// Arguments of `cycle`.
#[derive(Debug, Args)]
#[command(group(ArgGroup::new("opening").required(true).args(["throttle", "idle"])))]
pub struct Cycle {
    /// The set-up file.
    #[command(flatten)]
    pub setup: SetupFile,
    /// Speed [rpm] [with --idle by default: the set-up's idle speed]
    #[arg(long, value_name = "RPM", value_parser = speeds::speed, allow_hyphen_values = true,
        required_unless_present = "idle")]
    pub rpm: Option<f64>,
    /// Throttle, as '1/8', '12.5 %' or '0.125'
    #[arg(long, value_name = "T", value_parser = opening::throttle, allow_hyphen_values = true)]
    pub throttle: Option<f64>,
    /// Find the slide lift at which the engine idles: brake torque zero
    #[arg(long)]
    pub idle: bool,
    /// Longest cell of the gas grid, as '5 mm'; a smaller one is slower
    #[arg(long, value_name = "LENGTH", value_parser = cell_size::cell_size, allow_hyphen_values = true)]
    pub cell_size: Option<f64>,
    /// Courant number, from 0.05 to 1; a smaller one is slower [default: 0.9]
    #[arg(long, value_name = "N", value_parser = courant::courant, allow_hyphen_values = true)]
    pub courant: Option<f64>,
    /// Folder for the files [default: out/ and the set-up's name]
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// Print the whole result as JSON instead of the summary
    #[arg(long)]
    pub json: bool,
    /// Units of text and pictures.
    #[command(flatten)]
    pub units: UnitsWanted,
}

/// Arguments of `rejet`.
#[derive(Debug, Args)]
pub struct Rejet {
    /// The set-up file.
    #[command(flatten)]
    pub setup: SetupFile,
    /// Parts that may be changed, as 'main,clip,pilot,screw' [default: these, and what the set-up lists under [parts]]
    #[arg(long, value_name = "LIST", value_parser = Parts::read)]
    pub free: Option<Parts>,
    /// Height in place of the set-up's, as '2000 m'; its pressure follows
    #[arg(long, value_name = "HEIGHT", allow_hyphen_values = true)]
    pub altitude: Option<String>,
    /// Temperature of the air in place of the set-up's, as '5 degC'
    #[arg(long, value_name = "T", allow_hyphen_values = true)]
    pub temperature: Option<String>,
    /// Humidity of the air in place of the set-up's, as '80 %'
    #[arg(long, value_name = "SHARE", allow_hyphen_values = true)]
    pub humidity: Option<String>,
    /// Fuel in place of the set-up's, as E10
    #[arg(long, value_name = "KIND")]
    pub fuel: Option<String>,
    /// Add a card over height and temperature: main jet, pilot jet and clip that keep the mixture of home
    #[arg(long)]
    pub card: bool,
    /// Leave out whether the same parts are chosen where the estimates are off
    #[arg(long)]
    pub skip_how_sure: bool,
    /// Throttles, as '1/8, 1/4, 1/2' [default: 7 from 1/16 to 1]
    #[arg(long, value_name = "LIST", value_parser = Values::throttles, allow_hyphen_values = true)]
    pub throttle: Option<Values>,
    /// Speeds, as '1500, 3000' or '1500 to 6500 by 500' [default: 4 from 0.35 to 0.95 of the highest]
    #[arg(long, value_name = "LIST", value_parser = Values::speeds, allow_hyphen_values = true)]
    pub rpm: Option<Values>,
    /// How it is computed and told.
    #[command(flatten)]
    pub work: Work,
    /// Units of text and pictures.
    #[command(flatten)]
    pub units: UnitsWanted,
}

/// Arguments of `compare`.
#[derive(Debug, Args)]
pub struct Compare {
    /// The set-up files, two or more, which name the same engine
    #[arg(value_name = "SETUP", required = true, num_args = 1..)]
    pub setups: Vec<PathBuf>,
    /// Folder inside which the files named by the set-ups must lie [default: each set-up's own]
    #[arg(long, value_name = "DIR")]
    pub root: Option<PathBuf>,
    /// Keep the jets as given; without it each is also brought to the same mixture
    #[arg(long)]
    pub as_given: bool,
    /// Leave out whether the verdict holds where the estimates are off
    #[arg(long)]
    pub skip_how_sure: bool,
    /// Folder for the files [default: out/compare]
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// Speeds, as '1500, 3000' or '1500 to 6500 by 500' [default: 12 from idle to the highest]
    #[arg(long, value_name = "LIST", value_parser = Values::speeds, allow_hyphen_values = true)]
    pub rpm: Option<Values>,
    /// How it is computed and told.
    #[command(flatten)]
    pub work: Work,
    /// Units of text and pictures.
    #[command(flatten)]
    pub units: UnitsWanted,
}

/// Arguments of `supply`.
#[derive(Debug, Args)]
pub struct Supply {
    /// The set-up file, with its [supply].
    #[command(flatten)]
    pub setup: SetupFile,
    /// Road speed to hold, as '70 mph' or '110 km/h'; needs [road] [default: 85 % of the highest]
    #[arg(long, value_name = "SPEED", value_parser = road::speed, allow_hyphen_values = true,
        conflicts_with_all = ["rpm", "throttle"])]
    pub speed: Option<road::RoadSpeed>,
    /// Road speed to ease off to [default: 3/4 of the one held]
    #[arg(long, value_name = "SPEED", value_parser = road::speed, allow_hyphen_values = true)]
    pub ease: Option<road::RoadSpeed>,
    /// Crank speed to hold in place of a road speed [rpm]
    #[arg(long, value_name = "RPM", value_parser = speeds::speed, allow_hyphen_values = true)]
    pub rpm: Option<f64>,
    /// Throttle with --rpm, as '1/8', '12.5 %' or '0.125' [default: full]
    #[arg(long, value_name = "T", value_parser = opening::throttle, allow_hyphen_values = true, requires = "rpm")]
    pub throttle: Option<f64>,
    /// Folder for the files [default: out/ and the set-up's name]
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// How it is computed and told.
    #[command(flatten)]
    pub work: Work,
}

/// Arguments of `snap`. Values stand in place of those under [snap] in the set-up.
#[derive(Debug, Args)]
pub struct Snap {
    /// The set-up file.
    #[command(flatten)]
    pub setup: SetupFile,
    /// Speed when the throttle begins to open, as '3000' [default: half of the highest]
    #[arg(long, value_name = "RPM", allow_hyphen_values = true)]
    pub rpm: Option<String>,
    /// Throttle before, as '1/8' [default: 1/16]
    #[arg(long, value_name = "T", allow_hyphen_values = true)]
    pub from: Option<String>,
    /// Throttle after, as '3/4' [default: full]
    #[arg(long, value_name = "T", allow_hyphen_values = true)]
    pub to: Option<String>,
    /// Time in which it is opened [default: 0.2 s]
    #[arg(long, value_name = "TIME", allow_hyphen_values = true)]
    pub time: Option<String>,
    /// Time from the beginning of the opening to the end of the run [default: the opening and 1.3 s]
    #[arg(long, value_name = "TIME", allow_hyphen_values = true)]
    pub run: Option<String>,
    /// Gear in which it accelerates the vehicle of [road] [default: the speed is held]
    #[arg(long, value_name = "N", allow_hyphen_values = true)]
    pub gear: Option<String>,
    /// What it accelerates, at the crank, beside the vehicle, as '0.3 kg m2' [default: nothing]
    #[arg(long, value_name = "INERTIA", allow_hyphen_values = true)]
    pub inertia: Option<String>,
    /// Parts of the pump to look for, of gap, stop and nozzle [default: all three]
    #[arg(long, value_name = "LIST", value_parser = PumpFree::read, conflicts_with = "as_given")]
    pub free: Option<PumpFree>,
    /// Run the pump as it is; do not look for a better one
    #[arg(long)]
    pub as_given: bool,
    /// Folder for the files [default: out/ and the set-up's name]
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// How it is computed and told.
    #[command(flatten)]
    pub work: Work,
}

/// Parts of the accelerator pump read as one argument.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PumpFree(pub Vec<Free>);

impl PumpFree {
    fn read(text: &str) -> Result<Self, String> {
        let known = |word: &str| {
            Free::ALL.into_iter().find(|f| f.word() == word.to_lowercase()).ok_or_else(|| {
                format!("`{}` is no part of the pump known here; known: gap, stop, nozzle", clean_line(word, 40))
            })
        };
        free_parts::each_once(text, known, Free::word).map(Self)
    }
}

/// Parts read as one argument.
#[derive(Debug, Clone, PartialEq)]
pub struct Parts(pub Vec<Part>);

impl Parts {
    fn read(text: &str) -> Result<Self, String> {
        free_parts::parts(text).map(Self)
    }
}

/// Most threads accepted: more only wait for each other.
const MOST_THREADS: usize = 1024;

/// Reads a number of threads.
fn threads(text: &str) -> Result<NonZeroUsize, String> {
    let read = text.trim().parse().ok().filter(|n: &NonZeroUsize| n.get() <= MOST_THREADS);
    read.ok_or_else(|| format!("write a whole number from 1 to {MOST_THREADS}, as `--threads 2`"))
}

/// A list read as one argument.
#[derive(Debug, Clone, PartialEq)]
pub struct Values(pub Vec<f64>);

impl Values {
    fn throttles(text: &str) -> Result<Self, String> {
        opening::throttles(text).map(Self)
    }

    fn speeds(text: &str) -> Result<Self, String> {
        speeds::speeds(text).map(Self)
    }
}

/// Reads the command line of this program.
///
/// # Errors
/// How to end at once: help or the version was asked for and printed, or a word was not understood.
pub fn read() -> Result<Command, Result<Ending, Failure>> {
    Arguments::try_parse().map(|arguments| arguments.command).map_err(|refusal| {
        let refused = refusal.use_stderr();
        let coloured = if refused { console::colour_is_welcome() } else { console::stdout_colour_is_welcome() };
        let text = refusal.render();
        let text = if coloured { text.ansi().to_string() } else { text.to_string() };
        if refused { Err(Failure::Input(text)) } else { console::print(&text).map(|()| Ending::Done) }
    })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use clap::CommandFactory;

    use super::*;

    #[test]
    fn the_words_do_not_contradict_each_other() {
        Arguments::command().debug_assert();
    }

    #[test]
    fn a_list_is_one_argument() {
        let words = ["bellmouth", "map", "x.toml", "--throttle", "1/4, 1", "--rpm", "2000 to 4000 by 1000"];
        let Command::Map(map) = Arguments::try_parse_from(words).unwrap().command else { panic!("not a map") };
        assert_eq!(map.throttle, Some(Values(vec![0.25, 1.0])));
        assert_eq!(map.rpm, Some(Values(vec![2000.0, 3000.0, 4000.0])));
    }
}
