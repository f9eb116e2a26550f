//! Results as files and text.
