//! Limits of what a file may ask for; each message names its limit.

/// Largest set-up file or included file [bytes].
pub const LARGEST_FILE: u64 = 256 * 1024;
/// Longest line [bytes].
pub const LONGEST_LINE: usize = 4_096;
/// Most files that one set-up may name; they may not name others.
pub const MOST_INCLUDES: usize = 8;
/// Most rows in one table of a part.
pub const MOST_ROWS: usize = 1_000;
/// Longest name of a set-up [characters].
pub const LONGEST_NAME: usize = 80;
/// Longest path that a set-up may write [bytes].
pub const LONGEST_PATH: usize = 1_024;
/// Longest name of one file or folder in it [bytes].
pub const LONGEST_FILE_NAME: usize = 255;
