//! Python interface of rigging-core.
