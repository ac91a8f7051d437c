//! Timings live in `benches/`; see DEVELOPERS.md.

#[cfg(not(feature = "system_allocator"))]
use mimalloc::MiMalloc;

/// What the Python module chooses as well.
#[cfg(not(feature = "system_allocator"))]
#[global_allocator]
static ALLOCATOR: MiMalloc = MiMalloc;
