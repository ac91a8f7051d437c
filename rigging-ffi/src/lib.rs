//! C interface of rigging-core.
