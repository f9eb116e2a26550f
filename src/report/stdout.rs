//! Standard output that ends quietly when nobody reads on.

use std::io::{self, Write};

/// Write `bytes` and flush. A reader that has gone away is no error.
///
/// # Errors
/// Writing failed for any other reason, such as a full disk behind a redirection.
pub fn write_quietly(out: &mut dyn Write, bytes: &[u8]) -> io::Result<()> {
    match out.write_all(bytes).and_then(|()| out.flush()) {
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Ok(()),
        other => other,
    }
}

/// Write to standard output.
///
/// # Errors
/// As [`write_quietly`].
pub fn to_stdout(text: &str) -> io::Result<()> {
    write_quietly(&mut io::stdout().lock(), text.as_bytes())
}
