//! Statics of a system: pose, tensions, certificate.
