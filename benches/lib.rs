//! Timings live in `benches/`; see DEVELOPERS.md.
