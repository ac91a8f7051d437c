//! What each document says, as data with provenance.
